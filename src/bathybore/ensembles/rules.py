"""If the test of a shoe reads less than this, set the next string there: a table for the crew.

At every shoe the ensemble knows two things of each member: what a leak-off test would have
read there, and how deep the hole below it came before it closed. The rule is the reading
that tells best the holes that closed early from those that came to their planned bottom. It
is found on one half of the members and its hits are counted on the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.odds import Share, Spread, share_of, spread_of
from bathybore.ensembles.shapes import LIMITS, Flags, Frame, Limit, Outcome, Policy

_CLOSES = [LIMITS.index(one) for one in (Limit.WINDOW, Limit.CAVING, Limit.DIAMETER)]
_FEWEST = 20  # members on either side that a rule is made of


@dataclass(frozen=True)
class Rule:
    """What a reading at a shoe tells of the hole below it.

    Attributes
    ----------
    shoe : name of the string whose shoe is tested
    section : name of the string planned below it
    bottom : its bottom as the policy has it [m below sea bed]
    threshold : reading below which the section is taken to close early [kg/m3]; NaN where
        no reading tells it better than none
    early : of all members that came to the test, those whose section closed early; left out are
        those that another limit ended meanwhile
    early_below, early_above : the same among readings below and above the threshold
    closes : where the sections of readings below the threshold closed [m below sea bed]
    set_first : name of the string that members set there most often; empty where they set none
    """

    shoe: str
    section: str
    bottom: float
    threshold: float
    early: Share
    early_below: Share
    early_above: Share
    closes: Spread
    set_first: str


def rules(frame: Frame, policy: Policy, outcome: Outcome, readings: Array) -> tuple[Rule, ...]:
    """Return the rule of every shoe that is tested.

    Parameters
    ----------
    policy : that the members followed
    readings : (member, string) what a leak-off test at each member's shoes would read, its error
        included [kg/m3]; NaN where no test is made
    """
    kept = [at for at, one in enumerate(frame.strings) if not one.spare]
    return tuple(
        _rule(frame, outcome, readings[:, above], above, below, bottom)
        for (above, below), bottom in zip(pairwise(kept), policy.bottoms[1:], strict=True)
        if np.isfinite(readings[:, above]).any()
    )


def _rule(
    frame: Frame, outcome: Outcome, reading: Array, above: int, below: int, bottom: float
) -> Rule:
    first, depth = _first_below(outcome, above, below)
    ended = ~outcome.reached & (depth >= outcome.depth - 1e-3)
    # a hole that something else ended tells nothing of where its window would have closed
    tested = np.isfinite(reading) & (~ended | np.isin(outcome.ends_by, _CLOSES))
    first = np.where(ended, -1, first)
    early = tested & (depth < bottom - 1e-3)
    chosen = tested & (np.arange(len(reading)) % 2 == 0)
    counted = tested & ~chosen
    threshold = _threshold(reading[chosen], early[chosen])
    low = counted & (reading < threshold)
    closed = low & early
    named = [frame.strings[at].name for at in first[closed] if at >= 0]
    return Rule(
        shoe=frame.strings[above].name,
        section=frame.strings[below].name,
        bottom=bottom,
        threshold=threshold,
        early=share_of(early[tested]),
        early_below=share_of(early[low]),
        early_above=share_of(early[counted & ~low]),
        closes=spread_of(depth[closed]),
        set_first=max(sorted(set(named)), key=named.count) if named else "",
    )


def _first_below(outcome: Outcome, above: int, below: int) -> tuple[Array, Array]:
    """Return the first string set below a shoe, and the depth of the hole that it ends.

    Where none was set the hole ended there: -1, and the depth it came to.
    """
    shoes = outcome.shoes[:, above + 1 : below + 1]
    there = np.isfinite(shoes)
    first = np.argmax(there, axis=1)
    depth = np.where(there.any(axis=1), shoes[np.arange(len(shoes)), first], outcome.depth)
    return np.where(there.any(axis=1), above + 1 + first, -1), depth


def _threshold(reading: Array, early: Flags) -> float:
    """Return the reading below which most closed early and above which most did not.

    The one with the fewest members on the wrong side; NaN where it puts no more of them right
    than the same word for all, or where too few lie on one side.
    """
    order = np.argsort(reading, kind="stable")
    reading, early = reading[order], early[order]
    count, total = len(reading), int(early.sum())
    if count < 2 * _FEWEST:
        return float("nan")
    below = np.arange(1, count)  # so many lie below the split after each member
    hits = np.cumsum(early)[:-1]
    wrong = (below - hits) + (total - hits)
    allowed = (below >= _FEWEST) & (below <= count - _FEWEST) & (reading[1:] > reading[:-1])
    if not allowed.any():
        return float("nan")
    best = int(np.argmin(np.where(allowed, wrong, count + 1)))
    if wrong[best] >= min(total, count - total):
        return float("nan")
    return float(0.5 * (reading[best] + reading[best + 1]))
