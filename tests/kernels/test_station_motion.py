"""A hull that nothing holds: closed forms, limits, symmetry, where the weather turns it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.base.arrays import Array
from bathybore.base.errors import NotConverged
from bathybore.kernels.drift_off import damped_drift_off_offset, drift_off_offset, drift_off_time
from bathybore.kernels.station_motion import (
    FreeHull,
    Track,
    drift,
    surge_added_mass,
    sway_added_mass,
    terminal_drift_speed,
    yaw_inertia,
)

FORCE, MASS, DRAG = 1.2e6, 65e6, 800e3


def pushed(speed: Array, direction: Array) -> tuple[Array, ...]:
    """A force down the weather, whatever the direction; no moment."""
    return -FORCE * np.cos(direction), FORCE * np.sin(direction), np.zeros_like(direction)


def still(speed: Array, direction: Array) -> tuple[Array, ...]:
    return (np.zeros_like(direction),) * 3


def dragged(speed: Array, direction: Array) -> tuple[Array, ...]:
    """Drag along the stream, the same from every side."""
    force = DRAG * speed**2
    return -force * np.cos(direction), force * np.sin(direction), np.zeros_like(direction)


ROUND = FreeHull(MASS, MASS, MASS, MASS * 50.0**2, 0.0, pushed, still)
ANGLES = np.radians([0.0, 37.0, 90.0, 180.0, 271.0])


def test_without_drag_the_hull_goes_half_a_t_squared_from_every_side() -> None:
    track = drift(ROUND, ANGLES, 0.0, 200.0)
    expected = drift_off_offset(FORCE, MASS, track.time)
    assert np.allclose(track.offset, np.asarray(expected)[:, None], rtol=1e-9, atol=1e-9)
    assert track.time_to(120.0) == pytest.approx(
        float(drift_off_time(FORCE, MASS, 120.0)), rel=2e-4
    )


def test_drag_on_the_square_of_speed_against_its_closed_form() -> None:
    track = drift(replace(ROUND, water=dragged), ANGLES, 0.0, 800.0)
    expected = np.asarray(damped_drift_off_offset(FORCE, MASS, DRAG, track.time))
    assert np.allclose(track.offset, expected[:, None], rtol=1e-6, atol=1e-6)


def test_the_speed_in_the_end_is_that_of_the_stream_and_of_the_force_through_it() -> None:
    track = drift(replace(ROUND, water=dragged), ANGLES, 0.7, 1e9, longest=1200.0)
    speed = np.gradient(track.offset, track.time, axis=0)[-2]
    assert speed == pytest.approx(float(terminal_drift_speed(FORCE, DRAG, 0.7)), rel=1e-4)


def test_a_hull_in_a_stream_alone_goes_with_it_and_no_faster() -> None:
    track = drift(replace(ROUND, air_and_waves=still, water=dragged), ANGLES, 0.7, 1e9)
    speed = np.gradient(track.offset, track.time, axis=0)
    assert speed.max() <= 0.7 + 1e-9
    assert speed[-2] == pytest.approx(0.7, rel=0.05)


def test_weather_from_starboard_sets_to_port_and_mirrors() -> None:
    def turning(speed: Array, direction: Array) -> tuple[Array, ...]:
        surge, sway, _ = pushed(speed, direction)
        return surge, sway, 4e7 * np.sin(2.0 * direction)

    hull = replace(ROUND, sway_mass=1.5 * MASS, air_and_waves=turning, water=dragged)
    sides = drift(hull, np.radians([40.0, -40.0]), 0.5, 300.0)
    assert (sides.y[1:, 0] > 0.0).all()
    assert sides.y[:, 0] == pytest.approx(-sides.y[:, 1])
    assert sides.x[:, 0] == pytest.approx(sides.x[:, 1])
    assert sides.heading[-1, 0] == pytest.approx(-sides.heading[-1, 1])
    assert abs(sides.heading[-1, 0]) > 0.1


def test_a_moment_alone_turns_by_half_its_acceleration_times_time_squared() -> None:
    def twist(speed: Array, direction: Array) -> tuple[Array, ...]:
        zero = np.zeros_like(direction)
        return zero, zero, zero + 1e8

    track = drift(replace(ROUND, air_and_waves=twist), ANGLES[:1], 0.0, 1.0, longest=100.0)
    assert track.heading[-1, 0] == pytest.approx(0.5 * 1e8 / ROUND.yaw_inertia * 100.0**2)
    assert track.offset.max() == 0.0
    assert track.time_to(1.0) == np.inf


def test_thrust_that_is_stopped_leaves_the_hull_with_its_way() -> None:
    hull = replace(ROUND, air_and_waves=still)
    track = drift(hull, ANGLES, 0.0, 500.0, thrust=4e6, thrust_until=30.0)
    speed = 4e6 / MASS * 30.0
    away = 0.5 * speed * 30.0 + speed * (track.time[-1] - 30.0)
    assert track.offset[-1] == pytest.approx(away, rel=1e-9)
    assert track.speed_at(np.full(5, 60.0)) == pytest.approx(speed, rel=1e-6)


def test_times_and_offsets_of_a_track_undo_one_another() -> None:
    time = np.linspace(0.0, 100.0, 51)
    track = Track(time, np.outer(time, [1.0, 0.1]), np.zeros((51, 2)), np.zeros((51, 2)))
    assert track.time_to(50.0).tolist() == [50.0, np.inf]
    assert track.offset_at(np.array([33.0, 10.0])) == pytest.approx([33.0, 1.0])


def test_a_motion_that_runs_off_is_no_answer() -> None:
    def broken(speed: Array, direction: Array) -> tuple[Array, ...]:
        return (np.full_like(direction, np.nan),) * 3

    with pytest.raises(NotConverged, match="no number"):
        drift(replace(ROUND, air_and_waves=broken), ANGLES, 0.0, 100.0, longest=20.0)


def test_added_masses_grow_as_their_dimensions_do() -> None:
    """All lengths doubled: masses eightfold, the moment of inertia thirty-two fold."""
    ahead = surge_added_mass(57500.0, 210.0, 1025.0)
    assert surge_added_mass(8 * 57500.0, 420.0, 1025.0) == pytest.approx(8.0 * ahead)
    aside = sway_added_mass(9.5, 210.0, 1025.0)
    assert sway_added_mass(19.0, 420.0, 1025.0) == pytest.approx(8.0 * aside)
    once = yaw_inertia(59e6, aside, 210.0)
    assert yaw_inertia(8 * 59e6, 8 * aside, 420.0) == pytest.approx(32.0 * once)
    assert ahead < 0.1 * 59e6 < aside < 59e6
