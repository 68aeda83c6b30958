"""A series of weather in a netCDF file, its variables found by their standard names.

Names, units and time follow the Climate and Forecast conventions. The file is read once, whole,
and becomes a table of texts: what a hole is made of stays text, so that revisions can be
compared and a person can look at every number.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import Fault, InputErrors
from bathybore.base.units import to_si
from bathybore.model.files import shown
from bathybore.model.netcdf_files import Variable, read_variables

# standard name -> column of the weather table, SI unit, needed
_VARIABLES: Final = {
    "sea_surface_wave_significant_height": ("significant_wave_height", "m", True),
    "sea_surface_wave_period_at_variance_spectral_density_maximum": ("peak_period", "s", True),
    "wind_speed": ("wind_speed", "m/s", True),
    "sea_water_speed": ("current_speed", "m/s", False),
}
# spellings of units in such files that the gate does not know
_UNITS: Final = {
    "m s-1": "m/s", "m s^-1": "m/s", "m s**-1": "m/s", "meter second-1": "m/s",
    "knots": "kn", "knot": "kn", "kt": "kn", "metre": "m", "meter": "m", "metres": "m",
    "meters": "m", "second": "s", "seconds": "s", "sec": "s",
}  # fmt: skip
_SINCE: Final = re.compile(
    r"^\s*(?P<unit>second|sec|s|minute|min|hour|hr|h|day|d)s?\s+since\s+(?P<date>\S.*?)\s*$", re.I
)
_SECONDS: Final = {"s": 1.0, "m": 60.0, "h": 3600.0, "d": 86400.0}
_CALENDARS: Final = ("", "standard", "gregorian", "proleptic_gregorian")


@dataclass(frozen=True, eq=False)
class OutsideSeries:
    """A series of weather as a file gives it.

    Attributes
    ----------
    file, title : what it is called
    begins : the first of January that its times count from
    time : [s] from there
    columns : of the weather table, in SI
    """

    file: str
    title: str
    begins: datetime
    time: Array
    columns: dict[str, Array]


def read_series(file: str, data: bytes) -> OutsideSeries:
    """Return the series of weather in a netCDF file.

    Raises
    ------
    InputErrors
        Another format, broken, a variable missing or with another unit, more than one place, a
        calendar that the sea does not keep, or gaps.
    """
    title, found = read_variables(file, data)
    return series_of(file, title, found)


def series_of(file: str, title: str, found: dict[str, Variable]) -> OutsideSeries:
    """Return the series of weather among variables, as `read_series` does."""
    file = shown(file) or "file"
    timed = found.get("time") or next(
        (one for one in found.values() if one.standard_name == "time"), None
    )
    if timed is None or timed.values.ndim != 1 or not timed.values.size:
        raise InputErrors.one(file, "no variable 'time' along one dimension", "times of the series")
    time, begins = _times(file, timed)
    columns, faults = dict[str, Array](), list[Fault]()
    for standard, (name, si, needed) in _VARIABLES.items():
        here = [(key, one) for key, one in found.items() if one.standard_name == standard]
        try:
            if len(here) == 1:
                columns[name] = _column(f"{file}, variable {shown(here[0][0])}", here[0][1], si,
                                        timed.dimensions[0], len(time))  # fmt: skip
            elif here or needed:
                count = f"{len(here)} variables" if here else "no variable"
                fix = "Give it that attribute, or leave one of them."
                raise InputErrors.one(file, f"{count} with the standard name {standard}", "one",
                                      fix)  # fmt: skip
        except InputErrors as error:
            faults += error.faults
    if faults:
        raise InputErrors(faults)
    return OutsideSeries(file, shown(title), begins, time, columns)


def _times(file: str, timed: Variable) -> tuple[Array, datetime]:
    where = f"{file}, variable time"
    match = _SINCE.match(timed.units) if len(timed.units) < 200 else None
    if match is None:
        found = f"the unit '{shown(timed.units)}'"
        raise InputErrors.one(where, found, "such as 'hours since 1990-01-01 00:00:00'")
    if timed.calendar.lower() not in _CALENDARS:
        found = f"the calendar '{shown(timed.calendar)}'"
        raise InputErrors.one(where, found, "the standard calendar", "Model years do not serve.")
    try:
        start = datetime.fromisoformat(match["date"].replace(" UTC", "").removesuffix(" 0:00"))
        start = start.replace(tzinfo=None) - (start.utcoffset() or timedelta())
        seconds = timed.values * _SECONDS[match["unit"].lower()[0]]
        if not np.isfinite(seconds).all():
            raise InputErrors.one(where, "times that are missing", "a time in every row")
        first = start + timedelta(seconds=float(seconds[0]))
    except (ValueError, OverflowError) as error:
        found = f"the date '{shown(match['date'])}'"
        raise InputErrors.one(where, found, "a date such as 1990-01-01") from error
    begins = datetime(first.year, 1, 1)
    return np.asarray(seconds + (start - begins).total_seconds()), begins


def _column(where: str, one: Variable, si: str, dimension: str, rows: int) -> Array:
    long = [n for n, size in enumerate(one.values.shape) if size != 1]
    if one.values.size != rows or (rows > 1 and [one.dimensions[n] for n in long] != [dimension]):
        shape = " by ".join(f"{size} {name}" for name, size in
                            zip(one.dimensions, one.values.shape, strict=True))  # fmt: skip
        fix = "Cut the place of the hole out of it first."
        raise InputErrors.one(where, shown(shape) or "no rows", f"{rows} times at one place", fix)
    values = one.values.reshape(rows)
    gaps = int(np.sum(~np.isfinite(values)))
    if gaps:
        first = int(np.flatnonzero(~np.isfinite(values))[0])
        found = f"{gaps} values that are missing, the first in row {first + 1}"
        fix = "Fill them, or cut the series where it is whole: a gap neither stops nor goes on."
        raise InputErrors.one(where, found, "a value at every time", fix)
    unit = " ".join(one.units.split())
    unit = _UNITS.get(unit.lower(), unit)
    if not unit:
        raise InputErrors.one(where, "no units", f"units such as '{si}'")
    return np.asarray(values * (to_si(1.0, unit, si, where) - to_si(0.0, unit, si, where)))
