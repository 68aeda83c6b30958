"""Surge and swab: no motion, sign, closed above open, and the closed limit of a thin bore."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.pipe_flow import annulus_friction_gradient
from bathybore.kernels.surge import (
    clinging_constant_laminar,
    clinging_constant_turbulent,
    surge_gradient_closed_end,
    surge_gradient_open_end,
    surge_inertia_gradient,
)

HOLE, PIPE, BORE = 0.311, 0.2445, 0.2205
MUD = (1200.0, 4.0, 0.35, 0.7)
WATER = (1025.0, 0.0, 1.2e-3, 1.0)


@pytest.mark.parametrize("mud", [MUD, WATER])
def test_still_pipe_gives_nothing(mud: tuple[float, ...]) -> None:
    assert float(surge_gradient_closed_end(0.0, HOLE, PIPE, *mud)) == 0.0
    assert float(surge_gradient_open_end(0.0, HOLE, PIPE, BORE, *mud)) == 0.0


@pytest.mark.parametrize("mud", [MUD, WATER])
def test_swab_is_surge_turned_round(mud: tuple[float, ...]) -> None:
    down = surge_gradient_closed_end(0.4, HOLE, PIPE, *mud)
    assert float(surge_gradient_closed_end(-0.4, HOLE, PIPE, *mud)) == pytest.approx(-float(down))
    down = surge_gradient_open_end(0.4, HOLE, PIPE, BORE, *mud)
    assert float(surge_gradient_open_end(-0.4, HOLE, PIPE, BORE, *mud)) == pytest.approx(
        -float(down)
    )


@pytest.mark.parametrize("mud", [MUD, WATER])
def test_open_pipe_surges_less_than_closed_pipe(mud: tuple[float, ...]) -> None:
    speed = np.linspace(0.05, 1.5, 20)
    closed = surge_gradient_closed_end(speed, HOLE, PIPE, *mud)
    opened = surge_gradient_open_end(speed, HOLE, PIPE, BORE, *mud)
    assert np.all(opened < closed)
    assert np.all(opened > 0.0)
    assert np.all(np.diff(opened) > 0.0)


def test_a_pinhole_bore_is_closed_pipe() -> None:
    closed = surge_gradient_closed_end(0.3, HOLE, PIPE, *MUD)
    opened = surge_gradient_open_end(0.3, HOLE, PIPE, 0.002, *MUD)
    assert float(opened) == pytest.approx(float(closed), rel=1e-6)


def test_surge_grows_with_speed_and_with_a_tighter_hole() -> None:
    speed = np.linspace(0.01, 2.0, 100)
    assert np.all(np.diff(surge_gradient_closed_end(speed, HOLE, PIPE, *MUD)) > 0.0)
    holes = np.linspace(0.26, 0.4, 50)
    assert np.all(np.diff(surge_gradient_closed_end(0.3, holes, PIPE, *MUD)) < 0.0)


def test_laminar_surge_is_the_annulus_friction_of_displaced_and_dragged_mud() -> None:
    thick = (1200.0, 4.0, 5.0, 0.7)
    area = np.pi / 4 * (HOLE**2 - PIPE**2)
    rate = 0.1 * (np.pi / 4 * PIPE**2 + clinging_constant_laminar(HOLE, PIPE) * area)
    expected = annulus_friction_gradient(rate, HOLE, PIPE, *thick)
    got = surge_gradient_closed_end(0.1, HOLE, PIPE, *thick)
    assert float(got) == pytest.approx(float(expected), rel=1e-12)


def test_clinging_constants_are_shares() -> None:
    inner = np.linspace(0.01, 0.3, 50)
    laminar = clinging_constant_laminar(HOLE, inner)
    turbulent = clinging_constant_turbulent(HOLE, inner)
    assert np.all((laminar > 0.0) & (laminar < 0.5))
    assert np.all((turbulent > laminar) & (turbulent < 0.5))


def test_clinging_constant_is_the_mean_of_the_dragged_profile() -> None:
    # integral of ln(r/r2)/ln(r1/r2) over the ring
    r = np.linspace(PIPE / 2, HOLE / 2, 200_001)
    profile = np.log(r / (HOLE / 2)) / np.log(PIPE / HOLE)
    middle = profile * r
    flow = np.sum(0.5 * (middle[1:] + middle[:-1]) * np.diff(r)) * 2.0
    mean = flow / ((HOLE / 2) ** 2 - (PIPE / 2) ** 2)
    assert float(clinging_constant_laminar(HOLE, PIPE)) == pytest.approx(mean, rel=1e-8)


def test_inertia_follows_the_acceleration() -> None:
    # mud in the annulus moves r = d_i^2/(d_o^2 - d_i^2) times as fast as the pipe
    got = surge_inertia_gradient(1000.0, 1.0, np.sqrt(2.0), 1.0)
    assert float(got) == pytest.approx(1000.0)
