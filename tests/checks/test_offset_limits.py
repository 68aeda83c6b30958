"""How far the vessel may stand off: each limit is where its own question would begin to fail."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.base.errors import NotConverged
from bathybore.checks.conductor_bending import wellhead_checks
from bathybore.checks.ledger import answers
from bathybore.checks.offset_limits import OffsetLimits, greatest_offset, offset_limits
from bathybore.checks.record import CheckRecord
from bathybore.checks.riser_in_sea import riser_studies
from bathybore.checks.watch_circles import watch_circle_studies
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import walk_hole
from varied import EXAMPLES, changed


@pytest.fixture(scope="module")
def main() -> Hole:
    return load_hole(EXAMPLES / "main")


def landed(hole: Hole) -> HoleState:
    return next(one for one in walk_hole(hole) if one.step.kind is StepKind.RUN_RISER)


def limits_of(hole: Hole) -> OffsetLimits:
    gear = RiserGear.of(hole)
    assert gear is not None
    return offset_limits(landed(hole), gear)


def by_name(limits: OffsetLimits, part: str) -> float:
    return next(float(one.offset) for one in limits.found if part in one.words)


def studied(hole: Hole, offset: float) -> dict[str, CheckRecord]:
    """Judge with the watch circle at an offset and the stress shares of an accident."""
    depth = hole.site.water_depth
    there = changed(hole, "design_basis/watch_offset_share", offset / depth)
    for name in ("conductor_stress_share", "riser_stress_share"):
        there = changed(there, f"design_basis/{name}", hole.basis.drift_off_stress_share)
    state = landed(there)
    found = (*answers(wellhead_checks, state), *answers(riser_studies, state))
    return {one.name: one for one in found}


def margin(record: CheckRecord) -> float:
    assert record.margin is not None
    return record.margin


# ---- the search ----------------------------------------------------------------------------


@pytest.mark.parametrize("root", [0.3, 7.0, 61.5, 99.0])
@pytest.mark.parametrize("power", [0.5, 1.0, 3.0])
@pytest.mark.parametrize("near", [0.1, 5.0, 80.0, 500.0])
def test_a_limit_is_found_and_never_passed(root: float, power: float, near: float) -> None:
    asked = []

    def excess(offset: float) -> float:
        asked.append(offset)
        return (offset / root) ** power - 1.0

    found = greatest_offset(excess, near, 100.0)
    assert len(asked) < 25
    assert found is not None
    assert root * (1.0 - 1.5e-3) <= found <= root


def test_a_shape_that_is_not_found_is_not_borne() -> None:
    def excess(offset: float) -> float:
        if offset > 40.0:
            raise NotConverged("clay")
        return -1.0

    found = greatest_offset(excess, 1.0, 100.0)
    assert found is not None
    assert 39.9 <= found <= 40.0


def test_nothing_borne_and_nothing_reached() -> None:
    assert greatest_offset(lambda _: 0.1, 1.0, 100.0) == 0.0
    assert greatest_offset(lambda _: -0.1, 1.0, 100.0) is None


# ---- on the holes --------------------------------------------------------------------------


def test_the_wellhead_decides_on_the_main_hole(main: Hole) -> None:
    limits = limits_of(main)
    assert "conductor" in limits.least.words
    assert len(limits.found) + len(limits.left_out) == 4
    at, beyond = (studied(main, x * float(limits.least.offset)) for x in (0.999, 1.003))
    pipes = ("conductor-bending", "first-casing-bending")
    assert min(margin(at[name]) for name in pipes) > 0.0
    assert min(margin(beyond[name]) for name in pipes) < 0.0


def test_the_stress_of_the_riser_is_that_of_its_own_question(main: Hole) -> None:
    weak = changed(main, "design_basis/drift_off_stress_share", 0.67)
    offset = by_name(limits_of(weak), "riser")
    at, beyond = (studied(weak, x * offset) for x in (0.999, 1.003))
    assert margin(at["riser-stress-in-waves"]) > 0.0
    assert margin(beyond["riser-stress-in-waves"]) < 0.0


def test_a_weaker_pipe_bears_less_offset_and_leaves_less_time(main: Hole) -> None:
    def judged(hole: Hole) -> dict[str, CheckRecord]:
        return {one.name: one for one in watch_circle_studies(landed(hole))}

    weak = changed(main, "design_basis/drift_off_stress_share", 0.8)
    assert by_name(limits_of(weak), "conductor") < by_name(limits_of(main), "conductor")
    strong, less = judged(main), judged(weak)
    for name in ("drift-off", "watch-circle-disconnect", "drive-off", "watch-circle-drive-off"):
        assert margin(less[name]) < margin(strong[name]), name
    assert "conductor" in strong["watch-circle-drive-off"].note


def test_without_soil_or_conductor_the_wellhead_is_said_to_be_left_out(main: Hole) -> None:
    gear = RiserGear.of(main)
    assert gear is not None
    bare = offset_limits(replace(landed(main), casings=()), gear)
    assert "no conductor stands" in " ".join(bare.left_out)
    assert not any("conductor" in one.words for one in bare.found)


def test_a_slack_riser_has_no_offset(main: Hole) -> None:
    limits = limits_of(changed(main, "plan/riser_top_tension", 1e6))
    assert float(limits.least.offset) == 0.0
    assert "slack" in " ".join(limits.left_out)


def test_every_limit_opens(main: Hole) -> None:
    for one in limits_of(main).found:
        assert one.offset.unit == "m"
        assert np.isfinite(float(one.offset))
        assert one.offset.origin.inputs
