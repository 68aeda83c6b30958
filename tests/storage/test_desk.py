"""One hole being worked on: edits kept at once, undone in order, never lost to another's."""

from __future__ import annotations

import time
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from kept_hole import CEMENT_TOP, DENSITY, SHOE, TARGET_RADIUS, density, document, opened, set_to

from bathybore.base.errors import InputErrors
from bathybore.model.editing import Draft, Edit
from bathybore.storage.desk import Desk
from bathybore.storage.records import Conflict, Revision
from bathybore.usecases.signing import Signature


def texts(desk: Desk) -> dict[str, str]:
    return dict(desk.draft.files.texts)


def change(desk: Desk, *edits: Edit, by: str = "Ada", gesture: str = "") -> Revision:
    return desk.apply(edits, by, desk.head.number, gesture)


# -- edits ----------------------------------------------------------------------------------


def test_a_hole_begins_with_what_its_folder_holds(folder: Path) -> None:
    with opened(folder) as desk:
        assert (desk.head.number, desk.head.kind) == (1, "opened")
        assert texts(desk)["hole.yaml"] == document(folder)
        assert texts(desk)["earth.csv"] == (folder / "earth.csv").read_text()
        assert not desk.can_undo
        assert not desk.can_redo
        assert desk.revisions() == (desk.head,)


def test_an_edit_changes_the_text_at_one_place(folder: Path) -> None:
    with opened(folder) as desk:
        before = texts(desk)["hole.yaml"]
        revision = desk.apply([density(1.25)], "Ada", 1, label="Heavier pad mud")
        assert (revision.number, revision.author, revision.label) == (2, "Ada", "Heavier pad mud")
        assert texts(desk)["hole.yaml"] == before.replace(
            "pad-mud: {density: 1.20 sg", "pad-mud: {density: 1.250 sg"
        )
        assert desk.head == revision
        assert desk.draft.hole is not None


def test_an_edit_names_itself_when_it_is_not_named(folder: Path) -> None:
    with opened(folder) as desk:
        revision = change(desk, density(1.25), Edit("cell", file="earth.csv", row=0,
                          column="lithology", text="ooze"))  # fmt: skip
        assert revision.label == f"{DENSITY}, earth.csv, row 0, lithology"


def test_an_edit_that_changes_nothing_is_no_revision(folder: Path) -> None:
    with opened(folder) as desk:
        first = change(desk, density(1.25))
        assert change(desk, density(1.25), by="Ben") == first
        desk.undo("Ada")
        change(desk, set_to(DENSITY, "1.20 sg"))
        assert desk.can_redo


def test_an_edit_that_breaks_the_plan_is_kept(folder: Path) -> None:
    with opened(folder) as desk:
        broken = change(desk, set_to(SHOE, "2000 m below sea bed"))
        assert desk.draft.hole is None
        assert broken.faults == len(desk.draft.faults) > 0
        change(desk, set_to(SHOE, "339 m below sea bed"))
        assert desk.draft.hole is not None


@pytest.mark.parametrize(
    "edit",
    [
        set_to(DENSITY, "heavy"),
        set_to(DENSITY, "1.2 m"),
        set_to("plan.fluids[no-mud].density.deep", "1.2 sg"),
    ],
)
def test_an_edit_that_cannot_be_made_changes_nothing(folder: Path, edit: Edit) -> None:
    with opened(folder) as desk:
        before = texts(desk)
        with pytest.raises(InputErrors):
            change(desk, density(1.3), edit)
        assert texts(desk) == before
        assert desk.head.number == 1


@pytest.mark.parametrize("base", [0, -1, 2, 10**9])
def test_a_base_that_is_no_revision(folder: Path, base: int) -> None:
    with opened(folder) as desk:
        with pytest.raises(InputErrors, match=f"revision {base}; expected one from 1 to 1"):
            desk.apply([density(1.3)], "Ada", base)
        with pytest.raises(InputErrors, match="expected one from 1 to 1"):
            desk.undo("Ada", base)


