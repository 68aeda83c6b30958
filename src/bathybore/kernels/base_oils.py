"""Density of base oils under pressure and temperature, by the name of the oil."""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published

_PSI: Final = 6894.757293168361  # Pa, exact by definition
_PPG: Final = 119.82642731689663  # kg/m3, exact by definition
_WHERE: Final = (
    "p in psi, T in degrees Fahrenheit, 119.826 kg/m3 a pound per gallon; coefficients from memory"
)
_CAUTION: Final = (
    "Oils of one name differ by a percent under pressure: tell what was measured of yours."
)
_EXAMPLE: Final = {"pressure": "60 MPa", "temperature": "80 degC"}
_Bent: TypeAlias = tuple[float, float, float]  # factors of 1, p and p^2
_WARMTH: Final = Limit(273.15, 477.6, "0 to 204 degC")


def _psi(pressure: Real) -> Real:
    return np.asarray(pressure) / _PSI


def _fahrenheit(temperature: Real) -> Real:
    return 1.8 * (np.asarray(temperature) - 273.15) + 32.0


def _bent_by_pressure(pressure: Real, temperature: Real, level: _Bent, slope: _Bent) -> Real:
    """Return a density [kg/m3] straight in temperature, its level and slope bent by pressure."""
    p, t = _psi(pressure), _fahrenheit(temperature)
    at, per = (a + p * (b + c * p) for a, b, c in (level, slope))
    return _PPG * (at + per * t)


@published(
    formula=(
        "rho_o = 119.826 (6.9912 + 2.25 dot 10^(-5) p - 10^(-10) p^2 "
        "+ (-3.28 dot 10^(-3) + 1.17 dot 10^(-7) p - 3 dot 10^(-12) p^2) T)"
    ),
    source="api-rp-13d",
    where=f"base fluids under pressure and temperature, mineral oil, {_WHERE}",
    valid={"temperature": _WARMTH, "pressure": Limit(-1e5, 1.38e8, "to 20,000 psi")},
    example=_EXAMPLE,
    caution=_CAUTION,
)
def mineral_oil_density(pressure: Real, temperature: Real) -> Real:
    """Density of a mineral base oil under pressure and temperature.

    Parameters
    ----------
    pressure : [Pa]
        Gauge pressure on the oil.
    temperature : [K]
        Temperature of the oil.

    Returns
    -------
    oil_density : [kg/m3]
        Density.
    """
    level, slope = (6.9912, 2.25e-5, -1e-10), (-3.28e-3, 1.17e-7, -3e-12)
    return _bent_by_pressure(pressure, temperature, level, slope)


@published(
    formula=(
        "rho_o = 119.826 (6.8358 + 2.23 dot 10^(-5) p - 2 dot 10^(-10) p^2 "
        "+ (-3.39 dot 10^(-3) + 1.12 dot 10^(-7) p - 2 dot 10^(-12) p^2) T)"
    ),
    source="api-rp-13d",
    where=f"base fluids under pressure and temperature, internal olefin, {_WHERE}",
    valid={"temperature": _WARMTH, "pressure": Limit(-1e5, 1.38e8, "to 20,000 psi")},
    example=_EXAMPLE,
    caution=_CAUTION,
)
def internal_olefin_density(pressure: Real, temperature: Real) -> Real:
    """Density of an internal olefin, a synthetic base oil, under pressure and temperature.

    Parameters
    ----------
    pressure : [Pa]
        Gauge pressure on the oil.
    temperature : [K]
        Temperature of the oil.

    Returns
    -------
    oil_density : [kg/m3]
        Density.
    """
    level, slope = (6.8358, 2.23e-5, -2e-10), (-3.39e-3, 1.12e-7, -2e-12)
    return _bent_by_pressure(pressure, temperature, level, slope)


@published(
    formula=("rho_o = 119.826 (7.24032 - 2.84383 dot 10^(-3) T + 2.75660 dot 10^(-5) p)"),
    source="sorelle-1982",
    where=f"diesel oil No. 2, straight in pressure and temperature, {_WHERE}",
    valid={"temperature": _WARMTH, "pressure": Limit(-1e5, 8.7e7, "to 12,500 psi")},
    example=_EXAMPLE,
    caution="Straight lines: at 100 degC and 70 MPa it lies 2 % below what a general law of "
    "petroleum gives, hotter more. Tell what was measured of yours.",
)
def diesel_density(pressure: Real, temperature: Real) -> Real:
    """Density of diesel oil under pressure and temperature.

    Parameters
    ----------
    pressure : [Pa]
        Gauge pressure on the oil.
    temperature : [K]
        Temperature of the oil.

    Returns
    -------
    oil_density : [kg/m3]
        Density.
    """
    return _PPG * (7.24032 - 2.84383e-3 * _fahrenheit(temperature) + 2.75660e-5 * _psi(pressure))
