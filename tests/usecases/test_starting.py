"""A new hole is there complete, with all its comments, or not at all."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from bathybore.base.errors import InputErrors
from bathybore.model.loading import load_hole
from bathybore.usecases import starting
from bathybore.usecases.starting import copy_demonstration, demonstration_holes, start_hole

FILES = ["earth.csv", "hole.yaml", "sea.csv"]


def test_a_new_hole_loads_and_bears_its_name(tmp_path: Path) -> None:
    folder = start_hole(tmp_path, "deep-one")
    assert folder == tmp_path / "deep-one"
    assert sorted(path.name for path in folder.iterdir()) == FILES
    assert [path.name for path in tmp_path.iterdir()] == ["deep-one"]
    assert load_hole(folder).name == "deep-one"


@pytest.mark.parametrize("name", ["1234", "true", "no", "null", "1e3", "Hole 7", "x" * 60])
def test_names_that_yaml_would_take_for_something_else(tmp_path: Path, name: str) -> None:
    assert load_hole(start_hole(tmp_path, name)).name == name


def test_comments_survive(tmp_path: Path) -> None:
    folder = start_hole(tmp_path, "deep-one")
    template = files("bathybore.data").joinpath("template")
    for file in FILES:
        before = template.joinpath(file).read_text(encoding="utf-8").split("\n")
        after = (folder / file).read_text(encoding="utf-8").split("\n")
        changed = [pair for pair in zip(before, after, strict=True) if len(set(pair)) > 1]
        if file != "hole.yaml":
            assert changed == []
            continue
        ((old, new),) = changed
        assert new.startswith('name: "deep-one" ')
        assert old[old.index("#") :] == new[new.index("#") :]
        assert old.index("#") == new.index("#")


@pytest.mark.parametrize(
    "name",
    [
        "",
        " ",
        ".",
        "..",
        "a/b",
        "/a",
        "a\\b",
        "-a",
        "a\n",
        "a\0",
        'a"b',
        "ä",
        "CON",
        "lpt1",
        "x" * 61,
    ],
)
def test_names_that_no_folder_can_bear(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputErrors) as caught:
        start_hole(tmp_path, name)
    (fault,) = caught.value.faults
    assert fault.where == "name"
    assert "letters, digits" in fault.expected
    assert fault.fix.startswith("For example '")
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    for name in ("folder", "file", "link"):
        with pytest.raises(InputErrors, match="a file or folder of that name"):
            start_hole(tmp_path, name)
    assert (tmp_path / "file").read_text(encoding="utf-8") == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "folder", "link"]


def test_no_parent(tmp_path: Path) -> None:
    with pytest.raises(InputErrors, match="No such file or directory"):
        start_hole(tmp_path / "nowhere", "a")
    with pytest.raises(InputErrors):
        start_hole(Path("a\0b"), "a")


def test_a_failure_half_way_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write = Path.write_text

    def full_disk(self: Path, *args: object, **kwargs: object) -> int:
        if self.name == "sea.csv":
            raise OSError(28, "No space left on device")
        return write(self, *args, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(Path, "write_text", full_disk)
    with pytest.raises(InputErrors, match="No space left on device"):
        start_hole(tmp_path, "deep-one")
    assert list(tmp_path.iterdir()) == []


def test_the_demonstration_holes_are_found_and_invented() -> None:
    found = demonstration_holes()
    assert [folder.name for folder in found] == ["frontier", "main", "riserless"]
    assert all(load_hole(folder).document.invented for folder in found)


def test_an_installed_package_brings_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "lib" / "site-packages" / "bathybore"
    package.mkdir(parents=True)
    monkeypatch.setattr(starting, "files", lambda name: package)
    with pytest.raises(InputErrors, match="an installation without the demonstration holes"):
        demonstration_holes()
    start_from = package / "examples" / "one"
    start_from.mkdir(parents=True)
    (start_from / "hole.yaml").touch()
    assert demonstration_holes() == (start_from,)


def test_demonstration_holes_are_copied_over_nothing(tmp_path: Path) -> None:
    mine = tmp_path / "main"
    mine.mkdir()
    (mine / "hole.yaml").write_text("mine")
    made = copy_demonstration(tmp_path)
    assert [folder.name for folder in made] == ["frontier", "riserless"]
    assert (mine / "hole.yaml").read_text() == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["frontier", "main", "riserless"]
    for source, folder in zip(
        (demonstration_holes()[0], demonstration_holes()[2]), made, strict=True
    ):
        assert load_hole(folder).name == load_hole(source).name
        for file in folder.iterdir():
            assert file.read_bytes() == (source / file.name).read_bytes()
    assert (tmp_path / "frontier" / "survey.csv").is_file()  # tables that the document names
    assert copy_demonstration(tmp_path) == ()


def test_a_copy_that_cannot_be_written_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(self: Path, *_: object, **__: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", full)
    with pytest.raises(InputErrors, match="No space left on device"):
        copy_demonstration(tmp_path)
    assert list(tmp_path.iterdir()) == []
