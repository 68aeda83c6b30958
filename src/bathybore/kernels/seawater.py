"""Sea water: TEOS-10 density, pressure, freezing and gravity, and the weight of the sea column.

Sea pressure is counted above one standard atmosphere, so it is a gauge pressure.
Salinity is the absolute salinity of TEOS-10 in grams a kilogram, temperature the
conservative temperature; measured profiles give practical salinity and in-situ
temperature, and the first two equations turn them over.
"""

from __future__ import annotations

from typing import Final

import gsw
import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import Limit, published

_DECIBAR: Final = 1.0e4  # Pa, exact
_ICE_POINT: Final = 273.15  # K at 0 degC, exact
_QUARTER_TURN: Final = np.pi / 2

_LATITUDE: Final = Limit(-_QUARTER_TURN, _QUARTER_TURN, "latitudes end at the poles")
_SALINITY: Final = Limit(0.0, 42.0, "oceanographic range of TEOS-10")
_TEMPERATURE: Final = Limit(270.0, 313.15, "oceanographic range of TEOS-10, freezing to 40 degC")
_PRESSURE: Final = Limit(0.0, 1.0e8, "0 to 10,000 dbar")


@published(
    formula="S_A = (35.16504 / 35) S_P + delta S_A (p, lambda, phi)",
    source="teos-10",
    where="section 2.5, eq. 2.5.1, with the salinity anomaly of the library's atlas",
    valid={
        "practical_salinity": Limit(0.0, 42.0, "practical salinity scale"),
        "sea_pressure": _PRESSURE,
        "latitude": Limit(-1.5009831567, _QUARTER_TURN, "the anomaly atlas ends at 86 deg S"),
    },
    example={
        "practical_salinity": "34.56",
        "sea_pressure": "10 MPa",
        "longitude": "188 deg",
        "latitude": "4 deg",
    },
)
def absolute_salinity(
    practical_salinity: Real, sea_pressure: Real, longitude: Real, latitude: Real
) -> Real:
    """Mass of dissolved salts per mass of sea water, from the salinity that an instrument reads.

    Parameters
    ----------
    practical_salinity : [-]
        Salinity on the practical scale of 1978.
    sea_pressure : [Pa]
        Pressure above one standard atmosphere.
    longitude : [rad]
        Positive to the east.
    latitude : [rad]
        Positive to the north.

    Returns
    -------
    absolute_salinity : [g/kg]
        Absolute salinity; far inland, where the atlas ends, without its anomaly.
    """
    result: Real = gsw.SA_from_SP(
        practical_salinity, sea_pressure / _DECIBAR, np.degrees(longitude), np.degrees(latitude)
    )
    return result


@published(
    formula='Theta = h_0 (S_A, theta(S_A, T, p)) / c_p^0, quad c_p^0 = 3991.86795711963 "J/kg/K"',
    source="teos-10",
    where="section 3.3, eq. 3.3.1",
    valid={
        "absolute_salinity": _SALINITY,
        "in_situ_temperature": _TEMPERATURE,
        "sea_pressure": _PRESSURE,
    },
    example={
        "absolute_salinity": "34.73 g/kg",
        "in_situ_temperature": "4.40 degC",
        "sea_pressure": "10 MPa",
    },
)
def conservative_temperature(
    absolute_salinity: Real, in_situ_temperature: Real, sea_pressure: Real
) -> Real:
    """Temperature that measures the heat of sea water, from the one a thermometer reads in place.

    Potential enthalpy over a fixed heat capacity: it stays when water sinks without mixing.

    Parameters
    ----------
    absolute_salinity : [g/kg]
        Absolute salinity.
    in_situ_temperature : [K]
        Temperature as measured in place (scale ITS-90).
    sea_pressure : [Pa]
        Pressure above one standard atmosphere.

    Returns
    -------
    conservative_temperature : [K]
        Conservative temperature.
    """
    celsius: Real = gsw.CT_from_t(
        absolute_salinity, in_situ_temperature - _ICE_POINT, sea_pressure / _DECIBAR
    )
    return celsius + _ICE_POINT


