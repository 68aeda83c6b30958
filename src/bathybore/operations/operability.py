"""How much of the time the weather lets the operation go on, and how long it makes it wait.

A series is taken as a cycle: after its last row it begins again, so that a wait near its end
has an end; a gap in it ends what goes on before it (`weather_series`). A scatter of sea states
tells shares of the time and nothing of how long a sea state lasts.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.model.tables import ProfileTable
from bathybore.operations.weather_series import DAY, YEAR, Series, series_of

_DAYS: Final = np.array([31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0])


@dataclass(frozen=True)
class WeatherLimits:
    """Weather up to which the operation goes on: wave height [m], wind and current [m/s]."""

    significant_wave_height: float
    wind_speed: float
    current_speed: float = np.inf


@dataclass(frozen=True, eq=False)
class Waits:
    """How long a start waits, begun at any time of each row of a series.

    Attributes
    ----------
    at_once : from the beginning of each row, as long as it waits for nothing [s]
    later : for the rest of the row [s]
    wait : at the beginning of the rest, from where it falls second by second [s]; infinite
        where its weather never comes
    """

    at_once: Array
    later: Array
    wait: Array

    def of(self, rows: NDArray[np.bool_]) -> Waits:
        """Return those of some rows."""
        return Waits(self.at_once[rows], self.later[rows], self.wait[rows])

    @property
    def time(self) -> float:
        """How long the rows stand in all [s]."""
        return float(self.at_once.sum() + self.later.sum())

    @property
    def none(self) -> float:
        """Share of the time at which it begins at once."""
        return float(self.at_once.sum()) / self.time

    @property
    def mean(self) -> float:
        """Mean over the time [s]."""
        waited = self.later > 0.0
        later, wait = self.later[waited], self.wait[waited]
        return float((later * (wait - 0.5 * later)).sum()) / self.time

    def within(self, share: float) -> float:
        """Return the wait that is not exceeded in a share of the time [s]."""
        waited = self.later > 0.0
        later, wait = self.later[waited], self.wait[waited]
        wanted = share * self.time - float(self.at_once.sum())
        if wanted <= 0.0:
            return 0.0
        known = np.isfinite(wait)
        if wanted > later[known].sum() * (1.0 + 1e-12):
            return np.inf
        # time at which the wait is no longer than each of its corners, which is linear between
        corners = np.unique(np.concatenate([wait[known] - later[known], wait[known]]))
        begun = np.concatenate([wait[known] - later[known], wait[known]])
        order = np.argsort(begun, kind="stable")
        slope = np.append(np.ones(known.sum()), -np.ones(known.sum()))[order]
        rate = np.cumsum(slope)[np.searchsorted(begun[order], corners[:-1], side="right") - 1]
        reached = np.append(0.0, np.cumsum(rate * np.diff(corners)))
        at = int(np.clip(np.searchsorted(reached, wanted), 1, len(corners) - 1))
        rest = (wanted - reached[at - 1]) / rate[at - 1]
        return float(min(corners[at - 1] + rest, corners[at]))


@dataclass(frozen=True, eq=False)
class Windows(Series):
    """A series judged against limits.

    Attributes
    ----------
    workable : whether the operation goes on in each row
    """

    workable: NDArray[np.bool_] = field(kw_only=True)

    @property
    def in_whole_years(self) -> Windows:
        cut = super().in_whole_years
        return Windows(cut.time, cut.stands, cut.gaps, workable=self.workable[: self.rows])

    @property
    def share(self) -> float:
        """Share of the known time in which the operation goes on."""
        return float(self.stands[self.workable].sum() / self.known)

    def within(self, rows: NDArray[np.bool_]) -> float:
        """Return the share of some rows' time in which it goes on."""
        return float(self.stands[rows & self.workable].sum() / self.stands[rows].sum())

    def lacks(self, months: tuple[int, ...]) -> tuple[int, ...]:
        """Return in which of some months, from 0, no row begins."""
        there = set(self.months.tolist())
        return tuple(month for month in months if month not in there)

    def rows_in(self, months: tuple[int, ...]) -> NDArray[np.bool_]:
        """Return which rows begin in some months, from 0."""
        return np.isin(self.months, months)

    @cached_property
    def left(self) -> Array:
        """Return how long it goes on from the beginning of each row [s]."""
        count = len(self.time)
        last = ~self.joined | ~np.roll(self.workable, -1)  # what goes on in a row ends with it
        stops = np.flatnonzero(np.concatenate([last, last]))
        if not len(stops):
            return np.full(count, np.inf)
        total = np.append(0.0, np.cumsum(np.concatenate([self.stands, self.stands])))
        rows = np.arange(count)
        ends = stops[np.searchsorted(stops, rows)] + 1
        return np.where(self.workable, total[ends] - total[rows], 0.0)

    def waits(self, needed: float) -> Array:
        """Return how long the start of each row waits for a window of a length [s].

        By the clock of the known weather; infinite where the series has no such window.
        """
        return self._next(needed, np.arange(len(self.time)))

    def _next(self, needed: float, rows: NDArray[np.intp]) -> Array:
        """Return how long it is from a row's beginning to the first row, from others on."""
        starts = np.flatnonzero(self.left >= max(needed, 1e-9))
        if not len(starts):
            return np.full(len(self.time), np.inf)
        stands = np.concatenate([self.stands] * 3)
        total = np.append(0.0, np.cumsum(stands))
        later = np.concatenate([starts, starts + len(self.time), starts + 2 * len(self.time)])
        found = later[np.searchsorted(later, rows)]
        return np.asarray(total[found] - total[: len(self.time)])

    def any_time(self, needed: float) -> Waits:
        """Return how long a start waits for a window of a length, at any time of each row [s]."""
        needed = max(needed, 1e-9)
        at_once = np.clip(self.left - needed, 0.0, self.stands)
        at_once = np.where(self.left >= needed, at_once, 0.0)
        later = self.stands - at_once
        # a row that begins a window and does not last waits for the next window there is
        wait = self._next(needed, np.arange(len(self.time)) + (self.left >= needed))
        return Waits(at_once, later, np.where(later > 0.0, wait - at_once, 0.0))

    @property
    def months(self) -> NDArray[np.int64]:
        """Return the month of each row, from 0."""
        day = np.remainder(self.time, YEAR) / DAY
        return np.asarray(np.searchsorted(np.cumsum(_DAYS), day, side="right"), dtype=np.int64)

    def longest(self, workable: bool) -> float:
        """Return the longest run of rows in which the operation goes on, or does not [s]."""
        flags = self.workable == workable
        begins = ~np.roll(self.joined, 1) | (flags != np.roll(flags, 1))
        if not begins.any():
            return self.known if flags.all() else 0.0
        first = int(np.flatnonzero(begins)[0])  # the cycle is cut where a run begins
        run = np.cumsum(np.roll(begins, -first)) - 1
        return float(np.bincount(run, weights=np.roll(self.stands * flags, -first)).max())


@kept(FEW)
def windows(table: ProfileTable, limits: WeatherLimits) -> Windows:
    """Return a series of weather judged against limits."""
    series = series_of(table)
    good = table.numbers["significant_wave_height"] <= limits.significant_wave_height
    good &= table.numbers["wind_speed"] <= limits.wind_speed
    if "current_speed" in table.numbers:
        good &= table.numbers["current_speed"] <= limits.current_speed
    return Windows(series.time, series.stands, series.gaps, workable=good)


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


def scatter(table: ProfileTable, judged: Windows | Series) -> Scatter:
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

    def lacks(self, months: tuple[int, ...]) -> tuple[int, ...]:
        """Return which of some months it does not tell of; none where it tells of no month."""
        there = {month for month, _ in self.months}
        return tuple(month for month in months if there and month not in there)

    def within(self, height: float, months: tuple[int, ...]) -> float:
        """Return the share of the time in some months in which waves are no higher.

        Of the whole time where it tells of no month. A month that it lacks has no share: see
        `lacks`.
        """
        if not self.months:
            return self.whole.within(height)
        each = dict(self.months)
        there = [(_DAYS[month], each[month].within(height)) for month in months]
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