@pytest.mark.parametrize("author", ["A" * 101, "Ada\nBen", "A\x00", "\ud800", "\u202eada"])
def test_an_author_that_cannot_be_shown(folder: Path, author: str) -> None:
    with opened(folder) as desk, pytest.raises(InputErrors, match="author"):
        desk.apply([density(1.3)], author, 1)


def test_half_a_character_is_refused_and_in_a_label_replaced(folder: Path) -> None:
    with opened(folder) as desk:
        with pytest.raises(InputErrors):
            change(desk, set_to("name", "\ud800"))
        assert desk.head.number == 1
        assert desk.apply([density(1.3)], "Ada", 1, label="\ud800" * 999).label.startswith("???")


def test_every_revision_can_be_had_again(folder: Path) -> None:
    with opened(folder) as desk:
        seen = {1: texts(desk)}
        moves = [lambda step=step: change(desk, density(1.3 + step / 1000)) for step in range(130)]
        moves += [lambda: desk.undo("Ada")] * 60 + [lambda: change(desk, density(1.6))]
        for move in moves:  # over two full copies
            number = move().number
            seen[number] = texts(desk)
        assert len(seen) == 192
        for number, files in seen.items():
            assert desk.files_at(number).texts == files
        assert desk.draft_at(100).files.texts == seen[100]
        copies = [n for n in seen if desk._store.made(desk.hole, n).files is not None]
        assert copies[0] == 1
        assert max(b - a for a, b in pairwise(copies)) <= 50
        with pytest.raises(InputErrors, match="revision 193"):
            desk.files_at(193)


def test_the_edits_give_the_same_bytes_as_what_was_kept(folder: Path) -> None:
    """What was asked for stands beside what became of the text, and both say the same."""
    with opened(folder) as desk:
        first = desk.draft
        change(desk, density(1.3))
        change(desk, Edit("cell", file="earth.csv", row=1, column="lithology", text="silt"))
        change(desk, Edit("put", "plan.fluids[brine]", content={"density": "1.1 sg"}))
        again = Draft.of(first.files)
        for number in (2, 3, 4):
            asked = desk._store.made(desk.hole, number).edits
            assert asked is not None
            again = again.edited([Edit(**edit) for edit in asked])
            assert again.files == desk.files_at(number)


def test_a_store_that_was_tampered_with_is_told(folder: Path) -> None:
    with opened(folder) as desk:
        change(desk, density(1.3))
        change(desk, density(1.4))
        with desk._store._writing():
            splices = '{"hole.yaml": [0, 0, "# 1.3 sg"]}'
            desk._store._db.execute("UPDATE revision SET splices = ? WHERE number = 2", (splices,))
        with pytest.raises(InputErrors, match="revision 3: found files in the store"):
            desk.files_at(3)
        assert desk.files_at(1).texts
    with pytest.raises(InputErrors, match="Restore the store"), opened(folder):
        pass


def test_a_disk_that_is_full_refuses_the_edit(folder: Path) -> None:
    with opened(folder) as desk:
        (pages,) = desk._store._one("PRAGMA page_count") or (0,)
        desk._store._db.execute(f"PRAGMA max_page_count = {pages}")
        refusal = ""
        for step in range(100):
            before = texts(desk)
            try:
                change(desk, density(1.3 + step / 1000))
            except InputErrors as error:
                refusal = str(error)
                break
        assert "disk is full" in refusal
        assert texts(desk) == before
        assert desk.files_at(desk.head.number).texts == before
        desk._store._db.execute("PRAGMA max_page_count = 100000")
        change(desk, density(1.5))


# -- undo -----------------------------------------------------------------------------------


