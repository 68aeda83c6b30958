"""Drawing members: streams, correlation, and what is drawn of each kind."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.stats import spearmanr

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.ensembles import drawing
from bathybore.ensembles.correlation import down_the_hole, scores_together
from bathybore.ensembles.drawing import CHUNK, central, draw, groups, planned_curves, quantity_names
from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.kernels.dependence import correlation_of_normal_scores
from bathybore.model.dependence import Correlation
from bathybore.model.laws import Law
from bathybore.model.loading import load_hole
from bathybore.model.uncertain import Alternative, Change, Trouble, Uncertainty
from bathybore.model.uncertainty import load_uncertainty
from bathybore.operations.columns import gravity

EXAMPLES = Path(__file__).parents[2] / "examples"
PRESSURES = "pore_pressure + fracture_pressure + collapse_pressure"


@pytest.fixture(scope="module")
def frame() -> Frame:
    return frame_of(load_hole(EXAMPLES / "main"))


@pytest.fixture(scope="module")
def usual(frame: Frame, tmp_path_factory: pytest.TempPathFactory) -> Uncertainty:
    """What is uncertain of a hole of which nothing was told."""
    return load_uncertainty(tmp_path_factory.mktemp("empty"), frame.hole)


@pytest.fixture(scope="module")
def told(frame: Frame) -> Uncertainty:
    return load_uncertainty(EXAMPLES / "main", frame.hole)


def as_bytes(drawn: Drawn) -> bytes:
    parts = []
    for one in fields(Drawn):
        part = getattr(drawn, one.name)
        if isinstance(part, dict):
            parts += [key.encode() + array.tobytes() for key, array in sorted(part.items())]
        else:
            parts.append(part.tobytes() if isinstance(part, np.ndarray) else str(part).encode())
    return b"".join(parts)


def many(uncertainty: Uncertainty, frame: Frame, chunks: int, seed: int = 3) -> list[Drawn]:
    return [draw(uncertainty, frame, seed, n * CHUNK, CHUNK) for n in range(chunks)]


def values(drawn: Sequence[Drawn], key: str, node: int = -1) -> Array:
    if key in drawn[0].numbers:
        return np.concatenate([one.numbers[key] for one in drawn])
    return np.concatenate([one.curves[key][:, node] for one in drawn])


# ---- streams ---------------------------------------------------------------------------------


def test_the_same_seed_gives_the_same_bytes_in_any_order(told: Uncertainty, frame: Frame) -> None:
    forwards = [as_bytes(draw(told, frame, 5, n * CHUNK, 40)) for n in range(3)]
    backwards = [as_bytes(draw(told, frame, 5, n * CHUNK, 40)) for n in (2, 1, 0)]
    assert forwards == backwards[::-1]
    assert len(set(forwards)) == 3
    assert as_bytes(draw(told, frame, 6, 0, 40)) != forwards[0]


def test_a_member_does_not_depend_on_how_many_are_drawn(told: Uncertainty, frame: Frame) -> None:
    few, all_of_them = draw(told, frame, 5, CHUNK, 3), draw(told, frame, 5, CHUNK, CHUNK)
    for key, curve in few.curves.items():
        assert np.array_equal(curve, all_of_them.curves[key][: len(curve)], equal_nan=True)
    for key, number in few.numbers.items():
        assert np.array_equal(number, all_of_them.numbers[key][:3])
    assert np.array_equal(few.trouble, all_of_them.trouble[:3])
    assert np.array_equal(few.start, all_of_them.start[:3])
    assert np.array_equal(few.alternatives, all_of_them.alternatives[:3])


def test_members_are_asked_for_by_chunks(told: Uncertainty, frame: Frame) -> None:
    for first, count in ((1, 10), (0, 0), (0, CHUNK + 1)):
        with pytest.raises(ValueError, match="chunk"):
            draw(told, frame, 1, first, count)


_HASHED = """
import hashlib, sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
import test_drawing as t
frame = t.frame_of(t.load_hole(t.EXAMPLES / "main"))
drawn = t.draw(t.load_uncertainty(t.EXAMPLES / "main", frame.hole), frame, 5, 0, 20)
print(hashlib.sha256(t.as_bytes(drawn)).hexdigest())
"""


def test_another_process_draws_the_same(told: Uncertainty, frame: Frame) -> None:
    here = hashlib.sha256(as_bytes(draw(told, frame, 5, 0, 20))).hexdigest()
    told_there = subprocess.run(
        [sys.executable, "-c", _HASHED, str(Path(__file__).parent)],
        env={**os.environ, "PYTHONHASHSEED": "12345"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert told_there.stdout.strip() == here


def test_another_seed_for_one_group_changes_that_group_alone(
    told: Uncertainty, frame: Frame
) -> None:
    names = groups(told)
    assert PRESSURES in names
    base = draw(told, frame, 5, 0, 50)
    for name in names:
        swapped = draw(told, frame, 5, 0, 50, frozenset({name}), 77)
        changed = {key for key in base.curves if not _same(base.curves[key], swapped.curves[key])}
        changed |= {
            key for key in base.numbers if not _same(base.numbers[key], swapped.numbers[key])
        }
        others = {
            drawing.TROUBLE: _same(base.trouble, swapped.trouble),
            drawing.ARRIVAL: _same(base.start, swapped.start),
            drawing.ALTERNATIVES: _same(base.alternatives, swapped.alternatives),
        }
        changed |= {key for key, same in others.items() if not same}
        expected = set(name.split(" + "))
        if name == drawing.ALTERNATIVES:  # those it changes go with it
            expected |= set(PRESSURES.split(" + "))
        assert changed == expected, name


def _same(one: np.ndarray[Any, Any], other: np.ndarray[Any, Any]) -> bool:
    return np.array_equal(one, other, equal_nan=one.dtype.kind == "f")


def test_all_groups_by_another_seed_are_a_draw_by_that_seed(
    told: Uncertainty, frame: Frame
) -> None:
    swapped = draw(told, frame, 5, 0, 30, frozenset(groups(told)), 77)
    assert as_bytes(swapped) == as_bytes(draw(told, frame, 77, 0, 30))


def test_groups_that_are_not_there_are_refused(told: Uncertainty, frame: Frame) -> None:
    with pytest.raises(ValueError, match="no groups"):
        draw(told, frame, 5, 0, 30, frozenset({"pore_pressure"}), 77)
    with pytest.raises(ValueError, match="no seed"):
        draw(told, frame, 5, 0, 30, frozenset({PRESSURES}))


def test_one_more_uncertain_number_moves_no_other(usual: Uncertainty, frame: Frame) -> None:
    less = replace(usual, quantities=tuple(q for q in usual.quantities if q.key != "lifting"))
    one, other = draw(usual, frame, 5, 0, 30), draw(less, frame, 5, 0, 30)
    assert set(one.numbers) - set(other.numbers) == {"lifting"}
    for key, number in other.numbers.items():
        assert np.array_equal(number, one.numbers[key])


def test_names_are_those_of_everything_drawn(told: Uncertainty) -> None:
    names = quantity_names(told)
    assert len(set(names)) == len(names)
    assert {
        "pore_pressure",
        "bit_life",
        "plan.coring.rate_of_penetration",
        "trouble",
        "arrival",
    } <= set(names)


# ---- correlation -----------------------------------------------------------------------------


def test_curves_have_the_exponential_correlation_exactly_at_uneven_nodes() -> None:
    rng = np.random.Generator(np.random.PCG64(1))
    depth = np.cumsum(rng.uniform(0.5, 400.0, 40))
    # curves are linear in the independent scores: the unit scores give the whole matrix
    factor = down_the_hole(np.eye(40), depth, 350.0)
    expected = np.exp(-np.abs(depth[:, None] - depth[None, :]) / 350.0)
    assert factor.T @ factor == pytest.approx(expected, abs=1e-12)


class _Unit:
    """In the place of a generator: unit scores, each in a row of its own."""

    def __init__(self, start: int) -> None:
        self.start = start

    def standard_normal(self, shape: tuple[int, int]) -> Array:
        return np.eye(shape[0])[:, self.start : self.start + shape[1]]


def test_scores_of_a_group_have_the_correlations_wanted_at_every_node() -> None:
    depth = np.array([0.0, 10.0, 35.0, 400.0, 410.0, 2000.0])
    lengths = {"short": 200.0, "number": None, "long": 900.0}
    starts = {"short": 0, "number": 6, "long": 7}
    pairs = [
        Correlation("short", "number", 0.3),
        Correlation("long", "number", -0.4),
        Correlation("short", "long", 0.6),
    ]
    generators: Any = {name: _Unit(start) for name, start in starts.items()}
    scores = scores_together(tuple(lengths), pairs, lengths, depth, generators, 13)
    assert scores["number"].shape == (13, 1)
    for name in lengths:
        assert (scores[name] ** 2).sum(axis=0) == pytest.approx(1.0, abs=1e-12)
    for pair in pairs:
        together = (scores[pair.first] * scores[pair.second]).sum(axis=0)
        wanted = float(correlation_of_normal_scores(pair.rank))
        assert together == pytest.approx(wanted, abs=1e-12)
    # the longer curve holds its own correlation length in what does not come from the number
    long = scores["long"].T @ scores["long"]
    shared = float(correlation_of_normal_scores(-0.4)) ** 2
    away = np.exp(-np.abs(depth[:, None] - depth[None, :]) / 900.0)
    assert long == pytest.approx(shared + (1.0 - shared) * away, abs=1e-12)


def test_ranks_come_out_as_told_through_whatever_distributions(
    told: Uncertainty, frame: Frame
) -> None:
    members = many(told, frame, 8)
    error = 5.0 / np.sqrt(8 * CHUNK)
    # an alternative is added to pressures below its depth: they are compared above it
    node = int(np.searchsorted(frame.depth, 3000.0))
    for pair in told.correlations:
        ranks = spearmanr(values(members, pair.first, node), values(members, pair.second, node))
        assert ranks.statistic == pytest.approx(pair.rank, abs=error), pair
    apart = spearmanr(values(members, "hook_load"), values(members, "pore_pressure", node))
    assert abs(apart.statistic) < error


def test_a_curve_without_length_moves_as_a_whole(usual: Uncertainty, frame: Frame) -> None:
    drawn, planned = draw(usual, frame, 3, 0, 20), planned_curves(frame)["temperature"]
    rise = (drawn.curves["temperature"] - planned[:, :1])[:, 1:] / (planned - planned[:, :1])[:, 1:]
    assert rise == pytest.approx(np.broadcast_to(rise[:, :1], rise.shape), rel=1e-9)
    assert drawn.curves["temperature"][:, 0] == pytest.approx(planned[0, 0])
    assert len(set(rise[:, 0])) == 20


# ---- what is drawn ---------------------------------------------------------------------------


def test_the_middle_member_is_the_plan(told: Uncertainty, frame: Frame) -> None:
    plan = central(told, frame)
    for key, curve in plan.curves.items():
        assert np.array_equal(curve[0], frame.hole.earth.at(key, frame.depth), equal_nan=True)
    assert plan.number("bit_life") == 1.0
    handling = frame.hole.vessel.handling
    assert plan.number("vessel.handling.connection_time") == handling.connection_time
    assert plan.trouble == pytest.approx(frame.hole.basis.trouble_factor - 1.0)
    assert plan.alternatives == -1
    assert plan.mended == 0


def test_curves_spread_as_told_about_the_plan(usual: Uncertainty, frame: Frame) -> None:
    """Means and standard deviations within five standard errors, at three depths."""
    members, planned = many(usual, frame, 8), planned_curves(frame)
    count = 8 * CHUNK
    for node in (5, 60, -1):
        depth = frame.depth[node]
        for key, spread in (("pore_pressure", 30.0), ("collapse_pressure", 40.0)):
            moved = values(members, key, node) - planned[key][0, node]
            below = depth - usual.by_key[key].top
            if below <= 0.0:
                assert (moved == 0.0).all()  # the pores are open to the sea
                continue
            density = moved / gravity(frame.hole) / below
            assert abs(density.mean()) < 5.0 * spread / np.sqrt(count)
            assert abs(density.std() - spread) < 5.0 * spread / np.sqrt(2 * count)
        rate = np.log(values(members, "rate_of_penetration", node))
        log_spread = np.sqrt(np.log1p(0.3**2))
        middle = np.log(planned["rate_of_penetration"][0, node])
        assert abs(rate.mean() - middle) < 5.0 * log_spread / np.sqrt(count)
        assert abs(rate.std() - log_spread) < 5.0 * log_spread / np.sqrt(2 * count)


def test_a_pressure_may_spread_as_a_table_says(usual: Uncertainty, frame: Frame) -> None:
    flat = Law("normal", (("mean", 0.0), ("standard_deviation", 1.0)))
    profile = ((0.0, 2000.0, 6000.0), (2e5, 1e6, 1e6))
    quantities = tuple(
        replace(one, law=flat, profile=profile) if one.key == "pore_pressure" else one
        for one in usual.quantities
    )
    members = many(replace(usual, quantities=quantities), frame, 8)
    planned = planned_curves(frame)["pore_pressure"][0]
    for node, spread in ((0, 2e5), (int(np.searchsorted(frame.depth, 1000.0)), 6e5), (-1, 1e6)):
        moved = values(members, "pore_pressure", node) - planned[node]
        assert abs(moved.std() - spread) < 5.0 * spread / np.sqrt(2 * moved.size)


def test_errors_fall_as_members_grow_in_number(usual: Uncertainty, frame: Frame) -> None:
    """The mean of n independent scores is off by 1 / sqrt(n): so for 512 and for 32 times as many.

    Over the factors with normal scores the sum of n times the square of the error is chi-squared.
    """
    plain = ["hook_load", "riser_tension", "lifting"]
    logs = ["handling_time", "bit_life", "friction_pressure", "cement_excess_used", "mud_loss"]
    members = many(usual, frame, 32)
    for count in (CHUNK, 32 * CHUNK):
        errors = []
        for key in (*plain, *logs):
            law = usual.by_key[key].law
            drawn = values(members, key)[:count]
            low, high = law["p10"], law["p90"]
            if key in logs:
                drawn, low, high = np.log(drawn), np.log(low), np.log(high)
            spread = (high - low) / 2.0 / 1.2815515655446004
            errors.append((drawn.mean() - 0.5 * (low + high)) / spread * np.sqrt(count))
        assert 0.46 < np.sum(np.square(errors)) < 32.0  # 1e-4 on either side of 8 degrees


def test_what_is_not_given_stays_so_and_what_is_certain_stays_one_row(
    usual: Uncertainty, frame: Frame
) -> None:
    drawn, planned = draw(usual, frame, 3, 0, 10), planned_curves(frame)
    for key, curve in drawn.curves.items():
        assert np.array_equal(np.isnan(curve[0]), np.isnan(planned[key][0]))
    assert drawn.curves["submerged_unit_weight"].shape == (1, frame.depth.size)
    fixed = tuple(
        replace(one, law=Law("fixed")) if one.key == "temperature" else one
        for one in usual.quantities
    )
    certain = draw(replace(usual, quantities=fixed), frame, 3, 0, 10)
    assert np.array_equal(certain.curves["temperature"], planned["temperature"])


def test_fracture_pressure_is_never_below_pore_pressure_and_it_is_counted(
    usual: Uncertainty, frame: Frame
) -> None:
    wide = Law("normal", (("mean", 0.0), ("standard_deviation", 300.0)))
    pressures = ("pore_pressure", "fracture_pressure")
    quantities = tuple(
        replace(one, law=wide) if one.key in pressures else one for one in usual.quantities
    )
    apart = replace(usual, quantities=quantities, correlations=())
    drawn = draw(apart, frame, 3, 0, 200)
    pore, fracture = (drawn.curves[key] for key in pressures)
    assert (fracture >= pore).all()
    assert drawn.mended.sum() > 1000
    # at the sea bed itself the two are equal as planned: no node there was mended
    assert np.array_equal(drawn.mended, (fracture == pore)[:, 1:].sum(axis=1))
    assert draw(usual, frame, 3, 0, 200).mended.sum() == 0


def test_alternatives_hold_as_often_as_they_weigh_and_change_what_they_say(
    usual: Uncertainty, frame: Frame
) -> None:
    seal = Alternative(
        "seal", 0.3, (Change("pore_pressure", 60.0, 1.0, 3000.0, 3500.0, ""),
                      Change("rate_of_penetration", 0.0, 0.5, -np.inf, np.inf, ""),
                      Change("bit_life", 0.0, 2.0, -np.inf, np.inf, ""))
    )  # fmt: skip
    both = replace(usual, alternatives=(Alternative("leak", 0.7, ()), seal))
    plain, other = draw(usual, frame, 3, 0, CHUNK), draw(both, frame, 3, 0, CHUNK)
    holds = other.alternatives == 1
    assert holds.mean() == pytest.approx(0.3, abs=5.0 * np.sqrt(0.3 * 0.7 / CHUNK))
    more = other.curves["pore_pressure"] - plain.curves["pore_pressure"]
    inside = (frame.depth >= 3000.0) & (frame.depth <= 3500.0)
    density = more[:, 1:] / gravity(frame.hole) / frame.depth[1:]
    assert density[holds][:, inside[1:]] == pytest.approx(60.0)
    assert density[holds][:, ~inside[1:]] == pytest.approx(0.0, abs=1e-9)
    assert np.array_equal(more[~holds], np.zeros_like(more[~holds]))
    slower = other.curves["rate_of_penetration"] / plain.curves["rate_of_penetration"]
    assert slower[holds] == pytest.approx(0.5)
    assert np.array_equal(other.numbers["bit_life"] / plain.numbers["bit_life"], 1.0 + holds)


def test_an_alternative_that_drives_a_number_out_of_its_bounds_is_refused(
    told: Uncertainty, frame: Frame
) -> None:
    change = Change("plan.coring.rate_of_penetration", -50.0, 1.0, -np.inf, np.inf, "line 7")
    only = replace(told, alternatives=(Alternative("odd", 1.0, (change,)),))
    with pytest.raises(InputErrors, match=r"line 7: found plan.coring.rate_of_penetration of -"):
        draw(only, frame, 3, 0, 20)


# ---- trouble and arrival ---------------------------------------------------------------------


def test_trouble_takes_what_the_plan_allows_on_the_mean(usual: Uncertainty, frame: Frame) -> None:
    """Chance and mean against the derivation: expectation f - 1, variance p m2 (1 + v2 - p)."""
    share = np.concatenate([one.trouble for one in many(usual, frame, 16)])
    chance, variation = usual.trouble[""].chance, usual.trouble[""].variation
    added = frame.hole.basis.trouble_factor - 1.0
    assert (share > 0.0).mean() == pytest.approx(
        chance, abs=5.0 * np.sqrt(chance * (1.0 - chance) / share.size)
    )
    variance = chance * (added / chance) ** 2 * (1.0 + variation**2 - chance)
    assert share.mean() == pytest.approx(added, abs=5.0 * np.sqrt(variance / share.size))
    assert share.std() == pytest.approx(np.sqrt(variance), rel=0.1)  # a heavy tail
    assert (share >= 0.0).all()
    sizes = np.log(share[share > 0.0])
    assert sizes.std() == pytest.approx(np.sqrt(np.log1p(variation**2)), rel=0.02)


def test_a_step_may_have_trouble_of_its_own(usual: Uncertainty, frame: Frame) -> None:
    own = {**usual.trouble, "drill-section-812": Trouble(0.9, 0.0, 0.4)}
    drawn = draw(replace(usual, trouble=own), frame, 3, 0, CHUNK)
    names = [state.step.name for state in frame.states]
    share = drawn.trouble[:, names.index("drill-section-812")]
    assert set(np.round(share, 12)) == {0.0, 0.4}
    assert (share > 0.0).mean() == pytest.approx(0.9, abs=5.0 * np.sqrt(0.09 / CHUNK))


def test_trouble_of_a_step_that_is_not_planned_is_a_fault(usual: Uncertainty, frame: Frame) -> None:
    own = {**usual.trouble, "drill-section-81": Trouble(0.9, 0.0, 0.4, "uncertainty.yaml, line 9")}
    with pytest.raises(InputErrors, match=r"line 9.*'drill-section-81'.*'drill-section-812'"):
        draw(replace(usual, trouble=own), frame, 3, 0, 5)


def test_an_uncertain_trouble_factor_is_followed(frame: Frame, tmp_path: Path) -> None:
    text = (
        "numbers:\n  design_basis.trouble_factor: {distribution: uniform, least: 1, greatest: 2}\n"
    )
    (tmp_path / "uncertainty.yaml").write_text(text + "trouble: {variation: 0}\n", encoding="utf-8")
    drawn = draw(load_uncertainty(tmp_path, frame.hole), frame, 3, 0, CHUNK)
    factor = drawn.numbers[drawing.TROUBLE_FACTOR][:, None]
    struck = drawn.trouble > 0.0
    assert struck.any()
    assert drawn.trouble[struck] == pytest.approx(
        ((factor - 1.0) / 0.25 + 0 * drawn.trouble)[struck]
    )


def test_arrival_is_spread_evenly_over_the_days_told(told: Uncertainty, frame: Frame) -> None:
    start = np.concatenate([one.start for one in many(told, frame, 4)]) / 86400.0
    first, last = 90.0, 181.0  # the first of April to the end of the 30th of June
    assert start.min() >= first
    assert start.max() <= last
    width = last - first
    assert abs(start.mean() - 135.5) < 5.0 * width / np.sqrt(12 * start.size)
    assert np.ptp(start) > 0.99 * width


def test_pores_that_are_open_to_the_sea_spread_nothing(usual: Uncertainty, frame: Frame) -> None:
    """Down to 1,400 m the pore pressure of this hole is that of water: what spreads lies below."""
    assert usual.by_key["pore_pressure"].top == usual.by_key["collapse_pressure"].top
    top = usual.by_key["pore_pressure"].top
    assert 1400.0 < top < 1800.0
    assert usual.by_key["fracture_pressure"].top == 0.0
    drawn, planned = draw(usual, frame, 5, 0, 64), planned_curves(frame)
    above = frame.depth <= top
    moved = drawn.curves["pore_pressure"] - planned["pore_pressure"]
    assert (moved[:, above] == 0.0).all()
    assert (moved[:, ~above] != 0.0).all()
