"""The demonstration hole, walked once."""

from __future__ import annotations

from importlib.resources import as_file, files
from pathlib import Path

import pytest

from bathybore.usecases.walking import Walk, walk

EXAMPLE = Path(__file__).parents[2] / "examples" / "main"


@pytest.fixture(scope="session")
def example() -> Walk:
    return walk(EXAMPLE)


@pytest.fixture(scope="session")
def riserless() -> Walk:
    """The hole that a new folder begins with: two sections, no riser, no collapse pressures."""
    with as_file(files("bathybore.data").joinpath("template")) as folder:
        return walk(folder)
