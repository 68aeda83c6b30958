"""Answers kept for the next time, so that an edit works out anew only what it changed.

``@kept(most)`` is for a pure function of immutable arguments. It hands back the very
answer it gave before when it is given the same again: numbers and text that are equal,
tuples whose items are the same, and otherwise the very same objects. A function that is
kept reads nothing but its arguments; hand it the parts it needs, not a whole that holds
more (a plan, a state), or every edit of the whole would ask it anew.

What is asked for again and again must then be one object, not many that look alike:
``same(thing)`` gives the first of all frozen dataclass objects with the same fields.

Each function keeps at most ``most`` answers and lets go of those not asked for lately,
so memory stays level however many edits there are.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from functools import cache, wraps
from operator import attrgetter
from typing import Any, Final, ParamSpec, TypeAlias, TypeVar

import numpy as np

P = ParamSpec("P")
R = TypeVar("R")
T = TypeVar("T")

# How many answers to keep. A walk of a deep hole asks the functions of a step some twenty
# times each, those of depths a hundred; several walks are kept, for hands that go back.
FEW: Final = 16  # of a setting
SOME: Final = 128  # of a step
MANY: Final = 512  # of depths, and of totals that every step has
_MOST_THINGS: Final = 8192

_Key: TypeAlias = tuple[Any, ...]
# Types whose objects can stand in a key as they are: numbers and words, told apart by value;
# those join that hash by identity.
_BY_IDENTITY: Final[Any] = object.__hash__
_BY_VALUE: Final[frozenset[type]] = frozenset(
    (float, np.float64, int, str, bool, type(None), tuple)
)
_AS_THEY_ARE: Final[set[type]] = set(_BY_VALUE - {tuple})


class Store:
    """Answers by key in two halves: when the newer is full it becomes the older one.

    What is asked for moves to the newer half, the older half is dropped whole. Nothing is
    ever changed in place that two threads could find half done. An entry is the objects
    that its key stands for, kept alive so that no others get their identity, and the answer.
    """

    def __init__(self, name: str, most: int) -> None:
        self.name, self.most = name, most
        self.newer: dict[_Key, tuple[Any, Any]] = {}
        self.older: dict[_Key, tuple[Any, Any]] = {}

    def __len__(self) -> int:
        return len(self.newer) + len(self.older)

    def find_older(self, key: _Key) -> tuple[Any, Any] | None:
        """Return what the older half has under a key, and move it to the newer one."""
        entry = self.older.get(key)
        return None if entry is None else self.keep(key, entry)

    def keep(self, key: _Key, entry: tuple[Any, Any]) -> tuple[Any, Any]:
        if len(self.newer) >= self.most // 2:
            self.newer, self.older = {}, self.newer
        self.newer[key] = entry
        return entry

    def forget(self) -> None:
        self.newer, self.older = {}, {}


_STORES: Final[list[Store]] = []  # one a kept function, made when its module is imported


def stores() -> tuple[Store, ...]:
    """Return the store of every kept function."""
    return tuple(_STORES)


def forget() -> None:
    """Let go of every answer kept so far."""
    for store in _STORES:
        store.forget()


def _new_store(name: str, most: int) -> Store:
    _STORES.append(store := Store(name, most))
    return store


def _key(parts: tuple[Any, ...]) -> _Key:
    """Tell parts apart: by value, item by item, or (in a tuple of its own) by identity."""
    return tuple([part if type(part) in _AS_THEY_ARE else _told_apart(part) for part in parts])


def _told_apart(part: Any) -> Any:
    kind = type(part)
    if kind is tuple:
        if part and _BY_VALUE.isdisjoint(map(type, part)):  # the quick way: nearly all are such
            return ..., *map(id, part)
        return None, *_key(part)
    if kind.__hash__ is _BY_IDENTITY:  # no two of them have the same
        _AS_THEY_ARE.add(kind)
        return part
    return (id(part),)


def kept(most: int) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Keep up to ``most`` answers of a pure function of immutable positional arguments."""

    def keep(function: Callable[P, R]) -> Callable[P, R]:
        store = _new_store(f"{function.__module__}.{function.__qualname__}", most)

        @wraps(function)
        def again(*args: P.args, **kwargs: P.kwargs) -> R:
            if kwargs:
                raise TypeError(f"{function.__name__} is kept: its arguments go by position")
            # as _key does it, without the call: this line runs thousands of times an edit
            key = tuple([a if type(a) in _AS_THEY_ARE else _told_apart(a) for a in args])
            entry = store.newer.get(key) or store.find_older(key)
            if entry is None:
                entry = store.keep(key, (args, function(*args, **kwargs)))
            answer: R = entry[1]
            return answer

        return again

    return keep


_THINGS: Final = _new_store("same", _MOST_THINGS)


@cache
def _parts_of(kind: type) -> Callable[[Any], tuple[Any, ...]]:
    names = [one.name for one in fields(kind)]
    get = attrgetter(*names)
    return get if len(names) > 1 else lambda thing: (get(thing),)


def same(thing: T) -> T:
    """Return the first frozen dataclass object with the same fields as this one."""
    kind: type = type(thing)
    return first((kind, _key(_parts_of(kind)(thing))), thing)


def first(key: tuple[Any, ...], thing: T) -> T:
    """Return the first of all things that were shown under a key.

    What stands in the key by its identity has to be kept alive by the thing.
    """
    entry = _THINGS.newer.get(key) or _THINGS.find_older(key) or _THINGS.keep(key, (None, thing))
    found: T = entry[1]
    return found
