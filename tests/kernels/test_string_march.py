"""A soft string worked up joint by joint, against its closed forms and what must not matter."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.arrays import Array
from bathybore.kernels.soft_string import (
    capstan_tension,
    pick_up_tension,
    side_force_per_length,
    slack_off_tension,
)
from bathybore.kernels.string_march import Marched, bit_torque, march

WAYS = np.array([1.0, -1.0, 0.0])  # pulled out, run in, turning


def marched(
    direction: Array, length: float, weight: float, friction: float, below: float = 0.0
) -> Marched:
    """March along equal elements through directions given from the bit up."""
    count = len(direction) - 1
    step = np.full(count, length / count)
    # height gained on an arc: its chord's share of the mean direction, exact for small angles
    cosine = np.sum(direction[1:] * direction[:-1], axis=-1)
    half = 0.5 * np.arccos(np.clip(cosine, -1.0, 1.0))
    factor = np.where(half < 1e-6, 1.0, np.tan(half) / np.where(half < 1e-6, 1.0, half))
    height = step * 0.5 * (direction[1:, 2] + direction[:-1, 2]) * factor
    start = np.full(3, below)
    weights, frictions = np.full(count, weight), np.full(count, friction)
    return march(step, height, direction, weights, frictions, start, WAYS)


def arc(above: float, below: float, azimuth: float = 0.0, count: int = 400) -> Array:
    """Return directions from the bit up along an arc in one vertical plane."""
    tilt = np.linspace(np.radians(below), np.radians(above), count + 1)
    turn = np.radians(azimuth)
    sine = np.sin(tilt)
    return np.stack([sine * np.cos(turn), sine * np.sin(turn), np.cos(tilt)], axis=-1)


@pytest.mark.parametrize(("above", "below"), [(0.0, 90.0), (2.0, 60.0), (60.0, 10.0), (30.0, 30.0)])
@pytest.mark.parametrize("foot", [0.0, 2e5])
def test_arcs_in_a_plane_agree_with_the_integrated_equation(
    above: float, below: float, foot: float
) -> None:
    up, down, _ = marched(arc(above, below), 785.4, 300.0, 0.25, foot).tension[:, -1]
    ends = (np.radians(above), np.radians(below))
    assert up == pytest.approx(float(pick_up_tension(foot, 300.0, 785.4, *ends, 0.25)), rel=2e-4)
    expected = float(slack_off_tension(foot, 300.0, 785.4, *ends, 0.25))
    assert down == pytest.approx(expected, rel=2e-4, abs=50.0)


def test_a_straight_slant_by_hand() -> None:
    """T = w L (cos + mu sin) up, (cos - mu sin) down, cos turning; N = w sin."""
    slant = marched(arc(60.0, 60.0), 1000.0, 300.0, 0.25)
    sine, cosine = np.sin(np.radians(60.0)), 0.5
    hand = [3e5 * (cosine + 0.25 * sine), 3e5 * (cosine - 0.25 * sine), 3e5 * cosine]
    np.testing.assert_allclose(slant.tension[:, -1], hand, rtol=1e-12)
    np.testing.assert_allclose(slant.side_force, 300.0 * sine, rtol=1e-12)


def test_a_weightless_string_is_a_capstan() -> None:
    bend = marched(arc(0.0, 90.0), 500.0, 0.0, 0.25, 2e5)
    up = float(capstan_tension(2e5, 0.25, np.pi / 2.0))
    assert bend.tension[0, -1] == pytest.approx(up, rel=1e-5)
    assert bend.tension[1, -1] == pytest.approx(2e5**2 / up, rel=1e-5)
    assert bend.tension[2, -1] == pytest.approx(2e5)


def test_the_side_force_in_space_is_the_published_one() -> None:
    """Building and turning at once, well off the vertical: Johancsik's two components."""
    s = np.linspace(0.0, 300.0, 601)[::-1]  # from the bit up
    tilt, turn = 0.4 + 0.001 * s, 0.3 + 0.002 * s
    sine = np.sin(tilt)
    direction = np.stack([sine * np.cos(turn), sine * np.sin(turn), np.cos(tilt)], axis=-1)
    got = marched(direction, 300.0, 300.0, 0.0, 4e5)
    middle = 300
    tension = 0.5 * (got.tension[2, middle] + got.tension[2, middle + 1])
    at = 0.5 * (s[middle] + s[middle + 1])
    expected = side_force_per_length(tension, 300.0, 0.4 + 0.001 * at, 0.001, 0.002)
    assert got.side_force[2, middle] == pytest.approx(float(expected), rel=1e-4)


def test_an_upright_string_only_hangs() -> None:
    upright = marched(arc(0.0, 0.0), 3000.0, 250.0, 0.5, -8e4)
    np.testing.assert_allclose(upright.tension[:, -1], 250.0 * 3000.0 - 8e4)
    assert not upright.side_force.any()


@given(st.floats(0.0, 0.5), st.floats(0.0, 70.0), st.floats(0.0, 70.0), st.floats(0.0, 360.0))
def test_friction_only_ever_resists(
    friction: float, above: float, below: float, azimuth: float
) -> None:
    up, down, turning = marched(arc(above, below, azimuth, 60), 600.0, 300.0, friction, 1e5).tension
    assert np.all(up >= turning - 1e-6)
    assert np.all(down <= turning + 1e-6)


def test_the_compass_does_not_matter() -> None:
    one, other = (marched(arc(5.0, 50.0, a), 600.0, 300.0, 0.3) for a in (10.0, 200.0))
    np.testing.assert_allclose(one.tension, other.tension, rtol=1e-12)


def test_weight_is_kept_whatever_the_shape() -> None:
    """Turning, the tension at the top is weight times height, by conservation of energy."""
    turning = marched(arc(10.0, 80.0), 900.0, 300.0, 0.4).tension[2, -1]
    radius = 900.0 / np.radians(70.0)
    height = radius * (np.sin(np.radians(80.0)) - np.sin(np.radians(10.0)))
    assert turning == pytest.approx(300.0 * height, rel=1e-6)


def test_finer_elements_give_the_same() -> None:
    coarse, fine = (marched(arc(0.0, 40.0, 0.0, n), 1000.0, 300.0, 0.3, 1e5) for n in (30, 600))
    np.testing.assert_allclose(coarse.tension[:, -1], fine.tension[:, -1], rtol=1e-3)


def test_the_torque_of_a_bit_is_that_of_a_disc() -> None:
    """Pressure even over a disc: friction times radius, integrated ring by ring."""
    radius = np.linspace(0.0, 0.1, 100001)
    pressure = 1e5 / (np.pi * 0.1**2)
    ring = 0.4 * pressure * 2.0 * np.pi * radius**2
    total = float(np.trapezoid(ring, radius))
    assert bit_torque(1e5, 0.2, 0.4) == pytest.approx(total, rel=1e-6)
