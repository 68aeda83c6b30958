"""Circles worked backwards from a limit: closed forms, order, symmetry."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from bathybore.kernels.drift_off import red_circle_radius
from bathybore.kernels.station_motion import Track
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.station import mean_loads, planned_weather
from bathybore.operations.watch_circles import Sequence, circles_of, drift_off, drive_off, free_hull

SEQUENCE = Sequence(60.0, 30.0, 30.0, 20.0)


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(Path(__file__).parents[2] / "examples" / "main")


def test_circles_of_even_acceleration_are_those_of_the_closed_form() -> None:
    force, mass = 0.9e6, 65e6
    time = np.arange(0.0, 400.0, 0.5)
    way = (0.5 * force / mass * time**2)[:, None]
    track = Track(time, way, np.zeros_like(way), np.zeros_like(way))
    found = circles_of(track, np.zeros(1), 150.0, SEQUENCE)
    for radius, lead in ((found.disconnect, 90.0), (found.prepare, 120.0), (found.advise, 140.0)):
        closed = red_circle_radius(force, mass, 150.0, lead, 0.0)
        assert radius[0] == pytest.approx(float(closed), abs=0.05)


def test_circles_lie_inside_one_another_and_inside_the_limit(hole: Hole) -> None:
    found = drift_off(hole.setting, 200.0, SEQUENCE, 12)
    assert (found.advise <= found.prepare).all()
    assert (found.prepare <= found.disconnect).all()
    assert (found.disconnect < 200.0).all()
    assert (found.speed > 0.0).all()


def test_no_time_to_let_go_leaves_no_circle(hole: Hole) -> None:
    found = drift_off(hole.setting, 20.0, SEQUENCE, 4)
    assert (found.time < 90.0).all()
    assert found.disconnect.tolist() == [0.0] * 4


def test_port_and_starboard_mirror(hole: Hole) -> None:
    found = drift_off(hole.setting, 200.0, SEQUENCE, 12)
    assert found.disconnect[1:] == pytest.approx(found.disconnect[:0:-1])


def test_the_first_seconds_are_load_over_mass(hole: Hole) -> None:
    """Before it moves or turns a hull feels the mean load alone."""
    found = drift_off(hole.setting, 200.0, SEQUENCE, 4)
    hull, time = free_hull(hole.setting, planned_weather(hole)), found.track.time[2]
    loads = mean_loads(hole, planned_weather(hole), found.directions)
    ahead = 0.5 * loads[:, 0] / hull.surge_mass * time**2
    aside = 0.5 * loads[:, 1] / hull.sway_mass * time**2
    assert found.track.x[2] == pytest.approx(ahead, rel=0.02, abs=1e-3)
    assert found.track.y[2] == pytest.approx(aside, rel=0.02, abs=1e-3)


def test_a_drive_off_is_never_slower_than_a_drift_off(hole: Hole) -> None:
    drifted = drift_off(hole.setting, 200.0, SEQUENCE, 12)
    driven = drive_off(hole.setting, 200.0, SEQUENCE, 12, 1.0, 30.0)
    assert (driven.time < drifted.time).all()
    unstuck = drive_off(hole.setting, 200.0, SEQUENCE, 12, 1.0, 0.0)
    assert unstuck.time == pytest.approx(drifted.time)