def test_undo_and_redo_walk_back_and_forth(folder: Path) -> None:
    with opened(folder) as desk:
        states = [texts(desk)]
        for sg in (1.3, 1.4, 1.5):
            change(desk, density(sg))
            states.append(texts(desk))
        for state in reversed(states[:-1]):
            assert desk.can_undo
            desk.undo("Ada")
            assert texts(desk) == state
        assert not desk.can_undo
        with pytest.raises(InputErrors, match="nothing to undo"):
            desk.undo("Ada")
        for state in states[1:]:
            assert desk.can_redo
            desk.redo("Ada")
            assert texts(desk) == state
        assert not desk.can_redo
        with pytest.raises(InputErrors, match="nothing to redo"):
            desk.redo("Ada")
        desk.undo("Ada")
        desk.undo("Ada")
        desk.redo("Ada")
        assert texts(desk) == states[2]
        assert [r.number for r in desk.revisions()] == list(range(13, 0, -1))


def test_a_drag_is_undone_at_once(folder: Path) -> None:
    with opened(folder) as desk:
        change(desk, density(1.3))
        before = texts(desk)
        for step in range(10):
            change(desk, set_to(SHOE, f"{330 - step} m below sea bed"), gesture="drag 1")
        dragged = texts(desk)
        change(desk, density(1.5), gesture="drag 2")
        desk.undo("Ada")
        assert texts(desk) == dragged
        undone = desk.undo("Ada")
        assert texts(desk) == before
        assert undone.label == f"undo: {SHOE}"
        desk.redo("Ada")
        assert texts(desk) == dragged


def test_a_gesture_goes_on_only_without_a_break(folder: Path) -> None:
    with opened(folder) as desk:
        for by in ("Ada", "Ben", "Ada"):
            change(desk, set_to(TARGET_RADIUS, f"{31 + desk.head.number} m"), by=by, gesture="g")
        change(desk, set_to(TARGET_RADIUS, "50 m"), gesture="g")
        desk.undo("Ada")  # the last two
        assert "target_radius: 33 m" in texts(desk)["hole.yaml"]
        change(desk, set_to(TARGET_RADIUS, "51 m"), gesture="g")  # the drag was undone meanwhile
        desk.undo("Ada")
        assert "target_radius: 33 m" in texts(desk)["hole.yaml"]


def test_an_edit_after_undo_clears_redo_but_loses_nothing(folder: Path) -> None:
    with opened(folder) as desk:
        lost = change(desk, density(1.3))
        desk.undo("Ada")
        change(desk, density(1.4))
        assert not desk.can_redo
        assert "density: 1.300 sg" in desk.files_at(lost.number).texts["hole.yaml"]


def test_undo_survives_a_restart(folder: Path) -> None:
    with opened(folder) as desk:
        first = texts(desk)
        change(desk, density(1.3), gesture="g")
        change(desk, density(1.4), gesture="g")
        second = texts(desk)
        change(desk, density(1.5))
        desk.undo("Ada")
    with opened(folder) as desk:
        assert texts(desk) == second
        assert desk.can_redo
        desk.undo("Ben")
        assert texts(desk) == first
        desk.redo("Ada")
        desk.redo("Ada")
        assert "density: 1.500 sg" in texts(desk)["hole.yaml"]


def test_undo_takes_the_newest_whoever_made_it(folder: Path) -> None:
    with opened(folder) as desk:
        change(desk, density(1.3), by="Ada")
        change(desk, set_to(TARGET_RADIUS, "31 m"), by="Ben")
        undone = desk.undo("Ada")
        assert "target_radius: 30 m" in texts(desk)["hole.yaml"]
        assert "density: 1.300 sg" in texts(desk)["hole.yaml"]
        assert (undone.author, undone.label) == ("Ada", f"undo: {TARGET_RADIUS}")


def test_undo_spares_what_was_not_seen(folder: Path) -> None:
    with opened(folder) as desk:
        seen = change(desk, density(1.3), by="Ada").number
        theirs = change(desk, set_to(TARGET_RADIUS, "31 m"), by="Ben")
        with pytest.raises(Conflict) as caught:
            desk.undo("Ada", seen)
        assert (caught.value.keys, caught.value.theirs) == (("undo",), theirs)
        assert desk.head == theirs
        desk.undo("Ben", theirs.number)
        with pytest.raises(Conflict):
            desk.redo("Ada", theirs.number)
        desk.redo("Ada", desk.head.number)


