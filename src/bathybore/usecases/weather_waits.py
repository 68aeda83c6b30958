"""Each operation in the weather of the place, and how long the steps wait for their windows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from bathybore.checks.ledger import Asker
from bathybore.checks.operability import (
    STORM,
    WEATHER_QUESTIONS,
    covers,
    storm_studies,
    time_at_one_go,
    wait_of,
    waiting_steps,
    waiting_studies,
    weather_studies,
)
from bathybore.checks.record import CheckRecord
from bathybore.model.hole import Hole
from bathybore.operations.operability import (
    Scatter,
    Waits,
    Windows,
    given_scatter,
    scatter,
    windows,
)
from bathybore.operations.steps import StepKind
from bathybore.operations.weather_limits import (
    AT_ONE_GO,
    OPERATION_OF,
    Operation,
    OperationLimits,
    limits_of,
)
from bathybore.usecases.placing_told import asked

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk


@dataclass(frozen=True, eq=False)
class InWeather:
    """An operation in the weather of the place.

    Attributes
    ----------
    judged : the series against its limits; None where no series is given
    within : share of the time of the planned months within them, by the series or else the
        scatter; None where neither is given
    by_month : (month from 0, share within)
    """

    limits: OperationLimits
    judged: Windows | None
    within: float | None
    by_month: tuple[tuple[int, float], ...]

    @property
    def name(self) -> str:
        return self.limits.operation.words


@dataclass(frozen=True, eq=False)
class Window:
    """A step that is done at one go.

    Attributes
    ----------
    needed : its time without trouble and downtime [s]
    waits : begun in each row of the series; None where no series is given
    """

    step: str
    operation: Operation
    needed: float
    waits: Waits | None


def in_weather(hole: Hole, operation: Operation) -> InWeather:
    """Return an operation in the weather of a hole."""
    limits, months = limits_of(hole.setting, operation), hole.site.months
    height = float(limits.wave_height)
    if hole.weather is not None:
        judged = windows(hole.weather, limits.numbers)
        rows = judged.rows_in(months)
        there = np.unique(judged.months).tolist()
        by_month = tuple((month, judged.within(judged.months == month)) for month in there)
        within = None if judged.lacks(months) else judged.within(rows)
        return InWeather(limits, judged, within, by_month)
    if hole.scatter is not None:
        found = given_scatter(hole.scatter)
        by_month = tuple((month, one.within(height)) for month, one in found.months)
        within = None if found.lacks(months) else found.within(height, months)
        return InWeather(limits, None, within, by_month)
    return InWeather(limits, None, None, ())


def classes_of(hole: Hole, judged: Windows | None) -> Scatter | None:
    """Return the scatter that is given, else that of the series; None where neither is."""
    if hole.scatter is not None:
        return given_scatter(hole.scatter).whole
    return None if hole.weather is None or judged is None else scatter(hole.weather, judged)


def steps_of(walk: Walk, operations: dict[Operation, InWeather]) -> tuple[Window, ...]:
    """Return the steps that are done at one go, with their waits."""
    found = []
    for state in walk.states:
        if state.step.kind in AT_ONE_GO:
            operation, needed = OPERATION_OF[state.step.kind], float(time_at_one_go(state))
            judged = operations[operation].judged
            waits = None if judged is None else judged.any_time(needed)
            found.append(Window(state.step.name, operation, needed, waits))
    return tuple(found)


def waiting_of(walk: Walk) -> tuple[float, float] | None:
    """Return the mean wait of all steps and what is planned for it [s]; None where not known."""
    hole = walk.hole
    if hole.weather is None or not walk.states or not covers(hole.setting, hole.weather):
        return None
    steps = waiting_steps(walk.states[-1])
    planned = hole.site.environment.share_of_time_exceeded
    return (
        sum(wait_of(hole.setting, hole.weather, one) for one in steps),
        planned * sum(float(one[3]) for one in steps),
    )


def weather_records(walk: Walk) -> tuple[CheckRecord, ...]:
    """Return the verdicts on the weather, step by step."""
    records: list[CheckRecord] = []
    for state in walk.states:
        kind, askers = state.step.kind, list[Asker]()
        if kind in AT_ONE_GO or kind in _BROKEN_OFF:
            askers.append(weather_studies)
        if kind is StepKind.RUN_RISER:
            askers.append(storm_studies)
        if kind is StepKind.DEPART:
            askers.append(waiting_studies)
        if askers:
            records += asked(walk, state, _of_weather, *askers)
    return tuple(records)


_BROKEN_OFF: Final = (StepKind.HOLD_STATION, StepKind.DRILL, StepKind.CORE)
_NAMES: Final = frozenset(one.name for one in (*WEATHER_QUESTIONS, STORM))


def _of_weather(record: CheckRecord) -> bool:
    return record.name in _NAMES
