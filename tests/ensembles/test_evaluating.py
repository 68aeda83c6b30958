"""A chunk of members from what is drawn to what became of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.errors import InputErrors, NotConverged
from bathybore.ensembles import evaluating
from bathybore.ensembles.choosing import (
    Goal,
    again_of,
    best_policy,
    gain_of,
    moved,
    neighbours,
    worth_of,
)
from bathybore.ensembles.drawing import CHUNK, central
from bathybore.ensembles.evaluating import Ensemble, Together, evaluated, held_back, members_of
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.ledger_depths import ledger_depths
from bathybore.ensembles.readings import before_spud, leak_offs
from bathybore.ensembles.running import run
from bathybore.ensembles.shapes import LIMITS, NOT_JUDGED, REACHED, Limit, Made, Outcome
from bathybore.ensembles.uncertain_alone import alone
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty

COUNT = 200


@pytest.fixture(scope="module")
def ensemble() -> Ensemble:
    """The riserless hole: its ledger is the quickest to ask."""
    path = Path("examples/riserless")
    hole = load_hole(path)
    frame = frame_of(hole)
    uncertainty = load_uncertainty(path, hole)
    return Ensemble(frame, ledger_depths(frame), uncertainty, planned_policy(frame), 1)


@pytest.fixture(scope="module")
def outcome(ensemble: Ensemble) -> Outcome:
    return run(ensemble, COUNT)


def test_as_planned_it_is_the_walk(ensemble: Ensemble) -> None:
    """No series of weather here: every step takes what it takes in the walk."""
    frame = ensemble.frame
    one = evaluated(frame, ensemble.ledger, ensemble.policy, central(ensemble.uncertainty, frame))
    last = frame.states[-1]
    assert one.ends_by[0] == REACHED
    assert one.depth[0] == frame.depth[frame.target]
    assert one.days[0] == pytest.approx(last.elapsed, rel=1e-9)
    assert one.mud[0] == pytest.approx(last.consumed.mud_built, rel=1e-9)
    assert one.cement[0] == pytest.approx(last.consumed.cement, rel=1e-9)
    assert one.strings[0] == 2


def test_members_do_not_know_of_one_another(ensemble: Ensemble) -> None:
    """The first of many is the first of few, and any part of a chunk is that part of the whole."""
    drawn = ensemble.drawn(0, COUNT)
    whole = evaluated(ensemble.frame, ensemble.ledger, ensemble.policy, drawn)
    part = evaluated(
        ensemble.frame, ensemble.ledger, ensemble.policy, members_of(drawn, slice(50, 90))
    )
    assert part.first == 50
    for name in ("bites", "ends_by", "depth", "strings", "shoes", "days", "mud", "day_at"):
        found, wanted = getattr(part, name), getattr(whole, name)[50:90]
        np.testing.assert_allclose(found, wanted, rtol=1e-12, equal_nan=True)


def test_ensembles_made_together_are_made_as_each_alone(ensemble: Ensemble) -> None:
    uncertainty = ensemble.uncertainty
    each = (
        ensemble,
        replace(ensemble, other=frozenset(["trouble"]), other_seed=2),
        replace(ensemble, uncertainty=alone(uncertainty, "handling_time")),
        replace(ensemble, uncertainty=alone(uncertainty, "temperature")),
    )
    both = Together(each).chunk(0, 20)
    for number, one in enumerate(each):
        mine, rows = one.chunk(0, 20), slice(20 * number, 20 * number + 20)
        for name in ("bites", "ends_by", "depth", "strings", "shoes", "days", "mud", "day_at"):
            found = getattr(both, name)[rows]
            np.testing.assert_allclose(found, getattr(mine, name), rtol=1e-12, equal_nan=True)


def test_every_end_is_where_a_limit_bites(ensemble: Ensemble, outcome: Outcome) -> None:
    target = float(ensemble.frame.depth[ensemble.frame.target])
    ended = ~outcome.reached
    assert ended.any()
    assert outcome.reached.any()
    assert (outcome.depth[outcome.reached] == target).all()
    assert (outcome.depth[ended] < target).all()
    by = outcome.ends_by[ended]
    own = outcome.bites[ended, by]
    made_of_mud = by == LIMITS.index(Limit.STOCK)  # what is dumped may end before it is counted
    assert (own[~made_of_mud] <= outcome.depth[ended][~made_of_mud] + 1e-6).all()
    assert (outcome.bites[ended].min(axis=1) >= outcome.depth[ended] - 1e-6).all()


def test_a_hole_that_ends_early_is_left_early(outcome: Outcome) -> None:
    assert np.isnan(outcome.day_at[~outcome.reached, -1]).all()
    assert np.isfinite(outcome.day_at[outcome.reached]).all()
    assert (np.diff(outcome.day_at[outcome.reached], axis=1) >= 0.0).all()


def test_a_member_that_no_solver_follows_is_kept(
    ensemble: Ensemble, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One of a chunk fails: it says why, the others are what they would have been."""
    real = evaluating.made

    def stubborn(frame: object, policy: object, drawn: object) -> object:
        if drawn.first <= 37 < drawn.first + drawn.count:  # type: ignore[attr-defined]
            raise NotConverged("the thirty-eighth")
        return real(frame, policy, drawn)  # type: ignore[arg-type]

    without = ensemble.chunk(0, 64)
    monkeypatch.setattr(evaluating, "made", stubborn)
    found = ensemble.chunk(0, 64)
    assert found.unjudged == {37: "the thirty-eighth"}
    assert found.ends_by[37] == NOT_JUDGED
    others = np.arange(64) != 37
    np.testing.assert_array_equal(found.depth[others], without.depth[others])
    assert not found.reached[37]


