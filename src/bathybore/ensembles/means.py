"""The mean of one number a member, and how well so many members tell it."""

from __future__ import annotations

from typing import Final

from bathybore.base.arrays import Array

_TWO_SIDED: Final = 1.959963984540054  # standard deviations of a normal that hold 95 %


def mean_between(terms: Array) -> tuple[float, float, float]:
    """Return the mean of terms, one a member, and the ends of its 95 % interval (two or more)."""
    mean = float(terms.mean())
    half = _TWO_SIDED * float(terms.std(ddof=1)) / len(terms) ** 0.5
    return mean, mean - half, mean + half
