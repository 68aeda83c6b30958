"""Curves with fewer nodes that look the same."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from bathybore.usecases.thinning import kept_nodes

Z = np.arange(40.0) ** 1.3


def test_a_straight_line_keeps_its_ends() -> None:
    assert kept_nodes(Z, [(3.0 + 2.0 * Z, 1e-9)]) == [0, 39]


def test_a_kink_stays_where_it_is() -> None:
    values = np.where(Z[17] > Z, Z, 5.0 * Z - 4.0 * Z[17])
    assert kept_nodes(Z, [(values, 0.01)]) == [0, 17, 39]


def test_a_jump_keeps_both_of_its_sides() -> None:
    z = np.array([0.0, 1.0, 2.0, 2.0, 3.0, 4.0])
    values = np.array([0.0, 1.0, 2.0, 7.0, 8.0, 9.0])
    assert kept_nodes(z, [(values, 0.1)]) == [0, 2, 3, 5]


def test_a_node_that_is_asked_for_stays() -> None:
    assert kept_nodes(Z, [(Z, 1.0)], also=[11]) == [0, 11, 39]


def test_edges_of_what_is_known_stay() -> None:
    values = np.where((Z[9] < Z) & (Z[30] > Z), Z, np.nan)
    kept = kept_nodes(Z, [(values, 1.0)])
    assert {9, 10, 29, 30} <= set(kept)
    assert len(kept) == 6


def test_one_node_alone_is_kept() -> None:
    assert kept_nodes(np.array([5.0]), [(np.array([1.0]), 0.1)]) == [0]


@given(
    arrays(float, 40, elements=st.floats(-100.0, 100.0)),
    arrays(float, 40, elements=st.floats(-1.0, 1.0)),
    st.floats(0.01, 50.0),
)
def test_no_node_lies_further_off_than_allowed(
    one: np.ndarray, other: np.ndarray, off: float
) -> None:
    kept = kept_nodes(Z, [(one, off), (other, 0.1)])
    assert kept == sorted(set(kept))
    for values, allowed in ((one, off), (other, 0.1)):
        assert np.max(np.abs(np.interp(Z, Z[kept], values[kept]) - values)) <= allowed + 1e-9


def test_a_greater_tolerance_needs_no_more_nodes_of_a_smooth_curve() -> None:
    curve = np.sqrt(Z)
    counts = [len(kept_nodes(Z, [(curve, off)])) for off in (1e-6, 0.01, 0.1, 10.0)]
    assert counts == sorted(counts, reverse=True)
    assert counts[-1] == 2
