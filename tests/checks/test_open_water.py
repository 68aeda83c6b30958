"""Pipe in open water: pulls against weights counted apart, shapes against the cable, by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.checks.open_water import open_water_checks
from bathybore.checks.record import CheckRecord
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.loads import casing_weight, string_weight
from bathybore.operations.open_water import in_current, reaching, working
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import walk_hole
from varied import EXAMPLES, changed

ASKED = {
    StepKind.RUN_CONDUCTOR, StepKind.RUN_CASING, StepKind.DRILL, StepKind.CORE, StepKind.PLUG,
}  # fmt: skip


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(EXAMPLES / "main")


def with_current(hole: Hole, factor: float) -> Hole:
    """Return a hole whose current is multiplied at all depths."""
    numbers = dict(hole.sea.numbers)
    numbers["current_speed"] = numbers["current_speed"] * factor
    surface = "site/environment/surface_current"
    swifter: Hole = changed(
        replace(hole, sea=replace(hole.sea, numbers=numbers)), surface, lambda v: factor * v
    )
    return swifter


def state_of(hole: Hole, step: str) -> HoleState:
    return next(state for state in walk_hole(hole) if state.step.name == step)


def records(hole: Hole, step: str) -> dict[str, CheckRecord]:
    return {one.name: one for one in open_water_checks(state_of(hole, step))}


def test_asked_of_every_step_without_a_riser_and_of_no_other(hole: Hole) -> None:
    for state in walk_hole(hole):
        if state.step.kind in ASKED:
            assert bool(list(open_water_checks(state))) is (state.riser is None)


def test_conductor_and_string_pull_with_all_their_weight(hole: Hole) -> None:
    state = state_of(hole, "run-conductor")
    hanging, sea = reaching(state), sea_water(hole)
    assert hanging is not None
    assert state.hanging_casing is not None
    assert state.activity.string is not None
    weighs = float(string_weight(state.activity.string, sea, sea)) + float(
        casing_weight(state.hanging_casing, sea, sea)
    )
    tension = np.asarray(hanging.tension.si)
    assert tension[0] == pytest.approx(weighs, rel=1e-6)
    assert tension[-1] == pytest.approx(0.0, abs=1.0)
    assert (np.diff(tension) <= 1e-6).all()


def test_a_casing_hangs_on_as_much_string_as_reaches_the_floor(hole: Hole) -> None:
    hanging = reaching(state_of(hole, "run-casing-20"))
    assert hanging is not None
    casing = hanging.pieces[-1]
    assert casing.pipe.name == "casing-20"
    assert casing.bottom - casing.top == pytest.approx(700.0)
    assert hanging.pieces[0].top == hole.drill_floor
    for upper, lower in zip(hanging.pieces[:-1], hanging.pieces[1:], strict=True):
        assert upper.bottom == lower.top


def test_a_string_at_work_pulls_with_what_hangs_in_the_hole_too(hole: Hole) -> None:
    state = state_of(hole, "drill-top-hole")
    hanging, sea = working(state), sea_water(hole)
    assert hanging is not None
    assert state.activity.string is not None
    weighs = float(string_weight(state.activity.string, sea, sea))
    assert np.asarray(hanging.tension.si)[0] == pytest.approx(weighs, rel=1e-6)
    assert hanging.nodes[-1] == hole.sea_bed
    shape = in_current(hanging).shape
    assert abs(shape.displacement[-1]) + abs(shape.rotation[-1]) == 0.0


def test_the_foot_is_carried_off_as_a_cable_would_be(hole: Hole) -> None:
    """Slope of a cable: push below over pull there; stiffness matters by the metre only."""
    hanging = reaching(state_of(hole, "drill-top-hole"))
    assert hanging is not None
    z, gaps = hanging.nodes, np.diff(hanging.nodes)
    load = np.asarray(hanging.load.si).reshape(-1, 2).mean(axis=1)
    pull = np.asarray(hanging.tension.si).reshape(-1, 2)
    below = np.append(np.cumsum((load * gaps)[::-1])[::-1], 0.0)
    slope = 0.5 * (below[1:] + below[:-1]) / pull.mean(axis=1)
    assert z[0] == hole.drill_floor
    offset = float(in_current(hanging).foot_offset)
    assert offset == pytest.approx(float(np.sum(slope * gaps)), rel=0.02)


def test_twice_the_current_bends_and_carries_off_four_times_as_much(hole: Hole) -> None:
    def told(factor: float, name: str) -> float:
        record = records(with_current(hole, factor), "run-conductor")[name]
        assert record.demand is not None
        return float(record.demand)

    offset = [told(factor, "open-water-offset") for factor in (0.5, 1.0)]
    assert offset[1] == pytest.approx(4.0 * offset[0], rel=1e-6)
    still, half, whole = (told(factor, "open-water-reaching") for factor in (0.0, 0.5, 1.0))
    assert whole - still == pytest.approx(4.0 * (half - still), rel=1e-6)
    assert still > 0.0


def test_in_still_water_only_the_weight_pulls(hole: Hole) -> None:
    state = state_of(with_current(hole, 0.0), "drill-top-hole")
    (record, _) = open_water_checks(state)
    hanging = reaching(state)
    assert hanging is not None
    assert record.demand is not None
    pipe = hanging.pieces[0].pipe
    left = 0.9 * float(pipe.wall)  # of landing-658
    outside = float(pipe.inside_diameter) + 2.0 * left
    area = np.pi * (outside - left) * left
    heave = 1.0 + hole.vessel.hoist.heave_residual_load
    weighs = float(np.asarray(hanging.tension.si)[0])
    assert float(record.demand) == pytest.approx(weighs / area * heave, rel=1e-6)


def test_light_alloy_bends_with_its_own_stiffness(hole: Hole) -> None:
    stock = dict(hole.inventory.pipe)
    stock["landing-658"] = stock["landing-658"].model_copy(
        update={"material": "titanium", "grade": None, "yield_strength": 8.3e8}
    )
    light = changed(hole, "inventory/pipe", stock)
    steel, titanium = (reaching(state_of(one, "drill-top-hole")) for one in (hole, light))
    assert steel is not None
    assert titanium is not None
    ratio = titanium.pieces[0].stiffness / steel.pieces[0].stiffness
    assert ratio == pytest.approx(114.0 / 206.8)
