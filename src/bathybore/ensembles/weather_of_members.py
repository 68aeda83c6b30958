"""When many holes at once get on with a step: the calm of a series of weather, and waiting for it.

The series is that of `operations.weather_series`, cut to whole years. Times are by its clock, which
stands still over a gap: a hole that is not done when the known weather ends meets the next that
is known. Work goes on in workable rows only; what is done at one go waits for a stretch of them
that is long enough, and no stretch runs over a gap.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, SOME, kept
from bathybore.ensembles.shapes import Indices
from bathybore.model.hole import Hole
from bathybore.operations.operability import Windows, windows
from bathybore.operations.steps import StepKind
from bathybore.operations.weather_limits import OPERATION_OF, limits_of
from bathybore.operations.weather_series import series_of


@dataclass(frozen=True, eq=False)
class Calm:
    """The stretches of a cycle in which an operation goes on; none runs over the cycle's end.

    Attributes
    ----------
    origin : by the clock, at which the cycle is cut [s]
    cycle : known time of the series [s]
    begins, lengths : (stretch) from the cut [s]
    always : there is one stretch without an end
    """

    origin: float
    cycle: float
    begins: Array
    lengths: Array
    always: bool = False

    @cached_property
    def share(self) -> float:
        """Share of the time in which the operation goes on."""
        return float(self.lengths.sum()) / self.cycle

    @cached_property
    def _worked(self) -> Array:
        """Workable time of the cycle up to the end of each stretch."""
        return np.cumsum(self.lengths)

    @cached_property
    def _longest(self) -> tuple[Array, ...]:
        """Longest of 1, 2, 4 ... stretches that follow one another, from each of two cycles."""
        rows = [np.concatenate([self.lengths, self.lengths])]
        while len(rows[-1]) > 1 << len(rows) - 1:
            last, step = rows[-1], 1 << len(rows) - 1
            rows.append(np.maximum(last[:-step], last[step:]))
        return tuple(rows)

    def _phase(self, time: Array) -> Array:
        return np.remainder(time - self.origin, self.cycle)

    def _stretch(self, phase: Array) -> Indices:
        """Return the last stretch that has begun; -1 before the first."""
        return np.searchsorted(self.begins, phase, side="right") - 1

    def done(self, time: Array, work: Array) -> Array:
        """Return when work begun at a time is done, stopping while the weather does not allow it.

        Parameters
        ----------
        time : (member) by the clock of the known weather [s]
        work : (member) time it takes in workable weather [s]

        Returns
        -------
        (member) [s]; infinite where the weather never allows it.
        """
        if not len(self.lengths):
            return np.where(work > 0.0, np.inf, time)
        known = np.isfinite(time) & np.isfinite(work)
        begun = np.where(known, time, self.origin)
        phase = self._phase(begun)
        last = self._stretch(phase)
        at = np.maximum(last, 0)
        inside = np.minimum(phase - self.begins[at], self.lengths[at])
        before = np.where(last < 0, 0.0, self._worked[at] - self.lengths[at] + inside)
        wanted, whole = before + np.where(known, work, 0.0), float(self._worked[-1])
        laps = np.maximum(np.ceil(wanted / whole) - 1.0, 0.0)
        rest = wanted - laps * whole
        into = np.minimum(np.searchsorted(self._worked, rest), len(self.lengths) - 1)
        ends = self.begins[into] + rest - (self._worked[into] - self.lengths[into])
        done = np.maximum(begun - phase + laps * self.cycle + ends, begun + work)
        return np.where(known, np.where(work > 0.0, done, time), np.inf)

    def wait(self, time: Array, needed: Array) -> Array:
        """Return how long the start waits for a stretch of a length [s]; infinite: there is none.

        Parameters
        ----------
        time : (member) by the clock of the known weather [s]
        needed : (member) [s]
        """
        if self.always:
            return np.zeros(np.shape(time))
        if not len(self.lengths):
            return np.full(np.shape(time), np.inf)
        known = np.isfinite(time)
        phase, needed = self._phase(np.where(known, time, 0.0)), np.maximum(needed, 1e-9)
        last, count = self._stretch(phase), len(self.lengths)
        at = np.maximum(last, 0)
        left = np.where(last < 0, 0.0, self.begins[at] + self.lengths[at] - phase)
        found = last + 1
        for power in range(len(self._longest) - 1, -1, -1):
            row = self._longest[power]
            short = row[np.minimum(found, len(row) - 1)] < needed
            found = np.where((found < len(row)) & short, found + (1 << power), found)
        start = self.begins[found % count] + self.cycle * (found // count)
        later = np.where(found < 2 * count, start - phase, np.inf)
        return np.where(known, np.where(left >= needed, 0.0, later), np.inf)


@kept(FEW)
def calm_of(judged: Windows) -> Calm:
    """Return the stretches of a judged series in which the operation goes on."""
    stands, workable = judged.stands, judged.workable
    cycle, first = float(stands.sum()), float(judged.time[0])
    begins_anew = ~np.roll(workable & judged.joined, 1)  # work does not go on into these rows
    cuts = np.flatnonzero(begins_anew | ~workable)
    if not len(cuts):
        return Calm(first, cycle, np.zeros(1), np.full(1, cycle), always=True)
    cut = int(cuts[0])
    stands, workable = np.roll(stands, -cut), np.roll(workable, -cut)
    starts = np.flatnonzero(workable & np.roll(begins_anew, -cut))
    ends = np.cumsum(stands)
    stretch = np.cumsum(np.roll(begins_anew, -cut)[workable]) - 1
    lengths = np.bincount(stretch, weights=stands[workable], minlength=len(starts))
    return Calm(
        origin=first + float(judged.stands[:cut].sum()),
        cycle=cycle,
        begins=(ends - stands)[starts],
        lengths=lengths.astype(float),
    )


@kept(SOME)
def calm_for(hole: Hole, kind: StepKind) -> Calm | None:
    """Return when a step of a kind can be worked on at a hole; None where no series is given."""
    if hole.weather is None:
        return None
    limits = limits_of(hole.setting, OPERATION_OF[kind]).numbers
    return calm_of(windows(hole.weather, limits).in_whole_years)


def weather_clock(hole: Hole, time: Array) -> Array:
    """Return what the clock of the known weather shows at times of the calendar (member) [s]."""
    return time if hole.weather is None else series_of(hole.weather).in_whole_years.clock(time)
