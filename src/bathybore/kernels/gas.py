"""Natural gas at depth: compressibility, density, columns, hydrates."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published
from bathybore.kernels._roots import bracketed_root, newton_root
from bathybore.kernels.mud import STANDARD_GRAVITY

# Molar gas constant, J/(mol K), exact since the SI of 2019.
GAS_CONSTANT: Final = 8.31446261815324
# Molar mass of dry air, kg/mol; gas gravity is the molar mass over it.
AIR_MOLAR_MASS: Final = 0.0289647
# Methane: critical point of Setzmann & Wagner (1991); molar mass 16.0428 g/mol.
METHANE_CRITICAL_TEMPERATURE: Final = 190.564
METHANE_CRITICAL_PRESSURE: Final = 4.5992e6
METHANE_GRAVITY: Final = 0.0160428 / AIR_MOLAR_MASS

_PSI: Final = 6894.757293168361
# Coefficients A1 to A11 of Dranchuk & Abou-Kassem (1975).
_DAK: Final = (
    0.3265,
    -1.0700,
    -0.5339,
    0.01569,
    -0.05165,
    0.5475,
    -0.7361,
    0.1844,
    0.1056,
    0.6134,
    0.7210,
)
_GRAVITY = Limit(0.55, 1.7, "hydrocarbon gases")


@published(
    formula='T_"pc" = (169.2 + 349.5 gamma_g - 74.0 gamma_g^2) degree R',
    source="sutton-1985",
    where="pseudo-critical temperature of sweet gas; from memory",
    valid={"gas_gravity": _GRAVITY},
    validity_note="No correction for nitrogen, carbon dioxide, hydrogen sulphide.",
    example={"gas_gravity": "0.65"},
)
def pseudo_critical_temperature(gas_gravity: Real) -> Real:
    """Pseudo-critical temperature of a natural gas from its gravity.

    Parameters
    ----------
    gas_gravity : [-]
        Molar mass over that of air.

    Returns
    -------
    pseudo_critical_temperature : [K]
        Pseudo-critical temperature.
    """
    return (169.2 + 349.5 * gas_gravity - 74.0 * gas_gravity**2) / 1.8


@published(
    formula='p_"pc" = (756.8 - 131.0 gamma_g - 3.6 gamma_g^2) "psi"',
    source="sutton-1985",
    where="pseudo-critical pressure of sweet gas; from memory",
    valid={"gas_gravity": _GRAVITY},
    validity_note="No correction for nitrogen, carbon dioxide, hydrogen sulphide.",
    example={"gas_gravity": "0.65"},
)
def pseudo_critical_pressure(gas_gravity: Real) -> Real:
    """Pseudo-critical pressure of a natural gas from its gravity.

    Parameters
    ----------
    gas_gravity : [-]
        Molar mass over that of air.

    Returns
    -------
    pseudo_critical_pressure : [Pa]
        Pseudo-critical pressure.
    """
    return (756.8 - 131.0 * gas_gravity - 3.6 * gas_gravity**2) * _PSI


def _isotherm(t: Real) -> Callable[[Array], tuple[Array, Array]]:
    """z and its slope as functions of reduced density: Dranchuk & Abou-Kassem."""
    a1, a2, a3, a4, a5, a6, a7, a8, a9, a10, a11 = _DAK
    cube = t * t * t
    attraction = a7 / t + a8 / (t * t)
    c1, c2 = a1 + a2 / t + a3 / cube + a4 / (cube * t) + a5 / (cube * t * t), a6 + attraction
    c3, c4 = a9 * attraction, a10 / cube

    def z_and_slope(density: Array) -> tuple[Array, Array]:
        square = density * density
        damped, curve, fifth = a11 * square, c2 * density, c3 * square * square
        tail = c4 * np.exp(-damped)
        bend = tail * (1.0 + damped)
        first = c1 + curve
        z = 1.0 + density * (first - fifth) + bend * square
        slope = first + curve - 5.0 * fifth + 2.0 * density * (bend - tail * damped * damped)
        return np.asarray(z), np.asarray(slope)

    return z_and_slope


# Reduced density above which the fit is not read; the fitted range ends far below it.
_DENSEST: Final = 6.0
# Reduced density is this over z, times reduced pressure over reduced temperature.
_CRITICAL_Z: Final = 0.27


def _about_z(light: Real, t: Real) -> Real:
    """Return about the z of a gas whose reduced density would be ``light`` if z were one.

    Fitted to the equation of state: within 2 % as a rule, 12 % near the critical point. A search
    begins there, so how near it is changes no result, only how many steps it takes.
    """
    up, one, two = (a + b / t for a, b in _ABOUT)
    return (1.0 + (one + two * light) * light) / (1.0 + up * light)


_ABOUT: Final = ((1.474, 0.201), (2.421, -2.808), (0.4818, 0.3671))


def _z(
    t: Real, reduced_pressure: Callable[[Array, Array], tuple[Real, Real]], guess: Real, what: str
) -> Array:
    """Return z where the equation of state gives the pressure asked for.

    Parameters
    ----------
    t : reduced temperature
    reduced_pressure : gives the reduced pressure wanted and its slope over density, from z
        and its slope
    guess : of the reduced pressure; the search begins near the gas that has it
    """
    isotherm, ideal = _isotherm(t), t / _CRITICAL_Z

    def excess(density: Array) -> tuple[Real, Real]:
        z, slope = isotherm(density)
        wanted, wanted_slope = reduced_pressure(z, slope)
        return density * z * ideal - wanted, (z + density * slope) * ideal - wanted_slope

    light = guess / ideal
    start = np.minimum(light / _about_z(light, t), 0.5 * _DENSEST)
    return isotherm(newton_root(excess, 0.0, _DENSEST, start, what))[0]


@published(
    formula=(
        'z = 1 + (A_1 + A_2/T_"pr" + A_3/T_"pr"^3 + A_4/T_"pr"^4 + A_5/T_"pr"^5) rho '
        '+ (A_6 + A_7/T_"pr" + A_8/T_"pr"^2) rho^2 '
        '- A_9 (A_7/T_"pr" + A_8/T_"pr"^2) rho^5 '
        '+ A_10 (1 + A_11 rho^2) rho^2/T_"pr"^3 exp(-A_11 rho^2), '
        'quad rho = (0.27 p_"pr")/(z T_"pr")'
    ),
    source="dranchuk-abou-kassem-1975",
    where="equation of state, solved for the reduced density",
    valid={
        "reduced_temperature": Limit(1.0, 3.0, "fitted range"),
        "reduced_pressure": Limit(0.0, 30.0, "fitted range 0.2 to 30; tends to 1 below"),
    },
    validity_note="Up to 1.4 % off for methane; 4.8 % at reduced temperature 1.1, near critical.",
    example={"reduced_temperature": "1.7", "reduced_pressure": "6.5"},
)
def z_factor(reduced_temperature: Real, reduced_pressure: Real) -> Real:
    """Compressibility factor z of natural gas from reduced temperature and pressure.

    Parameters
    ----------
    reduced_temperature : [-]
        Temperature over pseudo-critical temperature.
    reduced_pressure : [-]
        Absolute pressure over pseudo-critical pressure.

    Returns
    -------
    z_factor : [-]
        p V / (n R T).

    Raises
    ------
    NotConverged
        No reduced density below 6 satisfies the equation.
    """

    return _z(
        reduced_temperature,
        lambda z, slope: (reduced_pressure, 0.0),
        reduced_pressure,
        "gas z factor",
    )


_METHANE: Final[dict[str, str]] = {
    "pseudo_critical_temperature": "190.564 K",
    "pseudo_critical_pressure": "4.5992 MPa",
}


@published(
    formula='z = z(T \\/ T_"pc", p \\/ p_"pc")',
    source="dranchuk-abou-kassem-1975",
    where="equation of state at in-situ pressure and temperature; methane by default",
    valid={"pressure": Limit(0.0, 1.4e8), "temperature": Limit(190.6, 570.0)},
    validity_note="Absolute pressure. Up to 1.4 % off for methane.",
    example={"pressure": "60 MPa", "temperature": "100 degC", **_METHANE},
)
def gas_z_factor(
    pressure: Real,
    temperature: Real,
    pseudo_critical_temperature: Real = METHANE_CRITICAL_TEMPERATURE,
    pseudo_critical_pressure: Real = METHANE_CRITICAL_PRESSURE,
) -> Real:
    """Compressibility factor z of a gas at pressure and temperature.

    Parameters
    ----------
    pressure : [Pa]
        Absolute pressure.
    temperature : [K]
        Temperature.
    pseudo_critical_temperature : [K]
        Pseudo-critical temperature; methane's by default.
    pseudo_critical_pressure : [Pa]
        Pseudo-critical pressure; methane's by default.

    Returns
    -------
    z_factor : [-]
        p V / (n R T).

    Raises
    ------
    NotConverged
        The equation of state has no solution there.
    """
    return z_factor(temperature / pseudo_critical_temperature, pressure / pseudo_critical_pressure)


@published(
    formula='rho_g = (p gamma_g M_"air") / (z R T)',
    source="definition",
    where="real-gas law; molar mass of air 28.9647 g/mol",
    example={
        "pressure": "60 MPa",
        "temperature": "100 degC",
        "z_factor": "1.2",
        "gas_gravity": "0.554",
    },
)
def gas_density(pressure: Real, temperature: Real, z_factor: Real, gas_gravity: Real) -> Real:
    """Density of a gas by the real-gas law.

    Parameters
    ----------
    pressure : [Pa]
        Absolute pressure.
    temperature : [K]
        Temperature.
    z_factor : [-]
        Compressibility factor.
    gas_gravity : [-]
        Molar mass over that of air.

    Returns
    -------
    gas_density : [kg/m3]
        Density.
    """
    return pressure * gas_gravity * AIR_MOLAR_MASS / (z_factor * GAS_CONSTANT * temperature)


@published(
    formula='p_t = p_b exp(-(gamma_g M_"air" g h) / (z R T))',
    source="definition",
    where="hydrostatics of a gas of one z and one temperature",
    validity_note="z and temperature at the mean of the column.",
    example={
        "pressure_at_bottom": "60 MPa",
        "height": "3000 m",
        "temperature": "60 degC",
        "z_factor": "1.2",
        "gas_gravity": "0.554",
    },
)
def gas_column_pressure(
    pressure_at_bottom: Real,
    height: Real,
    temperature: Real,
    z_factor: Real,
    gas_gravity: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Pressure at the top of a column of gas with a known mean z.

    Parameters
    ----------
    pressure_at_bottom : [Pa]
        Absolute pressure at the foot.
    height : [m]
        True vertical height of the column.
    temperature : [K]
        Mean temperature of the column.
    z_factor : [-]
        Mean compressibility factor.
    gas_gravity : [-]
        Molar mass over that of air.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    pressure_at_top : [Pa]
        Absolute pressure at the top.
    """
    per_pressure = gas_gravity * AIR_MOLAR_MASS / (z_factor * GAS_CONSTANT * temperature)
    return pressure_at_bottom * np.exp(-per_pressure * gravity * height)


