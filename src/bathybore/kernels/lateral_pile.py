"""A pile or conductor pushed sideways in soft clay: its springs, its shape, its settlement.

The pile is an elastic beam on springs that do not hold each other (Winkler); the springs
follow the p-y curves of soft clay. Depth grows downwards; compression is positive.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import Limit, published
from bathybore.kernels.soft_string import YOUNG_MODULUS

# Settlement over diameter against the share of skin friction mobilised, clay
_SETTLEMENT: Final = np.array([0.0, 0.0016, 0.0031, 0.0057, 0.0080, 0.0100])
_MOBILISED: Final = np.array([0.0, 0.30, 0.50, 0.75, 0.90, 1.00])

_MOST_STEPS: Final = 200
_BALANCE: Final = 1e-9  # of the largest force or moment of the pile
_RELATIVE_STEP: Final = 1e-6  # for the slope of a spring
_BAND: Final = 3  # diagonals beside the main one: two unknowns a node, neighbours only


@published(
    formula=(
        "p_y = min[p_u / 2 (y / y_c)^(1/3) , 0.72 p_u] quad y <= 3 y_c \\ "
        "p_y = 0.72 p_u [1 - (1 - min(1, z / X_R)) (y - 3 y_c) / (12 y_c)] "
        "quad 3 y_c < y < 15 y_c \\ "
        "p_y = 0.72 p_u min(1, z / X_R) quad y >= 15 y_c , quad y_c = 2.5 epsilon_c D"
    ),
    source="matlock-1970",
    where="p-y curve of soft clay under cyclic load, as in API RP 2GEO; from memory",
    valid={
        "half_strength_strain": Limit(0.002, 0.05, "stiff to very soft clay"),
        "depth_below_sea_bed": Limit(0.0, 1000.0, "soft sediment below the sea bed"),
    },
    validity_note="Soft clay, load repeated until its springs soften no more; no scour.",
    example={
        "ultimate_lateral_resistance": "93 kN/m",
        "lateral_displacement": "60 mm",
        "half_strength_strain": "0.01",
        "outside_diameter": "36 in",
        "depth_below_sea_bed": "4 m",
        "reduced_resistance_depth": "6.3 m",
    },
    caution="Fitted to slender piles of half a metre; wide conductors behave a little stiffer.",
)
def cyclic_soft_clay_lateral_resistance(
    ultimate_lateral_resistance: Real,
    lateral_displacement: Real,
    half_strength_strain: Real,
    outside_diameter: Real,
    depth_below_sea_bed: Real,
    reduced_resistance_depth: Real,
) -> Real:
    """Lateral resistance of soft clay on a pile that waves have moved to and fro.

    Parameters
    ----------
    ultimate_lateral_resistance : [N/m]
        Greatest resistance per length, static.
    lateral_displacement : [m]
        Displacement of the pile, as a magnitude.
    half_strength_strain : [-]
        Strain at half the strength in an undrained compression test.
    outside_diameter : [m]
        Outside diameter of the pile.
    depth_below_sea_bed : [m]
        Depth below the sea bed.
    reduced_resistance_depth : [m]
        Depth below which the clay flows around the pile.

    Returns
    -------
    lateral_resistance : [N/m]
        Force per length, against the displacement.
    """
    moved = lateral_displacement / (2.5 * half_strength_strain * outside_diameter)
    held = np.minimum(depth_below_sea_bed / reduced_resistance_depth, 1.0)
    rising = np.minimum(0.5 * np.cbrt(moved), 0.72)
    lost = np.clip((moved - 3.0) / 12.0, 0.0, 1.0)
    result: Real = ultimate_lateral_resistance * rising * (1.0 - (1.0 - held) * lost)
    return result


def depth_of_full_resistance(depth: Array, ultimate: Array, flow: Array, least: float) -> float:
    """Return the first depth at which the clay resists as much as where it flows around.

    For strength that varies with depth (API RP 2GEO: the first crossing of the two curves).

    Parameters
    ----------
    depth : [m] nodes below the sea bed, growing
    ultimate, flow : [N/m] resistance there, and what it is where the clay flows around
    least : [m] not less than this: 2.5 diameters
    """
    full = np.flatnonzero(ultimate >= flow * (1.0 - 1e-12))
    first = float(depth[full[0]]) if full.size else float(depth[-1])
    return max(first, least)


@published(
    formula="sigma_b = (M_p E D) / (2 B_s)",
    source="definition",
    where="bending of a beam: curvature times distance from the axis",
    example={
        "pile_bending_moment": "2 MN m",
        "bending_stiffness": "1.7e9 N m2",
        "outside_diameter": "36 in",
    },
    caution="Pipes one inside the other share the moment by their stiffness.",
)
def pile_bending_stress(
    pile_bending_moment: Real,
    bending_stiffness: Real,
    outside_diameter: Real,
    young_modulus: Real = YOUNG_MODULUS,
) -> Real:
    """Bending stress at the outside of one pipe of a pile that takes a moment as a whole.

    Parameters
    ----------
    pile_bending_moment : [N m]
        Moment in all pipes together.
    bending_stiffness : [N m2]
        Bending stiffness of all pipes together.
    outside_diameter : [m]
        Outside diameter of the pipe looked at.
    young_modulus : [Pa]
        Young's modulus.

    Returns
    -------
    bending_stress : [Pa]
        Tension on one side, compression on the other.
    """
    return pile_bending_moment * young_modulus * outside_diameter / (2.0 * bending_stiffness)


@published(
    formula='s_p = D dot "table"(Q_s / Q_a) : quad (0.3, 0.0016), (0.5, 0.0031), (0.75, 0.0057), '
    "(0.9, 0.008), (1, 0.01)",
    source="api-rp-2geo",
    where="t-z curve of clay, table; from memory",
    valid={"axial_load": Limit(0.0, 1e9, "a pile pressed down")},
    validity_note="Pile taken as rigid; without end in sight once the load is over the capacity.",
    example={"axial_load": "4 MN", "axial_capacity": "8 MN", "outside_diameter": "36 in"},
    caution="Consolidation and creep of the clay come on top.",
)
def shaft_settlement(axial_load: Real, axial_capacity: Real, outside_diameter: Real) -> Real:
    """Settlement of a pile in clay by which its skin friction comes to bear a load.

    Parameters
    ----------
    axial_load : [N]
        Load set on the pile.
    axial_capacity : [N]
        Load it bears when all skin friction is mobilised, at that time.
    outside_diameter : [m]
        Outside diameter of the pile.

    Returns
    -------
    shaft_settlement : [m]
        Movement downwards; infinite above the capacity.
    """
    share = np.asarray(axial_load / axial_capacity, dtype=float)
    ratio = np.interp(share, _MOBILISED, _SETTLEMENT)
    result: Real = outside_diameter * np.where(share > 1.0, np.inf, ratio)
    return result


@dataclass(frozen=True)
class PileShape:
    """How a pile stands under its load; arrays over *(realisation, node)*, top first.

    Attributes
    ----------
    displacement : [m]
    rotation : [rad] gain of displacement per depth
    moment : [N m]
    residual : greatest imbalance left, relative to the greatest load
    """

    displacement: Array
    rotation: Array
    moment: Array
    residual: float


def bend_pile(
    depth: Array,
    bending_stiffness: Array,
    axial_compression: Array,
    lateral_load: Array,
    moment_at_top: Real,
    spring: Callable[[Array], Array],
    linear_below: Array | float,
) -> PileShape:
    """Return the shape of an elastic pile on springs under lateral load, both ends free.

    Hermite elements with their geometric stiffness, springs gathered at the nodes, Newton's
    rule; a spring that softens counts with no stiffness, never with a negative one.

    Parameters
    ----------
    depth : [m] of the nodes, growing
    bending_stiffness, axial_compression : [N m2], [N] of the elements *(realisation, element)*
    lateral_load : [N] at the nodes *(realisation, node)*
    moment_at_top : [N m] *(realisation)*
    spring : resistance per length [N/m] at every node for displacements as magnitudes
    linear_below : [m] displacement up to which a spring is taken as straight: a cube root
        begins with no end of stiffness

    Raises
    ------
    NotConverged
        The compression buckles the pile, or the springs cannot hold the load.
    """
    length = np.diff(depth)
    beam = _assembled(length, bending_stiffness, axial_compression)
    reach = 0.5 * (np.append(length, 0.0) + np.insert(length, 0, 0.0))
    load = np.zeros((*beam.shape[:-2], 2 * len(depth)))
    load[..., 0::2] = lateral_load
    load[..., 1] = moment_at_top
    held, rows = np.zeros_like(load), np.arange(0, load.shape[-1], 2)
    moved = np.zeros_like(load)
    scale = _scale(load, float(depth[-1] - depth[0]))
    for _ in range(_MOST_STEPS):
        y = moved[..., 0::2]
        resistance, slope = _springs(spring, y, linear_below)
        held[..., 0::2] = resistance * reach
        out = load - held - (beam @ moved[..., None])[..., 0]
        residual = float(np.max(np.abs(out) / scale))
        tangent = beam.copy()
        tangent[..., rows, rows] += slope * reach
        if residual < _BALANCE:
            _refuse_unstable(tangent)
            return _shape(moved, length, bending_stiffness, axial_compression, residual)
        try:
            moved = moved + _solved(tangent, out)
        except np.linalg.LinAlgError as error:
            raise NotConverged("pile in clay: nothing holds it any more") from error
        if not np.isfinite(moved).all():
            break
    raise NotConverged("pile in clay: the springs did not come to hold the load")


def _scale(load: Array, span: float) -> Array:
    """Return the size of the loads, for forces and for moments, that an imbalance is small to."""
    force = np.abs(load[..., 0::2]).sum(-1, keepdims=True) + np.abs(load[..., 1:2]) / span
    if not np.all(force > 0.0):
        raise ValueError("a pile without lateral load or moment has no shape to look for")
    scale = np.repeat(force, load.shape[-1], axis=-1)
    scale[..., 1::2] *= span
    return scale


def _springs(
    spring: Callable[[Array], Array], y: Array, linear_below: Array | float
) -> tuple[Array, Array]:
    """Return force and slope of the springs; straight below a first small displacement."""
    size = np.abs(y)
    first = np.broadcast_to(linear_below, y.shape)
    at = np.maximum(size, first)
    force = spring(at)
    step = _RELATIVE_STEP * at
    slope = np.maximum((spring(at + step) - force) / step, 0.0)
    straight = size < first
    chord = force / at
    magnitude = np.where(straight, chord * size, force)
    return np.sign(y) * magnitude, np.where(straight, chord, slope)


def beam_elements(length: Array, stiffness: Array, compression: Array) -> Array:
    """Return the stiffness matrices of Hermite elements *(…, element, 4, 4)*."""
    one = np.ones_like(length)
    bend = np.array(
        [
            [12.0 * one, 6.0 * length, -12.0 * one, 6.0 * length],
            [6.0 * length, 4.0 * length**2, -6.0 * length, 2.0 * length**2],
            [-12.0 * one, -6.0 * length, 12.0 * one, -6.0 * length],
            [6.0 * length, 2.0 * length**2, -6.0 * length, 4.0 * length**2],
        ]
    )
    press = np.array(
        [
            [36.0 * one, 3.0 * length, -36.0 * one, 3.0 * length],
            [3.0 * length, 4.0 * length**2, -3.0 * length, -(length**2)],
            [-36.0 * one, -3.0 * length, 36.0 * one, -3.0 * length],
            [3.0 * length, -(length**2), -3.0 * length, 4.0 * length**2],
        ]
    )
    bend, press = np.moveaxis(bend, -1, 0), np.moveaxis(press, -1, 0)
    bending = (stiffness / length**3)[..., None, None] * bend
    pressing = (compression / (30.0 * length))[..., None, None] * press
    result: Array = bending - pressing
    return result


def _assembled(length: Array, stiffness: Array, compression: Array) -> Array:
    parts = beam_elements(length, stiffness, compression)
    size = 2 * (len(length) + 1)
    whole = np.zeros((*parts.shape[:-3], size, size))
    for element in range(len(length)):
        here = slice(2 * element, 2 * element + 4)
        whole[..., here, here] += parts[..., element, :, :]
    return whole


def _bands(matrix: Array) -> Array:
    """Return the diagonals of each banded matrix, highest first, as LAPACK takes them."""
    size = matrix.shape[-1]
    bands = np.zeros((int(np.prod(matrix.shape[:-2])), 2 * _BAND + 1, size))
    whole = matrix.reshape(-1, size, size)
    for row, off in enumerate(range(_BAND, -_BAND - 1, -1)):
        start = max(off, 0)
        bands[:, row, start : size + min(off, 0)] = np.diagonal(whole, off, 1, 2)
    return bands


def _solved(tangent: Array, out: Array) -> Array:
    """Solve each realisation's banded system: one call of LAPACK each, whatever their number."""
    from scipy.linalg import solve_banded  # here: costly to import, rarely needed

    rows = out.reshape(-1, out.shape[-1])
    bands = _bands(np.broadcast_to(tangent, (*out.shape, out.shape[-1])))
    width = (_BAND, _BAND)
    steps = [solve_banded(width, band, row) for band, row in zip(bands, rows, strict=True)]
    return np.array(steps).reshape(out.shape)


def _refuse_unstable(tangent: Array) -> None:
    from scipy.linalg import cholesky_banded

    try:
        for band in _bands(tangent):
            cholesky_banded(band[: _BAND + 1])
    except np.linalg.LinAlgError as error:
        raise NotConverged("pile in clay: it buckles, or the clay cannot hold it") from error


def _shape(
    moved: Array, length: Array, stiffness: Array, compression: Array, residual: float
) -> PileShape:
    """Read displacement, rotation and moment off the nodes; moments from the elements' ends."""
    count = len(length)
    ends = np.stack([moved[..., 2 * i : 2 * i + 4] for i in range(count)], axis=-2)
    forces = (beam_elements(length, stiffness, compression) @ ends[..., None])[..., 0]
    moment = np.concatenate([forces[..., 1], -forces[..., -1:, 3]], axis=-1)
    return PileShape(moved[..., 0::2], moved[..., 1::2], moment, residual)
