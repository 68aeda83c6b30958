"""Steps follow from the plan, can be edited in it, and refuse what cannot be done."""

from __future__ import annotations

import shutil
from itertools import pairwise, product
from pathlib import Path

import pytest

from bathybore.base.errors import InputErrors, OrderError
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.model.plan import StepEdit
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind, derive_steps
from bathybore.operations.walk import walk_hole
from bathybore.usecases.walking import Walk
from varied import changed

EXAMPLES = Path(__file__).parents[2] / "examples"


def edited(hole: Hole, *edits: StepEdit) -> Hole:
    return changed(hole, "plan/step_edits", edits)


def edit(**fields: object) -> StepEdit:
    return StepEdit.model_validate({"why": "a reason", **fields})


def names(hole: Hole) -> list[str]:
    return [step.name for step in derive_steps(hole.plan)]


def without_last_riser(hole: Hole) -> Hole:
    return changed(hole, "plan/leaving/retrieve_riser", False)


def test_the_list_of_the_main_hole(main_hole: Hole) -> None:
    """Written down from the plan by hand: section by section, casing by casing."""
    casings = ["casing-20", "casing-1338", "casing-958", "liner-7"]
    sections = ["top-hole", "section-1712", "section-1214", "section-812"]
    expected = ["hold-station", "run-conductor", "set-conductor", "release-conductor"]
    for index, (section, casing) in enumerate(zip(sections, casings, strict=True)):
        if index == 1:
            expected.append("run-riser")
        if index > 0:
            expected.append(f"test-{casings[index - 1]}")
        expected += [f"drill-{section}", f"run-{casing}", f"cement-{casing}", f"release-{casing}"]
    expected += ["test-liner-7", "drill-core-hole", "core", "plug", "retrieve-riser", "depart"]
    assert names(main_hole) == expected


def test_names_are_unique_in_every_example(example_walk: Walk) -> None:
    every = names(example_walk.hole)
    assert len(every) == len(set(every))


def test_steps_follow_the_kinds_of_the_plan(example_walk: Walk) -> None:
    plan = example_walk.hole.plan
    kinds = [step.kind for step in derive_steps(plan)]
    cased = sum(section.casing is not None for section in plan.sections)
    assert kinds.count(StepKind.DRILL) == len(plan.sections)
    assert kinds.count(StepKind.RUN_CASING) == kinds.count(StepKind.CEMENT) == cased
    assert kinds.count(StepKind.CORE) == (plan.coring is not None)
    assert kinds.count(StepKind.RUN_RISER) == any(s.returns == "riser" for s in plan.sections)
    assert kinds[0] is StepKind.HOLD_STATION
    assert kinds[-1] is StepKind.DEPART


def test_a_plan_may_leave_the_riser_on_board_of_its_list(main_hole: Hole) -> None:
    assert "retrieve-riser" not in names(without_last_riser(main_hole))
    with pytest.raises(OrderError, match="riser still ties the vessel"):
        walk_hole(without_last_riser(main_hole))


def test_insert(main_hole: Hole) -> None:
    hole = edited(
        main_hole, edit(insert_after="run-riser", insert="wait", name="storm", duration="2 d")
    )
    before, after = names(main_hole), names(hole)
    at = before.index("run-riser") + 1
    assert after == [*before[:at], "storm", *before[at:]]
    plain, waited = walk_hole(main_hole), walk_hole(hole)
    assert float(waited[at].duration) == 2 * 86400.0  # type: ignore[arg-type]
    assert waited[at].step.why == "a reason"
    assert waited[at].elapsed == pytest.approx(plain[at - 1].elapsed + 2 * 86400.0)
    # the preventer may fall due for a test once more; waiting changes nothing else
    assert waited[-1].elapsed >= plain[-1].elapsed + 2 * 86400.0 - 1e-3
    assert waited[-1].consumed == plain[-1].consumed


