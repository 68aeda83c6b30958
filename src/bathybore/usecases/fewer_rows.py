"""A given number of rows for a long table: those that bend its lines most are kept."""

from __future__ import annotations

import heapq
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bathybore.base.arrays import Array


def bending_rows(
    depths: Array, lines: Array, keep: Iterable[int], most: int
) -> tuple[NDArray[np.intp], Array]:
    """Return at most ``most`` rows, and how far each line is then off at worst.

    Of all rows left out, the one that lies farthest from the straight line between its kept
    neighbours, in shares of its column's range, is taken in next. Unlike a fixed tolerance this
    costs the same for smooth and for noisy lines.

    Parameters
    ----------
    depths : growing, one a row
    lines : (line, row), NaN where there is no value
    keep : rows that are kept whatever the lines do
    """
    kept = sorted({0, len(depths) - 1, *keep})
    bridged = np.array([_bridged(depths, line) for line in lines]).reshape(len(lines), len(depths))
    scaled = bridged / np.array([float(np.ptp(line)) or 1.0 for line in bridged])[:, None]
    waiting: list[tuple[float, int, int, int]] = []

    def look(start: int, stop: int) -> None:
        if stop - start > 1 and len(lines):
            off = _off(depths, scaled, start, stop)
            worst = int(np.argmax(off))
            heapq.heappush(waiting, (-float(off[worst]), start, start + 1 + worst, stop))

    for start, stop in pairwise(kept):
        look(start, stop)
    while waiting and len(kept) < most:
        _, start, middle, stop = heapq.heappop(waiting)
        kept.append(middle)
        look(start, middle)
        look(middle, stop)
    rows = np.array(sorted(kept), dtype=np.intp)
    off = [np.max(np.abs(x - np.interp(depths, depths[rows], x[rows]))) for x in bridged]
    return rows, np.array(off)


def _bridged(depths: Array, line: Array) -> Array:
    """Bridge missing values, so that they bend nothing."""
    given = np.isfinite(line)
    return np.interp(depths, depths[given], line[given]) if given.any() else np.zeros_like(depths)


def _off(depths: Array, scaled: Array, start: int, stop: int) -> Array:
    """Return how far each row between two kept ones lies from their straight line, at worst."""
    between = slice(start + 1, stop)
    share = (depths[between] - depths[start]) / (depths[stop] - depths[start])
    straight = scaled[:, [start]] + share * (scaled[:, [stop]] - scaled[:, [start]])
    off: Array = np.max(np.abs(scaled[:, between] - straight), axis=0)
    return off
