"""Files of the folder: written when it is quiet, watched for other hands, nothing lost."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from kept_hole import DENSITY, density, document, opened, rewrite, set_to

from bathybore.base.errors import InputErrors
from bathybore.model.editing import Edit
from bathybore.storage import mirror
from bathybore.storage.desk import Desk
from bathybore.storage.log import CHANGED_OUTSIDE
from bathybore.storage.store import Store

OLD_RADIUS, NEW_RADIUS = "target_radius: 30 m", "target_radius: 35 m"


def change(desk: Desk, sg: float) -> None:
    desk.apply([density(sg)], "Ada", desk.head.number)


def until(holds: Callable[[], bool], seconds: float = 10.0) -> bool:
    end = time.monotonic() + seconds
    while not holds():
        if time.monotonic() > end:
            return False
        time.sleep(0.01)
    return True


def settled() -> None:
    """Wait as long as an editor is given to finish writing."""
    time.sleep(mirror._SETTLED)


def cut_off(folder: Path, *sgs: float) -> None:
    """Edit as a server that ends before it writes the files."""
    store = Store(folder.parent / "store.sqlite")
    desk = Desk(store, folder, quiet=3600.0)
    for sg in sgs:
        change(desk, sg)
    store.close()  # the desk is never closed


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


# -- writing --------------------------------------------------------------------------------


def test_opening_and_closing_touches_no_file(folder: Path) -> None:
    before = {path: (path.read_bytes(), path.stat().st_mtime_ns) for path in folder.iterdir()}
    for _ in range(2):
        with opened(folder):
            pass
    after = {path: (path.read_bytes(), path.stat().st_mtime_ns) for path in folder.iterdir()}
    assert after == before


def test_files_are_written_when_it_is_quiet(folder: Path) -> None:
    with opened(folder, quiet=0.2) as desk:
        started = time.monotonic()
        while time.monotonic() < started + 0.6:  # edits closer to one another than the quiet
            change(desk, 1.3 + (time.monotonic() - started) / 10)
            assert "pad-mud: {density: 1.20 sg" in document(folder)
            time.sleep(0.02)
        assert until(lambda: document(folder) == desk.draft.files.texts["hole.yaml"])
        assert names(folder) == ["earth.csv", "hole.yaml", "sea.csv"]
        change(desk, 1.9)  # and again
        assert until(lambda: "pad-mud: {density: 1.900 sg" in document(folder))
        assert desk.notices == ()


def test_files_are_written_on_closing(folder: Path) -> None:
    with opened(folder) as desk:
        change(desk, 1.3)
        assert "1.300 sg" not in document(folder)
    assert "pad-mud: {density: 1.300 sg" in document(folder)
    with pytest.raises(InputErrors, match="was closed"):
        change(desk, 1.4)
    desk.close()  # twice does no harm


def test_bytes_survive_as_they_are(folder: Path) -> None:
    """Line ends, marks and blanks of the user's editor are not ours to change."""
    strange = document(folder).replace("\n", "\r\n") + "# end  \r\n\r\n"
    (folder / "hole.yaml").write_bytes(strange.encode())
    with opened(folder) as desk:
        change(desk, 1.3)
    assert (folder / "hole.yaml").read_bytes().decode() == strange.replace(
        "pad-mud: {density: 1.20 sg", "pad-mud: {density: 1.300 sg"
    )


# -- cut off --------------------------------------------------------------------------------


def test_edits_that_were_not_written_are_written_on_opening(folder: Path) -> None:
    cut_off(folder, 1.3, 1.4)
    assert "pad-mud: {density: 1.20 sg" in document(folder)
    with opened(folder) as desk:
        assert desk.head.number == 3
        assert "pad-mud: {density: 1.400 sg" in document(folder)
        assert desk.notices == ()
        desk.undo("Ada")
        assert desk.undo("Ada").number == 5


