"""Limits, symmetries and orders that the strength of pipe must keep."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels import drill_pipe_strength, tubular_collapse, tubular_strength
from bathybore.kernels import tubular_stress as stress

PSI = 6894.757293168361
GRADES = np.array([40, 55, 80, 95, 110, 125, 140]) * 1e3 * PSI
RATIOS = np.linspace(8.0, 60.0, 400)

pressures = st.floats(0.0, 150e6)
grades = st.floats(40e3 * PSI, 140e3 * PSI)
ratios = st.floats(8.0, 60.0)


def collapse(ratio: object, grade: object) -> np.ndarray:
    return np.asarray(tubular_collapse.collapse_pressure(np.asarray(ratio), 1.0, grade))


@pytest.mark.parametrize("grade", GRADES)
def test_collapse_falls_with_slenderness_and_has_no_jump(grade: float) -> None:
    fine = np.linspace(8.0, 60.0, 20001)
    values = collapse(fine, grade)
    assert np.all(np.diff(values) < 0)
    assert np.max(-np.diff(values) / values[:-1]) < 2e-3


@pytest.mark.parametrize("grade", GRADES)
def test_regimes_follow_each_other(grade: float) -> None:
    limits = [
        tubular_collapse.diameter_wall_limit_yield_plastic(grade),
        tubular_collapse.diameter_wall_limit_plastic_transition(grade),
        tubular_collapse.diameter_wall_limit_transition_elastic(grade),
    ]
    assert limits == sorted(limits)


@pytest.mark.parametrize("grade", GRADES)
def test_bounds_of_mechanics_do_not_touch_the_published_curves(grade: float) -> None:
    """The bound by yield and by elastic buckling exists for used-up yields only."""
    a = tubular_collapse.collapse_coefficient_a(grade)
    b = tubular_collapse.collapse_coefficient_b(grade)
    c = tubular_collapse.collapse_coefficient_c(grade)
    low = tubular_collapse.diameter_wall_limit_yield_plastic(grade)
    high = tubular_collapse.diameter_wall_limit_plastic_transition(grade)
    inside = np.linspace(low * 1.001, high * 0.999, 50)
    np.testing.assert_allclose(collapse(inside, grade), grade * (a / inside - b) - c, rtol=1e-12)


@given(ratios, grades, st.floats(-1.0, 1.5), st.floats(0.0, 1.0))
def test_tension_never_raises_collapse(ratio: float, grade: float, low: float, more: float) -> None:
    def at(share: float) -> float:
        return float(
            tubular_collapse.collapse_pressure_under_tension(ratio, 1.0, grade, share * grade, 0.0)
        )

    assert at(low + more) <= at(low) * (1 + 1e-9)
    assert at(low) >= 0.0


def test_no_collapse_strength_is_left_at_yield_in_tension() -> None:
    for share in (1.0, 1.2):
        left = tubular_collapse.collapse_pressure_under_tension(
            RATIOS, 1.0, GRADES[3], share * GRADES[3], 0.0
        )
        assert np.all(np.asarray(left) < 1e-6 * GRADES[3])


def test_without_axial_load_the_combined_form_is_the_plain_one() -> None:
    plain = collapse(RATIOS, GRADES[2])
    combined = tubular_collapse.collapse_pressure_under_tension(RATIOS, 1.0, GRADES[2], 0.0, 0.0)
    np.testing.assert_allclose(combined, plain, rtol=1e-14)


@given(pressures, ratios)
def test_pressure_all_round_does_not_wear_out_collapse(pressure: float, ratio: float) -> None:
    """End force by the same pressure: axial stress -p; the difference at collapse is unchanged."""
    grade = GRADES[4]
    under = tubular_collapse.collapse_pressure_under_tension(ratio, 1.0, grade, -pressure, pressure)
    assert float(under) == pytest.approx(float(collapse(ratio, grade)), rel=1e-12)


def test_thick_pipe_collapses_when_its_bore_yields_by_the_ellipse() -> None:
    ratio = 9.0
    ellipse = tubular_collapse.yield_collapse_ellipse(ratio, 1.0, GRADES[2], 0.0, 0.0)
    assert float(ellipse) == pytest.approx(float(collapse(ratio, GRADES[2])), rel=1e-12)


@given(pressures, ratios)
def test_pressure_all_round_and_along_gives_no_equivalent_stress(p: float, ratio: float) -> None:
    area = np.pi * (ratio - 1.0)
    worst = stress.triaxial_equivalent_stress(ratio, 1.0, -p * area, p, p)
    assert float(worst) == pytest.approx(0.0, abs=1e-6 * max(p, 1.0))


@given(st.floats(1.0, 1e9), ratios)
def test_pull_alone_gives_force_over_area_whatever_its_sign(force: float, ratio: float) -> None:
    expected = force / (np.pi * (ratio - 1.0))
    for signed in (force, -force):
        got = stress.triaxial_equivalent_stress(ratio, 1.0, signed, 0.0, 0.0)
        assert float(got) == pytest.approx(expected, rel=1e-12)


@given(pressures, pressures, st.floats(-1e8, 1e8), ratios)
def test_bending_and_torque_only_add(
    inside: float, outside: float, force: float, ratio: float
) -> None:
    base = stress.triaxial_equivalent_stress(ratio, 1.0, force, inside, outside)
    bent = stress.triaxial_equivalent_stress(ratio, 1.0, force, inside, outside, 50e6)
    twisted = stress.triaxial_equivalent_stress(ratio, 1.0, force, inside, outside, 50e6, 1e8)
    assert float(base) <= float(bent) * (1 + 1e-12) <= float(twisted) * (1 + 1e-12)


@given(pressures, pressures, ratios)
def test_wall_carries_the_pressures(inside: float, outside: float, ratio: float) -> None:
    """Half a pipe in equilibrium: hoop stress over the wall balances the two pressures."""
    bore = ratio - 2.0
    nodes, weights = np.polynomial.legendre.leggauss(12)
    radii = (ratio + bore) / 4.0 + (ratio - bore) / 4.0 * nodes
    hoop = stress.lame_hoop_stress(ratio, 1.0, inside, outside, radii)
    carried = 2.0 * float(np.sum(weights * hoop)) * (ratio - bore) / 4.0
    assert carried == pytest.approx(inside * bore - outside * ratio, rel=1e-9, abs=1e-3)


@given(pressures, pressures, ratios)
def test_surfaces_feel_their_own_pressure(inside: float, outside: float, ratio: float) -> None:
    for radius, pressure in ((ratio / 2.0 - 1.0, inside), (ratio / 2.0, outside)):
        got = stress.lame_radial_stress(ratio, 1.0, inside, outside, radius)
        assert float(got) == pytest.approx(-pressure, rel=1e-9, abs=1e-3)


def test_thin_pipe_bursts_as_barlow_says() -> None:
    ratio, pressure = 1000.0, 1e5
    hoop = stress.lame_hoop_stress(ratio, 1.0, pressure, 0.0, ratio / 2.0)
    assert float(hoop) == pytest.approx(pressure * ratio / 2.0, rel=5e-3)


def test_tension_and_torque_bound_each_other() -> None:
    pipe = (0.127, 0.0092, 931e6)
    pull = tubular_strength.pipe_body_yield_force(*pipe)
    twist = drill_pipe_strength.torsional_yield(*pipe)
    assert float(drill_pipe_strength.tension_under_torque(*pipe, 0.0)) == pytest.approx(pull)
    assert float(drill_pipe_strength.tension_under_torque(*pipe, 1.01 * twist)) == 0.0
    half = float(drill_pipe_strength.tension_under_torque(*pipe, 0.5 * twist))
    back = drill_pipe_strength.torsional_yield_under_tension(*pipe, half)
    assert float(back) == pytest.approx(0.5 * float(twist), rel=1e-12)


def test_new_pipe_is_unworn_and_wear_keeps_the_bore() -> None:
    assert drill_pipe_strength.worn_outside_diameter(0.127, 0.0092, 1.0) == 0.127
    worn = drill_pipe_strength.worn_outside_diameter(0.127, 0.0092, 0.8)
    assert worn - 2 * 0.8 * 0.0092 == pytest.approx(0.127 - 2 * 0.0092)


def test_cold_steel_is_not_stronger_than_specified() -> None:
    assert float(tubular_strength.yield_at_temperature(550e6, 275.0)) == 550e6
    assert float(tubular_strength.yield_at_temperature(550e6, 400.0)) < 550e6


def test_buttress_thread_never_beats_the_ultimate_body() -> None:
    area = tubular_strength.pipe_body_area(0.2445, 0.012)
    joint = tubular_strength.buttress_joint_strength(0.2445, 0.012, 552e6, 655e6)
    assert joint < area * 655e6
    shallow = tubular_strength.long_round_joint_strength(0.2445, 0.012, 0.01, 552e6, 655e6)
    deep = tubular_strength.long_round_joint_strength(0.2445, 0.012, 1.0, 552e6, 655e6)
    assert float(shallow) < float(deep)


def test_rupture_lies_above_yield_and_flaws_lower_it() -> None:
    pipe = (0.2445, 0.012)
    clean = tubular_strength.ductile_rupture_pressure(*pipe, 758e6, 0.0, 0.1)
    flawed = tubular_strength.ductile_rupture_pressure(*pipe, 758e6, 0.0006, 0.1)
    assert clean > flawed > tubular_strength.internal_yield_pressure(*pipe, 655e6)
