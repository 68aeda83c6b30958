"""A folder of holes: what is in it is served, and nothing outside it."""

from __future__ import annotations

import stat
from collections.abc import Iterator
from pathlib import Path

import pytest
from kept_hole import copied, density, document, set_to

from bathybore.base.errors import InputErrors
from bathybore.storage.store import Store
from bathybore.storage.workspace import HoleEntry, UnknownHole, Workspace


@pytest.fixture
def holes(tmp_path: Path) -> Path:
    path = tmp_path / "holes"
    path.mkdir()
    return path


@pytest.fixture
def workspace(holes: Path) -> Iterator[Workspace]:
    opened = Workspace(holes)
    yield opened
    opened.close()


def test_an_empty_folder_has_no_holes_and_a_store(workspace: Workspace, holes: Path) -> None:
    assert workspace.holes() == ()
    assert sorted(path.name for path in holes.iterdir()) == [".bathybore"]
    assert stat.S_IMODE((holes / ".bathybore").stat().st_mode) == 0o700
    assert (holes / ".bathybore" / ".gitignore").read_text() == "*\n"


def test_demonstration_holes(workspace: Workspace, holes: Path) -> None:
    assert workspace.add_demonstration() == ("frontier", "main", "riserless")
    entries = workspace.holes()
    assert [(e.id, e.invented, e.fault) for e in entries] == [
        ("frontier", True, ""),
        ("main", True, ""),
        ("riserless", True, ""),
    ]
    assert entries[1].name == "Tern Basin deep hole"
    desk = workspace.open("riserless")
    desk.apply([density(1.3)], "Ada", 1)
    assert workspace.add_demonstration() == ()
    assert "1.300 sg" in workspace.open("riserless").draft.files.texts["hole.yaml"]


def test_a_new_hole(workspace: Workspace, holes: Path) -> None:
    assert workspace.create("deep one") == "deep one"
    assert [entry.id for entry in workspace.holes()] == ["deep one"]
    assert workspace.open("deep one").draft.hole is not None
    for name in ("deep one", "", "../deep", "a/b", ".hidden", "a\0"):
        with pytest.raises(InputErrors):
            workspace.create(name)
    assert sorted(path.name for path in holes.iterdir()) == [".bathybore", "deep one"]


def test_a_desk_is_opened_once_and_written_on_closing(holes: Path) -> None:
    copied(holes)
    workspace = Workspace(holes)
    desk = workspace.open("riserless")
    assert workspace.open("riserless") is desk
    desk.apply([density(1.3)], "Ada", 1)
    workspace.close()
    assert "1.300 sg" in document(holes / "riserless")
    again = Workspace(holes)
    assert again.open("riserless").head.number == 2
    again.close()


def test_a_hole_with_faults_is_listed_and_opened(workspace: Workspace, holes: Path) -> None:
    folder = copied(holes)
    text = document(folder).replace("water_depth: 3210 m", "water_depth: deep")
    (folder / "hole.yaml").write_text(text)
    (entry,) = workspace.holes()
    assert (entry.id, entry.name) == ("riserless", "riserless")
    assert entry.fault.startswith("hole.yaml, line 13, site.water_depth")
    assert workspace.open("riserless").draft.hole is None
    (folder / "hole.yaml").write_bytes(b"\xff\xfe")
    other = copied(holes / "..", "main")
    other.rename(holes / "main")
    (holes / "main" / "hole.yaml").write_bytes(b"\xff\xfe")
    assert "UTF-16" in workspace.holes()[0].fault
    with pytest.raises(InputErrors, match="UTF-16"):
        workspace.open("main")


def test_an_open_hole_is_listed_as_it_is_now(workspace: Workspace, holes: Path) -> None:
    copied(holes)
    desk = workspace.open("riserless")
    desk.apply([set_to("name", "Renamed hole")], "Ada", 1)
    assert workspace.holes() == (HoleEntry("riserless", "Renamed hole", True, ""),)


