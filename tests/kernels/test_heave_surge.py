"""Heave in slips: stiff and lossless limits in closed form, no heave, shoulders, stacks."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.heave_surge import (
    MudLine,
    heave_acceleration,
    heave_pressure,
    heave_speed,
    heave_zero_crossing_period,
    string_motion,
)
from bathybore.kernels.pipe_flow import annulus_friction_gradient
from bathybore.kernels.surge import clinging_constant_laminar, surge_inertia_gradient

MUD = (3.0, 0.25, 0.75)
FREE = np.array(0.0 + 0.0j)
WATER = (0.0, 1e-9, 1.0)


def line(
    lengths: list[float],
    inner: list[float],
    mud: tuple[float, float, float],
    bulk: float = 2.2e9,
    stiffness: float = 1e20,
) -> MudLine:
    size = len(lengths)
    return MudLine(
        np.array(lengths), np.full(size, 0.216), np.array(inner), 1400.0, bulk, mud,
        np.full(size, 60.0), np.full(size, stiffness),
    )  # fmt: skip


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


def test_an_elastic_string_moves_more_at_its_end() -> None:
    """A free bar shaken at its top: 1/cos(k L), k L = omega L sqrt(m/EA)."""
    stiffness, omega = 1.1e9, np.array(0.7)
    pieces = line([70.0] * 100, [0.149] * 100, MUD, stiffness=stiffness)
    turned = float(omega) * 7000.0 * np.sqrt(60.0 / stiffness)
    moved = string_motion(pieces, omega, np.zeros(100), FREE)
    assert float(moved[-1]) == pytest.approx(1.0 / np.cos(turned), rel=1e-3)
    assert float(moved[0]) == pytest.approx(1.0, abs=0.02)
    # at its resonance only the mud holds it
    resonant = np.array(0.5 * np.pi / (7000.0 * np.sqrt(60.0 / stiffness)))
    dragged = [
        float(string_motion(pieces, resonant, np.full(100, d), FREE)[-1]) for d in (5.0, 20.0)
    ]
    assert 1.0 < dragged[1] < dragged[0]


def test_a_string_that_stretches_pushes_more_mud() -> None:
    stiff, soft = (
        heave_pressure(
            line([250.0] * 24, [0.149] * 24, MUD, stiffness=ea), np.array(1.0), np.array(9.0)
        )[0]
        for ea in (1e20, 1.1e9)
    )
    assert float(soft[-1]) > 1.1 * float(stiff[-1])


def test_a_small_hull_heaves_with_the_sea_and_a_long_one_slower() -> None:
    from bathybore.kernels.waves import jonswap_zero_crossing_period

    sea = float(jonswap_zero_crossing_period(11.0, 1.0))
    raft = float(heave_zero_crossing_period(4.0, 11.0, 1.0, 0.0, 2.0, 1.0, 0.02, 0.9))
    ship = float(heave_zero_crossing_period(4.0, 11.0, 1.0, 0.0, 200.0, 38.0, 9.5, 0.75))
    assert raft == pytest.approx(sea, rel=0.12)
    assert ship > 1.15 * sea


def test_a_string_whose_end_is_held_fast_moves_half_in_the_middle() -> None:
    stiffness, omega = 1.1e9, np.array(1e-3)
    pieces = line([70.0] * 100, [0.149] * 100, MUD, stiffness=stiffness)
    moved = string_motion(pieces, omega, np.zeros(100), np.array(1e16 + 0.0j))
    assert float(moved[49]) == pytest.approx(0.5, abs=0.02)
    assert float(moved[-1]) < 0.02