@published(
    formula="T = T(S_A, Theta, p)",
    source="teos-10",
    where="inverse of eq. 3.3.1",
    valid={
        "absolute_salinity": _SALINITY,
        "conservative_temperature": _TEMPERATURE,
        "sea_pressure": _PRESSURE,
    },
    example={
        "absolute_salinity": "34.73 g/kg",
        "conservative_temperature": "4.32 degC",
        "sea_pressure": "10 MPa",
    },
)
def in_situ_temperature(
    absolute_salinity: Real, conservative_temperature: Real, sea_pressure: Real
) -> Real:
    """Temperature that steel and mud feel in the sea, from the conservative temperature.

    Parameters
    ----------
    absolute_salinity : [g/kg]
        Absolute salinity.
    conservative_temperature : [K]
        Conservative temperature.
    sea_pressure : [Pa]
        Pressure above one standard atmosphere.

    Returns
    -------
    in_situ_temperature : [K]
        Temperature in place (scale ITS-90).
    """
    celsius: Real = gsw.t_from_CT(
        absolute_salinity, conservative_temperature - _ICE_POINT, sea_pressure / _DECIBAR
    )
    return celsius + _ICE_POINT


@published(
    formula="rho_w = 1 / (v_75 (S_A, Theta, p))",
    source="teos-10",
    where="75-term specific volume, Roquet et al. (2015), Ocean Modelling 90, 29-43",
    valid={
        "absolute_salinity": _SALINITY,
        "conservative_temperature": _TEMPERATURE,
        "sea_pressure": _PRESSURE,
    },
    example={
        "absolute_salinity": "34.73 g/kg",
        "conservative_temperature": "4.32 degC",
        "sea_pressure": "10 MPa",
    },
)
def sea_water_density(
    absolute_salinity: Real, conservative_temperature: Real, sea_pressure: Real
) -> Real:
    """Density of sea water in place, by the 75-term polynomial of TEOS-10.

    Parameters
    ----------
    absolute_salinity : [g/kg]
        Absolute salinity.
    conservative_temperature : [K]
        Conservative temperature.
    sea_pressure : [Pa]
        Pressure above one standard atmosphere.

    Returns
    -------
    sea_water_density : [kg/m3]
        Density in place.
    """
    result: Real = gsw.rho(
        absolute_salinity, conservative_temperature - _ICE_POINT, sea_pressure / _DECIBAR
    )
    return result


@published(
    formula='c_"sw" = c_p (S_A, T, p)',
    source="teos-10",
    where="section 2.20, eq. 2.20.1",
    valid={
        "absolute_salinity": _SALINITY,
        "in_situ_temperature": _TEMPERATURE,
        "sea_pressure": _PRESSURE,
    },
    example={
        "absolute_salinity": "34.73 g/kg",
        "in_situ_temperature": "4.40 degC",
        "sea_pressure": "10 MPa",
    },
)
def sea_water_heat_capacity(
    absolute_salinity: Real, in_situ_temperature: Real, sea_pressure: Real
) -> Real:
    """Heat that a kilogram of sea water takes up per degree at constant pressure.

    Parameters
    ----------
    absolute_salinity : [g/kg]
        Absolute salinity.
    in_situ_temperature : [K]
        Temperature in place.
    sea_pressure : [Pa]
        Pressure above one standard atmosphere.

    Returns
    -------
    sea_water_heat_capacity : [J/kg/K]
        Isobaric heat capacity.
    """
    result: Real = gsw.cp_t_exact(
        absolute_salinity, in_situ_temperature - _ICE_POINT, sea_pressure / _DECIBAR
    )
    return result


