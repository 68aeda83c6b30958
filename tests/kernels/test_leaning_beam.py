"""The beam that leans far: catenary, cable in a uniform current, small angles, balance."""

from __future__ import annotations

from math import asinh, atan, cos, cosh, radians, sinh, sqrt, tan

import numpy as np
import pytest

from bathybore.base.errors import NotConverged
from bathybore.kernels.leaning_beam import leaning_beam
from bathybore.kernels.tensioned_beam import UPRIGHT, Ends, bent_beam, graded_nodes

LIMP = 1.0  # N m2, next to none


def nodes(height: float, count: int = 400) -> np.ndarray:
    return np.linspace(0.0, height, count + 1)


@pytest.mark.parametrize("degrees", [2.0, 15.0, 30.0, 50.0])
def test_a_limp_beam_hangs_as_the_catenary(degrees: float) -> None:
    """Upright part V grows by the weight of the line above its foot, H stays."""
    weight, foot, line = 400.0, 5e5, 1500.0
    across = foot * tan(radians(degrees))
    top = foot + weight * line
    height = (sqrt(across**2 + top**2) - sqrt(across**2 + foot**2)) / weight
    offset = across / weight * (asinh(top / across) - asinh(foot / across))
    depth = nodes(height)
    shape = leaning_beam(
        depth, LIMP, top, weight, np.zeros(len(depth) - 1), Ends(top=offset), "line"
    )
    # the tension grows by the weight of the height, so V is known at every height
    up = height - depth
    upright = np.sqrt((sqrt(across**2 + foot**2) + weight * up) ** 2 - across**2)
    inner = slice(2, -2)  # a limp beam of elements wiggles beside its hinges
    assert np.abs(shape.rotation[inner]) == pytest.approx(
        np.arctan(across / upright)[inner], rel=1e-4
    )
    aside = across / weight * (np.arcsinh(upright / across) - asinh(foot / across))
    assert shape.displacement == pytest.approx(aside, abs=1e-4 * offset)


@pytest.mark.parametrize("degrees", [3.0, 20.0, 40.0])
def test_a_weightless_cable_in_a_uniform_current(degrees: float) -> None:
    """The flow pushes square to it, so the tension stays: it hangs as a hyperbolic cosine."""
    tension, push, most = 4e5, 300.0, radians(degrees)
    half = tension / push * asinh(tan(most))
    depth = nodes(2.0 * half)
    shape = leaning_beam(
        depth, LIMP, tension * cos(most), 0.0, np.full(len(depth) - 1, push), Ends(), "cable"
    )
    sag = tension / push * (1.0 / cos(most) - 1.0)
    assert float(shape.displacement.max()) == pytest.approx(sag, rel=1e-3)
    z = depth - half
    exact = tension / push * (cosh(asinh(tan(most))) - np.cosh(push * z / tension))
    assert shape.displacement == pytest.approx(exact, abs=1e-3 * sag)
    middle = np.abs(z) < 0.9 * half
    slope = np.array([atan(sinh(push * one / tension)) for one in z[middle]])
    assert np.abs(shape.rotation[middle]) == pytest.approx(np.abs(slope), abs=1e-3 * most)


def test_small_angles_are_those_of_the_small_angle_beam() -> None:
    depth = graded_nodes(np.array([0.0, 1000.0]), 0.5, 20.0)
    length = np.diff(depth)
    middle = 0.5 * (depth[1:] + depth[:-1])
    push = np.full(len(length), 2.0)
    ends = Ends(top=3.0, top_turning=1e6, foot_turning=4e6)
    far = leaning_beam(depth, 3e8, 4e6, 1500.0, push, ends, "riser")
    near = bent_beam(depth, np.array([3e8]), 4e6 - 1500.0 * middle, push, ends, "riser")
    assert far.displacement == pytest.approx(near.displacement, rel=1e-4, abs=1e-5)
    assert far.rotation == pytest.approx(near.rotation, rel=1e-4, abs=1e-7)
    assert far.curvature == pytest.approx(near.curvature, rel=1e-3, abs=1e-8)


@pytest.mark.parametrize("count", [1200, 1600, 2400])
def test_short_stiff_elements_settle_as_far_as_rounding_lets_them(count: int) -> None:
    """Elements of 1 m settle beyond rounding on every processor, those of half a metre do not."""
    depth = nodes(800.0, count)
    ends = Ends(top=90.0, top_turning=2e6, foot_turning=4e6)
    shape = leaning_beam(depth, 4e8, 1.2e6, 900.0, np.full(count, 400.0), ends, "riser")
    fine = leaning_beam(nodes(800.0, 800), 4e8, 1.2e6, 900.0, np.full(800, 400.0), ends, "riser")
    assert shape.rotation[:: count // 400] == pytest.approx(fine.rotation[::2], abs=5e-6)
    assert shape.residual < 1e-6


def test_moments_balance_in_the_bent_place() -> None:
    """dM/ds = V sin - H cos, with V and H summed up along the beam as it lies."""
    depth, stiffness, pull, weight = nodes(800.0, 1600), 4e8, 1.2e6, 900.0
    push = np.full(len(depth) - 1, 400.0)
    ends = Ends(top=90.0, top_turning=2e6, foot_turning=4e6)
    shape = leaning_beam(depth, stiffness, pull, weight, push, ends, "riser")
    assert np.degrees(np.abs(shape.rotation).max()) > 20.0
    angle, step = shape.rotation, np.diff(depth)
    middle = 0.5 * (angle[1:] + angle[:-1])
    down = (weight / np.cos(middle) - push * np.cos(middle) * np.sin(middle)) * step
    upright = pull - np.append(0.0, np.cumsum(down))
    aside = np.append(0.0, np.cumsum(push * np.cos(middle) ** 2 * step))
    moment = stiffness * 0.5 * (shape.curvature[1:, 0] + shape.curvature[:-1, 1])
    # moments about the top: H at the top is one unknown; the balance has to be straight in z
    inner = slice(1, -1)
    lever = np.cumsum(
        0.5 * (upright[1:] + upright[:-1]) * np.diff(shape.displacement)
        + 0.5 * (aside[1:] + aside[:-1]) * step
    )[:-1]
    left = moment - lever
    fit = np.polyfit(depth[inner], left, 1)
    assert np.abs(left - np.polyval(fit, depth[inner])).max() < 2e-3 * np.abs(lever).max()


def test_a_held_end_stays_upright_and_a_spring_turns_by_its_angle() -> None:
    depth = graded_nodes(np.array([0.0, 300.0]), 0.25, 5.0)
    push = np.full(len(depth) - 1, 400.0)
    held = leaning_beam(depth, 2e8, 6e5, 300.0, push, UPRIGHT, "riser")
    assert held.rotation[[0, -1]] == pytest.approx(0.0, abs=1e-9)
    spring = 5e6
    turned = leaning_beam(depth, 2e8, 6e5, 300.0, push, Ends(foot_turning=spring), "riser")
    moment = 2e8 * turned.curvature[-1, 1]
    assert abs(moment) == pytest.approx(spring * abs(turned.rotation[-1]), rel=1e-3)


def test_a_slack_beam_is_no_shape() -> None:
    depth = nodes(1000.0, 100)
    with pytest.raises(NotConverged):
        leaning_beam(depth, 1e6, 1e4, 3000.0, np.full(100, 50.0), Ends(top=10.0), "riser")