def test_cut_off_after_writing_and_before_noting_it(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cut_off(folder, 1.3)
    write = mirror.write_files

    def cut(*arguments: object) -> None:
        write(*arguments)  # type: ignore[arg-type]
        raise KeyboardInterrupt

    monkeypatch.setattr(mirror, "write_files", cut)
    with pytest.raises(KeyboardInterrupt), opened(folder):
        pass
    monkeypatch.undo()
    assert "1.300 sg" in document(folder)
    with opened(folder) as desk:
        assert desk.head.number == 2  # no change by another hand
        change(desk, 1.4)
    assert "1.400 sg" in document(folder)
    assert desk.notices == ()


def test_cut_off_between_two_files(folder: Path) -> None:
    """One file new, the other old: both are ours."""
    old = (folder / "earth.csv").read_bytes()
    store = Store(folder.parent / "store.sqlite")
    desk = Desk(store, folder, quiet=3600.0)
    table = Edit("table", file="earth.csv", text=old.decode() + "# measured again\n")
    desk.apply([density(1.3), table], "Ada", 1)
    store.set_folder(desk.hole, 1, 2)  # as it is said before writing
    (folder / "hole.yaml").write_bytes(desk.draft.files.texts["hole.yaml"].encode())
    store.close()
    with opened(folder) as desk:
        assert desk.head.number == 2
        assert (folder / "earth.csv").read_bytes() == old + b"# measured again\n"
        assert desk.notices == ()


# -- changed by another hand ----------------------------------------------------------------


def test_changed_while_closed(folder: Path) -> None:
    with opened(folder) as desk:
        change(desk, 1.3)
    rewrite(folder, OLD_RADIUS, NEW_RADIUS)
    with opened(folder) as desk:
        assert (desk.head.number, desk.head.kind, desk.head.label) == (
            3,
            "outside",
            CHANGED_OUTSIDE,
        )
        assert NEW_RADIUS in desk.draft.files.texts["hole.yaml"]
        assert desk.head.places == (("hole.yaml",),)
        (notice,) = desk.notices
        assert "hole.yaml: changed outside the workspace, taken in as revision 3" in notice.text
        assert "not yet written" not in notice.text
        desk.undo("Ada")
    assert OLD_RADIUS in document(folder)


def test_changed_while_open_is_noticed(folder: Path) -> None:
    with opened(folder) as desk:
        assert desk.notice() is None
        rewrite(folder, OLD_RADIUS, NEW_RADIUS)
        assert desk.notice() is None  # the editor may still be writing
        settled()
        taken = desk.notice()
        assert taken is not None
        assert desk.head == taken
        assert desk.notice() is None
        with pytest.raises(Exception, match="changed by somebody outside"):
            desk.apply([density(1.3)], "Ada", 1)
        change(desk, 1.3)
    assert NEW_RADIUS in document(folder)
    assert "1.300 sg" in document(folder)


def test_changed_while_open_is_not_written_over(folder: Path) -> None:
    with opened(folder, quiet=0.05) as desk:
        rewrite(folder, OLD_RADIUS, NEW_RADIUS)
        change(desk, 1.3)
        assert until(lambda: desk.notices != ())
        assert desk.head.kind == "outside"
        (notice,) = desk.notices
        assert "Edits made here up to revision 2 were not yet written" in notice.text
        assert "1.300 sg" in desk.files_at(2).texts["hole.yaml"]
        assert NEW_RADIUS in document(folder)
        assert "1.300 sg" not in document(folder)
        desk.undo("Ada")
        assert until(lambda: "1.300 sg" in document(folder))
        assert OLD_RADIUS in document(folder)


def test_changed_after_a_cut_off(folder: Path) -> None:
    cut_off(folder, 1.3)
    rewrite(folder, OLD_RADIUS, NEW_RADIUS)
    with opened(folder) as desk:
        assert [r.kind for r in desk.revisions()] == ["outside", "edit", "opened"]
        assert NEW_RADIUS in desk.draft.files.texts["hole.yaml"]
        assert "not yet written" in desk.notices[0].text
        assert "1.300 sg" in desk.files_at(2).texts["hole.yaml"]


def test_changed_to_the_same(folder: Path) -> None:
    with opened(folder) as desk:
        change(desk, 1.3)
        rewrite(folder, "pad-mud: {density: 1.20 sg", "pad-mud: {density: 1.300 sg")
    assert desk.head.number == 2
    assert desk.notices == ()
    with opened(folder) as desk:
        assert desk.head.number == 2


def test_a_table_changed_outside(folder: Path) -> None:
    with opened(folder) as desk:
        with (folder / "sea.csv").open("a") as stream:
            stream.write("# measured again\n")
        settled()
        taken = desk.notice()
        assert taken is not None
        assert taken.places == (("sea.csv",),)
        desk.apply([density(1.3)], "Ada", 1)  # the document is another file
    assert (folder / "sea.csv").read_text().endswith("# measured again\n")


def test_broken_outside_is_kept_and_said(folder: Path) -> None:
    """A document that is no YAML is a revision like any other: undo mends it."""
    with opened(folder) as desk:
        (folder / "hole.yaml").write_text("name: [\n")
        settled()
        taken = desk.notice()
        assert taken is not None
        assert taken.faults
        assert desk.draft.hole is None
        desk.undo("Ada")
        assert desk.draft.hole is not None
    assert document(folder).startswith("# A short cored hole")


@pytest.mark.parametrize("spoil", ["remove", "latin", "folder"])
def test_files_that_cannot_be_read_are_not_written_over(folder: Path, spoil: str) -> None:
    path = folder / "hole.yaml"
    good = path.read_bytes()
    with opened(folder, quiet=0.05) as desk:
        path.unlink()
        if spoil == "latin":
            path.write_bytes("name: Tiefe Bö\n".encode("latin-1"))
        if spoil == "folder":
            path.mkdir()
        change(desk, 1.3)
        assert until(lambda: desk.notices != ())
        assert "the store has the edits" in desk.notices[-1].text or "none are written" in (
            desk.notices[0].text
        )
        assert desk.head.number == 2
    if spoil == "remove":
        assert not path.exists()
    if spoil == "latin":
        assert path.read_bytes() == "name: Tiefe Bö\n".encode("latin-1")
    if spoil == "folder":
        path.rmdir()
    path.write_bytes(good)
    with opened(folder) as desk:  # the store's edits count again
        assert desk.head.number == 2
    assert "1.300 sg" in document(folder)


def test_a_disk_without_room_is_tried_again(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise InputErrors.one("hole.yaml", "no room on the disk", "room")

    write = mirror.write_files
    monkeypatch.setattr(mirror, "write_files", full)
    monkeypatch.setattr("bathybore.storage.desk._PATIENCE", 0.1)
    with opened(folder, quiet=0.05) as desk:
        change(desk, 1.3)
        assert until(lambda: desk.notices != ())
        assert "could not be written; the store has the edits" in desk.notices[0].text
        time.sleep(0.5)
        assert len(desk.notices) == 1  # said once
        monkeypatch.setattr(mirror, "write_files", write)
        assert until(lambda: "1.300 sg" in document(folder))


def test_a_folder_that_is_gone(folder: Path) -> None:
    with opened(folder) as desk:
        change(desk, 1.3)
        shutil.rmtree(folder)
    assert not folder.exists()
    assert desk.notices
    with pytest.raises(InputErrors), opened(folder):
        pass


def test_no_thread_stays_behind(folder: Path) -> None:
    before = threading.active_count()
    with opened(folder) as desk:
        change(desk, 1.3)
    assert threading.active_count() == before


def test_typed_values_reach_the_file_as_written(folder: Path) -> None:
    with opened(folder) as desk:
        desk.apply([set_to(DENSITY, "10.4 ppg")], "Ada", 1)
    assert "pad-mud: {density: 10.4 ppg" in document(folder)


def test_a_table_that_became_unreadable_is_not_written_over(folder: Path) -> None:
    spoilt = "Tiefe in Fuß\n".encode("latin-1")
    with opened(folder, quiet=0.05) as desk:
        (folder / "sea.csv").write_bytes(spoilt)
        settled()
        taken = desk.notice()
        assert taken is not None
        assert any("not UTF-8" in str(fault) for fault in desk.draft.faults)
        desk.undo("Ada")
        assert desk.draft.hole is not None
        assert until(lambda: "could not be written" in desk.notices[-1].text)
    assert (folder / "sea.csv").read_bytes() == spoilt


def test_a_table_that_is_not_named_any_more_is_no_change(folder: Path) -> None:
    with opened(folder) as desk:
        desk.apply([set_to("site.sea", "sea-of-spring.csv")], "Ada", 1)
        assert desk.draft.hole is None
    for _ in range(2):
        with opened(folder) as desk:
            assert (desk.head.number, desk.notices) == (2, ())
    shutil.copy(folder / "sea.csv", folder / "sea-of-spring.csv")
    with opened(folder) as desk:
        assert (desk.head.number, desk.head.kind) == (3, "outside")
        assert desk.draft.hole is not None
    (folder / "sea.csv").unlink()
    with opened(folder) as desk:
        assert desk.draft.hole is not None


def test_a_table_taken_away_is_a_change(folder: Path) -> None:
    with opened(folder) as desk:
        (folder / "sea.csv").unlink()
        settled()
        assert desk.notice() is not None
        assert desk.draft.hole is None
        desk.undo("Ada")
    assert (folder / "sea.csv").exists()


def test_a_mark_before_the_text_survives(folder: Path) -> None:
    marked = b"\xef\xbb\xbf" + (folder / "hole.yaml").read_bytes()
    (folder / "hole.yaml").write_bytes(marked)
    with opened(folder) as desk:
        change(desk, 1.3)
    assert desk.notices == ()
    assert b"1.300 sg" in (folder / "hole.yaml").read_bytes()


def test_what_a_sudden_end_left_is_cleared_up(folder: Path) -> None:
    with opened(folder):
        pass
    left = folder / ".hole.yaml-0123456789abcdef"
    left.write_text("half")
    mine = folder / ".hole.yaml-notes"
    mine.write_text("mine")
    with opened(folder):
        pass
    assert not left.exists()
    assert mine.exists()


def test_a_change_that_cannot_be_kept_is_not_written_over(folder: Path) -> None:
    """No room for the revision that it becomes: said, and tried again later."""
    with opened(folder) as desk:
        change(desk, 1.3)
        assert desk.write()
        (pages,) = desk._store._one("PRAGMA page_count") or (0,)
        desk._store._db.execute(f"PRAGMA max_page_count = {pages}")
        changed = document(folder) + f"# {50 * 'again '}\n" * 2000
        (folder / "hole.yaml").write_text(changed)
        settled()
        assert desk.notice() is None
        assert "disk is full" in desk.notices[-1].text
        assert desk.head.number == 2
        kept = document(folder) == changed  # compared apart: nobody reads how texts so long differ
        assert kept
        assert desk.notice() is None
        assert len(desk.notices) == 1
        desk._store._db.execute(f"PRAGMA max_page_count = {pages + 1000}")
        assert desk.notice() is not None
    kept = document(folder) == changed
    assert kept
    assert desk.head.kind == "outside"
    with opened(folder) as desk:
        kept = desk.draft.files.texts["hole.yaml"] == changed
        assert kept


def test_what_is_uncertain_comes_goes_and_comes_back_with_its_file(folder: Path) -> None:
    """It counts by being there: undone, its file is taken away, and stays away."""
    file = folder / "uncertainty.yaml"
    with opened(folder) as desk:
        file.write_text("factors:\n  bit_life: {distribution: fixed}\n", encoding="utf-8")
        settled()
        revision = desk.notice()
        assert revision is not None
        assert revision.label == CHANGED_OUTSIDE
        assert file.name in desk.draft.files.texts
        desk.undo("Ada")
        assert desk.write()
        assert not file.exists()
        settled()
        assert desk.notice() is None
        desk.redo("Ada")
        assert desk.write()
        assert "bit_life" in file.read_text(encoding="utf-8")
        file.unlink()
        settled()
        assert desk.notice() is not None
        assert file.name not in desk.draft.files.texts
    with opened(folder) as desk:
        assert file.name not in desk.draft.files.texts
