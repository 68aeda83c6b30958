"""The riser: one planned tension for every question, and no input that changes nothing."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.riser import retrieving_checks, riser_checks
from bathybore.checks.watch_circles import watch_circle_studies
from bathybore.kernels.riser import minimum_top_tension
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.advance import initial_state
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.sea_conditions import mean_density
from bathybore.operations.state import HoleState
from bathybore.operations.steps import Step, StepKind
from bathybore.operations.vessel_motions import greatest_heave
from varied import changed

EXAMPLES = Path(__file__).parents[2] / "examples"

G = 9.797  # m/s2 at 33 degrees of latitude (WGS 84)
TENSION = "plan/riser_top_tension"


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(EXAMPLES / "main")


def state_of(hole: Hole) -> HoleState:
    step = Step("run-riser", StepKind.RUN_RISER, "Run riser and preventer")
    return replace(initial_state(hole), step=step)


def judged(hole: Hole) -> dict[str, CheckRecord]:
    return {record.name: record for record in riser_checks(state_of(hole))}


def lost(hole: Hole) -> CheckRecord:
    """Judge the blackout at the edge of the watch circle, no conductor looked at."""
    found = {record.name: record for record in watch_circle_studies(state_of(hole))}
    return found["drift-off"]


def even(hole: Hole) -> Hole:
    """Return the hole with a riser whose joints are told on the mean."""
    for key, value in (("stack_up", ()), ("buoyancy_lift", 98e3), ("buoyant_share", 0.9)):
        hole = changed(hole, f"inventory/riser/{key}", value)
    return hole


def gear_of(hole: Hole) -> RiserGear:
    gear = RiserGear.of(hole)
    assert gear is not None
    return gear


def demand(record: CheckRecord) -> float:
    assert record.demand is not None
    return float(record.demand)


def capacity(record: CheckRecord) -> float:
    assert record.capacity is not None
    return float(record.capacity)


# ---- one tension -------------------------------------------------------------------------


def test_every_question_of_tension_is_asked_of_the_planned_setting(hole: Hole) -> None:
    records = judged(changed(hole, TENSION, 10.5e6))
    assert capacity(records["riser-tension"]) == 10.5e6
    assert demand(records["tensioner-capacity"]) == 10.5e6
    assert capacity(records["lift-off"]) == pytest.approx(10.5e6 * 0.95)


def test_without_a_planned_setting_the_greatest_is_taken_and_said(hole: Hole) -> None:
    records = judged(changed(hole, TENSION, None))
    assert capacity(records["riser-tension"]) == pytest.approx(0.9 * 6 * 2.5e6)
    assert records["tensioner-capacity"].margin == pytest.approx(0.0)
    for name in ("riser-tension", "tensioner-capacity", "flex-joint", "lift-off", "riser-stress"):
        assert "tensioner_share" in records[name].note
        assert judged(hole)[name].note != records[name].note


def test_more_tension_straightens_the_riser_and_loads_its_steel(hole: Hole) -> None:
    settings = (8e6, 9e6, 11e6, 13e6)
    records = [judged(changed(hole, TENSION, setting)) for setting in settings]
    for name in ("flex-joint", "flex-joint-after-loss"):
        angles = [demand(one[name]) for one in records]
        assert angles == sorted(angles, reverse=True)
        assert angles[0] > angles[-1]
    stresses = [demand(one["riser-stress"]) for one in records]
    assert stresses == sorted(stresses)
    times = [capacity(lost(changed(hole, TENSION, setting))) for setting in settings[:3]]
    assert times == sorted(times)


def test_too_little_tension_fails_at_the_joint_and_too_much_in_the_steel(hole: Hole) -> None:
    little, much = judged(changed(hole, TENSION, 6e6)), judged(changed(hole, TENSION, 14e6))
    assert lost(changed(hole, TENSION, 6e6)).status is Status.FAILS
    for name in ("riser-tension", "lift-off", "flex-joint", "flex-joint-after-loss"):
        assert little[name].status is Status.FAILS, name
    for name in ("tensioner-capacity", "riser-stress"):
        assert much[name].status is Status.FAILS, name
        assert little[name].status is Status.HOLDS, name


def test_a_slack_riser_fails_and_is_never_left_unjudged(hole: Hole) -> None:
    records = judged(changed(hole, TENSION, 1e6))
    for name in ("flex-joint", "flex-joint-after-loss"):
        assert records[name].status is Status.FAILS
    assert demand(records["flex-joint"]) == pytest.approx(np.pi / 2.0)
    blackout = lost(changed(hole, TENSION, 1e6))
    assert (blackout.status, capacity(blackout)) == (Status.FAILS, 0.0)


def test_the_joint_bends_more_with_a_tensioner_lost(hole: Hole) -> None:
    records = judged(hole)
    assert demand(records["flex-joint-after-loss"]) > demand(records["flex-joint"])
    kept = judged(changed(hole, "vessel/tensioners/out_of_service", 0))
    assert demand(kept["flex-joint-after-loss"]) == pytest.approx(demand(kept["flex-joint"]))


def test_the_planned_tension_of_the_main_hole_is_a_choice_with_reasons(hole: Hole) -> None:
    """A little less bends the joint too far; the steel would not bear all of the tensioners."""
    assert all(r.status in (Status.HOLDS, Status.TIGHT) for r in judged(hole).values())
    assert judged(changed(hole, TENSION, 10.5e6))["flex-joint"].status is Status.FAILS
    assert judged(changed(hole, TENSION, 13.5e6))["riser-stress"].status is Status.FAILS


# ---- weights -----------------------------------------------------------------------------


def test_the_least_tension_by_hand(hole: Hole) -> None:
    """API RP 16Q (1993), from memory: 1.05 of the steel, 0.96 of the lift, mud less water."""
    gear, joint = gear_of(even(hole)), hole.inventory.riser
    assert joint is not None
    water = float(mean_density(hole))
    foot = 2480.0 - 16.0
    steel = 560.0 * (foot + 28.0) * G * (1.0 - water / 7850.0)
    lift = foot / 22.86 * 0.9 * 98e3
    area = (
        np.pi / 4.0 * ((joint.outside_diameter - 2.0 * joint.wall) ** 2 + 2 * 0.1143**2 + 0.1016**2)
    )
    mud = area * G * (1415.0 * (foot + 24.0) - water * foot)
    assert float(gear.slip_ring_tension) == pytest.approx(
        1.05 * steel - 0.96 * lift + mud, rel=1e-3
    )
    least = minimum_top_tension(gear.slip_ring_tension.si, 6.0, 1.0, 0.95)
    assert demand(judged(even(hole))["riser-tension"]) == pytest.approx(float(least))


def test_heavier_mud_asks_for_more_tension(hole: Hole) -> None:
    heavier = changed(hole, "plan/fluids/mud-4/density", 1800.0)
    before, after = judged(hole), judged(heavier)
    for name in ("riser-tension", "lift-off", "flex-joint"):
        assert demand(after[name]) > demand(before[name]), name


def test_the_booster_line_is_full_of_mud(hole: Hole) -> None:
    least = [
        demand(
            judged(changed(hole, "inventory/riser/booster_line_diameter", bore))["riser-tension"]
        )
        for bore in (None, 0.1016, 0.2032)
    ]
    # area grows with the square of the bore
    assert least[2] - least[0] == pytest.approx(4.0 * (least[1] - least[0]))
    assert least[1] > least[0]


def test_hanging_counts_unweighed_steel_and_lost_lift(hole: Hole) -> None:
    gear = gear_of(hole)
    record = judged(hole)["riser-hang"]
    by_hand = 1.05 * float(gear.steel_weight) - 0.96 * float(gear.lift) + 3200e3 + 1.3e6
    assert demand(record) == pytest.approx(by_hand)
    (pulled,) = retrieving_checks(state_of(hole))
    assert demand(pulled) == demand(record)


def test_a_preventer_heavier_in_air_than_the_whole_riser_in_water_decides(hole: Hole) -> None:
    heavy = judged(changed(hole, "inventory/preventer/weight_in_air", 12e6))["riser-hang"]
    assert demand(heavy) == pytest.approx(12e6 + 1.3e6)
    assert heavy.status is Status.FAILS
    assert "air" in heavy.note


def test_a_heavier_package_is_harder_to_lift_off(hole: Hole) -> None:
    path = "inventory/preventer/lower_package_weight_in_water"
    before, after = judged(hole)["lift-off"], judged(changed(hole, path, 6e6))["lift-off"]
    assert demand(after) - demand(before) == pytest.approx(6e6 - 1.1e6)
    assert after.status is Status.FAILS


# ---- steel -------------------------------------------------------------------------------


def test_stress_at_the_top_is_the_planned_tension_over_the_steel(hole: Hole) -> None:
    joint = hole.inventory.riser
    assert joint is not None
    record = judged(hole)["riser-stress"]
    steel = np.pi * (joint.outside_diameter - joint.wall) * joint.wall
    # mud from the flow line stands 24 m high there: a third of a megapascal
    assert demand(record) == pytest.approx(11e6 / steel, rel=5e-3)
    assert capacity(record) == pytest.approx(0.67 * joint.yield_strength)


def test_mud_heavy_enough_moves_the_worst_stress_to_the_foot(hole: Hole) -> None:
    heavy = changed(changed(hole, "plan/fluids/mud-4/density", 3500.0), TENSION, 4e6)
    record = judged(heavy)["riser-stress"]
    assert record.depth == hole.depth(2480.0 - 16.0)
    assert demand(record) > demand(judged(changed(hole, TENSION, 4e6))["riser-stress"])


# ---- reach -------------------------------------------------------------------------------


def test_stroke_is_offset_and_heave_and_tide(hole: Hole) -> None:
    gear, record = gear_of(hole), judged(hole)["stroke"]
    length, offset = float(gear.length), 0.017 * 2480.0
    by_hand = np.hypot(length, offset) - length + 2.0 * float(greatest_heave(hole)) + 1.0
    assert demand(record) == pytest.approx(by_hand)
    assert judged(changed(hole, "vessel/tensioners/stroke", 1.0))["stroke"].status is Status.FAILS
    tide = judged(changed(hole, "site/environment/tide_range", 14.0))
    assert tide["stroke"].status is Status.FAILS
    assert "stroke" in lost(changed(hole, "site/environment/tide_range", 14.0)).note


def test_a_rougher_sea_takes_more_stroke(hole: Hole) -> None:
    heights = (1.0, 3.0, 6.0, 9.0)
    rougher = [changed(hole, "site/environment/significant_wave_height", h) for h in heights]
    strokes = [demand(judged(one)["stroke"]) for one in rougher]
    assert strokes == sorted(strokes)


def test_a_hull_that_floats_deeper_for_its_sizes_heaves_otherwise(hole: Hole) -> None:
    light = changed(hole, "vessel/hull/displacement", lambda mass: 0.8 * mass)
    assert float(greatest_heave(light)) != float(greatest_heave(hole))


def test_a_wider_watch_circle_bends_the_joint_and_leaves_less_time(hole: Hole) -> None:
    wider = [changed(hole, "design_basis/watch_offset_share", s) for s in (0.0, 0.01, 0.05)]
    records = [judged(one) for one in wider]
    angles = [demand(one["flex-joint"]) for one in records]
    times = [capacity(lost(one)) for one in wider]
    assert angles == sorted(angles)
    assert times == sorted(times, reverse=True)
    assert records[-1]["flex-joint"].status is Status.FAILS


def test_a_slow_disconnection_fails(hole: Hole) -> None:
    slow = lost(changed(hole, "inventory/preventer/disconnect_time", 600.0))
    late = lost(changed(hole, "design_basis/disconnect_reaction_time", 600.0))
    assert slow.status is late.status is Status.FAILS
    assert demand(slow) == pytest.approx(620.0)


def test_a_joint_that_turns_less_leaves_less_time(hole: Hole) -> None:
    stiff = lost(changed(hole, "inventory/preventer/flex_joint_stop", np.radians(3.0)))
    assert capacity(stiff) < capacity(lost(hole))
    assert "stop" in stiff.note


# ---- current -----------------------------------------------------------------------------


def with_current(hole: Hole, speeds: np.ndarray) -> Hole:
    sea = replace(hole.sea, numbers={**hole.sea.numbers, "current_speed": speeds})
    return replace(hole, sea=sea)


def test_the_greater_of_the_two_surface_currents_is_used_and_said(hole: Hole) -> None:
    twice = changed(hole, "site/environment/surface_current", 1.6)
    raised = with_current(hole, 2.0 * hole.sea.numbers["current_speed"])
    by_environment, by_table = judged(twice)["flex-joint"], judged(raised)["flex-joint"]
    assert demand(by_environment) == pytest.approx(demand(by_table))
    assert demand(by_table) > demand(judged(hole)["flex-joint"])
    assert by_environment.status is by_table.status is Status.FAILS
    assert "1.6 m/s" in by_environment.note
    assert "1.6 m/s" in by_table.note
    assert "the greater is used" not in judged(hole)["flex-joint"].note


def angle_by_sums(hole: Hole) -> float:
    """Angle of the string at its foot by summing up the loads of the table's own profile.

    T(h) y' = C - Q(h) with Q the load below h; C from the offset at the top.
    """
    gear = gear_of(hole)
    foot = float(gear.foot_tension(gear.vertical_pull()))
    length, depth = float(gear.length), float(gear.foot)
    heights = np.linspace(0.0, length, 20001)
    speeds = hole.sea.at("current_speed", np.clip(depth - heights, 0.0, None))
    wet = heights <= depth
    loads = np.where(wet, 0.5 * float(mean_density(hole)) * 1.2 * 1.3716 * speeds**2, 0.0)
    steps = np.diff(heights)
    below = np.concatenate([[0.0], np.cumsum(0.5 * (loads[1:] + loads[:-1]) * steps)])
    tension = foot + float(gear.slip_ring_tension) * heights / length
    offset = 0.017 * 2480.0
    moved = offset + np.trapezoid(below / tension, heights)
    return float(moved / np.trapezoid(1.0 / tension, heights) / foot)


@pytest.mark.parametrize(
    "speeds",
    [
        [0.8, 0.75, 0.6, 0.45, 0.32, 0.25, 0.2, 0.15, 0.12, 0.1],
        [0.8, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
        [0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.6, 0.1],
        [0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.6, 0.0],
        [0.3] * 10,
    ],
)
def test_the_line_of_load_never_bends_the_joint_less_than_the_current(
    hole: Hole, speeds: list[float]
) -> None:
    calm = changed(hole, "site/environment/surface_current", 0.0)
    current = with_current(calm, np.array(speeds))
    exact, found = angle_by_sums(current), demand(judged(current)["flex-joint"])
    assert exact <= found * (1.0 + 1e-4)
    assert found <= 1.25 * exact


def test_a_planned_current_over_a_still_sea_is_refused(tmp_path: Path) -> None:
    folder = tmp_path / "main"
    shutil.copytree(EXAMPLES / "main", folder)
    table = folder / "sea.csv"
    table.write_text(table.read_text().replace("34.60,0.80", "34.60,0.00", 1))
    with pytest.raises(InputErrors, match="no current at the surface"):
        load_hole(folder)


# ---- pressure ----------------------------------------------------------------------------


def test_a_stronger_kick_asks_for_a_higher_rating(hole: Hole) -> None:
    rating = judged(hole)["preventer-rating"]
    none = judged(changed(hole, "design_basis/kick_intensity", 0.0))["preventer-rating"]
    # 20 kg/m3 from the drill floor to the bottom, less a little gas that is denser for it
    added = 20.0 * G * (4950.0 + 2480.0 + 28.0)
    assert 0.85 * added < demand(rating) - demand(none) < added
    strong = judged(changed(hole, "design_basis/kick_intensity", 400.0))["preventer-rating"]
    assert strong.status is Status.FAILS


def test_a_section_with_its_own_kick_intensity_uses_it(hole: Hole) -> None:
    own = changed(hole, "plan/sections/4/kick_intensity", 400.0)
    assert judged(own)["preventer-rating"].status is Status.FAILS


def test_the_lesser_rating_of_preventer_and_wellhead_counts_and_is_named(hole: Hole) -> None:
    assert "preventer" in judged(hole)["preventer-rating"].note
    weak = judged(changed(hole, "inventory/wellhead/pressure_rating", 69e6))["preventer-rating"]
    assert capacity(weak) == 69e6
    assert weak.status is Status.FAILS
    assert "wellhead" in weak.note


def test_a_given_wellhead_pressure_replaces_the_gas(hole: Hole) -> None:
    given = judged(changed(hole, "site/greatest_wellhead_pressure", 50e6))["preventer-rating"]
    assert demand(given) == 50e6
    assert "site" in given.note


# ---- absurd inputs -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "value", "name"),
    [
        ("inventory/riser/joints", 50, "riser-length"),
        ("inventory/riser/mass_in_air", 2000.0, "riser-hang"),
        ("inventory/riser/stack_up/2/buoyancy_lift", 0.0, "riser-tension"),
        ("inventory/riser/stack_up/4/mass_in_air", 9000.0, "riser-tension"),
        ("inventory/riser/choke_line_diameter", 0.8, "riser-tension"),
        ("inventory/riser/stack_up/2/hydrodynamic_diameter", 20.0, "flex-joint"),
        ("inventory/riser/yield_strength", 2e8, "riser-stress"),
        ("inventory/riser/wall", 0.01, "riser-collapse"),
        ("inventory/preventer/weight_in_water", 8e6, "riser-hang"),
        ("inventory/preventer/pressure_rating", 35e6, "preventer-rating"),
        ("vessel/tensioners/capacity_each", 1e6, "tensioner-capacity"),
        ("vessel/tensioners/out_of_service", 4, "riser-tension"),
        ("vessel/tensioners/vertical_share", 0.5, "riser-tension"),
        ("vessel/hoist/hook_capacity", 5e6, "riser-hang"),
        ("design_basis/flex_joint_drilling", 0.01, "flex-joint"),
        ("design_basis/flex_joint_greatest", 0.01, "flex-joint-after-loss"),
        ("design_basis/riser_stress_share", 0.2, "riser-stress"),
        ("design_basis/tensioner_share", 0.3, "tensioner-capacity"),
        ("design_basis/riser_drag_coefficient", 12.0, "flex-joint"),
        ("design_basis/riser_emptied_share", 1.0, "riser-collapse"),
        ("design_basis/riser_collapse_factor", 5.0, "riser-collapse"),
    ],
)
def test_an_absurd_input_changes_the_verdict(
    hole: Hole, path: str, value: float, name: str
) -> None:
    assert judged(hole)[name].status in (Status.HOLDS, Status.TIGHT)
    assert judged(changed(hole, path, value))[name].status is Status.FAILS


def test_a_stop_that_is_near_leaves_no_time(hole: Hole) -> None:
    assert lost(hole).status is Status.HOLDS
    near = changed(hole, "design_basis/flex_joint_stop_share", 0.05)
    assert lost(near).status is Status.FAILS


@pytest.mark.parametrize("lost", [-1, 6, 7])
def test_a_hole_cannot_lose_all_tensioners_or_fewer_than_none(tmp_path: Path, lost: int) -> None:
    folder = tmp_path / "main"
    shutil.copytree(EXAMPLES / "main", folder)
    text = (folder / "hole.yaml").read_text()
    (folder / "hole.yaml").write_text(
        text.replace("stroke: 15.2 m}", f"stroke: 15.2 m, out_of_service: {lost}}}")
    )
    with pytest.raises(InputErrors, match="out of service"):
        load_hole(folder)


def test_without_gear_every_question_is_left_open(hole: Hole) -> None:
    records = judged(changed(hole, "inventory/preventer", None))
    assert set(records) == set(judged(hole))
    assert {record.status for record in records.values()} == {Status.NOT_JUDGED}


def test_demand_and_capacity_share_the_quantity(hole: Hole) -> None:
    for record in judged(hole).values():
        assert record.demand is not None
        assert record.capacity is not None
        assert record.demand.unit == record.capacity.unit
