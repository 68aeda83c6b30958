"""Answers kept between edits: the same question gives the same object, any other is worked out."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
import pytest

from bathybore.base.keeping import forget, kept, same, stores


@dataclass(frozen=True, eq=False)
class Thing:
    number: float
    part: object = None


calls: list[tuple[object, ...]] = []


@kept(8)
def answer(*parts: object) -> list[object]:
    calls.append(parts)
    return list(parts)


@pytest.fixture(autouse=True)
def _fresh() -> Iterator[None]:
    forget()
    calls.clear()
    yield
    forget()


def test_equal_numbers_and_the_same_objects_are_the_same_question() -> None:
    thing = Thing(1.0)
    assert answer(2.5, "a", thing, (1.0, thing)) is answer(2.5, "a", thing, (1.0, thing))
    assert len(calls) == 1


def test_another_object_that_looks_alike_is_another_question() -> None:
    answer(Thing(1.0))
    answer(Thing(1.0))
    answer(np.array([1.0]))
    answer(np.array([1.0]))
    assert len(calls) == 4


def test_tuples_are_told_from_their_items_side_by_side() -> None:
    one = Thing(1.0)
    assert answer((one, 1.0), 2.0) is not answer(one, (1.0, 2.0))
    assert answer((1.0,), 2.0) is not answer(1.0, (2.0,))


def test_an_object_that_was_let_go_is_never_mistaken_for_a_new_one() -> None:
    for i in range(500):
        assert answer(Thing(float(i)))[0].number == float(i)  # type: ignore[attr-defined]


def test_no_more_answers_are_kept_than_allowed_and_the_old_are_let_go() -> None:
    first = Thing(0.0)
    watched = weakref.ref(first)
    answer(first)
    del first
    calls.clear()
    for i in range(100):
        answer(float(i))
        assert all(len(store) <= store.most for store in stores())
    gc.collect()
    assert watched() is None


def test_what_is_asked_for_often_stays() -> None:
    often = answer("often")
    for i in range(100):
        answer(float(i))
        assert answer("often") is often


def test_an_answer_that_is_nothing_is_kept_too() -> None:
    asked = []

    @kept(4)
    def nothing(x: float) -> None:
        asked.append(x)

    nothing(1.0)
    nothing(1.0)
    assert asked == [1.0]


def test_things_with_the_same_fields_become_one() -> None:
    part = Thing(1.0)
    assert same(Thing(2.0, part)) is same(Thing(2.0, part))
    assert same(Thing(2.0, part)) is not same(Thing(2.0, Thing(1.0)))


def test_a_number_is_not_taken_for_the_identity_of_an_object() -> None:
    array = np.zeros(1)
    assert answer(array)[0] is array
    assert answer(id(array)) == [id(array)]
    assert answer((id(array),)) == [(id(array),)]


def test_things_that_compare_equal_are_still_told_apart() -> None:
    class Alike:
        def __eq__(self, other: object) -> bool:
            return isinstance(other, Alike)

        __hash__ = None  # type: ignore[assignment]

    first, second = Alike(), Alike()
    assert answer(first)[0] is first
    assert answer(second)[0] is second


def test_what_cannot_be_answered_is_asked_again() -> None:
    asked = []

    @kept(4)
    def refuses(x: float) -> None:
        asked.append(x)
        raise ValueError("no")

    for _ in range(2):
        with pytest.raises(ValueError, match="no"):
            refuses(1.0)
    assert asked == [1.0, 1.0]


def test_many_threads_get_right_answers() -> None:
    def ask(start: int) -> bool:
        return all(answer(float(n % 20))[0] == n % 20 for n in range(start, start + 2000))

    with ThreadPoolExecutor(8) as pool:
        assert all(pool.map(ask, range(16)))


def test_arguments_by_name_are_refused() -> None:
    with pytest.raises(TypeError, match="by position"):
        answer(x=1.0)  # type: ignore[call-arg]
