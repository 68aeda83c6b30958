"""Heat of the walked holes: bounds, the sea outside, tendencies, settled and in time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.base.working import FromWalk, Value
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.circulation import of_drilling, string_fits
from bathybore.operations.heat_cells import Warmed, heat_cells, imbalance, settled
from bathybore.operations.heat_in_time import heat_story, stopped
from bathybore.operations.heat_profile import (
    circulating_temperature,
    pipe_temperature,
    static_temperature,
    warmed,
)
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.usecases.walking import Walk
from varied import EXAMPLES, by_step, changed, state_of

DAY = 86400.0


@pytest.fixture(scope="module")
def riserless() -> Hole:
    return load_hole(EXAMPLES / "riserless")


def flowing(walk: Walk) -> list[HoleState]:
    kinds = (StepKind.DRILL, StepKind.CORE, StepKind.CEMENT)
    return [
        s
        for s in walk.states
        if s.step.kind in kinds and (s.step.kind is StepKind.CEMENT or string_fits(s))
    ]


def test_settled_heat_balances_in_every_step(example_walk: Walk) -> None:
    for state in flowing(example_walk):
        found = settled(warmed(state))
        assert found.residual < 1e-9
        assert imbalance(found.path, found.heat) < 1e-9


def test_friction_aside_mud_stays_between_pits_sea_and_ground(example_walk: Walk) -> None:
    for state in flowing(example_walk):
        found = settled(warmed(state))
        path = found.path
        carried = float(path.pipe_flow[0])
        made = float(np.sum((path.pipe_heat + path.annulus_heat) * path.length) + path.bit_heat[0])
        warmer = made / carried  # what friction could at most add
        low = min(float(path.surroundings.min()), float(path.inlet[0]), float(path.booster[0]))
        high = max(float(path.surroundings.max()), float(path.inlet[0])) + warmer
        for numbers in (found.heat.pipe, found.heat.annulus):
            assert low - 1e-9 <= numbers.min()
            assert numbers.max() <= high + 1e-9


def test_circulation_cools_a_deep_hole(example_walk: Walk) -> None:
    for state in flowing(example_walk):
        bottom = float(state.activity.end or state.bottom)
        cooled = float(circulating_temperature(state, bottom))
        still = float(static_temperature(state, bottom))
        assert cooled < still
        assert cooled > 273.15


def test_open_sea_has_the_temperature_of_the_sea(riserless: Hole) -> None:
    state = state_of(riserless, "drill-top-hole")
    z = np.array([100.0, 1000.0, 2000.0])
    told = np.asarray(circulating_temperature(state, z).si)
    cells = heat_cells(warmed(state), 60.0)
    sea = np.interp(z, cells.middle, np.asarray(static_temperature(state, cells.middle).si))
    np.testing.assert_allclose(told, sea, atol=1e-9)


def test_the_cold_sea_cools_what_goes_down_an_open_pipe(riserless: Hole) -> None:
    state = state_of(riserless, "drill-core-hole")
    z = np.array([200.0, 1000.0, 2500.0])
    down = np.asarray(pipe_temperature(state, z).si)
    assert np.all(np.diff(down) < 0.0)


def with_rate(flow: Warmed, factor: float) -> Warmed:
    rate = Value("flow_rate", float(flow.flow_rate) * factor, "m3/s", FromWalk("varied"))
    return replace(flow, flow_rate=rate)


def test_more_flow_keeps_the_bottom_nearer_the_pits(main_walk: Walk) -> None:
    flow = warmed(by_step(main_walk.states)["drill-section-812"])
    # slow enough that friction makes little heat
    bottoms = [float(settled(with_rate(flow, f)).heat.annulus[-1]) for f in (0.1, 0.2, 0.4)]
    assert bottoms == sorted(bottoms, reverse=True)


def test_no_flow_at_all_is_undisturbed(main_walk: Walk) -> None:
    flow = stopped(warmed(by_step(main_walk.states)["drill-section-812"]))
    found = settled(flow)
    np.testing.assert_allclose(found.heat.annulus, found.path.surroundings, atol=1e-6)
    np.testing.assert_allclose(found.heat.pipe, found.path.surroundings, atol=1e-6)


def test_a_warmer_pit_warms_the_whole_hole(main_hole: Hole, main_walk: Walk) -> None:
    cold = settled(warmed(by_step(main_walk.states)["drill-section-1712"])).heat
    hot_hole = changed(main_hole, "design_basis/pumped_temperature", 323.15)
    hot = settled(warmed(state_of(hot_hole, "drill-section-1712"))).heat
    assert np.all(hot.pipe > cold.pipe)
    assert np.all(hot.annulus > cold.annulus)


def test_a_riser_in_buoyancy_loses_less(main_hole: Hole, main_walk: Walk) -> None:
    wrapped = settled(warmed(by_step(main_walk.states)["drill-section-1712"]))
    bare_hole = changed(main_hole, "inventory/riser/stack_up/2/buoyancy_lift", 0.0)
    bare_hole = changed(bare_hole, "inventory/riser/stack_up/3/buoyancy_lift", 0.0)
    bare = settled(warmed(state_of(bare_hole, "drill-section-1712")))
    riser = wrapped.cells.where("riser")
    assert np.all(bare.path.wall_conductance[riser] > wrapped.path.wall_conductance[riser])
    assert bare.heat.annulus[0] < wrapped.heat.annulus[0]


def test_followed_for_its_time_it_is_nearly_the_settled_one(main_walk: Walk) -> None:
    for name in ("drill-section-1712", "drill-section-812", "core"):
        flow = warmed(by_step(main_walk.states)[name])
        story = heat_story(flow, DAY, 3600.0)
        steady = settled(flow).heat.annulus
        np.testing.assert_allclose(story.circulated.mud.annulus, steady, atol=1.5)


def test_a_stopped_hole_warms_towards_the_ground(main_walk: Walk) -> None:
    flow = warmed(by_step(main_walk.states)["drill-section-812"])
    still = float(settled(flow).path.surroundings[-1])
    ends = [
        float(heat_story(flow, DAY, hours * 3600.0).at_bottom[-1]) for hours in (1, 4, 24, 2400)
    ]
    assert ends == sorted(ends)
    assert ends[-1] < still
    assert ends[-1] > 0.9 * (still - 273.15) + 273.15


def test_a_step_that_pumps_nothing_is_refused(main_walk: Walk) -> None:
    state = by_step(main_walk.states)["run-riser"]
    with pytest.raises(LookupError):
        circulating_temperature(state, 1000.0)


def test_a_circulation_and_its_step_say_the_same(main_walk: Walk) -> None:
    state = by_step(main_walk.states)["drill-section-812"]
    z = np.array([500.0, 3000.0, 6000.0])
    by_flow = circulating_temperature(of_drilling(state), z)
    np.testing.assert_array_equal(
        np.asarray(by_flow.si), np.asarray(circulating_temperature(state, z).si)
    )
    assert by_flow.depth_axis == -1
