"""Gas above the preventer when it is found: how it unloads the riser, what the diverter passes."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published
from bathybore.kernels._roots import bracketed_root
from bathybore.kernels.gas import (
    AIR_MOLAR_MASS,
    GAS_CONSTANT,
    METHANE_CRITICAL_PRESSURE,
    METHANE_CRITICAL_TEMPERATURE,
    METHANE_GRAVITY,
    gas_z_factor,
)
from bathybore.kernels.mud import STANDARD_GRAVITY

_ATMOSPHERE: Final = 101_325.0
_MOST: Final = 1.4e8  # Pa; beyond it the equation of state is not read


@published(
    formula=(
        'p_u = sqrt((rho_m g m_g z(p_u) R T) / (gamma_g M_"air" A)), quad z "at" T_"pc", p_"pc"'
    ),
    source="definition",
    where="one bubble under a column of mud open to the air: the turning point of its balance",
    validity_note="The gas weighs nothing beside the mud; no slip through it, no friction.",
    caution="Gas strung out in the mud comes sooner and milder; the mud above it is thrown out.",
    example={
        "gas_mass": "1000 kg",
        "mud_density": "1.4 sg",
        "annulus_area": "0.165 m2",
        "temperature": "10 degC",
    },
)
def riser_unloading_pressure(
    gas_mass: Real,
    mud_density: Real,
    annulus_area: Real,
    temperature: Real,
    gas_gravity: Real = METHANE_GRAVITY,
    pseudo_critical_temperature: Real = METHANE_CRITICAL_TEMPERATURE,
    pseudo_critical_pressure: Real = METHANE_CRITICAL_PRESSURE,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Pressure of a gas bubble in the riser at which it can no longer carry the mud above it.

    A bubble of length L under mud of height h has K = m z R T / (M A) = p L and
    p = p_a + rho g h. Its foot being at the depth h + L, the least depth for which both
    can hold is reached where p = rho g L; risen further it throws the mud out.

    Parameters
    ----------
    gas_mass : [kg]
        Mass of gas above the preventer.
    mud_density : [kg/m3]
        Density of the mud in the riser.
    annulus_area : [m2]
        Area between riser and string.
    temperature : [K]
        Temperature of the gas.
    gas_gravity : [-]
        Molar mass over that of air; methane's by default.
    pseudo_critical_temperature : [K]
        Pseudo-critical temperature.
    pseudo_critical_pressure : [Pa]
        Pseudo-critical pressure.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    riser_unloading_pressure : [Pa]
        Absolute pressure.

    Raises
    ------
    NotConverged
        More gas than the equation of state is read for.
    """
    molar = gas_gravity * AIR_MOLAR_MASS
    ideal = mud_density * gravity * np.asarray(gas_mass) * GAS_CONSTANT * temperature
    ideal = ideal / (molar * annulus_area)

    def excess(log_pressure: Array) -> Real:
        pressure = np.exp(log_pressure)
        z = gas_z_factor(
            pressure, temperature, pseudo_critical_temperature, pseudo_critical_pressure
        )
        return 2.0 * log_pressure - np.log(ideal * z)

    low, high = np.log(1e-3), np.log(_MOST)
    return np.exp(bracketed_root(excess, low, high, "gas that unloads the riser"))


@published(
    formula="d_u = max(0, (2 p_u - p_a) / (rho_m g))",
    source="definition",
    where="foot of the bubble at its turning point: as much gas below as mud and air above",
    example={"riser_unloading_pressure": "3.3 MPa", "mud_density": "1.4 sg"},
)
def riser_unloading_depth(
    riser_unloading_pressure: Real, mud_density: Real, gravity: Real = STANDARD_GRAVITY
) -> Real:
    """Depth below the flow line to whose foot a bubble may rise before it unloads the riser.

    Parameters
    ----------
    riser_unloading_pressure : [Pa]
        Absolute pressure of the bubble when it unloads.
    mud_density : [kg/m3]
        Density of the mud in the riser.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    riser_unloading_depth : [m]
        Below the flow line; deeper than the riser is long where it unloads at once.
    """
    height = (2.0 * np.asarray(riser_unloading_pressure) - _ATMOSPHERE) / (mud_density * gravity)
    return np.maximum(0.0, height)


