"""Jets and pumps by energy and by the maximum they claim."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.bit_hydraulics import (
    bit_pressure_drop,
    bit_pressure_share_for_impact,
    bit_pressure_share_for_power,
    flow_exponent,
    hydraulic_power,
    jet_impact_force,
    nozzle_area_for_pressure_drop,
    nozzle_velocity,
    pump_power,
    pump_pressure_limit,
)


def test_pressure_becomes_the_energy_of_the_jets() -> None:
    loss = bit_pressure_drop(1200.0, 0.03, 3e-4, 1.0)
    v = nozzle_velocity(0.03, 3e-4)
    assert loss == pytest.approx(0.5 * 1200.0 * v**2)
    assert hydraulic_power(loss, 0.03) == pytest.approx(0.5 * jet_impact_force(1200.0, 0.03, v) * v)


def test_no_flow_no_loss() -> None:
    assert bit_pressure_drop(1200.0, 0.0, 3e-4) == 0.0


def test_area_for_a_loss_gives_that_loss() -> None:
    area = nozzle_area_for_pressure_drop(1200.0, 0.03, 8e6)
    assert float(bit_pressure_drop(1200.0, 0.03, area)) == pytest.approx(8e6)


@pytest.mark.parametrize("m", [1.0, 1.5, 1.86, 2.0])
def test_optimum_shares_are_optimum(m: float) -> None:
    # pump pressure 1, parasitic loss q^m: what is left goes to the bit
    q = np.linspace(1e-3, 1.0, 200_001)
    bit = 1.0 - q**m
    impact, power = q * np.sqrt(bit), q * bit
    assert bit[np.argmax(impact)] == pytest.approx(bit_pressure_share_for_impact(m), abs=1e-4)
    assert bit[np.argmax(power)] == pytest.approx(bit_pressure_share_for_power(m), abs=1e-4)


def test_exponent_of_a_known_power() -> None:
    got = flow_exponent(2e6 * 2.0**1.8, 0.04, 2e6, 0.02)
    assert float(got) == pytest.approx(1.8)


def test_pump_limit_is_the_liner_until_power_bites() -> None:
    q = np.array([0.0, 0.01, 0.05, 0.1])
    limit = pump_pressure_limit(35e6, 2e6, q, 0.9)
    np.testing.assert_allclose(limit, [35e6, 35e6, 35e6, 18e6])
    assert float(pump_power(limit[3], q[3], 0.9)) == pytest.approx(2e6)
