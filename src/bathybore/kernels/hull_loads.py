"""Wind and current loads on a ship-shaped hull; the axes that all loads on it share.

Axes: x forward, y to port, z up, so that a yaw moment is positive anticlockwise
seen from above. A relative direction is where the weather *comes from*, clockwise
from the bow: 0 is head, a quarter turn is from starboard. A current given as
'setting towards' must be turned by half a turn first.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

# kg/m3; the value that DNV-ST-0111 takes for wind loads, from memory
STANDARD_AIR_DENSITY: Final = 1.226

# Shape coefficients of wind force, IMO MODU Code (2009) table 3-1, from memory.
WIND_SHAPE_COEFFICIENTS: Final = {
    "sphere": 0.4,
    "cylinder": 0.5,
    "large flat surface": 1.0,
    "drilling derrick": 1.25,
    "wires": 1.2,
    "exposed beams and girders under deck": 1.3,
    "small parts": 1.4,
    "isolated shapes such as cranes": 1.5,
    "clustered deckhouses": 1.1,
}

# Upper edge of each height band [m] and its coefficient, IMO MODU Code (2009) table 3-2.
_HEIGHT_TABLE: Final = np.array(
    [
        [15.3, 1.00],
        [30.5, 1.10],
        [46.0, 1.20],
        [61.0, 1.30],
        [76.0, 1.37],
        [91.5, 1.43],
        [106.5, 1.48],
        [122.0, 1.52],
        [137.0, 1.56],
        [152.5, 1.60],
        [167.5, 1.63],
        [183.0, 1.67],
        [198.0, 1.70],
        [213.5, 1.72],
        [228.5, 1.75],
        [244.0, 1.77],
        [256.0, 1.79],
        [np.inf, 1.80],
    ]
)

SHIP_SHAPED: Final = "ship-shaped single hull; a first estimate where no model test exists"
FROM_MEMORY: Final = "Coefficients from memory: read the standard before a decision rests on them."
ANY_ANGLE: Final = Limit(-2 * np.pi, 2 * np.pi, "an angle within a full turn")


def off_the_bow(direction: Real) -> Real:
    """Return the angle off the bow, 0 to pi, whichever side the weather comes from."""
    return np.abs(np.remainder(direction + np.pi, 2.0 * np.pi) - np.pi)


@published(
    formula="F_x = -0.7 1/2 rho_a V_w^2 A_F cos theta",
    source="dnv-st-0111",
    where="wind loads, level 1 method; from memory",
    valid={"relative_wind_direction": ANY_ANGLE, "wind_speed": Limit(0.0, 60.0)},
    validity_note=SHIP_SHAPED,
    example={
        "wind_speed": "17.1 m/s",
        "frontal_wind_area": "900 m2",
        "relative_wind_direction": "30 deg",
    },
)
def wind_surge_force(
    wind_speed: Real,
    frontal_wind_area: Real,
    relative_wind_direction: Real,
    air_density: Real = STANDARD_AIR_DENSITY,
) -> Real:
    """Mean wind force along the ship, positive forward.

    Dynamic pressure on the frontal area; a head wind pushes aft.

    Parameters
    ----------
    wind_speed : [m/s]
        Mean wind speed at 10 m above the sea.
    frontal_wind_area : [m2]
        Projected area above the waterline seen from ahead.
    relative_wind_direction : [rad]
        Where the wind comes from, clockwise from the bow.
    air_density : [kg/m3]
        Density of the air.

    Returns
    -------
    wind_surge_force : [N]
        Force on the hull, positive forward.
    """
    pressure = 0.5 * air_density * wind_speed**2
    return -0.7 * pressure * frontal_wind_area * np.cos(relative_wind_direction)


@published(
    formula="F_y = 0.9 1/2 rho_a V_w^2 A_L sin theta",
    source="dnv-st-0111",
    where="wind loads, level 1 method; from memory",
    valid={"relative_wind_direction": ANY_ANGLE, "wind_speed": Limit(0.0, 60.0)},
    validity_note=SHIP_SHAPED,
    example={
        "wind_speed": "17.1 m/s",
        "lateral_wind_area": "2600 m2",
        "relative_wind_direction": "30 deg",
    },
)
def wind_sway_force(
    wind_speed: Real,
    lateral_wind_area: Real,
    relative_wind_direction: Real,
    air_density: Real = STANDARD_AIR_DENSITY,
) -> Real:
    """Mean wind force across the ship, positive to port.

    Wind from starboard (a quarter turn clockwise) pushes to port.

    Parameters
    ----------
    wind_speed : [m/s]
        Mean wind speed at 10 m above the sea.
    lateral_wind_area : [m2]
        Projected area above the waterline seen from the side.
    relative_wind_direction : [rad]
        Where the wind comes from, clockwise from the bow.
    air_density : [kg/m3]
        Density of the air.

    Returns
    -------
    wind_sway_force : [N]
        Force on the hull, positive to port.
    """
    pressure = 0.5 * air_density * wind_speed**2
    return 0.9 * pressure * lateral_wind_area * np.sin(relative_wind_direction)


@published(
    formula='M_z = 0.9 1/2 rho_a V_w^2 A_L sin theta (x_L + 0.3 (1 - 2 abs(theta) / pi) L_"pp")',
    source="dnv-st-0111",
    where="wind loads, level 1 method; from memory",
    valid={"relative_wind_direction": ANY_ANGLE, "wind_speed": Limit(0.0, 60.0)},
    validity_note=SHIP_SHAPED + "; the arm is folded so that port and starboard mirror",
    example={
        "wind_speed": "17.1 m/s",
        "lateral_wind_area": "2600 m2",
        "lateral_wind_area_centre": "2 m",
        "length_between_perpendiculars": "120 m",
        "relative_wind_direction": "30 deg",
    },
)
def wind_yaw_moment(
    wind_speed: Real,
    lateral_wind_area: Real,
    lateral_wind_area_centre: Real,
    length_between_perpendiculars: Real,
    relative_wind_direction: Real,
    air_density: Real = STANDARD_AIR_DENSITY,
) -> Real:
    """Mean wind moment about the vertical at midships, positive anticlockwise from above.

    The sway force acts ahead of the centre of area in winds from forward and abaft
    it in winds from aft.

    Parameters
    ----------
    wind_speed : [m/s]
        Mean wind speed at 10 m above the sea.
    lateral_wind_area : [m2]
        Projected area above the waterline seen from the side.
    lateral_wind_area_centre : [m]
        Its centre forward of midships (negative: abaft).
    length_between_perpendiculars : [m]
        Length of the ship between perpendiculars.
    relative_wind_direction : [rad]
        Where the wind comes from, clockwise from the bow.
    air_density : [kg/m3]
        Density of the air.

    Returns
    -------
    wind_yaw_moment : [N m]
        Moment on the hull, positive when it turns the bow to port.
    """
    share = 0.3 * (1.0 - 2.0 * off_the_bow(relative_wind_direction) / np.pi)
    arm = lateral_wind_area_centre + share * length_between_perpendiculars
    sway = wind_sway_force(wind_speed, lateral_wind_area, relative_wind_direction, air_density)
    return sway * arm


@published(
    formula="F = C_w C_s C_h A_w V_w^2",
    source="api-rp-2sk",
    where="wind force; from memory",
    valid={"shape_coefficient": Limit(0.3, 1.6), "height_coefficient": Limit(1.0, 1.8)},
    example={
        "wind_speed": "25 m/s",
        "wind_area": "1000 m2",
        "shape_coefficient": "1.0",
        "height_coefficient": "1.1",
    },
)
def member_wind_force(
    wind_speed: Real,
    wind_area: Real,
    shape_coefficient: Real,
    height_coefficient: Real,
    wind_force_coefficient: Real = 0.615,
) -> Real:
    """Wind force on one part above the water, with its shape and its height.

    The force coefficient is half the density of air; add the parts.

    Parameters
    ----------
    wind_speed : [m/s]
        Wind speed at 10 m above the sea.
    wind_area : [m2]
        Projected area of the part across the wind.
    shape_coefficient : [-]
        Shape coefficient of the part.
    height_coefficient : [-]
        Height coefficient of the band in which the part stands.
    wind_force_coefficient : [kg/m3]
        Half the density of air.

    Returns
    -------
    member_wind_force : [N]
        Force on the part, down the wind.
    """
    shape = shape_coefficient * height_coefficient
    return wind_force_coefficient * shape * wind_area * wind_speed**2


@published(
    formula="C_h = C_h (z_a)",
    source="imo-modu-2009",
    where="table 3-2, a table of height bands; from memory",
    valid={"height_above_sea": Limit(0.0, 300.0, "top of any derrick afloat")},
    example={"height_above_sea": "40 m"},
)
def height_coefficient(height_above_sea: Real) -> Real:
    """Height coefficient of wind force on a part whose centre stands in a height band.

    Parameters
    ----------
    height_above_sea : [m]
        Height of the centre of the part above the sea.

    Returns
    -------
    height_coefficient : [-]
        Coefficient of the band; a part on the edge of two bands takes the lower one.
    """
    band = np.searchsorted(_HEIGHT_TABLE[:, 0], height_above_sea, side="left")
    coefficient: Array = _HEIGHT_TABLE[band, 1]
    return coefficient


@published(
    formula='V = V_10 (1 + 0.137 ln(z_a / (10 "m")) - 0.047 ln(tau / (10 "min")))',
    source="dnv-rp-c205",
    where="wind profile and averaging time; from memory",
    valid={
        "height_above_sea": Limit(1.0, 150.0),
        "averaging_time": Limit(3.0, 3600.0, "3 s gust to hourly mean"),
    },
    example={
        "ten_minute_wind_speed": "20 m/s",
        "height_above_sea": "50 m",
        "averaging_time": "60 s",
    },
)
def wind_speed_at(
    ten_minute_wind_speed: Real, height_above_sea: Real, averaging_time: Real
) -> Real:
    """Wind speed at another height and averaging time than 10 m and 10 min.

    Parameters
    ----------
    ten_minute_wind_speed : [m/s]
        Ten-minute mean at 10 m above the sea.
    height_above_sea : [m]
        Height wanted.
    averaging_time : [s]
        Averaging time wanted.

    Returns
    -------
    wind_speed : [m/s]
        Wind speed at that height, averaged over that time.
    """
    profile = 0.137 * np.log(height_above_sea / 10.0)
    return ten_minute_wind_speed * (1.0 + profile - 0.047 * np.log(averaging_time / 600.0))


@published(
    formula='V = U_z (1 - 0.41 I ln(tau / (3600 "s"))), \\ '
    'U_z = U_h (1 + 0.0573 sqrt(1 + 0.148 U_h) ln(z_a / (10 "m"))), \\ '
    'I = 0.06 (1 + 0.043 U_h) (z_a / (10 "m"))^(-0.22)',
    source="dnv-rp-c205",
    where="Frøya wind profile (also ISO 19901-1); from memory",
    valid={
        "hourly_wind_speed": Limit(0.0, 50.0),
        "height_above_sea": Limit(1.0, 150.0),
        "averaging_time": Limit(1.0, 3600.0, "gusts shorter than the hour of the mean"),
    },
    validity_note="strong winds over open sea, near-neutral air",
    example={
        "hourly_wind_speed": "20 m/s",
        "height_above_sea": "50 m",
        "averaging_time": "60 s",
    },
)
def gust_wind_speed(hourly_wind_speed: Real, height_above_sea: Real, averaging_time: Real) -> Real:
    """Gust or short mean from the hourly mean at 10 m, by the profile measured at Frøya.

    Parameters
    ----------
    hourly_wind_speed : [m/s]
        One-hour mean at 10 m above the sea.
    height_above_sea : [m]
        Height wanted.
    averaging_time : [s]
        Averaging time of the gust.

    Returns
    -------
    wind_speed : [m/s]
        Highest mean over the averaging time within the hour.
    """
    ratio = height_above_sea / 10.0
    shear = 0.0573 * np.sqrt(1.0 + 0.148 * hourly_wind_speed)
    hourly = hourly_wind_speed * (1.0 + shear * np.log(ratio))
    intensity = 0.06 * (1.0 + 0.043 * hourly_wind_speed) * ratio**-0.22
    return hourly * (1.0 - 0.41 * intensity * np.log(averaging_time / 3600.0))


@published(
    formula="F_x = -0.07 1/2 rho_w U^2 B d_h cos theta",
    source="dnv-st-0111",
    where="current loads, level 1 method; from memory",
    valid={"relative_current_direction": ANY_ANGLE, "current_speed": Limit(0.0, 3.0)},
    validity_note=SHIP_SHAPED,
    example={
        "current_speed": "1.5 kn",
        "breadth": "36 m",
        "draught": "12 m",
        "relative_current_direction": "30 deg",
        "sea_water_density": "1025 kg/m3",
    },
    caution=FROM_MEMORY,
)
def current_surge_force(
    current_speed: Real,
    breadth: Real,
    draught: Real,
    relative_current_direction: Real,
    sea_water_density: Real,
) -> Real:
    """Current force along the ship, positive forward.

    Parameters
    ----------
    current_speed : [m/s]
        Speed of the current past the hull.
    breadth : [m]
        Greatest breadth at the waterline.
    draught : [m]
        Draught of the hull.
    relative_current_direction : [rad]
        Where the current comes from, clockwise from the bow.
    sea_water_density : [kg/m3]
        Density of the sea at the surface.

    Returns
    -------
    current_surge_force : [N]
        Force on the hull, positive forward.
    """
    pressure = 0.5 * sea_water_density * current_speed**2
    return -0.07 * pressure * breadth * draught * np.cos(relative_current_direction)


@published(
    formula='F_y = 0.6 1/2 rho_w U^2 A_"Lc" sin theta',
    source="dnv-st-0111",
    where="current loads, level 1 method; from memory",
    valid={"relative_current_direction": ANY_ANGLE, "current_speed": Limit(0.0, 3.0)},
    validity_note=SHIP_SHAPED,
    example={
        "current_speed": "1.5 kn",
        "lateral_current_area": "2300 m2",
        "relative_current_direction": "30 deg",
        "sea_water_density": "1025 kg/m3",
    },
    caution=FROM_MEMORY,
)
def current_sway_force(
    current_speed: Real,
    lateral_current_area: Real,
    relative_current_direction: Real,
    sea_water_density: Real,
) -> Real:
    """Current force across the ship, positive to port.

    Parameters
    ----------
    current_speed : [m/s]
        Speed of the current past the hull.
    lateral_current_area : [m2]
        Projected area below the waterline seen from the side.
    relative_current_direction : [rad]
        Where the current comes from, clockwise from the bow.
    sea_water_density : [kg/m3]
        Density of the sea at the surface.

    Returns
    -------
    current_sway_force : [N]
        Force on the hull, positive to port.
    """
    pressure = 0.5 * sea_water_density * current_speed**2
    return 0.6 * pressure * lateral_current_area * np.sin(relative_current_direction)


@published(
    formula='M_z = 0.6 1/2 rho_w U^2 A_"Lc" sin theta (x_"Lc" '
    '+ max(min(0.4 (1 - 2 abs(theta) / pi), 0.25), -0.2) L_"pp")',
    source="dnv-st-0111",
    where="current loads, level 1 method; from memory",
    valid={"relative_current_direction": ANY_ANGLE, "current_speed": Limit(0.0, 3.0)},
    validity_note=SHIP_SHAPED + "; the arm is folded so that port and starboard mirror",
    example={
        "current_speed": "1.5 kn",
        "lateral_current_area": "2300 m2",
        "lateral_current_area_centre": "1 m",
        "length_between_perpendiculars": "200 m",
        "relative_current_direction": "50 deg",
        "sea_water_density": "1025 kg/m3",
    },
    caution=FROM_MEMORY,
)
def current_yaw_moment(
    current_speed: Real,
    lateral_current_area: Real,
    lateral_current_area_centre: Real,
    length_between_perpendiculars: Real,
    relative_current_direction: Real,
    sea_water_density: Real,
) -> Real:
    """Current moment about the vertical at midships, positive anticlockwise from above.

    Parameters
    ----------
    current_speed : [m/s]
        Speed of the current past the hull.
    lateral_current_area : [m2]
        Projected area below the waterline seen from the side.
    lateral_current_area_centre : [m]
        Its centre forward of midships (negative: abaft).
    length_between_perpendiculars : [m]
        Length of the ship between perpendiculars.
    relative_current_direction : [rad]
        Where the current comes from, clockwise from the bow.
    sea_water_density : [kg/m3]
        Density of the sea at the surface.

    Returns
    -------
    current_yaw_moment : [N m]
        Moment on the hull, positive when it turns the bow to port.
    """
    linear = 0.4 * (1.0 - 2.0 * off_the_bow(relative_current_direction) / np.pi)
    share = np.maximum(np.minimum(linear, 0.25), -0.2)
    arm = lateral_current_area_centre + share * length_between_perpendiculars
    sway = current_sway_force(
        current_speed, lateral_current_area, relative_current_direction, sea_water_density
    )
    return sway * arm


@published(
    formula="F = C_b S U^2",
    source="api-rp-2sk",
    where="current force on a ship hull, bow or stern; from memory",
    valid={"current_speed": Limit(0.0, 3.0)},
    validity_note="ship-shaped hull, current along it",
    example={"wetted_surface": "4000 m2", "current_speed": "1 m/s"},
)
def bow_current_force(
    wetted_surface: Real, current_speed: Real, bow_current_coefficient: Real = 2.89
) -> Real:
    """Force of a current along the ship, from its wetted surface.

    Parameters
    ----------
    wetted_surface : [m2]
        Wetted surface of the hull with its appendages.
    current_speed : [m/s]
        Speed of the current past the hull.
    bow_current_coefficient : [kg/m3]
        Force per wetted surface and speed squared.

    Returns
    -------
    bow_current_force : [N]
        Force down the current.
    """
    return bow_current_coefficient * wetted_surface * current_speed**2


@published(
    formula="F = C_c S U^2",
    source="api-rp-2sk",
    where="current force on a ship hull, beam; from memory",
    valid={"current_speed": Limit(0.0, 3.0)},
    validity_note="ship-shaped hull, current across it",
    example={"wetted_surface": "4000 m2", "current_speed": "1 m/s"},
)
def beam_current_force(
    wetted_surface: Real, current_speed: Real, beam_current_coefficient: Real = 72.37
) -> Real:
    """Force of a current across the ship, from its wetted surface.

    Parameters
    ----------
    wetted_surface : [m2]
        Wetted surface of the hull with its appendages.
    current_speed : [m/s]
        Speed of the current past the hull.
    beam_current_coefficient : [kg/m3]
        Force per wetted surface and speed squared.

    Returns
    -------
    beam_current_force : [N]
        Force down the current.
    """
    return beam_current_coefficient * wetted_surface * current_speed**2
