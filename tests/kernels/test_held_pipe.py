"""A pipe held at both ends: heat presses it, cold pulls it, and what is free feels nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels.held_pipe import thermal_force
from bathybore.kernels.string_mechanics import stretch_under_load, thermal_elongation
from bathybore.kernels.tubular_strength import pipe_body_area

D, WALL = 0.244475, 0.013843
BORE = D - 2 * WALL


@given(st.floats(-150.0, 250.0), st.floats(10.0, 5000.0))
def test_the_force_takes_back_what_heat_would_lengthen(change: float, length: float) -> None:
    force = thermal_force(change, D, BORE)
    stretch = stretch_under_load(force, length, pipe_body_area(D, WALL))
    assert stretch + thermal_elongation(length, change) == pytest.approx(0.0, abs=1e-9)


def test_warming_presses_and_cooling_pulls_as_much() -> None:
    assert thermal_force(40.0, D, BORE) < 0.0
    assert thermal_force(-40.0, D, BORE) == -thermal_force(40.0, D, BORE)
    assert thermal_force(0.0, D, BORE) == 0.0


def test_of_two_pipes_the_one_with_twice_the_steel_is_pressed_twice() -> None:
    thick = (D**2 - 2.0 * (D**2 - BORE**2)) ** 0.5
    assert thermal_force(40.0, D, thick) == pytest.approx(2.0 * thermal_force(40.0, D, BORE))
