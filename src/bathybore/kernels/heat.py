"""Heat: of the crust, of the ground, of a circulating hole, and the stress that cooling makes.

Heat flow is counted upwards, depth downwards.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

_MILLION_YEARS: Final = 1.0e6 * 31557600.0  # s, Julian years
_BRANCH_HEAT_FLOW: Final = 55.0  # Ma, Stein and Stein (1992)
_BRANCH_DEPTH: Final = 20.0  # Ma, Stein and Stein (1992)
_AGE: Final = Limit(0.1 * _MILLION_YEARS, 180.0 * _MILLION_YEARS, "0.1 to 180 Ma, oceanic crust")
_CIRCULATION: Final = "Settled circulation down a pipe and up the annulus; one linear geotherm."
_ONE_GRADIENT: Final = (
    "One conductivity and no flow of water. Young crust with water moving in it does not follow."
)


@published(
    formula="q_h = 0.510 / sqrt(t_c)",
    source="stein-stein-1992",
    where="half-space cooling with the GDH1 constant (t in Ma, W/m2), from memory",
    valid={"crust_age": Limit(0.1 * _MILLION_YEARS, 55.0 * _MILLION_YEARS, "0.1 to 55 Ma")},
    caution="Heat lost by water flow makes measured values lower on crust younger than 65 Ma.",
    example={"crust_age": "5.9 Ma"},
)
def half_space_heat_flow(crust_age: Real) -> Real:
    """Heat flow through oceanic crust that cools as a half-space.

    Parameters
    ----------
    crust_age : [s]
        Age of the crust.

    Returns
    -------
    heat_flow : [W/m2]
        Conductive heat flow at the sea bed.
    """
    result: Real = 0.510 / np.sqrt(crust_age / _MILLION_YEARS)
    return result


@published(
    formula=(
        "q_h = 0.510 / sqrt(t_c) quad t_c <= 55 \\ "
        "q_h = 0.048 + 0.096 e^(-0.0278 t_c) quad t_c > 55"
    ),
    source="stein-stein-1992",
    where="GDH1 (t in Ma, W/m2), from memory",
    valid={"crust_age": _AGE},
    caution="Heat lost by water flow makes measured values lower on crust younger than 65 Ma.",
    example={"crust_age": "25 Ma"},
)
def sea_floor_heat_flow(crust_age: Real) -> Real:
    """Heat flow through oceanic crust of an age, a cooling plate of finite thickness.

    Parameters
    ----------
    crust_age : [s]
        Age of the crust.

    Returns
    -------
    heat_flow : [W/m2]
        Conductive heat flow at the sea bed.
    """
    age = np.asarray(crust_age) / _MILLION_YEARS
    result: Real = np.where(
        age <= _BRANCH_HEAT_FLOW, 0.510 / np.sqrt(age), 0.048 + 0.096 * np.exp(-0.0278 * age)
    )
    return result


@published(
    formula=(
        "z = 2600 + 365 sqrt(t_c) quad t_c < 20 \\ z = 5651 - 2473 e^(-0.0278 t_c) quad t_c >= 20"
    ),
    source="stein-stein-1992",
    where="GDH1 (t in Ma, m), from memory",
    valid={"crust_age": Limit(0.0, 180.0 * _MILLION_YEARS, "0 to 180 Ma, oceanic crust")},
    validity_note="Basement corrected for sediment, away from swells and trenches.",
    example={"crust_age": "10 Ma"},
)
def sea_floor_depth(crust_age: Real) -> Real:
    """Depth of the oceanic basement of an age, without its sediment.

    Parameters
    ----------
    crust_age : [s]
        Age of the crust.

    Returns
    -------
    depth_below_sea_level : [m]
        Depth below mean sea level.
    """
    age = np.asarray(crust_age) / _MILLION_YEARS
    result: Real = np.where(
        age < _BRANCH_DEPTH, 2600.0 + 365.0 * np.sqrt(age), 5651.0 - 2473.0 * np.exp(-0.0278 * age)
    )
    return result


# ---- the ground --------------------------------------------------------------------------


@published(
    formula="G = (T_2 - T_1) / (z_2 - z_1)",
    source="definition",
    where="two points of a temperature probe",
    validity_note="Temperatures in equilibrium with the ground; rounded ones make it rough.",
    example={
        "upper_temperature": "3.4 degC",
        "lower_temperature": "8.02 degC",
        "upper_depth_below_sea_bed": "0 m",
        "lower_depth_below_sea_bed": "115.5 m",
    },
)
def geothermal_gradient(
    upper_temperature: Real,
    lower_temperature: Real,
    upper_depth_below_sea_bed: Real,
    lower_depth_below_sea_bed: Real,
) -> Real:
    """Growth of ground temperature with depth between two measured points.

    Parameters
    ----------
    upper_temperature : [K]
        Temperature at the upper point.
    lower_temperature : [K]
        Temperature at the lower point.
    upper_depth_below_sea_bed : [m]
        Depth of the upper point.
    lower_depth_below_sea_bed : [m]
        Depth of the lower point.

    Returns
    -------
    geothermal_gradient : [K/m]
        Mean gradient between the points.
    """
    return (lower_temperature - upper_temperature) / (
        lower_depth_below_sea_bed - upper_depth_below_sea_bed
    )


def fitted_geothermal_gradient(depth_below_sea_bed: Array, temperature: Array) -> Array:
    """Gradient of the least-squares line through the stations of a temperature probe.

    Parameters
    ----------
    depth_below_sea_bed : (..., depth) [m]
        Depths of the stations, at least two different ones.
    temperature : (..., depth) [K]
        Temperatures in equilibrium with the ground.

    Returns
    -------
    geothermal_gradient : (...) [K/m]
        Slope of the line.

    Raises
    ------
    ValueError
        All stations lie at one depth.
    """
    depth = depth_below_sea_bed - np.mean(depth_below_sea_bed, axis=-1, keepdims=True)
    warmth = temperature - np.mean(temperature, axis=-1, keepdims=True)
    spread = np.sum(depth * depth, axis=-1)
    if not np.all(spread > 0.0):
        raise ValueError("a gradient needs stations at two depths at least")
    return np.asarray(np.sum(depth * warmth, axis=-1) / spread)


@published(
    formula="q_h = k_t G",
    source="definition",
    where="Fourier's law",
    example={"thermal_conductivity": "1.116 W/m/K", "geothermal_gradient": "37.9 K/km"},
)
def conductive_heat_flow(thermal_conductivity: Real, geothermal_gradient: Real) -> Real:
    """Heat that the ground conducts upwards.

    Parameters
    ----------
    thermal_conductivity : [W/m/K]
        Conductivity of the ground.
    geothermal_gradient : [K/m]
        Growth of temperature with depth.

    Returns
    -------
    heat_flow : [W/m2]
        Heat flow, upwards.
    """
    return thermal_conductivity * geothermal_gradient


@published(
    formula="T = T_0 + G z",
    source="definition",
    where="linear geotherm",
    validity_note=_ONE_GRADIENT + " Never carry a gradient of depth up to the sea bed.",
    example={
        "sea_bed_temperature": "2 degC",
        "geothermal_gradient": "60 K/km",
        "depth_below_sea_bed": "1000 m",
    },
)
def temperature_at_depth(
    sea_bed_temperature: Real, geothermal_gradient: Real, depth_below_sea_bed: Real
) -> Real:
    """Ground temperature on a straight geotherm.

    Parameters
    ----------
    sea_bed_temperature : [K]
        Temperature at the sea bed.
    geothermal_gradient : [K/m]
        Growth of temperature with depth.
    depth_below_sea_bed : [m]
        Depth below the sea bed.

    Returns
    -------
    temperature : [K]
        Ground temperature.
    """
    return sea_bed_temperature + geothermal_gradient * depth_below_sea_bed


@published(
    formula="R_t = h / k_t",
    source="definition",
    where="conduction through one layer; layers add up",
    example={"layer_thickness": "250 m", "thermal_conductivity": "1.1 W/m/K"},
)
def layer_thermal_resistance(layer_thickness: Real, thermal_conductivity: Real) -> Real:
    """Resistance of a layer of ground to heat.

    Parameters
    ----------
    layer_thickness : [m]
        Height of the layer.
    thermal_conductivity : [W/m/K]
        Conductivity of the layer.

    Returns
    -------
    thermal_resistance : [m2 K/W]
        Temperature difference per heat flow.
    """
    return layer_thickness / thermal_conductivity


@published(
    formula="T = T_0 + q_h R_t",
    source="definition",
    where="steady conduction through layers (Bullard)",
    validity_note="Steady, no heat made in the layers, no flow of water.",
    example={
        "sea_bed_temperature": "2 degC",
        "heat_flow": "200 mW/m2",
        "thermal_resistance": "250 m2 K/W",
    },
)
def temperature_from_heat_flow(
    sea_bed_temperature: Real, heat_flow: Real, thermal_resistance: Real
) -> Real:
    """Ground temperature below layers of known conductivity.

    Parameters
    ----------
    sea_bed_temperature : [K]
        Temperature at the sea bed.
    heat_flow : [W/m2]
        Heat flow, upwards.
    thermal_resistance : [m2 K/W]
        Resistance of all layers above the point.

    Returns
    -------
    temperature : [K]
        Ground temperature.
    """
    return sea_bed_temperature + heat_flow * thermal_resistance


@published(
    formula="kappa_t = k_t / (rho_b c_g)",
    source="definition",
    where="heat conduction equation",
    example={
        "thermal_conductivity": "2 W/m/K",
        "bulk_density": "2300 kg/m3",
        "ground_heat_capacity": "900 J/kg/K",
    },
)
def thermal_diffusivity(
    thermal_conductivity: Real, bulk_density: Real, ground_heat_capacity: Real
) -> Real:
    """Speed at which ground evens out temperature.

    Parameters
    ----------
    thermal_conductivity : [W/m/K]
        Conductivity of the ground.
    bulk_density : [kg/m3]
        Density of the saturated ground.
    ground_heat_capacity : [J/kg/K]
        Heat capacity of the ground per mass.

    Returns
    -------
    thermal_diffusivity : [m2/s]
        Thermal diffusivity.
    """
    return thermal_conductivity / (bulk_density * ground_heat_capacity)


# ---- the hole ----------------------------------------------------------------------------

_TRANSIENT: Final = {
    "hole_radius": "0.16 m",
    "thermal_diffusivity": "1e-6 m2/s",
    "elapsed_time": "10 d",
}


@published(
    formula="f = -ln(r_h / (2 sqrt(kappa_t t))) - 0.290",
    source="ramey-1962",
    where="late-time form of the transient heat conduction function, from memory",
    valid={"elapsed_time": Limit(7.0 * 86400.0, 1e11, "about a week for a casing-size hole")},
    validity_note="Negative and meaningless early on: use the line source or the fitted form.",
    example=_TRANSIENT,
)
def ramey_transient_function(
    hole_radius: Real, thermal_diffusivity: Real, elapsed_time: Real
) -> Real:
    """Resistance of the ground to heat flowing to a hole, as time goes, without units.

    Parameters
    ----------
    hole_radius : [m]
        Radius of the hole wall.
    thermal_diffusivity : [m2/s]
        Diffusivity of the ground.
    elapsed_time : [s]
        Time since circulation began.

    Returns
    -------
    transient_heat_function : [-]
        Temperature difference times 2 pi k over heat per length.
    """
    result: Real = (
        -np.log(hole_radius / (2.0 * np.sqrt(thermal_diffusivity * elapsed_time))) - 0.290
    )
    return result


@published(
    formula="f = 1/2 E_1 (r_h^2 / (4 kappa_t t))",
    source="ramey-1962",
    where="constant line source, from memory",
    validity_note="Good once diffusivity times time exceeds some ten times the radius squared.",
    example=_TRANSIENT,
)
def line_source_transient_function(
    hole_radius: Real, thermal_diffusivity: Real, elapsed_time: Real
) -> Real:
    """Resistance of the ground to heat drawn by a line along the axis of the hole.

    Parameters
    ----------
    hole_radius : [m]
        Radius of the hole wall.
    thermal_diffusivity : [m2/s]
        Diffusivity of the ground.
    elapsed_time : [s]
        Time since circulation began.

    Returns
    -------
    transient_heat_function : [-]
        Temperature difference times 2 pi k over heat per length.
    """
    from scipy.special import exp1  # here: costly to import, rarely needed

    result: Real = 0.5 * exp1(np.square(hole_radius) / (4.0 * thermal_diffusivity * elapsed_time))
    return result


@published(
    formula=(
        "f = ln[e^(-0.2 t_D) + (1.5 - 0.3719 e^(-t_D)) sqrt(t_D)] , quad t_D = kappa_t t / r_h^2"
    ),
    source="hasan-kabir-2002",
    where="fit to the cylindrical source over all times, from memory",
    validity_note="All times; within about 5 % of the cylindrical source of constant flux.",
    example=_TRANSIENT,
)
def fitted_transient_function(
    hole_radius: Real, thermal_diffusivity: Real, elapsed_time: Real
) -> Real:
    """Resistance of the ground to heat flowing to a hole, one expression for all times.

    Parameters
    ----------
    hole_radius : [m]
        Radius of the hole wall.
    thermal_diffusivity : [m2/s]
        Diffusivity of the ground.
    elapsed_time : [s]
        Time since circulation began.

    Returns
    -------
    transient_heat_function : [-]
        Temperature difference times 2 pi k over heat per length.
    """
    t = thermal_diffusivity * elapsed_time / np.square(hole_radius)
    result: Real = np.log(np.exp(-0.2 * t) + (1.5 - 0.3719 * np.exp(-t)) * np.sqrt(t))
    return result


@published(
    formula="U_f = k_t / (r_h f)",
    source="ramey-1962",
    where="transient function read as a film on the wall, from memory",
    example={
        "thermal_conductivity": "2 W/m/K",
        "hole_radius": "0.16 m",
        "transient_heat_function": "2.17",
    },
)
def formation_heat_transfer_coefficient(
    thermal_conductivity: Real, hole_radius: Real, transient_heat_function: Real
) -> Real:
    """Heat that the ground passes to the wall per area and difference of temperature.

    Parameters
    ----------
    thermal_conductivity : [W/m/K]
        Conductivity of the ground.
    hole_radius : [m]
        Radius of the hole wall.
    transient_heat_function : [-]
        Transient function at the time.

    Returns
    -------
    formation_heat_transfer_coefficient : [W/m2/K]
        Coefficient on the area of the wall.
    """
    return thermal_conductivity / (hole_radius * transient_heat_function)


@published(
    formula="A_e = (rho_m q c_m) / (2 pi r_p U_p)",
    source="holmes-swift-1970",
    where="group A of the steady solution, from memory",
    example={
        "mud_density": "1100 kg/m3",
        "flow_rate": "2500 L/min",
        "mud_heat_capacity": "3800 J/kg/K",
        "pipe_radius": "0.07 m",
        "pipe_heat_transfer_coefficient": "170 W/m2/K",
    },
)
def pipe_exchange_length(
    mud_density: Real,
    flow_rate: Real,
    mud_heat_capacity: Real,
    pipe_radius: Real,
    pipe_heat_transfer_coefficient: Real,
) -> Real:
    """Length over which mud in the pipe takes on the temperature of the annulus.

    Parameters
    ----------
    mud_density : [kg/m3]
        Density of the mud.
    flow_rate : [m3/s]
        Flow rate of the mud.
    mud_heat_capacity : [J/kg/K]
        Heat capacity of the mud per mass.
    pipe_radius : [m]
        Radius at which the coefficient of the pipe counts.
    pipe_heat_transfer_coefficient : [W/m2/K]
        Heat through the pipe wall per area and difference of temperature.

    Returns
    -------
    pipe_exchange_length : [m]
        Exchange length of the pipe.
    """
    carried = mud_density * flow_rate * mud_heat_capacity
    return carried / (2.0 * np.pi * pipe_radius * pipe_heat_transfer_coefficient)


@published(
    formula="B_e = (r_h U_f) / (r_p U_p)",
    source="holmes-swift-1970",
    where="group B of the steady solution, from memory",
    example={
        "hole_radius": "0.16 m",
        "formation_heat_transfer_coefficient": "5.7 W/m2/K",
        "pipe_radius": "0.07 m",
        "pipe_heat_transfer_coefficient": "170 W/m2/K",
    },
)
def exchange_ratio(
    hole_radius: Real,
    formation_heat_transfer_coefficient: Real,
    pipe_radius: Real,
    pipe_heat_transfer_coefficient: Real,
) -> Real:
    """Heat passed by the wall of the hole over heat passed by the wall of the pipe.

    Parameters
    ----------
    hole_radius : [m]
        Radius of the hole wall.
    formation_heat_transfer_coefficient : [W/m2/K]
        Coefficient on the area of the hole wall.
    pipe_radius : [m]
        Radius at which the coefficient of the pipe counts.
    pipe_heat_transfer_coefficient : [W/m2/K]
        Heat through the pipe wall per area and difference of temperature.

    Returns
    -------
    exchange_ratio : [-]
        Ratio of the two.
    """
    return (
        hole_radius
        * formation_heat_transfer_coefficient
        / (pipe_radius * pipe_heat_transfer_coefficient)
    )


def _counterflow(
    z: Real, bottom: Real, inlet: Real, surface: Real, gradient: Real, a: Real, b: Real
) -> tuple[Real, Real]:
    """Return the pipe's temperature and A times its slope (annulus less pipe).

    A Tp' = Ta - Tp and A Ta' = Ta - Tp - B (Tf - Ta) with Tf = Ts + G z give
    Tp = K1 e^(C1 z) + K2 e^(C2 z) + Ts + G z - A G, C = B (1 +- sqrt(1 + 4/B)) / 2A.
    The inlet fixes Tp(0); equal temperatures at the bottom fix Tp'(H) = 0. K1 is carried
    as its value at the bottom so that nothing overflows in deep holes.
    """
    root = np.sqrt(np.square(b) + 4.0 * b)  # B sqrt(1 + 4/B), right for B = 0 too
    c1, c2 = (b + root) / (2.0 * a), -2.0 * b / (a * (b + root))
    decay1, decay2 = np.exp(-c1 * bottom), np.exp(c2 * bottom)
    start = inlet - surface + a * gradient
    # k1 c1 + k2 c2 decay2 = -G ; k1 decay1 + k2 = start
    determinant = c1 - c2 * decay1 * decay2
    k1 = (-gradient - c2 * decay2 * start) / determinant
    k2 = (c1 * start + decay1 * gradient) / determinant
    rising, falling = k1 * np.exp(c1 * (z - bottom)), k2 * np.exp(c2 * z)
    pipe = rising + falling + surface + gradient * z - a * gradient
    lead = a * (c1 * rising + c2 * falling + gradient)
    return pipe, lead


_COUNTERFLOW: Final = {
    "depth_below_sea_bed": "1500 m",
    "hole_depth_below_sea_bed": "3000 m",
    "pipe_inlet_temperature": "6 degC",
    "sea_bed_temperature": "2 degC",
    "geothermal_gradient": "40 K/km",
    "pipe_exchange_length": "2300 m",
    "exchange_ratio": "0.077",
}
_TEMPERATURE_FORMULA: Final = (
    "T = K_1 e^(C_1 z) + K_2 e^(C_2 z) + T_0 + G z - A_e G \\ "
    "C_(1,2) = B_e / (2 A_e) (1 plus.minus sqrt(1 + 4 / B_e)) \\ "
    'T(0) = T_"in" , quad (dif T) / (dif z) (H) = 0'
)


@published(
    formula=_TEMPERATURE_FORMULA,
    source="holmes-swift-1970",
    where="steady solution, derived anew",
    valid={"exchange_ratio": Limit(1e-6, 1e4, "some exchange with the ground")},
    validity_note=_CIRCULATION,
    example=_COUNTERFLOW,
)
def circulating_pipe_temperature(
    depth_below_sea_bed: Real,
    hole_depth_below_sea_bed: Real,
    pipe_inlet_temperature: Real,
    sea_bed_temperature: Real,
    geothermal_gradient: Real,
    pipe_exchange_length: Real,
    exchange_ratio: Real,
) -> Real:
    """Temperature of mud going down the pipe below the sea bed in settled circulation.

    Parameters
    ----------
    depth_below_sea_bed : [m]
        Depth asked for.
    hole_depth_below_sea_bed : [m]
        Depth of the bottom of the hole.
    pipe_inlet_temperature : [K]
        Temperature of the mud in the pipe at the sea bed.
    sea_bed_temperature : [K]
        Ground temperature at the sea bed.
    geothermal_gradient : [K/m]
        Growth of ground temperature with depth.
    pipe_exchange_length : [m]
        Exchange length of the pipe.
    exchange_ratio : [-]
        Heat passed by the wall of the hole over heat passed by the wall of the pipe.

    Returns
    -------
    pipe_mud_temperature : [K]
        Temperature in the pipe.
    """
    pipe, _ = _counterflow(
        depth_below_sea_bed,
        hole_depth_below_sea_bed,
        pipe_inlet_temperature,
        sea_bed_temperature,
        geothermal_gradient,
        pipe_exchange_length,
        exchange_ratio,
    )
    return pipe


@published(
    formula=_TEMPERATURE_FORMULA + " \\ T_a = T + A_e (dif T) / (dif z)",
    source="holmes-swift-1970",
    where="steady solution, derived anew",
    valid={"exchange_ratio": Limit(1e-6, 1e4, "some exchange with the ground")},
    validity_note=_CIRCULATION,
    example=_COUNTERFLOW,
)
def circulating_annulus_temperature(
    depth_below_sea_bed: Real,
    hole_depth_below_sea_bed: Real,
    pipe_inlet_temperature: Real,
    sea_bed_temperature: Real,
    geothermal_gradient: Real,
    pipe_exchange_length: Real,
    exchange_ratio: Real,
) -> Real:
    """Temperature of mud coming up the annulus below the sea bed in settled circulation.

    Parameters
    ----------
    depth_below_sea_bed : [m]
        Depth asked for.
    hole_depth_below_sea_bed : [m]
        Depth of the bottom of the hole.
    pipe_inlet_temperature : [K]
        Temperature of the mud in the pipe at the sea bed.
    sea_bed_temperature : [K]
        Ground temperature at the sea bed.
    geothermal_gradient : [K/m]
        Growth of ground temperature with depth.
    pipe_exchange_length : [m]
        Exchange length of the pipe.
    exchange_ratio : [-]
        Heat passed by the wall of the hole over heat passed by the wall of the pipe.

    Returns
    -------
    annulus_mud_temperature : [K]
        Temperature in the annulus.
    """
    pipe, lead = _counterflow(
        depth_below_sea_bed,
        hole_depth_below_sea_bed,
        pipe_inlet_temperature,
        sea_bed_temperature,
        geothermal_gradient,
        pipe_exchange_length,
        exchange_ratio,
    )
    return pipe + lead


@published(
    formula="sigma_T = (E alpha_T Delta T) / (1 - nu)",
    source="timoshenko-goodier-1970",
    where="hoop and axial stress at a wall heated suddenly, from memory",
    valid={"poisson_ratio": Limit(0.0, 0.5, "isotropic elastic rock")},
    validity_note="Compression positive: cooling is negative and pulls the wall open.",
    example={
        "young_modulus": "50 GPa",
        "thermal_expansion_coefficient": "8e-6 1/K",
        "wall_temperature_change": "-40 K",
        "poisson_ratio": "0.25",
    },
)
def wall_thermal_stress(
    young_modulus: Real,
    thermal_expansion_coefficient: Real,
    wall_temperature_change: Real,
    poisson_ratio: Real,
) -> Real:
    """Stress that a change of temperature adds along the wall of a hole in rock.

    Parameters
    ----------
    young_modulus : [Pa]
        Young's modulus of the rock.
    thermal_expansion_coefficient : [1/K]
        Linear expansion of the rock.
    wall_temperature_change : [K difference]
        Wall temperature less the undisturbed one; negative when cooled.
    poisson_ratio : [-]
        Poisson's ratio of the rock.

    Returns
    -------
    wall_thermal_stress : [Pa]
        Added hoop (and axial) stress, compression positive.
    """
    expansion = thermal_expansion_coefficient * wall_temperature_change
    return young_modulus * expansion / (1.0 - poisson_ratio)
