"""Answers kept on the object they were asked of."""

from __future__ import annotations

import gc
import weakref
from dataclasses import dataclass, replace

import numpy as np

from bathybore.base.once import once


@dataclass(frozen=True)
class Thing:
    number: float


calls: list[tuple[float, int]] = []


@once
def scaled(thing: Thing, by: np.ndarray) -> np.ndarray:
    calls.append((thing.number, id(by)))
    return thing.number * by


def test_the_same_question_is_worked_out_once_and_another_anew() -> None:
    calls.clear()
    thing, by, other = Thing(2.0), np.array([1.0]), np.array([3.0])
    assert scaled(thing, by) is scaled(thing, by)
    assert scaled(thing, other)[0] == 6.0
    assert len(calls) == 2


def test_an_equal_thing_or_a_changed_copy_has_its_own_answers() -> None:
    calls.clear()
    thing, by = Thing(2.0), np.array([1.0])
    scaled(thing, by)
    assert scaled(replace(thing, number=5.0), by)[0] == 5.0
    scaled(Thing(2.0), by)
    assert len(calls) == 3
    assert thing == Thing(2.0)  # what is kept is no part of what the thing says


def test_arguments_that_were_let_go_are_never_mistaken_for_new_ones() -> None:
    thing = Thing(2.0)
    for i in range(200):
        assert scaled(thing, np.array([float(i)]))[0] == 2.0 * i


def test_answers_go_with_the_thing() -> None:
    thing, by = Thing(2.0), np.array([1.0])
    answer = weakref.ref(scaled(thing, by))
    del thing
    gc.collect()
    assert answer() is None