@published(
    formula="V_u = A max(0, (p_u - p_a) / (rho_m g))",
    source="definition",
    where="mud that stands above the bubble when it unloads",
    example={
        "riser_unloading_pressure": "3.3 MPa",
        "mud_density": "1.4 sg",
        "annulus_area": "0.165 m2",
    },
)
def riser_unloaded_volume(
    riser_unloading_pressure: Real,
    mud_density: Real,
    annulus_area: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Volume of mud that a bubble throws out of the riser.

    Parameters
    ----------
    riser_unloading_pressure : [Pa]
        Absolute pressure of the bubble when it unloads.
    mud_density : [kg/m3]
        Density of the mud in the riser.
    annulus_area : [m2]
        Area between riser and string.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    riser_unloaded_volume : [m3]
        Volume.
    """
    over = np.maximum(0.0, np.asarray(riser_unloading_pressure) - _ATMOSPHERE)
    return annulus_area * over / (mud_density * gravity)


@published(
    formula="dot(m)_g = rho_g A v_g",
    source="definition",
    where="gas of a density that passes a section at a speed",
    example={"gas_density": "25 kg/m3", "annulus_area": "0.165 m2", "gas_velocity": "0.9 m/s"},
)
def gas_mass_rate(gas_density: Real, annulus_area: Real, gas_velocity: Real) -> Real:
    """Mass of gas per time that passes a section.

    Parameters
    ----------
    gas_density : [kg/m3]
        Density of the gas there.
    annulus_area : [m2]
        Area it fills.
    gas_velocity : [m/s]
        Its speed.

    Returns
    -------
    gas_mass_rate : [kg/s]
        Mass rate.
    """
    return gas_density * annulus_area * np.asarray(gas_velocity)


@published(
    formula=(
        'dot(m)_g = pi/4 d_l^2 sqrt((gamma_g M_"air" (p_1^2 - p_a^2)) / '
        "(R T (4 f L/d_l + 2 ln(p_1/p_a))))"
    ),
    source="common-practice",
    where="ideal gas flowing at one temperature through a pipe of one bore into the air",
    valid={"absolute_pressure": Limit(1.02e5, 7e6, "an ideal gas")},
    validity_note="Friction of rough turbulent flow; one straight bore; inertia counted in.",
    caution="Bends, valves and mud in the line take away most of it.",
    example={
        "absolute_pressure": "0.6 MPa",
        "line_inside_diameter": "12 in",
        "line_length": "40 m",
        "temperature": "10 degC",
    },
)
def diverter_gas_rate(
    absolute_pressure: Real,
    line_inside_diameter: Real,
    line_length: Real,
    temperature: Real,
    gas_gravity: Real = METHANE_GRAVITY,
    friction_factor: Real = 0.005,
) -> Real:
    """Gas that a diverter line passes at a pressure at its head.

    Parameters
    ----------
    absolute_pressure : [Pa]
        Absolute pressure at the head of the line.
    line_inside_diameter : [m]
        Bore of the line.
    line_length : [m]
        Length of the line, with what bends and valves stand for.
    temperature : [K]
        Temperature of the gas.
    gas_gravity : [-]
        Molar mass over that of air; methane's by default.
    friction_factor : [-]
        Fanning friction factor of the line.

    Returns
    -------
    gas_mass_rate : [kg/s]
        Mass rate.
    """
    head = np.asarray(absolute_pressure, dtype=float)
    area = 0.25 * np.pi * np.square(line_inside_diameter)
    losses = 4.0 * friction_factor * line_length / line_inside_diameter
    losses = losses + 2.0 * np.log(head / _ATMOSPHERE)
    driven = gas_gravity * AIR_MOLAR_MASS * (head**2 - _ATMOSPHERE**2)
    return area * np.sqrt(driven / (GAS_CONSTANT * temperature * losses))


@published(
    formula='q_s = dot(m)_g R T_s / (gamma_g M_"air" p_s)',
    source="definition",
    where="gas at 15 degC and 101.325 kPa, taken as ideal there",
    example={"gas_mass_rate": "3.5 kg/s"},
)
def standard_gas_rate(gas_mass_rate: Real, gas_gravity: Real = METHANE_GRAVITY) -> Real:
    """Rate of gas as a volume at standard conditions.

    Parameters
    ----------
    gas_mass_rate : [kg/s]
        Mass rate.
    gas_gravity : [-]
        Molar mass over that of air; methane's by default.

    Returns
    -------
    standard_gas_rate : [m3/s]
        Volume per time at 15 degC and one atmosphere.
    """
    return (
        np.asarray(gas_mass_rate)
        * GAS_CONSTANT
        * 288.15
        / (gas_gravity * AIR_MOLAR_MASS * _ATMOSPHERE)
    )
