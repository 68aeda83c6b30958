"""Wear of the riser, at a bend and along it, by a string that turns in it under tension."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

_HALVINGS: Final = 60


@published(
    formula="N = 2 T_e sin(theta/2)",
    source="definition",
    where="balance of a string pulled round a bend",
    example={"effective_tension": "1.2 MN", "bend_angle": "0.5 deg"},
)
def bend_side_force(effective_tension: Real, bend_angle: Real) -> Real:
    """Force with which a string under tension presses on the inside of a bend.

    Parameters
    ----------
    effective_tension : [N]
        Effective tension of the string at the bend.
    bend_angle : [rad]
        Change of direction.

    Returns
    -------
    side_force : [N]
        Force of the string on the wall.
    """
    return np.asarray(2.0 * np.asarray(effective_tension) * np.sin(0.5 * np.asarray(bend_angle)))


@published(
    formula="A_w = (k_f N pi D_c n_r t_r)/l_c",
    source="white-dawson-1987",
    where="wear volume by force and way of sliding, spread over the length of the contact; from "
    "memory",
    valid={"wear_factor": Limit(1e-16, 1e-11)},
    validity_note="steel on steel in mud; factors of muds, hard facings and riser steels spread "
    "over two orders",
    example={
        "wear_factor": "2e-10 1/psi",
        "side_force": "10 kN",
        "contact_diameter": "8.5 in",
        "rotary_speed": "2 1/s",
        "rotating_time": "10 day",
        "bend_contact_length": "9.5 m",
    },
    caution="Wear factors are measured for mud, tool joint and hard facing: an order either way.",
)
def wear_area(
    wear_factor: Real,
    side_force: Real,
    contact_diameter: Real,
    rotary_speed: Real,
    rotating_time: Real,
    bend_contact_length: Real,
) -> Real:
    """Area that a turning string wears out of the wall.

    Parameters
    ----------
    wear_factor : [1/Pa]
        Volume worn off per force and way of sliding.
    side_force : [N]
        Force of the string on the wall.
    contact_diameter : [m]
        Diameter of tool joints.
    rotary_speed : [1/s]
        Revolutions per time.
    rotating_time : [s]
        Time it turns.
    bend_contact_length : [m]
        Length over which it is spread: tool joints pass a bend one after another, and each
        bears the force until the next one does.

    Returns
    -------
    wear_area : [m2]
        Worn area of the cross section.
    """
    way = np.pi * np.asarray(contact_diameter) * rotary_speed * rotating_time
    return np.asarray(np.asarray(wear_factor) * side_force * way / bend_contact_length)


@published(
    formula="A_w = k_f n_s pi D_c n_r t_r",
    source="white-dawson-1987",
    where="wear volume by force and way of sliding, per length; from memory",
    valid={"wear_factor": Limit(1e-16, 1e-11)},
    validity_note="every place meets the tool joints of a string that moves down by more than one",
    example={
        "wear_factor": "2e-10 1/psi",
        "side_force_per_length": "300 N/m",
        "contact_diameter": "8.5 in",
        "rotary_speed": "2 1/s",
        "rotating_time": "10 day",
    },
    caution="Wear factors are measured for mud, tool joint and hard facing: an order either way.",
)
def spread_wear_area(
    wear_factor: Real,
    side_force_per_length: Real,
    contact_diameter: Real,
    rotary_speed: Real,
    rotating_time: Real,
) -> Real:
    """Area that a turning string wears out of a wall on which it lies all along.

    Parameters
    ----------
    wear_factor : [1/Pa]
        Volume worn off per force and way of sliding.
    side_force_per_length : [N/m]
        Force of the string on the wall per length.
    contact_diameter : [m]
        Diameter of tool joints.
    rotary_speed : [1/s]
        Revolutions per time.
    rotating_time : [s]
        Time it turns.

    Returns
    -------
    wear_area : [m2]
        Worn area of the cross section.
    """
    way = np.pi * np.asarray(contact_diameter) * rotary_speed * rotating_time
    return np.asarray(np.asarray(wear_factor) * side_force_per_length * way)


def _crescent(depth: Array, bore: Array, joint: Array) -> Array:
    """Return the area of a circle that lies outside a larger one by a depth (radii in)."""
    apart = bore - joint + depth
    inner = (apart**2 + joint**2 - bore**2) / (2.0 * apart * joint)
    outer = (apart**2 + bore**2 - joint**2) / (2.0 * apart * bore)
    angles = np.arccos(np.clip(inner, -1.0, 1.0)), np.arccos(np.clip(outer, -1.0, 1.0))
    edges = (
        (-apart + joint + bore) * (apart + joint - bore) * (apart - joint + bore)
        * (apart + joint + bore)
    )  # fmt: skip
    common = joint**2 * angles[0] + bore**2 * angles[1] - 0.5 * np.sqrt(np.maximum(edges, 0.0))
    return np.asarray(np.pi * joint**2 - common)


@published(
    formula="A_w = pi r^2 - r^2 arccos((e^2 + r^2 - R^2)/(2 e r)) - R^2 arccos((e^2 + R^2 - r^2)/"
    "(2 e R)) + 1/2 sqrt((r + R - e)(e + r - R)(e - r + R)(e + r + R)), quad "
    "e = R - r + h_w, quad R = d/2, quad r = D_c/2",
    source="definition",
    where="part of the tool joint's circle outside the bore; solved for its depth by halving",
    validity_note="tool joint thinner than the bore; no deeper than the tool joint is thick",
    example={"wear_area": "4 cm2", "inside_diameter": "19.25 in", "contact_diameter": "8.5 in"},
)
def crescent_depth(wear_area: Real, inside_diameter: Real, contact_diameter: Real) -> Real:
    """Depth of the groove that a tool joint leaves in a wider pipe.

    Parameters
    ----------
    wear_area : [m2]
        Worn area of the cross section.
    inside_diameter : [m]
        Bore of the pipe.
    contact_diameter : [m]
        Diameter of tool joints.

    Returns
    -------
    wear_depth : [m]
        Greatest depth of the groove; infinite where it would be deeper than the tool joint.
    """
    area, bore, joint = np.broadcast_arrays(
        np.asarray(wear_area, dtype=float),
        0.5 * np.asarray(inside_diameter, dtype=float),
        0.5 * np.asarray(contact_diameter, dtype=float),
    )
    low, high = np.zeros(area.shape), 2.0 * joint
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        more = _crescent(middle, bore, joint) < area
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    depth = np.where(area <= 0.0, 0.0, 0.5 * (low + high))
    return np.asarray(np.where(area >= np.pi * joint**2, np.inf, depth))