@published(
    formula=(
        'mu_"sw" = mu_w (1 + A S_A + B S_A^2) \\ '
        "mu_w = 4.2844 dot 10^(-5) + [0.157 (T + 64.993)^2 - 91.296]^(-1) \\ "
        "A = 1.541 + 0.01998 T - 9.52 dot 10^(-5) T^2, quad "
        "B = 7.974 - 0.07561 T + 4.724 dot 10^(-4) T^2"
    ),
    source="sharqawy-2010",
    where="eqs. 22 and 23 (T in degC, S in kg/kg), from memory",
    valid={
        "absolute_salinity": Limit(0.0, 150.0, "fitted range"),
        "in_situ_temperature": Limit(273.15, 453.15, "fitted range, 0 to 180 degC"),
    },
    validity_note="At atmospheric pressure; accurate to 1.5 %.",
    example={"absolute_salinity": "35 g/kg", "in_situ_temperature": "20 degC"},
)
def sea_water_viscosity(absolute_salinity: Real, in_situ_temperature: Real) -> Real:
    """Dynamic viscosity of sea water, the drilling fluid of a riserless hole.

    Parameters
    ----------
    absolute_salinity : [g/kg]
        Absolute salinity.
    in_situ_temperature : [K]
        Temperature in place.

    Returns
    -------
    sea_water_viscosity : [Pa s]
        Dynamic viscosity.
    """
    t = in_situ_temperature - _ICE_POINT
    s = absolute_salinity / 1000.0
    fresh = 4.2844e-5 + 1.0 / (0.157 * (t + 64.993) ** 2 - 91.296)
    a = 1.541 + 1.998e-2 * t - 9.52e-5 * t**2
    b = 7.974 - 7.561e-2 * t + 4.724e-4 * t**2
    return fresh * (1.0 + a * s + b * s**2)


@published(
    formula='T_"fr" = T_"fr" (S_A, p, s_a)',
    source="teos-10",
    where="section 3.33, polynomial of the library",
    valid={
        "absolute_salinity": _SALINITY,
        "sea_pressure": _PRESSURE,
        "air_saturation": Limit(0.0, 1.0, "none to saturated"),
    },
    example={"absolute_salinity": "34.73 g/kg", "sea_pressure": "10 MPa"},
)
def freezing_temperature(
    absolute_salinity: Real, sea_pressure: Real, air_saturation: Real = 1.0
) -> Real:
    """In-situ temperature at which sea water begins to freeze.

    Parameters
    ----------
    absolute_salinity : [g/kg]
        Absolute salinity.
    sea_pressure : [Pa]
        Pressure above one standard atmosphere.
    air_saturation : [-]
        Dissolved air as a share of saturation.

    Returns
    -------
    freezing_temperature : [K]
        Freezing temperature in place.
    """
    celsius: Real = gsw.t_freezing(absolute_salinity, sea_pressure / _DECIBAR, air_saturation)
    return celsius + _ICE_POINT


@published(
    formula="g = 9.780327 (1 + 5.2792 dot 10^(-3) s^2 + 2.32 dot 10^(-5) s^4) "
    "(1 - 2.26 dot 10^(-7) z(p, phi)), quad s = sin phi",
    source="teos-10",
    where="appendix D, eq. D.3",
    valid={"latitude": _LATITUDE, "sea_pressure": _PRESSURE},
    validity_note="In the sea. Below the sea bed the density of the crust governs instead.",
    example={"latitude": "30 deg"},
)
def gravity_at_latitude(latitude: Real, sea_pressure: Real = 0.0) -> Real:
    """Acceleration of gravity in the sea.

    Parameters
    ----------
    latitude : [rad]
        Positive to the north.
    sea_pressure : [Pa]
        Pressure above one standard atmosphere; zero at the sea surface.

    Returns
    -------
    gravity : [m/s2]
        Acceleration of gravity.
    """
    result: Real = gsw.grav(np.degrees(latitude), sea_pressure / _DECIBAR)
    return result


@published(
    formula="p : quad integral_0^z g(phi, z') dif z' = integral_0^p v(35.16504, 0, p') dif p'",
    source="teos-10",
    where="section 3.32, standard ocean of 35.16504 g/kg and 0 degC",
    valid={
        "depth_below_sea_level": Limit(0.0, 11000.0, "no sea is deeper"),
        "latitude": _LATITUDE,
    },
    validity_note="Standard ocean: integrate a measured profile instead, warm water is lighter.",
    example={"depth_below_sea_level": "4000 m", "latitude": "30 deg"},
)
def sea_pressure_at_depth(depth_below_sea_level: Real, latitude: Real) -> Real:
    """Gauge pressure in a standard ocean at a depth.

    Parameters
    ----------
    depth_below_sea_level : [m]
        Depth below mean sea level.
    latitude : [rad]
        Positive to the north.

    Returns
    -------
    sea_pressure : [Pa]
        Pressure above one standard atmosphere.
    """
    decibar: Real = gsw.p_from_z(-np.asarray(depth_below_sea_level), np.degrees(latitude))
    return decibar * _DECIBAR


