"""Which uncertain quantities are drawn together, and whether their correlations can all hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bathybore.base.arrays import Array
from bathybore.kernels.dependence import correlation_of_normal_scores


@dataclass(frozen=True)
class Correlation:
    """Wanted correlation of the ranks of two quantities [-]."""

    first: str
    second: str
    rank: float


def groups_of(
    names: Sequence[str], correlations: Sequence[Correlation]
) -> tuple[tuple[str, ...], ...]:
    """Return names in groups that no correlation leaves, in the order of their first names."""
    group = {name: {name} for name in names}
    for one in correlations:
        if one.rank != 0.0 and group[one.first] is not group[one.second]:
            together = group[one.first] | group[one.second]
            group |= dict.fromkeys(together, together)
    ordered: dict[int, tuple[str, ...]] = {}
    for name in names:
        ordered.setdefault(id(group[name]), tuple(n for n in names if n in group[name]))
    return tuple(ordered.values())


def score_correlations(names: Sequence[str], correlations: Sequence[Correlation]) -> Array:
    """Return the correlations (name, name) of the normal scores of a group."""
    matrix = np.eye(len(names))
    place = {name: n for n, name in enumerate(names)}
    for one in correlations:
        if one.first in place and one.second in place:
            score = float(correlation_of_normal_scores(one.rank))
            first, second = place[one.first], place[one.second]
            matrix[first, second] = matrix[second, first] = score
    return matrix


def can_hold(matrix: Array) -> bool:
    """Return whether quantities can have these correlations at once (positive definite)."""
    return bool(np.linalg.eigvalsh(matrix)[0] > 1e-9)
