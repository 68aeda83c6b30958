"""Composed muds: mass stays, what is rigid stays, what is pure is itself."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.mud_composition import (
    composed_density,
    mean_compressibility,
    mean_thermal_expansion,
    water_share,
)


def test_shares_fill_the_volume() -> None:
    assert water_share(0.6, 0.03, 0.1) == pytest.approx(0.27)


def test_mass_is_conserved_under_pressure() -> None:
    """Density in place times volume in place is the mass at the surface."""
    shares = (0.25, 0.60, 0.04, 0.11)
    water, oil = 1025.0, 800.0
    for squeeze in (1.0, 1.01, 1.05):
        in_place = composed_density(*shares, water, water * squeeze, oil, oil * squeeze**2)
        volume = 0.25 / squeeze + 0.60 / squeeze**2 + 0.15
        mass = 0.25 * water + 0.60 * oil + 0.04 * 2600.0 + 0.11 * 4200.0
        assert in_place * volume == pytest.approx(mass, rel=1e-12)


def test_pure_parts_are_themselves() -> None:
    assert composed_density(1.0, 0.0, 0.0, 0.0, 1025.0, 1045.0, 800.0, 830.0) == pytest.approx(1045)
    assert composed_density(0.0, 1.0, 0.0, 0.0, 1025.0, 1045.0, 800.0, 830.0) == pytest.approx(830)
    solids = composed_density(0.0, 0.0, 0.5, 0.5, 1025.0, 1045.0, 800.0, 830.0)
    assert solids == pytest.approx(3400.0)


def test_mean_coefficients_give_the_second_density_back() -> None:
    c = mean_compressibility(1200.0, 1230.0, 0.0, 60e6)
    assert 1200.0 * np.exp(np.asarray(c) * 60e6) == pytest.approx(1230.0, rel=1e-12)
    b = mean_thermal_expansion(1200.0, 1180.0, 280.0, 340.0)
    assert 1200.0 * np.exp(-np.asarray(b) * 60.0) == pytest.approx(1180.0, rel=1e-12)
