"""Motors, turbines and measuring tools: what they lose, and who bears it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.errors import InputErrors
from bathybore.base.working import FromWalk, Value
from bathybore.model.hole import Hole
from bathybore.model.plan import DownholeTool, StringPart
from bathybore.operations.circulation import (
    Circulation,
    annulus_pressure,
    bore_pressure,
    losses,
    of_drilling,
    pump_pressure,
)
from bathybore.operations.circulation_nozzles import parasitic_loss
from bathybore.operations.circulation_profile import circulation_profile
from bathybore.operations.circulation_sweep import many
from bathybore.operations.heat_cells import CELL, heat_path
from bathybore.operations.kick_in_time import kick_in_time_of
from bathybore.operations.kill_schedule import kill_sheet
from bathybore.operations.strings import hang
from varied import changed, state_of

SQUARE = {"pressure_loss": "1.5 MPa", "flow_rate": "2000 L/min", "density": "1.00 sg"}
MOTOR = {"rated_differential_pressure": "4 MPa", "rated_torque": "20 kN m"}
STEP = "drill-section-812"


def with_tool(hole: Hole, **told: Any) -> Hole:
    tool = DownholeTool.model_validate({**SQUARE, **told})
    return changed(hole, "plan/strings/drilling-812/0/tool", tool)


def without_tool(hole: Hole) -> Hole:
    return changed(hole, "plan/strings/drilling-812/0/tool", None)


def flow_of(hole: Hole) -> Circulation:
    return of_drilling(state_of(hole, STEP))


@pytest.fixture(scope="module")
def plain(main_hole: Hole) -> Circulation:
    return flow_of(without_tool(main_hole))


@pytest.fixture(scope="module")
def tooled(main_hole: Hole) -> Circulation:
    return flow_of(with_tool(main_hole))


def square(flow: Circulation) -> float:
    """Return the loss by hand."""
    return 1.5e6 * flow.fluid.density / 1000.0 * (float(flow.flow_rate) / (2.0 / 60.0)) ** 2


def test_the_pump_bears_the_loss_and_the_hole_does_not(
    plain: Circulation, tooled: Circulation
) -> None:
    more = float(pump_pressure(tooled)) - float(pump_pressure(plain))
    assert more == pytest.approx(square(plain), rel=1e-9)
    assert float(parasitic_loss(tooled)) - float(parasitic_loss(plain)) == pytest.approx(more)
    outside = [np.asarray(annulus_pressure(one, one.annuli).si) for one in (plain, tooled)]
    np.testing.assert_allclose(outside[1], outside[0], rtol=1e-4)  # warmer by the tool's heat


def test_a_string_without_tools_loses_nothing_in_them(plain: Circulation) -> None:
    assert float(losses(plain).tools) == 0.0
    assert plain.tools == ()


def test_the_pressure_falls_across_the_tool_alone(plain: Circulation, tooled: Circulation) -> None:
    loss, (tool,) = square(plain), tooled.tools
    before, after = (circulation_profile(one, 25.0).pipe for one in (plain, tooled))
    added = np.asarray(after.pressure.si) - np.asarray(before.pressure.si)
    feet = after.cells.bottom
    np.testing.assert_allclose(added[feet <= tool.top], loss, rtol=2e-2)
    assert added[-1] == pytest.approx(0.0, abs=2e-2 * loss)
    assert np.all(np.diff(added[feet >= tool.top]) < 0.0)
    profile = circulation_profile(tooled, 25.0)
    inside = float(np.asarray(profile.pipe.pressure.si)[-1])
    assert inside - float(profile.bit) == pytest.approx(profile.bottom_pressure, rel=1e-9)
    # the flow law's pressure knows of it too
    in_bore = [np.asarray(bore_pressure(one, one.inside).si) for one in (plain, tooled)]
    assert in_bore[1][0] - in_bore[0][0] == pytest.approx(loss, rel=2e-2)


def test_a_motor_takes_its_torque_while_the_bit_cuts(main_hole: Hole) -> None:
    flow = flow_of(with_tool(main_hole, **MOTOR))
    section = next(one for one in main_hole.plan.sections if one.name == "section-812")
    torque = main_hole.basis.bit_friction * section.weight_on_bit * section.hole_diameter / 3.0
    turning = float(losses(flow).tools)
    assert turning - square(flow) == pytest.approx(4e6 * torque / 20e3, rel=1e-9)
    lifted = Value("rate_of_penetration", 0.0, "m/s", FromWalk("off bottom"))
    idle = replace(flow, rate_of_penetration=lifted, in_place_of=flow)
    assert float(losses(idle).tools) == pytest.approx(square(flow), rel=1e-12)


def test_a_motor_beyond_its_torque_is_outside_validity(main_hole: Hole) -> None:
    weak = flow_of(with_tool(main_hole, **{**MOTOR, "rated_torque": "1 kN m"}))
    assert any("stalls" in one for one in pump_pressure(weak).outside_validity())


def test_many_flows_are_each_of_them(main_hole: Hole) -> None:
    flow = flow_of(with_tool(main_hole, **MOTOR, flow_exponent=1.8))
    rates, drilled = np.array([0.5, 1.0, 1.4]) * float(flow.flow_rate), np.array([0.002, 0.004])
    together = np.asarray(pump_pressure(many(flow, rates, drilled)).si)
    for row, cut in enumerate(drilled):
        for column, rate in enumerate(rates):
            alone = replace(
                flow,
                flow_rate=Value("flow_rate", float(rate), "m3/s", FromWalk("tried")),
                rate_of_penetration=Value("rate_of_penetration", cut, "m/s", FromWalk("tried")),
                in_place_of=flow,
            )
            expected = float(pump_pressure(alone))
            assert together[row, column] == pytest.approx(expected, rel=1e-12)


def test_what_the_tool_takes_is_heat_at_the_bit(plain: Circulation, tooled: Circulation) -> None:
    cold, warm = (heat_path(one.warmed, CELL, 86400.0).bit_heat[0] for one in (plain, tooled))
    assert warm - cold == pytest.approx(square(plain) * float(plain.flow_rate), rel=1e-9)


def test_the_kill_sheet_counts_it_at_the_slow_rate(main_hole: Hole) -> None:
    sheets = []
    for hole in (without_tool(main_hole), with_tool(main_hole, **MOTOR)):
        timed = kick_in_time_of(state_of(hole, STEP))
        assert timed is not None
        sheets.append(kill_sheet(timed))
    slow = sheets[0].timed.slow
    more = float(sheets[1].slow_circulating_pressure) - float(sheets[0].slow_circulating_pressure)
    assert more == pytest.approx(square(slow), rel=1e-3)  # off bottom: no torque
    rows = sheets[1].rows
    assert float(rows[-1].pressure) == pytest.approx(float(sheets[1].final_pressure), rel=1e-6)


def test_a_part_that_does_not_reach_the_hole_loses_nothing(main_hole: Hole) -> None:
    hole = with_tool(main_hole)
    string = hang(hole, "drilling-812", BelowSeaLevel(hole.setting.drill_floor + 100.0))
    assert [part.tool is not None for part in string.parts] == [True, False]


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"rated_torque": "8 kN m"}, "half of a motor"),
        ({"flow_exponent": 2.5}, "less than or equal to 2"),
        ({"pressure_loss": "0 MPa"}, "greater than 0"),
    ],
)
def test_bad_tools_are_refused(told: dict[str, Any], words: str) -> None:
    with pytest.raises((ValueError, InputErrors), match=words):
        DownholeTool.model_validate({**SQUARE, **told})


def test_a_tool_needs_the_length_of_its_part() -> None:
    with pytest.raises(ValueError, match="a tool in a part without a length"):
        StringPart.model_validate({"pipe": "dc-8", "tool": SQUARE})
