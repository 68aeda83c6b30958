"""A vessel that lost its thrust: how far it drifts, and from where it must let go."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

_NOTE = "constant force on a vessel at rest, no damping: errs to the safe side"


@published(
    formula="delta_v = delta_0 + (F_v t_v^2) / (2 m_v)",
    source="definition",
    where="motion under constant force from rest",
    validity_note=_NOTE,
    example={
        "drift_force": "1.2 MN",
        "virtual_mass": "65000 t",
        "drift_time": "120 s",
    },
)
def drift_off_offset(
    drift_force: Real, virtual_mass: Real, drift_time: Real, starting_offset: Real = 0.0
) -> Real:
    """Offset of a vessel some time after it lost all thrust.

    Parameters
    ----------
    drift_force : [N]
        Wind, current and wave force that nothing holds.
    virtual_mass : [kg]
        Mass of the vessel with the water that moves along.
    drift_time : [s]
        Time since the loss.
    starting_offset : [m]
        Offset at which the thrust was lost.

    Returns
    -------
    vessel_offset : [m]
        Offset after that time.
    """
    return starting_offset + 0.5 * drift_force / virtual_mass * drift_time**2


@published(
    formula="delta_v = delta_0 + m_v / c_v ln cosh(t_v sqrt(F_v c_v) / m_v)",
    source="definition",
    where="motion under constant force and drag on the square of speed, from rest",
    valid={"hull_drag_factor": Limit(1e-3, 1e9, "some drag; without any use drift_off_offset")},
    validity_note="vessel at rest in still water; drag on the square of its speed",
    example={
        "drift_force": "1.2 MN",
        "virtual_mass": "65000 t",
        "hull_drag_factor": "800 t/m",
        "drift_time": "300 s",
    },
)
def damped_drift_off_offset(
    drift_force: Real,
    virtual_mass: Real,
    hull_drag_factor: Real,
    drift_time: Real,
    starting_offset: Real = 0.0,
) -> Real:
    """Offset of a vessel that lost all thrust and is held back by the water it moves through.

    Parameters
    ----------
    drift_force : [N]
        Force that nothing holds.
    virtual_mass : [kg]
        Mass of the vessel with the water that moves along.
    hull_drag_factor : [kg/m]
        Drag force over the square of speed.
    drift_time : [s]
        Time since the loss.
    starting_offset : [m]
        Offset at which the thrust was lost.

    Returns
    -------
    vessel_offset : [m]
        Offset after that time.
    """
    x = drift_time * np.sqrt(drift_force * hull_drag_factor) / virtual_mass
    # ln cosh x without overflow: ln(e^x + e^-x) - ln 2
    log_cosh = np.logaddexp(x, -x) - np.log(2.0)
    offset: Array = starting_offset + virtual_mass / hull_drag_factor * log_cosh
    return offset


@published(
    formula="t_v = sqrt(2 m_v (delta_v - delta_0) / F_v)",
    source="definition",
    where="motion under constant force from rest",
    validity_note=_NOTE + "; the offset lies outside the starting offset",
    example={
        "drift_force": "1.2 MN",
        "virtual_mass": "65000 t",
        "vessel_offset": "120 m",
    },
)
def drift_off_time(
    drift_force: Real, virtual_mass: Real, vessel_offset: Real, starting_offset: Real = 0.0
) -> Real:
    """Time in which a vessel without thrust drifts to an offset.

    Parameters
    ----------
    drift_force : [N]
        Wind, current and wave force that nothing holds.
    virtual_mass : [kg]
        Mass of the vessel with the water that moves along.
    vessel_offset : [m]
        Offset to be reached.
    starting_offset : [m]
        Offset at which the thrust was lost; one outside the offset gives no time at all.

    Returns
    -------
    drift_time : [s]
        Time from the loss.
    """
    way = np.maximum(vessel_offset - starting_offset, 0.0)
    return np.sqrt(2.0 * virtual_mass * way / drift_force)


@published(
    formula="r_r = delta_0 + F_v / (2 m_v) t_l^2, \\ "
    "t_l = max(sqrt(2 m_v (delta_d - delta_0) / F_v) - t_r - t_c, 0)",
    source="api-rp-16q",
    where="drift-off analysis: disconnect limit less what drifts by meanwhile; from memory",
    validity_note=_NOTE + "; starting inside the disconnect limit",
    example={
        "drift_force": "1.2 MN",
        "virtual_mass": "65000 t",
        "disconnect_limit_offset": "120 m",
        "release_time": "45 s",
        "reaction_time": "30 s",
    },
    caution="A radius equal to the starting offset means that nobody can let go in time.",
)
def red_circle_radius(
    drift_force: Real,
    virtual_mass: Real,
    disconnect_limit_offset: Real,
    release_time: Real,
    reaction_time: Real,
    starting_offset: Real = 0.0,
) -> Real:
    """Offset at which the disconnect must be started, worked backwards from the last safe offset.

    The button must be pressed the release and reaction times before the vessel reaches
    the offset at which riser or stack would be overloaded.

    Parameters
    ----------
    drift_force : [N]
        Wind, current and wave force that nothing holds.
    virtual_mass : [kg]
        Mass of the vessel with the water that moves along.
    disconnect_limit_offset : [m]
        Offset at which the riser must be off: angle, stroke or stack at its limit.
    release_time : [s]
        From the button to the connector open.
    reaction_time : [s]
        From the circle crossed to the button pressed.
    starting_offset : [m]
        Offset at which the thrust was lost.

    Returns
    -------
    red_circle_radius : [m]
        Radius of the red circle.
    """
    limit_time = drift_off_time(drift_force, virtual_mass, disconnect_limit_offset, starting_offset)
    left = np.maximum(limit_time - release_time - reaction_time, 0.0)
    return drift_off_offset(drift_force, virtual_mass, left, starting_offset)
