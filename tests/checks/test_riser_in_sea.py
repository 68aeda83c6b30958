"""The riser in the planned sea, judged on the demonstration holes and on changed ones."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from bathybore.checks.ledger import answers
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.riser_in_sea import equivalent_stress, riser_studies, vortex_studies
from bathybore.kernels.riser_modes import axial_modes
from bathybore.kernels.riser_shape import lateral_period
from bathybore.model.editing import Edit, read_draft
from bathybore.model.hole import Hole
from bathybore.operations.hung_riser import hung_riser
from bathybore.operations.riser_in_waves import STORM, swaying, swinging
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import SeaRiser, lying, sea_riser
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import walk_hole

EXAMPLES = Path(__file__).parents[2] / "examples"


def _hole(name: str = "main", **changes: str) -> Hole:
    draft = read_draft(EXAMPLES / name)
    edits = [Edit("set", path.replace("__", "."), value) for path, value in changes.items()]
    return draft.edited(edits).hole if edits else draft.hole


def _riser(hole: Hole) -> SeaRiser:
    gear = RiserGear.of(hole)
    assert gear is not None
    return sea_riser(gear)


def _at(hole: Hole, kind: StepKind) -> HoleState:
    return next(one for one in walk_hole(hole) if one.step.kind is kind)


def _landed(hole: Hole) -> dict[str, CheckRecord]:
    state = _at(hole, StepKind.RUN_RISER)
    return {record.name: record for record in answers(riser_studies, state)}


def test_the_main_hole_keeps_its_riser_in_the_sea() -> None:
    records = _landed(_hole())
    assert set(records) == {
        "hang-off-compression",
        "hang-off-peak",
        "riser-recoil",
        "upper-flex-joint",
        "lower-flex-joint-in-waves",
        "upper-flex-joint-in-waves",
        "riser-stress-in-waves",
    }
    assert all(one.status is Status.HOLDS for one in records.values())
    assert all(one.remedy and one.caution for one in records.values())


def test_four_kilometres_of_riser_fail_where_they_must() -> None:
    records = _landed(_hole("frontier"))
    failed = {name for name, one in records.items() if one.status is Status.FAILS}
    assert failed == {"hang-off-peak", "riser-stress-in-waves"}
    peak = records["hang-off-peak"].demand
    assert peak is not None
    assert 11e6 < float(peak) < 13e6


def test_no_riser_no_study_and_a_riser_half_described_is_not_judged() -> None:
    kinds = {one.step.kind for one in walk_hole(_hole("riserless"))}
    assert StepKind.RUN_RISER not in kinds
    leaving = _at(_hole("riserless"), StepKind.DEPART)
    assert list(vortex_studies(leaving)) == []


def test_the_waves_on_top_of_the_mean() -> None:
    sway = swaying(_riser(_hole()))
    record = _landed(_hole())["lower-flex-joint-in-waves"]
    assert record.demand is not None
    total = float(sway.mean.lower_angle) + float(sway.lower_swing)
    assert float(record.demand) == pytest.approx(total, rel=1e-9)
    spread, cycles = sway.swayed.foot_angle, STORM / sway.swayed.crossing_period
    assert float(sway.lower_swing) == pytest.approx(spread * np.sqrt(2.0 * np.log(cycles)))


def test_a_flat_sea_leaves_the_riser_as_the_current_lays_it() -> None:
    hole = _hole(site__environment__significant_wave_height="0.01 m")
    riser = _riser(hole)
    sway = swaying(riser)
    assert float(sway.mean.lower_angle) == pytest.approx(
        float(lying(riser, False).lower_angle), rel=1e-4
    )
    assert float(sway.lower_swing) < 1e-4
    assert float(sway.upper_swing) < 2e-4


def test_higher_waves_swing_more_and_more_tension_turns_less() -> None:
    plain = swaying(_riser(_hole()))
    higher = swaying(_riser(_hole(site__environment__significant_wave_height="6 m")))
    assert float(higher.upper_swing) > float(plain.upper_swing)
    tighter = lying(_riser(_hole(plan__riser_top_tension="12 MN")), False)
    assert float(tighter.lower_angle) < float(lying(_riser(_hole()), False).lower_angle)


def test_the_two_offsets_mirror_each_other_about_what_the_current_does() -> None:
    shape = lying(_riser(_hole()), False).shape
    current_alone = 0.5 * (shape.displacement[0] + shape.displacement[1])
    assert current_alone[0] == pytest.approx(0.0, abs=1e-9)
    assert (current_alone[1:-1] > -1e-9).all()
    assert shape.displacement[0, 0] == -shape.displacement[1, 0] == pytest.approx(42.16)


def test_the_loss_of_a_tensioner_turns_the_lower_joint_more() -> None:
    riser = _riser(_hole())
    assert float(lying(riser, True).lower_angle) > float(lying(riser, False).lower_angle)


def test_bending_adds_to_the_stress_of_tension_and_mud() -> None:
    state = _at(_hole(), StepKind.RUN_RISER)
    from bathybore.checks.riser import riser_checks

    static = next(one for one in riser_checks(state) if one.name == "riser-stress")
    assert static.demand is not None
    sway = swaying(_riser(_hole()))
    stress = np.asarray(equivalent_stress(sway).si)
    assert stress.max() > float(static.demand)
    assert stress.max() < float(static.demand) + 60e6


def test_periods_of_the_modes_are_near_those_of_the_string() -> None:
    riser = _riser(_hole())
    swing, gear = swinging(riser), riser.gear
    mass = float(np.trapezoid(swing.mass, riser.nodes)) / float(gear.length)
    string = lateral_period(
        5.0, float(gear.length), float(gear.vertical_pull()),
        float(gear.foot_tension(gear.vertical_pull())), mass,
    )  # fmt: skip
    assert 2.0 * np.pi / swing.modes.frequency[4] == pytest.approx(string, rel=0.03)


def test_vortices_cost_more_in_a_stronger_current() -> None:
    def life(current: str) -> float:
        hole = _hole(site__environment__surface_current=current)
        (record, _) = vortex_studies(_at(hole, StepKind.RETRIEVE_RISER))
        assert record.capacity is not None
        return float(record.capacity)

    assert life("1.6 m/s") < life("0.8 m/s")


def test_connected_time_is_that_between_landing_and_letting_go() -> None:
    state = _at(_hole(), StepKind.RETRIEVE_RISER)
    (record, _) = vortex_studies(state)
    names = [one.name for one in state.durations]
    since = sum(float(one) for one in state.durations[names.index("run-riser") + 1 :])
    assert record.demand is not None
    assert float(record.demand) == pytest.approx(3.0 * since)


def test_the_hung_riser_balances_and_has_the_axial_period_of_its_elements() -> None:
    riser = _riser(_hole())
    hung = hung_riser(riser)
    tension = np.asarray(hung.tension.si)
    assert tension[0] == pytest.approx(float(hung.load))
    assert tension[-1] == pytest.approx(1100e3)
    frequency, _ = axial_modes(
        np.linspace(0.0, float(riser.gear.length), 301), float(riser.axial_stiffness),
        float(hung.linear_mass), float(hung.package_mass), 1,
    )  # fmt: skip
    assert 2.0 * np.pi / frequency[0] == pytest.approx(float(hung.axial_period), rel=1e-4)


def test_a_slack_riser_is_said_to_buckle_and_the_rest_is_still_judged() -> None:
    state = _at(_hole(plan__riser_top_tension="5 MN"), StepKind.RUN_RISER)
    records = list(answers(riser_studies, state))
    assert records[-1].status is Status.NOT_JUDGED
    assert "buckles" in records[-1].reason
    assert {"hang-off-peak", "riser-recoil"} <= {one.name for one in records}


def test_beyond_small_angles_a_pass_is_no_pass() -> None:
    hole = _hole(
        design_basis__watch_offset_share="0.25", design_basis__flex_joint_greatest="60 deg"
    )
    record = _landed(hole)["lower-flex-joint-in-waves"]
    assert record.status is Status.OUTSIDE_VALIDITY
    assert "a slope stands for its angle" in record.reason


def test_a_slow_release_of_the_tensioners_lets_the_riser_hit() -> None:
    assert _landed(_hole())["riser-recoil"].status is Status.HOLDS
    slow = _landed(_hole(design_basis__anti_recoil_time="2 s"))["riser-recoil"]
    assert slow.status is Status.FAILS


def test_a_riser_that_floats_when_hung_is_pushed_and_never_comes_to_rest() -> None:
    records = _landed(_hole(**{"inventory__riser__stack_up[3]__buoyancy_lift": "190 kN"}))
    assert records["riser-recoil"].status is Status.NOT_JUDGED
    assert "lift more" in records["riser-recoil"].reason
    assert records["hang-off-compression"].status is Status.FAILS


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("site__environment__significant_wave_height", "0 m"),
        ("site__environment__surface_current", "0 m/s"),
        ("site__environment__peak_period", "4 s"),
        ("site__environment__peak_period", "25 s"),
        ("site__environment__heading_off_weather", "90 deg"),
        ("design_basis__upper_flex_joint_stiffness", "0 N m/rad"),
        ("design_basis__riser_added_mass_coefficient", "0"),
        ("design_basis__riser_drag_coefficient", "0"),
    ],
)
def test_the_ends_of_what_may_be_asked_give_numbers(path: str, value: str) -> None:
    draft = read_draft(EXAMPLES / "main").edited([Edit("set", path.replace("__", "."), value)])
    if draft.faults:  # refused at the gate, with words
        assert all(fault.expected for fault in draft.faults)
        return
    assert draft.hole is not None
    records = _landed(draft.hole)
    assert all(one.status is not Status.NOT_JUDGED for one in records.values()), records


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("buoyancy_module_density", "1100 kg/m3"),
        ("hang_off_damping", "0"),
        ("riser_strouhal_number", "0"),
        ("riser_stress_concentration", "0.5"),
    ],
)
def test_what_cannot_be_is_refused_at_the_gate(key: str, value: str) -> None:
    draft = read_draft(EXAMPLES / "main").edited([Edit("set", f"design_basis.{key}", value)])
    assert [one for one in draft.faults if key in one.where], draft.faults


def test_a_riser_that_leans_far_sways_outside_validity() -> None:
    """At a quarter of the water depth it leans so far that no pass of its sway counts."""
    hole = _hole(design_basis__watch_offset_share="0.25", design_basis__riser_stress_share="1")
    still = lying(_riser(hole), False)
    assert 13.0 < np.degrees(still.steepest) < 25.0
    offset = float(still.offset)
    span = float(still.riser.nodes[-1] - still.riser.nodes[0])
    assert float(still.set_down) > np.hypot(span, offset) - span  # a straight line is shortest
    records = _landed(hole)
    assert records["lower-flex-joint-in-waves"].status is Status.FAILS
    wide = _hole(
        design_basis__watch_offset_share="0.25",
        design_basis__flex_joint_greatest="40 deg",
        design_basis__flex_joint_drilling="30 deg",
    )
    loose = _landed(wide)["lower-flex-joint-in-waves"]
    assert loose.status is Status.OUTSIDE_VALIDITY
    assert "about the vertical" in loose.reason


def test_waves_use_up_some_of_the_welds_and_vortices_apart() -> None:
    hole = _hole()
    state = _at(hole, StepKind.RETRIEVE_RISER)
    found = {one.name: one for one in answers(vortex_studies, state)}
    assert set(found) == {"riser-vortex-fatigue", "riser-wave-fatigue"}
    record = found["riser-wave-fatigue"]
    assert record.status is Status.HOLDS
    assert "of the life used" in record.note
    rough = _at(_hole(site__environment__significant_wave_height="6 m"), StepKind.RETRIEVE_RISER)
    worse = {one.name: one for one in answers(vortex_studies, rough)}["riser-wave-fatigue"]
    assert record.capacity is not None
    assert worse.capacity is not None
    assert float(worse.capacity) < float(record.capacity)
