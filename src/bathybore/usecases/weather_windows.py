"""Weather of the place: how much of the time the operation goes on, and how long steps wait."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from bathybore.base.units import UnitSystem, show
from bathybore.checks.operability import (
    planned_limits,
    storm_studies,
    time_to_leave,
    weather_studies,
)
from bathybore.checks.record import CheckRecord
from bathybore.model.hole import Hole
from bathybore.operations.operability import MONTHS, Scatter, Windows, scatter, windows
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.steps import StepKind
from bathybore.usecases.placing_told import ToldTable, Topic, asked, number

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

CAUTION: Final = (
    "One series of weather, judged by wave height and wind alone: other years differ, swell from "
    "the side and current do not show. Forecasts, the vessel's procedures and her master decide "
    "when to begin and when to leave."
)
# What is begun only when the weather will last: it cannot be left half done.
_AT_ONE_GO: Final = (
    StepKind.RUN_CONDUCTOR,
    StepKind.RUN_RISER,
    StepKind.RUN_CASING,
    StepKind.CEMENT,
    StepKind.RETRIEVE_RISER,
)


@dataclass(frozen=True)
class Window:
    """A step that is done at one go: its name and its time without downtime [s]."""

    step: str
    needed: float


@dataclass(frozen=True, eq=False)
class WeatherWindows:
    """The weather of a place against a plan.

    Attributes
    ----------
    judged, classes : of the series; None where none is given
    steps : done at one go
    leaving : time to secure the hole and pull the riser [s]; None without a riser
    """

    hole: Hole
    judged: Windows | None
    classes: Scatter | None
    steps: tuple[Window, ...]
    leaving: float | None
    records: tuple[CheckRecord, ...]

    name = "weather"

    def topic(self, units: UnitSystem) -> Topic:
        """Return the weather in the reader's units."""
        tables: tuple[ToldTable, ...] = ()
        if self.judged is not None and self.classes is not None:
            tables = (
                _steps(self.steps, self.judged),
                _months(self.steps, self.judged),
                _classes(self.classes, units),
            )
        return Topic(
            name=self.name,
            title="Weather windows",
            facts=_facts(self, units),
            tables=tables,
            records=self.records,
            caution=CAUTION,
            numbers=_numbers(self),
        )


def weather_windows(walk: Walk) -> WeatherWindows:
    """Return the weather of a walk's place against its plan."""
    hole, gear = walk.hole, RiserGear.of(walk.hole)
    table = hole.weather
    judged = None if table is None else windows(table, planned_limits(hole.setting))
    records: list[CheckRecord] = []
    for kind, ask in (
        (StepKind.HOLD_STATION, weather_studies),
        (StepKind.RUN_RISER, storm_studies),
    ):
        state = next((one for one in walk.states if one.step.kind is kind), None)
        if state is not None:
            records += asked(walk, state, _of_weather, ask)
    return WeatherWindows(
        hole=hole,
        judged=judged,
        classes=None if table is None or judged is None else scatter(table, judged),
        steps=tuple(
            Window(one.step.name, sum(float(part) for part in one.times))
            for one in walk.states
            if one.step.kind in _AT_ONE_GO
        ),
        leaving=None if gear is None else float(time_to_leave(gear)),
        records=tuple(records),
    )


def _of_weather(record: CheckRecord) -> bool:
    return record.name in ("weather-downtime", "storm-warning")


def hours(seconds: float) -> str:
    """Return a time as hours, or as days where it is long."""
    if not np.isfinite(seconds):
        return "never"
    whole = seconds / 3600.0
    return f"{whole:.0f} h" if whole < 96.0 else f"{whole / 24.0:.1f} days"


