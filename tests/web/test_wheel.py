"""What is installed is complete: built front end and demonstration holes are in the wheel."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from served import EXAMPLES

from bathybore.web.static_files import STATIC
from source_tree import ROOT


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> zipfile.ZipFile:
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    (built,) = folder.glob("*.whl")
    return zipfile.ZipFile(built)


def inside(wheel: zipfile.ZipFile, folder: Path, place: str) -> None:
    names = set(wheel.namelist())
    files = [path for path in folder.rglob("*") if path.is_file()]
    assert files
    for path in files:
        name = f"{place}/{path.relative_to(folder).as_posix()}"
        assert name in names, name
        assert wheel.read(name) == path.read_bytes(), name


def test_the_built_front_end_is_in_the_wheel(wheel: zipfile.ZipFile) -> None:
    assert "bathybore/web/static/index.html" in wheel.namelist()
    inside(wheel, STATIC, "bathybore/web/static")


def test_the_demonstration_holes_are_in_the_wheel(wheel: zipfile.ZipFile) -> None:
    inside(wheel, EXAMPLES, "bathybore/examples")


def test_nothing_of_the_front_ends_workshop_is_in_the_wheel(wheel: zipfile.ZipFile) -> None:
    assert not [name for name in wheel.namelist() if "node_modules" in name or ".ts" in name]