def test_fixed_duration(main_hole: Hole) -> None:
    hole = edited(main_hole, edit(step="drill-top-hole", duration="30 h"))
    assert names(hole) == names(main_hole)
    state = next(s for s in walk_hole(hole) if s.step.name == "drill-top-hole")
    assert float(state.duration) == 30 * 3600.0  # type: ignore[arg-type]


def test_remove(main_hole: Hole) -> None:
    hole = edited(main_hole, edit(step="core", remove=True))
    assert names(hole) == [name for name in names(main_hole) if name != "core"]
    assert walk_hole(edited(main_hole, edit(step="retrieve-riser", move_after="plug")))
    last = next(s for s in _walk_as_far(hole) if s.step.name == "drill-core-hole")
    assert last.cored == 0.0


def _walk_as_far(hole: Hole) -> list[HoleState]:
    from bathybore.operations.advance import advance, initial_state

    states, state = [], initial_state(hole)
    for step in derive_steps(hole.plan):
        try:
            state = advance(state, step)
        except OrderError:
            break
        states.append(state)
    return states


def test_move(main_hole: Hole) -> None:
    moved = names(edited(main_hole, edit(step="plug", move_after="retrieve-riser")))
    assert moved[-3:] == ["retrieve-riser", "plug", "depart"]
    assert sorted(moved) == sorted(names(main_hole))


def test_edits_apply_in_their_order(main_hole: Hole) -> None:
    wait = edit(insert_after="run-riser", insert="wait", name="storm", duration="2 d")
    move = edit(step="storm", move_after="depart")
    assert names(edited(main_hole, wait, move))[-1] == "storm"
    with pytest.raises(InputErrors, match="storm"):
        names(edited(main_hole, move, wait))


@pytest.mark.parametrize(
    ("fields", "written", "meant"),
    [
        ({"step": "dril-top-hole", "remove": True}, "dril-top-hole", "drill-top-hole"),
        ({"step": "core", "move_after": "pluck"}, "pluck", "plug"),
        (
            {"insert_after": "run-rizer", "insert": "wait", "name": "w", "duration": "1 h"},
            "run-rizer",
            "run-riser",
        ),
    ],
)
def test_an_unknown_step_suggests_the_nearest(
    main_hole: Hole, fields: dict[str, object], written: str, meant: str
) -> None:
    with pytest.raises(InputErrors) as caught:
        names(edited(main_hole, edit(**fields)))
    (fault,) = caught.value.faults
    assert f"'{written}'" in fault.found
    assert meant in fault.expected
    assert fault.fix == f"Did you mean '{meant}'?"


