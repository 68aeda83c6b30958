"""Weather of the place against a plan: facts, tables by operation, step and month, numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from bathybore.base.units import UnitSystem, show
from bathybore.base.working import Default, Value
from bathybore.checks.operability import time_to_leave
from bathybore.checks.record import CheckRecord
from bathybore.model.hole import Hole
from bathybore.model.site import MONTHS
from bathybore.operations.operability import (
    Scatter,
    Waits,
    WeatherLimits,
    Windows,
    given_scatter,
    windows,
)
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.weather_limits import Operation
from bathybore.operations.weather_series import DAY
from bathybore.usecases.placing_told import ToldTable, Topic, number
from bathybore.usecases.weather_waits import (
    InWeather,
    Window,
    classes_of,
    in_weather,
    steps_of,
    waiting_of,
    weather_records,
)

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

CAUTION: Final = (
    "One record of weather, judged by wave height, wind and, where it tells of it, current: other "
    "years differ, swell from the side does not show. Forecasts, the vessel's procedures and her "
    "master decide when to begin and when to leave."
)
NO_WINDOWS: Final = "a scatter of sea states cannot tell how long a sea state lasts"


@dataclass(frozen=True, eq=False)
class WeatherWindows:
    """The weather of a place against a plan.

    Attributes
    ----------
    judged : the series against the planned weather; None where none is given
    planned : the rows of the series in the planned months; none where it lacks one of these
    classes : the scatter that is given, else that of the series; None where neither is given
    operations : each in the weather of the place
    steps : done at one go
    waiting : mean wait of all steps together and what is planned for it [s]; None without series
    leaving : time to secure the hole and pull the riser [s]; None without a riser
    """

    hole: Hole
    judged: Windows | None
    planned: NDArray[np.bool_]
    classes: Scatter | None
    operations: tuple[InWeather, ...]
    steps: tuple[Window, ...]
    waiting: tuple[float, float] | None
    leaving: float | None
    records: tuple[CheckRecord, ...]

    name = "weather"

    def topic(self, units: UnitSystem) -> Topic:
        """Return the weather in the reader's units."""
        return Topic(
            name=self.name,
            title="Weather windows",
            facts=_facts(self, units),
            tables=tuple(_tables(self, units)),
            records=self.records,
            caution=CAUTION,
            numbers=_numbers(self),
        )


def weather_windows(walk: Walk) -> WeatherWindows:
    """Return the weather of a walk's place against its plan."""
    hole, gear = walk.hole, RiserGear.of(walk.hole)
    sea, table = hole.site.environment, hole.weather
    plan = WeatherLimits(sea.significant_wave_height, sea.wind_speed, sea.surface_current)
    judged = None if table is None else windows(table, plan)
    operations = tuple(in_weather(hole, one) for one in Operation)
    return WeatherWindows(
        hole=hole,
        judged=judged,
        planned=_planned(hole, judged),
        classes=classes_of(hole, judged),
        operations=operations,
        steps=steps_of(walk, {one.limits.operation: one for one in operations}),
        waiting=waiting_of(walk),
        leaving=None if gear is None else float(time_to_leave(gear)),
        records=weather_records(walk),
    )


def _planned(hole: Hole, judged: Windows | None) -> NDArray[np.bool_]:
    """Return the rows in the planned months; none where the series lacks one of these."""
    if judged is None:
        return np.zeros(0, dtype=bool)
    months = hole.site.months
    return judged.rows_in(() if judged.lacks(months) else months)


def hours(seconds: float) -> str:
    """Return a time as hours, or as days where it is long."""
    if not np.isfinite(seconds):
        return "never"
    whole = seconds / 3600.0
    return f"{whole:.0f} h" if whole < 96.0 else f"{whole / 24.0:.1f} days"


