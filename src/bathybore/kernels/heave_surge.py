"""Surge and swab of a string that hangs in slips and rides the heave of the vessel.

The mud round the string is a line of springs and masses: the string pushes at its foot and at
its shoulders, the mud yields, is dragged along, and swings. Where the hole is short against
the wave of sound in mud this is the stiff sum of friction and inertia; in a deep hole it is not.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import published
from bathybore.kernels.pipe_flow import annulus_friction_gradient
from bathybore.kernels.surge import clinging_constant_laminar

Complex = NDArray[np.complex128]


@published(
    formula="v = (2 pi a_h)/T_h",
    source="definition",
    where="greatest speed of a harmonic motion",
    example={"heave_amplitude": "1.5 m", "heave_period": "9 s"},
)
def heave_speed(heave_amplitude: Real, heave_period: Real) -> Real:
    """Greatest speed of a string that follows the heave of the vessel.

    Parameters
    ----------
    heave_amplitude : [m]
        Half of the way from crest to trough.
    heave_period : [s]
        Period.

    Returns
    -------
    running_speed : [m/s]
        Greatest speed.
    """
    return 2.0 * np.pi * np.asarray(heave_amplitude) / heave_period


@published(
    formula="a_p = (4 pi^2 a_h)/T_h^2",
    source="definition",
    where="greatest acceleration of a harmonic motion",
    example={"heave_amplitude": "1.5 m", "heave_period": "9 s"},
)
def heave_acceleration(heave_amplitude: Real, heave_period: Real) -> Real:
    """Greatest acceleration of a string that follows the heave of the vessel.

    Parameters
    ----------
    heave_amplitude : [m]
        Half of the way from crest to trough.
    heave_period : [s]
        Period.

    Returns
    -------
    pipe_acceleration : [m/s2]
        Greatest acceleration.
    """
    square = np.asarray(heave_period) ** 2
    return np.asarray(4.0 * np.pi**2 * np.asarray(heave_amplitude) / square)


@dataclass(frozen=True, eq=False)
class MudLine:
    """The annulus round a string, from the top down; arrays over pieces.

    Attributes
    ----------
    length : [m]
    outer, inner : diameters [m]
    density, bulk_modulus : of the mud [kg/m3], [Pa]
    mud : yield stress, consistency index, flow index
    """

    length: Array
    outer: Array
    inner: Array
    density: float
    bulk_modulus: float
    mud: tuple[float, float, float]

    @property
    def area(self) -> Array:
        return np.asarray(0.25 * np.pi * (self.outer**2 - self.inner**2))

    @property
    def pipe_area(self) -> Array:
        return np.asarray(0.25 * np.pi * self.inner**2)


_ROUNDS: Final = 400
_SETTLED: Final = 1e-3
_STILL: Final = 0.05  # of what stiff mud would flow: slower mud hangs in its gel all the same
_DEAD: Final = 600.0  # sum of the exponents that floating point holds


def heave_pressure(line: MudLine, amplitude: Array, period: Array) -> tuple[Array, float]:
    """Return the amplitude of the pressure at the foot of each piece [Pa] (..., piece).

    Friction is made linear at the amplitude of the flow in each piece, round by round; no flow
    is taken smaller than a twentieth of what stiff mud would have. Walls are stiff, the string moves as one piece, its end is closed, the riser is open at its top.

    Parameters
    ----------
    amplitude, period : of the heave [m], [s]; leading axes are realisations

    Returns
    -------
    pressure : amplitudes
    residual : largest relative change of the last round

    Raises
    ------
    NotConverged
        Flow and friction did not agree.
    """
    omega = 2.0 * np.pi / np.asarray(period, dtype=float)
    speed = omega * np.asarray(amplitude, dtype=float)
    pieces = len(line.length)
    dragged = clinging_constant_laminar(line.outer, line.inner) * line.area * speed[..., None]
    flow = line.pipe_area * speed[..., None] + dragged
    least = _STILL * flow
    resistance = _resistance(line, flow)
    pressure = np.zeros((*speed.shape, pieces))
    for _ in range(_ROUNDS):
        found, passing = _swing(line, speed, omega, resistance, dragged)
        change = np.max(np.abs(found - pressure) / (np.abs(found) + 1.0))
        pressure = found
        if change < _SETTLED:
            return pressure, float(change)
        resistance = np.sqrt(resistance * _resistance(line, np.maximum(passing, least)))
    raise NotConverged("heave in slips: flow and friction of the mud did not agree")


def _resistance(line: MudLine, flow: Array) -> Array:
    """Return friction gradient over flow [Pa s/m4]."""
    safe = np.maximum(flow, 1e-9)
    gradient = annulus_friction_gradient(safe, line.outer, line.inner, line.density, *line.mud)
    return np.asarray(gradient / safe)


def _swing(
    line: MudLine, speed: Array, omega: Array, resistance: Array, dragged: Array
) -> tuple[Array, Array]:
    """Return pressure at the foot and mean flow past the pipe of each piece, as amplitudes.

    From the bit up: each piece turns pressure and flow at its foot into those at its top. The
    pressure at the bit is the one that leaves none at the open top.
    """
    series = 1j * omega[..., None] * line.density / line.area + resistance
    shunt = 1j * omega[..., None] * line.area / line.bulk_modulus
    wave = np.sqrt(series * shunt) * line.length
    # a wave that dies out within a piece dies out; what is smaller still would only overflow
    wave = np.minimum(wave.real, _DEAD / len(line.length)) + 1j * wave.imag
    grow, turn = np.cosh(wave), np.sinh(wave)
    resist = np.sqrt(series / shunt)
    drag = resistance * dragged / series
    unit, steel = np.ones_like(speed, dtype=complex), line.pipe_area
    ends: list[tuple[Any, Any, Any, Any]] = []
    # pressure and flow, each as (share of the pressure at the bit, what comes of itself)
    p1, p0 = unit, 0.0 * unit
    q1, q0 = 0.0 * unit, steel[-1] * speed * unit
    for index in range(len(line.length) - 1, -1, -1):
        ends.append((p1, p0, q1, q0))
        c, s, z, d = (one[..., index] for one in (grow, turn, resist, drag))
        p1, q1, p0, q0 = (
            p1 * c - z * q1 * s,
            q1 * c - p1 / z * s,
            p0 * c - z * (q0 + d) * s,
            (q0 + d) * c - p0 / z * s - d,
        )
        if index:  # a shoulder of the string pushes mud, or leaves room for it
            q0 = q0 + (steel[index - 1] - steel[index]) * speed
    at_bit = -p0 / p1
    foot = np.stack([a * at_bit + b for a, b, _, _ in ends[::-1]], axis=-1)
    flow = np.stack([c * at_bit + d for _, _, c, d in ends[::-1]], axis=-1)
    top = _tops(line, flow, foot, grow, turn, resist, drag)
    past = 0.5 * (np.abs(flow + dragged) + np.abs(top + dragged))
    return np.abs(foot), past


def _tops(
    line: MudLine, flow: Complex, foot: Complex, grow: Complex, turn: Complex, resist: Complex,
    drag: Complex,
) -> Complex:  # fmt: skip
    """Return the flow at the top of each piece."""
    return np.asarray((flow + drag) * grow - foot / resist * turn - drag)
