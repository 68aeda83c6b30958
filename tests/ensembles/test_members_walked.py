"""Members walked in full: who reaches the target in the tables fails nothing in the walk.

What the walk of a member does not know: the factors that no number of the hole stands for
(hook load, strengths of pipe and casing, lifting, pull of the riser), trouble, and the day of
arrival. They only end members that this test then does not ask. Mud changes from node to node
in a member; the walk has one mud a section, that of its last node.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from walked_members import as_made, records

from bathybore.checks.ledger import records_of
from bathybore.checks.operability import storm_studies
from bathybore.checks.record import CheckRecord, Status
from bathybore.ensembles.bites import each_bite
from bathybore.ensembles.casing_tests import kicks_not_covered
from bathybore.ensembles.drawing import draw
from bathybore.ensembles.evaluating import evaluated, held_back, spared
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.ledger_depths import LedgerDepths, Which, ledger_depths
from bathybore.ensembles.limits_of_checks import ELSEWHERE, belongs
from bathybore.ensembles.members import member_hole
from bathybore.ensembles.shapes import Drawn, Frame, Indices, Limit, Made
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import walk_hole
from bathybore.usecases.ledger import DAY
from bathybore.usecases.reliefs import changed

EXAMPLES = Path(__file__).parents[2] / "examples"
MORE = (("riserless", 40), ("main", 8))
FEW = 0.05  # of the members that reach, the share that may fail a question when walked in full


@dataclass(frozen=True, eq=False)
class Members:
    """Some members; ``whole`` are those that set no spare string, which the walk's plan lacks."""

    frame: Frame
    ledger: LedgerDepths
    drawn: Drawn
    made: Made
    reached: Indices
    whole: Indices

    def walked(self, member: int) -> dict[str, CheckRecord]:
        return records(as_made(self.frame, self.made, self.drawn, member))


@cache
def members(name: str) -> Members:
    path = EXAMPLES / name
    hole = load_hole(path)
    frame = frame_of(hole)
    ledger, policy = ledger_depths(frame), planned_policy(frame)
    drawn = draw(load_uncertainty(path, hole), frame, 5, 0, 256)
    found = evaluated(frame, ledger, policy, drawn)
    drawn = held_back(frame, drawn)
    holes = spared(frame, policy, drawn)
    spares = [index for index, one in enumerate(frame.strings) if one.spare]
    whole = np.flatnonzero(~np.isfinite(holes.shoes[:, spares]).any(axis=1))
    reached = np.flatnonzero(found.reached)
    return Members(frame, ledger, drawn, holes, reached, whole)


@pytest.mark.parametrize(
    ("name", "count"),
    [
        ("riserless", 20),
        ("main", 3),
        *(pytest.param(*more, marks=pytest.mark.soak) for more in MORE),
    ],
)
def test_who_reaches_fails_nothing_when_walked_in_full(name: str, count: int) -> None:
    those = members(name)
    asked = np.intersect1d(those.reached, those.whole)[:count]
    assert len(asked) == count
    failed = {}
    for member in asked:
        found = those.walked(int(member))
        fails = [one.id for one in found.values() if one.status is Status.FAILS]
        if fails:
            failed[int(member)] = fails
    assert len(failed) <= FEW * count, failed


# What the tables may miss, as a share of the capacity: the member's own temperature moves the
# mud's density a little, and its own handling time the hours that the soil has to set up.
@pytest.mark.parametrize(
    ("name", "check", "missed"),
    [
        ("riserless", "cement-casing-1134/placing-high", 0.001),
        ("riserless", "set-conductor/bears-itself", 0.01),
        ("riserless", "run-casing-1134/conductor-bears-casing", 0.04),
    ],
)
def test_who_is_bitten_by_a_question_fails_it_when_walked_in_full(
    name: str, check: str, missed: float
) -> None:
    """The other way round: the tables end no member that the walk lets go on."""
    those = members(name)
    (number,) = [i for i, table in enumerate(those.ledger.tables) if table.id == check]
    every = list(each_bite(those.ledger, those.frame, those.made, those.drawn))
    target = those.frame.depth[those.frame.target]
    bitten = np.intersect1d(np.flatnonzero(every[number] <= target), those.whole)[:6]
    assert len(bitten) >= 3
    left = [those.walked(int(member))[check].margin or 0.0 for member in bitten]
    assert max(left) < missed
    assert min(left) < 0.0


