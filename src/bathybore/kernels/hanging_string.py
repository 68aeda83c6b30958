"""Pipe that hangs in open water: its shape in a current, as a beam under its own tension."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import NotConverged
from bathybore.kernels.lateral_pile import beam_elements

_BAND: Final = 3  # two unknowns a node: an element couples four in a row
_BALANCE: Final = 1e-6
_GROWTH: Final = 1.25  # of neighbouring elements away from an end


@dataclass(frozen=True)
class HungShape:
    """How pipe hangs in a current, top first.

    Attributes
    ----------
    displacement : [m] of the nodes *(realisation, node)*
    rotation : [rad] of the nodes
    curvature : [1/m] at the upper and lower end of every element *(realisation, element, 2)*
    residual : greatest imbalance left, relative to all that the current pushes
    """

    displacement: Array
    rotation: Array
    curvature: Array
    residual: float


def graded_nodes(marks: Array, finest: float, coarsest: float) -> Array:
    """Return nodes between marks, close to each other beside a mark and wide apart between.

    Parameters
    ----------
    marks : [m] where the pipe is held or changes, growing
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


def hang_in_current(
    depth: Array,
    bending_stiffness: Array,
    tension: Array,
    transverse_load: Array,
    foot_is_held: bool,
) -> HungShape:
    """Return the shape of pipe hung upright from its top in a current, small angles.

    ``B_s y'''' - (T_e y')' = q`` on Hermite elements with their geometric stiffness: with no
    stiffness the cable, with no tension the beam. At the top the pipe is held upright; its
    foot is free, or held upright below the top.

    Parameters
    ----------
    depth : [m] of the nodes, growing
    bending_stiffness, tension, transverse_load : [N m2], [N], [N/m] of the elements
        *(realisation, element)*

    Raises
    ------
    NotConverged
        The pipe is pressed so much that it buckles, or the forces do not balance.
    """
    length = np.diff(depth)
    parts = np.broadcast_arrays(bending_stiffness, -np.asarray(tension), transverse_load, length)
    stiffness, compression, load, _ = (np.asarray(one, dtype=float) for one in parts)
    element = beam_elements(length, stiffness, compression)
    pushed = _consistent(load, length)
    lead, size = element.shape[:-3], 2 * len(depth)
    force = np.zeros((*lead, size))
    for end in range(4):
        force[..., end : end + 2 * len(length) : 2] += pushed[..., end]
    free = slice(2, size - 2 if foot_is_held else size)
    moved = np.zeros_like(force)
    bands = _bands(element, size).reshape(-1, _BAND + 1, size)
    rows, found = force.reshape(-1, size), moved.reshape(-1, size)
    for band, row, here in zip(bands, rows, found, strict=True):
        here[free] = _solved(band[:, free], row[free])
    ends = np.stack([moved[..., e : e + 2 * len(length) : 2] for e in range(4)], axis=-1)
    forces = (element @ ends[..., None])[..., 0]
    out = force.copy()
    for end in range(4):
        out[..., end : end + 2 * len(length) : 2] -= forces[..., end]
    residual = _imbalance(out[..., free], force, float(depth[-1] - depth[0]))
    if not residual < _BALANCE:
        raise NotConverged("pipe in open water: the forces on it do not balance")
    moment = forces - pushed
    bent = np.stack([-moment[..., 1], moment[..., 3]], axis=-1) / stiffness[..., None]
    return HungShape(moved[..., 0::2], moved[..., 1::2], bent, residual)


def _consistent(load: Array, length: Array) -> Array:
    """Return forces and moments at the ends of elements under an even load *(…, element, 4)*."""
    force, moment = 0.5 * load * length, load * length**2 / 12.0
    return np.stack([force, moment, force, -moment], axis=-1)


def _bands(element: Array, size: int) -> Array:
    """Return the upper diagonals of the whole stiffness, as LAPACK takes them."""
    count = element.shape[-3]
    bands = np.zeros((*element.shape[:-3], _BAND + 1, size))
    for row in range(4):
        for column in range(row, 4):
            place = bands[..., _BAND + row - column, column : column + 2 * count : 2]
            place += element[..., row, column]
    return bands


def _solved(bands: Array, force: Array) -> Array:
    from scipy.linalg import solveh_banded  # here: costly to import, rarely needed

    try:
        return np.asarray(solveh_banded(bands, force))
    except np.linalg.LinAlgError as error:
        raise NotConverged("pipe in open water: it is pressed and buckles") from error


def _imbalance(out: Array, force: Array, span: float) -> float:
    pushed = np.abs(force[..., 0::2]).sum(-1).max()
    if pushed == 0.0:
        return 0.0
    return float(max(np.abs(out[..., 0::2]).max(), np.abs(out[..., 1::2]).max() / span) / pushed)
