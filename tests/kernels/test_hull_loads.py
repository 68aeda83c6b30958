"""Loads on the hull: symmetry, zero, bounds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels import hull_loads as hull
from bathybore.kernels import wave_drift as drift

ANGLES = st.floats(0.0, np.pi)
WIND = {"wind_speed": 20.0, "lateral_wind_area": 2600.0}
CURRENT = {"current_speed": 1.0, "lateral_current_area": 2300.0, "sea_water_density": 1025.0}
SEA = {"significant_wave_height": 5.0, "sea_water_density": 1025.0}


def yaw_moments(direction: float) -> list[float]:
    sway = drift.wave_drift_sway_force(
        **SEA,
        zero_crossing_period=8.0,
        underwater_length=210.0,
        breadth=36.0,
        relative_wave_direction=direction,
    )
    return [
        hull.wind_yaw_moment(
            **WIND,
            lateral_wind_area_centre=2.0,
            length_between_perpendiculars=200.0,
            relative_wind_direction=direction,
        ),
        hull.current_yaw_moment(
            **CURRENT,
            lateral_current_area_centre=1.0,
            length_between_perpendiculars=200.0,
            relative_current_direction=direction,
        ),
        drift.wave_drift_yaw_moment(sway, 210.0, 1.0, direction),
    ]


@given(ANGLES)
def test_port_and_starboard_mirror(direction: float) -> None:
    for side in (direction, -direction, direction + 2 * np.pi):
        assert hull.wind_surge_force(20.0, 900.0, side) == pytest.approx(
            hull.wind_surge_force(20.0, 900.0, direction), abs=1e-6
        )
    assert yaw_moments(-direction) == pytest.approx([-m for m in yaw_moments(direction)], abs=1e-3)
    assert yaw_moments(2 * np.pi - direction) == pytest.approx(
        [-m for m in yaw_moments(direction)], abs=1e-3
    )


def test_weather_pushes_away_from_where_it_comes_from() -> None:
    ahead, starboard, astern = 0.0, np.pi / 2, np.pi
    assert (
        hull.wind_surge_force(20.0, 900.0, ahead) < 0.0 < hull.wind_surge_force(20.0, 900.0, astern)
    )
    assert hull.current_surge_force(1.0, 36.0, 12.0, ahead, 1025.0) < 0.0
    # to port is positive
    assert hull.wind_sway_force(20.0, 2600.0, starboard) > 0.0
    assert hull.current_sway_force(1.0, 2300.0, starboard, 1025.0) > 0.0
    assert drift.wave_drift_surge_bound(5.0, 36.0, ahead, 1025.0) < 0.0


def test_weather_on_the_starboard_bow_turns_the_bow_to_port() -> None:
    assert all(moment > 0.0 for moment in yaw_moments(np.radians(40.0)))


def test_no_wind_no_current_no_waves_no_force() -> None:
    assert hull.wind_surge_force(0.0, 900.0, 0.3) == 0.0
    assert hull.current_sway_force(0.0, 2300.0, 0.3, 1025.0) == 0.0
    assert drift.wave_drift_bound(0.0, 32.0, 1025.0) == 0.0
    assert hull.member_wind_force(0.0, 10.0, 1.0, 1.0) == 0.0


@given(st.floats(0.5, 20.0), st.floats(3.0, 16.0), ANGLES)
def test_beam_drift_stays_below_full_reflection(
    height: float, period: float, direction: float
) -> None:
    force = drift.wave_drift_sway_force(height, period, 210.0, 36.0, direction, 1025.0)
    # a wall as long as the hull, met square on, throws every wave back
    assert 0.0 <= force <= drift.wave_drift_bound(height, 210.0, 1025.0)


def test_drift_in_short_waves_by_hand_and_falling_in_long_ones() -> None:
    def force(period: float) -> float:
        return drift.wave_drift_sway_force(5.0, period, 210.0, 36.0, np.pi / 2, 1025.0)

    # 0.045 rho g Hs2 L while the period is below 0.75 sqrt(36) = 4.5 s
    by_hand = 0.045 * 1025.0 * 9.80665 * 25.0 * 210.0
    assert force(3.0) == pytest.approx(by_hand)
    assert force(4.5) == pytest.approx(by_hand)
    assert force(9.0) == pytest.approx(by_hand * 0.125 * np.exp(0.875))
    falling = [force(period) for period in np.linspace(4.5, 20.0, 40)]
    assert np.all(np.diff(falling) < 0.0)


def test_surge_bound_of_a_head_sea_is_the_bound_of_the_breadth() -> None:
    assert drift.wave_drift_surge_bound(5.0, 36.0, 0.0, 1025.0) == pytest.approx(
        -drift.wave_drift_bound(5.0, 36.0, 1025.0)
    )
    assert drift.wave_drift_surge_bound(5.0, 36.0, np.pi / 2, 1025.0) == pytest.approx(0.0)


def test_current_arm_is_capped_at_both_ends() -> None:
    def arm(degrees: float) -> float:
        sway = hull.current_sway_force(**CURRENT, relative_current_direction=np.radians(degrees))
        return (
            hull.current_yaw_moment(
                **CURRENT,
                lateral_current_area_centre=0.0,
                length_between_perpendiculars=100.0,
                relative_current_direction=np.radians(degrees),
            )
            / sway
        )

    assert [arm(d) for d in (10.0, 90.0, 170.0)] == pytest.approx([25.0, 0.0, -20.0], abs=1e-9)


def test_wind_profiles_return_what_they_were_given_at_their_own_height_and_time() -> None:
    assert hull.wind_speed_at(20.0, 10.0, 600.0) == pytest.approx(20.0, rel=1e-15)
    assert hull.gust_wind_speed(20.0, 10.0, 3600.0) == pytest.approx(20.0, rel=1e-15)


@given(st.floats(1.0, 45.0), st.floats(2.0, 140.0), st.floats(2.0, 3000.0))
def test_wind_grows_with_height_and_shorter_gusts(speed: float, height: float, time: float) -> None:
    for profile in (hull.wind_speed_at, hull.gust_wind_speed):
        assert profile(speed, height * 1.05, time) > profile(speed, height, time)
        assert profile(speed, height, time * 0.9) > profile(speed, height, time)


def test_shape_coefficients_cover_the_range_the_equation_accepts() -> None:
    assert hull.WIND_SHAPE_COEFFICIENTS["drilling derrick"] == 1.25
    assert all(0.3 <= value <= 1.6 for value in hull.WIND_SHAPE_COEFFICIENTS.values())
