"""Where the hole is: minimum curvature between two survey stations, and dogleg severity."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

EXAMPLE: Final = {
    "course_length": "100 ft",
    "inclination_above": "15 deg",
    "azimuth_above": "20 deg",
    "inclination_below": "25 deg",
    "azimuth_below": "45 deg",
}
DIRECTIONS: Final = {name: text for name, text in EXAMPLE.items() if name != "course_length"}
HALF_TURN: Final = Limit(0.0, np.pi, "inclination from the vertical")
VALID: Final = {"inclination_above": HALF_TURN, "inclination_below": HALF_TURN}
WHERE: Final = "minimum curvature, from memory"


def _dogleg(
    inclination_above: Real, azimuth_above: Real, inclination_below: Real, azimuth_below: Real
) -> Real:
    # Half-angle form: the arc cosine of the textbook loses all digits for small doglegs.
    build = np.sin((inclination_below - inclination_above) / 2.0) ** 2
    turn = np.sin((azimuth_below - azimuth_above) / 2.0) ** 2
    square = build + np.sin(inclination_above) * np.sin(inclination_below) * turn
    angle: Real = 2.0 * np.arcsin(np.sqrt(np.clip(square, 0.0, 1.0)))
    return angle


def _ratio(dogleg_angle: Real) -> Real:
    half = np.asarray(dogleg_angle) / 2.0
    small = np.abs(half) < 1e-4
    safe = np.where(small, 1.0, half)
    return np.where(small, 1.0 + half**2 / 3.0, np.tan(safe) / safe)


@published(
    formula="sin^2(beta / 2) = sin^2((theta_2 - theta_1) / 2) "
    "+ sin theta_1 sin theta_2 sin^2((phi_2 - phi_1) / 2)",
    source="taylor-mason-1972",
    where=WHERE,
    valid=VALID,
    example=DIRECTIONS,
)
def dogleg_angle(
    inclination_above: Real, azimuth_above: Real, inclination_below: Real, azimuth_below: Real
) -> Real:
    """Angle between the directions of the hole at two survey stations.

    Parameters
    ----------
    inclination_above : [rad]
        Inclination at the upper station.
    azimuth_above : [rad]
        Azimuth at the upper station.
    inclination_below : [rad]
        Inclination at the lower station.
    azimuth_below : [rad]
        Azimuth at the lower station.

    Returns
    -------
    dogleg_angle : [rad]
        Total change of direction.
    """
    return _dogleg(inclination_above, azimuth_above, inclination_below, azimuth_below)


@published(
    formula="R_F = 2 / beta tan(beta / 2)",
    source="taylor-mason-1972",
    where=WHERE,
    valid={"dogleg_angle": Limit(0.0, 3.0, "stations less than a half turn apart")},
    example={"dogleg_angle": "12.95 deg"},
)
def ratio_factor(dogleg_angle: Real) -> Real:
    """Factor that turns balanced tangents into a circular arc.

    Parameters
    ----------
    dogleg_angle : [rad]
        Angle between the directions at the two stations.

    Returns
    -------
    ratio_factor : [-]
        Ratio factor, 1 for a straight hole.
    """
    return _ratio(dogleg_angle)


@published(
    formula="kappa = beta (theta_1, phi_1, theta_2, phi_2) / (Delta s)",
    source="taylor-mason-1972",
    where=WHERE,
    valid=VALID,
    example=EXAMPLE,
)
def dogleg_severity(
    course_length: Real,
    inclination_above: Real,
    azimuth_above: Real,
    inclination_below: Real,
    azimuth_below: Real,
) -> Real:
    """Change of direction of the hole per length between two survey stations.

    Parameters
    ----------
    course_length : [m]
        Measured length between the stations.
    inclination_above : [rad]
        Inclination at the upper station.
    azimuth_above : [rad]
        Azimuth at the upper station.
    inclination_below : [rad]
        Inclination at the lower station.
    azimuth_below : [rad]
        Azimuth at the lower station.

    Returns
    -------
    dogleg_severity : [rad/m]
        Curvature of the arc between the stations.
    """
    angle = _dogleg(inclination_above, azimuth_above, inclination_below, azimuth_below)
    return angle / course_length


@published(
    formula="Delta N = (Delta s) / 2 (sin theta_1 cos phi_1 + sin theta_2 cos phi_2) R_F",
    source="taylor-mason-1972",
    where=WHERE,
    valid=VALID,
    example=EXAMPLE,
)
def northing_increment(
    course_length: Real,
    inclination_above: Real,
    azimuth_above: Real,
    inclination_below: Real,
    azimuth_below: Real,
) -> Real:
    """Northing gained between two survey stations.

    Parameters
    ----------
    course_length : [m]
        Measured length between the stations.
    inclination_above : [rad]
        Inclination at the upper station.
    azimuth_above : [rad]
        Azimuth at the upper station.
    inclination_below : [rad]
        Inclination at the lower station.
    azimuth_below : [rad]
        Azimuth at the lower station.

    Returns
    -------
    northing_increment : [m]
        Northwards, in the north that the azimuths count from.
    """
    factor = _ratio(_dogleg(inclination_above, azimuth_above, inclination_below, azimuth_below))
    tangents: Real = np.sin(inclination_above) * np.cos(azimuth_above) + np.sin(
        inclination_below
    ) * np.cos(azimuth_below)
    return course_length / 2.0 * tangents * factor


@published(
    formula="Delta E = (Delta s) / 2 (sin theta_1 sin phi_1 + sin theta_2 sin phi_2) R_F",
    source="taylor-mason-1972",
    where=WHERE,
    valid=VALID,
    example=EXAMPLE,
)
def easting_increment(
    course_length: Real,
    inclination_above: Real,
    azimuth_above: Real,
    inclination_below: Real,
    azimuth_below: Real,
) -> Real:
    """Easting gained between two survey stations.

    Parameters
    ----------
    course_length : [m]
        Measured length between the stations.
    inclination_above : [rad]
        Inclination at the upper station.
    azimuth_above : [rad]
        Azimuth at the upper station.
    inclination_below : [rad]
        Inclination at the lower station.
    azimuth_below : [rad]
        Azimuth at the lower station.

    Returns
    -------
    easting_increment : [m]
        Eastwards, in the north that the azimuths count from.
    """
    factor = _ratio(_dogleg(inclination_above, azimuth_above, inclination_below, azimuth_below))
    tangents: Real = np.sin(inclination_above) * np.sin(azimuth_above) + np.sin(
        inclination_below
    ) * np.sin(azimuth_below)
    return course_length / 2.0 * tangents * factor


@published(
    formula="Delta z = (Delta s) / 2 (cos theta_1 + cos theta_2) R_F, "
    "quad beta (theta_1, phi_1, theta_2, phi_2)",
    source="taylor-mason-1972",
    where=WHERE,
    valid=VALID,
    example=EXAMPLE,
)
def vertical_increment(
    course_length: Real,
    inclination_above: Real,
    azimuth_above: Real,
    inclination_below: Real,
    azimuth_below: Real,
) -> Real:
    """True vertical depth gained between two survey stations.

    Parameters
    ----------
    course_length : [m]
        Measured length between the stations.
    inclination_above : [rad]
        Inclination at the upper station.
    azimuth_above : [rad]
        Azimuth at the upper station.
    inclination_below : [rad]
        Inclination at the lower station.
    azimuth_below : [rad]
        Azimuth at the lower station.

    Returns
    -------
    vertical_increment : [m]
        Downwards.
    """
    factor = _ratio(_dogleg(inclination_above, azimuth_above, inclination_below, azimuth_below))
    return course_length / 2.0 * (np.cos(inclination_above) + np.cos(inclination_below)) * factor
