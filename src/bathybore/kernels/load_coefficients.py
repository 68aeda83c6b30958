"""Wind and current loads by coefficients that were measured or computed for one hull.

Axes and sides are those of `hull_loads`: x forward, y to port, yaw anticlockwise from above; a
direction is where the weather comes from, clockwise from the bow.
"""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

_SPEED = Limit(0.0, 60.0, "wind up to 60 m/s; a current of more than 3 m/s is none")
_COEFFICIENT = Limit(-10.0, 10.0)


@published(
    formula="F = C_l 1/2 rho_s U_s^2 A_r",
    source="ocimf-1994",
    where="form of its wind and current forces; from memory",
    valid={"stream_speed": _SPEED, "load_coefficient": _COEFFICIENT},
    validity_note="the speed at the height, and the area, that the coefficient was made with",
    example={
        "load_coefficient": "-0.7",
        "stream_speed": "18 m/s",
        "reference_area": "1500 m2",
        "stream_density": "1.226 kg/m3",
    },
    caution="Tables count directions and signs in several ways: read how before one is taken over.",
)
def coefficient_force(
    load_coefficient: Real, stream_speed: Real, reference_area: Real, stream_density: Real
) -> Real:
    """Surge or sway force of wind or current from its coefficient.

    Parameters
    ----------
    load_coefficient : [-]
        Coefficient of the direction concerned, with the sign of the force.
    stream_speed : [m/s]
        Speed of wind or current past the hull.
    reference_area : [m2]
        Area that the coefficient was made dimensionless with.
    stream_density : [kg/m3]
        Density of the air, or of the sea.

    Returns
    -------
    coefficient_force : [N]
        Force on the hull along the axis of the coefficient.
    """
    return load_coefficient * 0.5 * stream_density * stream_speed**2 * reference_area


@published(
    formula="M_z = C_l 1/2 rho_s U_s^2 A_r L_r",
    source="ocimf-1994",
    where="form of its wind and current yaw moments; from memory",
    valid={"stream_speed": _SPEED, "load_coefficient": _COEFFICIENT},
    validity_note="the speed, area and length that the coefficient was made with, about midships",
    example={
        "load_coefficient": "0.12",
        "stream_speed": "18 m/s",
        "reference_area": "5200 m2",
        "reference_length": "210 m",
        "stream_density": "1.226 kg/m3",
    },
    caution="Tables count directions and signs in several ways: read how before one is taken over.",
)
def coefficient_moment(
    load_coefficient: Real,
    stream_speed: Real,
    reference_area: Real,
    reference_length: Real,
    stream_density: Real,
) -> Real:
    """Yaw moment of wind or current from its coefficient.

    Parameters
    ----------
    load_coefficient : [-]
        Coefficient of the direction concerned, about midships, positive with the bow to port.
    stream_speed : [m/s]
        Speed of wind or current past the hull.
    reference_area : [m2]
        Area that the coefficient was made dimensionless with.
    reference_length : [m]
        Length that the coefficient was made dimensionless with.
    stream_density : [kg/m3]
        Density of the air, or of the sea.

    Returns
    -------
    coefficient_moment : [N m]
        Moment on the hull about the vertical at midships.
    """
    force = coefficient_force(load_coefficient, stream_speed, reference_area, stream_density)
    return force * reference_length


def all_round(direction: Array, coefficients: Array, mirrored: bool) -> tuple[Array, Array]:
    """Return rows by growing direction that reach over a full turn at either end.

    Parameters
    ----------
    direction : [rad] from 0 to a full turn, or to half of one
    coefficients : surge, sway and yaw *(3, direction)*
    mirrored : whether the rows of starboard serve port: surge alike, sway and yaw turned round
    """
    turn = 2.0 * np.pi
    order = np.argsort(direction)
    direction, coefficients = direction[order], coefficients[:, order]
    if mirrored:
        inner = slice(-2, 0, -1)  # 0 and half a turn are on neither side
        port = coefficients[:, inner] * np.array([[1.0], [-1.0], [-1.0]])
        direction = np.concatenate([direction, turn - direction[inner]])
        coefficients = np.concatenate([coefficients, port], axis=1)
    elif direction[-1] - direction[0] >= turn - 1e-9:  # a full turn is 0 again
        direction, coefficients = direction[:-1], coefficients[:, :-1]
    ends = [direction[-1:] - turn, direction, direction[:1] + turn]
    columns = [coefficients[:, -1:], coefficients, coefficients[:, :1]]
    return np.concatenate(ends), np.concatenate(columns, axis=1)