@published(
    formula="z : quad integral_0^z g(phi, z') dif z' = integral_0^p v(35.16504, 0, p') dif p'",
    source="teos-10",
    where="section 3.32, standard ocean of 35.16504 g/kg and 0 degC",
    valid={"sea_pressure": Limit(0.0, 1.15e8, "no sea is deeper"), "latitude": _LATITUDE},
    validity_note="Standard ocean.",
    example={"sea_pressure": "40 MPa", "latitude": "30 deg"},
)
def depth_from_sea_pressure(sea_pressure: Real, latitude: Real) -> Real:
    """Depth in a standard ocean at which a gauge pressure is reached.

    Parameters
    ----------
    sea_pressure : [Pa]
        Pressure above one standard atmosphere.
    latitude : [rad]
        Positive to the north.

    Returns
    -------
    depth_below_sea_level : [m]
        Depth below mean sea level.
    """
    height: Real = gsw.z_from_p(sea_pressure / _DECIBAR, np.degrees(latitude))
    return -height


@published(
    formula=(
        "z = (9.72659 p - 2.2512 dot 10^(-5) p^2 + 2.279 dot 10^(-10) p^3"
        " - 1.82 dot 10^(-15) p^4) / (g(phi) + 1.092 dot 10^(-6) p) \\ "
        "g(phi) = 9.780318 (1 + 5.2788 dot 10^(-3) s^2 + 2.36 dot 10^(-5) s^4), quad s = sin phi"
    ),
    source="fofonoff-millard-1983",
    where="algorithm for depth after Saunders and Fofonoff (p in decibar)",
    valid={"sea_pressure": _PRESSURE, "latitude": _LATITUDE},
    validity_note="Kept to read old records; use the TEOS-10 form for planning.",
    example={"sea_pressure": "40 MPa", "latitude": "30 deg"},
)
def depth_from_pressure_unesco(sea_pressure: Real, latitude: Real) -> Real:
    """Depth at a gauge pressure after the formula of 1983, on which older surveys rest.

    Parameters
    ----------
    sea_pressure : [Pa]
        Pressure above one standard atmosphere.
    latitude : [rad]
        Positive to the north.

    Returns
    -------
    depth_below_sea_level : [m]
        Depth below mean sea level.
    """
    p = sea_pressure / _DECIBAR
    x = np.sin(latitude) ** 2
    gravity = 9.780318 * (1.0 + (5.2788e-3 + 2.36e-5 * x) * x) + 1.092e-6 * p
    result: Real = (((-1.82e-15 * p + 2.279e-10) * p - 2.2512e-5) * p + 9.72659) * p / gravity
    return result


