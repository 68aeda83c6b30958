"""Fitted models run through the readings they were fitted to."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels.rheology import (
    apparent_viscosity,
    herschel_bulkley_consistency,
    herschel_bulkley_index,
    herschel_bulkley_yield_stress,
    plastic_viscosity,
    power_law_consistency,
    power_law_consistency_annulus,
    power_law_index,
    power_law_index_annulus,
    shear_stress_herschel_bulkley,
    viscometer_shear_rate,
    viscometer_shear_stress,
    yield_point,
)

RPM = 1.0 / 60.0


def rate(rpm: float) -> float:
    return float(viscometer_shear_rate(rpm * RPM))


@given(st.floats(30.0, 80.0), st.floats(1.1, 1.95), st.floats(1.0, 6.0))
def test_herschel_bulkley_runs_through_the_high_readings(low: float, ratio: float, d3: float):
    high, d6 = low * ratio, d3 * 1.1
    ty = herschel_bulkley_yield_stress(d6, d3)
    n = herschel_bulkley_index(high, low, ty)
    k = herschel_bulkley_consistency(low, ty, n)
    for reading, rpm in ((low, 300.0), (high, 600.0)):
        stress = shear_stress_herschel_bulkley(ty, k, n, rate(rpm))
        assert float(stress) == pytest.approx(float(viscometer_shear_stress(reading)), rel=1e-9)


def test_power_laws_run_through_their_readings() -> None:
    n = power_law_index(60.0, 38.0)
    k = power_law_consistency(38.0, n)
    assert float(k * rate(600.0) ** n) == pytest.approx(float(viscometer_shear_stress(60.0)))
    n = power_law_index_annulus(20.0, 3.0)
    k = power_law_consistency_annulus(20.0, n)
    assert float(k * rate(3.0) ** n) == pytest.approx(float(viscometer_shear_stress(3.0)))


def test_water_is_newtonian() -> None:
    # 1 cP reads one degree at 300 rpm and two at 600
    assert float(power_law_index(2.0, 1.0)) == 1.0
    assert plastic_viscosity(2.0, 1.0) == 1e-3
    assert yield_point(2.0, 1.0) == 0.0
    assert float(power_law_consistency(1.0, 1.0)) == pytest.approx(1e-3, rel=1e-3)


def test_apparent_viscosity_of_a_newtonian_fluid_is_constant() -> None:
    for shear in (1.0, 100.0, 1000.0):
        assert float(apparent_viscosity(0.0, 0.02, 1.0, shear)) == pytest.approx(0.02)


def test_bingham_and_power_law_are_special_cases() -> None:
    assert shear_stress_herschel_bulkley(5.0, 0.02, 1.0, 100.0) == pytest.approx(7.0)
    assert shear_stress_herschel_bulkley(0.0, 0.5, 0.5, 100.0) == pytest.approx(5.0)
    assert shear_stress_herschel_bulkley(5.0, 0.5, 0.5, 0.0) == 5.0
