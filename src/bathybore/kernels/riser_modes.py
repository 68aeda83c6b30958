"""At which frequencies a riser or a hung string sways and stretches by itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import Limit, published
from bathybore.kernels.lateral_pile import beam_elements
from bathybore.kernels.tensioned_beam import (
    BAND,
    Ends,
    Numbers,
    bands_of,
    mass_elements,
    times_bands,
    turned_by_springs,
    with_held,
)

_BALANCE: Final = 1e-6
_DIRECTIONS: Final = 2  # of Lanczos' rule for each mode that is asked for


@published(
    formula="omega_n = (n_m pi) / L sqrt((T_s + B_s ((n_m pi) / L)^2) / m_l)",
    source="timoshenko-vibration",
    where="beam with axial tension and hinged ends; from memory",
    valid={"mode_number": Limit(1.0, 200.0)},
    validity_note="tension and mass uniform",
    example={
        "mode_number": "3",
        "length": "1500 m",
        "string_tension": "3 MN",
        "bending_stiffness": "4e8 N m2",
        "riser_linear_mass": "2500 kg/m",
    },
)
def tensioned_beam_frequency(
    mode_number: Real,
    length: Real,
    string_tension: Real,
    bending_stiffness: Real,
    riser_linear_mass: Real,
) -> Real:
    """Natural frequency of a mode of a beam in tension with hinged ends.

    Parameters
    ----------
    mode_number : [-]
        Half waves along the beam.
    length : [m]
        Length between the hinges.
    string_tension : [N]
        Effective tension, uniform.
    bending_stiffness : [N m2]
        Young's modulus times second moment of area.
    riser_linear_mass : [kg/m]
        Mass per length with contents and the water that moves along.

    Returns
    -------
    mode_frequency : [rad/s]
        Angular frequency of the mode.
    """
    number = mode_number * np.pi / length
    stiff = string_tension + bending_stiffness * number**2
    return number * np.sqrt(stiff / riser_linear_mass)


@published(
    formula="omega_n = x(n_m) / 2 sqrt(w_e / (m_l L)), quad J_0 (x(n_m)) = 0",
    source="sparks-2007",
    where="hanging string; zeros of the Bessel function J0",
    valid={"mode_number": Limit(1.0, 200.0)},
    validity_note="string hung from its top, free at its foot, nothing hung there; no stiffness",
    example={
        "mode_number": "2",
        "length": "2000 m",
        "effective_weight_per_length": "600 N/m",
        "riser_linear_mass": "120 kg/m",
    },
)
def hanging_string_frequency(
    mode_number: Real, length: Real, effective_weight_per_length: Real, riser_linear_mass: Real
) -> Real:
    """Natural frequency of a mode of a string that hangs free.

    Parameters
    ----------
    mode_number : [-]
        Number of the mode, the lowest being one.
    length : [m]
        Hanging length.
    effective_weight_per_length : [N/m]
        Weight in water per length.
    riser_linear_mass : [kg/m]
        Mass per length with contents and the water that moves along.

    Returns
    -------
    mode_frequency : [rad/s]
        Angular frequency of the mode.
    """
    from scipy.special import jn_zeros  # here: costly to import, rarely needed

    number = np.asarray(np.round(mode_number), dtype=int)
    zero = jn_zeros(0, int(number.max()))[number - 1]
    half: Array = 0.5 * zero * np.sqrt(effective_weight_per_length / (riser_linear_mass * length))
    return half


@dataclass(frozen=True)
class Modes:
    """Sway by itself, slowest first.

    Attributes
    ----------
    frequency : [rad/s] *(mode)*
    shape : displacement, greatest one *(mode, node)*
    curvature : [1/m] at the nodes, for a greatest displacement of one metre *(mode, node)*
    residual : greatest imbalance of stiffness and inertia, relative to the greatest stiff force
    """

    frequency: Array
    shape: Array
    curvature: Array
    residual: float


def bending_modes(
    depth: Array,
    bending_stiffness: Array,
    tension: Array,
    linear_mass: Array,
    ends: Ends,
    count: int,
) -> Modes:
    """Return the slowest modes of a beam under its own tension.

    ``K phi = omega^2 M phi`` of the banded matrices of Hermite elements, by Lanczos' rule on
    the inverse of the stiffness, every new direction made orthogonal to all before it.

    Parameters
    ----------
    depth : [m] of the nodes, growing
    bending_stiffness, tension, linear_mass : [N m2], [N], [kg/m] of the elements

    Raises
    ------
    NotConverged
        The beam buckles, or the modes do not balance.
    """
    length, held = np.diff(depth), ends.held()
    parts = np.broadcast_arrays(bending_stiffness, -np.asarray(tension), linear_mass, length)
    stiffness, compression, mass, _ = (np.asarray(one, dtype=float) for one in parts)
    stiff = turned_by_springs(bands_of(beam_elements(length, stiffness, compression)), ends)
    stiff = with_held(stiff, held, float(stiff[BAND].max()))
    heavy = with_held(bands_of(mass_elements(length, mass)), held, 0.0)
    squared, moved = _slowest(stiff, heavy, min(count, len(length) - 1))
    held_by = times_bands(stiff, moved)
    out = np.abs(held_by - squared[:, None] * times_bands(heavy, moved)).max(-1)
    residual = float((out / np.abs(held_by).max(-1)).max())
    if not residual < _BALANCE:
        raise NotConverged("modes of a beam: stiffness and inertia do not balance")
    largest = np.argmax(np.abs(moved[:, 0::2]), axis=-1)
    moved = moved / np.take_along_axis(moved[:, 0::2], largest[:, None], axis=-1)
    return Modes(np.sqrt(squared), moved[:, 0::2], nodal_curvature(moved, length), residual)


def _slowest(stiff: Array, heavy: Array, count: int) -> tuple[Array, Array]:
    """Return the least squared frequencies and their vectors *(mode, unknown)*."""
    from scipy.linalg import cho_solve_banded, cholesky_banded, eigh_tridiagonal  # costly

    try:
        factor = cholesky_banded(stiff)
    except np.linalg.LinAlgError as error:
        raise NotConverged("modes of a beam that is pressed and buckles") from error
    size = stiff.shape[-1]
    steps = min(_DIRECTIONS * count + 20, size // 2)
    basis, pushed = np.zeros((steps, size)), np.zeros((steps, size))
    middle, beside = np.zeros(steps), np.zeros(steps)
    # a start that holds something of every mode, the same on every machine
    found = cho_solve_banded((factor, False), times_bands(heavy, np.sin(1.0 + np.arange(size))))
    for step in range(steps):
        near = slice(max(step - 2, 0), step)  # these first: all at once leaves rounding in it
        for part in (near, slice(0, step)):
            found = found - (pushed[part] @ found) @ basis[part]
        weight = times_bands(heavy, found)
        beside[step] = np.sqrt(found @ weight)
        basis[step], pushed[step] = found / beside[step], weight / beside[step]
        found = cho_solve_banded((factor, False), pushed[step], check_finite=False)
        middle[step] = found @ pushed[step]
    values, vectors = eigh_tridiagonal(
        middle, beside[1:], select="i", select_range=(steps - count, steps - 1)
    )
    moved: Array = np.asarray(vectors, dtype=float).T[::-1] @ basis
    return 1.0 / np.asarray(values, dtype=float)[::-1], moved


def nodal_curvature(moved: Numbers, length: Array) -> Numbers:
    """Return the curvature at the nodes, the mean of what meets there *(…, node)*.

    Parameters
    ----------
    moved : displacement and rotation of every node by turns *(…, unknown)*
    """
    y, turn = moved[..., 0::2], moved[..., 1::2]
    chord = (y[..., 1:] - y[..., :-1]) / length
    upper = (6.0 * chord - 4.0 * turn[..., :-1] - 2.0 * turn[..., 1:]) / length
    lower = (-6.0 * chord + 2.0 * turn[..., :-1] + 4.0 * turn[..., 1:]) / length
    middle = 0.5 * (lower[..., :-1] + upper[..., 1:])
    return np.concatenate([upper[..., :1], middle, lower[..., -1:]], axis=-1)


def axial_modes(
    depth: Array, axial_stiffness: Real, linear_mass: Real, foot_mass: float, count: int
) -> tuple[Array, Array]:
    """Return frequencies [rad/s] and shapes *(mode, node)* of a bar held at its top.

    Masses are gathered at the nodes, which leaves a tridiagonal problem.

    Parameters
    ----------
    depth : [m] of the nodes, growing
    axial_stiffness, linear_mass : [N], [kg/m] of the elements
    foot_mass : [kg] at the lowest node
    """  # fmt: skip
    from scipy.linalg import eigh_tridiagonal  # here: costly to import, rarely needed

    length = np.diff(depth)
    spring = np.broadcast_to(axial_stiffness, length.shape) / length
    half = 0.5 * np.broadcast_to(linear_mass, length.shape) * length
    mass = half + np.append(half[1:], foot_mass)
    root = np.sqrt(mass)
    middle = (spring + np.append(spring[1:], 0.0)) / mass
    beside = -spring[1:] / (root[1:] * root[:-1])
    squared, moved = eigh_tridiagonal(
        middle, beside, select="i", select_range=(0, min(count, len(mass)) - 1)
    )
    shape = (moved / root[:, None]).T
    shape /= np.abs(shape).max(-1, keepdims=True)
    return np.sqrt(squared), np.concatenate([np.zeros((len(shape), 1)), shape], axis=-1)
