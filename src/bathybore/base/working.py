"""Values that remember where they came from, so that every number can be opened.

``work(kernel, name=value, ...)`` evaluates a published equation on values and
returns a value whose origin is that very evaluation: what `explain` shows cannot
disagree with what was computed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, ClassVar, TypeAlias

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Equation, equation_of


class _Beginning:
    """An origin with nothing behind it.

    Attributes
    ----------
    over_depth, broken : as of `_Worked`
    """

    over_depth: ClassVar[bool] = False
    broken: ClassVar[tuple[str, ...]] = ()


@dataclass(frozen=True)
class Given(_Beginning):
    """Written by the user: file, line and key."""

    file: str
    line: int | None
    key: str

    def __str__(self) -> str:
        place = f"{self.file}, line {self.line}" if self.line else self.file
        return f"{self.key} ({place})"


@dataclass(frozen=True)
class Default(_Beginning):
    """Not written by the user: the tool's default, with the key of its source."""

    key: str
    source_key: str
    note: str = ""

    def __str__(self) -> str:
        return f"default of {self.key} [{self.source_key}]" + (
            f", {self.note}" if self.note else ""
        )


@dataclass(frozen=True)
class FromTable(_Beginning):
    """Read from a catalogue table of the package or a table of the user's."""

    table: str
    row: str
    source_key: str

    def __str__(self) -> str:
        return f"{self.table}: {self.row} [{self.source_key}]"


@dataclass(frozen=True)
class FromWalk(_Beginning):
    """Follows from where the walk stands: geometry and bookkeeping, no formula of physics."""

    how: str

    def __str__(self) -> str:
        return self.how


class _Worked:
    """An origin with values behind it, looked through once and for all when it is made.

    Attributes
    ----------
    over_depth : whether anything behind it runs over depth nodes
    broken : every broken limit of validity behind it, inputs before results
    """

    inputs: tuple[Value, ...]
    over_depth: bool
    broken: tuple[str, ...]

    def __post_init__(self) -> None:
        over_depth, broken = False, list[str]()
        for value in self.inputs:
            over_depth = over_depth or value.depth_axis is not None or value.over_depth
            broken += value.outside_validity()
        broken += self._broken_here()
        # a frozen dataclass keeps to its fields; these two follow from them
        vars(self).update(over_depth=over_depth, broken=tuple(dict.fromkeys(broken)))

    def _broken_here(self) -> tuple[str, ...]:
        return ()


@dataclass(frozen=True, eq=False)
class Solved(_Worked):
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


@dataclass(frozen=True, eq=False)
class Working(_Worked):
    """One evaluation of a published equation, with the values that went in."""

    equation: Equation
    inputs: tuple[Value, ...]
    outside: tuple[str, ...]

    def _broken_here(self) -> tuple[str, ...]:
        return tuple(f"{self.equation.name}: {text}" for text in self.outside)

    def __str__(self) -> str:
        return f"worked with {self.equation.name}"


Origin: TypeAlias = Given | Default | FromTable | FromWalk | Solved | Working


@dataclass(frozen=True, eq=False)  # one evaluation; identity is what caches key on
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
        renamed = object.__new__(Value)
        vars(renamed).update(vars(self), name=name)
        return renamed

    def __getattr__(self, name: str) -> Any:
        """Work out the origin of a value taken at a node: only what is opened is mapped."""
        profile, index = self.__dict__.get("_taken", (None, 0))
        if name != "origin" or profile is None:
            raise AttributeError(name)
        origin = _mapped_at(profile, index).origin
        object.__setattr__(self, "origin", origin)
        return origin

    @property
    def whence(self) -> str:
        """Where this value came from, in words; the same at every node of a profile."""
        profile, _ = self.__dict__.get("_taken", (None, 0))
        return str(self.origin) if profile is None else profile.whence

    @property
    def over_depth(self) -> bool:
        """Whether anything behind this value runs over depth nodes."""
        return "_taken" not in self.__dict__ and self.origin.over_depth

    def at_node(self, index: int) -> Value:
        """Return this value, and all that went into it, at one depth node."""
        if self.depth_axis is None and not self.over_depth:
            return self
        taken = object.__new__(Value)
        number = _number_at(self, index)
        vars(taken).update(
            name=self.name, si=number, unit=self.unit, depth_axis=None, _taken=(self, index)
        )
        return taken

    def at_segment(self, index: int) -> Value:
        """Return this value, and all that went into it, at one segment of a channel.

        Arrays over segments are one-dimensional; numbers pass through.
        """

        def pick(value: Value) -> Real:
            if np.ndim(value.si) != 1 or value.depth_axis is not None:
                return value.si
            picked: Real = np.asarray(value.si)[index]
            return picked

        return _mapped(self, pick, lambda value: False)

    def __float__(self) -> float:
        si = self.si
        return si if type(si) is float else float(np.asarray(si))

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
        profile, _ = self.__dict__.get("_taken", (None, 0))
        return self.origin.broken if profile is None else profile.outside_validity()