# -- two authors ----------------------------------------------------------------------------

DOTTED = "plan.fluids.pad-mud.density"
WATER = {"density": "1.1 sg"}
TOP = "plan.leaving.plugs[0].top"
CELL = Edit("cell", file="earth.csv", row=0, column="lithology", text="ooze")


@pytest.mark.parametrize(
    ("theirs", "mine", "keys"),
    [
        (density(1.3), density(1.4), (DENSITY,)),
        (density(1.3), set_to(DOTTED, "1.4 sg"), (DOTTED,)),
        (Edit("put", "plan.fluids[pad-mud]", content=WATER), density(1.4), (DENSITY,)),
        (density(1.3), Edit("remove", "plan.fluids[pad-mud]"), ("plan.fluids[pad-mud]",)),
        (Edit("remove", "plan.leaving.plugs[1]"), set_to(TOP, "281 m below sea bed"), (TOP,)),
        (
            set_to(TOP, "281 m below sea bed"),
            Edit("insert", "plan.leaving.plugs[1]", content={"top": "1 m"}),
            ("plan.leaving.plugs[1]",),
        ),
        (CELL, replace(CELL, text="silt"), ("earth.csv, row 0, lithology",)),
        (CELL, Edit("table", file="earth.csv", text="x"), ("earth.csv",)),
    ],
)  # fmt: skip
def test_what_another_changed_is_not_overwritten(
    folder: Path, theirs: Edit, mine: Edit, keys: tuple[str, ...]
) -> None:
    with opened(folder) as desk:
        done = change(desk, theirs, by="Ben")
        before = texts(desk)
        with pytest.raises(Conflict) as caught:
            desk.apply([set_to(TARGET_RADIUS, "31 m"), mine], "Ada", 1)
        assert (caught.value.keys, caught.value.theirs) == (keys, done)
        assert f"changed by Ben in revision {done.number}" in str(caught.value)
        assert texts(desk) == before
        assert desk.head == done


@pytest.mark.parametrize(
    ("theirs", "mine"),
    [
        (density(1.3), set_to("plan.fluids[pad-mud].yield_stress", "6 Pa")),
        (density(1.3), set_to("plan.fluids[gel-sweep].density", "1.07 sg")),
        (set_to(SHOE, "339 m below sea bed"), set_to(CEMENT_TOP, "5 m below sea bed")),
        (Edit("remove", "plan.leaving.plugs[1]"), density(1.3)),
        (CELL, replace(CELL, row=1)),
        (CELL, density(1.3)),
        (Edit("table", file="sea.csv", text="x"), CELL),
    ],
)
def test_what_another_changed_elsewhere_is_merged(folder: Path, theirs: Edit, mine: Edit) -> None:
    with opened(folder) as desk:
        start = desk.draft
        change(desk, theirs, by="Ben")
        desk.apply([mine], "Ada", 1)
        assert desk.draft.files == start.edited([mine]).edited([theirs]).files


def test_ones_own_edits_are_no_conflict(folder: Path) -> None:
    with opened(folder) as desk:
        for step in range(20):  # a drag does not wait for answers
            desk.apply([density(1.3 + step / 100)], "Ada", 1)
        assert desk.head.number == 21


def test_two_browsers_of_one_author_are_two(folder: Path) -> None:
    with opened(folder) as desk:
        desk.apply([density(1.3)], "Ada", 1, client="left")
        desk.apply([density(1.4)], "Ada", 1, client="left")
        with pytest.raises(Conflict):
            desk.apply([density(1.5)], "Ada", 1, client="right")
        desk.apply([density(1.5)], "Ada", 3, client="right")


