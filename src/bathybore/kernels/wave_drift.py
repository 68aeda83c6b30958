"""Mean wave-drift loads on a ship-shaped hull; axes and directions as in hull_loads."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import published
from bathybore.kernels.hull_loads import ANY_ANGLE, FROM_MEMORY, SHIP_SHAPED, off_the_bow

STANDARD_GRAVITY: Final = 9.80665  # m/s2, SI brochure


@published(
    formula="F <= rho_w g H_s^2 / 16 b",
    source="faltinsen-1990",
    where="chapter 5, after Maruo (1960); from memory",
    example={
        "significant_wave_height": "5 m",
        "projected_width": "32 m",
        "sea_water_density": "1025 kg/m3",
    },
    caution="An upper bound: long waves pass under the hull and push far less.",
)
def wave_drift_bound(
    significant_wave_height: Real,
    projected_width: Real,
    sea_water_density: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Largest mean wave-drift force: every wave is thrown back by a wall across it.

    A reflected wave of amplitude a pushes with rho g a²/2 per metre; over a sea the
    mean of a²/2 is the variance of the surface, Hs²/16.

    Parameters
    ----------
    significant_wave_height : [m]
        Significant wave height.
    projected_width : [m]
        Width of the hull across the waves.
    sea_water_density : [kg/m3]
        Density of the sea at the surface.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    wave_drift_bound : [N]
        Upper bound of the mean force down the waves.
    """
    variance = significant_wave_height**2 / 16.0
    return sea_water_density * gravity * variance * projected_width


@published(
    formula="F_x = -rho_w g H_s^2 / 16 B cos theta abs(cos theta)",
    source="faltinsen-1990",
    where="chapter 5, short waves on the lit side of a waterline, applied to a box; from memory",
    validity_note="box-shaped waterline, vertical sides, all waves thrown back: an upper bound",
    example={
        "significant_wave_height": "5 m",
        "breadth": "36 m",
        "relative_wave_direction": "30 deg",
        "sea_water_density": "1025 kg/m3",
    },
    caution="An upper bound: a fine bow and long waves give far less.",
)
def wave_drift_surge_bound(
    significant_wave_height: Real,
    breadth: Real,
    relative_wave_direction: Real,
    sea_water_density: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Largest mean wave-drift force along the ship: the end of a box throws all waves back.

    On a wall met at an angle both the energy that arrives and the push across the
    wall carry a cosine; the sheltered end feels nothing.

    Parameters
    ----------
    significant_wave_height : [m]
        Significant wave height.
    breadth : [m]
        Greatest breadth at the waterline.
    relative_wave_direction : [rad]
        Where the waves come from, clockwise from the bow.
    sea_water_density : [kg/m3]
        Density of the sea at the surface.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    wave_drift_surge_bound : [N]
        Bound of the mean force, positive forward.
    """
    cosine = np.cos(relative_wave_direction)
    bound = wave_drift_bound(significant_wave_height, breadth, sea_water_density, gravity)
    return -bound * cosine * np.abs(cosine)


def _period_reduction(relative_period: Real) -> Real:
    """Return the drop of drift force in waves too long for the hull to throw back."""
    cubed = np.maximum(relative_period, 1.0) ** -3.0
    return cubed * np.exp(1.0 - cubed)


@published(
    formula='F_y = 0.09 1/2 rho_w g H_s^2 L_"os" sin theta f(T\'), \\ '
    "f(T') = 1 quad T' < 1; quad T'^(-3) e^(1 - T'^(-3)) quad T' >= 1, \\ "
    "T' = T_z / (0.75 sqrt(B))",
    source="dnv-st-0111",
    where="wave drift loads, level 1 method; from memory",
    valid={"relative_wave_direction": ANY_ANGLE},
    validity_note=SHIP_SHAPED,
    example={
        "significant_wave_height": "5 m",
        "zero_crossing_period": "8 s",
        "underwater_length": "210 m",
        "breadth": "36 m",
        "relative_wave_direction": "30 deg",
        "sea_water_density": "1025 kg/m3",
    },
    caution=FROM_MEMORY,
)
def wave_drift_sway_force(
    significant_wave_height: Real,
    zero_crossing_period: Real,
    underwater_length: Real,
    breadth: Real,
    relative_wave_direction: Real,
    sea_water_density: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Mean wave-drift force across the ship, positive to port.

    Parameters
    ----------
    significant_wave_height : [m]
        Significant wave height.
    zero_crossing_period : [s]
        Mean zero-crossing period of the sea.
    underwater_length : [m]
        Length of the hull below the waterline.
    breadth : [m]
        Greatest breadth at the waterline.
    relative_wave_direction : [rad]
        Where the waves come from, clockwise from the bow.
    sea_water_density : [kg/m3]
        Density of the sea at the surface.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    wave_drift_sway_force : [N]
        Mean force on the hull, positive to port.
    """
    relative_period = zero_crossing_period / (0.75 * np.sqrt(breadth))
    pressure = 0.5 * sea_water_density * gravity * significant_wave_height**2
    force = 0.09 * pressure * underwater_length * np.sin(relative_wave_direction)
    return force * _period_reduction(relative_period)


@published(
    formula='M_z = F_y (x_"os" + (0.05 - 0.14 abs(theta) / pi) L_"os")',
    source="dnv-st-0111",
    where="wave drift loads, level 1 method; from memory",
    valid={"relative_wave_direction": ANY_ANGLE},
    validity_note=SHIP_SHAPED + "; the arm is folded so that port and starboard mirror",
    example={
        "wave_drift_sway_force": "500 kN",
        "underwater_length": "210 m",
        "underwater_length_centre": "1 m",
        "relative_wave_direction": "30 deg",
    },
    caution=FROM_MEMORY,
)
def wave_drift_yaw_moment(
    wave_drift_sway_force: Real,
    underwater_length: Real,
    underwater_length_centre: Real,
    relative_wave_direction: Real,
) -> Real:
    """Mean wave-drift moment about the vertical at midships, positive anticlockwise from above.

    Parameters
    ----------
    wave_drift_sway_force : [N]
        Mean wave-drift force across the ship, positive to port.
    underwater_length : [m]
        Length of the hull below the waterline.
    underwater_length_centre : [m]
        Middle of that length forward of midships.
    relative_wave_direction : [rad]
        Where the waves come from, clockwise from the bow.

    Returns
    -------
    wave_drift_yaw_moment : [N m]
        Mean moment on the hull, positive when it turns the bow to port.
    """
    share = 0.05 - 0.14 * off_the_bow(relative_wave_direction) / np.pi
    return wave_drift_sway_force * (underwater_length_centre + share * underwater_length)
