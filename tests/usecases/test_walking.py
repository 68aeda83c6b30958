"""A walk that cannot go on keeps what it has, and says why."""

from __future__ import annotations

import pytest

from bathybore.base.errors import InputErrors, OrderError
from bathybore.model.editing import Edit, read_draft
from bathybore.model.hole import Hole
from bathybore.model.plan import StepEdit
from bathybore.usecases.mud_account import account_of
from bathybore.usecases.picturing import scene
from bathybore.usecases.walking import Walk, study, walk_as_far, walk_loaded
from varied import EXAMPLES, changed


def removed(hole: Hole, step: str) -> Hole:
    return changed(hole, "plan/step_edits", (StepEdit(step=step, remove=True, why="to see"),))


def test_a_plan_that_can_be_done_is_walked_to_its_end(main_walk: Walk) -> None:
    far = study(walk_as_far(main_walk.hole))
    assert far.stopped == ""
    assert [s.step.name for s in far.states] == [s.step.name for s in main_walk.states]
    assert [(r.id, r.status, r.margin) for r in far.records] == [
        (r.id, r.status, r.margin) for r in main_walk.records
    ]


def test_a_walk_stops_where_a_step_cannot_be_done(main_walk: Walk) -> None:
    hole = removed(main_walk.hole, "test-casing-958")
    with pytest.raises(OrderError) as told:
        walk_loaded(hole)
    far = study(walk_as_far(hole))
    assert far.stopped == str(told.value)
    assert far.states[-1].step.name == "release-casing-958"
    before = [r.id for r in main_walk.records if r.step in {s.step.name for s in far.states}]
    assert [r.id for r in far.records] == before


def test_a_walk_without_its_last_step_keeps_all_others(main_walk: Walk) -> None:
    far = walk_as_far(removed(main_walk.hole, "depart"))
    assert "'depart'" in far.stopped
    assert len(far.states) == len(main_walk.states) - 1


def test_a_plan_whose_first_step_cannot_be_done_has_a_picture_all_the_same(
    main_walk: Walk,
) -> None:
    far = walk_as_far(removed(main_walk.hole, "hold-station"))
    assert far.states == ()
    pictured = scene(far, "run-conductor")
    assert pictured.step == ""
    assert pictured.stopped == far.stopped
    assert pictured.section.steel == ()
    assert pictured.steps == ()
    assert {curve.kind for curve in pictured.window.curves} == {"pore", "collapse", "fracture"}


def test_a_plan_whose_first_step_cannot_be_done_has_no_account_of_mud(main_walk: Walk) -> None:
    far = walk_as_far(removed(main_walk.hole, "hold-station"))
    with pytest.raises(InputErrors, match="no step that can be done"):
        account_of(far)


def test_a_step_that_was_not_reached_shows_the_last_one_that_was(main_walk: Walk) -> None:
    far = walk_as_far(removed(main_walk.hole, "test-casing-958"))
    pictured = scene(far, "core")
    assert pictured.step == far.states[-1].step.name
    assert "test-casing-958" in pictured.stopped


def test_an_edit_of_a_step_that_is_not_there_is_a_fault_of_the_input(main_walk: Walk) -> None:
    with pytest.raises(InputErrors, match="no-such-step"):
        walk_as_far(removed(main_walk.hole, "no-such-step"))


def test_longer_questions_come_after_the_others_of_their_step(main_walk: Walk) -> None:
    quick = walk_loaded(main_walk.hole)
    assert not quick.studied
    assert main_walk.studied
    assert len(quick.records) < len(main_walk.records)
    for state in main_walk.states:
        step = state.step.name
        at_once = [record.id for record in quick.records_at(step)]
        assert [record.id for record in main_walk.records_at(step)][: len(at_once)] == at_once


def test_a_study_that_is_not_wanted_any_more_leaves_the_walk_as_it_was(main_walk: Walk) -> None:
    quick = walk_loaded(main_walk.hole)
    assert study(quick, lambda: False) is quick
    again = study(quick)
    assert study(again) is again


@pytest.mark.parametrize("more", [1e-9, 1e-7, 9e-7])
def test_a_sea_bed_that_rounding_puts_below_the_sea_table_is_judged_in_full(more: float) -> None:
    """8136.48294 ft are 2480 m and 0.1 micrometres; the table ends at 2480 m."""
    draft = read_draft(EXAMPLES / "riserless")
    assert draft.hole is not None
    plain = study(walk_as_far(draft.hole))
    depth = f"{draft.hole.site.water_depth + more!r} m"
    hole = draft.edited([Edit("set", "site.water_depth", depth)]).hole
    assert hole is not None
    moved = study(walk_as_far(hole))
    assert [(r.id, r.status) for r in moved.records] == [(r.id, r.status) for r in plain.records]
