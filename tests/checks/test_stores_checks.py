"""Stores: nothing used is forgotten, too little never holds. And what bears the conductor."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from bathybore.base.working import Solved, Working
from bathybore.checks.ledger import records_of
from bathybore.checks.record import CheckRecord, Status
from bathybore.model.hole import Hole
from bathybore.operations.state import Consumed, HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import walk_hole
from bathybore.usecases.walking import Walk
from varied import by_step, changed, state_of

MINE = {
    "mud-stock",
    "mud-tanks",
    "barite-stock",
    "cement-stock",
    "drill-water-stock",
    "bit-stock",
    "pipe-stock",
    "casing-stock",
    "days",
    "barriers",
    "shallow-flow",
    "kill-mud",
    "plug-length",
    "plug-across-shoe",
    "bears-itself",
    "conductor-bears-casing",
}


def named(state: HoleState, name: str) -> CheckRecord:
    (found,) = (r for r in records_of(state) if r.name == name)
    return found


# -- books ----------------------------------------------------------------------------------


def test_mud_is_conserved(example_walk: Walk) -> None:
    """What was built stands in hole and pits, lies on the sea floor, or was discarded."""
    for state in example_walk.states:
        used = state.consumed
        gone = used.mud_to_sea_floor + used.mud_discarded
        assert used.mud_built == pytest.approx(state.mud_volume + gone, abs=1e-6), state.step.name


def test_what_a_step_uses_is_what_the_totals_grow_by(example_walk: Walk) -> None:
    before = Consumed()
    for state in example_walk.states:
        for store in vars(Consumed()):
            more = sum(float(use.amount) for use in state.uses if use.store == store)
            grown = getattr(state.consumed, store) - getattr(before, store)
            assert grown == pytest.approx(more, abs=1e-6), f"{state.step.name}: {store}"
        before = state.consumed


def test_mud_is_dumped_when_a_smaller_hole_needs_less(main_walk: Walk) -> None:
    """Casing the 17 1/2 in hole takes mud out of use; it does not vanish from the books."""
    steps = by_step(main_walk.states)
    before, after = steps["release-casing-1338"], steps["test-casing-1338"]
    assert after.mud_volume < before.mud_volume
    dumped = after.consumed.mud_discarded - before.consumed.mud_discarded
    assert dumped == pytest.approx(before.mud_volume - after.mud_volume)


def test_no_mud_reaches_the_sea_floor_with_the_riser_on(example_walk: Walk) -> None:
    for before, after in pairwise(example_walk.states):
        if after.riser is not None:
            assert after.consumed.mud_to_sea_floor == before.consumed.mud_to_sea_floor


def test_mix_water_follows_the_cement(main_walk: Walk) -> None:
    """Water over cement of each job lies between the leanest and the richest slurry's."""
    slurries = main_walk.hole.plan.slurries.values()
    low, high = min(s.mix_water for s in slurries), max(s.mix_water for s in slurries)
    for before, after in pairwise(main_walk.states):
        if after.step.kind in (StepKind.CEMENT, StepKind.PLUG):
            cement = after.consumed.cement - before.consumed.cement
            water = after.consumed.cement_water - before.consumed.cement_water
            assert cement > 0.0
            assert low * cement <= water * (1 + 1e-9)
            assert water <= high * cement * (1 + 1e-9)


# -- short of it ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "value", "step", "check"),
    [
        ("vessel/stores/drill_water", 10.0, "cement-casing-20", "drill-water-stock"),
        ("vessel/stores/drill_water", 10.0, "plug", "drill-water-stock"),
        ("vessel/stores/cement", 1000.0, "plug", "cement-stock"),
        ("vessel/stores/barite", 1000.0, "test-casing-20", "barite-stock"),
        ("vessel/stores/mud_volume", 500.0, "test-casing-20", "mud-stock"),
        ("vessel/stores/mud_volume", 500.0, "test-casing-20", "mud-tanks"),
        ("inventory/casing/conductor-36/length", 80.0, "run-conductor", "casing-stock"),
        ("inventory/casing/casing-20/length", 600.0, "run-casing-20", "casing-stock"),
        ("inventory/pipe/landing-658/length", 1000.0, "run-conductor", "pipe-stock"),
        ("inventory/pipe/landing-658/length", 1000.0, "set-conductor", "pipe-stock"),
        ("inventory/pipe/landing-658/length", 2400.0, "run-casing-20", "pipe-stock"),
        ("inventory/pipe/dp-4/length", 1000.0, "plug", "pipe-stock"),
        ("inventory/pipe/dc-8/length", 100.0, "test-casing-20", "pipe-stock"),
    ],
)
def test_too_little_on_board_fails(
    main_hole: Hole, path: str, value: float, step: str, check: str
) -> None:
    assert named(state_of(main_hole, step), check).status is not Status.FAILS
    assert named(state_of(changed(main_hole, path, value), step), check).status is Status.FAILS


