"""An error says where, what was found, what was expected and the likely fix."""

from __future__ import annotations

import pytest

from bathybore.base.errors import (
    BathyboreError,
    Fault,
    InputErrors,
    NotConverged,
    OrderError,
    nearest,
)


def test_all_have_one_root() -> None:
    for error in (InputErrors, OrderError, NotConverged):
        assert issubclass(error, BathyboreError)


def test_every_fault_is_kept_and_told() -> None:
    faults = [Fault("a", "b", "c", "Do d."), Fault("e", "f", "g")]
    error = InputErrors(iter(faults))
    assert error.faults == tuple(faults)
    assert str(error) == "a: found b; expected c. Do d.\ne: found f; expected g"


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("dril-top-hole", "Did you mean 'drill-top-hole'?"),
        ("DRILL-TOP-HOLE", "Did you mean 'drill-top-hole'?"),
        ("zzz", ""),
        ("", ""),
    ],
)
def test_the_nearest_word(word: str, told: str) -> None:
    assert nearest(word, ["drill-top-hole", "depart", "core"]) == told


def test_nothing_is_near_to_nothing() -> None:
    assert nearest("core", []) == ""
