"""How a vessel rolls, and how a body answers waves whose forces were solved for.

A motion is a complex amplitude per wave amplitude: its size, and by its angle the lead over the
crest at the vessel's reference point, for a motion in time as cos(omega t + phase).
"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import InputErrors
from bathybore.base.registry import Limit, published
from bathybore.kernels.riser_waves import horizontal_response
from bathybore.kernels.waves import STANDARD_GRAVITY

Complex = npt.NDArray[np.complex128]

_SINGULAR: Final = 1e-12  # of the greatest singular value


@published(
    formula="T_r = (2 C B) / sqrt(G_M), quad C = 0.373 + 0.023 B / d_h - 0.043 L_h / (100 m)",
    source="imo-is-code",
    where="part A, 2.3.4, rolling period in the weather criterion; from memory",
    valid={"metacentric_height": Limit(0.1, 15.0)},
    validity_note="ship-shaped hull; an inclining test or a rolling trial goes first",
    example={
        "breadth": "38 m",
        "draught": "9.5 m",
        "hull_length": "210 m",
        "metacentric_height": "3 m",
    },
)
def natural_roll_period(
    breadth: Real, draught: Real, hull_length: Real, metacentric_height: Real
) -> Real:
    """Period by which a ship rolls by itself.

    Parameters
    ----------
    breadth : [m]
        Greatest breadth at the waterline.
    draught : [m]
        Draught of the hull.
    hull_length : [m]
        Length of the hull at the waterline.
    metacentric_height : [m]
        Transverse metacentre above the centre of gravity, free surfaces counted.

    Returns
    -------
    natural_roll_period : [s]
        Natural period of roll.
    """
    radius = 0.373 + 0.023 * np.asarray(breadth) / draught - 0.043 * np.asarray(hull_length) / 100.0
    return np.asarray(2.0 * radius * breadth / np.sqrt(metacentric_height))


@published(
    formula="r = (k abs(sin theta) x(omega, theta, L_h, B, d_h, g)) / "
    "sqrt((1 - s^2)^2 + (2 zeta_r s)^2), quad k = omega^2 / g, quad s = (omega T_r) / (2 pi)",
    source="faltinsen-1990",
    where="chapter 3, uncoupled roll, driven by the slope of the water averaged over the hull "
    "(Froude); from memory",
    valid={"wave_frequency": Limit(0.05, 3.0), "roll_damping_ratio": Limit(0.005, 0.5)},
    validity_note="hull taken for a box at zero speed in deep water, no coupling with sway and "
    "yaw, damping linear; no tanks against rolling",
    example={
        "wave_frequency": "0.45 rad/s",
        "relative_wave_direction": "60 deg",
        "hull_length": "210 m",
        "breadth": "38 m",
        "draught": "9.5 m",
        "natural_roll_period": "16 s",
        "roll_damping_ratio": "0.06",
    },
    caution="An estimate for planning: the vessel's own response tables go first.",
)
def roll_response(
    wave_frequency: Real,
    relative_wave_direction: Real,
    hull_length: Real,
    breadth: Real,
    draught: Real,
    natural_roll_period: Real,
    roll_damping_ratio: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Roll amplitude per wave amplitude, for a hull taken as a box.

    The hull turns towards what is upright for the water it floats in, as a pendulum of one
    period does; the water's way is averaged over the box as for its way to and fro.

    Parameters
    ----------
    wave_frequency : [rad/s]
        Angular frequency of the wave.
    relative_wave_direction : [rad]
        Where the waves come from, clockwise from the bow.
    hull_length : [m]
        Length of the hull at the waterline.
    breadth : [m]
        Greatest breadth at the waterline.
    draught : [m]
        Draught of the hull.
    natural_roll_period : [s]
        Natural period of roll.
    roll_damping_ratio : [-]
        Damping over the critical, bilge keels counted.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    roll_response : [rad/m]
        Roll amplitude over wave amplitude.
    """
    hull = (hull_length, breadth, draught, gravity)
    way = np.asarray(horizontal_response(wave_frequency, relative_wave_direction, *hull))
    number = np.asarray(wave_frequency) ** 2 / gravity
    ratio = np.asarray(wave_frequency) * natural_roll_period / (2.0 * np.pi)
    still = np.sqrt((1.0 - ratio**2) ** 2 + (2.0 * np.asarray(roll_damping_ratio) * ratio) ** 2)
    return np.asarray(number * np.abs(np.sin(relative_wave_direction)) * way / still)


