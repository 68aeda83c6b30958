"""Open a check: every number behind its verdict, in the order in which it was worked out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, TypeAlias

import numpy as np

from bathybore.base.errors import InputErrors
from bathybore.base.formula import plain
from bathybore.base.units import UnitSystem
from bathybore.base.working import Default, FromTable, Origin, Solved, Value, Working
from bathybore.checks.record import CheckRecord
from bathybore.usecases.calculating import numbers_in
from bathybore.usecases.showing import (
    ShownLimit,
    ShownValue,
    cite,
    in_words,
    limits,
    percent,
    shown,
    significant_to_tell_apart,
    unique,
)


@dataclass(frozen=True)
class WorkingNote:
    """One published equation as it was used.

    Attributes
    ----------
    number : counted from 1 in the order of working; other values name it as their origin
    outside : the limits of validity that its inputs broke, anywhere along the hole
    """

    number: int
    equation: str
    summary: str
    formula: str
    with_numbers: str
    inputs: tuple[ShownValue, ...]
    result: ShownValue
    source: str
    where: str
    limits: tuple[ShownLimit, ...]
    outside: tuple[str, ...]
    validity_note: str
    caution: str


@dataclass(frozen=True)
class SolutionNote:
    """A value found by a solver: the problem, what went in, and how well it closed."""

    number: int
    problem: str
    inputs: tuple[ShownValue, ...]
    result: ShownValue
    source: str
    how: str
    residual: float | None


@dataclass(frozen=True)
class Explanation:
    """A check with everything behind it; plain data, ready for any face."""

    id: str
    step: str
    check: str
    discipline: str
    question: str
    verdict: str
    reason: str
    demand: ShownValue | None
    capacity: ShownValue | None
    margin: float | None
    margin_text: str
    depth: str
    steps: tuple[WorkingNote | SolutionNote, ...]
    cautions: tuple[str, ...]
    remedy: str
    note: str


def explain(record: CheckRecord, system: UnitSystem = "metric") -> Explanation:
    """Return a check record opened up, numbers shown in ``system``."""
    chain = _Chain(system)
    digits = max(5, significant_to_tell_apart(record))
    demand, capacity = (
        None if value is None else chain.value(value, digits)
        for value in (record.demand, record.capacity)
    )
    return Explanation(
        id=record.id,
        step=record.step,
        check=record.name,
        discipline=str(record.discipline),
        question=record.question,
        verdict=str(record.status),
        reason=record.reason,
        demand=demand,
        capacity=capacity,
        margin=record.margin,
        margin_text="" if record.margin is None else percent(record.margin),
        depth=record.depth.show(system) if record.depth else "",
        steps=tuple(chain.notes),
        cautions=unique([record.caution, *chain.cautions()]),
        remedy=record.remedy,
        note=record.note,
    )


def find(records: Iterable[CheckRecord], wanted: str) -> CheckRecord:
    """Return the record with this id, or the only one with this check name.

    Raises
    ------
    InputErrors
        None has it: the nearest ids are named. Or several have it: they are named.
    """
    known = {record.id: record for record in records}
    if wanted in known:
        return known[wanted]
    named = [record.id for record in known.values() if record.name == wanted]
    if len(named) == 1:
        return known[named[0]]
    near = named or get_close_matches(wanted.lower(), known, n=5, cutoff=0.4)
    near = near or [id_ for id_ in known if wanted.lower() in id_][:5]
    raise InputErrors.one(
        "check",
        f"'{wanted}'" + (f", which {len(named)} steps have" if named else ""),
        "the id of a check, step/name",
        f"Nearest: {', '.join(near)}." if near else "`bathybore check HOLE` lists them all.",
    )


@dataclass(frozen=True)
class Opened:
    """A value with everything behind it; plain data, ready for any face."""

    value: ShownValue
    steps: tuple[WorkingNote | SolutionNote, ...]
    cautions: tuple[str, ...]


def open_value(value: Value, system: UnitSystem = "metric") -> Opened:
    """Return a value opened up: every working behind it, inputs before results."""
    chain = _Chain(system)
    result = chain.value(value)
    return Opened(result, tuple(chain.notes), unique(chain.cautions()))


# What makes two evaluations the same: the equation (or problem) and every input with its origin.
_Key: TypeAlias = tuple[Any, ...]


class _Chain:
    """Numbers the workings behind values, each once, inputs before results."""

    def __init__(self, system: UnitSystem) -> None:
        self.system = system
        self.notes: list[WorkingNote | SolutionNote] = []
        self._by_object: dict[int, int] = {}
        self._by_content: dict[_Key, int] = {}
        self._kept_alive: list[Origin] = []

    def value(self, value: Value, significant: int = 5) -> ShownValue:
        """Return a value shown, after everything that went into it has been noted.

        The walk's chains can be longer than Python's call stack is deep, so the way
        down is kept in a list and not in calls.
        """
        waiting = [value]
        while waiting:
            current = waiting[-1]
            origin = current.origin
            if not isinstance(origin, Working | Solved) or id(origin) in self._by_object:
                waiting.pop()
                continue
            below = [v for v in origin.inputs if self._unnoted(v)]
            if below:
                waiting.extend(reversed(below))
                continue
            waiting.pop()
            self._note(current, origin)
        return self._shown(value, significant)

    def cautions(self) -> Iterable[str]:
        for note in self.notes:
            if isinstance(note, WorkingNote) and note.caution:
                yield f"{in_words(note.equation)}: {note.caution}"

    def _unnoted(self, value: Value) -> bool:
        return isinstance(value.origin, Working | Solved) and (
            id(value.origin) not in self._by_object
        )

    def _note(self, value: Value, origin: Working | Solved) -> None:
        key = self._key(value, origin)
        number = self._by_content.get(key)
        if number is None:
            number = len(self.notes) + 1
            self._by_content[key] = number
            if isinstance(origin, Working):
                self.notes.append(self._working(number, value, origin))
            else:
                self.notes.append(self._solution(number, value, origin))
        self._by_object[id(origin)] = number
        self._kept_alive.append(origin)  # an id is only unique while its object lives

    def _key(self, value: Value, origin: Working | Solved) -> _Key:
        what = origin.equation.name if isinstance(origin, Working) else origin.problem
        return (what, _content(value.si), *(self._input_key(v) for v in origin.inputs))

    def _input_key(self, value: Value) -> _Key:
        noted = self._by_object.get(id(value.origin))
        return (value.name, _content(value.si), noted if noted else str(value.origin))

    def _shown(self, value: Value, significant: int = 5) -> ShownValue:
        origin = self._origin(value.origin)
        return shown(value.name, value.si, value.unit, self.system, origin, significant)

    def _origin(self, origin: Origin) -> str:
        if isinstance(origin, Working | Solved):
            return f"from working {self._by_object[id(origin)]}"
        if isinstance(origin, Default | FromTable):
            cited = cite(origin.source_key)
            text = str(origin).replace(f" [{origin.source_key}]", "")
            return f"{text} [{cited}]"
        return str(origin)

    def _working(self, number: int, value: Value, origin: Working) -> WorkingNote:
        equation = origin.equation
        inputs = tuple(self._shown(v) for v in origin.inputs)
        return WorkingNote(
            number=number,
            equation=equation.name,
            summary=equation.summary,
            formula=plain(equation.formula),
            with_numbers=numbers_in(equation, inputs),
            inputs=inputs,
            result=shown(equation.result.name, value.si, equation.result.unit, self.system),
            source=cite(equation.source_key),
            where=equation.where,
            limits=limits(equation, {v.name: v.si for v in origin.inputs}, self.system),
            outside=origin.outside,
            validity_note=equation.validity_note,
            caution=equation.caution,
        )

    def _solution(self, number: int, value: Value, origin: Solved) -> SolutionNote:
        # formulas stand between dollar signs: every second part
        parts = origin.problem.split("$")
        problem = "".join(plain(p) if i % 2 else p for i, p in enumerate(parts))
        return SolutionNote(
            number=number,
            problem=problem,
            inputs=tuple(self._shown(v) for v in origin.inputs),
            result=shown(value.name, value.si, value.unit, self.system),
            source=cite(origin.source_key),
            how=str(origin),
            residual=origin.residual,
        )


def _content(si: Any) -> _Key:
    if isinstance(si, str):
        return (si,)
    array = np.asarray(si, dtype=float)
    return (array.shape, array.tobytes())
