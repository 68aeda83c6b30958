"""Which uncertainty matters: shares of the variance of an answer, by the group that brings it in.

Two independent sets of members, A and B, and for every group a third one: A with the group's
numbers taken from B. First-order index: what would be gone from the variance if the group
were known (Saltelli et al. 2010, eq. b). Total index: what would be left if all others
were known (Jansen 1999). Groups are drawn independently of one another, what is correlated
being one group, so that first-order indices add up to one where nothing interacts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.ensembles.means import mean_between

SOURCE: Final = "saltelli-2010"


@dataclass(frozen=True)
class Index:
    """A share of the variance, with the 95 % interval of its standard error."""

    share: float
    low: float
    high: float


@dataclass(frozen=True)
class Sensitivity:
    """How one group bears on one answer."""

    group: str
    first: Index
    total: Index


def sensitivities(a: Array, b: Array, swapped: Mapping[str, Array]) -> tuple[Sensitivity, ...]:
    """Return the indices of every group, largest total first.

    Parameters
    ----------
    a, b : (member) answers of two independent sets of members
    swapped : (member) answers of A with one group from B, by group

    Raises
    ------
    ValueError
        The answers are all the same: there is no variance to share.
    """
    both = np.concatenate([a, b])
    variance = float(np.var(both))
    if variance <= 0.0:
        raise ValueError("all members give the same answer: no variance to share")
    middle = float(both.mean())
    found = [
        Sensitivity(
            group,
            # the mean of all is taken off f(B): the expectation is the same, the scatter less
            first=Index(*mean_between((b - middle) * (ab - a) / variance)),
            total=Index(*mean_between(0.5 * (a - ab) ** 2 / variance)),
        )
        for group, ab in swapped.items()
    ]
    return tuple(sorted(found, key=lambda one: -one.total.share))
