"""Drawn numbers of the hole in the ledger's tables: as planned to the bit, as walked between."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from planned_members import as_planned
from walked_members import records

from bathybore.base.arrays import Array
from bathybore.base.working import Default
from bathybore.checks.record import Status
from bathybore.ensembles.asked_numbers import Effect, Moved, Mover, NumberAsked, mover_of
from bathybore.ensembles.bites import ALONG, at_nodes, each_bite
from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.ledger_depths import LedgerDepths, Which, ledger_depths
from bathybore.ensembles.ledger_numbers import values_asked, with_numbers
from bathybore.ensembles.limits_of_checks import SOIL
from bathybore.ensembles.members import member_hole
from bathybore.ensembles.numbers_of_members import one_moved
from bathybore.ensembles.shapes import Drawn, Frame, Limit
from bathybore.model.hole_numbers import number_at
from bathybore.model.laws import Law
from bathybore.model.loading import load_hole
from bathybore.model.uncertain import Alternative, Change, Uncertain, Uncertainty
from bathybore.model.uncertainty import load_uncertainty

RISERLESS = Path(__file__).parents[2] / "examples" / "riserless"
HOOK = "vessel.hoist.hook_capacity"
FLOW = "plan.sections[0].flow_rate"
WEIGHT = "plan.sections[1].weight_on_bit"
ASKED = (Limit.HOIST, Limit.PUMPS, Limit.CLEANING, Limit.PIPE)
# the liners of a pump are changed: its rate and its rating jump, and are read straight between
JUMPS = ("pump-rate", "pump-pressure")
BETWEEN = 0.005  # of an answer: what straight lines between asked values may miss


@cache
def frame() -> Frame:
    return frame_of(load_hole(RISERLESS))


@cache
def tables() -> LedgerDepths:
    return ledger_depths(frame(), None, Which(ASKED))


def uncertain(*keys: str, least: float = 0.8, greatest: float = 1.2) -> Uncertainty:
    """Return what is uncertain: numbers evenly about what is planned, and nothing else."""
    told = load_uncertainty(RISERLESS, frame().hole)
    ends = {HOOK: 0.05}  # from next to nothing
    quantities = tuple(one_of(key, ends.get(key, least), greatest) for key in keys)
    return replace(told, quantities=quantities)


def one_of(key: str, least: float, greatest: float) -> Uncertain:
    number = number_at(frame().hole.document, key, key)
    ends = (("least", number.planned * least), ("greatest", number.planned * greatest))
    law = Law("uniform", ends, bounds=number.bounds)
    origin = Default(key, "assumed", "of a test")
    return Uncertain(number.key, "number", number.unit, law, number.planned, origin)


@cache
def asked(*keys: str) -> LedgerDepths:
    return with_numbers(tables(), frame(), uncertain(*(keys or (HOOK, FLOW))))


def drawn(**numbers: float) -> Drawn:
    """Return one member, its numbers as shares of the planned."""
    _, one = as_planned(frame())
    values = {
        key: np.full(1, number_at(frame().hole.document, key, key).planned * share)
        for key, share in numbers.items()
    }
    return replace(one, numbers=one.numbers | values)


def test_values_lie_evenly_between_the_ends_of_what_is_drawn() -> None:
    one = one_of(HOOK, 0.5, 1.5)
    planned = one.planned
    alone = uncertain(HOOK)
    values = values_asked(frame(), one, alone)
    assert values / planned == pytest.approx([0.501, 0.7505, 1.0, 1.2495, 1.499])
    assert planned in values
    moved = Change(one.key, 0.0, 2.0, -np.inf, np.inf, "here")
    other = replace(alone, alternatives=(Alternative("twice", 1.0, (moved,)),))
    assert values_asked(frame(), one, other)[-1] == pytest.approx(2.0 * 1.499 * planned)


def test_what_is_certain_is_not_asked() -> None:
    one = replace(one_of(HOOK, 0.9, 1.1), law=Law("fixed"))
    assert values_asked(frame(), one, uncertain(HOOK)).tolist() == [one.planned]


def test_between_two_values_an_answer_goes_straight_and_beyond_them_it_stands() -> None:
    planned = np.array([[2.0, 4.0]])
    known = np.array([1.0, 2.0, 4.0])
    asked_for = np.stack([planned * 0.5, planned, planned * 2.0])
    effect = Effect.of(planned, asked_for)
    assert effect.factor
    one = NumberAsked("n", known, {0: Moved(effect, Effect.of(planned, planned[None]))})
    values = np.array([0.5, 1.0, 1.5, 2.0, 3.0, 9.0])
    members = replace(as_planned(frame(), len(values))[1], numbers={"n": values})
    found = mover_of((one,), 0, members).demand(planned, slice(None))
    assert found[:, 0, 0] == pytest.approx(2.0 * np.array([0.5, 0.5, 0.75, 1.0, 1.5, 2.0]))
    assert found[:, 0, 1] == pytest.approx(2.0 * found[:, 0, 0])
    assert not mover_of((one,), 1, members)


def test_two_numbers_multiply_where_answers_are_above_zero_and_add_where_they_are_not() -> None:
    def doubled(planned: Array) -> NumberAsked:
        both = np.stack([planned, planned * 2.0])
        effect = Effect.of(planned, both)
        return NumberAsked("n", np.array([1.0, 2.0]), {0: Moved(effect, effect)})

    members = replace(as_planned(frame())[1], numbers={"n": np.array([2.0])})
    for number, expected in ((3.0, 12.0), (-3.0, -9.0)):
        planned = np.array([[number]])
        mover = mover_of((doubled(planned), doubled(planned)), 0, members)
        assert float(mover.demand(planned, slice(None))[0, 0, 0]) == pytest.approx(expected)


def test_where_a_moved_hole_has_no_answer_the_planned_one_stands() -> None:
    planned = np.array([[5.0, np.nan]])
    effect = Effect.of(planned, np.array([[[np.nan, 1.0]], [[5.0, np.nan]]]))
    parts = ((np.array([[1.0, 0.0]]), Moved(effect, effect)),)
    found = Mover(parts).demand(planned, slice(None))
    assert found[0, 0, 0] == 5.0
    assert np.isnan(found[0, 0, 1])


def test_as_planned_nothing_moves_to_the_bit() -> None:
    made, one = as_planned(frame(), 2)
    planned = {
        key: np.full(2, number_at(frame().hole.document, key, key).planned) for key in (HOOK, FLOW)
    }
    one = replace(one, numbers=one.numbers | planned)
    ledger = asked()
    assert all(number.moved for number in ledger.numbers)
    with_them = list(each_bite(ledger, frame(), made, one))
    without = list(each_bite(tables(), frame(), made, one))
    assert all(np.array_equal(a, b) for a, b in zip(with_them, without, strict=True))


def test_a_hoist_that_bears_less_has_that_much_less_and_is_asked_for_the_same() -> None:
    number = next(one for one in asked().numbers if one.key == HOOK)
    assert {tables().tables[at].check for at in number.moved} == {"hook-load"}
    for moved in number.moved.values():
        assert np.allclose(moved.demand.by, 1.0, rtol=1e-9)
        shares = number.values / number_at(frame().hole.document, HOOK, HOOK).planned
        assert np.allclose(moved.capacity.by, shares[:, None, None], rtol=1e-9)


def read(ledger: LedgerDepths, member: Drawn) -> dict[str, tuple[float, float]]:
    """Return demand and capacity of every table where the plan asks, by the ids of questions."""
    found: dict[str, tuple[float, float]] = {}
    deepest: dict[str, int] = {}
    for at, table in enumerate(ledger.tables):
        mover = mover_of(ledger.numbers, at, member)
        if not mover or table.left is not None or table.check in SOIL:
            continue
        here = frame().hole.plan.sections[table.section] if table.section >= 0 else None
        if table.moment in ALONG:
            assert here is not None
            bottom = frame().hole.frame.below_sea_bed(here.bottom)
            row = int(np.argmin(np.abs(frame().depth - bottom)))
            one = at_nodes(frame(), table)
            if one.follows:
                continue
            demand, capacity = one.demand, one.capacity
        else:
            shoe = table.depth[0]
            if here is not None and here.casing is not None:
                shoe = frame().hole.frame.below_sea_bed(here.casing.shoe)
            row = int(np.argmin(np.abs(table.depth - shoe)))
            demand, capacity = table.demand, table.capacity
        mud = 0 if len(table.density) == 1 else 1
        asked_for = float(mover.demand(demand, slice(None))[0, row, mud])
        there = float(mover.capacity(capacity, slice(None))[0, row, mud])
        if deepest.get(table.id, -1) <= row:  # of casings the hole furthest below counts
            deepest[table.id] = row
            found[table.id] = asked_for, there
    return found


@pytest.mark.parametrize("share", [0.88, 1.07, 1.15])
@pytest.mark.parametrize("key", [FLOW, WEIGHT])
def test_between_asked_values_the_tables_say_what_the_walk_of_the_member_says(
    key: str, share: float
) -> None:
    ledger = asked(WEIGHT) if key == WEIGHT else asked()
    found = read(ledger, drawn(**{key: share}))
    assert found
    value = number_at(frame().hole.document, key, key).planned * share
    walked = records(member_hole(frame(), one_moved(frame(), key, value), 0))
    for name, (demand, capacity) in found.items():
        record = walked[name]
        assert record.demand is not None
        assert record.capacity is not None
        assert demand == pytest.approx(float(record.demand), rel=BETWEEN), name
        fails = demand - capacity > 1e-9 * abs(capacity)
        assert fails == (record.status is Status.FAILS), name
        if record.name not in JUMPS:
            assert capacity == pytest.approx(float(record.capacity), rel=BETWEEN), name


def test_who_a_weak_hoist_ends_fails_in_the_walk_and_no_other() -> None:
    ledger = asked()
    planned = number_at(frame().hole.document, HOOK, HOOK).planned
    shares = np.array([0.1, 0.2, 0.3, 0.4, 0.5, 0.7])
    made, one = as_planned(frame(), len(shares))
    one = replace(one, numbers=one.numbers | {HOOK: planned * shares})
    hook = [n for n, table in enumerate(ledger.tables) if table.check == "hook-load"]
    every = list(each_bite(ledger, frame(), made, one))
    target = frame().depth[frame().target]
    bitten = np.min([every[n] for n in hook], axis=0) <= target + 1e-3
    for share, bites in zip(shares, bitten, strict=True):
        walked = records(member_hole(frame(), one_moved(frame(), HOOK, planned * share), 0))
        fails = [r for r in walked.values() if r.name == "hook-load" and r.status is Status.FAILS]
        assert bool(fails) == bool(bites), share
    assert bitten.any()
    assert not bitten.all()


def test_a_value_at_which_no_hole_can_be_walked_is_left_out_and_said() -> None:
    one = one_of("site.water_depth", 0.9, 1.1)  # the earth table begins at the planned sea bed
    uncertainty = replace(uncertain(HOOK), quantities=(one,))
    (number,) = with_numbers(tables(), frame(), uncertainty).numbers
    assert number.values.tolist() == [one.planned]
    assert not number.moved
    assert len(number.not_asked) == 4
    assert all("site.water_depth of" in why and "earth.csv" in why for why in number.not_asked)
