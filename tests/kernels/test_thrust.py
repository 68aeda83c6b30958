"""Thrusters: bounds of momentum theory, limits, inverses."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels import thrust

POWERS = st.floats(2e5, 8e6)
DIAMETERS = st.floats(1.5, 5.0)


@given(POWERS, DIAMETERS)
def test_no_claimed_thrust_beats_momentum_theory(power: float, diameter: float) -> None:
    opened = thrust.nominal_bollard_thrust(power, diameter, 800.0, 1.0)
    ducted = thrust.nominal_bollard_thrust(power, diameter, 1200.0, 1.0)
    assert opened < thrust.ideal_bollard_thrust(power, diameter, 1025.0, 1.0)
    assert ducted < thrust.ideal_bollard_thrust(power, diameter, 1025.0, 0.5)


@given(POWERS, DIAMETERS, st.floats(0.0, 3.0))
def test_thrust_in_a_current_satisfies_power_and_momentum(
    power: float, diameter: float, speed: float
) -> None:
    density = 1025.0
    area = np.pi * diameter**2 / 4.0
    factor = thrust.inflow_thrust_factor(power, diameter, speed, density)
    force = factor * thrust.ideal_bollard_thrust(power, diameter, density, 1.0)
    through = power / force
    assert force == pytest.approx(2.0 * density * area * through * (through - speed), rel=1e-9)
    assert factor <= 1.0 + 1e-12


def test_still_water_leaves_the_whole_thrust() -> None:
    assert thrust.inflow_thrust_factor(4.5e6, 3.5, 0.0, 1025.0) == pytest.approx(1.0, rel=1e-14)


@given(st.floats(1.0, 1e6))
def test_power_and_thrust_are_inverse(force: float) -> None:
    power = thrust.power_for_thrust(force, 1e6, 5e6)
    assert thrust.thrust_for_power(power, 1e6, 5e6) == pytest.approx(force, rel=1e-12)


def test_full_thrust_takes_full_power_and_none_takes_none() -> None:
    assert thrust.power_for_thrust(7e5, 7e5, 4e6) == 4e6
    assert thrust.power_for_thrust(0.0, 7e5, 4e6) == 0.0


@given(st.floats(2.0, 60.0), st.floats(0.01, np.pi / 2))
def test_wash_takes_less_with_distance_and_when_turned_away(spacing: float, angle: float) -> None:
    near = thrust.tandem_thrust_factor(spacing, 3.5)
    far = thrust.tandem_thrust_factor(spacing * 1.1, 3.5)
    assert 0.0 < near < far < 1.0
    assert near < thrust.turned_thrust_factor(near, angle) < 1.0
    assert thrust.turned_thrust_factor(near, 0.0) == near


def test_losses_multiply_and_never_add_thrust() -> None:
    assert thrust.effective_thrust(7e5, 1.0, 1.0, 1.0) == 7e5
    assert thrust.effective_thrust(7e5, 0.5, 0.5, 0.5) == pytest.approx(7e5 / 8.0)


def test_a_pair_of_equal_and_opposite_thrusts_makes_a_pure_moment() -> None:
    bow = thrust.thruster_yaw_moment(50.0, 0.0, 0.0, 1e5)
    stern = thrust.thruster_yaw_moment(-50.0, 0.0, 0.0, -1e5)
    assert bow + stern == pytest.approx(1e7)
    # pushing ahead on the starboard side (y negative) turns the bow to port
    assert thrust.thruster_yaw_moment(0.0, -8.0, 1e5, 0.0) == pytest.approx(8e5)
