"""Fewer nodes for a curve that looks the same: straight runs lose what lies along them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from bathybore.base.arrays import Array


def kept_nodes(
    z: Array, quantities: Sequence[tuple[Array, float]], also: Sequence[int] = ()
) -> list[int]:
    """Return the nodes to keep so that no quantity, drawn straight between them, is off.

    Parameters
    ----------
    z : increasing
    quantities : arrays over ``z``, each with how far a dropped node may lie from its line; an
        edge of what is known (not finite on one side) stays
    also : nodes to keep in any case

    Notes
    -----
    From each kept node a cone of slopes that pass every node so far within the tolerance is
    narrowed until the next node falls out of it; the one before is kept. A kink stays where
    it is, and one pass over the nodes is enough.
    """
    last = len(z) - 1
    ends = {0, last, *also}
    for values, _ in quantities:
        known = np.isfinite(values)
        edges = np.flatnonzero(known[1:] != known[:-1]).tolist()
        ends |= {*edges, *(edge + 1 for edge in edges)}
    stops = sorted(ends)
    places = z.tolist()
    columns = [(values.tolist(), off) for values, off in quantities]
    kept = stops[:1]
    for start, end in pairwise(stops):
        known_here = [(v, off) for v, off in columns if v[start] == v[start] and v[end] == v[end]]
        kept += _run(places, known_here, start, end)
    return kept


def _run(
    z: list[float], columns: list[tuple[list[float], float]], start: int, end: int
) -> list[int]:
    """Return the nodes after ``start`` to keep, ``end`` included."""
    kept: list[int] = []
    anchor = start
    while anchor < end:
        reached = (_reach(z, values, off, anchor, end) for values, off in columns)
        anchor = min(reached, default=end)
        kept.append(anchor)
    return kept


def _reach(z: list[float], values: list[float], off: float, anchor: int, end: int) -> int:
    """Return the last node that a straight line from ``anchor`` may lead to."""
    low, high = -np.inf, np.inf
    z0, v0 = z[anchor], values[anchor]
    for node in range(anchor + 1, end + 1):
        run, rise = z[node] - z0, values[node] - v0
        if not low * run <= rise <= high * run:
            return max(node - 1, anchor + 1)
        lowest, highest = (rise - off) / run, (rise + off) / run
        if lowest > low:  # twice as fast as max() and min(), in the innermost loop of a picture
            low = lowest
        if highest < high:
            high = highest
    return end
