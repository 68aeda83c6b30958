"""What an ensemble says: shares with their sampling error, quantiles, and what ended the holes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import ndtri

from bathybore.base.arrays import Array
from bathybore.ensembles.shapes import LIMITS, Flags, Frame, Indices, Limit, Outcome

LEVELS: Final = (0.1, 0.5, 0.9)
CONFIDENCE: Final = 0.95  # of the intervals beside shares
_Z: Final = float(ndtri(0.5 + 0.5 * CONFIDENCE))
_NAMED: Final = 3  # members named as examples of a cause


@dataclass(frozen=True)
class Share:
    """So many of so many members, and where the true share lies with 95 % confidence (Wilson)."""

    count: int
    of: int
    low: float
    high: float

    @property
    def share(self) -> float:
        return self.count / self.of if self.of else float("nan")


@dataclass(frozen=True)
class Spread:
    """Quantiles of a quantity over some members, SI; infinite where it is beyond what is known."""

    p10: float
    p50: float
    p90: float
    mean: float
    of: int


@dataclass(frozen=True)
class SectionOdds:
    """The chance that the hole comes to the planned bottom of a string [m below sea bed]."""

    name: str
    bottom: float
    share: Share


@dataclass(frozen=True)
class Cause:
    """Members that one limit ended.

    Attributes
    ----------
    depth : at which it ended them [m below sea bed]
    checks : of the ledger, with the number of members each ended, most first
    members : numbers of the first few
    """

    limit: Limit
    share: Share
    depth: Spread
    checks: tuple[tuple[str, int], ...]
    members: tuple[int, ...]


@dataclass(frozen=True)
class Bite:
    """Where a limit bites first when it is asked alone [m below sea bed].

    Attributes
    ----------
    share : of members in which it bites above the target
    """

    limit: Limit
    depth: Spread
    share: Share


@dataclass(frozen=True, eq=False)
class Odds:
    """The odds of a hole.

    Attributes
    ----------
    count : members, those that could not be judged included
    unjudged : (member, why) of those
    strings : (number of strings set, members), of the members that reached the target
    spent : quantities over the members that reached the target
    spent_by_all : the same over all that were judged
    marks : depths [m below sea bed]; ``days`` (level, mark) [s] of the members that came there,
        ``there`` (mark) how many did
    """

    count: int
    unjudged: tuple[tuple[int, str], ...]
    reached: Share
    sections: tuple[SectionOdds, ...]
    strings: tuple[tuple[int, int], ...]
    causes: tuple[Cause, ...]
    bites: tuple[Bite, ...]
    spent: dict[str, Spread]
    spent_by_all: dict[str, Spread]
    marks: Array
    days: Array
    there: Array


SPENT: Final = ("days", "waiting", "cost", "mud", "barite", "cement", "steel")


def share_of(flags: Flags) -> Share:
    """Return how many flags stand, with the interval that their number allows.

    Wilson's: the shares p from which the one found, count / of, is no further than z standard
    errors sqrt(p (1 - p) / of). Written out here: to load scipy.stats takes a second.
    """
    count, of = int(np.count_nonzero(flags)), len(flags)
    if of == 0:
        return Share(0, 0, 0.0, 1.0)
    share, both = count / of, 2.0 * (of + _Z**2)
    middle = (2.0 * of * share + _Z**2) / both
    half = _Z / both * math.sqrt(4.0 * of * share * (1.0 - share) + _Z**2)
    low = 0.0 if count == 0 else middle - half
    return Share(count, of, low, 1.0 if count == of else middle + half)


def spread_of(values: Array) -> Spread:
    """Return the quantiles of values, none of them between two members."""
    if not len(values):
        nothing = float("nan")
        return Spread(nothing, nothing, nothing, nothing, 0)
    p10, p50, p90 = np.quantile(values, LEVELS, method="inverted_cdf")
    return Spread(float(p10), float(p50), float(p90), float(np.mean(values)), len(values))


def odds_of(frame: Frame, outcome: Outcome, marks: Array, checks: Sequence[str] = ()) -> Odds:
    """Return the odds from what became of the members.

    Parameters
    ----------
    marks : depths of ``outcome.day_at`` [m below sea bed]
    checks : names behind ``outcome.asked_first``
    """
    members = outcome.first + np.arange(len(outcome.depth))
    judged = ~np.isin(members, list(outcome.unjudged))
    reached = outcome.reached & judged
    target = float(frame.depth[frame.target])
    return Odds(
        count=len(members),
        unjudged=tuple(sorted(outcome.unjudged.items())),
        reached=share_of(reached[judged]),
        sections=tuple(
            SectionOdds(one.name, one.bottom, share_of(outcome.depth[judged] >= one.bottom - 1e-3))
            for one in frame.planned
        ),
        strings=_counted(outcome.strings[reached]),
        causes=tuple(_causes(outcome, judged, members, checks)),
        bites=tuple(_bite(limit, outcome.bites[judged, at], target) for at, limit in _asked()),
        spent={name: spread_of(getattr(outcome, name)[reached]) for name in SPENT},
        spent_by_all={name: spread_of(getattr(outcome, name)[judged]) for name in SPENT},
        marks=marks,
        days=_days(outcome.day_at[judged]),
        there=np.sum(np.isfinite(outcome.day_at[judged]), axis=0),
    )


def _asked() -> list[tuple[int, Limit]]:
    return list(enumerate(LIMITS))


def _counted(numbers: Indices) -> tuple[tuple[int, int], ...]:
    values, counts = np.unique(numbers, return_counts=True)
    return tuple((int(v), int(c)) for v, c in zip(values, counts, strict=True))


def _causes(
    outcome: Outcome, judged: Flags, members: Indices, checks: Sequence[str]
) -> list[Cause]:
    causes = []
    for at, limit in _asked():
        ended = judged & (outcome.ends_by == at)
        if not ended.any():
            continue
        numbers, counts = np.unique(outcome.asked_first[ended, at], return_counts=True)
        named = [
            (checks[n], int(c))
            for n, c in zip(numbers, counts, strict=True)
            if 0 <= n < len(checks)
        ]
        causes.append(
            Cause(
                limit=limit,
                share=share_of(ended[judged]),
                depth=spread_of(outcome.depth[ended]),
                checks=tuple(sorted(named, key=lambda one: -one[1])),
                members=tuple(int(m) for m in members[ended][:_NAMED]),
            )
        )
    return sorted(causes, key=lambda one: -one.share.count)


def _bite(limit: Limit, depth: Array, target: float) -> Bite:
    return Bite(limit, spread_of(depth), share_of(depth < target - 1e-3))


def _days(day_at: Array) -> Array:
    """Return quantiles of the time at which members came to each mark, of those that came."""
    found = np.full((len(LEVELS), day_at.shape[1]), np.nan)
    for mark in range(day_at.shape[1]):
        there = day_at[np.isfinite(day_at[:, mark]), mark]
        if len(there):
            found[:, mark] = np.quantile(there, LEVELS, method="inverted_cdf")
    return found
