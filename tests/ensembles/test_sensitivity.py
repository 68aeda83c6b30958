"""Sobol indices against functions whose indices are known in closed form."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.stats import sobol_indices, uniform

from bathybore.base.arrays import Array
from bathybore.ensembles.sensitivity import Sensitivity, sensitivities

Function = Callable[[Array], Array]


def by_swapping(
    function: Function, dimensions: int, count: int, seed: int = 3
) -> dict[str, Sensitivity]:
    """Find the indices of a function of independent uniforms on 0 to 1."""
    rng = np.random.default_rng(seed)
    a, b = rng.uniform(size=(2, count, dimensions))
    swapped = {}
    for k in range(dimensions):
        mixed = a.copy()
        mixed[:, k] = b[:, k]
        swapped[f"x{k}"] = function(mixed)
    return {one.group: one for one in sensitivities(function(a), function(b), swapped)}


def ishigami(u: Array) -> Array:
    x = np.pi * (2.0 * u - 1.0)
    return np.sin(x[:, 0]) + 7.0 * np.sin(x[:, 1]) ** 2 + 0.1 * x[:, 2] ** 4 * np.sin(x[:, 0])


# Ishigami and Homma 1990, a = 7, b = 0.1, from the closed forms of its variance:
# V = a^2/8 + b pi^4/5 + b^2 pi^8/18 + 1/2, V1 = (1 + b pi^4/5)^2/2, V2 = a^2/8,
# V13 = b^2 pi^8 (1/18 - 1/50)
_V1 = 0.5 * (1.0 + 0.1 * np.pi**4 / 5.0) ** 2
_V2 = 49.0 / 8.0
_V13 = 0.01 * np.pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
_V = _V1 + _V2 + _V13
FIRST = {"x0": _V1 / _V, "x1": _V2 / _V, "x2": 0.0}
TOTAL = {"x0": (_V1 + _V13) / _V, "x1": _V2 / _V, "x2": _V13 / _V}


def test_ishigami() -> None:
    assert FIRST["x0"] == pytest.approx(0.3139, abs=1e-4)  # as tabled in the literature
    assert TOTAL["x0"] == pytest.approx(0.5576, abs=1e-4)
    found = by_swapping(ishigami, 3, 60_000)
    for name, one in found.items():
        assert one.first.share == pytest.approx(FIRST[name], abs=0.02)
        assert one.total.share == pytest.approx(TOTAL[name], abs=0.02)
        assert one.first.low - 0.005 < FIRST[name] < one.first.high + 0.005


def test_the_largest_total_comes_first() -> None:
    assert list(by_swapping(ishigami, 3, 20_000)) == ["x0", "x1", "x2"]


def test_a_linear_model_shares_its_variance_by_squares() -> None:
    found = by_swapping(lambda u: u @ np.array([3.0, 2.0, 1.0]), 3, 40_000)
    shares = np.array([9.0, 4.0, 1.0]) / 14.0
    for k in range(3):
        assert found[f"x{k}"].first.share == pytest.approx(shares[k], abs=0.015)
        assert found[f"x{k}"].total.share == pytest.approx(shares[k], abs=0.015)
    assert sum(one.first.share for one in found.values()) == pytest.approx(1.0, abs=0.02)


def test_what_is_not_used_has_no_share() -> None:
    found = by_swapping(lambda u: u[:, 0] * u[:, 1], 3, 5_000)
    assert found["x2"].first.share == 0.0
    assert found["x2"].total.share == 0.0


def test_a_pure_interaction_has_no_first_order() -> None:
    found = by_swapping(lambda u: (u[:, 0] - 0.5) * (u[:, 1] - 0.5), 2, 60_000)
    for one in found.values():
        assert one.first.share == pytest.approx(0.0, abs=0.02)
        assert one.total.share == pytest.approx(1.0, abs=0.03)


def test_a_large_mean_does_not_drown_the_shares() -> None:
    found = by_swapping(lambda u: 1e6 + u @ np.array([2.0, 1.0]), 2, 20_000)
    assert found["x0"].first.share == pytest.approx(0.8, abs=0.03)


def test_as_a_general_library_finds_them() -> None:
    other = sobol_indices(
        func=lambda x: ishigami(x.T), n=2**13, dists=[uniform()] * 3, rng=np.random.default_rng(1)
    )
    found = by_swapping(ishigami, 3, 40_000)
    for k in range(3):
        assert found[f"x{k}"].first.share == pytest.approx(other.first_order[k], abs=0.03)
        assert found[f"x{k}"].total.share == pytest.approx(other.total_order[k], abs=0.03)


def test_the_interval_narrows_with_the_root_of_the_members() -> None:
    few, many = (by_swapping(ishigami, 3, n)["x1"].total for n in (1000, 16_000))
    assert (few.high - few.low) / (many.high - many.low) == pytest.approx(4.0, rel=0.35)


def test_no_variance_is_no_answer() -> None:
    one = np.ones(10)
    with pytest.raises(ValueError, match="no variance"):
        sensitivities(one, one, {"x": one})