@published(
    formula=(
        "p = p_1 + h / 2 [g_1 rho(S_1, Theta_1, p_1) + g_2 rho(S_2, Theta_2, p)], quad "
        "g_1 = g(phi, p_1), g_2 = g(phi, p)"
    ),
    source="teos-10",
    where="hydrostatic balance, eq. 3.20.2; trapezoid over one layer",
    valid={
        "sea_pressure_above": _PRESSURE,
        "layer_thickness": Limit(0.0, 1000.0, "the trapezoid is within 100 Pa"),
        "absolute_salinity_above": _SALINITY,
        "absolute_salinity_below": _SALINITY,
        "conservative_temperature_above": _TEMPERATURE,
        "conservative_temperature_below": _TEMPERATURE,
        "latitude": _LATITUDE,
    },
    example={
        "sea_pressure_above": "10 MPa",
        "layer_thickness": "200 m",
        "absolute_salinity_above": "34.73 g/kg",
        "absolute_salinity_below": "34.75 g/kg",
        "conservative_temperature_above": "4.3 degC",
        "conservative_temperature_below": "3.6 degC",
        "latitude": "4 deg",
    },
)
def sea_pressure_below_layer(
    sea_pressure_above: Real,
    layer_thickness: Real,
    absolute_salinity_above: Real,
    absolute_salinity_below: Real,
    conservative_temperature_above: Real,
    conservative_temperature_below: Real,
    latitude: Real,
) -> Real:
    """Sea pressure at the foot of a layer between two measured points.

    Density and gravity at the foot depend on the pressure sought. The map contracts
    by about half of layer weight over bulk modulus (under 1 % for 4 km), so each pass
    adds at least two digits.

    Parameters
    ----------
    sea_pressure_above : [Pa]
        Sea pressure at the top of the layer.
    layer_thickness : [m]
        Height of the layer.
    absolute_salinity_above : [g/kg]
        Absolute salinity at the top.
    absolute_salinity_below : [g/kg]
        Absolute salinity at the foot.
    conservative_temperature_above : [K]
        Conservative temperature at the top.
    conservative_temperature_below : [K]
        Conservative temperature at the foot.
    latitude : [rad]
        Positive to the north.

    Returns
    -------
    sea_pressure : [Pa]
        Sea pressure at the foot.

    Raises
    ------
    NotConverged
        The pressure did not settle.
    """
    top = sea_water_density(
        absolute_salinity_above, conservative_temperature_above, sea_pressure_above
    ) * gravity_at_latitude(latitude, sea_pressure_above)
    pressure = sea_pressure_above + top * layer_thickness
    for _ in range(10):  # a fixed count: a stack must give the single answers to the last digit
        foot = sea_water_density(
            absolute_salinity_below, conservative_temperature_below, pressure
        ) * gravity_at_latitude(latitude, pressure)
        previous, pressure = pressure, sea_pressure_above + 0.5 * layer_thickness * (top + foot)
    if not np.all(np.abs(pressure - previous) <= 1e-10 * np.abs(pressure) + 1e-6):
        raise NotConverged("sea pressure below a layer did not settle in 10 passes")
    return pressure


def sea_column_pressure(
    depth_below_sea_level: Array,
    absolute_salinity: Array,
    conservative_temperature: Array,
    latitude: Real,
) -> Array:
    """Sea pressure at every node of a measured profile, layer by layer from the surface.

    Above the first node salinity and temperature are held at that node's values, so a
    profile of one node is a column of one water, compressed by its own weight.

    Parameters
    ----------
    depth_below_sea_level : (..., depth) [m]
        Depths of the nodes below mean sea level, increasing, none negative.
    absolute_salinity : (..., depth) [g/kg]
        Absolute salinity at the nodes.
    conservative_temperature : (..., depth) [K]
        Conservative temperature at the nodes.
    latitude : (...) [rad]
        Positive to the north.

    Returns
    -------
    sea_pressure : (..., depth) [Pa]
        Sea pressure at the nodes.

    Raises
    ------
    ValueError
        Depths are negative or not in increasing order.
    NotConverged
        The pressure did not settle.
    """
    depth, salinity, warmth = np.broadcast_arrays(
        *(
            np.atleast_1d(np.asarray(a, dtype=float))
            for a in (depth_below_sea_level, absolute_salinity, conservative_temperature)
        )
    )
    if np.any(depth[..., 0] < 0.0) or np.any(np.diff(depth, axis=-1) <= 0.0):
        raise ValueError("depths of a sea profile must increase downwards from sea level")
    pressures = []
    above: Real = 0.0
    for node in range(depth.shape[-1]):
        upper = max(node - 1, 0)
        thickness = depth[..., node] - (depth[..., upper] if node else 0.0)
        above = sea_pressure_below_layer(
            above,
            thickness,
            salinity[..., upper],
            salinity[..., node],
            warmth[..., upper],
            warmth[..., node],
            latitude,
        )
        pressures.append(above)
    return np.stack(np.broadcast_arrays(*pressures), axis=-1)
