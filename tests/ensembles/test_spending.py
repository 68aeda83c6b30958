"""What members spend: the plan's own time and stores where nothing is drawn, and what follows."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.arrays import Array
from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.legs_of_members import jobs_of, planned_legs
from bathybore.ensembles.shapes import Drawn, Frame, Made
from bathybore.ensembles.spending import Spent, spent
from bathybore.model.loading import load_hole

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("riserless", "main", "frontier")


def _frame(name: str, weather: bool = False) -> Frame:
    hole = load_hole(EXAMPLES / name)
    return frame_of(hole if weather else replace(hole, weather=None))


@pytest.fixture(scope="module", params=NAMES)
def frame(request: pytest.FixtureRequest) -> Frame:
    return _frame(request.param)


@pytest.fixture(scope="module")
def main() -> Frame:
    return _frame("main")


def _drawn(frame: Frame, count: int = 1, **numbers: Array) -> Drawn:
    trouble = frame.hole.basis.trouble_factor - 1.0
    return Drawn(
        first=0,
        count=count,
        curves={},
        numbers=dict(numbers),
        alternatives=np.full(count, -1),
        trouble=np.full((count, len(frame.states)), trouble),
        start=np.zeros(count),
    )


def _made(frame: Frame, shoes: Array | None = None, count: int = 1) -> Made:
    """Return the plan as made, with its own muds, or with other shoes."""
    if shoes is None:
        shoes = np.array([[one.bottom for one in frame.strings]] * count)
    plan = frame.hole.plan
    density, string = np.zeros(len(frame.depth)), np.zeros(len(frame.depth), dtype=np.intp)
    for node, depth in enumerate(frame.depth):
        there = (n for n, s in enumerate(frame.strings) if not s.spare and depth <= s.bottom + 1e-6)
        string[node] = next(there, len(frame.strings) - 1)
        section = max(frame.strings[string[node]].section, 0)
        density[node] = plan.fluids[plan.sections[section].fluid].density
    return Made(
        shoes=shoes,
        density=np.tile(density, (len(shoes), 1)),
        string=np.tile(string, (len(shoes), 1)),
        ends=np.full(len(shoes), np.inf),
        ends_by=np.full(len(shoes), -1),
        alone=np.full((len(shoes), 3), np.inf),
    )


def _target(frame: Frame, count: int = 1) -> Array:
    return np.full(count, frame.depth[frame.target])


def _planned(frame: Frame) -> Spent:
    return spent(frame, _made(frame), _target(frame), _drawn(frame))


def test_a_member_like_the_plan_takes_its_time_step_by_step(frame: Frame) -> None:
    ends = _planned(frame).step_end[0]
    by_step = {job.state: end for job, end in zip(jobs_of(frame), ends, strict=True)}
    for index, state in enumerate(frame.states):
        assert by_step[index] == pytest.approx(state.elapsed, rel=1e-9), state.step.name


def test_a_member_like_the_plan_uses_what_the_walk_uses(frame: Frame) -> None:
    one, consumed = _planned(frame), frame.states[-1].consumed
    assert one.mud[0] == pytest.approx(consumed.mud_built, rel=1e-9)
    assert one.barite[0] == pytest.approx(consumed.barite, rel=1e-9)
    assert one.cement[0] == pytest.approx(consumed.cement, rel=1e-9)


def test_the_hole_goes_down_as_in_the_walk(frame: Frame) -> None:
    legs = planned_legs(frame)
    bed = float(frame.hole.sea_bed)
    for job in jobs_of(frame):
        state = frame.states[job.state]
        if state.step.kind.name == "TEST_SHOE" and not frame.strings[job.string - 1].spare:
            assert legs.top[0, job.string] == pytest.approx(state.bottom - bed)
    assert legs.end[0] == pytest.approx(frame.states[-1].bottom - bed)
