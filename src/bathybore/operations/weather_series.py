"""A series of weather in time: how long its rows stand, where nothing is known, where it ends.

A row stands until the next one. Where the next is more than a few usual steps away it stands
for a usual step, and then nothing is known: a gap neither stands for anything nor joins what
lies on its two sides. So a series of one season over several years is what it says. The clock
of the known weather stands still over a gap.

The series is a cycle: after its last row it begins again. Where it holds whole years, or can be
cut to them, the last row joins the first, and the season goes on. Else there is a gap between
them too.
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

GAP: Final = 3.0  # usual steps in time; a longer step is a gap
DAY: Final = 86400.0  # s
YEAR: Final = 365.25 * DAY
_SHORT_YEAR: Final = 365.0 * DAY  # of calendars without leap days, and of one year out of four


def _all_joined() -> NDArray[np.intp]:
    return np.zeros(0, dtype=np.intp)


@dataclass(frozen=True, eq=False)
class Series:
    """The rows of a series in time.

    Attributes
    ----------
    time : at which each row begins, from the first of January [s]
    stands : how long each row stands [s]
    gaps : rows after which there is a gap; the last one stands there where the first does not
        follow it
    """

    time: Array
    stands: Array
    gaps: NDArray[np.intp] = field(default_factory=_all_joined)

    @cached_property
    def known(self) -> float:
        """How long something is known [s]."""
        return float(self.stands.sum())

    @cached_property
    def joined(self) -> NDArray[np.bool_]:
        """Whether the next row follows each; the first follows the last."""
        return ~np.isin(np.arange(len(self.time)), self.gaps)

    @cached_property
    def span(self) -> float:
        """From the first row's beginning to the last one's end, gaps counted [s]."""
        return float(self.time[-1] - self.time[0] + self.stands[-1])

    @cached_property
    def years(self) -> int:
        """How many whole years it holds; a gap at the end of the last does not make it less."""
        return int((self.span + GAP * float(np.median(self.stands))) / _SHORT_YEAR)

    @cached_property
    def whole(self) -> bool:
        """Whether it ends where a year of it does, so that its last row joins its first."""
        slack = GAP * float(np.median(self.stands))
        return self.years > 0 and self.span <= self.years * YEAR + DAY + slack

    @cached_property
    def rows(self) -> int:
        """How many rows, from the first on, are cut to whole years.

        All, where they are whole years, or are less than one, or where nothing is known on
        both sides of the cut: then the season that comes after it is one more.
        """
        if self.whole or self.years == 0:
            return len(self.time)
        end = self.time[0] + self.years * YEAR - 0.5 * self.stands[-1]
        cut = int(np.searchsorted(self.time, end))
        return cut if self.joined[cut - 1] else len(self.time)

    @cached_property
    def in_whole_years(self) -> Series:
        """Return it cut to `rows`; the last of them joins the first if they are not all."""
        rows = self.rows
        if rows == len(self.time):
            return self
        return Series(self.time[:rows], self.stands[:rows], self.gaps[self.gaps < rows])

    # ---- the calendar and the clock of the known weather ----------------------------------

    @cached_property
    def cycle(self) -> float:
        """After how long the calendar of the series begins again [s]."""
        return self.span if self.joined[-1] else float(np.ceil(self.span / YEAR)) * YEAR

    def each_turn(self, time: float) -> Array:
        """Return a time of the calendar in each year of the cycle, known or not [s]."""
        years = max(round(self.cycle / YEAR), 1)
        return np.asarray(time + np.arange(years) * self.cycle / years)

    @cached_property
    def _clock(self) -> Array:
        """The clock at the beginning of each row."""
        return np.append(0.0, np.cumsum(self.stands[:-1]))

    def clock(self, time: Array) -> Array:
        """Return the clock of the known weather, which begins with the first row's time [s].

        Parameters
        ----------
        time : by the calendar, from the first of January, before and after the series too [s]

        Returns
        -------
        As if the series went on for ever; in a gap that of its end.
        """
        turns, phase = np.divmod(time - self.time[0], self.cycle)
        row = np.searchsorted(self.time - self.time[0], phase, side="right") - 1
        into = np.minimum(phase - (self.time[row] - self.time[0]), self.stands[row])
        return np.asarray(self.time[0] + turns * self.known + self._clock[row] + into)

    def calendar(self, clock: Array) -> Array:
        """Return the time by the calendar at which the clock shows something [s]."""
        turns, shown = np.divmod(clock - self.time[0], self.known)
        row = np.searchsorted(self._clock, shown, side="right") - 1
        return np.asarray(turns * self.cycle + self.time[row] + shown - self._clock[row])

    def known_in(self, earliest: Array, latest: Array) -> Array:
        """Return how long something is known between times of the calendar [s]."""
        return self.clock(latest) - self.clock(earliest)


@kept(FEW)
def series_of(table: ProfileTable) -> Series:
    """Return a table of weather as a series in time."""
    time = table.numbers["time"]
    steps = np.diff(time)
    usual = float(np.median(steps))
    stands = np.append(np.where(steps > GAP * usual, usual, steps), usual)
    gaps = np.flatnonzero(steps > GAP * usual)
    whole = Series(time, stands, gaps)
    if not whole.whole:
        whole = Series(time, stands, np.append(gaps, len(time) - 1))
    return whole
