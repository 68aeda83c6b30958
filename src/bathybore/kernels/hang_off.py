"""A riser let go of the well: hung from a heaving vessel, and springing up when it is released."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

Complex = npt.NDArray[np.complex128]

_HUNG: Final = {
    "riser_length": "2500 m",
    "riser_linear_mass": "1500 kg/m",
    "axial_stiffness": "7 GN",
    "hung_stack_mass": "150 t",
}


@published(
    formula='t = abs(A_"E" k (-sin(k s) + b cos(k s))), quad '
    'b = (omega^2 m_k cos(k L_r) + A_"E" k sin(k L_r)) / '
    '(A_"E" k cos(k L_r) - omega^2 m_k sin(k L_r)), quad '
    'k = omega sqrt(m_l / (A_"E" (1 + 2 i zeta)))',
    source="timoshenko-vibration",
    where="longitudinal vibration of a bar driven at its top, a mass at its foot; from memory",
    valid={"damping_ratio": Limit(1e-4, 0.3)},
    validity_note="uniform bar, damping as of the steel, top moving with the vessel",
    example={
        "depth_below_top": "0 m",
        "wave_frequency": "0.6 rad/s",
        **_HUNG,
        "damping_ratio": "0.03",
    },
)
def hung_tension_response(
    depth_below_top: Real,
    wave_frequency: Real,
    riser_length: Real,
    riser_linear_mass: Real,
    axial_stiffness: Real,
    hung_stack_mass: Real,
    damping_ratio: Real,
) -> Real:
    """Amplitude of the tension in a hung riser per amplitude of heave at its top.

    Parameters
    ----------
    depth_below_top : [m]
        Where it is looked at, down from the top.
    wave_frequency : [rad/s]
        Angular frequency of the heave.
    riser_length : [m]
        Hanging length.
    riser_linear_mass : [kg/m]
        Mass per length with contents and the water that moves along.
    axial_stiffness : [N]
        Young's modulus times steel area.
    hung_stack_mass : [kg]
        Mass at the foot with the water that moves along.
    damping_ratio : [-]
        Damping over the critical.

    Returns
    -------
    hung_tension_response : [N/m]
        Amplitude of tension over amplitude of heave.
    """
    bar = (riser_length, riser_linear_mass, axial_stiffness, hung_stack_mass, damping_ratio)
    number, wave, part = _hung_bar(wave_frequency, *bar)
    there = number * depth_below_top
    response: Array = np.abs(wave * (part * np.cos(there) - np.sin(there)))
    return response


def _hung_bar(
    wave_frequency: Real,
    riser_length: Real,
    riser_linear_mass: Real,
    axial_stiffness: Real,
    hung_stack_mass: Real,
    damping_ratio: Real,
) -> tuple[Complex, Complex, Complex]:
    """Return wave number, stiffness times it, and the share of the sine in the bar's shape."""
    elastic = np.asarray(axial_stiffness * (1.0 + 2.0j * np.asarray(damping_ratio)))
    number: Complex = np.asarray(wave_frequency * np.sqrt(riser_linear_mass / elastic))
    wave: Complex = elastic * number
    inertia = wave_frequency**2 * np.asarray(hung_stack_mass)
    at_foot = number * riser_length
    part: Complex = (inertia * np.cos(at_foot) + wave * np.sin(at_foot)) / (
        wave * np.cos(at_foot) - inertia * np.sin(at_foot)
    )
    return number, wave, part


def soft_hung_top(
    wave_frequency: Real,
    riser_length: Real,
    riser_linear_mass: Real,
    axial_stiffness: Real,
    hung_stack_mass: Real,
    damping_ratio: Real,
    tensioner_stiffness: Real,
    tensioner_damping_ratio: Real,
) -> Complex:
    """Return the complex motion of the top of a riser on its tensioners per heave of the vessel."""
    bar = (riser_length, riser_linear_mass, axial_stiffness, hung_stack_mass, damping_ratio)
    _, wave, part = _hung_bar(wave_frequency, *bar)
    spring = tensioner_stiffness * (1.0 + 2.0j * np.asarray(tensioner_damping_ratio))
    return np.asarray(spring / (spring - wave * part))


_SOFT_FORMULA: Final = (
    'quad r = k_t / (k_t - A_"E" k b), quad k_t = K_t (1 + 2 i zeta_t), quad '
    'b = (omega^2 m_k cos(k L_r) + A_"E" k sin(k L_r)) / '
    '(A_"E" k cos(k L_r) - omega^2 m_k sin(k L_r)), quad '
    'k = omega sqrt(m_l / (A_"E" (1 + 2 i zeta)))'
)
_SOFT_NOTE: Final = (
    "pull of the tensioners linear in their stroke, friction as a damping of the same shape, "
    "telescopic joint free to slide"
)
_SOFT: Final = {
    "wave_frequency": "0.6 rad/s",
    **_HUNG,
    "damping_ratio": "0.03",
    "tensioner_stiffness": "100 kN/m",
    "tensioner_damping_ratio": "0.1",
}


