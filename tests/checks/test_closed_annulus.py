"""Closed annuli: asked only where there is one, judged on both sides, never passed unasked."""

from __future__ import annotations

import pytest

from bathybore.checks.closed_annulus import INNER, OUTER
from bathybore.checks.ledger import records_of
from bathybore.checks.record import CheckRecord, Status
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.walk import walk_hole
from varied import EXAMPLES, by_step, changed

CEMENT_TOP = "plan/sections/2/casing/cement/top"
WARMING = "design_basis/annulus_warming"
QUESTIONS = (INNER.name, OUTER.name)


@pytest.fixture(scope="module")
def open_annulus() -> Hole:
    return load_hole(EXAMPLES / "main")


@pytest.fixture(scope="module")
def closed(open_annulus: Hole) -> Hole:
    """The 9 5/8 in casing cemented up into the 13 3/8 in one."""
    top = open_annulus.plan.sections[2].casing.cement.top  # type: ignore[union-attr]
    return changed(open_annulus, CEMENT_TOP, type(top)(1000.0, top.datum))


def asked(hole: Hole) -> dict[str, CheckRecord]:
    state = by_step(walk_hole(hole))["cement-casing-958"]
    return {one.name: one for one in records_of(state) if one.name in QUESTIONS}


def test_an_annulus_open_to_the_rock_is_not_asked_about(open_annulus: Hole) -> None:
    assert asked(open_annulus) == {}


def test_without_a_warming_it_is_not_judged_and_that_is_no_pass(closed: Hole) -> None:
    found = asked(closed)
    assert set(found) == set(QUESTIONS)
    for record in found.values():
        assert record.status is Status.NOT_JUDGED
        assert "annulus_warming" in record.reason


def test_more_warming_leaves_less_room_on_both_sides(closed: Hole) -> None:
    cool, warm = (asked(changed(closed, WARMING, value)) for value in (5.0, 60.0))
    for name in QUESTIONS:
        assert warm[name].margin < cool[name].margin  # type: ignore[operator]
        assert cool[name].depth is not None
    assert cool[INNER.name].status is Status.HOLDS
    assert warm[OUTER.name].status is Status.FAILS


def test_with_no_warming_the_casing_outside_bears_the_mud_against_the_sea(closed: Hole) -> None:
    """By hand at the wellhead: mud from the flow line, some 15 K colder than where its 1.285 sg was
    measured and squeezed by half the column, against 1.035 sg of sea; times 1.1."""
    record = asked(changed(closed, WARMING, 0.0))[OUTER.name]
    assert record.profile is not None
    foot = closed.z(closed.plan.sections[2].casing.cement.top)  # type: ignore[union-attr]
    assert closed.z(record.profile.depths[-1]) <= foot
    mud = 1285.0 * (1.0 + 3.5e-4 * 15.0) * (1.0 + 4.4e-10 * 15.8e6)
    by_hand = 1.1 * 9.8 * (mud * (2480.0 + 24.0) - 1035.0 * 2480.0)
    assert record.profile.demand[0] == pytest.approx(by_hand, rel=0.03)