def test_what_an_undo_gave_back_is_not_overwritten(folder: Path) -> None:
    with opened(folder) as desk:
        for sg in (1.3, 1.4):
            change(desk, density(sg), by="Ben", gesture="g")
        seen = desk.head.number
        undone = desk.undo("Ben")
        with pytest.raises(Conflict) as caught:
            desk.apply([density(1.5)], "Ada", seen)
        assert caught.value.theirs == undone
        desk.apply([set_to(TARGET_RADIUS, "31 m")], "Ada", seen)
        desk.undo("Ada")
        redone = desk.redo("Ben")
        assert redone.places == (("hole.yaml", "site", "target_radius"),)


# -- signing --------------------------------------------------------------------------------


def sign(desk: Desk, name: str, base: int, note: str = "") -> Signature:
    return desk.sign(name, note, base, role="may sign", passes=True, verdict="holds")


def test_a_signature_stays_on_its_revision(folder: Path) -> None:
    with opened(folder) as desk:
        signed = change(desk, density(1.3))
        signature = sign(desk, "Ada", signed.number, "Checked.\nAgreed.")
        assert (signature.revision, signature.note) == (signed.number, "Checked.\nAgreed.")
        change(desk, density(1.4))
        desk.undo("Ada")
        assert desk.signatures() == (signature,)
        assert desk.head.number != signed.number
        sign(desk, "Ada", desk.head.number)
        assert [s.revision for s in desk.signatures()] == [2, 4]
    with opened(folder) as desk:
        assert desk.signatures()[0] == signature


def test_what_was_not_seen_or_has_faults_is_not_signed(folder: Path) -> None:
    with opened(folder) as desk:
        change(desk, density(1.3), by="Ben")
        with pytest.raises(Conflict, match="signature: changed by Ben"):
            sign(desk, "Ada", 1)
        change(desk, set_to(SHOE, "2000 m below sea bed"))
        with pytest.raises(InputErrors, match="a depth at or above the bottom"):
            sign(desk, "Ada", 3)
        desk.undo("Ada")
        sign(desk, "Ada", 4)
        with pytest.raises(InputErrors, match="signed by Ada already"):
            sign(desk, "Ada", 4)
        sign(desk, "Ben", 4)
        with pytest.raises(InputErrors, match="note"):
            sign(desk, "Cy", 4, "x" * 2001)
        with pytest.raises(InputErrors, match="revision 5; expected one from 1 to 4"):
            sign(desk, "Cy", 5)


# -- sent again -----------------------------------------------------------------------------


def test_a_change_that_is_sent_again_is_made_once(folder: Path) -> None:
    """The answer to the first was lost: with the connection, or with the server."""
    with opened(folder) as desk:
        first = desk.apply([density(1.3)], "Ada", 1, token="one")
        change(desk, density(1.4), by="Ben")
    with opened(folder) as desk:
        assert desk.apply([density(1.3)], "Ada", 1, token="one") == first
        undone = desk.undo("Ada", token="two")
        assert desk.undo("Ada", token="two") == undone
        redone = desk.redo("Ada", token="three")
        assert desk.redo("Ada", token="three") == redone
        back = desk.restore(1, "Ada", token="four")
        assert desk.restore(1, "Ada", token="four") == back
        assert desk.head == back
        assert back.number == 6
        with pytest.raises(Conflict):  # the token of one is nothing to another
            desk.apply([density(1.3)], "Ben", 1, token="one")


def test_a_change_that_was_refused_may_be_sent_again(folder: Path) -> None:
    with opened(folder) as desk:
        change(desk, density(1.4), by="Ben")
        with pytest.raises(Conflict):
            desk.apply([density(1.3)], "Ada", 1, token="one")
        assert desk.apply([density(1.3)], "Ada", 2, token="one").number == 3
        desk.apply([density(1.31)], "Ada", 3)
        desk.apply([density(1.32)], "Ada", 4)  # no token: never taken for another
        assert desk.head.number == 5


