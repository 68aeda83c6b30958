"""Printed examples of hydraulics and cementing that take more than one equation."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.base.units import from_si, parse_quantity
from bathybore.kernels.cement import annular_volume
from bathybore.kernels.cuttings import particle_reynolds_number, slip_velocity_fang
from bathybore.kernels.gas import AIR_MOLAR_MASS, GAS_CONSTANT, gas_density
from bathybore.kernels.mud import STANDARD_GRAVITY, hydrostatic_pressure
from bathybore.kernels.pipe_flow import annulus_friction_gradient, mean_velocity_in_annulus
from bathybore.kernels.rheology import power_law_index
from bathybore.kernels.surge import surge_velocity_closed_end


def test_drag_chart_fit_coefficients_of_guo_and_liu() -> None:
    # Guo & Liu, Applied Drilling Circulation Systems (2011), Table 2.4: at sphericity 0.8
    # A' = 1.7996, B' = -0.8467, C' = 0.1206, and f = 2.9350 at Re 240. Read.
    diameter, density, fluid = parse_quantity("0.25 in", "m"), 2698.9, 1437.92
    viscosity = np.array([2e-3, 6e-3, 20e-3])
    velocity = slip_velocity_fang(diameter, density, fluid, viscosity, 0.8)
    drag = 4 / 3 * STANDARD_GRAVITY * diameter * (density - fluid) / (fluid * velocity**2)
    reynolds = particle_reynolds_number(diameter, fluid, viscosity, velocity)
    assert np.polyfit(np.log10(reynolds), np.log10(drag), 2) == pytest.approx(
        [0.1206, -0.8467, 1.7996], abs=2e-4
    )
    assert drag[1] == pytest.approx(2.9350, abs=0.002)


def test_total_annular_volume_of_the_handbook() -> None:
    # Lapeyrouse (2002), chapter 2: three sections make 1,231.84 bbl. Read.
    inches = np.array([[12.25, 8.0], [12.25, 5.0], [12.615, 5.0]]) * 0.0254
    lengths = np.array([600.0, 4900.0, 4500.0]) * 0.3048
    total = float(np.sum(annular_volume(inches[:, 0], inches[:, 1], lengths)))
    assert from_si(total, "m3", "bbl") == pytest.approx(1231.84, abs=0.2)


def test_annulus_pressure_at_the_end_of_the_cement_job() -> None:
    # Lapeyrouse (2002), section 2.12: mud 5,000 ft of 10 ppg, lead 2,000 ft of 13.8 ppg, tail
    # 1,000 ft of 15.8 ppg give 4,857 psi with 0.052, which is 0.10 % high. Read.
    ppg, feet = np.array([10.0, 13.8, 15.8]), np.array([5000.0, 2000.0, 1000.0])
    pressure = hydrostatic_pressure(ppg * parse_quantity("1 ppg", "kg/m3"), feet * 0.3048)
    assert from_si(float(np.sum(pressure)), "Pa", "psi") == pytest.approx(4857, rel=0.0012)


def test_molar_density_of_the_published_example_gas() -> None:
    # GERG-2008 example mixture at 400 K and 50 MPa: 12.79828626 mol/L; R there is 8.314472.
    z = 50e6 / (12798.28626082062 * 8.314472 * 400.0)
    density = gas_density(50e6, 400.0, z, 0.0205427445016 / AIR_MOLAR_MASS)
    assert density / 0.0205427445016 == pytest.approx(
        12798.28626082062 * 8.314472 / GAS_CONSTANT, rel=1e-6
    )


def test_surge_example_end_to_end() -> None:
    # Lapeyrouse (2002), chapter 5, surge example 1: 716 psi around 14,300 ft of 4 1/2 in pipe in
    # 7 7/8 in hole; 270 ft/min, dial 140/80, greatest velocity 1.5 times the mean. Read.
    outer, inner = 7.875 * 0.0254, 4.5 * 0.0254
    index = power_law_index(140.0, 80.0)
    consistency = 80.0 / 511.0**index * parse_quantity("1 lbf_per_100ft2", "Pa")
    speed = 1.5 * surge_velocity_closed_end(parse_quantity("270 ft/min", "m/s"), outer, inner)
    assert from_si(float(speed), "m/s", "ft/min") == pytest.approx(378.0, abs=1.0)
    rate = speed / mean_velocity_in_annulus(1.0, outer, inner)
    gradient = annulus_friction_gradient(rate, outer, inner, 1.0, 0.0, consistency, index)
    pressure = float(gradient) * 14300.0 * 0.3048
    assert from_si(pressure, "Pa", "psi") == pytest.approx(716.0, rel=0.01)
