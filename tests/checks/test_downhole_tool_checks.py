"""Tools of a string judged by what they tell about themselves."""

from __future__ import annotations

from typing import Any

import pytest

from bathybore.checks.downhole_tools import downhole_tool_checks
from bathybore.checks.record import CheckRecord, Status
from bathybore.model.hole import Hole
from bathybore.model.plan import DownholeTool
from varied import changed, state_of

PLAIN = {"pressure_loss": "1 MPa", "flow_rate": "2000 L/min", "density": "1.00 sg"}
MOTOR = {"rated_differential_pressure": "4 MPa", "rated_torque": "12 kN m"}


def asked(hole: Hole, *tools: dict[str, Any]) -> dict[str, CheckRecord]:
    """Return what is asked of the 8 1/2 in string with these tools, from the bit up."""
    for at in range(2):  # parts that tell a length
        told = {**PLAIN, **tools[at]} if at < len(tools) else None
        tool = None if told is None else DownholeTool.model_validate(told)
        hole = changed(hole, f"plan/strings/drilling-812/{at}/tool", tool)
    return {one.name: one for one in downhole_tool_checks(state_of(hole, "drill-section-812"))}


def test_a_string_of_plain_pipe_is_asked_nothing(main_hole: Hole) -> None:
    assert asked(main_hole) == {}


def test_a_tool_that_tells_no_limit_is_asked_nothing(main_hole: Hole) -> None:
    assert asked(main_hole, {}) == {}


def test_the_neediest_and_the_weakest_tool_count(main_hole: Hole) -> None:
    found = asked(
        main_hole,
        {"name": "motor", "least_flow_rate": "2000 L/min", "greatest_flow_rate": "3000 L/min"},
        {"name": "pulser", "least_flow_rate": "1000 L/min", "greatest_flow_rate": "1900 L/min"},
    )
    low, high = found["tool-flow-low"], found["tool-flow-high"]
    assert low.status is Status.FAILS
    assert low.note == "Motor in dc-634."
    assert low.margin == pytest.approx(1.0 - 2000.0 / 1900.0)
    assert high.status is Status.TIGHT  # what it bears is just what flows
    assert high.note == "Pulser in dc-634."
    assert high.margin == pytest.approx(0.0, abs=1e-12)


def test_the_weakest_motor_carries_the_torque_of_the_bit(main_hole: Hole) -> None:
    strong, weak = {**MOTOR, "name": "motor"}, {**MOTOR, "rated_torque": "2 kN m", "name": "weak"}
    record = asked(main_hole, strong, weak)["motor-torque"]
    section = next(one for one in main_hole.plan.sections if one.name == "section-812")
    by_hand = main_hole.basis.bit_friction * section.weight_on_bit * section.hole_diameter / 3.0
    assert float(record.demand) == pytest.approx(by_hand, rel=1e-12)
    assert record.margin == pytest.approx(1.0 - by_hand / 2e3)
    assert record.status is Status.FAILS
    assert record.note == "Weak in dc-634."


def test_flows_between_which_nothing_lies_are_refused() -> None:
    told = {**PLAIN, "least_flow_rate": "2000 L/min", "greatest_flow_rate": "1500 L/min"}
    with pytest.raises(ValueError, match="not below its greatest_flow_rate"):
        DownholeTool.model_validate(told)
