"""Heave in slips: stiff and lossless limits in closed form, no heave, shoulders, stacks."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.heave_surge import (
    MudLine,
    heave_acceleration,
    heave_pressure,
    heave_speed,
)
from bathybore.kernels.pipe_flow import annulus_friction_gradient
from bathybore.kernels.surge import clinging_constant_laminar, surge_inertia_gradient

MUD = (3.0, 0.25, 0.75)
WATER = (0.0, 1e-9, 1.0)


def line(
    lengths: list[float], inner: list[float], mud: tuple[float, float, float], bulk: float = 2.2e9
) -> MudLine:
    size = len(lengths)
    return MudLine(np.array(lengths), np.full(size, 0.216), np.array(inner), 1400.0, bulk, mud)


def test_no_heave_no_pressure() -> None:
    pressure, _ = heave_pressure(line([2000.0], [0.149], MUD), np.array(0.0), np.array(9.0))
    assert not pressure.any()


def test_stiff_mud_without_friction_is_inertia() -> None:
    """Two widths of pipe: each length accelerates what its own pipe displaces."""
    pieces = line([1500.0, 200.0], [0.149, 0.165], WATER, bulk=1e16)
    pressure, _ = heave_pressure(pieces, np.array(1.0), np.array(9.0))
    gradient = surge_inertia_gradient(
        1400.0, heave_acceleration(1.0, 9.0), pieces.outer, pieces.inner
    )
    expected = np.cumsum(gradient * pieces.length)
    np.testing.assert_allclose(pressure, expected, rtol=5e-3)


def test_stiff_thick_mud_moved_slowly_is_friction() -> None:
    thick = (0.0, 20.0, 1.0)
    pieces = line([1500.0], [0.149], thick, bulk=1e16)
    pressure, _ = heave_pressure(pieces, np.array(1.0), np.array(600.0))
    speed = heave_speed(1.0, 600.0)
    rate = speed * (
        pieces.pipe_area + clinging_constant_laminar(pieces.outer, pieces.inner) * pieces.area
    )
    expected = 1500.0 * annulus_friction_gradient(rate, pieces.outer, pieces.inner, 1400.0, *thick)
    np.testing.assert_allclose(pressure, expected, rtol=1e-4)


def test_springy_mud_without_friction_is_a_quarter_wave() -> None:
    """p = Z A_p v tan(k L): the stiff sum is low before the quarter wave, high beyond it."""
    for length in (500.0, 1500.0, 4500.0):
        pieces = line([length], [0.149], WATER)
        period = 9.0
        pressure, _ = heave_pressure(pieces, np.array(1.0), np.array(period))
        omega = 2.0 * np.pi / period
        sound = np.sqrt(2.2e9 / 1400.0)
        area, pipe = float(pieces.area[0]), float(pieces.pipe_area[0])
        expected = 1400.0 * sound / area * pipe * omega * abs(np.tan(omega * length / sound))
        assert float(pressure[0]) == pytest.approx(expected, rel=5e-3)


def test_cutting_finer_changes_less_and_less() -> None:
    """Only the amplitude that friction is made linear at is told finer."""
    found = []
    for pieces in (3, 6, 12, 24):
        one = line([3000.0 / pieces] * pieces, [0.149] * pieces, MUD)
        found.append(float(heave_pressure(one, np.array(1.2), np.array(9.0))[0][-1]))
    steps = np.abs(np.diff(found)) / found[-1]
    assert steps[0] > steps[1] > steps[2]
    assert steps[2] < 0.01


def test_more_heave_more_pressure_and_a_stack_is_each() -> None:
    pieces = line([2500.0, 3000.0], [0.149, 0.149], MUD)
    heights = np.array([0.2, 0.5, 1.0, 2.0, 4.0])
    stacked, _ = heave_pressure(pieces, heights, np.full(5, 9.0))
    assert (np.diff(stacked[:, -1]) > 0.0).all()
    for index, height in enumerate(heights):
        single, _ = heave_pressure(pieces, np.array(height), np.array(9.0))
        np.testing.assert_allclose(stacked[index], single, rtol=5e-3)
