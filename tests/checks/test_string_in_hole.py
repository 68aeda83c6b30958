"""Torque, drag and what pipe bears in its hole: limits, hand sums, what is not known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.steel import string_checks
from bathybore.checks.string_in_hole import run_of, string_in_hole_checks
from bathybore.model.csv_tables import parse_table
from bathybore.model.hole import Hole
from bathybore.model.tables import SURVEY_COLUMNS
from bathybore.operations.state import HoleState
from bathybore.operations.torque_and_drag import DRILLING, IN, OUT, TURNING
from bathybore.usecases.explaining import explain
from bathybore.usecases.walking import Walk
from varied import by_step, changed

HEADER = "measured_depth_below_sea_bed [m],inclination [deg],azimuth [deg]\n"
ALWAYS = {"string-torque", "tension-with-torque", "emptied-pipe"}
SURVEYED = {
    "margin-of-overpull",
    "hook-load-pulling",
    "string-goes-down",
    "pipe-buckling",
    "dogleg-fatigue",
}
CROOKED = "0,0,0\n1000,6,40\n2000,2,120\n3000,8,150\n4000,3,250\n5200,5,10\n"


@pytest.fixture(scope="module")
def drilling(main_walk: Walk) -> HoleState:
    state = by_step(main_walk.states)["drill-section-812"]
    return replace(state, hole=replace(state.hole, survey=None))


def surveyed(state: HoleState, rows: str = CROOKED) -> HoleState:
    table = parse_table(HEADER + rows, "survey.csv", SURVEY_COLUMNS)
    return replace(state, hole=replace(state.hole, survey=table))


def altered(state: HoleState, path: str, value: object) -> HoleState:
    hole: Hole = changed(state.hole, path, value)
    return replace(state, hole=hole)


def judged(state: HoleState) -> dict[str, CheckRecord]:
    return {record.name: record for record in string_in_hole_checks(state)}


def demand(record: CheckRecord) -> float:
    assert record.demand is not None
    return float(record.demand)


def capacity(record: CheckRecord) -> float:
    assert record.capacity is not None
    return float(record.capacity)


# ---- which questions ---------------------------------------------------------------------


def test_drag_is_asked_for_only_where_a_survey_tells(drilling: HoleState) -> None:
    assert set(judged(drilling)) == ALWAYS
    assert set(judged(surveyed(drilling))) == ALWAYS | SURVEYED


def test_every_record_opens(drilling: HoleState) -> None:
    words = {
        "margin-of-overpull": ("soft string", "friction_open"),
        "tension-with-torque": ("tension_under_torque", "bit_torque"),
        "dogleg-fatigue": ("permissible_dogleg", "fatigue_bending_stress_grade_s"),
    }
    records = judged(surveyed(drilling))
    for name, record in records.items():
        text = str(explain(record, "metric"))
        assert all(word in text for word in words.get(name, ())), name


# ---- limits ------------------------------------------------------------------------------


def test_a_vertical_survey_has_no_drag_and_the_weight_of_the_static_check(
    drilling: HoleState,
) -> None:
    upright = surveyed(drilling, "0,0,0\n6000,0,0\n")
    run, plain = run_of(upright), run_of(drilling)
    assert run is not None
    assert plain is not None
    for way in (OUT, IN, TURNING):
        assert float(run.top_tension(way)) == pytest.approx(float(plain.top_tension(way)))
    assert demand(judged(upright)["string-goes-down"]) == 0.0
    # the static check of the string: what hangs, heave and overpull
    static = next(r for r in string_checks(drilling) if r.name == "hook-load")
    pulling = demand(judged(upright)["hook-load-pulling"])
    assert pulling == pytest.approx(demand(static), rel=1e-9)


def test_without_friction_the_way_of_moving_does_not_matter(drilling: HoleState) -> None:
    smooth = surveyed(drilling)
    for field in ("friction_open", "friction_cased"):
        smooth = altered(smooth, f"design_basis/{field}", 0.0)
    run = run_of(smooth)
    assert run is not None
    tension = run.marched.tension
    np.testing.assert_allclose(tension[OUT], tension[IN])
    np.testing.assert_allclose(tension[OUT], tension[TURNING])
    assert not run.friction_torque.any()


def test_weight_times_height_hangs_on_the_hook_while_turning(drilling: HoleState) -> None:
    """No friction along the string: part by part, weight per length times height."""
    run = run_of(surveyed(drilling))
    assert run is not None
    height = -np.diff(run.z)
    weights = np.diff(run.marched.tension[TURNING]) / height
    pipes = {part.pipe.name for part in run.string.parts}  # a tool may part one pipe in two
    assert len({round(float(w), 3) for w in weights}) == len(pipes)
    assert float(run.top_tension(TURNING)) == pytest.approx(float(np.sum(weights * height)))


def test_the_crooked_hole_takes_more_pipe_of_the_uppermost_part(drilling: HoleState) -> None:
    plain, run = run_of(drilling), run_of(surveyed(drilling))
    assert plain is not None
    assert run is not None
    np.testing.assert_allclose(run.ends[:-1], plain.ends[:-1])
    assert run.ends[-1] > plain.ends[-1]
    assert run.z[0] == pytest.approx(plain.z[0], abs=1e-4)
    assert run.z[-1] == pytest.approx(float(drilling.hole.drill_floor), abs=1e-4)


def test_the_weight_on_the_bit_is_taken_off_the_hook(drilling: HoleState) -> None:
    run = run_of(drilling)
    assert run is not None
    off = run.marched.tension[TURNING] - run.marched.tension[DRILLING]
    np.testing.assert_allclose(off, 90e3)


# ---- tendencies --------------------------------------------------------------------------


def test_more_friction_takes_more_of_everything(drilling: HoleState) -> None:
    plain = judged(surveyed(drilling))
    rough = judged(altered(surveyed(drilling), "design_basis/friction_cased", 0.4))
    assert demand(rough["string-goes-down"]) > demand(plain["string-goes-down"])
    assert demand(rough["hook-load-pulling"]) > demand(plain["hook-load-pulling"])
    assert demand(rough["string-torque"]) > demand(plain["string-torque"])
    assert capacity(rough["margin-of-overpull"]) < capacity(plain["margin-of-overpull"])


def test_torque_takes_from_tension_until_nothing_is_left(drilling: HoleState) -> None:
    mild, harsh, broken = (
        judged(altered(drilling, "design_basis/bit_friction", f))["tension-with-torque"]
        for f in (0.1, 3.0, 100.0)
    )
    assert capacity(mild) > capacity(harsh)
    assert broken.status is Status.FAILS
    wild = judged(altered(drilling, "design_basis/bit_friction", 100.0))
    assert wild["string-torque"].status is Status.FAILS


def test_pipe_pushed_through_a_level_hole_buckles(drilling: HoleState) -> None:
    """A kilometre on its side at twice the friction: pipe there is pushed by what hangs above."""
    level = surveyed(drilling, "0,0,0\n500,0,0\n1500,85,0\n4500,85,0\n5500,30,0\n9000,30,0\n")
    for field in ("friction_open", "friction_cased"):
        level = altered(level, f"design_basis/{field}", 0.5)
    record = judged(level)["pipe-buckling"]
    assert record.status is Status.FAILS
    run = run_of(level)
    assert run is not None
    least = float(np.min(run.marched.tension[[IN, DRILLING]]))
    assert 0.0 < demand(record) <= -least + 1e-6


def test_upright_pipe_under_tension_does_not_buckle(drilling: HoleState) -> None:
    record = judged(surveyed(drilling, "0,0,0\n6000,0,0\n"))["pipe-buckling"]
    assert record.profile is not None
    assert not np.asarray(record.profile.demand).any()
    assert record.status is Status.HOLDS


def test_a_sharp_bend_under_tension_tires_the_pipe(drilling: HoleState) -> None:
    sharp = surveyed(drilling, "0,0,0\n100,0,0\n130,6,0\n160,0,0\n6000,0,0\n")
    record = judged(sharp)["dogleg-fatigue"]
    assert record.status is Status.FAILS
    assert demand(record) == pytest.approx(np.radians(6.0) / 30.0)


def test_pipe_run_empty_too_far_is_crushed(drilling: HoleState) -> None:
    """The sea and mud above 4 km on air: more than worn 5 7/8 in pipe bears."""
    deep = judged(altered(drilling, "design_basis/string_unfilled_length", 4000.0))
    record = deep["emptied-pipe"]
    assert record.status is Status.FAILS
    # mud from the flow line down, by hand within its compression
    assert demand(record) == pytest.approx(1.125 * 1400.0 * 9.797 * 3996.0, rel=0.02)


def test_pipe_of_light_alloy_in_a_bend_is_not_judged_for_fatigue(drilling: HoleState) -> None:
    state = surveyed(drilling)
    assert state.activity.string is not None
    parts = list(state.activity.string.parts)
    last = parts[-1]
    stock = last.pipe.stock.model_copy(update={"material": "titanium"})
    parts[-1] = replace(last, pipe=replace(last.pipe, stock=stock))
    # the alloy reaches below the sea bed only if it is the whole string's top: lengthen it
    parts[-2] = replace(parts[-2], pipe=parts[-1].pipe)
    string = replace(state.activity.string, parts=tuple(parts))
    records = judged(replace(state, activity=replace(state.activity, string=string)))
    assert records["dogleg-fatigue-light-alloy"].status is Status.NOT_JUDGED
