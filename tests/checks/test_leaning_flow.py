"""Cuttings in a hole that leans: rising as in a vertical one is no answer there."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bathybore.checks.flow import flow_checks
from bathybore.checks.record import Status
from bathybore.model.csv_tables import parse_table
from bathybore.model.hole import Hole
from bathybore.model.tables import SURVEY_COLUMNS
from varied import state_of

HEADER = "measured_depth_below_sea_bed [m],inclination [deg],azimuth [deg]\n"


@pytest.mark.parametrize(("lean", "outside"), [(20.0, False), (60.0, True)])
def test_a_hole_that_leans_too_far_is_not_judged_as_a_vertical_one(
    main_hole: Hole, lean: float, outside: bool
) -> None:
    rows = f"0,0,0\n2000,{lean},0\n5000,{lean},0\n"
    state = state_of(main_hole, "drill-section-812")
    survey = parse_table(HEADER + rows, "survey.csv", SURVEY_COLUMNS)
    leaning = replace(state, hole=replace(state.hole, survey=survey))
    records = {one.name: one for one in flow_checks(leaning)}
    for name in ("lifting", "cuttings"):
        assert (records[name].status is Status.OUTSIDE_VALIDITY) == outside