@pytest.mark.parametrize(
    ("place", "told"),
    [
        ("step", "step: dril, remove: true"),
        ("move_after", "step: core, move_after: pluck"),
        ("insert_after", "insert_after: rizer, insert: wait, name: w, duration: 1 h"),
    ],
)
def test_an_unknown_step_is_shown_where_it_is_written(
    tmp_path: Path, place: str, told: str
) -> None:
    folder = tmp_path / "main"
    shutil.copytree(EXAMPLES / "main", folder)
    document = folder / "hole.yaml"
    text = document.read_text(encoding="utf-8")
    edits = f"\n  step_edits:\n    - {{{told}, why: x}}\n  target:"
    document.write_text(text.replace("\n  target:", edits, 1), encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        derive_steps(load_hole(folder).plan)
    (fault,) = caught.value.faults
    assert fault.where.startswith(f"plan.step_edits[0].{place} (hole.yaml, line ")


def test_two_steps_of_one_name_are_refused(main_hole: Hole) -> None:
    twice = edit(insert_after="run-riser", insert="wait", name="core", duration="2 h")
    with pytest.raises(InputErrors, match="two steps called 'core'"):
        names(edited(main_hole, twice))


@pytest.mark.parametrize(
    ("moved", "after", "told"),
    [
        ("set-conductor", "hold-station", "no conductor hangs"),
        ("drill-top-hole", "hold-station", "no conductor is set"),
        ("drill-top-hole", "set-conductor", "a string is still in the hole"),
        ("run-casing-20", "release-conductor", "no open hole"),
        ("cement-casing-20", "drill-top-hole", "no casing hangs"),
        ("release-casing-20", "run-casing-20", "not set yet"),
        ("run-riser", "release-conductor", "no casing is cemented"),
        ("drill-section-1712", "release-casing-20", "returns are to be by riser"),
        ("retrieve-riser", "run-riser", "the riser is not on"),
        ("run-casing-958", "drill-section-1712", "the shoe is below the hole"),
        ("core", "drill-section-812", "coring begins at 4\u202f650 m below sea bed"),
        ("plug", "drill-section-812", "is deeper"),
        ("depart", "plug", "the riser still ties the vessel"),
    ],
)
def test_what_cannot_be_done_there_says_why(
    main_hole: Hole, moved: str, after: str, told: str
) -> None:
    with pytest.raises(OrderError) as caught:
        walk_hole(edited(main_hole, edit(step=moved, move_after=after)))
    assert told in str(caught.value)
    assert str(caught.value).startswith("the step '")


def _refused(hole: Hole) -> bool:
    """Whether a walk says that a step cannot be done; anything else it raises is a defect."""
    try:
        walk_hole(hole)
    except (OrderError, InputErrors):
        return True
    return False


def test_every_step_can_be_asked_to_go(main_hole: Hole) -> None:
    may_go = {name for name in names(main_hole) if not _refused(_gone(main_hole, name))}
    # a hole cannot be drilled, cased or left without these
    assert not may_go & {
        "run-conductor",
        "set-conductor",
        "release-conductor",
        "run-riser",
        "drill-top-hole",
        "run-casing-20",
        "cement-casing-20",
        "release-casing-20",
        "core",
        "retrieve-riser",
    }


def _gone(hole: Hole, step: str) -> Hole:
    return edited(hole, edit(step=step, remove=True))


# A conductor cannot be cemented as a casing is; every seventh of all other moves.
_MOVES = 7


def test_any_move_is_done_or_refused_with_reason(main_hole: Hole) -> None:
    every = names(main_hole)
    pairs = [(a, b) for a, b in product(every, every) if a != b]
    chosen = [
        pair
        for pair in pairs[::_MOVES]
        if not (pair[0].startswith("cement-") and pair[1] == "run-conductor")
    ]
    refused = [
        _refused(edited(main_hole, edit(step=step, move_after=place))) for step, place in chosen
    ]
    assert any(refused)
    assert not all(refused)


@pytest.mark.parametrize(
    "wanted",
    [
        pytest.param(edit(step="cement-casing-20", move_after="run-conductor"), id="conductor"),
        pytest.param(edit(step="depart", move_after="hold-station"), id="work-after-leaving"),
        pytest.param(edit(step="hold-station", move_after="depart"), id="station-last"),
        pytest.param(edit(step="test-liner-7", move_after="run-riser"), id="test-what-is-not-set"),
        pytest.param(
            edit(step="test-casing-20", move_after="run-casing-1338"), id="test-on-string"
        ),
        pytest.param(edit(step="run-riser", move_after="cement-casing-20"), id="riser-on-string"),
    ],
)
def test_absurd_orders_are_refused(main_hole: Hole, wanted: StepEdit) -> None:
    with pytest.raises(OrderError):
        walk_hole(edited(main_hole, wanted))


def test_consecutive_steps_differ(example_walk: Walk) -> None:
    for before, after in pairwise(example_walk.states):
        assert before.step.name != after.step.name


def test_no_drilling_on_the_riser_below_an_untested_shoe(main_hole: Hole) -> None:
    """Leaving out the test would also leave the riser's mud off the books: it is refused."""
    with pytest.raises(OrderError):
        walk_hole(_gone(main_hole, "test-casing-20"))
