"""Wear of the flex joints: what turns in the riser, and how it adds up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.base.working import FromWalk, Value
from bathybore.kernels.riser_wear import crescent_depth
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.riser_in_waves import Swaying, swaying
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import sea_riser
from bathybore.operations.riser_wear import Worn, turning
from varied import EXAMPLES


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(EXAMPLES / "main")


@pytest.fixture(scope="module")
def sway(hole: Hole) -> Swaying:
    gear = RiserGear.of(hole)
    assert gear is not None
    return swaying(sea_riser(gear))


def joint(sway: Swaying, hole: Hole, angle: float, place: float = 2464.0) -> Worn:
    return Worn(sway, place, Value("bend_angle", angle, "rad", FromWalk("asked")), turning(hole))


def test_only_what_is_drilled_through_the_riser_turns_in_it(hole: Hole) -> None:
    drilled = [one.name for one in hole.plan.sections if one.returns == "riser"]
    assert [one.name for one in turning(hole)] == drilled
    slow = hole.plan.sections[1].model_copy(update={"rate_of_penetration_factor": 0.2})
    sections = (hole.plan.sections[0], slow, *hole.plan.sections[2:])
    plan = hole.plan.model_copy(update={"sections": sections})
    slower = replace(hole, document=hole.document.model_copy(update={"plan": plan}))
    assert float(turning(slower)[0].time) == pytest.approx(2.0 * float(turning(hole)[0].time))


def test_tension_is_the_weight_in_mud_of_what_hangs_below(sway: Swaying, hole: Hole) -> None:
    upper, lower = (joint(sway, hole, 0.01, place) for place in (-28.0, 2464.0))
    for one in turning(hole):
        gone = float(upper.tension(one)) - float(lower.tension(one))
        pipe = next(part.pipe for part in one.parts if part.top <= 2464.0 <= part.bottom)
        if all(part.pipe is pipe for part in one.parts if part.bottom <= 2464.0):
            weight = 2492.0 * float(pipe.linear_mass) * 9.8 * (1.0 - one.density / 7850.0)
            assert gone == pytest.approx(weight, rel=2e-3)


def test_a_straight_joint_does_not_wear_and_twice_the_bend_wears_twice(
    sway: Swaying, hole: Hole
) -> None:
    assert float(joint(sway, hole, 0.0).depth) == 0.0
    once, twice = (joint(sway, hole, angle) for angle in (0.005, 0.01))
    ratios = [float(b) / float(a) for a, b in zip(once.areas, twice.areas, strict=True)]
    assert ratios == pytest.approx([2.0] * len(ratios), rel=1e-4)
    assert float(once.depth) < float(twice.depth) < 2.0 * float(once.depth)


def test_the_crescent_of_a_depth_found_by_counting() -> None:
    bore, tool, depth = 0.245, 0.108, 0.012
    x, y = np.meshgrid(np.linspace(0.1, 0.3, 1201), np.linspace(-0.1, 0.1, 1201))
    worn = (x**2 + y**2 > bore**2) & ((x - (bore - tool + depth)) ** 2 + y**2 < tool**2)
    area = float(worn.sum()) * (0.2 / 1200.0) ** 2
    assert crescent_depth(area, 2.0 * bore, 2.0 * tool) == pytest.approx(depth, rel=5e-3)
    assert crescent_depth(0.0, 2.0 * bore, 2.0 * tool) == 0.0
    assert crescent_depth(1.0, 2.0 * bore, 2.0 * tool) == np.inf
