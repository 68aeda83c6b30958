"""Printed facts about sea and earth that need more than one equation.

Sources stand beside each test; numbers were read there unless a comment says otherwise.
"""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.base.depth import Datum, Depth, DepthFrame
from bathybore.kernels.coring import core_recovery
from bathybore.kernels.heat import (
    circulating_annulus_temperature,
    circulating_pipe_temperature,
    fitted_geothermal_gradient,
    temperature_at_depth,
)
from bathybore.kernels.rock_strength import (
    cohesion,
    failure_stress_ratio,
    frictional_stress_limit,
    mogi_coulomb_strength,
    mogi_intercept,
    mogi_slope,
    mohr_coulomb_strength,
    octahedral_shear_stress,
    unconfined_compressive_strength,
)
from bathybore.kernels.rock_stress import principal_stresses, rotate_to_hole

MPA = 1e6


def test_stress_in_the_frame_of_a_deviated_hole() -> None:
    # Foster, J. T., PGE 334 Reservoir Geomechanics, The University of Texas at Austin,
    # midterm 2 (2017), solution calculations.
    stress = np.array([[47.5, -12.5, 0.0], [-12.5, 47.5, 0.0], [0.0, 0.0, 40.0]])
    turned = rotate_to_hole(stress, np.radians(45.0), np.radians(35.0))
    got = [turned[0, 0], turned[0, 1], turned[0, 2], turned[1, 1], turned[2, 2]]
    np.testing.assert_allclose(got, [36.6449496, 0.0, -2.34923155, 60.0, 38.3550504], atol=1e-6)


def test_principal_stresses_of_a_strike_slip_site() -> None:
    # Espinoza, D. N., Introduction to Energy Geomechanics, Example 3.1 (psi).
    stress = np.array([[8580.0, 100.0, 0.0], [100.0, 9900.0, 0.0], [0.0, 0.0, 9000.0]])
    np.testing.assert_allclose(principal_stresses(stress), [9907.53, 9000.0, 8572.47], atol=0.05)


def test_mogi_coulomb_meets_coulomb_where_two_stresses_are_equal() -> None:
    # Al-Ajmi and Zimmerman, Int. J. Rock Mech. Min. Sci. 42 (2005) 431-439.
    phi, c, least = np.radians(30.0), 10 * MPA, 5 * MPA
    q = failure_stress_ratio(phi)
    greatest = mohr_coulomb_strength(unconfined_compressive_strength(c, q), q, least)
    for middle in (least, greatest):
        shear = octahedral_shear_stress(greatest, middle, least)
        strength = mogi_coulomb_strength(mogi_intercept(c, phi), mogi_slope(phi), greatest, least)
        assert shear == pytest.approx(strength, rel=1e-12)


def test_friction_of_faults_and_of_rock_are_one_law() -> None:
    # Zoback, Reservoir Geomechanics (2007), eqs. 4.45-4.47, from memory.
    phi = np.radians(np.linspace(0.0, 60.0, 13))
    np.testing.assert_allclose(
        frictional_stress_limit(np.tan(phi)), failure_stress_ratio(phi), rtol=1e-12
    )


def test_cohesion_and_strength_undo_each_other() -> None:
    assert cohesion(unconfined_compressive_strength(7.5 * MPA, 4.2), 4.2) == pytest.approx(7.5e6)


@pytest.mark.parametrize(
    ("depths", "celsius", "printed"),
    [
        # Proc. IODP 339, downhole measurements: the printed fit uses twelve stations,
        # of which the sea bed and two were read.
        ([0.0, 34.6, 115.5], [3.4, 4.78, 8.02], 39.2),
        # Proc. IODP 320/321 (2010), Site U1333: four stations, of which three were read.
        ([0.0, 26.7, 83.7], [1.44, 2.52, 4.55], 37.9),
    ],
)
def test_gradient_fitted_to_a_temperature_probe(
    depths: list[float], celsius: list[float], printed: float
) -> None:
    fitted = fitted_geothermal_gradient(np.array(depths), np.array(celsius) + 273.15)
    assert float(fitted) * 1000.0 == pytest.approx(printed, rel=0.03)


def test_the_deep_gradient_of_hole_504b_does_not_reach_the_sea_bed() -> None:
    # ODP Leg 137 summary (1991): 61 K/km deep down and 165 degC at 1562 m below the sea bed.
    # The line comes out at 69.7 degC at the sea bed, far above any bottom water.
    at_sea_bed = temperature_at_depth(165.0 + 273.15, 0.061, -1562.0) - 273.15
    assert at_sea_bed == pytest.approx(69.7, abs=0.1)


def test_settled_circulation_closes_its_heat_balance() -> None:
    # Holmes and Swift, J. Petroleum Technology (June 1970) 670-674: what the mud gains is
    # what the ground gave, A (Ta(0) - Tin) = B integral (Tf - Ta) dz; and both differential
    # equations hold.
    depth, inlet, surface, gradient, a, b = 4500.0, 297.0, 288.5, 0.0231, 2100.0, 0.09
    nodes, weights = np.polynomial.legendre.leggauss(60)
    z = 0.5 * depth * (nodes + 1.0)
    arguments = (depth, inlet, surface, gradient, a, b)
    annulus = circulating_annulus_temperature(z, *arguments)
    pipe = circulating_pipe_temperature(z, *arguments)
    given = b * np.sum(0.5 * depth * weights * (surface + gradient * z - annulus))
    gained = a * (circulating_annulus_temperature(0.0, *arguments) - inlet)
    assert gained == pytest.approx(given, rel=1e-9)
    step = 0.05

    def slope(of: object) -> np.ndarray:
        return (of(z + step, *arguments) - of(z - step, *arguments)) / (2 * step)  # type: ignore[operator]

    np.testing.assert_allclose(a * slope(circulating_pipe_temperature), annulus - pipe, atol=2e-6)
    np.testing.assert_allclose(
        a * slope(circulating_annulus_temperature),
        annulus - pipe - b * (surface + gradient * z - annulus),
        atol=2e-6,
    )


def test_depths_below_rig_floor_and_sea_floor_of_hole_c0009a() -> None:
    # Expedition 319 Preliminary Report (2009), operations: sea floor 2082.3 m below the rig
    # floor and 2054 m below sea level; 2136.8 and 2795.0 m below the rig floor are 54.5 and
    # 712.7 m below the sea floor.
    frame = DepthFrame(drill_floor_height=2082.3 - 2054.0, water_depth=2054.0)
    assert frame.drill_floor_height == pytest.approx(28.3, abs=0.01)
    for below_floor, below_sea_bed in ((2136.8, 54.5), (2795.0, 712.7)):
        depth = Depth(below_floor, Datum.DRILL_FLOOR)
        assert frame.below_sea_bed(depth) == pytest.approx(below_sea_bed, abs=1e-6)


def test_a_printed_total_of_recovery_is_not_the_sum_of_its_parts() -> None:
    # Proc. IODP 320/321, Site U1334, Hole A: 212.39 m of 206.9 and 77.99 m of 78.6 were
    # recovered, the printed total is 288.83 m and 102 %. The parts sum to 290.38 m.
    recovered, cored = 212.39 + 77.99, 206.9 + 78.6
    assert abs(recovered - 288.83) > 1.0
    assert core_recovery(recovered, cored) == pytest.approx(1.017, abs=0.0005)
