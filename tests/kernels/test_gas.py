"""Gas against the ideal gas, an integrated column and itself turned round."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.base.errors import NotConverged
from bathybore.kernels.gas import (
    METHANE_GRAVITY,
    gas_column_pressure,
    gas_column_top_pressure,
    gas_density,
    gas_z_factor,
    hydrate_equilibrium_pressure,
    hydrate_equilibrium_temperature,
    z_factor,
)


def test_gas_is_ideal_at_no_pressure() -> None:
    temperatures = np.linspace(1.05, 3.0, 20)
    np.testing.assert_allclose(z_factor(temperatures, 0.0), 1.0, rtol=1e-14)
    np.testing.assert_allclose(z_factor(temperatures, 1e-6), 1.0, atol=1e-6)


def test_z_satisfies_its_own_definition() -> None:
    t, p = np.meshgrid(np.linspace(1.1, 3.0, 15), np.linspace(0.2, 30.0, 40))
    z = z_factor(t, p)
    rho = 0.27 * p / (z * t)
    # pressure rises with density: neighbours in pressure stand in order
    assert np.all(np.diff(rho, axis=0) > 0.0)
    assert np.all((z > 0.2) & (z < 3.5))


def test_z_refuses_what_has_no_solution() -> None:
    with pytest.raises(NotConverged, match="z factor"):
        z_factor(1.5, np.nan)


def test_boyle_at_low_pressure() -> None:
    low = gas_density(1e5, 300.0, gas_z_factor(1e5, 300.0), METHANE_GRAVITY)
    assert float(low) == pytest.approx(1e5 * 0.0160428 / (8.314462618 * 300.0), rel=0.003)


def test_methane_at_depth_against_the_reference_equation() -> None:
    # Setzmann & Wagner (1991), evaluated by a general-purpose property library
    kelvin = np.array([300.0, 350.0, 320.0, 400.0, 280.0, 370.0])
    pascal = np.array([10e6, 50e6, 30e6, 100e6, 20e6, 62e6])
    z = [0.855551, 1.180034, 0.942524, 1.681585, 0.776131, 1.309832]
    np.testing.assert_allclose(gas_z_factor(pascal, kelvin), z, rtol=0.015)


def test_no_height_no_change() -> None:
    assert float(gas_column_top_pressure(60e6, 0.0, 350.0)) == 60e6


def test_mean_z_column_agrees_with_the_integrated_column() -> None:
    # march dp/dh = -rho(p) g up the column in small steps
    pressure, steps, height = 60e6, 4000, 4000.0
    for _ in range(steps):
        z = gas_z_factor(pressure, 340.0)
        pressure -= gas_density(pressure, 340.0, z, METHANE_GRAVITY) * 9.80665 * height / steps
    got = gas_column_top_pressure(60e6, height, 340.0)
    assert float(got) == pytest.approx(float(pressure), rel=0.002)


def test_methane_column_against_the_reference_equation() -> None:
    # 60 MPa at the foot, 340 K, 4,000 m, Setzmann & Wagner (1991) density marched upwards
    assert float(gas_column_top_pressure(60e6, 4000.0, 340.0)) == pytest.approx(50.1275e6, rel=2e-3)


def test_the_mean_of_top_and_bottom_sets_the_z_of_the_column() -> None:
    bottom, height = np.meshgrid(np.linspace(1e5, 1.2e8, 15), np.linspace(-500.0, 6000.0, 14))
    top = np.asarray(gas_column_top_pressure(bottom, height, 340.0, 0.6))
    z = gas_z_factor(0.5 * (top + bottom), 340.0)
    again = gas_column_pressure(bottom, height, 340.0, z, 0.6)
    np.testing.assert_allclose(again, top, rtol=1e-13)


def test_a_column_beyond_the_equation_is_refused() -> None:
    for pressure in (np.nan, 1e12):
        with pytest.raises(NotConverged, match="gas column"):
            gas_column_top_pressure(pressure, 1000.0, 340.0)


def test_columns_stack() -> None:
    # a column with one z is the same in one piece or two
    middle = gas_column_pressure(60e6, 1500.0, 340.0, 1.2, 0.6)
    top = gas_column_pressure(middle, 1500.0, 340.0, 1.2, 0.6)
    assert float(top) == pytest.approx(float(gas_column_pressure(60e6, 3000.0, 340.0, 1.2, 0.6)))


def test_hydrate_line_turned_round() -> None:
    pressure = np.linspace(2.5e6, 12e6, 20)
    back = hydrate_equilibrium_pressure(hydrate_equilibrium_temperature(pressure))
    np.testing.assert_allclose(back, pressure, rtol=1e-10)
    assert np.all(np.diff(hydrate_equilibrium_temperature(pressure)) > 0.0)
