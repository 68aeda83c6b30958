"""Pipe in a current against the cable, the beam, and the beam under tension in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.errors import NotConverged
from bathybore.kernels.hanging_string import hang_in_current
from bathybore.kernels.riser_shape import tensioned_string_end_slope, tensioned_string_sag
from bathybore.kernels.tensioned_beam import graded_nodes

LOAD = 40.0  # N/m


def test_nodes_reach_from_mark_to_mark_and_are_fine_beside_each() -> None:
    marks = np.array([0.0, 100.0, 2500.0])
    nodes = graded_nodes(marks, 0.3, 25.0)
    gaps = np.diff(nodes)
    assert np.isin(marks, np.round(nodes, 9)).all()
    assert (gaps > 0.0).all()
    assert gaps.max() <= 25.0
    assert gaps[0] <= 0.3
    assert gaps[-1] <= 0.3
    assert (gaps[1:] / gaps[:-1] < 1.3).all()


@given(st.floats(1.0, 3000.0), st.floats(0.05, 1.0))
def test_nodes_grow_whatever_the_length(span: float, finest: float) -> None:
    nodes = graded_nodes(np.array([0.0, span]), finest, 25.0)
    assert (np.diff(nodes) > 0.0).all()
    assert nodes[0] == 0.0
    assert nodes[-1] == span


def test_held_at_both_ends_with_no_stiffness_to_speak_of_it_hangs_as_a_cable() -> None:
    length, tension = 1500.0, 8e5
    nodes = graded_nodes(np.array([0.0, 750.0, length]), 0.02, 25.0)
    shape = hang_in_current(nodes, np.array([1e2]), np.array([tension]), np.array([LOAD]), True)
    sag = shape.displacement[np.argmin(np.abs(nodes - 750.0))]
    assert sag == pytest.approx(tensioned_string_sag(LOAD, length, tension), rel=1e-3)
    slope = tensioned_string_end_slope(LOAD, length, tension)
    near = np.argmin(np.abs(nodes - 5.0))
    assert shape.rotation[near] == pytest.approx(
        slope * (1.0 - 2.0 * nodes[near] / length), rel=1e-3
    )


def test_a_heavy_cable_free_at_its_foot_leans_alike_all_the_way() -> None:
    """Weight w below a point and drag q below it grow alike: the slope is q/w everywhere."""
    length, weight = 2000.0, 600.0
    nodes = graded_nodes(np.array([0.0, length]), 0.05, 10.0)
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    shape = hang_in_current(
        nodes, np.array([1e2]), weight * (length - middle), np.array([LOAD]), False
    )
    assert shape.displacement[-1] == pytest.approx(LOAD / weight * length, rel=2e-3)


@pytest.mark.parametrize("foot_is_held", [False, True])
def test_without_tension_it_bends_as_a_beam(foot_is_held: bool) -> None:
    length, stiffness = 60.0, 5e7
    nodes = np.linspace(0.0, length, 31)
    shape = hang_in_current(
        nodes, np.array([stiffness]), np.array([0.0]), np.array([LOAD]), foot_is_held
    )
    at_top = LOAD * length**2 * (1 / 12 if foot_is_held else 1 / 2)
    assert abs(shape.curvature[0, 0]) * stiffness == pytest.approx(at_top, rel=1e-9)
    if foot_is_held:
        middle = shape.displacement[15]
        assert middle == pytest.approx(LOAD * length**4 / (384.0 * stiffness), rel=1e-9)
    else:
        assert shape.displacement[-1] == pytest.approx(LOAD * length**4 / (8.0 * stiffness))


def test_between_them_it_bends_as_a_beam_under_tension_in_closed_form() -> None:
    """Both ends upright: M = q/k² (kL/2 coth(kL/2) - 1), a tie rod with built-in ends."""
    length, stiffness, tension = 300.0, 4.5e6, 3e5
    nodes = graded_nodes(np.array([0.0, length]), 0.1, 5.0)
    shape = hang_in_current(
        nodes, np.array([stiffness]), np.array([tension]), np.array([LOAD]), True
    )
    half = 0.5 * np.sqrt(tension / stiffness) * length
    moment = LOAD * stiffness / tension * (half / np.tanh(half) - 1.0)
    for element, end in ((0, 0), (-1, 1)):
        assert abs(shape.curvature[element, end]) * stiffness == pytest.approx(moment, rel=1e-4)


def test_the_current_from_the_other_side_mirrors_the_shape() -> None:
    nodes = graded_nodes(np.array([0.0, 500.0]), 0.3, 20.0)
    tension = 2e5 + 500.0 * (500.0 - 0.5 * (nodes[1:] + nodes[:-1]))
    one = hang_in_current(nodes, np.array([4e6]), tension, np.array([LOAD]), False)
    other = hang_in_current(nodes, np.array([4e6]), tension, np.array([-LOAD]), False)
    assert one.displacement == pytest.approx(-other.displacement)
    assert one.residual < 1e-9


def test_many_at_once_are_each_as_alone() -> None:
    nodes = graded_nodes(np.array([0.0, 500.0]), 0.3, 20.0)
    tension = np.full((2, len(nodes) - 1), 3e5)
    loads = np.array([[10.0], [50.0]]) * np.ones_like(tension)
    both = hang_in_current(nodes, np.array([4e6]), tension, loads, True)
    for number in range(2):
        alone = hang_in_current(nodes, np.array([4e6]), tension[number], loads[number], True)
        assert both.displacement[number] == pytest.approx(alone.displacement)
        assert both.curvature[number] == pytest.approx(alone.curvature)


def test_still_water_leaves_it_straight() -> None:
    nodes = np.linspace(0.0, 100.0, 11)
    shape = hang_in_current(nodes, np.array([4e6]), np.array([1e5]), np.array([0.0]), False)
    assert not shape.displacement.any()


def test_pipe_that_is_pressed_too_much_is_refused() -> None:
    nodes = np.linspace(0.0, 100.0, 41)
    euler = np.pi**2 * 4e6 / 200.0**2  # built in above, free below
    hang_in_current(nodes, np.array([4e6]), np.array([-0.99 * euler]), np.array([1.0]), False)
    with pytest.raises(NotConverged, match="buckles"):
        hang_in_current(nodes, np.array([4e6]), np.array([-1.01 * euler]), np.array([1.0]), False)
