"""Centralizers: beams in closed form, springs by their test, the middle and the wall."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.standoff import casing_sag, centralizer_lateral_load, standoff

EI = 207e9 * 4.8e-5


def test_sag_without_tension_is_that_of_a_built_in_beam() -> None:
    assert float(casing_sag(2e3, 24.0, 207e9, 4.8e-5, 0.0)) == pytest.approx(
        2e3 * 24.0**3 / (384.0 * EI)
    )


def test_sag_of_a_long_taut_span_is_that_of_a_rope() -> None:
    """F l / 8 T less the two boundary lengths that bending holds straight."""
    length, pull = 2000.0, 5e6
    rope = 1e4 * length / (8.0 * pull)
    stiff = np.sqrt(pull * length**2 / (4.0 * EI))
    got = float(casing_sag(1e4, length, 207e9, 4.8e-5, pull))
    assert got == pytest.approx(rope * (1.0 - 2.0 / stiff), rel=1e-6)


def test_series_and_closed_form_meet() -> None:
    pulls = 4.0 * EI / 24.0**2 * np.array([0.2999, 0.3001]) ** 2
    low, high = casing_sag(2e3, 24.0, 207e9, 4.8e-5, pulls)
    assert float(low) == pytest.approx(float(high), rel=1e-4)


def test_at_its_restoring_force_a_spring_keeps_two_thirds() -> None:
    assert float(standoff(7e3, 7e3, 0.0, 0.311, 0.2445)) == pytest.approx(0.67)
    assert float(standoff(0.0, 7e3, 0.0, 0.311, 0.2445)) == 1.0
    assert float(standoff(1e6, 7e3, 0.0, 0.311, 0.2445)) == 0.0


def test_sag_takes_its_share_of_the_gap() -> None:
    gap = 0.5 * (0.311 - 0.2445)
    assert float(standoff(0.0, 7e3, 0.25 * gap, 0.311, 0.2445)) == pytest.approx(0.75)


def test_upright_and_straight_nothing_presses() -> None:
    assert centralizer_lateral_load(500.0, 24.0, 0.0, 4e5, 0.0) == 0.0
    # level: all of the weight
    assert float(centralizer_lateral_load(500.0, 24.0, np.pi / 2, 4e5, 0.0)) == pytest.approx(12e3)
    # a bend: tension times the angle turned
    assert float(centralizer_lateral_load(0.0, 10.0, 0.0, 4e5, 1e-4)) == pytest.approx(
        4e5 * 1e-3, rel=1e-6
    )
