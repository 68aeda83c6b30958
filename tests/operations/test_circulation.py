"""The hole with the pumps on: more flow costs more, no cutting loads nothing, strings hang."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.errors import OrderError
from bathybore.base.working import FromWalk, Value
from bathybore.model.hole import Hole
from bathybore.operations.circulation import (
    Circulation,
    annulus_friction,
    annulus_velocity,
    cuttings_fraction,
    laden_density,
    of_drilling,
    pressure_while_circulating,
    pump_pressure,
    string_fits,
)
from bathybore.operations.columns import column_pressure, depth_nodes, top_of_column
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.strings import hang
from bathybore.usecases.walking import Walk
from varied import by_step, changed


def drilling(walked: Walk) -> list[HoleState]:
    return [
        state
        for state in walked.states
        if state.step.kind in (StepKind.DRILL, StepKind.CORE) and string_fits(state)
    ]


def at_flow(flow: Circulation, factor: float) -> Circulation:
    rate = replace(flow.flow_rate, si=float(flow.flow_rate) * factor)
    return replace(flow, flow_rate=rate)


def resting_bit(flow: Circulation) -> Circulation:
    zero = Value("rate_of_penetration", 0.0, "m/s", FromWalk("bit off bottom"))
    return replace(flow, rate_of_penetration=zero)


def nodes(state: HoleState) -> np.ndarray:
    return depth_nodes(state.hole, float(top_of_column(state)[0]), float(state.bottom))


def test_friction_and_pump_pressure_rise_with_flow(example_walk: Walk) -> None:
    for state in drilling(example_walk):
        flow = resting_bit(of_drilling(state))
        faster = at_flow(flow, 1.2)
        segments = flow.annuli
        slow = np.asarray(annulus_friction(flow, segments).si)
        fast = np.asarray(annulus_friction(faster, segments).si)
        assert np.all(fast > slow)
        assert float(pump_pressure(faster)) > float(pump_pressure(flow)) > 0.0


def test_no_cutting_adds_no_cuttings(example_walk: Walk) -> None:
    for state in drilling(example_walk):
        flow = resting_bit(of_drilling(state))
        segments = flow.annuli
        assert np.all(np.asarray(cuttings_fraction(flow, segments).si) == 0.0)
        density = flow.fluid.density
        np.testing.assert_allclose(np.asarray(laden_density(flow, segments).si), density)


def test_faster_drilling_loads_the_annulus(example_walk: Walk) -> None:
    for state in drilling(example_walk):
        flow = of_drilling(state)
        faster = replace(
            flow,
            rate_of_penetration=replace(
                flow.rate_of_penetration, si=2.0 * float(flow.rate_of_penetration)
            ),
        )
        segments = flow.annuli
        once = np.asarray(cuttings_fraction(flow, segments).si)
        twice = np.asarray(cuttings_fraction(faster, segments).si)
        assert np.all(twice > once)


def test_circulating_is_at_rest_plus_friction_plus_cuttings(example_walk: Walk) -> None:
    for state in drilling(example_walk):
        flow, z = of_drilling(state), nodes(state)
        rest = np.asarray(
            column_pressure(state.hole, state.activity.layers, top_of_column(state)[1], z).si
        )
        clean = np.asarray(pressure_while_circulating(resting_bit(flow), z).si)
        laden = np.asarray(pressure_while_circulating(flow, z).si)
        assert clean[0] == pytest.approx(rest[0], abs=1e-6)
        assert np.all(np.diff(clean - rest) >= -1e-3)  # friction builds up downwards
        assert np.all(clean >= rest - 1e-3)
        if state.activity.fluid is not None:
            heavier = flow.setting.basis.cuttings_density > state.activity.fluid.density
            assert heavier
            assert np.all(laden >= clean - 1e-3)


def test_friction_at_the_bottom_is_the_sum_over_the_annuli(example_walk: Walk) -> None:
    for state in drilling(example_walk):
        flow = resting_bit(of_drilling(state))
        segments = flow.annuli
        z = np.array([float(state.bottom)])
        rest = column_pressure(state.hole, state.activity.layers, top_of_column(state)[1], z)
        total = float(np.sum(np.asarray(annulus_friction(flow, segments).si) * segments.length))
        got = np.asarray(pressure_while_circulating(flow, z).si)[0] - np.asarray(rest.si)[0]
        assert got == pytest.approx(total, rel=1e-6, abs=1.0)


def test_what_goes_down_comes_up(example_walk: Walk) -> None:
    """Velocity times area is the flow rate; the booster counts in the riser only."""
    for state in drilling(example_walk):
        flow = of_drilling(state)
        segments = flow.annuli
        area = 0.25 * np.pi * (segments.outer_diameter**2 - segments.inner_diameter**2)
        rate = np.asarray(annulus_velocity(flow, segments).si) * area
        for kind, value in zip(segments.kinds, rate, strict=True):
            boost = float(flow.booster_flow_rate) if kind == "riser" else 0.0
            assert value == pytest.approx(float(flow.flow_rate) + boost, rel=1e-9)


def test_smaller_nozzles_cost_pump_pressure(main_hole: Hole, main_walk: Walk) -> None:
    state = by_step(main_walk.states)["drill-section-1214"]
    flow = of_drilling(state)
    assert flow.nozzle_area is not None
    small = replace(flow.nozzle_area, si=0.5 * float(flow.nozzle_area))
    assert float(pump_pressure(replace(flow, nozzle_area=small))) > float(pump_pressure(flow))


def test_the_rate_of_penetration_is_the_fastest_of_the_interval(main_walk: Walk) -> None:
    state = by_step(main_walk.states)["drill-section-1712"]
    hole = main_walk.hole
    table = hole.earth
    inside = (table.depths >= 710.0) & (table.depths <= 1910.0)
    fastest = max(
        float(np.max(table.numbers["rate_of_penetration"][inside])),
        float(table.at("rate_of_penetration", 710.0)),
        float(table.at("rate_of_penetration", 1910.0)),
    )
    rate = float(of_drilling(state).rate_of_penetration)
    assert rate == pytest.approx(0.4 * fastest, rel=1e-9)


# -- strings --------------------------------------------------------------------------


def test_strings_reach_from_their_bottom_to_the_drill_floor(example_walk: Walk) -> None:
    for state in example_walk.states:
        string = state.activity.string
        if string is None:
            continue
        assert string.parts[-1].top == pytest.approx(state.hole.drill_floor)
        for lower, upper in zip(string.parts, string.parts[1:], strict=False):
            assert upper.bottom == pytest.approx(lower.top)
        assert all(part.length > 0.0 for part in string.parts)
        total = sum(part.length for part in string.parts)
        assert total == pytest.approx(string.bottom - state.hole.drill_floor)


def test_parts_are_as_long_as_the_plan_says(main_hole: Hole) -> None:
    bottom = BelowSeaLevel(main_hole.sea_bed + 1910.0)
    string = hang(main_hole, "drilling-1712", bottom)
    told = main_hole.plan.strings["drilling-1712"]
    assert [part.pipe.name for part in string.parts] == [part.pipe for part in told]
    assert [part.length for part in string.parts[:-1]] == [20.0, 160.0, 120.0, 1600.0]
    # 1910 m below the sea bed, 2480 m of water, 28 m of air
    assert string.parts[-1].length == pytest.approx(1910.0 + 2480.0 + 28.0 - 1900.0)


def test_a_string_near_the_floor_uses_its_lowest_parts_only(main_hole: Hole) -> None:
    string = hang(main_hole, "drilling-1712", BelowSeaLevel(main_hole.drill_floor + 200.0))
    assert [part.pipe.name for part in string.parts] == ["dc-8", "dc-8", "hw-578"]
    assert [part.length for part in string.parts] == pytest.approx([20.0, 160.0, 20.0])


def test_a_string_too_short_is_told(main_hole: Hole) -> None:
    short = changed(
        main_hole,
        "plan/strings/drilling-1712",
        lambda parts: (*parts[:-1], parts[-1].model_copy(update={"length": 100.0})),
    )
    with pytest.raises(OrderError, match="drilling-1712 ends") as caught:
        hang(short, "drilling-1712", BelowSeaLevel(short.sea_bed + 1910.0))
    assert "give its uppermost part no length" in str(caught.value)
