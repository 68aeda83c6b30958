"""One circulation in full: words agree with numbers, studies turn when the plan does."""

from __future__ import annotations

import re

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.checks.circulating_heat import circulating_heat_studies
from bathybore.checks.flow_window import flow_window_studies
from bathybore.checks.record import CheckRecord, Status
from bathybore.drawings.circulation import draw_circulation
from bathybore.drawings.flow_window import draw_flow_window, edges
from bathybore.drawings.heat import draw_heat
from bathybore.model.hole import Hole
from bathybore.usecases.circulating import circulating_steps, circulation
from bathybore.usecases.circulating_told import (
    ANNULUS_TITLES,
    NOZZLE_TITLES,
    PIPE_TITLES,
    annulus_rows,
    facts,
    heat_told,
    nozzle_rows,
    pipe_rows,
    window_told,
)
from bathybore.usecases.explaining import explain
from bathybore.usecases.finding import record_of
from bathybore.usecases.fluid_measured import fluid_reports
from bathybore.usecases.fluid_told import constants_told, density_rows
from bathybore.usecases.walking import Walk
from varied import changed, state_of

SECTION = "drill-section-812"


def studied(hole: Hole, step: str = SECTION) -> dict[str, CheckRecord]:
    state = state_of(hole, step)
    found = (*flow_window_studies(state), *circulating_heat_studies(state))
    return {record.name: record for record in found}


def test_every_step_that_drills_is_told(example_walk: Walk) -> None:
    steps = circulating_steps(example_walk)
    assert steps
    for name in steps:
        one = circulation(example_walk, name)
        for units in ("metric", "oilfield"):
            assert all(len(row) == len(ANNULUS_TITLES) for row in annulus_rows(one, units))
            assert all(len(row) == len(PIPE_TITLES) for row in pipe_rows(one, units))
            assert all(len(row) == len(NOZZLE_TITLES) for row in nozzle_rows(one, units))
            texts = [text for _, text in (*facts(one, units), *heat_told(one, units))]
            texts += [text for _, text in window_told(one, units)]
            assert not any("nan" in re.split(r"[ ,;]", text) for text in texts)


def test_studies_are_in_the_walk_and_open(main_walk: Walk) -> None:
    for name in ("flow-window-low", "flow-window-high", "circulating-window"):
        record = record_of(main_walk, f"{SECTION}/{name}")
        told = explain(record)
        assert told.steps
        assert record.status in (Status.HOLDS, Status.TIGHT)


def test_the_page_asks_what_the_walk_asked(main_walk: Walk) -> None:
    one = circulation(main_walk, SECTION)
    names = {record.name for record in one.records}
    asked = {"pump-pressure", "lifting", "flow-window-low", "circulating-temperature"}
    assert asked | {"tool-flow-low", "tool-flow-high"} <= names  # the main hole tells a tool here
    walked = {record.id: record.margin for record in main_walk.records}
    assert all(walked[record.id] == record.margin for record in one.records)


def test_a_name_that_does_not_circulate_is_refused(main_walk: Walk) -> None:
    with pytest.raises(InputErrors, match="section-812"):
        circulation(main_walk, "section-81")


def test_the_deepest_step_is_told_unless_one_is_named(main_walk: Walk) -> None:
    assert circulation(main_walk).step == "core"
    assert circulation(main_walk, "section-812").step == SECTION


# -- the studies turn when the plan does ------------------------------------------------


def test_too_little_flow_leaves_the_window_below(main_hole: Hole) -> None:
    before = studied(main_hole, "drill-section-1712")["flow-window-low"]
    assert before.status in (Status.HOLDS, Status.TIGHT)
    slow = changed(main_hole, "plan/sections/1/flow_rate", lambda q: 0.6 * q)
    after = studied(slow, "drill-section-1712")["flow-window-low"]
    assert after.status is Status.FAILS
    assert after.demand is not None
    assert before.demand is not None
    # mud that flows less is a little warmer and thinner, and asks for a little less
    assert float(after.demand) == pytest.approx(float(before.demand), rel=3e-2)


def test_too_much_flow_breaks_the_rock(main_hole: Hole) -> None:
    fast = changed(main_hole, "plan/sections/3/flow_rate", 3600.0 / 60000.0)
    records = studied(fast)
    assert records["flow-window-high"].status is Status.FAILS
    assert records["circulating-window"].status is Status.FAILS
    assert records["flow-window-high"].depth is not None


def test_weak_rock_narrows_the_window(main_hole: Hole) -> None:
    wide = studied(main_hole)["flow-window-high"]
    narrow = studied(changed(main_hole, "design_basis/fracture_margin", 60.0))["flow-window-high"]
    assert wide.margin is not None
    assert narrow.margin is not None
    assert narrow.margin < wide.margin


def test_tools_of_a_low_rating_fail_after_a_stop(main_hole: Hole) -> None:
    held = studied(main_hole)["circulating-temperature"]
    assert held.status is Status.HOLDS
    weak = changed(main_hole, "vessel/tool_temperature_limit", 273.15 + 60.0)
    assert studied(weak)["circulating-temperature"].status is Status.FAILS
    short = changed(weak, "design_basis/pumps_stopped", 600.0)
    assert studied(short)["circulating-temperature"].status is Status.HOLDS


def test_mud_is_judged_where_its_rating_is_told(main_hole: Hole) -> None:
    untold = changed(main_hole, "plan/fluids/mud-3/rated_temperature", None)
    assert "mud-temperature" not in studied(untold)
    rated = changed(main_hole, "plan/fluids/mud-3/rated_temperature", 273.15 + 150.0)
    assert studied(rated)["mud-temperature"].status is Status.HOLDS
    poor = changed(main_hole, "plan/fluids/mud-3/rated_temperature", 273.15 + 50.0)
    assert studied(poor)["mud-temperature"].status is Status.FAILS


# -- pictures ---------------------------------------------------------------------------


def test_the_plan_lies_between_the_edges_drawn(main_walk: Walk) -> None:
    picture = circulation(main_walk, SECTION).picture
    clean, whole, pumped = edges(picture)
    rates = picture.grid.rates
    for edge, above in ((clean, False), (whole, True), (pumped, True)):
        here = float(np.interp(picture.planned_rate, rates, edge))
        assert (here > picture.planned_flow) is above


def test_pictures_say_what_they_show(example_walk: Walk) -> None:
    one = circulation(example_walk)
    for draw in (draw_circulation, draw_flow_window, draw_heat):
        sheet = draw(one, "oilfield")
        assert one.step in sheet.alt
        assert one.step in sheet.title


# -- fluids -----------------------------------------------------------------------------


def test_fluids_are_told(example_walk: Walk) -> None:
    hole = example_walk.hole
    reports = fluid_reports(hole)
    assert [report.name for report in reports] == list(hole.plan.fluids)
    for report in reports:
        assert len(constants_told(report, "metric")) == 6
        assert len(density_rows(report, hole, "oilfield")) == len(report.z)
        # deeper is colder or warmer, but always under more weight
        assert np.all(np.diff(report.pressure) > 0.0)


def test_an_unknown_fluid_is_refused(main_walk: Walk) -> None:
    with pytest.raises(InputErrors, match="mud-3"):
        fluid_reports(main_walk.hole, "mud-33")
