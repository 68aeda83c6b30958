"""A cement job of the walk in time: nothing lost, the end is the static one, equals do not fall."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.kernels.cement_placement import interfaces
from bathybore.model.fluid_readings import Readings
from bathybore.operations.casing_loads import (
    Placement,
    inside_after_placement,
    outside_mud,
    placed_layers,
    placement,
    volume_inside,
)
from bathybore.operations.cement_in_time import CementInTime, cement_in_time
from bathybore.operations.columns import depth_nodes, nodes_at
from bathybore.usecases.walking import Walk
from varied import by_step, changed, state_of

JOBS = ("casing-20", "casing-1338", "casing-958", "liner-7")


def job_of(walk: Walk, casing: str) -> Placement:
    state = by_step(walk.states)[f"cement-{casing}"]
    assert state.activity.casing is not None
    return placement(state, state.activity.casing)


@pytest.mark.parametrize("casing", JOBS)
def test_the_job_ends_as_it_is_judged_at_rest(main_walk: Walk, casing: str) -> None:
    """The static checks of the same job stack fluids without following them."""
    job = job_of(main_walk, casing)
    told = cement_in_time(job)
    z = depth_nodes(job.setting, float(job.column_top[0]) + 1.0, float(job.casing.shoe))
    expected = np.asarray(outside_mud(job, z).si)
    np.testing.assert_allclose(told.standing_outside(z)[-1], expected, rtol=5e-4)
    # below the collar stands the slurry that the static check leaves out
    collar = float(job.casing.shoe) - job.plan.cement.shoe_track
    above = nodes_at(collar - 5.0)
    weight = told.standing_inside(above)[-1, 0] - told.placed.pump_pressure[-1]
    still = float(np.asarray(inside_after_placement(job, above).si)[0])
    assert weight == pytest.approx(still, rel=1e-4)


@pytest.mark.parametrize("inner", [False, True])
def test_sea_water_from_inside_stands_above_cement_that_ends_below_the_sea_bed(
    main_walk: Walk, inner: bool
) -> None:
    """Without a riser the casing is full of sea water, which drives the pad mud out ahead of it."""
    cement = "plan/sections/0/casing/cement"
    top = replace(main_walk.hole.plan.sections[2].bottom, metres=450.0)
    hole = changed(main_walk.hole, f"{cement}/top", top)
    hole = changed(hole, f"{cement}/through_inner_string", inner)
    state = state_of(hole, "cement-casing-20")
    assert state.activity.casing is not None
    job = placement(state, state.activity.casing)
    told = cement_in_time(job)
    assert volume_inside(job) == pytest.approx(float(told.placed.way.inside), rel=1e-9)
    z = depth_nodes(job.setting, float(job.column_top[0]) + 1.0, float(job.casing.shoe))
    expected = np.asarray(outside_mud(job, z).si)
    np.testing.assert_allclose(told.standing_outside(z)[-1], expected, rtol=5e-4)
    names = [layer.name for layer in placed_layers(job)]
    assert "sea water" in names
    if not inner:
        assert "mud" not in names  # all of the pad mud is driven out


@pytest.mark.parametrize("casing", JOBS)
def test_fluids_end_where_their_volumes_put_them(main_walk: Walk, casing: str) -> None:
    job = job_of(main_walk, casing)
    told = cement_in_time(job)
    ends = dict(zip(told.names, told.tops()[-1], strict=True))
    for layer in placed_layers(job):
        if layer.name in ends:
            assert ends[layer.name] == pytest.approx(float(layer.top), abs=1e-3)


@pytest.mark.parametrize("casing", JOBS)
def test_every_volume_is_somewhere_at_every_minute(main_walk: Walk, casing: str) -> None:
    told = cement_in_time(job_of(main_walk, casing))
    placed = told.placed
    whole = float(np.sum(placed.way.volume))
    ends = interfaces(placed.way, placed.fluids, placed.out, placed.pumped)
    held = ends[:, :-1] - ends[:, 1:]
    assert (held >= 0.0).all()
    np.testing.assert_allclose(held.sum(axis=-1) + placed.void, whole, rtol=1e-12)
    pumped = held[:, 2:].sum(axis=-1) + np.maximum(placed.out - whole, 0.0)
    np.testing.assert_allclose(pumped, placed.pumped, rtol=1e-9, atol=1e-9)


def test_weight_friction_and_pump_balance_at_every_minute(main_walk: Walk) -> None:
    told = cement_in_time(job_of(main_walk, "casing-1338"))
    placed = told.placed
    moving = np.flatnonzero((placed.out < placed.out[-1]) & (placed.rate > 0.0))[1:]
    left = placed.inside + placed.pump_pressure - placed.outside - placed.friction
    assert np.abs(left[moving]).max() < 0.002 * placed.outside.max()


def _level(walk: Walk) -> CementInTime:
    """The same job with slurries and spacer as light as the mud."""
    hole = walk.hole
    mud = hole.plan.fluids["mud-1"]
    for path in ("fluids/spacer", "slurries/light", "slurries/tail"):
        for field in ("density", "compressibility", "thermal_expansion", "reference_temperature"):
            hole = changed(hole, f"plan/{path}/{field}", getattr(mud, field))
    state = state_of(hole, "cement-casing-1338")
    assert state.activity.casing is not None
    return cement_in_time(placement(state, state.activity.casing))


def test_slurry_as_light_as_mud_does_not_fall(main_walk: Walk) -> None:
    told = _level(main_walk)
    assert not told.falls
    assert told.filled == 0
    np.testing.assert_allclose(told.placed.rate, float(told.rate))
    # the string stands 4 m higher than the flow line: that much mud helps the pump
    helps = told.placed.friction - told.placed.pump_pressure
    np.testing.assert_allclose(helps, 1093.0 * 9.80 * 4.0, rtol=0.03)


def test_an_inner_string_is_quicker_than_the_casing(main_walk: Walk) -> None:
    through = job_of(main_walk, "casing-20")
    hole = changed(main_walk.hole, "plan/sections/0/casing/cement/through_inner_string", False)
    state = state_of(hole, "cement-casing-20")
    assert state.activity.casing is not None
    plain = placement(state, state.activity.casing)
    assert cement_in_time(through).time[-1] < 0.8 * cement_in_time(plain).time[-1]


def test_the_order_in_which_readings_are_listed_says_nothing(main_walk: Walk) -> None:
    """The mud of the job rubs as warm as it stands: colder and thicker than as listed first."""
    job = job_of(main_walk, "casing-1338")
    mud = job.displacement.fluid
    assert len(mud.readings) == 3

    def with_mud(readings: tuple[Readings, ...]) -> Placement:
        law = readings[0].law
        first = {name: getattr(law, name) for name in ("yield_stress", "consistency", "flow_index")}
        told = mud.model_copy(update={"readings": readings, **first})
        return replace(
            job,
            displacement=replace(job.displacement, fluid=told),
            casing=replace(job.casing, outside_fluid=told),
        )

    z = nodes_at(float(job.casing.shoe))
    found = {
        name: cement_in_time(with_mud(readings)).friction_outside(z)
        for name, readings in {
            "as listed": mud.readings,
            "turned": mud.readings[::-1],
            "first alone": mud.readings[:1],
        }.items()
    }
    np.testing.assert_allclose(found["turned"], found["as listed"], rtol=1e-12)
    assert found["as listed"][0, 0] > 1.01 * found["first alone"][0, 0]