def test_whose_test_does_not_cover_the_kick_it_does_not_when_walked_in_full() -> None:
    """The main hole with a test of one casing that just covers the planned kick."""
    planned = members("main").frame
    tested = next(one for one in planned.states if one.step.name == "cement-casing-958")
    record = next(one for one in records_of(tested) if one.name == "test-covers-kick")
    left = float(record.capacity or np.nan) - float(record.demand or np.nan)
    number = next(i for i, s in enumerate(planned.hole.plan.sections) if s.name == "section-1214")
    path = f"plan/sections/{number}/casing/test_pressure"
    casing = planned.hole.plan.sections[number].casing
    assert casing is not None
    assert casing.test_pressure is not None
    pressure = casing.test_pressure - left + 1e4
    frame = frame_of(changed(planned.hole, path, pressure))
    drawn = draw(load_uncertainty(EXAMPLES / "main", frame.hole), frame, 5, 0, 64)
    holes = spared(frame, planned_policy(frame), held_back(frame, drawn))
    found = kicks_not_covered(frame, holes, drawn)
    deepest = found.depth[:, found.cases.index("test-covers-kick casing-958")]
    spares = [index for index, one in enumerate(frame.strings) if one.spare]
    whole = ~np.isfinite(holes.shoes[:, spares]).any(axis=1)
    bitten = np.flatnonzero((deepest < frame.depth[frame.target] - 1.0) & whole)[:4]
    assert len(bitten) == 4
    left_over = []
    for member in bitten:
        walked = records(changed(as_made(frame, holes, drawn, int(member)), path, pressure))
        left_over.append(walked["cement-casing-958/test-covers-kick"].margin or 0.0)
    # the member tests in the mud it drills out with, the walk in the one it ends the section with
    assert max(left_over) < 0.005
    assert min(left_over) < 0.0


def test_every_question_is_tabled_followed_or_answered() -> None:
    """Nothing of the plan's own walk is left out in silence."""
    for name in ("riserless", "main"):
        those = members(name)
        tabled = {table.id for table in those.ledger.tables}
        answered = dict(those.ledger.answered)
        for state in those.frame.states:
            for record in records_of(state):
                followed = belongs(record.name).limit in ELSEWHERE
                assert record.id in tabled or followed or record.id in answered, record.id
        assert {name for name in answered if name in tabled} <= {
            one for one in answered if one.endswith(("barriers", "riser-margin"))
        }
    assert "drill-section-1712/swab" in dict(members("main").ledger.answered)


def test_a_crew_too_slow_for_the_storm_is_so_when_walked_in_full() -> None:
    """The slowest that still has the riser on board in time, and the fastest that has not."""
    those = members("main")
    frame = frame_of(changed(those.frame.hole, "design_basis/storm_warning_time", 3.0 * DAY))
    ledger = ledger_depths(frame, None, Which((Limit.OTHER,), (storm_studies,)))
    (found,) = each_bite(ledger, frame, those.made, those.drawn)
    slow, handling = np.isfinite(found), those.drawn.number("handling_time")[:, 0]
    edge = float(handling[slow].min())
    assert handling[~slow].max() < edge

    def margin(member: int) -> float:
        states = walk_hole(member_hole(frame, those.drawn, member))
        landed = next(one for one in states if one.step.kind is StepKind.RUN_RISER)
        (record,) = storm_studies(landed)
        assert record.margin is not None
        return record.margin

    assert margin(int(np.flatnonzero(handling == edge)[0])) < 0.0
    assert margin(int(np.flatnonzero(handling == handling[~slow].max())[0])) >= 0.0
