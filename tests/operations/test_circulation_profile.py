"""A circulation depth by depth: the same numbers as the checks, conservation, corrections."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.base.working import FromWalk, Value
from bathybore.checks.window import bound_high, open_nodes
from bathybore.model.fluid_readings import Readings
from bathybore.model.hole import Hole
from bathybore.operations.circulation import (
    Circulation,
    annulus_friction,
    annulus_pressure,
    annulus_rheology,
    bore_friction,
    bore_pressure,
    bore_rheology,
    of_drilling,
    pressure_while_circulating,
    pump_pressure,
    string_fits,
)
from bathybore.operations.circulation_nozzles import nozzle_choice, parasitic_loss
from bathybore.operations.circulation_profile import circulation_profile
from bathybore.operations.circulation_pumps import usable_pressure, usable_pressures
from bathybore.operations.circulation_sweep import crossing, flow_window, sweep
from bathybore.operations.columns import gravity
from bathybore.operations.downhole_tools import lost_above, together
from bathybore.operations.geometry import bores
from bathybore.operations.heat_cells import annulus_temperature
from bathybore.operations.kick import slow_friction
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.trips import moved_pipe, trip_speeds
from bathybore.usecases.walking import Walk
from varied import by_step, changed, state_of


def drilling(walk: Walk) -> list[HoleState]:
    kinds = (StepKind.DRILL, StepKind.CORE)
    return [s for s in walk.states if s.step.kind in kinds and string_fits(s)]


def test_cells_fill_the_channels_and_carry_the_flow(example_walk: Walk) -> None:
    for state in drilling(example_walk):
        flow = of_drilling(state)
        profile = circulation_profile(flow, 25.0)
        for channel in (profile.annulus, profile.pipe):
            cells = channel.cells
            assert np.max(cells.length) <= 25.0 + 1e-6
            np.testing.assert_allclose(cells.top[1:], cells.bottom[:-1])
            area = 0.25 * np.pi * (cells.outer_diameter**2 - cells.inner_diameter**2)
            boost = np.array([k == "riser" for k in cells.kinds]) * float(flow.booster_flow_rate)
            carried = np.asarray(channel.velocity.si) * area
            np.testing.assert_allclose(carried, float(flow.flow_rate) + boost, rtol=1e-12)


def test_without_expansion_it_is_the_pressure_of_the_checks(main_hole: Hole) -> None:
    """Temperature acts by expansion alone here: without it both ways agree to rounding."""
    one_law = measured(main_hole, (293.15, 1.0))
    rigid = changed(one_law, "plan/fluids/mud-3/thermal_expansion", 0.0)
    rigid = changed(rigid, "plan/fluids/mud-3/readings", ())  # one flow law everywhere
    state = state_of(rigid, "drill-section-812")
    flow = of_drilling(state)
    profile = circulation_profile(flow, 25.0)
    z = profile.annulus.cells.bottom
    quick = np.asarray(pressure_while_circulating(flow, z).si)
    np.testing.assert_allclose(np.asarray(profile.annulus.pressure.si), quick, rtol=1e-12)
    # the string is full up to the drill floor, the riser up to the flow line
    setting = flow.setting
    head = float(setting.flow_line) - float(setting.drill_floor)
    higher = flow.fluid.density * gravity(setting) * head
    assert float(profile.standpipe) == pytest.approx(float(pump_pressure(flow)) - higher, rel=2e-4)


def test_pressures_meet_at_the_bit(example_walk: Walk) -> None:
    for state in drilling(example_walk):
        profile = circulation_profile(of_drilling(state), 25.0)
        inside = float(np.asarray(profile.pipe.pressure.si)[-1])
        assert inside - float(profile.bit) == pytest.approx(profile.bottom_pressure, rel=1e-9)


def test_finer_cells_change_nothing_but_detail(main_walk: Walk) -> None:
    flow = of_drilling(by_step(main_walk.states)["drill-section-812"])
    coarse, fine = (circulation_profile(flow, length) for length in (100.0, 10.0))
    assert coarse.bottom_pressure == pytest.approx(fine.bottom_pressure, rel=1e-5)
    assert float(coarse.standpipe) == pytest.approx(float(fine.standpipe), rel=1e-3)


def test_colder_mud_is_heavier(main_hole: Hole, main_walk: Walk) -> None:
    warm = circulation_profile(of_drilling(by_step(main_walk.states)["drill-section-812"]), 50.0)
    cold_hole = changed(main_hole, "design_basis/pumped_temperature", 276.15)
    cold = circulation_profile(of_drilling(state_of(cold_hole, "drill-section-812")), 50.0)
    assert cold.bottom_pressure > warm.bottom_pressure
    assert np.all(np.asarray(cold.annulus.density.si) > np.asarray(warm.annulus.density.si))


# -- corrections of the basis -----------------------------------------------------------


def friction(hole: Hole) -> np.ndarray:
    flow = of_drilling(state_of(hole, "drill-section-812"))
    return np.asarray(annulus_friction(flow, flow.annuli).si)


def test_corrections_act_one_by_one(main_hole: Hole) -> None:
    plain = friction(main_hole)
    aside = friction(changed(main_hole, "design_basis/string_eccentricity", 0.6))
    assert np.all(aside < plain)
    turning = friction(changed(main_hole, "design_basis/rotation_factor", 1.25))
    np.testing.assert_allclose(turning, 1.25 * plain, rtol=1e-12)
    jointed = friction(changed(main_hole, "design_basis/tool_joints_counted", True))
    assert np.all(jointed >= plain * (1.0 - 1e-12))
    assert np.max(jointed / plain) > 1.01


def test_eccentricity_in_a_wide_hole_is_outside_validity(main_hole: Hole) -> None:
    """An 8 in collar in a 26 in hole: its factors were fitted to ratios of 0.3 to 0.9."""
    aside = changed(main_hole, "design_basis/string_eccentricity", 0.6)
    flow = of_drilling(state_of(aside, "drill-top-hole"))
    told = " ".join(annulus_friction(flow, flow.annuli).outside_validity())
    assert "diameter ratio" in told


# -- readings at several temperatures ---------------------------------------------------


def measured(hole: Hole, *conditions: tuple[float, ...]) -> Hole:
    """Return a hole whose mud-3 has readings: (temperature [K], factor on the dials[, MPa])."""
    dials = {"dial_600": 94.0, "dial_300": 60.0, "dial_200": 47.0, "dial_100": 31.0,
             "dial_6": 9.0, "dial_3": 8.0}  # fmt: skip
    readings = tuple(
        Readings.model_validate(
            {
                "temperature": f"{warmth} K",
                "pressure": f"{deep[0] if deep else 0.0} MPa",
                **{k: factor * v for k, v in dials.items()},
            }
        )
        for warmth, factor, *deep in conditions
    )
    law = readings[0].law
    fluid = hole.plan.fluids["mud-3"].model_copy(
        update={
            "readings": readings,
            "yield_stress": law.yield_stress,
            "consistency": law.consistency,
            "flow_index": law.flow_index,
        }
    )
    return changed(hole, "plan/fluids/mud-3", fluid)


def test_readings_alike_at_two_temperatures_are_one_law(main_hole: Hole) -> None:
    one = pump_pressure(
        of_drilling(state_of(measured(main_hole, (293.15, 1.0)), "drill-section-812"))
    )
    two_hole = measured(main_hole, (273.15, 1.0), (373.15, 1.0))
    two = pump_pressure(of_drilling(state_of(two_hole, "drill-section-812")))
    assert float(two) == pytest.approx(float(one), rel=1e-9)


def test_mud_that_thins_with_heat_loses_less_where_it_is_warm(main_hole: Hole) -> None:
    hole = measured(main_hole, (273.15, 1.0), (353.15, 0.5))
    flow = of_drilling(state_of(hole, "drill-section-812"))
    segments = flow.annuli
    assert np.max(segments.length) <= 100.0 + 1e-6
    middle = 0.5 * (segments.top + segments.bottom)
    warmth = np.asarray(annulus_temperature(flow.warmed, middle).si)
    lost = np.asarray(annulus_friction(flow, segments).si)
    same = np.array([name == "dp-578 in casing-958" for name in segments.names])
    order = np.argsort(warmth[same])
    assert np.all(np.diff(lost[same][order]) <= 1e-9 * lost[same].max())


PRESSED = ((273.15, 1.0), (373.15, 1.0), (373.15, 1.5, 120.0))


def test_readings_alike_at_two_pressures_are_the_law_without_pressure(main_hole: Hole) -> None:
    one = pump_pressure(
        of_drilling(state_of(measured(main_hole, (293.15, 1.0)), "drill-section-812"))
    )
    alike = measured(main_hole, (273.15, 1.0), (373.15, 1.0), (373.15, 1.0, 120.0))
    flow = of_drilling(state_of(alike, "drill-section-812"))
    assert float(pump_pressure(flow)) == pytest.approx(float(one), rel=1e-4)
    assert pump_pressure(flow).outside_validity() == ()


def test_pressure_thickens_and_settles_with_its_own_friction(main_hole: Hole) -> None:
    """The law in every cell is that at the pressure that the friction of that law makes."""
    flow = of_drilling(state_of(measured(main_hole, *PRESSED), "drill-section-812"))
    plain_hole = measured(main_hole, (273.15, 1.0), (373.15, 1.0))
    plain = of_drilling(state_of(plain_hole, "drill-section-812"))
    assert float(pump_pressure(flow)) > 1.02 * float(pump_pressure(plain))
    law = flow.fluid.conditions_law
    for segments, rheology, pressure, friction in (
        (flow.annuli, annulus_rheology, annulus_pressure, annulus_friction),
        (flow.inside, bore_rheology, bore_pressure, bore_friction),
    ):
        there = np.asarray(pressure(flow, segments).si)
        found = np.asarray(rheology(flow, segments)["consistency_index"].si)
        grown = np.exp(law.consistency_exponents[0] * there / 120e6)
        np.testing.assert_allclose(found, law.consistency * grown, rtol=1e-4)
        lost = np.asarray(friction(flow, segments).si) * segments.length
        middle = np.cumsum(lost) - 0.5 * lost
        if segments is flow.inside:
            tools = float(together(flow.tools)) - lost_above(flow.tools, segments.middle)
            middle = np.sum(lost) - middle + tools
        # what is left without friction and tools is a smooth column: no step from cell to cell
        slope = np.diff(there - middle) / np.diff(0.5 * (segments.top + segments.bottom))
        assert np.ptp(slope) < 0.03 * np.mean(slope)


def test_the_profile_meets_the_law_under_pressure(main_hole: Hole) -> None:
    """Pressures that the law was taken at are those that come out, cuttings and heat aside."""
    flow = of_drilling(state_of(measured(main_hole, *PRESSED), "drill-section-812"))
    profile = circulation_profile(flow, 50.0)
    for channel, pressure in ((profile.annulus, annulus_pressure), (profile.pipe, bore_pressure)):
        asked = np.asarray(pressure(flow, channel.cells).si)
        foot = np.asarray(channel.pressure.si)
        np.testing.assert_allclose(0.5 * (foot[1:] + foot[:-1]), asked[1:], atol=2.5e6)


def test_flows_tried_have_the_law_of_the_planned_flow(main_hole: Hole) -> None:
    flow = of_drilling(state_of(measured(main_hole, *PRESSED), "drill-section-812"))
    tried = at(flow, 1.4 * float(flow.flow_rate), float(flow.rate_of_penetration))
    for name in ("consistency_index", "yield_stress"):
        np.testing.assert_array_equal(
            np.asarray(annulus_rheology(tried, flow.annuli)[name].si),
            np.asarray(annulus_rheology(flow, flow.annuli)[name].si),
        )


def test_more_pressed_than_measured_is_outside_validity(main_hole: Hole) -> None:
    hole = measured(main_hole, (273.15, 1.0), (373.15, 1.0), (373.15, 1.5, 40.0))
    flow = of_drilling(state_of(hole, "drill-section-812"))
    assert any("pressure_share" in text for text in pump_pressure(flow).outside_validity())


def test_surge_and_choke_line_follow_pressure_and_cold(main_hole: Hole) -> None:
    """Thicker by pressure, surge and choke-line friction grow; alike everywhere they do not."""
    setting, step = main_hole.setting, "drill-section-812"

    def asked(*conditions: tuple[float, ...]) -> tuple[float, float, float]:
        state = state_of(measured(main_hole, *conditions), step)
        string, fluid = state.activity.string, state.activity.fluid
        assert string is not None
        assert fluid is not None
        moved = moved_pipe(setting, bores(state), string, fluid, 0.3)
        z = np.array([float(string.bottom) - 1.0, float(string.bottom)])
        room = np.full(2, 2e6)
        speeds = trip_speeds(setting, bores(state), string, fluid, z, room, room)
        return moved.closed, float(speeds.either[-1]), float(slow_friction(setting, fluid))

    alike, pressed = asked(*PRESSED[:2]), asked(*PRESSED)
    assert pressed[0] > 1.02 * alike[0]
    assert pressed[1] < 0.99 * alike[1]
    assert pressed[2] > 1.005 * alike[2]
    plain = measured(main_hole, (293.15, 1.0)).plan.fluids["mud-3"]
    cold = measured(main_hole, (273.15, 1.5), (293.15, 1.0)).plan.fluids["mud-3"]
    assert alike[2] == pytest.approx(float(slow_friction(setting, plain)), rel=1e-4)
    # the line stands in the sea
    assert float(slow_friction(setting, cold)) > 1.1 * float(slow_friction(setting, plain))


def test_warmer_than_measured_is_outside_validity(main_hole: Hole) -> None:
    hole = measured(main_hole, (273.15, 1.0), (283.15, 0.9))
    flow = of_drilling(state_of(hole, "drill-section-812"))
    assert any("measured_share" in text for text in pump_pressure(flow).outside_validity())


def test_the_fit_opens_down_to_the_dials(main_hole: Hole) -> None:
    fluid = measured(main_hole, (293.15, 1.0)).plan.fluids["mud-3"]
    value = fluid.value("consistency", "consistency_index")
    assert value.origin.residual == pytest.approx(fluid.readings[0].law.share)  # type: ignore[union-attr]
    assert [one.name for one in value.origin.inputs] == ["dial_reading"] * 6


# -- many at once -----------------------------------------------------------------------


def bears(state: HoleState) -> tuple[np.ndarray, np.ndarray]:
    z = open_nodes(state)
    return z, np.asarray(bound_high(state, z).si)


def at(flow: Circulation, rate: float, drilling_rate: float) -> Circulation:
    return replace(
        flow,
        flow_rate=Value("flow_rate", rate, "m3/s", FromWalk("varied")),
        rate_of_penetration=Value("rate_of_penetration", drilling_rate, "m/s", FromWalk("varied")),
        in_place_of=flow,
    )


def test_a_sweep_is_what_each_circulation_is_alone(example_walk: Walk) -> None:
    for state in drilling(example_walk):
        flow = of_drilling(state)
        z, limit = bears(state)
        planned, rate = float(flow.flow_rate), float(flow.rate_of_penetration)
        flows, rates = planned * np.array([0.6, 1.0, 1.3]), rate * np.array([0.5, 1.0])
        grid = sweep(flow, flows, rates, z, limit)
        for i, drill in enumerate(rates):
            for j, one in enumerate(flows):
                alone = at(flow, float(one), float(drill))
                pressure = np.asarray(pressure_while_circulating(alone, z).si)
                # stresses solved all together end an iteration apart from those solved alone
                np.testing.assert_allclose(grid.pressure[i, j], pressure, rtol=1e-5)
                assert grid.pump_pressure[i, j] == pytest.approx(
                    float(pump_pressure(alone)), rel=1e-8
                )


def test_the_window_ends_where_the_checks_turn(main_walk: Walk) -> None:
    """At the edge found the margin is nothing; a little inside it is well, outside it is not."""
    state = by_step(main_walk.states)["drill-section-812"]
    flow, (z, limit) = of_drilling(state), bears(state)
    window = flow_window(flow, z, limit)
    rate = np.array([float(flow.rate_of_penetration)])
    for edge, name, inward in (
        (window.smallest, "clean", 1.01),
        (window.greatest, "whole", 0.99),
        (window.pumped, "pumps", 0.99),
    ):
        assert edge is not None
        inside, outside = (
            sweep(flow, np.array([edge * f]), rate, z, limit) for f in (inward, 2.0 - inward)
        )
        assert getattr(inside, name)[0, 0] > 0.0 > getattr(outside, name)[0, 0]


def test_crossings() -> None:
    flows = np.array([1.0, 2.0, 3.0, 4.0])
    assert crossing(flows, np.array([-1.0, 1.0, 2.0, 3.0]), first=True) == pytest.approx(1.5)
    assert crossing(flows, np.array([3.0, 1.0, -1.0, -2.0]), first=False) == pytest.approx(2.5)
    assert crossing(flows, np.array([-1.0, -1.0, -1.0, -1.0]), first=True) is None
    assert crossing(flows, np.array([1.0, 1.0, 1.0, -1.0]), first=True) is None
    assert crossing(flows, np.array([1.0, 1.0, 1.0, 1.0]), first=False) == 4.0
    assert crossing(flows, np.array([1.0, -1.0, 1.0, 1.0]), first=True) == pytest.approx(2.5)


# -- pumps and nozzles ------------------------------------------------------------------


def test_usable_pressures_of_many_are_those_of_each(example_walk: Walk) -> None:
    for state in drilling(example_walk):
        flow = of_drilling(state)
        setting, boost = flow.setting, float(flow.booster_flow_rate)
        many = usable_pressures(setting, np.array([float(flow.flow_rate), 1e3]), boost)
        assert many[0] >= float(usable_pressure(flow)) * (1.0 - 1e-12)
        assert many[1] == 0.0  # beyond every liner


def test_nozzles_keep_the_pumps_within_their_limit(example_walk: Walk) -> None:
    for state in drilling(example_walk):
        flow = of_drilling(state)
        planned = float(flow.flow_rate)
        choice = nozzle_choice(flow, 0.7 * planned, 1.2 * planned)
        assert choice.best is not None
        assert float(choice.best.pump_pressure) <= float(choice.limit) * (1.0 + 1e-9)
        lost = float(parasitic_loss(flow)) + float(choice.best.pressure_drop)
        assert lost == pytest.approx(float(choice.best.pump_pressure), rel=1e-9)
        for jets in (choice.best, *choice.goals.values()):
            assert jets.diameter is not None
            assert float(jets.area) == pytest.approx(
                0.75 * np.pi * float(jets.diameter) ** 2, rel=1e-12
            )


def test_best_nozzles_at_the_planned_flow_beat_the_planned_ones(main_walk: Walk) -> None:
    flow = of_drilling(by_step(main_walk.states)["drill-section-812"])
    choice = nozzle_choice(flow, 0.02, 0.05)
    assert choice.best is not None
    assert float(choice.best.power) > float(choice.planned.power)
    power = choice.goals["hydraulic power"]
    impact = choice.goals["jet impact"]
    assert float(impact.flow_rate) >= float(power.flow_rate)
