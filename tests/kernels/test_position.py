"""Position errors: zero, limits, inverses."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels import position

ERRORS = st.floats(1e-6, 100.0)


@given(ERRORS, ERRORS, ERRORS)
def test_error_lies_between_the_greatest_part_and_the_sum(a: float, b: float, c: float) -> None:
    total = position.position_error(a, b, c)
    assert max(a, b, c) * (1.0 - 1e-12) <= total <= (a + b + c) * (1.0 + 1e-12)
    assert total == pytest.approx(position.position_error(c, a, b))


def test_radius_against_random_errors() -> None:
    draws = np.random.default_rng(7).normal(scale=3.0, size=(200_000, 2))
    inside = np.hypot(*draws.T) <= position.position_error_radius(3.0, 0.95)
    assert np.mean(inside) == pytest.approx(0.95, abs=0.002)


def test_no_confidence_needs_no_circle() -> None:
    assert position.position_error_radius(3.0, 0.0) == 0.0


@given(st.floats(0.0, 50.0), st.floats(0.0, 50.0))
def test_allowed_offset_and_error_never_pass_the_tolerance(tolerance: float, error: float) -> None:
    allowed = position.allowed_offset(tolerance, error)
    assert allowed >= 0.0
    assert allowed == 0.0 or allowed + error <= tolerance * (1.0 + 1e-12)


@given(st.floats(0.0, 0.3))
def test_share_and_offset_are_inverse(share: float) -> None:
    offset = position.offset_of_share(share, 3200.0)
    assert position.offset_share(offset, 3200.0) == pytest.approx(share, abs=1e-15)
