"""Density of a mud from what it is made of: water, oil and solids, each in its own way.

Shares are volumes of a volume of mud at the surface, at the reference temperature. Every part
shrinks under pressure and swells with heat by its own law; the mass stays.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

# Grains: volume compressibility [1/Pa] and expansion [1/K] of quartz-like rock and of barite,
# handbooks of minerals, from memory; they move the density of a mud by hundredths of a percent.
LOW_GRAVITY: Final = (2.7e-11, 3.5e-5)
HIGH_GRAVITY: Final = (1.8e-11, 6.0e-5)

_SHARES: Final = {
    "oil_share": Limit(0.0, 1.0),
    "low_gravity_share": Limit(0.0, 0.5, "more does not flow"),
    "high_gravity_share": Limit(0.0, 0.5, "more does not flow"),
}


@published(
    formula=(
        "rho_w = 999.9 + 0.02034 T - 6.162 dot 10^(-3) T^2 + 2.261 dot 10^(-5) T^3 "
        "- 4.657 dot 10^(-8) T^4 + s (802.0 - 2.001 T + 0.01677 T^2 - 3.060 dot 10^(-5) T^3 "
        "- 1.613 dot 10^(-5) T^2 s), quad s = S_A / 1000"
    ),
    source="sharqawy-2010",
    where="density at atmospheric or boiling pressure, T in degrees Celsius; from memory",
    valid={
        "absolute_salinity": Limit(0.0, 160.0),
        "in_situ_temperature": Limit(273.15, 453.15, "0 to 180 degC"),
    },
    example={"absolute_salinity": "35 g/kg", "in_situ_temperature": "80 degC"},
)
def warm_sea_water_density(absolute_salinity: Real, in_situ_temperature: Real) -> Real:
    """Density of sea water and its brines at the surface, from freezing to 180 degrees Celsius.

    Parameters
    ----------
    absolute_salinity : [g/kg]
        Mass of salt per mass of water.
    in_situ_temperature : [K]
        Temperature.

    Returns
    -------
    water_density : [kg/m3]
        Density, to about 0.1 %.
    """
    t, s = np.asarray(in_situ_temperature) - 273.15, np.asarray(absolute_salinity) / 1000.0
    fresh = 999.9 + t * (2.034e-2 + t * (-6.162e-3 + t * (2.261e-5 - 4.657e-8 * t)))
    salt = 802.0 + t * (-2.001 + t * (1.677e-2 - 3.060e-5 * t)) - 1.613e-5 * t**2 * s
    return fresh + s * salt


@published(
    formula="phi_w = 1 - phi_o - phi_l - phi_h",
    source="definition",
    where="what is left of a volume of mud",
    valid=_SHARES,
    example={"oil_share": "0", "low_gravity_share": "0.03", "high_gravity_share": "0.08"},
)
def water_share(oil_share: Real, low_gravity_share: Real, high_gravity_share: Real) -> Real:
    """Share of water in the volume of a mud.

    Parameters
    ----------
    oil_share : [-]
        Share of oil.
    low_gravity_share : [-]
        Share of clay and drilled solids.
    high_gravity_share : [-]
        Share of weighting solids.

    Returns
    -------
    water_share : [-]
        Share of water or brine.
    """
    return 1.0 - oil_share - low_gravity_share - high_gravity_share


@published(
    formula=(
        "rho = (phi_w rho_w + phi_o rho_o + phi_l rho_l + phi_h rho_h) / "
        "(phi_w rho_w / rho_(w p) + phi_o rho_o / rho_(o p) + phi_l rho_l / rho_(l p) "
        "+ phi_h rho_h / rho_(h p))"
    ),
    source="hoberock-1982",
    where="masses stay, every part changes its volume; from memory",
    valid={
        **_SHARES,
        "water_share": Limit(0.0, 1.0, "the shares add up to no more than the whole"),
    },
    example={
        "water_share": "0.89",
        "oil_share": "0",
        "low_gravity_share": "0.03",
        "high_gravity_share": "0.08",
        "water_density": "1025 kg/m3",
        "water_density_in_place": "1040 kg/m3",
        "oil_density": "800 kg/m3",
        "oil_density_in_place": "810 kg/m3",
        "low_gravity_density": "2600 kg/m3",
        "low_gravity_density_in_place": "2604 kg/m3",
        "high_gravity_density": "4200 kg/m3",
        "high_gravity_density_in_place": "4204 kg/m3",
    },
)
def composed_density(
    water_share: Real,
    oil_share: Real,
    low_gravity_share: Real,
    high_gravity_share: Real,
    water_density: Real,
    water_density_in_place: Real,
    oil_density: Real,
    oil_density_in_place: Real,
    low_gravity_density: Real,
    low_gravity_density_in_place: Real,
    high_gravity_density: Real,
    high_gravity_density_in_place: Real,
) -> Real:
    """Density of a mud in place from the densities of its parts there.

    Parameters
    ----------
    water_share : [-]
        Share of water or brine at the surface.
    oil_share : [-]
        Share of oil at the surface.
    low_gravity_share : [-]
        Share of clay and drilled solids.
    high_gravity_share : [-]
        Share of weighting solids.
    water_density : [kg/m3]
        Density of the water at the surface, at the reference temperature.
    water_density_in_place : [kg/m3]
        Density of the water under pressure and temperature in place.
    oil_density : [kg/m3]
        Density of the oil at the surface, at the reference temperature.
    oil_density_in_place : [kg/m3]
        Density of the oil in place.
    low_gravity_density : [kg/m3]
        Grain density of clay and drilled solids at the surface.
    low_gravity_density_in_place : [kg/m3]
        The same in place.
    high_gravity_density : [kg/m3]
        Grain density of the weighting solids at the surface.
    high_gravity_density_in_place : [kg/m3]
        The same in place.

    Returns
    -------
    density_in_place : [kg/m3]
        Density of the mud in place.
    """
    water, oil = water_share * water_density, oil_share * oil_density
    low = low_gravity_share * low_gravity_density
    high = high_gravity_share * high_gravity_density
    volume = (
        water / water_density_in_place
        + oil / oil_density_in_place
        + low / low_gravity_density_in_place
        + high / high_gravity_density_in_place
    )
    return (water + oil + low + high) / volume


@published(
    formula="c_f = ln(rho_2 \\/ rho_1) / (p_2 - p_1)",
    source="definition",
    where="mean compressibility between two pressures at one temperature",
    validity_note="Two different pressures.",
    example={
        "first_density": "1.200 sg",
        "second_density": "1.230 sg",
        "first_pressure": "0 MPa",
        "second_pressure": "60 MPa",
    },
)
def mean_compressibility(
    first_density: Real, second_density: Real, first_pressure: Real, second_pressure: Real
) -> Real:
    """Constant compressibility that leads from one density to another.

    Parameters
    ----------
    first_density : [kg/m3]
        Density at the first pressure.
    second_density : [kg/m3]
        Density at the second pressure.
    first_pressure : [Pa]
        First pressure.
    second_pressure : [Pa]
        Second pressure.

    Returns
    -------
    compressibility : [1/Pa]
        Relative gain of density per pressure.
    """
    return np.log(second_density / first_density) / (second_pressure - first_pressure)


@published(
    formula="beta_f = ln(rho_1 \\/ rho_2) / (T_2 - T_1)",
    source="definition",
    where="mean expansion between two temperatures at one pressure",
    validity_note="Two different temperatures.",
    example={
        "first_density": "1.200 sg",
        "second_density": "1.180 sg",
        "colder_temperature": "5 degC",
        "warmer_temperature": "65 degC",
    },
)
def mean_thermal_expansion(
    first_density: Real,
    second_density: Real,
    colder_temperature: Real,
    warmer_temperature: Real,
) -> Real:
    """Constant thermal expansion that leads from one density to another.

    Parameters
    ----------
    first_density : [kg/m3]
        Density when colder.
    second_density : [kg/m3]
        Density when warmer.
    colder_temperature : [K]
        Lower temperature.
    warmer_temperature : [K]
        Higher temperature.

    Returns
    -------
    fluid_thermal_expansion : [1/K]
        Relative loss of density per degree, by volume.
    """
    return np.log(first_density / second_density) / (warmer_temperature - colder_temperature)
