"""Values that remember where they came from, so that every number can be opened.

``work(kernel, name=value, ...)`` evaluates a published equation on values and
returns a value whose origin is that very evaluation: what `explain` shows cannot
disagree with what was computed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Equation, equation_of


@dataclass(frozen=True)
class Given:
    """Written by the user: file, line and key."""

    file: str
    line: int | None
    key: str

    def __str__(self) -> str:
        place = f"{self.file}, line {self.line}" if self.line else self.file
        return f"{self.key} ({place})"


@dataclass(frozen=True)
class Default:
    """Not written by the user: the tool's default, with the key of its source."""

    key: str
    source_key: str
    note: str = ""

    def __str__(self) -> str:
        return f"default of {self.key} [{self.source_key}]" + (
            f", {self.note}" if self.note else ""
        )


@dataclass(frozen=True)
class FromTable:
    """Read from a catalogue table of the package or a table of the user's."""

    table: str
    row: str
    source_key: str

    def __str__(self) -> str:
        return f"{self.table}: {self.row} [{self.source_key}]"


@dataclass(frozen=True)
class FromWalk:
    """Follows from where the walk stands: geometry and bookkeeping, no formula of physics."""

    how: str

    def __str__(self) -> str:
        return self.how


@dataclass(frozen=True)
class Solved:
    """Worked out by plain arithmetic or by a solver: how, from what, how well it closed.

    Attributes
    ----------
    problem : in words and symbols (Typst mathematics between dollar signs)
    residual : of a solver, the largest imbalance left relative to the largest load; None for
        plain arithmetic, which leaves none
    """

    problem: str
    source_key: str
    inputs: tuple[Value, ...]
    residual: float | None = None

    def __str__(self) -> str:
        return "by arithmetic" if self.residual is None else "found by a solver"


@dataclass(frozen=True)
class Working:
    """One evaluation of a published equation, with the values that went in."""

    equation: Equation
    inputs: tuple[Value, ...]
    outside: tuple[str, ...]

    def __str__(self) -> str:
        return f"worked with {self.equation.name}"


Origin: TypeAlias = Given | Default | FromTable | FromWalk | Solved | Working


@dataclass(frozen=True)
class Value:
    """An SI number (or a stack of them) with its name, unit and origin.

    Attributes
    ----------
    name : of the quantity, a parameter name of the equation it goes into
    si : number or array, SI
    unit : SI unit in the bracket spelling
    origin : where it came from
    depth_axis : axis of ``si`` that runs over depth nodes, counted from the end; None if none does
    """

    name: str
    si: Real
    unit: str
    origin: Origin
    depth_axis: int | None = None

    def named(self, name: str) -> Value:
        if name == self.name:
            return self
        return Value(name, self.si, self.unit, self.origin, self.depth_axis)

    def at_node(self, index: int) -> Value:
        """Return this value, and all that went into it, at one depth node."""

        def pick(value: Value) -> Value:
            if value.depth_axis is None:
                return value
            number = np.take(value.si, index, axis=value.depth_axis)
            return replace(value, si=number, depth_axis=None)

        return _mapped(self, pick)

    def at_segment(self, index: int) -> Value:
        """Return this value, and all that went into it, at one segment of a channel.

        Arrays over segments are one-dimensional; numbers pass through.
        """

        def pick(value: Value) -> Value:
            if np.ndim(value.si) != 1 or value.depth_axis is not None:
                return value
            return replace(value, si=np.asarray(value.si)[index])

        return _mapped(self, pick)

    def __float__(self) -> float:
        return float(np.asarray(self.si))

    def workings(self) -> Iterator[Working]:
        """Yield every working behind this value once, inputs before results."""
        seen: set[int] = set()
        waiting: list[tuple[Value, bool]] = [(self, False)]
        while waiting:
            value, inputs_done = waiting.pop()
            origin = value.origin
            if not isinstance(origin, Working | Solved):
                continue
            if inputs_done:
                if isinstance(origin, Working):
                    yield origin
            elif id(origin) not in seen:
                seen.add(id(origin))
                waiting.append((value, True))
                waiting.extend((one, False) for one in reversed(origin.inputs))

    def outside_validity(self) -> tuple[str, ...]:
        """Return every broken limit of validity in the chain behind this value."""
        texts = (f"{w.equation.name}: {text}" for w in self.workings() for text in w.outside)
        return tuple(dict.fromkeys(texts))


def _mapped(value: Value, pick: Callable[[Value], Value]) -> Value:
    """Apply ``pick`` to a value and to all that went into it; what is shared stays shared.

    Chains can be longer than the call stack is deep: the way down is kept in a list.
    """
    done: dict[int, Value] = {}
    origins: dict[int, Origin] = {}
    waiting = [value]
    while waiting:
        current = waiting[-1]
        origin = current.origin
        if isinstance(origin, Working | Solved) and id(origin) not in origins:
            below = [one for one in origin.inputs if id(one) not in done]
            if below:
                waiting.extend(below)
                continue
            origins[id(origin)] = _with_inputs(origin, tuple(done[id(v)] for v in origin.inputs))
        waiting.pop()
        picked = pick(current)
        worked = origins.get(id(origin), origin)
        done[id(current)] = picked if worked is origin else replace(picked, origin=worked)
    return done[id(value)]


def _with_inputs(origin: Working | Solved, inputs: tuple[Value, ...]) -> Working | Solved:
    if all(new is old for new, old in zip(inputs, origin.inputs, strict=True)):
        return origin
    return replace(origin, inputs=inputs)


def work(kernel: Callable[..., Any], **inputs: Value) -> Value:
    """Evaluate a published equation on values; the result's origin is the evaluation.

    Raises
    ------
    TypeError
        An input carries another unit than the equation declares for that parameter, or
        is none of its parameters: a programming error, found here rather than in the sea.
    """
    equation = equation_of(kernel)
    declared = equation.units
    for name, value in inputs.items():
        if name not in declared:
            raise TypeError(f"{equation.name} has no parameter '{name}'")
        if declared[name] != value.unit:
            raise TypeError(f"{equation.name}({name}) takes [{declared[name]}], got [{value.unit}]")
    numbers = {name: value.si for name, value in inputs.items()}
    result = equation.function(**numbers)
    filled = [value.named(name) for name, value in inputs.items()]
    for name, default in equation.defaults.items():
        if name not in inputs:
            origin = Default(f"{equation.name}({name})", equation.source_key)
            filled.append(Value(name, default, declared[name], origin))
    outside = equation.outside_validity({v.name: v.si for v in filled})
    return Value(
        equation.result.name,
        result,
        equation.result.unit,
        Working(equation, tuple(filled), outside),
        -1 if any(value.depth_axis is not None for value in inputs.values()) else None,
    )


def summed(
    name: str, unit: str, how: str, parts: Iterable[Value], source: str = "definition"
) -> Value:
    """Return the sum of values of one unit; ``how`` says in words what is added."""
    pieces = tuple(parts)
    return Value(name, sum(float(piece) for piece in pieces), unit, Solved(how, source, pieces))