def _tables(one: WeatherWindows, units: UnitSystem) -> Iterator[ToldTable]:
    yield _operations(one, units)
    if one.judged is not None:
        yield _steps(one)
    if any(each.by_month for each in one.operations):
        yield _months(one.operations)
    if one.judged is not None and one.steps:
        yield _by_month(one, one.judged, "mean")
        yield _by_month(one, one.judged, "9 of 10")
    if one.classes is not None:
        yield _classes(one.classes, units)


def _facts(one: WeatherWindows, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    sea, judged = one.hole.site.environment, one.judged
    rows = [
        (
            "Judged up to",
            f"significant wave height {show(sea.significant_wave_height, 'm', units)}, wind "
            f"{show(sea.wind_speed, 'm/s', units)}, current "
            f"{show(sea.surface_current, 'm/s', units)}, as planned: nothing goes on in more",
        ),
        ("Planned months", _season(one)),
        ("Series", _series(judged, one.hole.site.months)),
        ("Scatter", _scattered(one)),
    ]
    if judged is not None and one.planned.any():
        rows += [
            (
                "Share of time",
                f"{judged.within(one.planned):.1%} within the planned weather; planned downtime "
                f"{sea.share_of_time_exceeded:.0%} of the time",
            ),
            (
                "Longest",
                f"{hours(judged.longest(True))} within it at a stretch, "
                f"{hours(judged.longest(False))} beyond it, in the whole series",
            ),
        ]
    if one.waiting is not None:
        waits, planned = one.waiting
        rows.append(
            ("Waiting", f"{hours(waits)} for all steps on the mean; {hours(planned)} are planned")
        )
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


def _season(one: WeatherWindows) -> str:
    months = one.hole.site.months
    if len(months) == 12:
        return "any of the year (site: first_month, last_month)"
    return f"{MONTHS[months[0]]} to {MONTHS[months[-1]]}"


def _series(judged: Windows | None, months: tuple[int, ...]) -> str:
    if judged is None:
        return "none is given (site: weather): no windows are told"
    told = f"{len(judged.time)} rows over {judged.known / DAY:.0f} days"
    within = len(judged.gaps) - (not judged.joined[-1])
    if within:
        told += f", gaps between them, of which nothing is known: {within}"
    if judged.rows < len(judged.time):
        whole = judged.in_whole_years.known / DAY
        told += f"; the odds go round in the first {whole:.0f} days, which are whole years"
    elif not judged.joined[-1]:
        told += "; it ends at another time of the year than it begins: nothing goes on over that"
    if judged.lacks(months):
        lacks = ", ".join(MONTHS[month] for month in judged.lacks(months))
        told += f"; no row in {lacks}, so that no share or wait of the planned months is told"
    return told


def _scattered(one: WeatherWindows) -> str:
    if one.hole.scatter is None:
        return "none is given (site: scatter)"
    lacks = given_scatter(one.hole.scatter).lacks(one.hole.site.months)
    if one.judged is None and lacks:
        names = ", ".join(MONTHS[month] for month in lacks)
        return f"{one.hole.scatter.file} tells nothing of {names}: no share of the planned months"
    used = "shares of the time come from the series" if one.judged is not None else NO_WINDOWS
    return f"{len(one.hole.scatter.lines)} classes of {one.hole.scatter.file}; {used}"


def _operations(one: WeatherWindows, units: UnitSystem) -> ToldTable:
    rows = tuple(
        (
            each.name,
            *(_limit(value, units) for value in each.limits.values),
            "not known" if each.within is None else f"{each.within:.1%}",
            hours(_longest(each, one.planned)) if each.judged is not None else "not known",
        )
        for each in one.operations
    )
    columns = ("operation", "wave height", "wind", "current", "within, of the time", "longest")
    return ToldTable("Weather in which each operation stops", columns, rows)


def _limit(value: Value, units: UnitSystem) -> str:
    told = show(float(value), value.unit, units)
    if isinstance(value.origin, Default):
        return f"{told} ({value.origin.source_key})"
    planned = "environment" in str(value.origin)
    return f"{told} (planned)" if planned else told


def _longest(each: InWeather, rows: NDArray[np.bool_]) -> float:
    assert each.judged is not None
    if not rows.any():
        return 0.0
    return min(float(each.judged.left[rows].max()), each.judged.known)


def _spread(waits: Waits) -> tuple[str, ...]:
    if not len(waits.wait):
        return ("not known",) * 3
    return (f"{waits.none:.0%}", hours(waits.mean), hours(waits.within(0.9)))


def _steps(one: WeatherWindows) -> ToldTable:
    rows = tuple(
        (step.step, step.operation.words, hours(step.needed), *_spread(step.waits.of(one.planned)))
        for step in one.steps
        if step.waits is not None
    )
    columns = ("step", "operation", "takes", "begins at once", "mean wait", "wait in 9 of 10")
    return ToldTable("Waiting for a window long enough, in the planned months", columns, rows)


def _months(operations: tuple[InWeather, ...]) -> ToldTable:
    shares = [dict(each.by_month) for each in operations]
    rows = tuple(
        (MONTHS[month], *(f"{one[month]:.0%}" for one in shares)) for month in sorted(shares[0])
    )
    columns = ("month", *(each.name for each in operations))
    return ToldTable("Share of the month in which each operation goes on", columns, rows)


def _by_month(one: WeatherWindows, judged: Windows, which: str) -> ToldTable:
    there = np.unique(judged.months).tolist()

    def cell(step: Window, month: int) -> str:
        assert step.waits is not None
        waits = step.waits.of(judged.months == month)
        return hours(waits.mean if which == "mean" else waits.within(0.9)).replace("days", "d")

    rows = tuple((step.step, *(cell(step, month) for month in there)) for step in one.steps)
    columns = ("step", *(MONTHS[month][:3] for month in there))
    title = "Mean wait by month" if which == "mean" else "Wait in 9 of 10 by month"
    return ToldTable(f"{title}, begun at any time of it", columns, rows)


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
        "planned_months": [month + 1 for month in one.hole.site.months],
        "operations": {each.limits.operation.value: _of(each) for each in one.operations},
    }
    judged = one.judged
    if judged is not None and one.planned.any():
        told |= {
            "share_within_limits": number(judged.within(one.planned), "-"),
            "longest_within": number(judged.longest(True), "s"),
            "longest_beyond": number(judged.longest(False), "s"),
            "steps": {
                step.step: _wait_numbers(step, one.planned, judged)
                for step in one.steps
                if step.waits is not None
            },
        }
    if one.waiting is not None:
        told["waiting"] = number(one.waiting[0], "s")
        told["planned_waiting"] = number(one.waiting[1], "s")
    if one.classes is not None:
        told["scatter"] = {
            "wave_height_edges": number(one.classes.heights, "m"),
            "peak_period_edges": number(one.classes.periods, "s"),
            "shares": one.classes.shares.tolist(),
        }
    return told


def _of(each: InWeather) -> dict[str, Any]:
    return {
        "wave_height": number(float(each.limits.wave_height), "m"),
        "wind_speed": number(float(each.limits.wind_speed), "m/s"),
        "current": number(float(each.limits.current), "m/s"),
        "share_within": None if each.within is None else number(each.within, "-"),
        "share_by_month": {MONTHS[month]: share for month, share in each.by_month},
    }


def _wait_numbers(step: Window, rows: NDArray[np.bool_], judged: Windows) -> dict[str, Any]:
    assert step.waits is not None
    there = np.unique(judged.months).tolist()
    planned = step.waits.of(rows)
    by_month = {MONTHS[month]: step.waits.of(judged.months == month) for month in there}
    return {
        "needed": number(step.needed, "s"),
        "mean_wait": number(planned.mean, "s"),
        "wait_in_9_of_10": number(planned.within(0.9), "s"),
        "mean_wait_by_month": {name: number(waits.mean, "s") for name, waits in by_month.items()},
        "wait_in_9_of_10_by_month": {
            name: number(waits.within(0.9), "s") for name, waits in by_month.items()
        },
    }
