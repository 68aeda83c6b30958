"""Composed muds: mass stays, what is rigid stays, what is pure is itself."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.base_oils import mineral_oil_density
from bathybore.kernels.mud_composition import (
    composed_density,
    mean_compressibility,
    mean_thermal_expansion,
    water_share,
)
from bathybore.kernels.seawater import conservative_temperature, sea_water_density
from bathybore.kernels.water import pure_water_density


def test_shares_fill_the_volume() -> None:
    assert water_share(0.6, 0.03, 0.1) == pytest.approx(0.27)


GRAINS = (2600.0, 2604.0, 4200.0, 4204.0)


def test_mass_is_conserved_under_pressure() -> None:
    """Density in place times the volumes of all parts in place is the mass at the surface."""
    shares = (0.25, 0.60, 0.04, 0.11)
    water, oil = 1025.0, 800.0
    for squeeze in (1.0, 1.01, 1.05):
        grains = (2600.0, 2600.0 * squeeze**0.1, 4200.0, 4200.0 * squeeze**0.05)
        in_place = composed_density(*shares, water, water * squeeze, oil, oil * squeeze**2, *grains)
        volume = 0.25 / squeeze + 0.60 / squeeze**2 + 0.04 / squeeze**0.1 + 0.11 / squeeze**0.05
        mass = 0.25 * water + 0.60 * oil + 0.04 * 2600.0 + 0.11 * 4200.0
        assert in_place * volume == pytest.approx(mass, rel=1e-12)


def test_pure_parts_are_themselves() -> None:
    liquids = (1025.0, 1045.0, 800.0, 830.0)
    assert composed_density(1.0, 0.0, 0.0, 0.0, *liquids, *GRAINS) == pytest.approx(1045.0)
    assert composed_density(0.0, 1.0, 0.0, 0.0, *liquids, *GRAINS) == pytest.approx(830.0)
    assert composed_density(0.0, 0.0, 1.0, 0.0, *liquids, *GRAINS) == pytest.approx(2604.0)
    assert composed_density(0.0, 0.0, 0.0, 1.0, *liquids, *GRAINS) == pytest.approx(4204.0)


def test_oil_is_squeezed_and_swells_like_base_oils() -> None:
    """Handbook ranges of base oils: 6e-10 to 9e-10 1/Pa, 7e-4 to 1e-3 1/K; softer when hot."""
    cold, warm = 293.15, 373.15
    rest = mineral_oil_density(0.0, cold)
    assert rest == pytest.approx(810.0, rel=0.01)
    squeezed = np.log(mineral_oil_density(30e6, cold) / rest) / 30e6
    softer = np.log(mineral_oil_density(30e6, warm) / mineral_oil_density(0.0, warm)) / 30e6
    assert 6e-10 < squeezed < softer < 1.1e-9
    assert 7e-4 < np.log(rest / mineral_oil_density(0.0, warm)) / (warm - cold) < 1e-3


# the formulation's own computer-program check, table 5: pressure, temperature, volume [m3/kg]
IF97 = [
    (3e6, 300.0, 0.100215168e-2),
    (80e6, 300.0, 0.971180894e-3),
    (3e6, 500.0, 0.120241800e-2),
]


@pytest.mark.parametrize(("pressure", "temperature", "volume"), IF97)
def test_pure_water_is_that_of_the_formulation(
    pressure: float, temperature: float, volume: float
) -> None:
    found = 1.0 / pure_water_density(pressure - 101325.0, temperature)
    assert found == pytest.approx(volume, rel=5e-9)


def test_pure_water_meets_that_of_the_sea_without_salt() -> None:
    for warmth in (278.15, 293.15, 313.15):
        for pressure in (0.0, 40e6, 80e6):
            heat = conservative_temperature(0.0, warmth, pressure)
            sea = sea_water_density(0.0, heat, pressure)
            assert pure_water_density(pressure, warmth) == pytest.approx(sea, rel=2e-4)


def test_mean_coefficients_give_the_second_density_back() -> None:
    c = mean_compressibility(1200.0, 1230.0, 0.0, 60e6)
    assert 1200.0 * np.exp(np.asarray(c) * 60e6) == pytest.approx(1230.0, rel=1e-12)
    b = mean_thermal_expansion(1200.0, 1180.0, 280.0, 340.0)
    assert 1200.0 * np.exp(-np.asarray(b) * 60.0) == pytest.approx(1180.0, rel=1e-12)
