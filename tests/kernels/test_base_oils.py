"""Base oils beside what the petroleum measurement standard says of any oil of their density.

API Manual of Petroleum Measurement Standards: expansion of chapter 11.1 (1980, fuel oils, and
jet fuels below 838 kg/m3), compressibility near the surface of chapter 11.2.1M (1984); all
constants from memory. Far beyond its pressures the compressibility is carried on by Tait's form
with the constant 0.2 of hydrocarbons (Cutler and others, 1958).
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, log

import numpy as np
import pytest

from bathybore.kernels.base_oils import (
    diesel_density,
    internal_olefin_density,
    mineral_oil_density,
)

Law = Callable[[float, float], float]
LAWS = (mineral_oil_density, internal_olefin_density, diesel_density)
COLD = 288.15  # K; the standard's base temperature


def standard_expansion(density: float) -> float:
    """Expansion at 15 degC [1/K]."""
    if density < 838.0:
        return 594.5418 / density**2
    return 186.9696 / density**2 + 0.4862 / density


def standard_gain(density: float, celsius: float, pressure: float) -> float:
    """Density under pressure over density without."""
    square = (1000.0 / density) ** 2
    compressibility = 1e-9 * exp(
        -1.62080 + 2.1592e-4 * celsius + 0.87096 * square + 4.2092e-3 * celsius * square
    )
    tait = 0.2 / log(10.0)
    return 1.0 / (1.0 - tait * log(1.0 + compressibility * pressure / tait))


@pytest.mark.parametrize("law", LAWS)
def test_oils_swell_as_the_standard_says(law: Law) -> None:
    at_rest = float(law(0.0, COLD))
    slope = (at_rest - float(law(0.0, COLD + 40.0))) / (40.0 * at_rest)
    assert slope == pytest.approx(standard_expansion(at_rest), rel=0.15)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("celsius", [5.0, 50.0, 100.0])
def test_oils_are_squeezed_nearly_as_the_standard_says(law: Law, celsius: float) -> None:
    """To 1.1 % of density; straight lines do not soften with heat, as their caution says."""
    at_rest, warm = float(law(0.0, COLD)), 273.15 + celsius
    apart = 0.022 if law is diesel_density and celsius > 50.0 else 0.011
    for pressure in (10e6, 40e6, 70e6):
        gain = float(law(pressure, warm) / law(0.0, warm))
        assert gain == pytest.approx(standard_gain(at_rest, celsius, pressure), abs=apart)


@pytest.mark.parametrize("law", LAWS)
def test_oils_gain_with_pressure_and_lose_with_heat(law: Law) -> None:
    """Everywhere in their range; the squares of the fits must not turn them round."""
    pressure, warmth = np.meshgrid(np.linspace(0.0, 87e6, 40), np.linspace(274.0, 477.0, 40))
    density = np.asarray(law(pressure, warmth))
    assert np.all(np.diff(density, axis=1) > 0.0)
    assert np.all(np.diff(density, axis=0) < 0.0)