@published(
    formula="x = F / sqrt((c - omega^2 (m + A))^2 + (omega B)^2)",
    source="faltinsen-1990",
    where="chapter 3, equation of motion in regular waves",
    validity_note="one motion alone, linear; six together are solved as a system",
    example={
        "wave_frequency": "0.6 rad/s",
        "excitation": "20 MN/m",
        "restoring": "70 MN/m",
        "moving_mass": "59000 t",
        "added_mass": "60000 t",
        "radiation_damping": "20 MN s/m",
    },
)
def single_motion_response(
    wave_frequency: Real,
    excitation: Real,
    restoring: Real,
    moving_mass: Real,
    added_mass: Real,
    radiation_damping: Real,
) -> Real:
    """Amplitude of one motion of a floating body per wave amplitude.

    Parameters
    ----------
    wave_frequency : [rad/s]
        Angular frequency of the wave.
    excitation : [N/m]
        Amplitude of the wave's force per wave amplitude.
    restoring : [N/m]
        What brings the body back, per displacement.
    moving_mass : [kg]
        Mass of the body.
    added_mass : [kg]
        Mass of the water that moves along.
    radiation_damping : [N s/m]
        Damping by the waves that the body makes.

    Returns
    -------
    motion_response : [-]
        Amplitude of the motion over wave amplitude.
    """
    mass = np.asarray(moving_mass) + added_mass
    stiff = np.asarray(restoring) - np.asarray(wave_frequency) ** 2 * mass
    return np.asarray(excitation / np.hypot(stiff, np.asarray(wave_frequency) * radiation_damping))


def box_angles(
    frequency: Array,
    direction: float,
    length: float,
    breadth: float,
    draught: float,
    block_coefficient: float,
    gravity: float = STANDARD_GRAVITY,
) -> tuple[Complex, Complex]:
    """Return by how much way and pitch of a box lead the crest, as numbers of size one.

    The closed forms give sizes. Their signs change where the hull holds more than a wave; what is
    between force and motion is the angle of the equation that they solve, damped by the waves the
    hull makes. Pitch leans as the slope of the water does: a quarter ahead, against the way.
    """
    number = frequency**2 / gravity
    width = breadth * block_coefficient
    decay = np.exp(-number * draught)
    damping = (2.0 * np.sin(0.5 * number * width) * decay) ** 2 / (number * width)
    force, impedance = (1.0 - n * number * draught + 1j * damping for n in (1.0, 2.0))
    along = 0.5 * number * length * np.abs(np.cos(direction))
    across = 0.5 * number * breadth * np.abs(np.sin(direction))
    way = np.sinc(along / np.pi) * np.sinc(across / np.pi)
    pitch = 1j * np.where(np.sin(along) >= along * np.cos(along), 1.0, -1.0) * force / impedance
    return -1j * np.where(way >= 0.0, 1.0, -1.0), pitch / np.abs(pitch)


def coupled_motions(
    frequency: Array,
    excitation: Complex,
    restoring: Array,
    mass: Array,
    added: Array,
    damping: Array,
) -> Complex:
    """Return complex motions per wave amplitude *(frequency, direction, motion)*.

    Parameters
    ----------
    frequency : [rad/s]
    excitation : complex forces per wave amplitude *(frequency, direction, motion)*, in time as
        the real part of force times e^(i omega t)
    restoring, mass : *(motion, motion)*
    added, damping : *(frequency, motion, motion)*, force by motion

    Raises
    ------
    InputErrors
        Nothing holds or brakes one of the motions at a frequency: it has no answer.
    """  # fmt: skip
    omega = frequency[:, None, None]
    system = restoring - omega**2 * (mass + added) + 1j * omega * damping
    # forces and moments differ by lengths: what a motion is, is judged by itself
    scale = np.sqrt(np.abs(np.diagonal(system, axis1=1, axis2=2)).max(axis=0))
    if not np.all(scale > 0.0):
        raise InputErrors.one("motions", "a motion that no mass, water or stiffness resists",
                              "mass and hydrostatic stiffness of every motion")  # fmt: skip
    even = system / (scale[:, None] * scale)
    singular = np.linalg.svd(even, compute_uv=False)
    if np.any(singular[:, -1] < _SINGULAR * singular[:, 0]):
        worst = float(frequency[int(np.argmin(singular[:, -1] / singular[:, 0]))])
        raise InputErrors.one("motions", f"an equation of motion that is singular at {worst:.4g} "
                              "rad/s", "damping or stiffness in every motion")  # fmt: skip
    found: Complex = np.linalg.solve(even, np.moveaxis(excitation / scale, 1, 2))
    motions: Complex = np.moveaxis(found, 1, 2) / scale
    return motions


def response_moments(frequency: Array, power: Array, response: Array) -> tuple[float, float]:
    """Return variance and mean zero-crossing period of a response over a spectrum in steps.

    Parameters
    ----------
    frequency, power : [rad/s], [m2 s/rad] of the surface
    response : amplitude per wave amplitude
    """
    answered = power * np.abs(response) ** 2
    zeroth, second = (float(np.trapezoid(answered * frequency**k, frequency)) for k in (0, 2))
    return zeroth, 2.0 * np.pi * float(np.sqrt(zeroth / second)) if second > 0.0 else np.inf