# -- back to an earlier revision ------------------------------------------------------------


def test_an_earlier_revision_counts_again(folder: Path) -> None:
    with opened(folder) as desk:
        first = texts(desk)
        for sg in (1.3, 1.4, 1.5):
            change(desk, density(sg))
        last = texts(desk)
        desk.undo("Ada")
        restored = desk.restore(4, "Ben")
        assert (restored.number, restored.kind, restored.label) == (
            6,
            "restored",
            "as in revision 4",
        )
        assert texts(desk) == last
        assert not desk.can_redo
        desk.restore(1, "Ben")
        assert texts(desk) == first
        assert desk.restore(1, "Ben") == desk.head  # nothing to change
        desk.undo("Ben")
        assert texts(desk) == last
        desk.undo("Ben")
        assert "1.400 sg" in texts(desk)["hole.yaml"]
        desk.redo("Ben")
        desk.redo("Ben")
        assert texts(desk) == first
        for number in (6, 7, 11):
            assert desk.files_at(number).texts == (last if number == 6 else first)
        with pytest.raises(InputErrors, match="revision 99"):
            desk.restore(99, "Ben")


def test_going_back_is_a_change_of_the_whole_document(folder: Path) -> None:
    with opened(folder) as desk:
        change(desk, density(1.3), by="Ben")
        desk.restore(1, "Ben")
        with pytest.raises(Conflict):
            desk.apply([set_to(TARGET_RADIUS, "31 m")], "Ada", 2)
        with pytest.raises(Conflict, match="restore"):
            desk.restore(2, "Ada", base=2)
        desk.apply([CELL], "Ada", 2)


# -- walking --------------------------------------------------------------------------------


def test_walking_keeps_the_last_walk_while_the_document_has_faults(folder: Path) -> None:
    with opened(folder) as desk:
        assert desk.walk is None
        assert desk.last_good is None
        first = desk.walk_newest()
        assert first is not None
        assert first.revision.number == 1
        assert desk.walk is first.walk
        change(desk, set_to(SHOE, "2000 m below sea bed"))
        again = desk.walk_newest()
        assert again is not None
        assert (again.revision.number, again.walk) == (1, first.walk)
        desk.undo("Ada")
        again = desk.walk_newest()
        assert again is not None
        assert (again.revision.number, again.walk) == (3, first.walk)  # not walked twice
        assert desk.last_good == again or desk.last_good is not None
        studied = desk.walk_at(1)
        assert studied.studied
        assert studied.states is first.walk.states
        assert desk.walk_at(1) is studied
        with pytest.raises(InputErrors, match="a depth at or above the bottom"):
            desk.walk_at(2)


def test_after_a_restart_the_last_document_without_faults_is_walked(folder: Path) -> None:
    with opened(folder) as desk:
        whole = change(desk, density(1.3))
        change(desk, set_to(SHOE, "2000 m below sea bed"))
    with opened(folder) as desk:
        assert desk.draft.hole is None
        walked = desk.walk_newest()
        assert walked is not None
        assert walked.revision == whole


def test_a_hole_that_never_was_without_faults(folder: Path) -> None:
    (folder / "sea.csv").write_text("depth\n1\n")
    with opened(folder) as desk:
        assert desk.walk_newest() is None
        assert desk.draft.faults


# -- speed ----------------------------------------------------------------------------------


def test_keeping_an_edit_costs_little_beside_making_it(folder: Path) -> None:
    with opened(folder) as desk:
        spent, made = [], []
        for step in range(60):
            edit = density(1.3 + step / 1000)
            draft, base = desk.draft, desk.head.number
            start = time.perf_counter()
            draft.edited([edit])
            between = time.perf_counter()
            desk.apply([edit], "Ada", base)
            spent.append(time.perf_counter() - between)
            made.append(between - start)
        assert min(spent) - min(made) < 10e-3  # the least: other programs may be busy
