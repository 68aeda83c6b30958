"""A slender beam under its own tension that leans far: equilibrium in its bent place.

Over depth the balance of an element in its bent place is that of the beam of small angles with
other numbers: with the slope ``s = dy/dz``

    (B_s / (1 + s^2)^(3/2) y'')'' - (V y')' = q / (1 + s^2),
    dV/dz = -w (1 + s^2)^(1/2) + q s / (1 + s^2)

where ``V`` is the upright part of what pulls, ``w`` the weight along the beam and ``q`` the push
of the flow on an upright beam; the flow pushes square to the beam by the square of its part
square to it. So the small-angle beam is solved again and again with the slopes found before,
until they settle. Nothing is left out but stretch: with no stiffness it is the catenary.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan, inf, isinf
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.kernels.tensioned_beam import BeamShape, Ends, bent_beam

_SETTLED: Final = 1e-8  # of a slope
# of a slope that comes no nearer: short stiff elements round it by some 1e-8 to 1e-7, each
# processor in its own way
_ROUNDED: Final = 1e-6
_MOST_ROUNDS: Final = 80
_FREE_ROUNDS: Final = 8  # after which each goes half the way: what leans far swings to and fro


def leaning_beam(
    depth: Array,
    bending_stiffness: float,
    pull: float,
    weight: Real,
    push: Array,
    ends: Ends,
    what: str,
) -> BeamShape:
    """Return the shape of the beam under a flow across it, however far it leans.

    Parameters
    ----------
    depth : [m] of the nodes, growing
    bending_stiffness : [N m2]
    pull : [N] upright at the top
    weight : [N/m] effective, along the beam
    push : [N/m] of the flow on the elements, were they upright
    ends : one realisation of them

    Raises
    ------
    NotConverged
        The beam is pressed so much that it buckles, the forces do not balance, or the shape
        does not settle.
    """
    length = np.diff(depth)
    slope, node_slope, moved = np.zeros_like(length), np.zeros_like(depth), inf
    for count in range(_MOST_ROUNDS):
        lean = 1.0 + slope**2
        down = (weight * np.sqrt(lean) - push * slope / lean) * length
        upright = pull - np.cumsum(down) + 0.5 * down
        shape = bent_beam(
            depth,
            bending_stiffness / lean**1.5,
            upright,
            push / lean,
            _turned(ends, node_slope),
            what,
        )
        before, moved_before = node_slope, moved
        node_slope = shape.rotation
        moved = float(np.abs(node_slope - before).max())
        if moved <= _SETTLED or moved_before <= moved <= _ROUNDED:
            bent = shape.curvature / lean[..., None] ** 1.5
            return BeamShape(
                shape.displacement, np.arctan(node_slope), bent, max(shape.residual, moved)
            )
        found = _middle_slope(shape, length)
        slope = found if count < _FREE_ROUNDS else 0.5 * (slope + found)
    raise NotConverged(f"{what}: its shape does not settle")


def _middle_slope(shape: BeamShape, length: Array) -> Array:
    """Return the slopes in the middle of the elements."""
    step, turned = np.diff(shape.displacement), shape.rotation[:-1] + shape.rotation[1:]
    return np.asarray(1.5 * step / length - 0.25 * turned)


def _turned(ends: Ends, slope: Array) -> Ends:
    """Return the ends with springs that give their moments by the angle, not by the slope."""

    def by_angle(spring: float, one: float) -> float:
        return spring if isinf(spring) or one == 0.0 else spring * atan(one) / one

    return replace(
        ends,
        top_turning=by_angle(ends.top_turning, float(slope[0])),
        foot_turning=by_angle(ends.foot_turning, float(slope[-1])),
    )
