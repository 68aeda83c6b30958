"""How far a string reaches through a liner, and what a crew makes up where that begins higher."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import inf
from pathlib import Path

import numpy as np
import pytest
from planned_members import as_planned

from bathybore.checks.fit import string_fit_checks
from bathybore.checks.record import Status
from bathybore.checks.stores import stores_checks
from bathybore.ensembles.drawing import central
from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.made_members import told_of
from bathybore.ensembles.shapes import Frame, Limit, Made
from bathybore.ensembles.slender_strings import slender_reach, widest_passing
from bathybore.ensembles.spending import asked_names, spent
from bathybore.model.editing import read_draft
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.operations.catalogue_pipes import casing_pipe
from bathybore.operations.walk import walk_hole

MAIN = Path(__file__).parents[2] / "examples" / "main"
# of the main hole's coring string: collars, and all the 4 in pipe on board
REACH = 140.0 + 1800.0


@cache
def frame() -> Frame:
    return frame_of(load_hole(MAIN))


def with_liner_higher(by: float) -> Made:
    """Return the planned member, its 9 5/8 in casing and liner set early: lapped as planned."""
    made, _ = as_planned(frame())
    shoes, names = made.shoes.copy(), [one.name for one in frame().strings]
    shoes[0, [names.index("casing-958"), names.index("liner-7")]] -= by
    return replace(made, shoes=shoes)


def test_the_slender_parts_pass_a_liner_with_all_of_the_stock_and_wide_casing_lets_all_pass() -> (
    None
):
    hole = frame().hole
    parts = hole.plan.strings["coring-6"]
    liner, wide = casing_pipe(hole, "liner-7"), casing_pipe(hole, "casing-1338")
    assert widest_passing(hole.setting, parts, liner) == 1
    assert slender_reach(hole.setting, parts, liner) == pytest.approx(REACH)
    assert slender_reach(hole.setting, parts, wide) == inf
    assert slender_reach(hole.setting, parts[2:], liner) == 0.0


@pytest.mark.parametrize(("by", "bites"), [(0.0, False), (200.0, False), (320.0, True)])
def test_a_string_ends_where_its_slender_pipe_is_all_in_the_hole(by: float, bites: bool) -> None:
    this, made = frame(), with_liner_higher(by)
    drawn = central(load_uncertainty(MAIN, this.hole), this)
    out = spent(this, made, np.array([this.depth[this.target]]), drawn)
    deep = float(out.bites[Limit.STOCK][0])
    assert np.isfinite(deep) == bites
    if bites:
        liner = this.hole.plan.sections[3].casing
        assert liner is not None
        assert not isinstance(liner.hung_at, str)
        hung = this.hole.frame.below_sea_bed(liner.hung_at) - by
        assert deep == pytest.approx(hung + REACH)
        assert asked_names(this)[int(out.asked[Limit.STOCK][0])] == "core/pipe-stock"


def made_up(by: float) -> Hole:
    from test_made_members import outcome

    made = with_liner_higher(by)
    told = told_of(frame(), made, outcome(made, frame()), np.ones(len(frame().depth)))
    hole = read_draft(MAIN).edited(told.edits).hole
    assert hole is not None
    return hole


@pytest.mark.parametrize(("by", "enough"), [(200.0, True), (320.0, False)])
def test_a_member_written_out_fits_its_liner_and_lacks_pipe_where_its_account_says_so(
    by: float, enough: bool
) -> None:
    hole = made_up(by)
    states = {one.step.name: one for one in walk_hole(hole)}
    for step in ("core", "drill-core-hole", "plug"):
        [fits] = string_fit_checks(states[step])
        assert fits.status is not Status.FAILS
    [stock] = [one for one in stores_checks(states["core"]) if one.name == "pipe-stock"]
    assert (stock.status is not Status.FAILS) == enough


def test_a_plug_across_a_shoe_goes_with_it() -> None:
    from test_made_members import outcome

    this = frame()
    made, _ = as_planned(this)
    shoes = made.shoes.copy()
    shoes[0, [one.name for one in this.strings].index("liner-7")] -= 150.0
    moved = replace(made, shoes=shoes)
    told = told_of(this, moved, outcome(moved, this), np.ones(len(this.depth)))
    hole = read_draft(MAIN).edited(told.edits).hole
    assert hole is not None
    below = hole.frame.below_sea_bed
    for at, by in enumerate((150.0, 0.0, 0.0)):
        plug, before = hole.plan.leaving.plugs[at], this.hole.plan.leaving.plugs[at]
        assert below(plug.top) == pytest.approx(below(before.top) - by)
        assert below(plug.bottom) == pytest.approx(below(before.bottom) - by)