def test_no_rock_is_drilled_faster_than_the_plan_holds(ensemble: Ensemble) -> None:
    drawn = ensemble.drawn(0, COUNT)
    planned = ensemble.frame.hole.earth.at("rate_of_penetration", ensemble.frame.depth)
    held = held_back(ensemble.frame, drawn).curves["rate_of_penetration"]
    rate = drawn.curves["rate_of_penetration"]
    assert (held <= planned + 1e-15).all()
    assert (held >= np.minimum(rate, planned) - 1e-15).all()  # a set rate is kept in harder rock
    below = ensemble.frame.depth > 345.0  # the core hole is not held back
    np.testing.assert_allclose(held[:, below], np.minimum(rate, planned)[:, below])


@pytest.mark.parametrize("limit", [Limit.DAYS, Limit.WEATHER])
def test_who_comes_to_the_target_too_late_has_not_come(limit: Limit) -> None:
    depth = np.full((3, len(LIMITS)), np.inf)
    depth[1, LIMITS.index(limit)] = 700.0
    depth[2, LIMITS.index(limit)] = 500.0
    none = np.full(3, np.inf)
    shapes = {name: np.zeros((3, 1)) for name in ("shoes", "density", "string", "alone")}
    holes = Made(ends=none, ends_by=np.full(3, -1), **shapes)  # type: ignore[arg-type]
    by, end = evaluating._ends(depth, holes, 700.0)
    assert by.tolist() == [REACHED, LIMITS.index(limit), LIMITS.index(limit)]
    assert end.tolist() == [700.0, 700.0, 500.0]


def test_the_stamp_tells_inputs_apart(ensemble: Ensemble) -> None:
    stamps = {
        ensemble.stamp,
        replace(ensemble, seed=2).stamp,
        replace(ensemble, policy=replace(ensemble.policy, spares=False)).stamp,
        replace(ensemble, other=frozenset(["trouble"]), other_seed=3).stamp,
        replace(ensemble, uncertainty=alone(ensemble.uncertainty, "trouble")).stamp,
    }
    assert len(stamps) == 5
    assert replace(ensemble).stamp == ensemble.stamp


def test_one_uncertainty_alone_leaves_the_others_as_planned(ensemble: Ensemble) -> None:
    drawn = replace(ensemble, uncertainty=alone(ensemble.uncertainty, "handling_time")).drawn(0, 64)
    planned = {one.key: one.planned for one in ensemble.uncertainty.quantities}
    assert {key for key, value in drawn.numbers.items() if np.ptp(value)} == {"handling_time"}
    assert all(v[0] == planned[key] for key, v in drawn.numbers.items() if key != "handling_time")
    factor = ensemble.frame.hole.basis.trouble_factor
    np.testing.assert_allclose(drawn.trouble, factor - 1.0, rtol=1e-12)
    assert np.ptp(drawn.start) == 0.0
    assert all(len(curve) == 1 for curve in drawn.curves.values())


# ---- policies ----------------------------------------------------------------------------


def test_a_shoe_is_moved_and_the_order_kept(ensemble: Ensemble) -> None:
    frame, plan = ensemble.frame, ensemble.policy
    deeper = moved(frame, plan, 1, 100.0)
    assert deeper is not None
    assert deeper.bottoms == (60.0, 440.0, 700.0)
    assert moved(frame, plan, 1, -250.0) is None  # no hundred metres are left above it
    assert moved(frame, plan, 1, 300.0) is None
    others = list(neighbours(frame, plan, (1,)))
    assert len(others) == len(set(others)) == 4  # 200 m higher leaves too little; and the spare


def test_a_lost_hole_is_made_again_until_one_reaches(outcome: Outcome) -> None:
    """The mean total of tries until one reaches, by rolling them out."""
    again = again_of(outcome, Goal.days)
    rng = np.random.default_rng(1)
    totals = []
    for _ in range(20_000):
        total, member = 0.0, int(rng.integers(COUNT))
        while not outcome.reached[member]:
            total, member = total + outcome.days[member], int(rng.integers(COUNT))
        totals.append(total + outcome.days[member])
    error = np.std(totals) / len(totals) ** 0.5
    assert again == pytest.approx(np.mean(totals), abs=4.0 * error)
    worth = worth_of(outcome, Goal.days, again)
    np.testing.assert_allclose(worth[outcome.reached], -outcome.days[outcome.reached])
    np.testing.assert_allclose(worth[~outcome.reached], -outcome.days[~outcome.reached] - again)


