"""What cannot be done from a state is refused, and the message says what is missing."""

from __future__ import annotations

import pytest

from bathybore.base.errors import OrderError
from bathybore.model.hole import Hole
from bathybore.model.plan import StepEdit
from bathybore.operations.advance import advance, initial_state
from bathybore.operations.state import HoleState
from bathybore.operations.steps import Step, StepKind, derive_steps
from bathybore.operations.walk import walk_hole
from varied import changed


def moved(step: str, after: str) -> StepEdit:
    return StepEdit(step=step, move_after=after, why="to see what happens")


def removed(step: str) -> StepEdit:
    return StepEdit(step=step, remove=True, why="to see what happens")


@pytest.mark.parametrize(
    ("edits", "told"),
    [
        pytest.param([removed("plug")], "the hole is not plugged", id="depart-before-plug"),
        pytest.param([moved("plug", "depart")], "not plugged", id="plug-after-depart"),
        pytest.param([moved("hold-station", "depart")], "hold station", id="station-last"),
        pytest.param([removed("hold-station")], "hold station", id="no-station"),
        pytest.param(
            [moved("depart", "hold-station")], "has left the site", id="work-after-depart"
        ),
        pytest.param(
            [moved("run-riser", "cement-casing-20")], "a string is still", id="riser-on-string"
        ),
        pytest.param(
            [moved("test-casing-20", "run-casing-1338")],
            "put 'test-casing-20'",
            id="drill-before-the-test-of-the-shoe",
        ),
        pytest.param(
            [moved("test-casing-1338", "cement-casing-1338")],
            "a string is still",
            id="test-on-string",
        ),
        pytest.param(
            [moved("drill-section-1214", "cement-casing-1338")],
            "a string is still",
            id="drill-on-string",
        ),
        pytest.param([moved("core", "cement-liner-7")], "a string is still", id="core-on-string"),
        pytest.param(
            [moved("test-casing-20", "drill-section-1712")],
            "is not tested",
            id="drill-before-test",
        ),
        pytest.param([removed("test-casing-958")], "put 'test-casing-958'", id="no-shoe-test"),
        pytest.param(
            [removed("drill-core-hole"), moved("test-liner-7", "core")], "coring begins", id="core"
        ),
        pytest.param(
            [moved("test-casing-20", "release-casing-1338")],
            "is not tested",
            id="test-of-another-casing",
        ),
        pytest.param([moved("drill-core-hole", "plug")], "coring begins", id="drill-after-core"),
        pytest.param([moved("core", "plug")], "is deeper", id="core-after-plug"),
        pytest.param(
            [moved("drill-section-1214", "drill-section-1712")],
            "casing-1338 of the section above",
            id="drill-past-a-casing",
        ),
        pytest.param(
            [moved("cement-casing-20", "run-conductor")],
            "conductor that hangs",
            id="cement-a-conductor",
        ),
        pytest.param(
            [moved("release-casing-20", "set-conductor")], "not on casing-20", id="release"
        ),
    ],
)
def test_an_edit_that_cannot_be_done_says_why(
    main_hole: Hole, edits: list[StepEdit], told: str
) -> None:
    with pytest.raises(OrderError) as caught:
        walk_hole(changed(main_hole, "plan/step_edits", tuple(edits)))
    assert told in str(caught.value)
    assert str(caught.value).startswith("the step '")


def walked_to(hole: Hole, last: str) -> HoleState:
    state = initial_state(hole)
    for step in derive_steps(hole.plan):
        state = advance(state, step)
        if step.name == last:
            return state
    raise AssertionError(last)


@pytest.mark.parametrize(
    ("last", "again", "told"),
    [
        ("plug", "plug", "plugged already"),
        ("plug", "core", "plugged already"),
        ("plug", "drill-core-hole", "plugged already"),
        ("release-casing-20", "release-casing-20", "no string"),
        ("release-conductor", "release-conductor", "no string"),
        ("set-conductor", "run-conductor", "set already"),
        ("run-riser", "run-riser", "on already"),
        ("test-casing-20", "test-casing-20", "the test comes before"),
        ("drill-section-1712", "test-casing-20", "the test comes before"),
        ("release-casing-1338", "test-casing-20", "not the last casing set"),
        ("run-casing-1338", "run-casing-1338", "hangs on a string"),
        ("run-casing-1338", "test-casing-20", "hangs on a string"),
        ("run-casing-20", "run-riser", "hangs on a string"),
        ("cement-casing-1338", "run-casing-1338", "not below the last one set"),
        ("run-casing-958", "cement-casing-1338", "casing-958 that hangs"),
        ("depart", "hold-station", "has left the site"),
        ("run-conductor", "plug", "hangs on a string"),
    ],
)
def test_a_step_done_at_the_wrong_time_says_why(
    main_hole: Hole, last: str, again: str, told: str
) -> None:
    state = walked_to(main_hole, last)
    (step,) = (s for s in derive_steps(main_hole.plan) if s.name == again)
    with pytest.raises(OrderError, match="the step") as caught:
        advance(state, step)
    assert told in str(caught.value)


def test_not_even_a_wait_follows_the_departure(main_hole: Hole) -> None:
    state = walked_to(main_hole, "depart")
    with pytest.raises(OrderError, match="has left the site"):
        advance(state, Step("wait", StepKind.WAIT, "Wait"))
