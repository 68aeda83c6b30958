"""What the tables of the weather must keep to: a series in time, a scatter of sea states."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from bathybore.base.errors import Fault
from bathybore.model.tables import ProfileTable

NETCDF_FIX: Final = (
    "Bring a series in with 'bathybore import SERIES.nc HOLE', which writes it as CSV."
)
_ROUNDED: Final = 0.01  # what rounding its classes may make of the sum of a table's shares


def weather_faults(weather: ProfileTable) -> Iterator[Fault]:
    """Find gaps in an optional column of a series: a gap in time can neither stop nor let go on."""
    current = weather.numbers.get("current_speed")
    if current is None:
        return
    for row in np.flatnonzero(~np.isfinite(current)):
        where = f"{weather.file}, line {weather.lines[row]}, column current_speed"
        fix = "Fill it in, or leave the whole column out."
        yield Fault(where, "nothing", "a speed in every row, or no such column", fix)


def scatter_faults(scatter: ProfileTable, observations: int | None) -> Iterator[Fault]:
    """Find what makes a scatter of sea states no account of the time.

    Parameters
    ----------
    observations : that the document says the table counts; None for shares of the time
    """
    column = "share_of_time" if observations is None else "observations"
    other = "observations" if observations is None else "share_of_time"
    if column not in scatter.numbers or other in scatter.numbers:
        found = ", ".join(one for one in (column, other) if one in scatter.numbers) or "neither"
        yield Fault(
            scatter.file,
            f"{found} of the columns share_of_time and observations",
            f"the column {column} alone",
            "Counts need site.scatter_observations, the number they add up to; shares need none.",
        )
        return
    gaps = list(_gaps(scatter, column))
    yield from gaps or [*_twice(scatter), *_sums(scatter, column, observations)]


def _gaps(scatter: ProfileTable, column: str) -> Iterator[Fault]:
    for row in np.flatnonzero(~np.isfinite(scatter.numbers[column])):
        where = f"{scatter.file}, line {scatter.lines[row]}, column {column}"
        yield Fault(where, "nothing", "a number in every row")
    months = scatter.numbers.get("month", np.array([]))
    for row in np.flatnonzero(~np.isin(months, np.arange(1, 13))):
        where = f"{scatter.file}, line {scatter.lines[row]}, column month"
        yield Fault(where, _written(months[row]), "1 to 12, in every row or in none")


def _written(number: float) -> str:
    return f"{number:g}" if np.isfinite(number) else "nothing"


def _twice(scatter: ProfileTable) -> Iterator[Fault]:
    seen: dict[tuple[float, ...], int] = {}
    names = ("significant_wave_height", "peak_period", "month")
    columns = [scatter.numbers[one].tolist() for one in names if one in scatter.numbers]
    for line, key in zip(scatter.lines, zip(*columns, strict=True), strict=True):
        if key in seen:
            where = f"{scatter.file}, line {line}"
            yield Fault(where, f"the class of line {seen[key]} again", "each class once")
        seen.setdefault(key, line)


def _sums(scatter: ProfileTable, column: str, observations: int | None) -> Iterator[Fault]:
    numbers = scatter.numbers[column]
    if observations is not None:
        total = float(numbers.sum())
        if abs(total - observations) > 0.5:
            fix = "Mend the counts, or site.scatter_observations."
            yield Fault(f"{scatter.file}, column {column}", f"{total:g} in all",
                        f"{observations}, as the document says", fix)  # fmt: skip
        elif "month" in scatter.numbers:
            for month in _months(scatter):
                if not numbers[scatter.numbers["month"] == month].sum() > 0.0:
                    where = f"{scatter.file}, column {column}"
                    yield Fault(where, f"no observation in month {month}", "some, or no such rows")
        return
    for month in _months(scatter) or (0,):
        here = scatter.numbers["month"] == month if month else np.ones(len(numbers), dtype=bool)
        total = float(numbers[here].sum())
        if abs(total - 1.0) > _ROUNDED:
            when = f" in month {month}" if month else ""
            percent = "Divide per cent by 100. " if abs(total - 100.0) < 1.0 else ""
            yield Fault(
                f"{scatter.file}, column {column}",
                f"{total:.6g} in all{when}",
                "shares that add up to 1",
                f"{percent}Counts belong into the column observations.",
            )


def _months(scatter: ProfileTable) -> tuple[int, ...]:
    return tuple(np.unique(scatter.numbers.get("month", np.array([]))).astype(int).tolist())
