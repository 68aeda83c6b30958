"""Copies of the template for tests to spoil."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from importlib.resources import as_file, files
from pathlib import Path

import pytest
from hole_folder import Folder

_TEMPLATE = files("bathybore.data").joinpath("template")


@pytest.fixture(scope="session")
def template_path() -> Path:
    with as_file(_TEMPLATE) as path:
        return Path(path)


@pytest.fixture
def new_folder(tmp_path: Path, template_path: Path) -> Callable[[], Folder]:
    """Return a maker of fresh copies of the template."""

    def make() -> Folder:
        number = sum(1 for _ in tmp_path.iterdir())
        return Folder(Path(shutil.copytree(template_path, tmp_path / f"hole-{number}")))

    return make


@pytest.fixture
def folder(new_folder: Callable[[], Folder]) -> Folder:
    return new_folder()
