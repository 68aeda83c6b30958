"""The riser joint by joint: against the even riser, against sums by hand, and its faults."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.checks.record import Status
from bathybore.checks.riser_reach import offset_at_stroke, reach_checks
from bathybore.kernels.riser_shape import even_weight
from bathybore.model.hole import Hole
from bathybore.model.inventory import RiserRun
from bathybore.model.loading import load_hole
from bathybore.operations.hung_riser import hung_riser
from bathybore.operations.riser_in_waves import in_water, swinging
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import sea_riser
from bathybore.operations.vessel_motions import greatest_heave
from varied import EXAMPLES

MAIN = load_hole(EXAMPLES / "main")
LENGTH = 2492.0  # m, from the drill floor to the lower flex joint


def with_riser(**changes: Any) -> RiserGear:
    assert MAIN.inventory.riser is not None
    riser = MAIN.inventory.riser.model_copy(update=changes)
    inventory = MAIN.inventory.model_copy(update={"riser": riser})
    hole: Hole = replace(MAIN, document=MAIN.document.model_copy(update={"inventory": inventory}))
    gear = RiserGear.of(hole)
    assert gear is not None
    return gear


def run(length: float, joints: int = 1, lift: float = 0.0, wide: float = 1.3) -> RiserRun:
    return RiserRun.model_construct(
        kind="some", joints=joints, joint_length=length, mass_in_air=None, buoyancy_lift=lift,
        hydrodynamic_diameter=wide, drag_coefficient=None,
    )  # fmt: skip


@pytest.fixture(scope="module")
def told() -> RiserGear:
    gear = RiserGear.of(MAIN)
    assert gear is not None
    return gear


def test_joints_all_alike_are_the_even_riser() -> None:
    """Without modules, so that none of them stands in the air: two ways to say the same."""
    light = {"mass_in_air": 200.0, "hydrodynamic_diameter": 1.3}
    even = with_riser(stack_up=(), buoyancy_lift=0.0, **light)
    apart = with_riser(stack_up=(run(LENGTH - 2400.0), run(20.0, 100), run(40.0, 10)), **light)
    one, other = sea_riser(even), sea_riser(apart)
    assert float(apart.slip_ring_tension) == pytest.approx(float(even.slip_ring_tension))
    pull = even.vertical_pull()
    assert other.tension(pull) == pytest.approx(one.tension(pull), rel=1e-9)
    assert other.weight == pytest.approx(np.full(len(one.middle), one.weight), rel=1e-6)
    for name in ("drag", "added_mass", "pushed_mass", "linear_mass"):
        found, wanted = (getattr(in_water(each), name) for each in (other, one))
        assert found == pytest.approx(wanted, rel=1e-6), name
    foot = even.foot_tension(pull)
    assert float(apart.even_weight(foot)) == pytest.approx(float(even.weight_per_length), rel=1e-6)
    assert swinging(other).modes.frequency == pytest.approx(swinging(one).modes.frequency, rel=1e-6)
    assert hung_riser(other).tension.si == pytest.approx(hung_riser(one).tension.si, rel=1e-9)


def test_weights_of_the_main_hole_by_hand(told: RiserGear) -> None:
    """Archimedes, run by run; 5 % on the steel and 4 % off the lift, API RP 16Q from memory."""
    density = float(told.steel_weight) / float(told.stack_up.steel_mass)  # type: ignore[union-attr]
    steel = 560.0 * (9 * 22.86 + 99 * 22.86) + 785.0 * 34.0
    lift = 60 * 98e3 + 39 * 95e3
    dry = 1.05 * density * steel - 0.96 * lift
    assert density == pytest.approx(9.8 * (1.0 - 1035.0 / 7850.0), rel=0.01)
    assert float(told.slip_ring_tension) == pytest.approx(dry + float(told.mud_weight), rel=1e-9)
    foot = np.array([float(told.foot)])
    assert told.weight_above(foot)[0] == pytest.approx(float(told.slip_ring_tension), rel=1e-9)
    nominal = told.weight_above(foot, nominal=True)[0]
    assert nominal == pytest.approx(float(told.nominal_weight), rel=1e-9)


def test_tension_falls_fast_along_slick_joints_and_hardly_along_buoyant_ones(
    told: RiserGear,
) -> None:
    stack = told.stack_up
    assert stack is not None
    fall = np.diff(told.weight_above(stack.edges)) / stack.lengths
    slick, buoyant, deep, lowest = fall[1:]
    assert slick == pytest.approx(lowest, rel=1e-9)
    assert buoyant < deep < 0.5 * slick
    assert (stack.edges[0], stack.edges[-1]) == (float(told.setting.drill_floor), float(told.foot))


def test_what_the_water_meets_adds_up_whatever_the_elements(told: RiserGear) -> None:
    riser, stack = sea_riser(told), told.stack_up
    assert stack is not None
    size = np.diff(riser.nodes)
    assert riser.along.diameter @ size == pytest.approx(stack.diameters @ stack.lengths, rel=1e-12)
    mass = float(riser.linear_mass(riser.mud_density)) * float(told.length)
    assert riser.along.linear_mass @ size == pytest.approx(mass, rel=1e-12)
    moved = float(riser.added_mass) * float(told.length)  # what the workings show
    assert riser.along.added_mass @ size == pytest.approx(moved, rel=1e-12)


def test_the_drag_that_is_shown_is_the_mean_of_the_joints() -> None:
    runs = (run(LENGTH - 2400.0), run(2400.0).model_copy(update={"drag_coefficient": 0.6}))
    riser = sea_riser(with_riser(stack_up=runs))
    push = riser.along.drag @ np.diff(riser.nodes) / LENGTH
    assert float(riser.drag_per_flow) == pytest.approx(push, rel=1e-12)


def test_a_telescopic_joint_that_is_nearly_drawn_out_ends_the_stroke() -> None:
    """Tensioners of 15.2 m; the joint stands 1 m, and 13 m, short of its length."""
    far, near = (with_riser(stack_up=(run(92.0 + left), run(2400.0))) for left in (13.0, 1.0))
    heave, tide = float(greatest_heave(far.setting)), 1.0
    for gear, left in ((far, 13.0), (near, 1.0)):
        (stroke,) = (one for one in reach_checks("a step", gear) if one.name == "stroke")
        assert stroke.capacity is not None
        assert float(stroke.capacity) == pytest.approx(left + heave + 0.5 * tide)
        # offset alone may draw out what is left less the heave and half of the tide on the way out
        out = left - heave - 0.5 * tide
        found = float(offset_at_stroke(gear))
        assert np.hypot(found, LENGTH) - LENGTH == pytest.approx(max(out, 0.0), abs=1e-6)


def test_a_telescopic_joint_that_is_nearly_closed_ends_stroke_and_recoil() -> None:
    """It stands at 92 m of 183 m: 0.5 m are left to slide in, less than it goes with the waves."""
    gear = with_riser(stack_up=(run(183.0), run(2400.0)))
    (stroke,) = (one for one in reach_checks("a step", gear) if one.name == "stroke")
    assert stroke.capacity is not None
    assert float(stroke.capacity) == pytest.approx(1.0)
    assert stroke.status is Status.FAILS
    assert float(hung_riser(sea_riser(gear)).up_stroke) == 0.0


def test_the_main_hole_rises_into_its_telescopic_joint(told: RiserGear) -> None:
    """34 m drawn out, 17 m closed at the least, 2,492 m less 108 joints of 22.86 m as it stands."""
    room = 2492.0 - 108 * 22.86 - 17.0
    found = float(hung_riser(sea_riser(told)).up_stroke)
    assert found == pytest.approx(room - float(greatest_heave(told.setting)) - 0.5)


def test_the_even_string_leans_as_the_uneven_one() -> None:
    heights = np.linspace(0.0, 2000.0, 4001)
    below = np.where(heights < 500.0, 3000.0 * heights, 1.5e6 + 200.0 * (heights - 500.0))
    weight = even_weight(heights, below, 1e6)
    leans = np.trapezoid(1.0 / (1e6 + below), heights)
    assert np.log1p(weight * 2000.0 / 1e6) / weight == pytest.approx(leans, rel=1e-9)
    slack = even_weight(heights, -600.0 * heights, 1e6)
    assert slack * 2000.0 == pytest.approx(-1e6, rel=1e-9)
    assert even_weight(heights, 700.0 * heights, 1e6) == pytest.approx(700.0, rel=1e-5)
    assert even_weight(heights, -300.0 * heights, 1e6) == pytest.approx(-300.0, rel=1e-5)


@pytest.mark.parametrize("weight", [0.0, *(s * 10.0**e for s in (1, -1) for e in range(-12, 1))])
def test_a_string_that_hardly_weighs_leans_as_one_of_its_weight(weight: float) -> None:
    """Lift cancels weight: the tension is the same all along but for a share of 1e-15 to 1e-3."""
    heights = np.linspace(0.0, 2400.0, 2001)
    for foot in (1e6, 2e6, 1.2e7):
        found = even_weight(heights, weight * heights, foot)
        rounding = 1e-15 * foot / 2400.0
        assert found == pytest.approx(weight, rel=1e-6, abs=4.0 * rounding)


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ("joints: 60", "joints: 50", "of riser"),
        ("joints: 60", "joints: 70", "can slide"),
        ("joint_length: 34 m", "joint_length: 48 m", "of which 24 m can slide"),
        ("joints: 115", "joints: 100", "100 aboard"),
        ("wall: 0.875 in", "wall: 0.875 in\n    buoyancy_lift: 1 kN", "an even riser beside"),
    ],
)
def test_a_stack_up_that_does_not_fit_is_named(
    tmp_path: Any, before: str, after: str, words: str
) -> None:
    for one in (EXAMPLES / "main").iterdir():
        text = one.read_bytes()
        if one.name == "hole.yaml":
            text = text.replace(before.encode(), after.encode(), 1)
        (tmp_path / one.name).write_bytes(text)
    with pytest.raises(InputErrors) as caught:
        load_hole(tmp_path)
    assert words in "\n".join(map(str, caught.value.faults))
