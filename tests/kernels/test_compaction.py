"""Compaction trends and the drilling exponent: limits, inverses, sums."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels import compaction_trend as trend
from bathybore.kernels import drilling_exponent as drilling
from bathybore.kernels.horizontal_stress import major_stress_by_share
from bathybore.kernels.rock_stress import (
    athy_porosity,
    bulk_density,
    vertical_stress_below_layer,
    vertical_stress_compacting,
)
from bathybore.kernels.soil import soil_effective_overburden


def test_transit_time_falls_from_the_sea_bed_s_to_the_grains() -> None:
    z = np.array([0.0, 1000.0, 2000.0, 1e7])
    got = trend.normal_transit_time(6.5e-4, 2.1e-4, 4e-4, z)
    assert got[0] == 6.5e-4
    assert got[-1] == pytest.approx(2.1e-4)
    # equal depths take away equal shares of what is above the grains
    assert (got[2] - 2.1e-4) * (got[0] - 2.1e-4) == pytest.approx((got[1] - 2.1e-4) ** 2)


def test_resistivity_and_exponent_start_at_the_sea_bed_and_grow_by_their_rate() -> None:
    assert trend.normal_resistivity(0.7, 2e-4, 0.0) == 0.7
    assert trend.normal_resistivity(0.7, np.log(2.0) / 500.0, 500.0) == pytest.approx(1.4)
    assert trend.normal_drilling_exponent(1.1, 2.5e-4, 2000.0) == pytest.approx(1.6)


def test_a_fitted_line_finds_its_own_points_and_the_scatter_about_it() -> None:
    x = np.linspace(0.0, 10.0, 11)
    exact = trend.fitted_line(x, 3.0 - 0.5 * x)
    assert (exact.at_zero, exact.slope) == pytest.approx((3.0, -0.5))
    assert exact.scatter == pytest.approx(0.0, abs=1e-12)
    known = np.polynomial.polynomial.Polynomial.fit(x, np.sin(x), 1).convert().coef
    fitted = trend.fitted_line(x, np.sin(x))
    assert (fitted.at_zero, fitted.slope) == pytest.approx(tuple(known))


def test_a_running_integral_of_density_is_the_closed_overburden() -> None:
    z = np.linspace(0.0, 3000.0, 3001)
    density = bulk_density(athy_porosity(0.6, 1800.0, z), 2700.0, 1030.0)
    mean = trend.running_integral(z, np.asarray(density))[1:] / z[1:]
    summed = vertical_stress_below_layer(3e7, mean, z[1:], 9.81)
    closed = vertical_stress_compacting(3e7, 2700.0, 1030.0, 0.6, 1800.0, z[1:], 9.81)
    np.testing.assert_allclose(summed, closed, rtol=1e-7)
    stack = trend.running_integral(z, np.stack([density, 2.0 * density]))
    np.testing.assert_allclose(stack[1], 2.0 * stack[0])


def test_soil_weighs_in_water_what_archimedes_says() -> None:
    assert trend.submerged_unit_weight(1030.0, 1030.0, 9.8) == 0.0
    even = soil_effective_overburden(trend.submerged_unit_weight(1600.0, 1030.0, 9.8), 50.0)
    total = vertical_stress_below_layer(0.0, 1600.0, 50.0, 9.8)
    assert even == pytest.approx(total - 1030.0 * 9.8 * 50.0)


def test_faster_drilling_lowers_the_exponent_and_weight_and_speed_are_freed_of() -> None:
    rate = np.array([3.0, 10.0, 30.0]) / 3600.0
    exponents = drilling.drilling_exponent(rate, 2.0, 1.1e5, 0.3)
    assert np.all(np.diff(exponents) < 0.0)
    # R = N (W / D)^d up to units: the law that the exponent was made from gives it back
    speed, weight, diameter, d = 1.9, 9e4, 0.25, 1.4
    per_turn = (12.0 * weight / 4.4482216152605 / (1e6 * diameter / 0.0254)) ** d
    law = 60.0 * speed * 60.0 * per_turn * 0.3048 / 3600.0
    assert drilling.drilling_exponent(law, speed, weight, diameter) == pytest.approx(d)


def test_mud_as_light_as_pore_water_corrects_nothing() -> None:
    assert drilling.corrected_drilling_exponent(1.5, 1030.0, 1030.0) == 1.5
    assert drilling.corrected_drilling_exponent(1.5, 1030.0, 2060.0) == 0.75


def test_an_exponent_on_its_trend_means_normal_pressure_and_none_means_the_overburden() -> None:
    assert drilling.eaton_drilling_exponent(6e7, 3.5e7, 1.0) == 3.5e7
    assert drilling.eaton_drilling_exponent(6e7, 3.5e7, 0.0) == 6e7


def test_the_greater_horizontal_stress_runs_from_the_lesser_to_the_vertical() -> None:
    assert major_stress_by_share(38e6, 50e6, 0.0) == 38e6
    assert major_stress_by_share(38e6, 50e6, 1.0) == 50e6
    assert major_stress_by_share(38e6, 50e6, 0.5) == pytest.approx(44e6)
