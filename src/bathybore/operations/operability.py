"""How much of the time the weather lets the operation go on, and how long it makes it wait.

A row of a series stands until the next one. The series is taken as a cycle: after its last
row it begins again, so that a wait near its end has an end. A scatter of sea states tells
shares of the time and nothing of how long a sea state lasts.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.model.tables import ProfileTable

MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
_DAYS: Final = np.array([31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0])
_YEAR: Final = float(_DAYS.sum())


@dataclass(frozen=True)
class WeatherLimits:
    """Weather up to which the operation goes on: wave height [m], wind and current [m/s]."""

    significant_wave_height: float
    wind_speed: float
    current_speed: float = np.inf


@dataclass(frozen=True, eq=False)
class Windows:
    """A series judged against limits.

    Attributes
    ----------
    time : at which each row begins, from the first of January [s]
    stands : how long each row stands [s]
    workable : whether the operation goes on in it
    """

    time: Array
    stands: Array
    workable: NDArray[np.bool_]

    @property
    def share(self) -> float:
        """Share of the time in which the operation goes on."""
        return float(self.stands[self.workable].sum() / self.stands.sum())

    def within(self, rows: NDArray[np.bool_]) -> float:
        """Return the share of some rows' time in which it goes on."""
        return float(self.stands[rows & self.workable].sum() / self.stands[rows].sum())

    def rows_in(self, months: tuple[int, ...]) -> NDArray[np.bool_]:
        """Return which rows begin in some months, from 0."""
        return np.isin(self.months, months)

    @cached_property
    def left(self) -> Array:
        """Return how long it goes on from the beginning of each row [s]."""
        stands = np.concatenate([self.stands, self.stands])
        total = np.concatenate([[0.0], np.cumsum(stands)])
        stops = np.where(np.concatenate([~self.workable, ~self.workable]))[0]
        if not len(stops):
            return np.full(len(self.time), np.inf)
        rows = np.arange(len(self.time))
        ends = stops[np.minimum(np.searchsorted(stops, rows), len(stops) - 1)]
        return np.asarray(total[ends] - total[rows])

    def waits(self, needed: float) -> Array:
        """Return how long the start of each row waits for a window of a length [s].

        Infinite where the series has no such window.
        """
        starts = np.flatnonzero(self.left >= max(needed, 1e-9))
        if not len(starts):
            return np.full(len(self.time), np.inf)
        total = np.concatenate([[0.0], np.cumsum(np.concatenate([self.stands, self.stands]))])
        twice = np.concatenate([starts, starts + len(self.time)])
        rows = np.arange(len(self.time))
        found = twice[np.searchsorted(twice, rows)]
        return np.asarray(total[found] - total[rows])

    @property
    def months(self) -> NDArray[np.int64]:
        """Return the month of each row, from 0."""
        day = np.remainder(self.time / 86400.0, _YEAR)
        return np.asarray(np.searchsorted(np.cumsum(_DAYS), day, side="right"), dtype=np.int64)

    def longest(self, workable: bool) -> float:
        """Return the longest run of rows in which the operation goes on, or does not [s]."""
        flags = self.workable == workable
        if flags.all():
            return float(self.stands.sum())
        first = int(np.flatnonzero(~flags)[0])  # the cycle is cut where no run goes on
        flags, stands = np.roll(flags, -first), np.roll(self.stands, -first)
        total, edges = np.cumsum(stands * flags), np.flatnonzero(~flags)
        return float(np.diff(np.append(total[edges], total[-1])).max(initial=0.0))


@kept(FEW)
def windows(table: ProfileTable, limits: WeatherLimits) -> Windows:
    """Return a series of weather judged against limits."""
    time = table.numbers["time"]
    step = np.diff(time)
    stands = np.append(step, np.median(step))
    good = table.numbers["significant_wave_height"] <= limits.significant_wave_height
    good &= table.numbers["wind_speed"] <= limits.wind_speed
    if "current_speed" in table.numbers:
        good &= table.numbers["current_speed"] <= limits.current_speed
    return Windows(time, stands, good)


@dataclass(frozen=True, eq=False)
class Scatter:
    """Shares of the time by wave height and peak period.

    Attributes
    ----------
    heights, periods : edges of the classes [m], [s]
    shares : (height class, period class); their sum is one
    """

    heights: Array
    periods: Array
    shares: Array

    def within(self, height: float) -> float:
        """Return the share of the time in which waves are no higher than a height [m].

        Even inside each class of wave heights.
        """
        met = np.append(0.0, np.cumsum(self.shares.sum(axis=1)))
        return float(np.interp(height, self.heights, met))


def scatter(table: ProfileTable, judged: Windows) -> Scatter:
    """Return how much of the time each class of wave height and peak period takes."""
    height, period = table.numbers["significant_wave_height"], table.numbers["peak_period"]
    heights = np.arange(0.0, np.floor(float(height.max())) + 2.0)
    periods = np.arange(0.0, 2.0 * np.floor(0.5 * float(period.max())) + 4.0, 2.0)
    weights = judged.stands / judged.stands.sum()
    shares, _, _ = np.histogram2d(height, period, bins=(heights, periods), weights=weights)
    return Scatter(heights, periods, np.asarray(shares))


@dataclass(frozen=True, eq=False)
class GivenScatter:
    """A scatter as the hole gives it: of the whole time, and month by month where it tells.

    Attributes
    ----------
    months : (month from 0, its scatter)
    """

    whole: Scatter
    months: tuple[tuple[int, Scatter], ...]

    def within(self, height: float, months: tuple[int, ...]) -> float:
        """Return the share of the time in some months in which waves are no higher.

        Of the whole time where the table tells of none of them apart.
        """
        there = [
            (_DAYS[month], one.within(height)) for month, one in self.months if month in months
        ]
        if not there:
            return self.whole.within(height)
        days, shares = np.array(there).T
        return float(days @ shares / days.sum())


@kept(FEW)
def given_scatter(table: ProfileTable) -> GivenScatter:
    """Return a table of classes as shares of the time; months count by their days."""
    numbers = table.numbers
    height, period = numbers["significant_wave_height"], numbers["peak_period"]
    counted = numbers["share_of_time" if "share_of_time" in numbers else "observations"]
    heights, periods = _edges(height), _edges(period)

    def shares(rows: NDArray[np.bool_]) -> Array:
        found, _, _ = np.histogram2d(
            height[rows], period[rows], bins=(heights, periods), weights=counted[rows]
        )
        return np.asarray(found / found.sum())

    if "month" not in numbers:
        every = np.ones(len(height), dtype=bool)
        return GivenScatter(Scatter(heights, periods, shares(every)), ())
    month = numbers["month"].astype(int) - 1
    there = np.unique(month)
    each = [shares(month == one) for one in there]
    days = _DAYS[there] / _DAYS[there].sum()
    whole = np.tensordot(days, np.array(each), axes=1)
    parts = (Scatter(heights, periods, one) for one in each)
    return GivenScatter(
        Scatter(heights, periods, whole), tuple(zip(there.tolist(), parts, strict=True))
    )


def _edges(middles: Array) -> Array:
    """Return the edges of classes that are given by their middles."""
    known = np.unique(middles)
    if len(known) == 1:
        return np.array([0.0, 2.0 * max(float(known[0]), 1e-6)])
    between = 0.5 * (known[1:] + known[:-1])
    first = max(float(known[0] - (between[0] - known[0])), 0.0)
    return np.concatenate([[first], between, [2.0 * known[-1] - between[-1]]])
