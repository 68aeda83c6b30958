"""Limits, conservation and symmetry for hanging and curved strings, and for surveys."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels import soft_string, survey
from bathybore.kernels import string_mechanics as strings

GRAVITY = 9.80665
angles = st.floats(0.0, np.pi / 2)
azimuths = st.floats(0.0, 2 * np.pi)


@given(st.floats(900.0, 2200.0), st.floats(10.0, 12000.0))
def test_one_fluid_gives_the_buoyancy_factor(density: float, length: float) -> None:
    outside, inside = 0.127, 0.1086
    mass = 7850.0 * np.pi / 4 * (outside**2 - inside**2)
    exact = strings.buoyed_weight(mass, length, outside, inside, density, density)
    factor = strings.buoyancy_factor(density)
    assert exact == pytest.approx(mass * GRAVITY * length * factor, rel=1e-9)


def test_an_empty_thin_casing_floats() -> None:
    outside = 0.762
    mass = 7850.0 * np.pi * (outside - 0.0127) * 0.0127
    assert strings.effective_weight_per_length(mass, outside, outside - 0.0254, 0.0, 1025.0) < 0


def test_effective_tension_of_a_hanging_pipe_is_its_effective_weight_below() -> None:
    """Open pipe hanging in one fluid: wall tension is weight below less the push on the end."""
    density, length, outside, inside = 1300.0, 5000.0, 0.149225, 0.1309
    area = np.pi / 4 * (outside**2 - inside**2)
    mass = 7850.0 * area
    for depth in (0.0, 1500.0, 5000.0):
        wall = mass * GRAVITY * (length - depth) - density * GRAVITY * length * area
        pressure = density * GRAVITY * depth
        got = strings.effective_tension(wall, pressure, pressure, outside, inside)
        below = strings.buoyed_weight(mass, length - depth, outside, inside, density, density)
        assert got == pytest.approx(below, rel=1e-9, abs=1e-3)


@given(st.floats(-1e6, 1e6), st.floats(0, 1e8), st.floats(0, 1e8))
def test_wall_and_effective_tension_undo_each_other(
    force: float, inner: float, outer: float
) -> None:
    effective = strings.effective_tension(force, inner, outer, 0.2, 0.18)
    back = strings.wall_tension(effective, inner, outer, 0.2, 0.18)
    assert back == pytest.approx(force, abs=1e-6)


def test_stretch_in_air_is_that_of_half_the_weight_at_the_end() -> None:
    length, area = 3000.0, 0.004
    own = strings.stretch_under_own_weight(length, 0.0)
    half = strings.stretch_under_load(7850.0 * area * GRAVITY * length / 2, length, area)
    assert own == pytest.approx(half, rel=1e-12)


def test_stretch_and_free_length_undo_each_other() -> None:
    stretch = strings.stretch_under_load(1e5, 2345.0, 0.0035)
    assert strings.free_pipe_length(stretch, 1e5, 0.0035) == pytest.approx(2345.0)


def test_slips_without_lateral_load_do_not_crush() -> None:
    assert float(strings.slip_crush_stress_ratio(0.127, 0.4, 0.0)) == 1.0
    assert float(strings.slip_crush_stress_ratio(0.127, 1e6, 4.0)) == pytest.approx(1.0, abs=1e-6)


def test_heave_of_a_short_string_is_mass_times_acceleration() -> None:
    length, mass, period, amplitude = 50.0, 40.0, 12.0, 0.5
    got = strings.heave_tension(amplitude, period, length, mass, 0.004)
    expected = mass * length * amplitude * (2 * np.pi / period) ** 2
    assert float(got) == pytest.approx(expected, rel=1e-3)


def test_heave_tension_blows_up_at_the_natural_period() -> None:
    natural = float(strings.axial_natural_period(6000.0, 40.0, 0.004))
    near = strings.heave_tension(0.5, natural * 1.001, 6000.0, 40.0, 0.004)
    far = strings.heave_tension(0.5, natural * 3.0, 6000.0, 40.0, 0.004)
    assert float(near) > 100 * float(far)


def test_shock_is_momentum_given_up_by_the_wave() -> None:
    """In a time t the wave stops A c t of steel: force is density A c times the speed."""
    speed, area = 1.0, 0.004
    sound = np.sqrt(206.8427e9 / 7850.0)
    assert float(strings.shock_load(speed, area)) == pytest.approx(
        7850.0 * area * sound * speed, rel=1e-4
    )


@given(st.floats(0.0, 2e6), st.floats(100.0, 3000.0), angles, angles)
def test_without_friction_tension_is_weight_over_vertical_depth(
    below: float, length: float, above: float, under: float
) -> None:
    got = soft_string.pick_up_tension(below, 300.0, length, above, under, 0.0)
    depth = length * (np.cos((above + under) / 2) * np.sinc((under - above) / 2 / np.pi))
    assert float(got) == pytest.approx(below + 300.0 * depth, rel=1e-8, abs=1e-3)


@given(st.floats(0.0, 1e6), st.floats(100.0, 3000.0), angles, angles, st.floats(0.0, 0.5))
def test_pulling_needs_more_than_lowering(
    below: float, length: float, above: float, under: float, friction: float
) -> None:
    up = soft_string.pick_up_tension(below, 300.0, length, above, under, friction)
    down = soft_string.slack_off_tension(below, 300.0, length, above, under, friction)
    assert float(up) >= float(down) - 1e-6


@given(st.floats(0.0, 5e5), st.floats(0.05, 0.5))
def test_a_bend_in_two_halves_is_the_same_bend(below: float, friction: float) -> None:
    """Also where the string leaves the low side for the high side on the way up."""
    whole = soft_string.pick_up_tension(below, 300.0, 800.0, 0.1, 1.3, friction)
    lower = soft_string.pick_up_tension(below, 300.0, 400.0, 0.7, 1.3, friction)
    both = soft_string.pick_up_tension(lower, 300.0, 400.0, 0.1, 0.7, friction)
    assert float(whole) == pytest.approx(float(both), rel=2e-5, abs=5.0)


def test_weightless_string_in_a_bend_is_the_capstan() -> None:
    bend = soft_string.pick_up_tension(1e5, 0.0, 500.0, 0.0, np.pi / 2, 0.3)
    rope = soft_string.capstan_tension(1e5, 0.3, np.pi / 2)
    assert float(bend) == pytest.approx(float(rope), rel=1e-9)


def test_side_force_subtracts_in_a_build_and_adds_in_a_drop() -> None:
    build = soft_string.side_force_per_length(500e3, 300.0, 0.5, 0.001, 0.0)
    drop = soft_string.side_force_per_length(500e3, 300.0, 0.5, -0.001, 0.0)
    assert float(build) == pytest.approx(abs(300.0 * np.sin(0.5) - 500.0))
    assert float(drop) == pytest.approx(300.0 * np.sin(0.5) + 500.0)
    assert float(soft_string.side_force_per_length(500e3, 300.0, 0.0, 0.0, 0.0)) == 0.0


def test_tension_makes_doglegs_worse() -> None:
    loads = np.array([0.0, 1.0, 1e3, 1e5, 1e6])
    limits = np.asarray(soft_string.permissible_dogleg(0.127, 0.1086, loads, 120e6))
    assert np.all(np.diff(limits) <= 0)
    free = 2 * 120e6 / (soft_string.YOUNG_MODULUS * 0.127)
    assert limits[0] == pytest.approx(free, rel=1e-12)
    assert limits[1] == pytest.approx(free, rel=1e-5)


def test_no_tension_dogleg_limit_is_plain_bending() -> None:
    limit = soft_string.permissible_dogleg(0.127, 0.1086, 0.0, 120e6)
    assert float(soft_string.bending_stress_from_dogleg(0.127, limit)) == pytest.approx(120e6)


def test_helix_needs_more_than_a_sine() -> None:
    pipe = (0.127, 0.1086, 250.0, 0.06, 0.6)
    sine = float(soft_string.critical_buckling_load(*pipe))
    assert float(soft_string.helical_buckling_load(*pipe)) == pytest.approx(np.sqrt(2) * sine)


def test_a_weightless_string_buckles_at_once() -> None:
    assert float(soft_string.vertical_critical_buckling_load(0.127, 0.1086, 0.0)) == 0.0


@given(angles, azimuths, angles, azimuths)
def test_arc_is_never_shorter_than_its_chord(i1: float, a1: float, i2: float, a2: float) -> None:
    step = (100.0, i1, a1, i2, a2)
    north, east, down = (
        float(f(*step))
        for f in (survey.northing_increment, survey.easting_increment, survey.vertical_increment)
    )
    chord = np.sqrt(north**2 + east**2 + down**2)
    angle = float(survey.dogleg_angle(*step[1:]))
    # chord of a circular arc of length s and angle b is s sin(b/2)/(b/2)
    assert chord == pytest.approx(100.0 * np.sinc(angle / 2 / np.pi), rel=1e-7)


@given(angles, azimuths, angles, azimuths)
def test_dogleg_is_the_angle_between_the_directions(
    i1: float, a1: float, i2: float, a2: float
) -> None:
    def direction(i: float, a: float) -> np.ndarray:
        return np.array([np.sin(i) * np.cos(a), np.sin(i) * np.sin(a), np.cos(i)])

    one, two = direction(i1, a1), direction(i2, a2)
    expected = np.arctan2(np.linalg.norm(np.cross(one, two)), one @ two)
    assert float(survey.dogleg_angle(i1, a1, i2, a2)) == pytest.approx(expected, abs=1e-7)


def test_straight_holes_have_no_dogleg_and_vertical_ones_no_azimuth() -> None:
    assert float(survey.dogleg_angle(0.3, 1.0, 0.3, 1.0)) == 0.0
    assert float(survey.dogleg_angle(0.0, 0.0, 0.0, 3.0)) == pytest.approx(0.0, abs=1e-15)
    assert float(survey.ratio_factor(0.0)) == 1.0
    assert float(survey.vertical_increment(100.0, 0.0, 0.0, 0.0, 3.0)) == pytest.approx(100.0)


def test_ratio_factor_is_smooth_where_the_series_takes_over() -> None:
    angle = np.array([1.999e-4, 2.001e-4])
    values = np.asarray(survey.ratio_factor(angle))
    np.testing.assert_allclose(values, 1 + angle**2 / 12, rtol=1e-14)