@published(
    formula="s = abs(r), " + _SOFT_FORMULA,
    source="timoshenko-vibration",
    where="longitudinal vibration of a bar driven at its top through a spring; from memory",
    valid={"damping_ratio": Limit(1e-4, 0.3), "tensioner_damping_ratio": Limit(0.0, 0.5)},
    validity_note=_SOFT_NOTE,
    example=_SOFT,
)
def soft_hung_top_response(
    wave_frequency: Real,
    riser_length: Real,
    riser_linear_mass: Real,
    axial_stiffness: Real,
    hung_stack_mass: Real,
    damping_ratio: Real,
    tensioner_stiffness: Real,
    tensioner_damping_ratio: Real,
) -> Real:
    """Amplitude of the top of a riser that hangs on its tensioners per amplitude of heave.

    Parameters
    ----------
    wave_frequency : [rad/s]
        Angular frequency of the heave.
    riser_length : [m]
        Hanging length.
    riser_linear_mass : [kg/m]
        Mass per length with contents and the water that moves along.
    axial_stiffness : [N]
        Young's modulus times steel area.
    hung_stack_mass : [kg]
        Mass at the foot with the water that moves along.
    damping_ratio : [-]
        Damping of the riser over the critical.
    tensioner_stiffness : [N/m]
        Change of the pull of all tensioners per stroke.
    tensioner_damping_ratio : [-]
        Friction of the tensioners, as damping over the critical.

    Returns
    -------
    soft_hung_top_response : [-]
        1 for a riser held hard, 0 for one on a pull that does not change.
    """
    motion = soft_hung_top(
        wave_frequency, riser_length, riser_linear_mass, axial_stiffness, hung_stack_mass,
        damping_ratio, tensioner_stiffness, tensioner_damping_ratio,
    )  # fmt: skip
    return np.asarray(np.abs(motion))


@published(
    formula="s = abs(1 - r), " + _SOFT_FORMULA,
    source="timoshenko-vibration",
    where="longitudinal vibration of a bar driven at its top through a spring; from memory",
    valid={"damping_ratio": Limit(1e-4, 0.3), "tensioner_damping_ratio": Limit(0.0, 0.5)},
    validity_note=_SOFT_NOTE,
    example=_SOFT,
)
def soft_hung_stroke_response(
    wave_frequency: Real,
    riser_length: Real,
    riser_linear_mass: Real,
    axial_stiffness: Real,
    hung_stack_mass: Real,
    damping_ratio: Real,
    tensioner_stiffness: Real,
    tensioner_damping_ratio: Real,
) -> Real:
    """Amplitude of the stroke of tensioners that a riser hangs on per amplitude of heave.

    Parameters
    ----------
    wave_frequency : [rad/s]
        Angular frequency of the heave.
    riser_length : [m]
        Hanging length.
    riser_linear_mass : [kg/m]
        Mass per length with contents and the water that moves along.
    axial_stiffness : [N]
        Young's modulus times steel area.
    hung_stack_mass : [kg]
        Mass at the foot with the water that moves along.
    damping_ratio : [-]
        Damping of the riser over the critical.
    tensioner_stiffness : [N/m]
        Change of the pull of all tensioners per stroke.
    tensioner_damping_ratio : [-]
        Friction of the tensioners, as damping over the critical.

    Returns
    -------
    soft_hung_stroke_response : [-]
        0 for a riser held hard, 1 for one that stays where it is.
    """
    motion = soft_hung_top(
        wave_frequency, riser_length, riser_linear_mass, axial_stiffness, hung_stack_mass,
        damping_ratio, tensioner_stiffness, tensioner_damping_ratio,
    )  # fmt: skip
    return np.asarray(np.abs(1.0 - motion))


@published(
    formula='v = (Delta T) / sqrt(m_l A_"E")',
    source="timoshenko-vibration",
    where="step of force at the end of a long bar; from memory",
    validity_note="until the wave comes back from the other end",
    example={
        "released_force": "4 MN",
        "riser_linear_mass": "1500 kg/m",
        "axial_stiffness": "7 GN",
    },
)
def recoil_speed(released_force: Real, riser_linear_mass: Real, axial_stiffness: Real) -> Real:
    """Speed at which the foot of a riser springs up when it is let go.

    Parameters
    ----------
    released_force : [N]
        Force at the foot that the well no longer holds.
    riser_linear_mass : [kg/m]
        Mass per length with contents and the water that moves along.
    axial_stiffness : [N]
        Young's modulus times steel area.

    Returns
    -------
    recoil_speed : [m/s]
        Upward speed of the foot.
    """
    return released_force / np.sqrt(riser_linear_mass * axial_stiffness)


@published(
    formula="h = (Delta T t_c^2) / (2 m_h) (1 + (Delta T) / W_h)",
    source="definition",
    where="impulse of the excess pull, then coasting against the weight",
    valid={"hang_off_load": Limit(1.0, 1e9, "weight that brings it to rest")},
    validity_note="riser rigid, friction of mud and water left out, pull constant until it is shut",
    example={
        "released_force": "4 MN",
        "reaction_time": "1 s",
        "hung_mass": "3500 t",
        "hang_off_load": "4 MN",
    },
)
def recoil_rise(
    released_force: Real, reaction_time: Real, hung_mass: Real, hang_off_load: Real
) -> Real:
    """Height to which a riser rises after it is let go, before its weight stops it.

    Parameters
    ----------
    released_force : [N]
        Pull at the top in excess of the weight that is left.
    reaction_time : [s]
        Until the pull is shut off.
    hung_mass : [kg]
        Mass that rises, with contents and the water that moves along.
    hang_off_load : [N]
        Weight in water of what rises.

    Returns
    -------
    recoil_rise : [m]
        Rise above where it was let go.
    """
    risen = 0.5 * released_force * reaction_time**2 / hung_mass
    return risen * (1.0 + released_force / hang_off_load)
