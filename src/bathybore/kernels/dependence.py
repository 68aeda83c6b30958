"""How uncertain quantities hang together: rank correlation, and correlation down a hole."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

BETWEEN: Final = Limit(-1.0, 1.0, "a correlation")


@published(
    formula="r_s = 2 sin(pi/6 rho_s)",
    source="pearson-1907",
    where="rank correlation of two normal variates, from memory",
    valid={"rank_correlation": BETWEEN},
    example={"rank_correlation": "0.6"},
    caution="Exact for normal scores: whatever distributions the quantities have themselves.",
)
def correlation_of_normal_scores(rank_correlation: Real) -> Real:
    """Correlation of two normal scores whose ranks are correlated as wanted.

    Quantities are drawn as normal scores and taken to their own distributions by functions
    that only rise, which leave ranks as they are: so the ranks of the quantities are
    correlated as those of the scores.

    Parameters
    ----------
    rank_correlation : [-]
        Spearman's correlation of ranks.

    Returns
    -------
    normal_score_correlation : [-]
        Product-moment correlation of the normal scores.
    """
    return 2.0 * np.sin(np.pi / 6.0 * np.asarray(rank_correlation, dtype=float))


@published(
    formula="R_z = exp(-(Delta z) / lambda_z)",
    source="vanmarcke-1983",
    where="first-order autoregressive (Markov) correlation function, from memory",
    valid={
        "depth_difference": Limit(0.0, 1.5e4, "two depths of one hole"),
        "correlation_length": Limit(1.0, 1e6, "beds to basins"),
    },
    example={"depth_difference": "200 m", "correlation_length": "800 m"},
    caution="A curve drawn so is rough from node to node; between the nodes it is taken linearly.",
)
def vertical_correlation(depth_difference: Real, correlation_length: Real) -> Real:
    """Correlation of what is uncertain at two depths of one hole.

    It has no memory but the depth before: so a curve is drawn from the top down, whatever
    the distances of its nodes.

    Parameters
    ----------
    depth_difference : [m]
        Between the two depths.
    correlation_length : [m]
        Over which the correlation falls to 1/e.

    Returns
    -------
    vertical_correlation : [-]
        Product-moment correlation of the normal scores.
    """
    return np.exp(-np.asarray(depth_difference, dtype=float) / correlation_length)