def test_two_casings_from_one_stock_need_both_lengths(main_hole: Hole) -> None:
    """The 9 5/8 in pipe is enough for its own string; a liner cut from it is one too many."""
    hole = changed(main_hole, "inventory/casing/liner-7/length", 1350.0)
    hole = changed(hole, "inventory/casing/casing-958/length", 3450.0)
    assert named(state_of(hole, "run-casing-958"), "casing-stock").status is not Status.FAILS
    same = changed(hole, "plan/sections/3/casing/pipe", "casing-958")
    found = named(state_of(same, "run-liner-7"), "casing-stock")
    assert found.status is Status.FAILS
    assert found.demand is not None
    assert float(found.demand) == pytest.approx(3400.0 + 1350.0)


def test_every_step_with_a_string_counts_its_pipe(example_walk: Walk) -> None:
    kinds = (
        StepKind.RUN_CONDUCTOR,
        StepKind.SET_CONDUCTOR,
        StepKind.TEST_SHOE,
        StepKind.DRILL,
        StepKind.CORE,
        StepKind.RUN_CASING,
        StepKind.PLUG,
    )
    counted = {r.step for r in example_walk.records if r.name == "pipe-stock"}
    assert counted == {s.step.name for s in example_walk.states if s.step.kind in kinds}


# -- openable -------------------------------------------------------------------------------


def test_every_demand_of_stores_can_be_opened(example_walk: Walk) -> None:
    """What is asked for is worked out from something, all the way to the plan and the vessel."""
    seen = set()
    for found in example_walk.records:
        if found.name in MINE and found.demand is not None and found.capacity is not None:
            seen.add(found.name)
            opened = found.demand.origin, found.capacity.origin
            assert any(isinstance(origin, Solved | Working) for origin in opened), found.id
    assert {"mud-stock", "days", "cement-stock", "kill-mud"} <= seen


# -- soil -----------------------------------------------------------------------------------


def flat(hole: Hole, weight: float) -> Hole:
    """Return a hole in soil of one submerged unit weight [N/m3]."""
    from dataclasses import replace

    column = hole.earth.numbers["submerged_unit_weight"]
    numbers = {**hole.earth.numbers, "submerged_unit_weight": np.full_like(column, weight)}
    return replace(hole, earth=replace(hole.earth, numbers=numbers))


def test_overburden_is_the_weight_of_what_lies_above(main_hole: Hole) -> None:
    """The soil's weight grows with depth: what lies above weighs less than at the depth.

    With the weight of the sea bed everywhere the capacity is less, with that at the
    shoe it is more.
    """
    at_shoe = float(main_hole.earth.at("submerged_unit_weight", 85.0))
    at_bed = float(main_hole.earth.at("submerged_unit_weight", 0.0))
    values = []
    for hole in (flat(main_hole, at_bed), main_hole, flat(main_hole, at_shoe)):
        found = named(state_of(hole, "set-conductor"), "bears-itself")
        assert found.capacity is not None
        values.append(float(found.capacity))
    assert values == sorted(values)
    assert values[0] < values[1] < values[2]


def test_side_resistance_in_soil_of_one_weight_by_hand(main_hole: Hole) -> None:
    """One weight, strength a fixed share of it: alpha is constant and the sum has a closed form.

    psi = k / gamma', alpha = 0.5 / sqrt(psi) for psi <= 1, f = alpha k z, F = pi D alpha k L^2 / 2.
    """
    from dataclasses import replace

    weight, share = 6000.0, 0.25
    hole = flat(main_hole, weight)
    strength = share * weight * hole.earth.depths
    numbers = {**hole.earth.numbers, "undrained_shear_strength": strength}
    hole = replace(hole, earth=replace(hole.earth, numbers=numbers))
    hole = changed(hole, "design_basis/immediate_share", 1.0)
    hole = changed(hole, "design_basis/recovery_per_decade", 0.0)
    found = named(state_of(hole, "set-conductor"), "bears-itself")
    alpha = 0.5 / np.sqrt(share)
    by_hand = np.pi * 36 * 0.0254 * alpha * share * weight * 85.0**2 / 2.0
    assert found.capacity is not None
    assert float(found.capacity) == pytest.approx(by_hand, rel=1e-9)


def test_the_walk_of_every_example_still_ends(example_walk: Walk) -> None:
    assert len(walk_hole(example_walk.hole)) == len(example_walk.states)
