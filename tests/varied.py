"""Holes changed in one place, and states opened up to the last number."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from pathlib import Path
from typing import Any, Final

import numpy as np
import pytest
from hypothesis import settings

from bathybore.base.registry import Equation
from bathybore.checks.record import CheckRecord
from bathybore.drawings.picture import Picture, Sheet
from bathybore.model.fields import Node
from bathybore.model.hole import Hole
from bathybore.model.tables import ProfileTable
from bathybore.operations.state import HoleState
from bathybore.operations.walk import walk_hole
from bathybore.usecases.walking import Walk

EXAMPLES: Final = Path(__file__).parents[1] / "examples"


def made_cases(share: float) -> int:
    """Return how many cases to make for a test, as a share of what the run makes of others."""
    return max(1, round(share * settings().max_examples))


def changed(hole: Hole, path: str, value: Any) -> Hole:
    """Return a hole with one field replaced.

    Parameters
    ----------
    path : keys and indices with slashes between, 'plan/sections/1/flow_rate'
    value : the new value in SI, or a function of the old one
    """
    return replace(hole, document=_set(hole.document, path.split("/"), value))


def _set(node: Any, keys: list[str], value: Any) -> Any:
    if not keys:
        return value(node) if callable(value) else value
    key, rest = keys[0], keys[1:]
    if isinstance(node, Node):
        assert key in type(node).model_fields, key
        return node.model_copy(update={key: _set(getattr(node, key), rest, value)})
    if isinstance(node, dict):
        return {**node, key: _set(node[key], rest, value)}
    index = int(key)
    return (*node[:index], _set(node[index], rest, value), *node[index + 1 :])


def without(hole: Hole, *columns: str) -> Hole:
    """Return a hole whose earth table lacks some columns."""

    def kept(table: dict[str, Any]) -> dict[str, Any]:
        return {name: column for name, column in table.items() if name not in columns}

    earth = hole.earth
    return replace(hole, earth=replace(earth, numbers=kept(earth.numbers), words=kept(earth.words)))


def scaled(hole: Hole, column: str, factor: float) -> Hole:
    """Return a hole whose earth table has one column multiplied."""
    earth: ProfileTable = hole.earth
    numbers = {**earth.numbers, column: earth.numbers[column] * factor}
    return replace(hole, earth=replace(earth, numbers=numbers))


def by_step(states: tuple[HoleState, ...]) -> dict[str, HoleState]:
    return {state.step.name: state for state in states}


def state_of(hole: Hole, step: str) -> HoleState:
    """Walk a hole and return the state after one step."""
    return by_step(walk_hole(hole))[step]


def opened(thing: Any) -> Iterator[tuple[str, Any]]:
    """Yield every number and word in a state or record, with where it stands in it."""
    seen: dict[int, str] = {}
    waiting: list[tuple[str, Any]] = [("", thing)]
    while waiting:
        at, one = waiting.pop()
        if isinstance(one, Hole):
            continue  # the input, not the result
        if isinstance(one, Equation):
            yield at, one.name
        elif isinstance(one, np.ndarray):
            yield at, (one.shape, one.tobytes())
        elif isinstance(one, Enum):
            yield at, one.value
        elif isinstance(one, Node):
            yield at, one.model_dump()
        elif is_dataclass(one) and not isinstance(one, type):
            if id(one) in seen:
                yield at, f"as {seen[id(one)]}"
                continue
            seen[id(one)] = at
            waiting += [(f"{at}.{f.name}", getattr(one, f.name)) for f in fields(one)]
        elif isinstance(one, tuple | list):
            waiting += [(f"{at}[{i}]", item) for i, item in enumerate(one)]
        else:
            yield at, one


@contextmanager
def left_undrawn() -> Iterator[None]:
    """Leave pictures empty where words are asked for: to write them out takes half the time."""
    empty = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 1"></svg>'
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Sheet, "finished", lambda sheet: Picture(empty, sheet.alt, sheet.title))
        yield


def judged_as(walk: Walk, records: tuple[CheckRecord, ...]) -> Walk:
    """Return the same walk with other verdicts than its own."""
    other = replace(walk)
    vars(other)["records"] = records
    return other
