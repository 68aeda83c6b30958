"""Wear of a wall that a string lies on all along: closed form by hand."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from bathybore.kernels.riser_wear import spread_wear_area

TURNING = (0.2, 2.0, 1000.0)  # contact diameter [m], speed [1/s], time [s]


def test_volume_per_length_is_factor_by_force_by_way_of_sliding() -> None:
    # 100 N/m slide pi 0.2 m a turn, 2000 turns: 1257 m of way
    assert spread_wear_area(1e-14, 100.0, *TURNING) == pytest.approx(1e-12 * pi * 400.0)


def test_no_force_or_no_turn_wears_nothing_and_wear_is_linear_in_each() -> None:
    force = np.array([0.0, 100.0, 200.0])
    found = spread_wear_area(1e-14, force, *TURNING)
    np.testing.assert_allclose(found, force / 100.0 * found[1])  # type: ignore[index]
    assert spread_wear_area(1e-14, 100.0, 0.2, 2.0, 0.0) == 0.0
