"""Values that remember where they came from, so that every number can be opened.

``work(kernel, name=value, ...)`` evaluates a published equation on values and
returns a value whose origin is that very evaluation: what `explain` shows cannot
disagree with what was computed.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, ClassVar, TypeAlias

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.frozen import quickly_made
from bathybore.base.registry import Equation, equation_of


class _Beginning:
    """An origin with nothing behind it.

    Attributes
    ----------
    inputs, over_depth, broken : as of `_Worked`: none
    """

    inputs: ClassVar[tuple[Value, ...]] = ()
    over_depth: ClassVar[bool] = False
    broken: ClassVar[tuple[str, ...]] = ()


@quickly_made
@dataclass(frozen=True)
class Given(_Beginning):
    """Written by the user: file, line and key."""

    file: str
    line: int | None
    key: str

    @property
    def source_key(self) -> str:
        return ""

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


@quickly_made
@dataclass(frozen=True)
class FromWalk(_Beginning):
    """Follows from where the walk stands: geometry and bookkeeping, no formula of physics."""

    how: str

    @property
    def source_key(self) -> str:
        return ""

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
            over_depth = over_depth or value.over_depth
            if found := value.outside_validity():
                broken += found
        broken += self._broken_here()
        self.__dict__["over_depth"] = over_depth
        self.__dict__["broken"] = tuple(dict.fromkeys(broken)) if broken else ()

    def _broken_here(self) -> Iterable[str]:
        return ()


@quickly_made
@dataclass(frozen=True, eq=False)
class Solved(_Worked):
    """Worked out by plain arithmetic or by a solver: how, from what, how well it closed.

    Attributes
    ----------
    problem : in words and symbols (Typst mathematics between dollar signs)
    residual : of a solver, the largest imbalance left relative to the largest load; None for
        plain arithmetic, which leaves none
    outside : limits of validity of the problem that its numbers leave, in words
    """

    problem: str
    source_key: str
    inputs: tuple[Value, ...]
    residual: float | None = None
    outside: tuple[str, ...] = ()

    def _broken_here(self) -> Iterable[str]:
        return self.outside

    def __str__(self) -> str:
        return "by arithmetic" if self.residual is None else "found by a solver"


@quickly_made
@dataclass(frozen=True, eq=False)
class Working(_Worked):
    """One evaluation of a published equation, with the values that went in."""

    equation: Equation
    inputs: tuple[Value, ...]
    outside: tuple[str, ...]

    @property
    def source_key(self) -> str:
        return self.equation.source_key

    def _broken_here(self) -> Iterable[str]:
        return [f"{self.equation.name}: {text}" for text in self.outside] if self.outside else ()

    def __str__(self) -> str:
        return f"worked with {self.equation.name}"


Origin: TypeAlias = Given | Default | FromTable | FromWalk | Solved | Working


@quickly_made
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

    @property
    def over_depth(self) -> bool:
        """Whether it, or anything behind it, runs over depth nodes."""
        return self.depth_axis is not None or self.origin.over_depth

    def named(self, name: str) -> Value:
        if name == self.name:
            return self
        return Value(name, self.si, self.unit, self.origin, self.depth_axis)

    def at_node(self, index: int) -> Value:
        """Return this value, and all that went into it, at one depth node."""
        return _Node(index).root(self)

    def at_nodes(self, indices: Sequence[int]) -> Value:
        """Return this value, and all that went into it, at some depth nodes, in their order."""

        def pick(value: Value) -> Real:
            if value.depth_axis is None:
                return value.si
            picked: Real = np.asarray(value.si).take(indices, axis=value.depth_axis)
            return picked

        return _mapped(self, pick)

    def at_segment(self, index: int) -> Value:
        """Return this value, and all that went into it, at one segment of a channel.

        Arrays over segments are one-dimensional; numbers pass through.
        """
        return _Segment(index).root(self)

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
        return self.origin.broken

    @property
    def whence(self) -> str:
        """Where it came from, in words; the same at every node of a profile."""
        return str(self.origin)


class _Place:
    """A place that values are taken at, with what was taken there already, to stay shared.

    Attributes
    ----------
    keeps_depth : whether what runs over depth nodes still does so once it is taken here
    """

    keeps_depth: ClassVar[bool]

    def __init__(self, index: int) -> None:
        self.index = index
        self._values: dict[int, Value] = {}
        self._origins: dict[int, Origin] = {}

    def concerns(self, what: Value | Origin) -> bool:
        """Return whether a value or an origin may be another here than on the whole."""
        raise NotImplementedError

    def number(self, value: Value) -> Real:
        """Return the number of a value here."""
        raise NotImplementedError

    def root(self, value: Value) -> Value:
        """Return the value that the place is made for, here.

        It is behind nothing else, so the place need not know it: a circle of the two would be left
        to Python's collector, thousands of them an edit.
        """
        return _Taken(value, value.name, self) if self.concerns(value) else value

    def of(self, value: Value) -> Value:
        """Return a value that is behind it, here."""
        if not self.concerns(value):
            return value
        found = self._values.get(id(value))
        if found is None:
            found = self._values[id(value)] = _Taken(value, value.name, self)
        return found

    def origin(self, whole: Value) -> Origin:
        """Return the origin of a value here, its inputs taken here too."""
        origin = whole.origin
        if not isinstance(origin, Working | Solved) or not self.concerns(origin):
            return origin
        found = self._origins.get(id(origin))
        if found is None:
            found = _with_inputs(origin, tuple(self.of(one) for one in origin.inputs))
            self._origins[id(origin)] = found
        return found


class _Node(_Place):
    """A depth node."""

    keeps_depth = False

    def concerns(self, what: Value | Origin) -> bool:
        return what.over_depth

    def number(self, value: Value) -> Real:
        if value.depth_axis is None:
            return value.si
        taken: Real = np.asarray(value.si).take(self.index, axis=value.depth_axis)
        return taken


class _Segment(_Place):
    """A segment of a channel: arrays over segments are one-dimensional, numbers pass through."""

    keeps_depth = True

    def concerns(self, what: Value | Origin) -> bool:
        return True  # which arrays run over segments is not told

    def number(self, value: Value) -> Real:
        if np.ndim(value.si) != 1 or value.depth_axis is not None:
            return value.si
        taken: Real = np.asarray(value.si)[self.index]
        return taken


class _Taken(Value):
    """A value at one place; what went into it is taken there once it is asked for.

    Hundreds of records are made for every one that a reader opens.
    """

    _whole: Value
    _place: _Place

    def __init__(self, whole: Value, name: str, place: _Place) -> None:
        to = self.__dict__  # as in `quickly_made`
        to["name"], to["unit"], to["si"] = name, whole.unit, place.number(whole)
        to["depth_axis"] = whole.depth_axis if place.keeps_depth else None
        to["_whole"], to["_place"] = whole, place

    def __getattr__(self, name: str) -> Any:
        if name != "origin":
            raise AttributeError(f"a value has no {name}")
        origin = self.__dict__["origin"] = self._place.origin(self._whole)
        return origin

    def named(self, name: str) -> Value:
        return self if name == self.name else _Taken(self._whole, name, self._place)

    @property
    def over_depth(self) -> bool:
        return self._place.keeps_depth and self._whole.over_depth

    def outside_validity(self) -> tuple[str, ...]:
        return self._whole.outside_validity()

    @property
    def whence(self) -> str:
        return self._whole.whence


def origins_behind(*values: Value) -> Iterator[Origin]:
    """Yield the origin of everything behind values, nearest first, each object once.

    Of a value taken at one place they are the origins of the whole: the equations and
    sources are the same everywhere, and nothing need be taken there for them.
    """
    waiting, seen = deque(values), set[int]()
    while waiting:
        value = waiting.popleft()
        origin = value._whole.origin if isinstance(value, _Taken) else value.origin
        if id(origin) in seen:
            continue
        seen.add(id(origin))
        yield origin
        waiting.extend(origin.inputs)


def _mapped(value: Value, pick: Callable[[Value], Real]) -> Value:
    """Put a picked number in place of each behind a value; what is shared stays shared.

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
        done[id(current)] = _picked(current, pick(current), origins.get(id(origin), origin))
    return done[id(value)]


def _picked(value: Value, number: Real, origin: Origin) -> Value:
    if number is value.si and origin is value.origin:
        return value
    return Value(value.name, number, value.unit, origin, value.depth_axis)


def _with_inputs(origin: Working | Solved, inputs: tuple[Value, ...]) -> Working | Solved:
    if all(new is old for new, old in zip(inputs, origin.inputs, strict=True)):
        return origin
    if isinstance(origin, Working):
        return Working(origin.equation, inputs, origin.outside)
    return Solved(origin.problem, origin.source_key, inputs, origin.residual, origin.outside)


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
        filled.append(value if value.name == name else value.named(name))
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


def from_walk(name: str, number: Real, unit: str, how: str) -> Value:
    """Return a number that follows from where the walk stands; an array runs over depth."""
    return Value(name, number, unit, FromWalk(how), -1 if np.ndim(number) else None)


def summed(
    name: str, unit: str, how: str, parts: Iterable[Value], source: str = "definition"
) -> Value:
    """Return the sum of values of one unit; ``how`` says in words what is added."""
    pieces = tuple(parts)
    return Value(name, sum(float(piece) for piece in pieces), unit, Solved(how, source, pieces))