def test_the_folder_of_one_hole(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    copied(folder, "main")  # a hole within is not listed
    workspace = Workspace(folder)
    assert workspace.single
    assert [entry.id for entry in workspace.holes()] == ["riserless"]
    assert workspace.open("riserless").draft.hole is not None
    with pytest.raises(UnknownHole):
        workspace.open("main")
    for ask in (workspace.add_demonstration, lambda: workspace.create("one")):
        with pytest.raises(InputErrors, match="the folder of one hole; expected a folder of holes"):
            ask()
    workspace.close()


def test_a_folder_by_another_way_is_the_same(holes: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copied(holes)
    monkeypatch.chdir(holes / "riserless")
    workspace = Workspace(Path())
    assert [entry.id for entry in workspace.holes()] == ["riserless"]
    workspace.close()


def test_what_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    for name in ("none", "file", "a\0b"):
        with pytest.raises(InputErrors, match="no such folder"):
            Workspace(tmp_path / name)


def test_one_server_for_a_folder(workspace: Workspace, holes: Path) -> None:
    with pytest.raises(InputErrors, match="another server of these holes"):
        Workspace(holes)


def test_a_store_elsewhere(holes: Path, tmp_path: Path) -> None:
    workspace = Workspace(holes, Store(tmp_path / "elsewhere.sqlite"))
    copied(holes)
    workspace.open("riserless")
    workspace.close()
    assert not (holes / ".bathybore").exists()


# -- attacks --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "hole",
    [
        "",
        ".",
        "..",
        "../secret",
        "..\\secret",
        "/etc",
        "riserless/",
        "riserless/.",
        "./riserless",
        "riserless/../riserless",
        "../holes/riserless",
        "riserless\0",
        "riserless\n",
        "RISERLESS",
        "risERless",
        ".bathybore",
        "%2e%2e",
        "~",
        "link-in",
        "link-out",
        "*",
        "x" * 5000,
        "\ud800",
    ],
)
def test_an_id_is_the_name_of_a_hole_and_nothing_else(
    workspace: Workspace, holes: Path, hole: str
) -> None:
    copied(holes)
    copied(holes.parent).rename(holes.parent / "secret")
    (holes / "link-in").symlink_to("riserless", target_is_directory=True)
    (holes / "link-out").symlink_to("../secret", target_is_directory=True)
    (holes / "file").touch()
    with pytest.raises(UnknownHole, match="expected one in the workspace: riserless"):
        workspace.open(hole)
    assert [entry.id for entry in workspace.holes()] == ["riserless"]


@pytest.mark.parametrize("file", ["hole.yaml", "earth.csv", "other.csv"])
def test_a_file_that_is_a_link_out_is_refused(workspace: Workspace, holes: Path, file: str) -> None:
    folder = copied(holes)
    secret = holes.parent / "secret"
    secret.write_text((folder / "hole.yaml").read_text())
    (folder / file).unlink(missing_ok=True)
    (folder / file).symlink_to(secret)
    with pytest.raises(InputErrors, match=f"riserless/{file}: found a link that leads out"):
        workspace.open("riserless")
    (entry,) = workspace.holes()
    assert "a link that leads out" in entry.fault


def test_a_link_within_the_hole_is_no_way_out(workspace: Workspace, holes: Path) -> None:
    folder = copied(holes)
    (folder / "earth.csv").rename(folder / "earth-3.csv")
    (folder / "earth.csv").symlink_to("earth-3.csv")
    assert workspace.open("riserless").draft.hole is not None


def test_a_store_folder_that_is_a_link_is_refused(holes: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (holes / ".bathybore").symlink_to(tmp_path / "elsewhere", target_is_directory=True)
    with pytest.raises(InputErrors, match="a link; expected a folder"):
        Workspace(holes)
    assert list((tmp_path / "elsewhere").iterdir()) == []


def test_a_folder_that_cannot_be_written(holes: Path) -> None:
    (holes / ".bathybore").touch()
    with pytest.raises(InputErrors, match="Check who may write there"):
        Workspace(holes)


def test_a_document_does_not_reach_out(workspace: Workspace, holes: Path) -> None:
    """A table is a file beside the document: no path is followed."""
    copied(holes)
    (holes.parent / "secret.csv").write_text("secret\n")
    desk = workspace.open("riserless")
    for name in ("../../secret.csv", str(holes.parent / "secret.csv"), "..\\..\\secret.csv"):
        try:
            desk.apply([set_to("site.sea", name)], "Ada", desk.head.number)
        except InputErrors:
            continue
        assert desk.draft.hole is None
        assert not any("secret\n" in text for text in desk.draft.files.texts.values())
        assert any("beside the hole document" in str(fault) for fault in desk.draft.faults)
