"""`bathybore programme` and the page itself: where files go, and what a terminal is shown."""

from __future__ import annotations

import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from bathybore.cli.page import Page


@pytest.fixture
def programme(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """A stand-in that notes the folder; a folder called 'full' is a disk that is."""
    asked: list[Path] = []

    def write_programme(walk: Any, directory: Path, source: Any, every_working: bool) -> list[Path]:
        if directory.name == "full":
            raise OSError(28, "No space left on device", str(directory))
        asked.append(directory)
        return [directory / "programme.pdf"]

    module = ModuleType("bathybore.reports.programme")
    module.write_programme = write_programme  # type: ignore[attr-defined]
    module.Source = lambda draft, folder, architectures: folder  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, module.__name__, module)
    return asked


def test_a_programme_goes_where_it_is_told(run: Any, programme: list[Path]) -> None:
    result = run("programme", "anywhere", "--to", "out")
    # written, whatever the verdicts, which are told beside the file names
    assert (result.exit_code, result.stdout) == (0, f"{Path('out/programme.pdf')}\n")
    assert "2 of 9 checks FAIL" in result.stderr
    assert programme == [Path("out")]


def test_a_programme_goes_into_the_folder_of_the_hole(
    run: Any, programme: list[Path], tmp_path: Path
) -> None:
    (tmp_path / "hole.yaml").touch()
    assert run("programme", str(tmp_path)).exit_code == 0
    assert run("programme", str(tmp_path / "hole.yaml")).exit_code == 0
    assert programme == [tmp_path / "programme", tmp_path / "programme"]


def test_a_full_disk_is_no_defect(run: Any, programme: list[Path]) -> None:
    result = run("programme", "anywhere", "--to", "full")
    assert (result.exit_code, result.stdout) == (2, "")
    assert (
        result.stderr
        == "error: full: found No space left on device; expected a folder to write into\n"
    )


def test_a_page_does_not_break_numbers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    page = Page()
    page.line(" ".join(["1\u202f234\u202f567"] * 20))
    lines = page.text().splitlines()
    assert all(part == "1\u202f234\u202f567" for line in lines if line for part in line.split(" "))


def test_a_terminal_is_not_told_what_to_do_by_a_name() -> None:
    page = Page()
    page.line("bad \x1b[2J name\x07")
    page.fields([("bad\x1b", "text\x9b")])
    assert not set(page.text()) & {"\x1b", "\x07", "\x9b"}


def test_everything_is_taken_out_in_the_units_asked_for(
    run: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[tuple[Path, str]] = []

    def write_exports(walk: Any, directory: Path, units: str) -> list[Path]:
        if directory.name == "full":
            raise OSError(28, "No space left on device", str(directory))
        asked.append((directory, units))
        return [directory / "ledger.csv", directory / "walk.json"]

    module = ModuleType("bathybore.reports.exports")
    module.write_exports = write_exports  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, module.__name__, module)
    result = run("export", "anywhere", "--to", "out", "--units", "oilfield")
    assert (result.exit_code, asked) == (0, [(Path("out"), "oilfield")])
    assert result.stdout.splitlines() == [str(Path("out/ledger.csv")), str(Path("out/walk.json"))]
    assert run("export", "anywhere").exit_code == 2
    assert run("export", "anywhere", "--to", "full").exit_code == 2
