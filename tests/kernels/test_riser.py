"""The riser: numerical solutions of the same differential equations, limits, balances."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp
from scipy.optimize import brentq
from scipy.special import jv, yv

from bathybore.kernels import drift_off, riser
from bathybore.kernels import riser_shape as shape

SHAPE = {
    "riser_length": 3000.0,
    "bottom_tension": 2e6,
    "effective_weight_per_length": 1200.0,
    "current_load_at_top": 300.0,
    "current_load_at_bottom": 20.0,
}


def test_end_angles_against_a_numerical_solution() -> None:
    length, foot, weight = 3000.0, 2e6, 1200.0
    top_load, foot_load, offset = 300.0, 20.0, 60.0

    def equation(z: np.ndarray, state: np.ndarray) -> np.ndarray:
        tension = foot + weight * z
        load = foot_load + (top_load - foot_load) * z / length
        return np.vstack([state[1], (-load - weight * state[1]) / tension])

    def ends(low: np.ndarray, high: np.ndarray) -> np.ndarray:
        return np.array([low[0], high[0] - offset])

    z = np.linspace(0.0, length, 400)
    solved = solve_bvp(equation, ends, z, np.zeros((2, z.size)), tol=1e-9, max_nodes=20000)
    assert solved.success
    assert shape.lower_flex_joint_angle(**SHAPE, vessel_offset=offset) == pytest.approx(
        solved.sol(0.0)[1], rel=1e-6
    )
    assert shape.upper_flex_joint_angle(**SHAPE, vessel_offset=offset) == pytest.approx(
        solved.sol(length)[1], rel=1e-6
    )


def test_a_weightless_riser_is_the_parabola() -> None:
    light = {**SHAPE, "effective_weight_per_length": 0.0, "current_load_at_bottom": 300.0}
    slope = shape.tensioned_string_end_slope(300.0, 3000.0, 2e6)
    assert shape.lower_flex_joint_angle(**light, vessel_offset=0.0) == pytest.approx(slope)
    assert shape.upper_flex_joint_angle(**light, vessel_offset=0.0) == pytest.approx(-slope)
    assert shape.lower_flex_joint_angle(**light, vessel_offset=60.0) == pytest.approx(
        slope + 60.0 / 3000.0
    )


def test_no_step_where_the_series_hands_over() -> None:
    edge = 0.1 * 2e6 / 3000.0
    below, above = (
        shape.lower_flex_joint_angle(
            **{**SHAPE, "effective_weight_per_length": edge * (1.0 + side)}, vessel_offset=60.0
        )
        for side in (-1e-13, 1e-13)
    )
    assert above == pytest.approx(below, rel=1e-11)


@given(st.floats(-300.0, 300.0))
def test_offset_and_angle_are_inverse(offset: float) -> None:
    angle = shape.lower_flex_joint_angle(**SHAPE, vessel_offset=offset)
    back = shape.offset_at_lower_angle(**SHAPE, lower_flex_joint_angle=angle)
    assert back == pytest.approx(offset, abs=1e-8)


@given(st.floats(-300.0, 300.0), st.floats(0.0, 3000.0))
def test_the_ends_carry_the_whole_current(offset: float, weight: float) -> None:
    given_shape = {**SHAPE, "effective_weight_per_length": weight}
    foot = 2e6 * shape.lower_flex_joint_angle(**given_shape, vessel_offset=offset)
    top_tension = 2e6 + weight * 3000.0
    top = top_tension * shape.upper_flex_joint_angle(**given_shape, vessel_offset=offset)
    assert foot - top == pytest.approx(0.5 * (300.0 + 20.0) * 3000.0, rel=1e-9)


def test_a_stiff_string_sags_less_and_a_limp_one_as_a_string() -> None:
    string = shape.tensioned_string_sag(300.0, 1500.0, 3e6)
    assert shape.tensioned_beam_sag(300.0, 1500.0, 3e6, 1.0) == pytest.approx(string, rel=1e-9)
    assert shape.tensioned_beam_sag(300.0, 1500.0, 3e6, 1e9) < string


def test_a_beam_without_much_tension_sags_as_a_beam() -> None:
    # 5 q L4 / 384 EI, any statics text
    sag = shape.tensioned_beam_sag(100.0, 20.0, 10.0, 1e6)
    assert sag == pytest.approx(5.0 * 100.0 * 20.0**4 / (384.0 * 1e6), rel=1e-3)


@pytest.mark.parametrize(("mode", "tolerance"), [(1, 0.01), (2, 0.003), (5, 0.0005)])
def test_lateral_period_against_bessel_functions(mode: int, tolerance: float) -> None:
    """A string with T = Tb + w z: solutions J0 and Y0 of 2 (omega/w) sqrt(m T)."""
    length, foot, top, mass = 3000.0, 2e6, 5.6e6, 1400.0
    weight = (top - foot) / length

    def determinant(omega: float) -> float:
        low, high = (2.0 * omega / weight * np.sqrt(mass * t) for t in (foot, top))
        return float(jv(0, low) * yv(0, high) - jv(0, high) * yv(0, low))

    approximate = 2.0 * np.pi / shape.lateral_period(mode, length, top, foot, mass)
    exact = brentq(determinant, 0.9 * approximate, 1.1 * approximate)
    assert approximate == pytest.approx(exact, rel=tolerance)


def test_lateral_period_of_uniform_tension_is_that_of_a_guitar_string() -> None:
    period = shape.lateral_period(3.0, 1000.0, 4e6, 4e6, 900.0)
    assert period == pytest.approx(2.0 * 1000.0 / 3.0 * np.sqrt(900.0 / 4e6))


def test_axial_period_without_and_with_a_heavy_stack() -> None:
    length, mass, stiffness = 3000.0, 1000.0, 6e9
    light = shape.hung_riser_axial_period(length, mass, stiffness, 1e-3)
    assert light == pytest.approx(4.0 * length * np.sqrt(mass / stiffness), rel=1e-6)
    heavy = shape.hung_riser_axial_period(length, mass, stiffness, 1e12)
    assert heavy == pytest.approx(2.0 * np.pi * np.sqrt(1e12 * length / stiffness), rel=1e-5)


def test_drag_is_flat_beyond_smooth_and_rough() -> None:
    assert shape.rough_drag_coefficient(1e-6, 1.0) == pytest.approx(0.65)
    assert shape.rough_drag_coefficient(0.5, 1.0) == pytest.approx(1.05)


def test_vortices_lock_in_at_the_inverse_of_strouhal() -> None:
    frequency = shape.vortex_shedding_frequency(0.2, 0.8, 1.2)
    assert shape.reduced_velocity(0.8, 1.0 / frequency, 1.2) == pytest.approx(5.0)


def test_mud_that_equals_the_sea_to_the_same_height_weighs_nothing() -> None:
    assert riser.riser_mud_weight_in_water(0.2, 1025.0, 3000.0, 1025.0, 3000.0) == 0.0
    assert riser.stack_pressure_difference(5e6, 1025.0, 3000.0, 1025.0, 3000.0) == 5e6


def test_the_least_tension_leaves_no_effective_tension_at_the_foot() -> None:
    """The slip-ring formula with exact weights is the balance of effective tension."""
    length, outside, inside, density = 3000.0, 0.5334, 0.48895, 7850.0
    steel = np.pi / 4.0 * (outside**2 - inside**2)
    area = riser.riser_inside_area(inside, 0.0, 0.0, 0.0)
    weight = riser.riser_submerged_weight(steel * length * density, density, 1025.0)
    mud = riser.riser_mud_weight_in_water(area, 1400.0, length, 1025.0, length)
    least = riser.minimum_slip_ring_tension(weight, 0.0, mud, 1.0, 1.0)
    at_foot = least - steel * length * density * 9.80665
    left = riser.riser_effective_tension(at_foot, 1400.0, length, 1025.0, length, outside, inside)
    assert left == pytest.approx(0.0, abs=1e-6 * least)


@given(st.floats(0.0, 3.0), st.floats(0.9, 1.0))
def test_top_tension_covers_failure_and_friction(failing: float, factor: float) -> None:
    top = riser.minimum_top_tension(5e6, 16.0, failing, factor)
    assert top * factor * (16.0 - failing) / 16.0 == pytest.approx(5e6)
    assert top >= 5e6


def test_hung_off_loads_stand_even_about_the_static_one() -> None:
    static = riser.hang_off_load(12e6, 9e6, 1.5e6)
    assert static == 4.5e6
    peak = riser.hang_off_peak_load(static, 2.5e6, 2.0, 11.0)
    least = riser.hang_off_least_load(static, 2.5e6, 2.0, 11.0)
    assert peak + least == pytest.approx(2.0 * static)
    # free fall: when the foot is asked to accelerate at g, a flooded unbuoyed mass goes slack
    period = 2.0 * np.pi * np.sqrt(2.0 / 9.80665)
    assert riser.hang_off_least_load(1e6 * 9.80665, 1e6, 2.0, period) == pytest.approx(
        0.0, abs=1e-3
    )


def test_collapse_lies_below_both_yield_and_buckling() -> None:
    thick = riser.riser_collapse_pressure(0.5334, 0.2, 5.5e8, 2.06e11, 0.3)
    assert thick == pytest.approx(2.0 * 5.5e8 * 0.2 / 0.5334, rel=0.01)
    thin = riser.riser_collapse_pressure(0.5334, 0.003, 5.5e8, 2.06e11, 0.3)
    assert thin == pytest.approx(2.0 * 2.06e11 / 0.91 * (0.003 / 0.5334) ** 3, rel=0.01)


def test_empty_depth_presses_back_to_the_allowed_pressure() -> None:
    depth = riser.empty_riser_depth(25e6, 1.5, 1030.0)
    assert 1030.0 * 9.80665 * depth == pytest.approx(25e6 / 1.5)


def test_riser_margin_balances_the_foot_of_the_hole() -> None:
    mud, sea, floor, water, hole = 1250.0, 1030.0, 3020.0, 3000.0, 5000.0
    added = riser.riser_margin(mud, sea, floor, water, hole)
    without = sea * water + (mud + added) * (hole - floor)
    assert without == pytest.approx(mud * hole)


def test_small_offsets_draw_the_parabola_of_the_slip_joint() -> None:
    assert riser.offset_stroke(3000.0, 0.01) == pytest.approx(0.01**2 / 6000.0, rel=1e-9)
    assert riser.offset_stroke(3000.0, 0.0) == 0.0
    assert riser.stroke_needed(0.6, 3.0, 1.2, 0.5) == pytest.approx(8.3)


def test_bottom_tension_is_what_the_weight_leaves() -> None:
    assert riser.bottom_tension(6e6, 1200.0, 3000.0) == pytest.approx(2.4e6)


def test_flex_joint_limits() -> None:
    """API RP 16Q (1993) table 3.1, from memory."""
    assert np.degrees(riser.DRILLING_MEAN_ANGLE) == pytest.approx(2.0)
    assert np.degrees(riser.DRILLING_MAX_ANGLE) == pytest.approx(4.0)
    assert riser.NON_DRILLING_SHARE_OF_STOP == 0.9
    assert riser.DRILLING_STRESS_SHARE == 0.4
    assert riser.NON_DRILLING_STRESS_SHARE == 0.67


@given(st.floats(1.0, 300.0), st.floats(0.0, 50.0))
def test_drift_and_its_time_are_inverse(way: float, start: float) -> None:
    time = drift_off.drift_off_time(1.2e6, 6.5e7, start + way, start)
    assert drift_off.drift_off_offset(1.2e6, 6.5e7, time, start) == pytest.approx(start + way)


def test_the_red_circle_closes_on_the_start_when_there_is_no_time() -> None:
    assert drift_off.red_circle_radius(1.2e6, 6.5e7, 120.0, 90.0, 30.0, 5.0) == 5.0
    assert drift_off.red_circle_radius(1.2e6, 6.5e7, 120.0, 0.0, 0.0) == pytest.approx(120.0)
    # already outside the limit: nothing is left of the circle but the place itself
    assert drift_off.red_circle_radius(1.2e6, 6.5e7, 4.0, 45.0, 30.0, 5.0) == 5.0


def test_letting_go_at_the_red_circle_reaches_the_limit_exactly() -> None:
    radius = drift_off.red_circle_radius(1.2e6, 6.5e7, 120.0, 45.0, 30.0)
    crossing = drift_off.drift_off_time(1.2e6, 6.5e7, radius)
    assert drift_off.drift_off_offset(1.2e6, 6.5e7, crossing + 75.0) == pytest.approx(120.0)


def test_drag_slows_the_drift_to_a_steady_speed() -> None:
    free = drift_off.drift_off_offset(1.2e6, 6.5e7, 60.0)
    assert drift_off.damped_drift_off_offset(1.2e6, 6.5e7, 1.0, 60.0) == pytest.approx(
        free, rel=1e-4
    )
    first, second = (
        drift_off.damped_drift_off_offset(1.2e6, 6.5e7, 8e5, time) for time in (9000.0, 9100.0)
    )
    assert second - first == pytest.approx(100.0 * np.sqrt(1.2e6 / 8e5), rel=1e-6)


def test_a_booster_line_holds_as_much_mud_as_any_other_line_of_its_bore() -> None:
    with_booster = riser.riser_inside_area(0.48895, 0.1143, 2.0, 0.1143)
    assert with_booster == pytest.approx(riser.riser_inside_area(0.48895, 0.1143, 3.0, 0.0))
    alone = with_booster - riser.riser_inside_area(0.48895, 0.1143, 2.0, 0.0)
    assert alone == pytest.approx(np.pi / 4.0 * 0.1143**2)
