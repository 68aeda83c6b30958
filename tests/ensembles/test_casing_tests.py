"""Tests of casings against the kicks of many members: the walk's numbers, bottom by bottom."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from bathybore.checks.ledger import records_of
from bathybore.ensembles.casing_tests import casings_tested, covered_cases, kicks_not_covered
from bathybore.ensembles.casings import Asked, Holes
from bathybore.ensembles.drawing import central, draw
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.making import made
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty

EXAMPLES = Path(__file__).parents[2] / "examples"
DEFAULTS = EXAMPLES / "riserless"


@cache
def frame(name: str) -> Frame:
    return frame_of(load_hole(EXAMPLES / name))


def planned(name: str) -> Drawn:
    return central(load_uncertainty(DEFAULTS, frame(name).hole), frame(name))


def test_of_the_plan_the_ledger_is_met_at_its_bottoms() -> None:
    """At the target the greatest kick and the test are those of the walk's own records."""
    this, drawn = frame("main"), planned("main")
    holes = Holes(this, made(this, planned_policy(this), drawn), drawn)
    records = {
        r.step: r for s in this.states for r in records_of(s) if r.name == "test-covers-kick"
    }
    met = 0
    for one in casings_tested(this):
        asked, record = Asked(holes, one.planned), records[f"cement-{one.planned.job.casing.name}"]
        assert record.demand is not None
        assert record.capacity is not None
        kicks = []
        for below in asked.below:
            at = np.nanmax(asked.at_shoe(below)[0, : this.target + 1])
            kicks.append((asked.full_of_kick(below, np.array([[at]])) - asked.sea)[0])
        demand = max(kicks, key=lambda kick: float(kick[0]))
        worst = int(np.argmin((one.pressure - demand) / one.pressure))
        assert demand[worst] == pytest.approx(float(record.demand), rel=1e-6)
        assert one.pressure[worst] == pytest.approx(float(record.capacity), rel=1e-6)
        met += 1
    assert met == 4


def test_in_the_plan_every_test_covers_the_kick_down_to_the_target() -> None:
    this, drawn = frame("main"), planned("main")
    found = kicks_not_covered(this, made(this, planned_policy(this), drawn), drawn)
    assert (found.depth >= this.depth[this.target]).all()


def test_halving_finds_what_a_search_bottom_by_bottom_finds() -> None:
    this = frame("main")
    drawn = draw(load_uncertainty(EXAMPLES / "main", this.hole), this, 3, 0, 40)
    holes = made(this, planned_policy(this), drawn)
    found = kicks_not_covered(this, holes, drawn)
    wanted = np.full_like(found.depth, np.inf)
    for column, one in enumerate(casings_tested(this)):
        asked = Asked(Holes(this, holes, drawn), one.planned)
        floor = float(this.hole.drill_floor)
        for below in asked.below:
            at_shoe = asked.at_shoe(below)
            spares = [
                i for i in range(one.planned.string + 1, below.string) if this.strings[i].spare
            ]
            for row, member in enumerate(below.members):
                if np.isfinite(holes.shoes[member, spares]).any():
                    continue  # tested anew, with the spare
                string = holes.string[member]
                first = np.flatnonzero(string > one.planned.string)[0]
                more = holes.density[member, first] - one.density
                test = one.pressure + more * asked.holes.gravity * (asked.z - floor)
                there = asked.depth <= holes.shoes[member, one.planned.string] + 1e-6
                part = below.of(np.array([row]))
                for node in np.flatnonzero(below.bottoms[row]):
                    inside = asked.full_of_kick(part, at_shoe[row, node].reshape(1, 1))[0]
                    over = inside - asked.sea[0] - test > 1e-9 * np.abs(test)
                    if (over & there).any():
                        depth = this.depth[node - 1]
                        wanted[member, column] = min(wanted[member, column], depth)
                        break
    np.testing.assert_array_equal(found.depth, wanted)
    assert np.isfinite(found.depth).any()
    assert np.isinf(found.depth).any()


def test_a_worse_kick_never_bites_deeper() -> None:
    """The plan's own members with the pore pressure raised step by step."""
    this, before = frame("main"), np.full(4, np.inf)
    pore = this.hole.earth.at("pore_pressure", this.depth)
    start = planned("main")
    holes = made(this, planned_policy(this), start)
    for more in (0.0, 0.5e6, 1e6, 2e6):
        curves = {**start.curves, "pore_pressure": (pore + more)[None]}
        found = kicks_not_covered(this, holes, replace(start, curves=curves)).depth[0]
        assert (found <= before).all()
        before = found
    assert np.isfinite(before).any()


def test_a_casing_that_is_not_tested_is_not_asked() -> None:
    assert "test-covers-kick casing-20" not in covered_cases(frame("frontier"))
    assert covered_cases(frame("riserless")) == ()
    drawn = planned("riserless")
    holes = made(frame("riserless"), planned_policy(frame("riserless")), drawn)
    assert kicks_not_covered(frame("riserless"), holes, drawn).depth.shape == (1, 0)
