"""One walk of every example hole, shared by all tests of a run."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from bathybore.model.hole import Hole
from bathybore.usecases.walking import Walk, walk
from varied import EXAMPLES, left_undrawn

# How long one made case takes says more of the machine than of the code. The cases are made anew
# in every run: a few of each in every run find in time what many find at once, and `make soak`
# makes many (`--hypothesis-profile many-cases`).
settings.register_profile("any-machine", deadline=None, max_examples=35)
settings.register_profile("many-cases", deadline=None, max_examples=200)
settings.load_profile("any-machine")

# Where compiled code may not lie in the tree, it lies in out/: dozens of commands and servers
# are started by the tests, and each would compile all of the source for itself.
if os.environ.pop("PYTHONDONTWRITEBYTECODE", ""):
    os.environ.setdefault("PYTHONPYCACHEPREFIX", str(Path(__file__).parents[1] / "out/bytecode"))


def pytest_collection_finish() -> None:
    """Keep the collector from looking through thousands of tests and modules that all stay."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000)


FOLDERS = tuple(sorted(path.parent for path in EXAMPLES.glob("*/hole.yaml")))


@pytest.fixture(scope="session")
def main_walk() -> Walk:
    """Return the main demonstration hole, walked and judged."""
    return walk(EXAMPLES / "main")


@pytest.fixture(scope="session")
def main_hole(main_walk: Walk) -> Hole:
    return main_walk.hole


@pytest.fixture(scope="session", params=FOLDERS, ids=[folder.name for folder in FOLDERS])
def example_walk(request: pytest.FixtureRequest, main_walk: Walk) -> Walk:
    """Return each example hole in turn."""
    return main_walk if request.param.name == "main" else walk(request.param)


@pytest.fixture
def undrawn() -> Iterator[None]:
    with left_undrawn():
        yield
