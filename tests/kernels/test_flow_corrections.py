"""Corrections to friction, sums along a channel, nozzles: limits and brute force."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.bit_hydraulics import (
    bit_pressure_share_for_impact,
    bit_pressure_share_for_power,
    nozzle_area,
)
from bathybore.kernels.flow_corrections import (
    corrected_friction_gradient,
    equivalent_circulating_density,
    joint_loss,
    pressure_down_to,
    tool_joint_factor,
    turbulent_reynolds_number,
)
from bathybore.kernels.nozzles import (
    THIRTY_SECOND,
    equal_nozzle_diameter,
    pressure_left_for_bit,
)
from bathybore.kernels.pipe_flow import critical_reynolds_number
from bathybore.kernels.segments import pressure_over_segments
from bathybore.operations.circulation_nozzles import most_at_bit


def test_no_joint_no_offset_no_turning_changes_nothing() -> None:
    assert joint_loss(1.0, 1200.0, 2.0) == 0.0
    assert tool_joint_factor(120.0, 120.0, 0.05, 0.0) == pytest.approx(1.0)
    assert tool_joint_factor(400.0, 0.0, 0.05, 10.0) == 1.0  # no flow, no friction
    assert corrected_friction_gradient(120.0) == 120.0
    assert corrected_friction_gradient(100.0, 0.8, 1.1, 1.25) == pytest.approx(110.0)


def test_joints_in_series_with_the_body() -> None:
    """A length of pipe and one joint, lost pressures added by hand."""
    spacing, share, body, joint, lost = 9.6, 0.05, 100.0, 300.0, 48.0
    whole = (1 - share) * spacing * body + share * spacing * joint + lost
    factor = tool_joint_factor(joint, body, share, lost, spacing)
    assert factor * body * spacing == pytest.approx(whole)


def test_a_closed_joint_loses_the_borda_head() -> None:
    """From nothing: half a velocity head going in, a whole one coming out."""
    assert joint_loss(0.0, 1000.0, 2.0) == pytest.approx(1.5 * 0.5 * 1000.0 * 4.0)


def test_running_sum_ends_at_the_whole() -> None:
    gradient, length = np.array([[10.0, 20.0, 5.0], [1.0, 2.0, 3.0]]), np.array([3.0, 1.0, 2.0])
    running = np.asarray(pressure_down_to(gradient, length))
    np.testing.assert_allclose(running[:, -1], pressure_over_segments(gradient, length))
    np.testing.assert_allclose(running[0], [30.0, 50.0, 60.0])


def test_equivalent_density_of_a_still_column_is_its_own() -> None:
    pressure = 25e6 + 1200.0 * 9.81 * 1000.0
    assert equivalent_circulating_density(pressure, 1000.0, 9.81, 25e6) == pytest.approx(1200.0)


def test_turbulence_begins_above_the_end_of_laminar_flow() -> None:
    for n in (0.3, 0.7, 1.0):
        assert turbulent_reynolds_number(n) - critical_reynolds_number(n) == pytest.approx(800.0)


def test_nozzles_are_whole_and_no_smaller() -> None:
    wanted = np.linspace(0.5e-4, 9e-4, 50)
    diameter = np.asarray(equal_nozzle_diameter(wanted))
    steps = diameter / THIRTY_SECOND
    np.testing.assert_allclose(steps, np.round(steps), atol=1e-9)
    area = np.asarray(nozzle_area(diameter, 3.0))
    assert np.all(area >= wanted * (1 - 1e-9))
    assert np.all(np.asarray(nozzle_area(diameter - THIRTY_SECOND, 3.0)) < wanted)
    # an exact size stays: three 12s
    exact = nozzle_area(12 * THIRTY_SECOND, 3.0)
    assert equal_nozzle_diameter(exact) == pytest.approx(12 * THIRTY_SECOND)


@pytest.mark.parametrize("exponent", [1.0, 1.75, 1.86, 2.0])
def test_best_flow_spends_the_share_of_the_closed_form(exponent: float) -> None:
    """At a pump held at one pressure the shares are m/(m+1) for power, m/(m+2) for impact."""
    rates = np.linspace(1e-3, 0.1, 20001)
    limit = np.full_like(rates, 30e6)
    parasitic = 30e6 * (rates / 0.06) ** exponent
    for goal, share in (
        ("hydraulic power", bit_pressure_share_for_power(exponent)),
        ("jet impact", bit_pressure_share_for_impact(exponent)),
    ):
        best = most_at_bit(rates, parasitic, limit, goal)  # type: ignore[arg-type]
        assert best is not None
        left = 1.0 - (best / 0.06) ** exponent
        assert left == pytest.approx(float(share), abs=2e-3)


def test_nothing_left_is_no_flow() -> None:
    assert pressure_left_for_bit(10e6, 12e6) == 0.0
    rates = np.linspace(0.01, 0.1, 5)
    assert most_at_bit(rates, np.full(5, 2e7), np.full(5, 1e7), "jet impact") is None
