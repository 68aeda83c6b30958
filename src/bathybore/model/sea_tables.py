"""What the tables of weather and motions must keep to: a series, a scatter, a grid of waves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from bathybore.base.errors import Fault
from bathybore.base.units import show
from bathybore.model.tables import ProfileTable

NETCDF_FIX: Final = (
    "Bring a series in with 'bathybore import SERIES.nc HOLE', which writes it as CSV."
)
_MOTIONS: Final = ("heave", "pitch", "roll", "surge", "sway")
_FEWEST_WAVES: Final = 5
_SAME_ANGLE: Final = 1e-9  # rad
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


def motion_faults(motions: ProfileTable, heading: float) -> Iterator[Fault]:
    """Find what makes a table of motions no full grid of headings and waves.

    Parameters
    ----------
    heading : of the plan, which must lie among those of the table [rad]
    """
    found = [one for one in ("wave_period", "wave_frequency") if one in motions.numbers]
    if len(found) != 1:
        told = " and ".join(found) or "neither"
        yield Fault(motions.file, f"{told} of wave_period and wave_frequency", "one of the two")
        return
    faults = [*_half_motions(motions), *_ragged(motions, found[0])]
    yield from faults
    if not faults:
        yield from _heading_off(motions, heading)


def _half_motions(motions: ProfileTable) -> Iterator[Fault]:
    """Find a size without its phase, a phase without its size, gaps in either."""
    for one in _MOTIONS:
        pair = [f"{one}_response", f"{one}_phase"]
        there = [name for name in pair if name in motions.numbers]
        if len(there) == 1:
            yield Fault(motions.file, f"the column {there[0]} alone", f"{pair[0]} and {pair[1]}")
    wave = ("wave_period", "wave_frequency")
    for name in (name for name in motions.numbers if name.startswith((*_MOTIONS, *wave))):
        gaps = np.flatnonzero(~np.isfinite(motions.numbers[name]))
        if gaps.size:
            where = f"{motions.file}, line {motions.lines[gaps[0]]}, column {name}"
            yield Fault(where, "nothing", "a number in every row, or no such column")


def _ragged(motions: ProfileTable, wave: str) -> Iterator[Fault]:
    """Find a wave given twice for a heading, or for some headings only."""
    seen: dict[tuple[float, float], int] = {}
    pairs = zip(motions.depths.tolist(), motions.numbers[wave].tolist(), motions.lines, strict=True)
    for heading, number, line in pairs:
        if (heading, number) in seen:
            where = f"{motions.file}, line {line}"
            wanted = "each wave once for a heading"
            yield Fault(where, f"the wave of line {seen[heading, number]} again", wanted)
        seen.setdefault((heading, number), line)
    headings, waves = (sorted({key[n] for key in seen}) for n in (0, 1))
    lacking = next(((h, w) for h in headings for w in waves if (h, w) not in seen), None)
    if lacking is not None:
        there = f"{show(lacking[0], 'rad')} and {show(lacking[1], motions.units[wave])}"
        found = f"no row for {there}"
        yield Fault(motions.file, found, "every wave for every heading, the same waves for all")
    elif len(waves) < _FEWEST_WAVES:
        found = f"{len(waves)} waves for a heading"
        yield Fault(f"{motions.file}, column {wave}", found, f"{_FEWEST_WAVES} or more")


def _heading_off(motions: ProfileTable, heading: float) -> Iterator[Fault]:
    """Find a planned heading that the table says nothing of, by either side of the vessel."""
    turn = 2.0 * np.pi
    given = np.unique(motions.depths)
    least, most = float(given[0]), float(given[-1])
    one_side = most <= np.pi + _SAME_ANGLE
    asked = heading % turn
    if one_side:
        asked = min(asked, turn - asked)
    widest = float(np.diff(given, append=given[0] + turn).max())
    goes_round = not one_side and widest <= np.pi / 2.0
    if not goes_round and not least - _SAME_ANGLE <= asked <= most + _SAME_ANGLE:
        where = f"{motions.file}, column relative_wave_direction"
        found = f"headings from {show(least, 'rad')} to {show(most, 'rad')}"
        wanted = f"the planned {show(heading, 'rad')} among them (heading_off_weather)"
        fix = "From 0 to 180 deg serves both sides, as hulls are alike on both."
        yield Fault(where, found, wanted, fix)
