"""A slender beam under its own tension across the water: one set of elements for shape and sway.

``(B_s y'')'' - (T_e y')' = q`` on Hermite elements with their geometric stiffness: with no
stiffness the cable, with no tension the beam. Angles are small: a slope stands for its angle.
Matrices are kept as LAPACK takes symmetric bands: their diagonals, the highest first.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import inf, isinf
from typing import Any, Final, TypeAlias

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.kernels.lateral_pile import beam_elements

Numbers: TypeAlias = npt.NDArray[Any]  # real in a shape, complex in a sway

BAND: Final = 3  # two unknowns a node: an element couples four in a row
_BALANCE: Final = 1e-6
_GROWTH: Final = 1.25  # of neighbouring elements away from an end
# sin and tan of an angle differ by 2 % there: beyond it a slope is no longer its angle
SMALL_ANGLE: Final = float(np.radians(10.0))


@dataclass(frozen=True)
class Ends:
    """What holds the two ends of the beam.

    Attributes
    ----------
    top, foot : [m] held at this displacement *(realisation)*; None where free
    top_turning, foot_turning : [N m/rad] against turning; none is a hinge, infinite held upright
    """

    top: Real | None = 0.0
    foot: Real | None = 0.0
    top_turning: float = 0.0
    foot_turning: float = 0.0

    def held(self) -> list[int]:
        """Return the unknowns that are held, those of the foot counted from the end."""
        parts = (
            (0, self.top is not None),
            (1, isinf(self.top_turning)),
            (-2, self.foot is not None),
            (-1, isinf(self.foot_turning)),
        )
        return [place for place, is_held in parts if is_held]


UPRIGHT: Final = Ends(top_turning=inf, foot_turning=inf)
HUNG: Final = Ends(foot=None, top_turning=inf)


@dataclass(frozen=True)
class BeamShape:
    """How the beam lies, top first.

    Attributes
    ----------
    displacement : [m] of the nodes *(realisation, node)*
    rotation : [rad] of the nodes
    curvature : [1/m] at the upper and lower end of every element *(realisation, element, 2)*
    residual : greatest imbalance left, relative to all that pushes
    """

    displacement: Array
    rotation: Array
    curvature: Array
    residual: float


def graded_nodes(marks: Array, finest: float, coarsest: float) -> Array:
    """Return nodes between marks, close to each other beside a mark and wide apart between.

    Parameters
    ----------
    marks : [m] where the beam is held or changes, growing
    finest, coarsest : [m] between neighbours
    """
    steps = finest * _GROWTH ** np.arange(200)
    reach = np.cumsum(np.minimum(steps, coarsest))
    pieces = []
    for upper, lower in pairwise(marks):
        half = 0.5 * (lower - upper)
        count = int(np.searchsorted(reach, half)) + 1
        while count > len(reach):
            reach = np.append(reach, reach[-1] + coarsest)
            count = int(np.searchsorted(reach, half)) + 1
        from_end = np.concatenate([[0.0], reach[:count]])
        from_end *= half / from_end[-1]
        pieces += [upper + from_end[:-1], lower - from_end[:0:-1]]
    return np.append(np.concatenate(pieces), marks[-1])


def bent_beam(
    depth: Array,
    bending_stiffness: Array,
    tension: Array,
    transverse_load: Array,
    ends: Ends,
    what: str,
) -> BeamShape:
    """Return the shape of the beam under a load across it.

    Parameters
    ----------
    depth : [m] of the nodes, growing
    bending_stiffness, tension, transverse_load : [N m2], [N], [N/m] of the elements
        *(realisation, element)*
    what : hangs there, for the words of a fault

    Raises
    ------
    NotConverged
        The beam is pressed so much that it buckles, or the forces do not balance.
    """
    length = np.diff(depth)
    parts = np.broadcast_arrays(bending_stiffness, -np.asarray(tension), transverse_load, length)
    stiffness, compression, load, _ = (np.asarray(one, dtype=float) for one in parts)
    element = beam_elements(length, stiffness, compression)
    pushed = consistent_load(load, length)
    force = gathered(pushed)
    held_at = [
        (place, np.asarray(at)) for place, at in ((0, ends.top), (-2, ends.foot)) if at is not None
    ]
    moved = np.zeros(np.broadcast_shapes(force.shape, *((*at.shape, 1) for _, at in held_at)))
    for place, at in held_at:
        moved[..., place] = at
    bands, force = np.broadcast_arrays(bands_of(element), force[..., None, :])
    bands, force = turned_by_springs(bands, ends), force[..., 0, :]
    moved = moved + _solved(bands, force, moved, ends, what)
    out = force - times_bands(bands, moved)
    out[..., ends.held()] = 0.0
    residual = _imbalance(out, force, bands, moved, float(depth[-1] - depth[0]))
    if not residual < _BALANCE:
        raise NotConverged(f"{what}: the forces on it do not balance")
    nodes = np.stack([moved[..., e : e + 2 * len(length) : 2] for e in range(4)], axis=-1)
    moment = (element @ nodes[..., None])[..., 0] - pushed
    bent = np.stack([-moment[..., 1], moment[..., 3]], axis=-1) / stiffness[..., None]
    return BeamShape(moved[..., 0::2], moved[..., 1::2], bent, residual)


def consistent_load(load: Numbers, length: Array) -> Numbers:
    """Return forces and moments at the ends of elements under an even load *(…, element, 4)*."""
    force, moment = 0.5 * load * length, load * length**2 / 12.0
    return np.stack([force, moment, force, -moment], axis=-1)


def gathered(elements: Numbers) -> Numbers:
    """Return what elements put on their four unknowns *(…, element, 4)*, summed *(…, unknown)*."""
    count = elements.shape[-2]
    whole = np.zeros((*elements.shape[:-2], 2 * count + 2), dtype=elements.dtype)
    for end in range(4):
        whole[..., end : end + 2 * count : 2] += elements[..., end]
    return whole


def mass_elements(length: Array, linear_mass: Array) -> Array:
    """Return the consistent mass matrices of Hermite elements *(…, element, 4, 4)*."""
    one = np.ones_like(length)
    mass = np.array(
        [
            [156.0 * one, 22.0 * length, 54.0 * one, -13.0 * length],
            [22.0 * length, 4.0 * length**2, 13.0 * length, -3.0 * length**2],
            [54.0 * one, 13.0 * length, 156.0 * one, -22.0 * length],
            [-13.0 * length, -3.0 * length**2, -22.0 * length, 4.0 * length**2],
        ]
    )
    whole: Array = (linear_mass * length / 420.0)[..., None, None] * np.moveaxis(mass, -1, 0)
    return whole


def bands_of(element: Array) -> Array:
    """Return the upper diagonals of the whole matrix *(…, 4, unknown)*."""
    count = element.shape[-3]
    bands = np.zeros((*element.shape[:-3], BAND + 1, 2 * count + 2))
    for row in range(4):
        for column in range(row, 4):
            place = bands[..., BAND + row - column, column : column + 2 * count : 2]
            place += element[..., row, column]
    return bands


def turned_by_springs(bands: Array, ends: Ends) -> Array:
    """Return the stiffness with the springs against turning at the ends."""
    sprung = bands.copy()
    for place, spring in ((1, ends.top_turning), (-1, ends.foot_turning)):
        if not isinf(spring):
            sprung[..., BAND, place] += spring
    return sprung


def times_bands(bands: Numbers, vector: Numbers) -> Numbers:
    """Return the product of a symmetric banded matrix with a vector."""
    product: Numbers = bands[..., BAND, :] * vector
    for off in range(1, BAND + 1):
        above = bands[..., BAND - off, off:]
        product[..., :-off] += above * vector[..., off:]
        product[..., off:] += above * vector[..., :-off]
    return product


def with_held(bands: Numbers, held: list[int], diagonal: float) -> Numbers:
    """Return bands whose held unknowns are cut off from the others, a number on their diagonal."""
    cut, size = bands.copy(), bands.shape[-1]
    for place in (one % size for one in held):
        for off in range(1, BAND + 1):
            cut[..., BAND - off, place] = 0.0
            if place + off < size:
                cut[..., BAND - off, place + off] = 0.0
        cut[..., BAND, place] = diagonal
    return cut


def _solved(bands: Array, force: Array, moved: Array, ends: Ends, what: str) -> Array:
    """Return how all but the held unknowns move."""
    from scipy.linalg import solveh_banded  # here: costly to import, rarely needed

    right = force - times_bands(bands, moved)
    right[..., ends.held()] = 0.0
    shape = np.broadcast_shapes(bands.shape[:-2], right.shape[:-1])
    cut = np.broadcast_to(with_held(bands, ends.held(), 1.0), (*shape, *bands.shape[-2:]))
    rows = np.broadcast_to(right, (*shape, right.shape[-1]))
    pairs = zip(cut.reshape(-1, *cut.shape[-2:]), rows.reshape(-1, rows.shape[-1]), strict=True)
    try:
        found = [solveh_banded(band, row) for band, row in pairs]
    except np.linalg.LinAlgError as error:
        raise NotConverged(f"{what}: it is pressed and buckles") from error
    return np.array(found).reshape(rows.shape)


def _imbalance(out: Array, force: Array, bands: Array, moved: Array, span: float) -> float:
    """Return what is left over, relative to all that pushes or what the ends pull across."""
    pulled = np.abs(times_bands(bands, moved)[..., [0, -2]]).sum(-1).max()
    pushed = max(np.abs(force[..., 0::2]).sum(-1).max(), pulled)
    if pushed == 0.0:
        return 0.0
    return float(max(np.abs(out[..., 0::2]).max(), np.abs(out[..., 1::2]).max() / span) / pushed)