def _number_at(value: Value, index: int) -> Real:
    if value.depth_axis is None:
        return value.si
    picked: Real = np.asarray(value.si).take(index, axis=value.depth_axis)
    return picked


def _mapped_at(value: Value, index: int) -> Value:
    """Return a profile, and all that went into it, at one depth node."""
    return _mapped(
        value,
        lambda one: _number_at(one, index),
        lambda one: one.depth_axis is None and not one.over_depth,
    )


def _mapped(value: Value, pick: Callable[[Value], Real], kept: Callable[[Value], bool]) -> Value:
    """Take a part of a value and of all that went into it; what is shared stays shared.

    Chains can be longer than the call stack is deep: the way down is kept in a list.

    Parameters
    ----------
    pick : the number to hold in place of a value's own
    kept : whether a value stays as it is, with all that is behind it
    """
    done: dict[int, Value] = {}
    origins: dict[int, Origin] = {}
    waiting = [value]
    while waiting:
        current = waiting[-1]
        if kept(current):
            done[id(waiting.pop())] = current
            continue
        origin = current.origin
        if isinstance(origin, Working | Solved) and id(origin) not in origins:
            below = [one for one in origin.inputs if id(one) not in done]
            if below:
                waiting.extend(below)
                continue
            origins[id(origin)] = _with_inputs(origin, tuple(done[id(v)] for v in origin.inputs))
        waiting.pop()
        done[id(current)] = _picked(current, pick(current), origins.get(id(origin), origin))
    return done[id(value)]


def _picked(value: Value, number: Real, origin: Origin) -> Value:
    if number is value.si and origin is value.origin:
        return value
    axis = value.depth_axis if number is value.si else None
    return Value(value.name, number, value.unit, origin, axis)


def _with_inputs(origin: Working | Solved, inputs: tuple[Value, ...]) -> Working | Solved:
    if all(new is old for new, old in zip(inputs, origin.inputs, strict=True)):
        return origin
    if isinstance(origin, Working):
        return Working(origin.equation, inputs, origin.outside)
    return Solved(origin.problem, origin.source_key, inputs, origin.residual)


def work(kernel: Callable[..., Any], **inputs: Value) -> Value:
    """Evaluate a published equation on values; the result's origin is the evaluation.

    Raises
    ------
    TypeError
        An input carries another unit than the equation declares for that parameter, or
        is none of its parameters: a programming error, found here rather than in the sea.
    """
    equation = equation_of(kernel)
    declared, numbers, filled, axis = equation.units, {}, [], None
    for name, value in inputs.items():
        unit = declared.get(name)
        if unit is None:
            raise TypeError(f"{equation.name} has no parameter '{name}'")
        if unit != value.unit:
            raise TypeError(f"{equation.name}({name}) takes [{unit}], got [{value.unit}]")
        numbers[name] = value.si
        filled.append(value.named(name))
        if value.depth_axis is not None:
            axis = -1
    result = equation.function(**numbers)
    for value in _defaults(equation.function):
        if value.name not in inputs:
            filled.append(value)
            numbers[value.name] = value.si
    return Value(
        equation.result.name,
        result,
        equation.result.unit,
        Working(equation, tuple(filled), equation.outside_validity(numbers)),
        axis,
    )


@lru_cache(maxsize=1024)
def _defaults(kernel: Callable[..., Any]) -> tuple[Value, ...]:
    """Return the defaults of an equation as values that name its source."""
    equation = equation_of(kernel)
    return tuple(
        Value(
            parameter,
            default,
            equation.units[parameter],
            Default(f"{equation.name}({parameter})", equation.source_key),
        )
        for parameter, default in equation.defaults.items()
    )


def summed(
    name: str, unit: str, how: str, parts: Iterable[Value], source: str = "definition"
) -> Value:
    """Return the sum of values of one unit; ``how`` says in words what is added."""
    pieces = tuple(parts)
    return Value(name, sum(float(piece) for piece in pieces), unit, Solved(how, source, pieces))
