"""Roots between bounds: smooth, steep, jumping, stacked, and refusing."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.base.errors import NotConverged
from bathybore.kernels._roots import bracketed_root, newton_root


def test_a_stack_of_cube_roots() -> None:
    wanted = np.array([[1e-6, 0.5], [2.0, 1e6]])
    got = bracketed_root(lambda x: x**3 - wanted, 0.0, 1e3, "cube root")
    np.testing.assert_allclose(got, np.cbrt(wanted), rtol=1e-13)


def test_steep_functions_are_solved() -> None:
    got = bracketed_root(lambda x: np.expm1(50.0 * (x - 0.3)), 0.0, 2.0, "steep")
    np.testing.assert_allclose(got, 0.3, rtol=1e-13)


def test_a_jump_through_zero_is_found() -> None:
    got = bracketed_root(lambda x: np.where(x < 0.7, -1.0, 2.0), 0.0, 1.0, "jump")
    np.testing.assert_allclose(got, 0.7, rtol=1e-12)


def test_a_root_at_a_bound_is_found() -> None:
    np.testing.assert_allclose(bracketed_root(lambda x: x, 0.0, 1.0, "low"), 0.0, atol=1e-300)
    np.testing.assert_allclose(bracketed_root(lambda x: x - 1.0, 0.0, 1.0, "high"), 1.0, rtol=1e-14)


def test_no_change_of_sign_is_refused() -> None:
    with pytest.raises(NotConverged, match="tall order"):
        bracketed_root(lambda x: x**2 + 1.0, 0.0, 1.0, "tall order")


def test_not_a_number_is_refused() -> None:
    with pytest.raises(NotConverged):
        bracketed_root(lambda x: x * np.nan, 0.0, 1.0, "nothing")


def test_too_few_steps_are_refused() -> None:
    with pytest.raises(NotConverged):
        bracketed_root(lambda x: x**3 - 0.2, 0.0, 1.0, "hasty", most_steps=3)


def test_newton_finds_a_stack_of_cube_roots() -> None:
    wanted = np.array([[1e-6, 0.5], [2.0, 1e6]])
    got = newton_root(lambda x: (x**3 - wanted, 3.0 * x**2), 0.0, 1e3, 1.0, "cube root")
    np.testing.assert_allclose(got, np.cbrt(wanted), rtol=1e-14)


@pytest.mark.parametrize("start", [0.0, 0.3, 2.0])
def test_newton_that_would_leave_the_bracket_halves_it(start: float) -> None:
    # from the flat side the first step goes to e^15; from the steep side steps crawl
    got = newton_root(
        lambda x: (np.expm1(50.0 * (x - 0.3)), 50.0 * np.exp(50.0 * (x - 0.3))),
        0.0, 2.0, start, "steep",
    )  # fmt: skip
    np.testing.assert_allclose(got, 0.3, rtol=1e-14)


def test_newton_crosses_a_flat_place() -> None:
    got = newton_root(lambda x: ((x - 1.0) ** 3 + 1e-3, 3.0 * (x - 1.0) ** 2), 0.0, 3.0, 1.0, "f")
    np.testing.assert_allclose(got, 0.9, rtol=1e-14)


def test_newton_stands_at_a_bound_that_is_the_root() -> None:
    assert float(newton_root(lambda x: (x, 1.0), 0.0, 1.0, 0.0, "low")) == 0.0
    assert float(newton_root(lambda x: (x - 1.0, 1.0), 0.0, 1.0, 0.2, "high")) == 1.0


@pytest.mark.parametrize("value", [1.0, -1.0, np.nan])
def test_newton_refuses_what_has_no_root(value: float) -> None:
    with pytest.raises(NotConverged, match="tall order"):
        newton_root(lambda x: (value + 0.0 * x, 1.0), 0.0, 1.0, 0.5, "tall order")