def test_where_none_reaches_a_lost_hole_is_dear_and_finite(outcome: Outcome) -> None:
    none = replace(outcome, ends_by=np.zeros(COUNT, dtype=np.intp))
    assert np.isfinite(again_of(none, Goal.days))
    assert again_of(none, Goal.days) > 100.0 * outcome.days.mean()


def test_the_best_policy_is_found_where_it_is_known(ensemble: Ensemble) -> None:
    """A made-up run: the target is reached where the shoe stands within a member's own window."""

    def made_up(one: Ensemble, count: int) -> Outcome:
        rng = np.random.default_rng(one.seed)
        best = 540.0 + rng.normal(0.0, 60.0, count)
        reached = np.abs(best - one.policy.bottoms[1]) < 80.0
        whole = run(ensemble, 1)
        shaped = {
            name: np.repeat(getattr(whole, name), count, axis=0)
            for name in ("bites", "shoes", "day_at", "asked_first", "strings", "depth")
        }
        numbers = {
            name: np.ones(count)
            for name in ("days", "cost", "mud", "barite", "cement", "steel", "waiting")
        }
        by = np.where(reached, REACHED, 0)
        return Outcome(first=0, ends_by=by, **shaped, **numbers)

    found = best_policy(ensemble, 2000, Goal.odds, run_of=made_up)
    assert found.policy.bottoms[1] == 540.0
    exact = 0.8175775605482643  # of a normal within 4/3 of a standard deviation
    assert found.reached.share == pytest.approx(exact, abs=0.03)
    assert found.low <= exact - found.reached_planned.share <= found.high + 0.03


def test_members_that_could_not_be_judged_count_neither_way(outcome: Outcome) -> None:
    days = outcome.days.copy()
    days[:3], by = np.nan, outcome.ends_by.copy()
    by[:3] = NOT_JUDGED
    some = replace(outcome, days=days, ends_by=by)
    again = again_of(outcome, Goal.days)
    assert np.isnan(worth_of(some, Goal.odds, 0.0)[:3]).all()
    before, after = (worth_of(one, Goal.days, again) for one in (outcome, some))
    better = after + 5.0
    assert gain_of(better, before, Goal.days, None)[0] == pytest.approx(5.0)
    assert gain_of(better, before, Goal.days, 0.9)[0] == pytest.approx(5.0, abs=1e-6)


def test_a_gain_at_a_level_is_of_that_level() -> None:
    """What spares the worst members days gains at nine in ten, and on the mean next to nothing."""
    before = -np.arange(100.0)
    after = np.where(before < -85.0, -85.0, before)
    assert gain_of(after, before, Goal.days, 0.9)[0] == 5.0
    assert gain_of(after, before, Goal.days, None)[0] == pytest.approx(1.05)


@pytest.mark.parametrize(("goal", "level"), [(Goal.odds, None), (Goal.days, 0.9)])
def test_no_gain_is_told_where_none_was_judged_both_times(goal: Goal, level: float | None) -> None:
    one, other = np.array([1.0, np.nan]), np.array([np.nan, 1.0])
    with pytest.raises(InputErrors, match="judged both times"):
        gain_of(one, other, goal, level)


# ---- readings ----------------------------------------------------------------------------


def test_a_leak_off_test_reads_the_rock_at_the_shoe(ensemble: Ensemble, outcome: Outcome) -> None:
    readings = leak_offs(ensemble, outcome)
    frame = ensemble.frame
    drawn = ensemble.drawn(0, COUNT)
    at = int(np.argmin(np.abs(frame.depth - 340.0)))
    there = np.isclose(outcome.shoes[:, 2], 340.0) & (outcome.depth > 340.1)
    assert there.any()
    height = 340.0 + float(frame.hole.sea_bed) - float(frame.hole.drill_floor)
    truth = drawn.curves["fracture_pressure"][there, at] / (9.8 * height)
    error = readings[there, 2] - truth
    assert np.std(error) == pytest.approx(8.0, rel=0.25)
    assert abs(np.mean(error)) < 4.0  # gravity of the place is not quite 9.8
    assert np.isnan(readings[:, 0]).all()  # no test below the conductor
    assert np.isnan(readings[:, -1]).all()


def test_readings_are_the_same_however_many_are_asked(ensemble: Ensemble) -> None:
    few, many = before_spud(ensemble, 10), before_spud(ensemble, CHUNK + 10)
    for one, other in zip(few, many, strict=True):
        np.testing.assert_array_equal(one.values, other.values[:10])
