"""Wear of the flex joints: what turns in the riser, and how it adds up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.base.working import FromWalk, Value
from bathybore.checks.record import Status
from bathybore.checks.riser_wear import wear_studies
from bathybore.kernels.riser_wear import crescent_depth, spread_wear_area, wear_area
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.riser_in_waves import Swaying, swaying
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import sea_riser
from bathybore.operations.riser_wear import Worn, turning, worn_along
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import walk_hole
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
    assert [one.name for one in turning(hole)] == [*drilled, "the core"]
    coring = hole.plan.coring
    assert coring is not None
    cut = float(hole.z(coring.bottom) - hole.z(coring.top)) / coring.rate_of_penetration
    assert float(turning(hole)[-1].time) == pytest.approx(cut)
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


def test_along_the_riser_a_section_wears_by_its_pull_times_bend_and_its_own_weight(
    sway: Swaying, hole: Hole
) -> None:
    """Added up by hand at one node, from weights, lean and curvature."""
    along, one, node = worn_along(sway, turning(hole)), turning(hole)[0], 40
    place = float(sway.riser.nodes[node])
    in_mud = 9.8 * (1.0 - one.density / 7850.0)
    below = sum(
        float(part.pipe.linear_mass) * min(part.length, max(part.bottom - place, 0.0))
        for part in one.parts
    )
    shape, pipe = along.lying.shape, one.pipe(place)
    bent = np.abs(shape.curvature[:, [node - 1, node], [1, 0]]).max()
    lean = np.abs(shape.rotation[:, node]).max()
    force = in_mud * (below * bent + float(pipe.linear_mass) * np.sin(lean))
    way = np.pi * float(pipe.tool_joint_outside_diameter) * 2.0 * float(one.time)
    factor = hole.basis.riser_wear_factor
    assert factor is not None
    assert np.asarray(along.areas[0].si)[node] == pytest.approx(factor * force * way, rel=2e-3)


def test_a_sharp_bend_wears_as_the_same_bend_spread_over_the_spacing() -> None:
    """Bend and curvature are one law: force N over the contact length is n_s along it."""
    told = (2.9e-14, 0.2, 2.0, 86400.0)
    sharp = wear_area(told[0], 1e4, *told[1:], 9.5)
    assert spread_wear_area(told[0], 1e4 / 9.5, *told[1:]) == pytest.approx(sharp, rel=1e-12)


@pytest.mark.parametrize(
    ("lacking", "open_"),
    [
        ("riser_wear_factor", ["riser-wear", "riser-wear-along"]),
        ("riser_wear_allowance", ["riser-wear"]),
        ("riser_pipe_wear_allowance", ["riser-wear-along"]),
    ],
)
def test_without_a_factor_or_an_allowance_wear_is_not_judged(
    hole: Hole, lacking: str, open_: list[str]
) -> None:
    basis = hole.basis.model_copy(update={lacking: None})
    poorer = replace(hole, document=hole.document.model_copy(update={"design_basis": basis}))
    leaving = next(one for one in walk_hole(poorer) if one.step.kind is StepKind.RETRIEVE_RISER)
    records = {one.name: one for one in wear_studies(leaving)}
    assert sorted(records) == ["riser-wear", "riser-wear-along"]
    for name, record in records.items():
        assert (record.status is Status.NOT_JUDGED) == (name in open_)
    assert lacking in records[open_[0]].reason


def test_the_crescent_of_a_depth_found_by_counting() -> None:
    bore, tool, depth = 0.245, 0.108, 0.012
    x, y = np.meshgrid(np.linspace(0.1, 0.3, 1201), np.linspace(-0.1, 0.1, 1201))
    worn = (x**2 + y**2 > bore**2) & ((x - (bore - tool + depth)) ** 2 + y**2 < tool**2)
    area = float(worn.sum()) * (0.2 / 1200.0) ** 2
    assert crescent_depth(area, 2.0 * bore, 2.0 * tool) == pytest.approx(depth, rel=5e-3)
    assert crescent_depth(0.0, 2.0 * bore, 2.0 * tool) == 0.0
    assert crescent_depth(1.0, 2.0 * bore, 2.0 * tool) == np.inf
