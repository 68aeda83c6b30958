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
from bathybore.kernels.mud import STANDARD_GRAVITY
from bathybore.kernels.pipe_flow import annulus_friction_gradient
from bathybore.kernels.surge import clinging_constant_laminar
from bathybore.kernels.waves import heave_response, jonswap_spectral_density

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


_SPAN: Final = np.linspace(0.2, 6.0, 581)  # of the peak frequency, as the amplitude is counted


@published(
    formula="T_h = 2 pi sqrt(m_0/m_2), quad "
    "m_k = integral omega^k h(omega, theta, L_h, B, d_h, C_B, g)^2 "
    "S(omega, H_s, T_p, gamma) dif omega",
    source="jensen-2004",
    where="zero-crossing period of the heave, heave in closed form over the sea's spectrum; "
    "from memory",
    validity_note="Hull as a box, speed zero, long-crested sea; longer than the sea's own period "
    "where the hull is long against its waves.",
    example={
        "significant_wave_height": "4 m",
        "peak_period": "11 s",
        "peak_enhancement": "1.5",
        "relative_wave_direction": "15 deg",
        "hull_length": "150 m",
        "breadth": "30 m",
        "draught": "9 m",
        "block_coefficient": "0.8",
    },
)
def heave_zero_crossing_period(
    significant_wave_height: Real,
    peak_period: Real,
    peak_enhancement: Real,
    relative_wave_direction: Real,
    hull_length: Real,
    breadth: Real,
    draught: Real,
    block_coefficient: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Mean period between zero crossings of a vessel's heave in a sea state.

    Parameters
    ----------
    significant_wave_height : [m]
        Significant wave height.
    peak_period : [s]
        Period of the spectral peak.
    peak_enhancement : [-]
        Peak enhancement factor.
    relative_wave_direction : [rad]
        Where the waves come from, clockwise from the bow.
    hull_length : [m]
        Length of the hull at the waterline.
    breadth : [m]
        Greatest breadth at the waterline.
    draught : [m]
        Draught of the hull.
    block_coefficient : [-]
        Displaced volume over length, breadth and draught.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    heave_period : [s]
        Zero-crossing period of the heave.
    """
    given = (significant_wave_height, peak_period, peak_enhancement, relative_wave_direction)
    height, period, peaked, direction = (np.asarray(one)[..., None] for one in given)
    hull = [
        np.asarray(one)[..., None]
        for one in (hull_length, breadth, draught, block_coefficient, gravity)
    ]
    frequency = 2.0 * np.pi / period * _SPAN
    response = np.asarray(heave_response(frequency, direction, *hull))
    power = response**2 * jonswap_spectral_density(frequency, height, period, peaked)
    # an even grid: its step falls out of the ratio
    moments = [np.sum(power * frequency**k, axis=-1) for k in (0, 2)]
    return np.asarray(2.0 * np.pi * np.sqrt(moments[0] / moments[1]))


@dataclass(frozen=True, eq=False)
class MudLine:
    """The annulus round a string, from the top down; arrays over pieces.

    Attributes
    ----------
    length : [m]
    outer, inner : diameters [m]
    density, bulk_modulus : of the mud [kg/m3], [Pa]
    mud : yield stress, consistency index, flow index: each one number, or over pieces
    mass : of the string with the mud in it, per length [kg/m]
    stiffness : of the string, modulus times section [N]
    """

    length: Array
    outer: Array
    inner: Array
    density: float
    bulk_modulus: float
    mud: tuple[Real, Real, Real]
    mass: Array
    stiffness: Array

    @property
    def area(self) -> Array:
        return np.asarray(0.25 * np.pi * (self.outer**2 - self.inner**2))

    @property
    def pipe_area(self) -> Array:
        return np.asarray(0.25 * np.pi * self.inner**2)


_ROUNDS: Final = 400
_SETTLED: Final = 1e-3
_RUNAWAY: Final = 1e4  # times what stiff mud would flow: no resonance goes that far
_STILL: Final = 0.05  # of what stiff mud would flow: slower mud hangs in its gel all the same
_DEAD: Final = 600.0  # sum of the exponents that floating point holds


def heave_pressure(line: MudLine, amplitude: Array, period: Array) -> tuple[Array, float]:
    """Return the amplitude of the pressure at the foot of each piece [Pa] (..., piece).

    Friction is made linear at the amplitude of the flow in each piece, round by round; no flow
    is taken smaller than a twentieth of what stiff mud would have. Walls are stiff, the string
    stretches and its end is closed; the riser is open at its top.

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
    top = omega * np.asarray(amplitude, dtype=float)
    clings = clinging_constant_laminar(line.outer, line.inner) * line.area
    speed = top[..., None] * np.ones(len(line.length))
    passing = (line.pipe_area + clings) * speed
    resistance = _resistance(line, passing)
    pressure = np.zeros_like(speed)
    held = np.zeros(top.shape, dtype=complex)  # what the mud under the bit holds against it
    for _ in range(_ROUNDS):
        drag = _drag(line, resistance, passing, speed)
        speed = top[..., None] * string_motion(line, omega, drag, held)
        found, passing, at_bit = _swing(line, speed, omega, resistance, clings * speed)
        load = line.pipe_area[-1] * at_bit / np.maximum(speed[..., -1], 1e-12)
        held = 0.5 * (held + load)
        change = np.max(np.abs(found - pressure) / (np.abs(found) + 1.0))
        pressure = found
        if change < _SETTLED:
            return pressure, float(change)
        moved = (line.pipe_area + clings) * top[..., None]
        if not np.all(np.abs(passing) < _RUNAWAY * np.maximum(moved, 1e-12)):
            raise NotConverged("heave in slips: the flow of the mud ran away from its friction")
        least = _STILL * (line.pipe_area + clings) * speed
        passing = np.maximum(passing, least)
        resistance = np.sqrt(resistance * _resistance(line, passing))
    raise NotConverged("heave in slips: flow and friction of the mud did not agree")


def _drag(line: MudLine, resistance: Array, passing: Array, speed: Array) -> Array:
    """Return what mud drags at the string, per length and speed [N s/m2].

    Friction of a slot is shared by both its walls.
    """
    stress = 0.25 * resistance * passing * (line.outer - line.inner)
    return np.asarray(np.pi * line.inner * stress / np.maximum(speed, 1e-12))


def string_motion(line: MudLine, omega: Array, drag: Array, held: Complex) -> Array:
    """Return how much each piece of the string moves, over its top (..., piece).

    An elastic bar of pieces, dragged by the mud along it and held by that under its end: from
    the bit up. ``held`` is force over speed at the end.
    """
    inertia = line.mass * omega[..., None] ** 2 - 1j * omega[..., None] * drag
    wave = np.sqrt(inertia / line.stiffness)
    turned = wave * line.length
    # what is damped out on the way down moves nothing below
    turned = turned.real + 1j * np.clip(turned.imag, -_DEAD / len(line.length), 0.0)
    c, s = np.cos(turned), np.sin(turned)
    moved = np.ones(omega.shape, dtype=complex)
    pull = -1j * omega * held * moved
    ends = [np.abs(moved)]
    for index in range(len(line.length) - 1, -1, -1):
        push = line.stiffness[index] * wave[..., index]
        moved, pull = (
            moved * c[..., index] - pull / push * s[..., index],
            pull * c[..., index] + push * moved * s[..., index],
        )
        ends.append(np.abs(moved))
    along = np.stack(ends[::-1], axis=-1) / ends[-1][..., None]
    return np.asarray(0.5 * (along[..., :-1] + along[..., 1:]))


def _resistance(line: MudLine, flow: Array) -> Array:
    """Return friction gradient over flow [Pa s/m4]."""
    safe = np.maximum(flow, 1e-9)
    gradient = annulus_friction_gradient(safe, line.outer, line.inner, line.density, *line.mud)
    return np.asarray(gradient / safe)


def _swing(
    line: MudLine, speed: Array, omega: Array, resistance: Array, dragged: Array
) -> tuple[Array, Array, Complex]:
    """Return pressure at the foot and mean flow past the pipe of each piece, as amplitudes.

    From the bit up: each piece turns pressure and flow at its foot into those at its top. The
    pressure at the bit, which comes third with its phase, is the one that leaves none at the
    open top.
    """
    series = 1j * omega[..., None] * line.density / line.area + resistance
    shunt = 1j * omega[..., None] * line.area / line.bulk_modulus
    wave = np.sqrt(series * shunt) * line.length
    # a wave that dies out within a piece dies out; what is smaller still would only overflow
    wave = np.minimum(wave.real, _DEAD / len(line.length)) + 1j * wave.imag
    grow, turn = np.cosh(wave), np.sinh(wave)
    resist = np.sqrt(series / shunt)
    drag = resistance * dragged / series
    unit, steel = np.ones(omega.shape, dtype=complex), line.pipe_area
    ends: list[tuple[Any, Any, Any, Any]] = []
    # pressure and flow, each as (share of the pressure at the bit, what comes of itself)
    p1, p0 = unit, 0.0 * unit
    q1, q0 = 0.0 * unit, steel[-1] * speed[..., -1] * unit
    for index in range(len(line.length) - 1, -1, -1):
        ends.append((p1, p0, q1, q0))
        c, s, z, d = (one[..., index] for one in (grow, turn, resist, drag))
        p1, q1, p0, q0 = (
            p1 * c - z * q1 * s,
            q1 * c - p1 / z * s,
            p0 * c - z * (q0 + d) * s,
            (q0 + d) * c - p0 / z * s - d,
        )
        if index:  # a shoulder or a stretch of the string pushes mud, or leaves room for it
            q0 = q0 + steel[index - 1] * speed[..., index - 1] - steel[index] * speed[..., index]
    at_bit = -p0 / p1
    foot = np.stack([a * at_bit + b for a, b, _, _ in ends[::-1]], axis=-1)
    flow = np.stack([c * at_bit + d for _, _, c, d in ends[::-1]], axis=-1)
    top = _tops(line, flow, foot, grow, turn, resist, drag)
    past = 0.5 * (np.abs(flow + dragged) + np.abs(top + dragged))
    return np.abs(foot), past, np.asarray(at_bit)


def _tops(
    line: MudLine, flow: Complex, foot: Complex, grow: Complex, turn: Complex, resist: Complex,
    drag: Complex,
) -> Complex:  # fmt: skip
    """Return the flow at the top of each piece."""
    return np.asarray((flow + drag) * grow - foot / resist * turn - drag)