@published(
    formula=(
        'p_t = p_b exp(-(gamma_g M_"air" g h) / (overline(z) R T)), '
        'quad overline(z) = z(T \\/ T_"pc", (p_t + p_b) \\/ (2 p_"pc"))'
    ),
    source="common-practice",
    where="average temperature and z method, solved for top pressure and z together",
    valid={"height": Limit(0.0, 8000.0), "temperature": Limit(190.6, 570.0)},
    validity_note="Mean temperature and mean z: within 1 % of the integrated column to 5 km.",
    example={
        "pressure_at_bottom": "60 MPa",
        "height": "3000 m",
        "temperature": "60 degC",
        "gas_gravity": "0.554",
        **_METHANE,
    },
)
def gas_column_top_pressure(
    pressure_at_bottom: Real,
    height: Real,
    temperature: Real,
    gas_gravity: Real = METHANE_GRAVITY,
    pseudo_critical_temperature: Real = METHANE_CRITICAL_TEMPERATURE,
    pseudo_critical_pressure: Real = METHANE_CRITICAL_PRESSURE,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Pressure at the top of a column of real gas; methane unless said otherwise.

    Parameters
    ----------
    pressure_at_bottom : [Pa]
        Absolute pressure at the foot.
    height : [m]
        True vertical height of the column.
    temperature : [K]
        Mean temperature of the column.
    gas_gravity : [-]
        Molar mass over that of air.
    pseudo_critical_temperature : [K]
        Pseudo-critical temperature.
    pseudo_critical_pressure : [Pa]
        Pseudo-critical pressure.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    pressure_at_top : [Pa]
        Absolute pressure at the top.

    Raises
    ------
    NotConverged
        No reduced density below 6 gives the mean pressure of the column.
    """
    reduced_temperature = temperature / pseudo_critical_temperature
    bottom = pressure_at_bottom / pseudo_critical_pressure
    weight = gas_gravity * AIR_MOLAR_MASS * gravity * height / (GAS_CONSTANT * temperature)

    def mean_pressure(z: Array, slope: Array) -> tuple[Real, Real]:
        # z sets the pressure at the top, and the mean of top and bottom sets z
        thinner = np.exp(-weight / z)
        return (
            0.5 * bottom * (1.0 + thinner),
            0.5 * bottom * thinner * weight * slope / (z * z),
        )

    light = _CRITICAL_Z * bottom / reduced_temperature
    thinner_about = np.exp(-weight / _about_z(light, reduced_temperature))
    guess = 0.5 * bottom * (1.0 + thinner_about)
    z = _z(reduced_temperature, mean_pressure, guess, "gas column")
    return gas_column_pressure(pressure_at_bottom, height, temperature, z, gas_gravity, gravity)


_HYDRATE_VALID = Limit(2.5e6, 12.0e6, "the data reach from 2.5 to 12 MPa")


@published(
    formula="1/T_h = 3.79 dot 10^(-3) - 2.83 dot 10^(-4) log_10 (p \\/ 10^6)",
    source="dickens-quinby-hunt-1994",
    where="methane hydrate in sea water of 33.5 per mille; from memory",
    valid={"pressure": _HYDRATE_VALID},
    validity_note="Methane only. Extended to 30 MPa it reads some 1.5 K warm, on the safe side.",
    caution="Heavier gases form hydrates warmer than methane: this is no safe bound.",
    example={"pressure": "10 MPa"},
)
def hydrate_equilibrium_temperature(pressure: Real) -> Real:
    """Temperature below which methane and sea water form hydrate at a pressure.

    Parameters
    ----------
    pressure : [Pa]
        Absolute pressure, above zero.

    Returns
    -------
    hydrate_equilibrium_temperature : [K]
        Highest temperature at which hydrate is stable.
    """
    return 1.0 / (3.79e-3 - 2.83e-4 * np.log10(pressure / 1e6))


@published(
    formula="log_10 (p_h \\/ 10^6) = (3.79 dot 10^(-3) - 1\\/T) / (2.83 dot 10^(-4))",
    source="dickens-quinby-hunt-1994",
    where="methane hydrate in sea water, inverted; from memory",
    valid={"temperature": Limit(271.0, 287.0, "the data reach from 2.5 to 12 MPa")},
    caution="Heavier gases and condensate form hydrates at less pressure than methane.",
    example={"temperature": "4 degC"},
)
def hydrate_equilibrium_pressure(temperature: Real) -> Real:
    """Pressure above which methane and sea water form hydrate at a temperature.

    Parameters
    ----------
    temperature : [K]
        Temperature.

    Returns
    -------
    hydrate_equilibrium_pressure : [Pa]
        Lowest absolute pressure at which hydrate is stable.
    """
    return 1e6 * 10.0 ** ((3.79e-3 - 1.0 / np.asarray(temperature)) / 2.83e-4)


def density_near(
    pressure: Array,
    temperature: Array,
    gas_gravity: float,
    pseudo_critical_temperature: float,
    pseudo_critical_pressure: float,
    near: Array,
) -> Array:
    """Return the density [kg/m3] of a real gas that is known roughly, by the same equation.

    What follows gas in time knows it from the step before: one or two steps of Newton's
    rule are enough, the last leaving an error of its square. Else the bracketed search is used.

    Parameters
    ----------
    pressure, temperature : [Pa], [K], absolute
    near : [kg/m3] where the search begins

    Raises
    ------
    NotConverged
        No reduced density below 6 satisfies the equation.
    """
    t = temperature / pseudo_critical_temperature
    wanted = pressure / pseudo_critical_pressure
    isotherm, ideal = _isotherm(t), t / _CRITICAL_Z
    reduced = (
        _CRITICAL_Z * GAS_CONSTANT * pseudo_critical_temperature
        / (pseudo_critical_pressure * gas_gravity * AIR_MOLAR_MASS)
    )  # fmt: skip
    density = near * reduced
    for _ in range(6):
        z, slope = isotherm(density)
        step = (wanted - density * z * ideal) / ((z + density * slope) * ideal)
        density = density + step
        if (np.abs(step) <= 1e-6 * density).all() and (density < _DENSEST).all():
            return np.asarray(density / reduced)
    found = _z(t, lambda z, slope: (wanted, 0.0), wanted, "gas density")
    return np.asarray(gas_density(pressure, temperature, found, gas_gravity))


# Highest absolute pressure at which the fit of the dissociation line still lies within its 297 K.
_SALTED: Final = Limit(2.9e6, 4.6e7, "273 to 297 K in sea water")


@published(
    formula=(
        "ln (p_h \\/ 10^6) = -1644.4866 - 0.1374178 T + 54979.866/T + 264.118188 ln T "
        "+ S_P (11178.266 + 7.67420344 T - 4.515213 dot 10^(-3) T^2 - 204872.879/T "
        "- 2172.46046 ln T) + S_P^2 (170.484431 + 0.118594073 T - 7.0581304 dot 10^(-5) T^2 "
        "- 3097.96169/T - 33.2031996 ln T)"
    ),
    source="tishchenko-2005",
    where="equation 24, dissociation of methane hydrate; S_P in g/kg",
    valid={
        "temperature": Limit(273.0, 297.0, "range of the fit"),
        "practical_salinity": Limit(0.0, 70.0, "range of the fit"),
    },
    caution="Heavier gases and condensate form hydrates at less pressure than methane.",
    example={"temperature": "12 degC", "practical_salinity": "35"},
)
def hydrate_dissociation_pressure(temperature: Real, practical_salinity: Real = 35.0) -> Real:
    """Pressure above which methane and salt water form hydrate, over a wide range of pressure.

    Parameters
    ----------
    temperature : [K]
        Temperature.
    practical_salinity : [-]
        Salinity of the water.

    Returns
    -------
    hydrate_equilibrium_pressure : [Pa]
        Lowest absolute pressure at which hydrate is stable.
    """
    t, s = np.asarray(temperature, dtype=float), np.asarray(practical_salinity, dtype=float)
    log = np.log(t)
    fresh = -1644.4866 - 0.1374178 * t + 54979.866 / t + 264.118188 * log
    salt = 11178.266 + 7.67420344 * t - 4.515213e-3 * t**2 - 204872.879 / t - 2172.46046 * log
    more = 170.484431 + 0.118594073 * t - 7.0581304e-5 * t**2 - 3097.96169 / t - 33.2031996 * log
    return np.asarray(1e6 * np.exp(fresh + s * salt + s * s * more))


@published(
    formula="p_h (T_h, S_P) = p",
    source="tishchenko-2005",
    where="equation 24 solved for the temperature",
    valid={"pressure": _SALTED, "practical_salinity": Limit(0.0, 70.0, "range of the fit")},
    caution="Heavier gases form hydrates warmer than methane: this is no safe bound.",
    example={"pressure": "25 MPa", "practical_salinity": "35"},
)
def hydrate_stability_temperature(pressure: Real, practical_salinity: Real = 35.0) -> Real:
    """Temperature below which methane and salt water form hydrate, over a wide range of pressure.

    Parameters
    ----------
    pressure : [Pa]
        Absolute pressure.
    practical_salinity : [-]
        Salinity of the water.

    Returns
    -------
    hydrate_equilibrium_temperature : [K]
        Highest temperature at which hydrate is stable.

    Raises
    ------
    NotConverged
        The pressure is that of no temperature between 265 and 308 K.
    """
    wanted = np.log(np.asarray(pressure, dtype=float))

    def excess(t: Array) -> Real:
        return np.asarray(np.log(hydrate_dissociation_pressure(t, practical_salinity)) - wanted)

    return np.asarray(bracketed_root(excess, 265.0, 308.0, "hydrate temperature"))


# Molar mass of ethylene glycol, kg/mol.
GLYCOL_MOLAR_MASS: Final = 0.06207


@published(
    formula="w_i = (Delta T_h M_i) / (1.297 + Delta T_h M_i), quad M_i = 0.06207",
    source="hammerschmidt-1934",
    where="freezing-point rule; constant 1297 K g/mol (2335 with degree F); from memory",
    valid={"hydrate_subcooling": Limit(0.0, 25.0, "good to some 25 % methanol, 60 % glycol")},
    validity_note="In the water itself; salt in the water counts on top.",
    caution="A plan needs the supplier's test of the very mud, not this rule.",
    example={"hydrate_subcooling": "10 K"},
)
def inhibitor_mass_fraction(hydrate_subcooling: Real) -> Real:
    """Share of ethylene glycol in the water that lowers the hydrate temperature by so much.

    Parameters
    ----------
    hydrate_subcooling : [K difference]
        By how much the hydrate temperature is to be lowered.

    Returns
    -------
    inhibitor_mass_fraction : [-]
        Mass of glycol over mass of glycol and water.
    """
    asked = np.asarray(hydrate_subcooling, dtype=float) * GLYCOL_MOLAR_MASS
    return np.asarray(asked / (1.297 + asked))
