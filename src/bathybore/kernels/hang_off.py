"""A riser let go of the well: hung from a heaving vessel, and springing up when it is released."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

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
    elastic = axial_stiffness * (1.0 + 2.0j * np.asarray(damping_ratio))
    number = wave_frequency * np.sqrt(riser_linear_mass / elastic)
    wave = elastic * number
    inertia = wave_frequency**2 * hung_stack_mass
    at_foot = number * riser_length
    part = (inertia * np.cos(at_foot) + wave * np.sin(at_foot)) / (
        wave * np.cos(at_foot) - inertia * np.sin(at_foot)
    )
    there = number * depth_below_top
    response: Array = np.abs(wave * (part * np.cos(there) - np.sin(there)))
    return response


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
