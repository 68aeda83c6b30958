"""Where stores, weather and days would bite if nothing else ended the holes."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.ensembles.shapes import Drawn, Frame, Made
from bathybore.ensembles.spending import Spent, spent

_BELOW: Final = 1e-3  # m: what has not bitten down to a hole's end bites below it at the earliest


@kept(FEW)
def made_as_planned(frame: Frame) -> Made:
    """Return the plan as one member makes it: its strings at their depths, in its own muds."""
    plan = frame.hole.plan
    density, string = np.zeros(len(frame.depth)), np.zeros(len(frame.depth), dtype=np.intp)
    top = -np.inf
    for index, one in enumerate(frame.strings):
        if one.spare:
            continue
        fluid = plan.conductor.fluid if one.section < 0 else plan.sections[one.section].fluid
        below = frame.depth > top + 1e-6
        density[below], string[below], top = plan.fluids[fluid].density, index, one.bottom
    return Made(
        shoes=np.array([[one.bottom for one in frame.strings]]),
        density=density[None, :],
        string=string[None, :],
        ends=np.full(1, np.inf),
        ends_by=np.full(1, -1, dtype=np.intp),
        alone=np.full((1, 3), np.inf),
    )


def with_bites_alone(frame: Frame, took: Spent, end: Array, drawn: Drawn) -> Spent:
    """Return what members spend, its bites told below their ends too.

    Down to its end a hole is asked as it was made. Below it, it is asked as the plan makes it:
    what would run out had nothing else ended it.

    Parameters
    ----------
    took : by holes that end at ``end`` (member) [m below sea bed]
    """
    target = float(frame.depth[frame.target])
    short = end < target - _BELOW
    if not short.any():
        return took
    one, count = made_as_planned(frame), drawn.count
    plan = replace(
        one,
        shoes=np.repeat(one.shoes, count, axis=0),
        density=np.repeat(one.density, count, axis=0),
        string=np.repeat(one.string, count, axis=0),
    )
    whole = spent(frame, plan, np.full(count, target), drawn)
    bites, asked = dict(took.bites), dict(took.asked)
    for limit, depth in took.bites.items():
        later = short & np.isinf(depth) & np.isfinite(whole.bites[limit])
        below = np.maximum(whole.bites[limit], end + _BELOW)
        bites[limit] = np.where(later, below, depth)
        asked[limit] = np.where(later, whole.asked[limit], asked[limit])
    return replace(took, bites=bites, asked=asked)
