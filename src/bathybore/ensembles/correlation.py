"""Normal scores of what is drawn together: correlated with each other, and down the hole.

Each quantity has scores of its own, independent of all others: one number a member, or a curve
whose correlation falls exponentially with distance. A quantity takes from those before it what
correlation asks, and the rest from its own. So at every node the scores have exactly the
correlations wanted; a curve that follows another follows it over the other's correlation length.
Numbers come first and curves by falling length: a number depends on no single depth.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from bathybore.base.arrays import Array
from bathybore.kernels.dependence import vertical_correlation
from bathybore.model.dependence import Correlation, score_correlations


def scores_together(
    group: Sequence[str],
    correlations: Sequence[Correlation],
    lengths: Mapping[str, float | None],
    depth: Array,
    generators: Mapping[str, np.random.Generator],
    count: int,
) -> dict[str, Array]:
    """Return the normal scores of a group.

    Parameters
    ----------
    lengths : [m] correlation length of each; None of what is one number
    depth : (node) [m]
    generators : one each, used for nothing else

    Returns
    -------
    scores : by name (member, 1) of numbers, (member, node) of curves
    """
    order = sorted(group, key=lambda name: -(lengths[name] or np.inf))
    mixing = np.linalg.cholesky(score_correlations(order, correlations))
    own: list[Array] = []
    scores: dict[str, Array] = {}
    for row, name in enumerate(order):
        length, generator = lengths[name], generators[name]
        if length is None:
            own.append(generator.standard_normal((count, 1)))
        else:
            own.append(down_the_hole(generator.standard_normal((count, depth.size)), depth, length))
        parts = [mixing[row, k] * own[k] for k in range(row + 1) if mixing[row, k] != 0.0]
        scores[name] = np.ascontiguousarray(sum(parts[1:], start=parts[0]))
    return scores


def down_the_hole(fresh: Array, depth: Array, length: float) -> Array:
    """Return curves (member, node) of unit variance from independent scores, the first as it is.

    Each node keeps of the one above what the correlation over their distance leaves, and takes
    the rest of its variance anew: exact for nodes at any distances.
    """
    kept = np.asarray(vertical_correlation(np.diff(depth), length))
    anew = np.sqrt((1.0 - kept) * (1.0 + kept))
    down = np.ascontiguousarray(fresh.T)  # node by node, each a row
    for node in range(1, depth.size):
        down[node] *= anew[node - 1]
        down[node] += kept[node - 1] * down[node - 1]
    return np.ascontiguousarray(down.T)