def _facts(one: WeatherWindows, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    sea, judged = one.hole.site.environment, one.judged
    rows = [
        (
            "Goes on up to",
            f"significant wave height {show(sea.significant_wave_height, 'm', units)}, wind "
            f"{show(sea.wind_speed, 'm/s', units)}, as planned",
        )
    ]
    if judged is None:
        rows.append(("Series", "none is given (site: weather): no windows are told"))
    else:
        span = float(judged.stands.sum())
        rows += [
            ("Series", f"{len(judged.time)} rows over {span / 86400.0:.0f} days"),
            (
                "Share of time",
                f"{judged.share:.1%} within it; planned downtime "
                f"{sea.share_of_time_exceeded:.0%} of the time",
            ),
            (
                "Longest",
                f"{hours(judged.longest(True))} within it at a stretch, "
                f"{hours(judged.longest(False))} beyond it",
            ),
        ]
    if one.leaving is not None:
        warned = one.hole.basis.storm_warning_time
        rows.append(
            (
                "Before a storm",
                f"begin {hours(one.leaving)} before it: secure the hole, pull the riser; a "
                f"forecast gives {hours(warned)}",
            )
        )
    return tuple(rows)


def _spread(waits: np.ndarray) -> tuple[str, ...]:
    none = float(np.mean(waits <= 0.0))
    return (f"{none:.0%}", hours(float(waits.mean())), hours(float(np.quantile(waits, 0.9))))


def _steps(steps: tuple[Window, ...], judged: Windows) -> ToldTable:
    rows = tuple((one.step, hours(one.needed), *_spread(judged.waits(one.needed))) for one in steps)
    columns = ("step", "takes", "begins at once", "mean wait", "wait in 9 of 10")
    return ToldTable("Waiting for a window long enough, begun at any time", columns, rows)


def _months(steps: tuple[Window, ...], judged: Windows) -> ToldTable:
    longest = max((one.needed for one in steps), default=0.0)
    waits, months = judged.waits(longest), judged.months
    rows = []
    for month in np.unique(months).tolist():
        here = months == month
        stands = judged.stands[here]
        share = float(stands[judged.workable[here]].sum() / stands.sum())
        rows.append((MONTHS[month], f"{share:.0%}", *_spread(waits[here])))
    columns = ("month", "within the limits", "begins at once", "mean wait", "wait in 9 of 10")
    title = f"By month, waiting for {hours(longest)} at one go"
    return ToldTable(title, columns, tuple(rows))


def _classes(classes: Scatter, units: UnitSystem) -> ToldTable:
    edges = classes.periods
    used = np.flatnonzero(classes.shares.sum(axis=0) > 0.0)
    rows = tuple(
        (
            f"{show(float(low), 'm', units)} to {show(float(high), 'm', units)}",
            *(f"{100.0 * row[n]:.1f}" for n in used),
            f"{100.0 * row.sum():.1f}",
        )
        for low, high, row in zip(
            classes.heights[:-1], classes.heights[1:], classes.shares, strict=True
        )
    )
    columns = (
        "significant wave height",
        *(f"Tp {edges[n]:g} to {edges[n + 1]:g} s" for n in used),
        "all",
    )
    return ToldTable("Scatter of sea states, per cent of the time", columns, rows)


def _numbers(one: WeatherWindows) -> dict[str, Any]:
    told: dict[str, Any] = {
        "time_to_leave": None if one.leaving is None else number(one.leaving, "s"),
    }
    if one.judged is not None and one.classes is not None:
        waits = {step.step: one.judged.waits(step.needed) for step in one.steps}
        told |= {
            "share_within_limits": number(one.judged.share, "-"),
            "longest_within": number(one.judged.longest(True), "s"),
            "longest_beyond": number(one.judged.longest(False), "s"),
            "steps": {
                step.step: {
                    "needed": number(step.needed, "s"),
                    "mean_wait": number(float(waits[step.step].mean()), "s"),
                    "wait_in_9_of_10": number(float(np.quantile(waits[step.step], 0.9)), "s"),
                }
                for step in one.steps
            },
            "scatter": {
                "wave_height_edges": number(one.classes.heights, "m"),
                "peak_period_edges": number(one.classes.periods, "s"),
                "shares": one.classes.shares.tolist(),
            },
        }
    return told
