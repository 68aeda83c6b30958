"""The riser on its tensioners: against lumps on a spring, and both ways of a hole side by side."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.checks.record import Status
from bathybore.checks.riser_in_sea import riser_studies
from bathybore.kernels.hang_off import (
    soft_hung_stroke_response,
    soft_hung_top_response,
)
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.hung_riser import hung_on_tensioners, hung_riser
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import sea_riser
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.usecases.walking import walk_loaded
from varied import EXAMPLES

BAR = (3000.0, 1100.0, 8e9, 3e5, 0.03)


def lumps(frequency: float, spring: complex, count: int = 1500) -> complex:
    """Return the top's motion per heave of springs and masses in a row under a spring."""
    length, linear, stiffness, package, damping = BAR
    piece = stiffness * (1.0 + 2.0j * damping) / (length / count)
    mass = np.full(count + 1, linear * length / count)
    mass[[0, -1]] *= 0.5
    mass[-1] += package
    main = np.full(count + 1, 2.0 * piece)
    main[[0, -1]] = piece
    main[0] += spring
    main = main - frequency**2 * mass
    # eliminate from the foot up: what is below the top is one dynamic stiffness
    below = main[-1]
    for n in range(count - 1, -1, -1):
        below = main[n] - piece**2 / below
    return complex(spring / below)


@pytest.mark.parametrize("frequency", [0.2, 0.55, 0.8, 1.3])
@pytest.mark.parametrize("stiffness", [5e4, 1e6, 1e9])
def test_the_bar_on_a_spring_is_as_lumps_on_a_spring(frequency: float, stiffness: float) -> None:
    found = lumps(frequency, stiffness * (1.0 + 0.2j))
    spring = (stiffness, 0.1)
    assert soft_hung_top_response(frequency, *BAR, *spring) == pytest.approx(abs(found), rel=1e-4)
    stroke = soft_hung_stroke_response(frequency, *BAR, *spring)
    assert stroke == pytest.approx(abs(1.0 - found), rel=1e-4)


@pytest.fixture(scope="module")
def landed() -> HoleState:
    quick = walk_loaded(load_hole(EXAMPLES / "frontier"))
    return next(one for one in quick.states if one.step.kind is StepKind.RUN_RISER)


@pytest.fixture(scope="module")
def hole(landed: HoleState) -> Hole:
    return landed.hole


def test_on_the_tensioners_it_swings_less_and_takes_up_stroke(hole: Hole) -> None:
    gear = RiserGear.of(hole)
    assert gear is not None
    riser = sea_riser(gear)
    hard, soft = hung_riser(riser), hung_on_tensioners(riser)
    assert (soft.swing < hard.swing).all()
    assert float(soft.load) == float(hard.load)
    assert hard.stroke_swing == 0.0
    assert soft.stroke_swing > 0.0
    stiff = replace(gear, tensioners=gear.tensioners.model_copy(update={"stiffness_share": 1e9}))
    held = hung_on_tensioners(sea_riser(stiff))
    assert held.swing == pytest.approx(hard.swing, rel=1e-3)
    assert held.stroke_swing == pytest.approx(0.0, abs=1e-3)


def test_the_basis_says_which_way_is_judged(landed: HoleState, hole: Hole) -> None:
    basis = hole.basis.model_copy(update={"riser_hang_off": "soft"})
    document = hole.document.model_copy(update={"design_basis": basis})
    soft = replace(landed, hole=replace(hole, document=document))
    names = {one.name: one for one in riser_studies(landed)}
    assert names["hang-off-peak"].status is Status.FAILS
    assert not any(name.startswith("soft") for name in names)
    others = {one.name: one for one in riser_studies(soft)}
    assert "hang-off-peak" not in others
    assert others["soft-hang-off-stroke"].status is Status.HOLDS
    capacity, demand = (float(getattr(others["soft-hang-off-peak"], n)) for n in
                        ("capacity", "demand"))  # fmt: skip
    tensioners = hole.vessel.tensioners
    assert tensioners is not None
    left = tensioners.count - tensioners.out_of_service
    assert capacity == pytest.approx(left * tensioners.capacity_each * tensioners.vertical_share)
    assert demand > float(names["hang-off-peak"].capacity)
