"""The demonstration hole, walked once."""

from __future__ import annotations

from pathlib import Path

import pytest

from bathybore.usecases.walking import Walk, walk

EXAMPLE = Path(__file__).parents[2] / "examples" / "main"


@pytest.fixture(scope="session")
def example() -> Walk:
    return walk(EXAMPLE)
