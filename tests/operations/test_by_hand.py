"""Steps the user inserts: what they take, what they are judged for, where they make no sense."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bathybore.base.errors import OrderError
from bathybore.checks.ledger import records_of
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.studies import studies_of
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.model.plan import StepEdit
from bathybore.operations.circulation import of_drilling
from bathybore.operations.cuttings_carried import bottoms_up, carried_by_every_law
from bathybore.operations.state import HoleState
from bathybore.operations.stores import pad_volume
from bathybore.operations.walk import walk_hole
from varied import by_step, changed

EXAMPLES = Path(__file__).parents[2] / "examples"
HOUR = 3600.0


def inserted(after: str, insert: str, name: str = "by-hand", **fields: Any) -> StepEdit:
    told = {"insert_after": after, "insert": insert, "name": name, "why": "a reason", **fields}
    return StepEdit.model_validate(told)


def walked(hole: Hole, *edits: StepEdit) -> dict[str, HoleState]:
    return by_step(walk_hole(changed(hole, "plan/step_edits", edits)))


def parts(state: HoleState) -> dict[str, float]:
    return {part.name: float(part) for part in state.times}


def verdicts(state: HoleState) -> dict[str, CheckRecord]:
    return {record.name: record for record in records_of(state)}


# -- circulating ----------------------------------------------------------------------------


def test_circulating_until_clean_lasts_as_the_slowest_law_says(main_hole: Hole) -> None:
    state = walked(main_hole, inserted("drill-section-1214", "circulate"))["by-hand"]
    laws = carried_by_every_law(of_drilling(state))
    assert parts(state) == {"circulate": max(float(one.time) for one in laws)}
    assert "circulated-clean" not in verdicts(state)  # nothing is left to judge


def test_circulating_by_the_bottoms_up_is_judged_for_cleaning(main_hole: Hole) -> None:
    edits = [
        inserted("drill-section-1214", "circulate", name, bottoms_up=count)
        for name, count in (("short", "0.9"), ("long", "3"))
    ]
    steps = walked(main_hole, *edits)
    once = float(bottoms_up(of_drilling(steps["short"])))
    assert parts(steps["short"])["circulate"] == pytest.approx(0.9 * once)
    # nothing that falls against the mud comes up faster than the mud
    assert verdicts(steps["short"])["circulated-clean"].status is Status.FAILS
    assert verdicts(steps["long"])["circulated-clean"].status is Status.HOLDS


def test_circulating_at_the_flow_of_drilling_presses_as_drilling_does(main_hole: Hole) -> None:
    steps = walked(main_hole, inserted("drill-section-1214", "circulate", duration="2 h"))
    drilled, pumped = verdicts(steps["drill-section-1214"]), verdicts(steps["by-hand"])
    for name in ("window-low", "window-high-static", "pump-rate", "swab", "surge"):
        assert pumped[name].margin == pytest.approx(drilled[name].margin, rel=1e-9)
    # only the rate at the bottom differs: the fastest of the interval loads the mud at least so
    high = pumped["window-high"].margin, drilled["window-high"].margin
    assert high[0] is not None
    assert high[1] is not None
    assert high[0] >= high[1] > high[0] - 0.01


def test_more_flow_presses_more_and_the_mud_stays(main_hole: Hole) -> None:
    base = main_hole.plan.sections[2].flow_rate
    edits = [
        inserted("drill-section-1214", "circulate", name, duration="2 h", flow_rate=f"{q} m3/s")
        for name, q in (("slow", 0.8 * base), ("fast", 1.02 * base))
    ]
    steps = walked(main_hole, *edits)
    slow, fast = (verdicts(steps[name])["pump-pressure"] for name in ("slow", "fast"))
    assert float(fast.demand) > float(slow.demand)  # type: ignore[arg-type]
    assert steps["fast"].consumed == steps["drill-section-1214"].consumed
    assert steps["fast"].layers == steps["drill-section-1214"].layers


def test_without_a_riser_what_is_pumped_is_lost(main_hole: Hole) -> None:
    steps = walked(main_hole, inserted("drill-top-hole", "circulate", duration="1 h"))
    before, after = steps["drill-top-hole"], steps["by-hand"]
    section = main_hole.plan.sections[0]
    pumped = section.flow_rate * HOUR
    water = after.consumed.sea_water_pumped - before.consumed.sea_water_pumped
    assert water == pytest.approx((1.0 - section.sweep_share) * pumped)
    assert after.consumed.mud_to_sea_floor > before.consumed.mud_to_sea_floor
    assert after.layers == before.layers  # filled with the heavy mud once more


def test_in_a_cased_hole_no_rock_is_judged(main_hole: Hole) -> None:
    state = walked(main_hole, inserted("release-casing-958", "circulate", duration="1 h"))[
        "by-hand"
    ]
    found = verdicts(state)
    assert not [name for name in found if name.startswith("window") or name == "lifting"]
    assert found["pump-pressure"].status is Status.HOLDS
    assert list(parts(state)) == ["run in", "circulate", "pull out"]


# -- where the string is --------------------------------------------------------------------


def test_between_a_shoe_test_and_its_section_the_string_stays_down(main_hole: Hole) -> None:
    plain = walked(main_hole)["drill-section-812"]
    for insert in ("circulate", "wait"):
        steps = walked(main_hole, inserted("test-casing-958", insert, duration="2 h"))
        assert "run in" not in parts(steps["by-hand"])
        assert parts(steps["drill-section-812"]) == parts(plain)


def test_a_log_there_pulls_it_and_the_section_runs_it_again(main_hole: Hole) -> None:
    edit = inserted("test-casing-1338", "preventer test")
    steps = walked(
        main_hole, edit, inserted("drill-section-1214", "logging run", "log", duration="9 h")
    )
    assert parts(steps["log"]) == {"log the hole": 9 * HOUR}
    state = steps["log"]
    found = verdicts(state)
    assert {"window-low", "window-high-static", "temperature"} <= set(found)
    assert "window-high" not in found


def test_a_wiper_trip_goes_through_the_open_hole_twice(main_hole: Hole) -> None:
    state = walked(main_hole, inserted("drill-section-1214", "wiper trip"))["by-hand"]
    handling = main_hole.vessel.handling
    length = 2.0 * (state.bottom - state.deepest_shoe)
    (taken,) = parts(state).values()
    assert taken == pytest.approx(
        length / handling.stand_length * handling.time_per_stand, abs=handling.time_per_stand
    )
    assert {"swab", "surge", "string-torque"} <= set(verdicts(state))


# -- tests ----------------------------------------------------------------------------------


def test_the_interval_begins_anew_with_a_preventer_test(main_hole: Hole) -> None:
    state = walked(main_hole, inserted("release-casing-958", "preventer test"))["by-hand"]
    assert state.last_preventer_test == state.elapsed
    assert parts(state) == {"test the preventer": main_hole.vessel.handling.preventer_test_time}


def test_casing_pressed_on_at_its_own_pressure_holds_as_its_plan_says(main_hole: Hole) -> None:
    """In the same mud only the pressure put on differs: what is asked grows by it, and no more."""
    tests = [("as-planned", None), ("higher", "80 MPa")]
    edits = [
        inserted(
            "release-casing-958",
            "casing test",
            name,
            duration="1 h",
            **({} if pressure is None else {"test_pressure": pressure}),
        )
        for name, pressure in tests
    ]
    steps = walked(main_hole, *edits)
    first, higher = (verdicts(steps[name])["burst-pressure-test"] for name, _ in tests)
    planned = main_hole.plan.sections[2].casing
    assert planned is not None
    assert planned.test_pressure is not None
    factor = main_hole.basis.burst_factor
    more = float(higher.demand) - float(first.demand)  # type: ignore[arg-type]
    assert more == pytest.approx(factor * (80e6 - planned.test_pressure), rel=1e-6)


@pytest.mark.parametrize(
    ("after", "insert", "fields", "told"),
    [
        ("release-casing-20", "preventer test", {}, "no preventer stands on the wellhead"),
        ("hold-station", "circulate", {}, "no conductor is set"),
        ("run-casing-958", "circulate", {}, "casing-958 hangs on a string"),
        ("cement-casing-958", "wiper trip", {}, "no open hole to wipe"),
        ("release-casing-958", "wiper trip", {}, "no open hole to wipe"),
        ("run-riser", "logging run", {"duration": "5 h"}, "no open hole to log"),
        ("plug", "circulate", {}, "plugged already"),
        ("release-conductor", "casing test", {"duration": "1 h"}, "no casing is set and cemented"),
        ("test-casing-958", "casing test", {"duration": "1 h"}, "is drilled out"),
        ("drill-section-812", "circulate", {"flow_rate": "20 L/min"}, "do not rise"),
        # mud of a section that returns by the riser would be pumped to the sea floor
        ("release-casing-20", "circulate", {}, "are to be by riser"),
        ("release-casing-20", "casing test", {"duration": "1 h"}, "no preventer closes the well"),
    ],
)  # fmt: skip
def test_where_it_makes_no_sense_it_is_refused(
    main_hole: Hole, after: str, insert: str, fields: dict[str, Any], told: str
) -> None:
    with pytest.raises(OrderError, match="the step 'by-hand'") as caught:
        walked(main_hole, inserted(after, insert, **fields))
    assert told in str(caught.value)


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"insert": "wait"}, "without its parts"),
        ({"insert": "wait", "name": "w"}, "a wait without duration"),
        ({"insert": "logging run", "name": "w"}, "a logging run without duration"),
        ({"insert": "wiper trip", "name": "w", "duration": "1 h"}, "duration of a wiper trip"),
        ({"insert": "wait", "name": "w", "duration": "1 h", "flow_rate": "1 m3/s"}, "flow_rate of"),
        ({"insert": "circulate", "name": "w", "duration": "1 h", "bottoms_up": "2"}, "one of them"),
        ({"insert": "circulate", "name": "w", "move_after": "x"}, "moved or removed"),
        ({"insert": "dance", "name": "w"}, "dance"),
    ],
)  # fmt: skip
def test_an_insertion_tells_what_it_has_to_and_no_more(
    fields: dict[str, object], told: str
) -> None:
    with pytest.raises(ValueError, match=told):
        StepEdit.model_validate({"insert_after": "plug", "why": "a reason", **fields})


def test_what_belongs_to_an_insertion_is_refused_elsewhere() -> None:
    with pytest.raises(ValueError, match="only of a step that is inserted"):
        StepEdit.model_validate({"step": "core", "duration": "1 h", "name": "x", "why": "y"})


def test_an_inserted_step_can_be_moved_removed_and_set_a_duration(main_hole: Hole) -> None:
    log = inserted("drill-section-1214", "logging run", duration="9 h")
    longer = StepEdit.model_validate({"step": "by-hand", "duration": "30 h", "why": "sticky"})
    later = StepEdit(step="by-hand", move_after="drill-section-812", why="later")
    gone = StepEdit(step="by-hand", remove=True, why="no")
    steps = walked(main_hole, log, longer, later)
    assert float(steps["by-hand"].duration) == 30 * HOUR  # type: ignore[arg-type]
    assert list(steps).index("by-hand") == list(steps).index("drill-section-812") + 1
    assert "by-hand" not in walked(main_hole, log, gone)


# -- in a cased hole, on the sea floor, behind coring ------------------------------------------


def test_in_a_cased_hole_the_mud_comes_up_once(main_hole: Hole) -> None:
    """No cuttings are there to wait for, nor to be refused for."""
    for after in ("run-riser", "release-casing-958"):
        state = walked(main_hole, inserted(after, "circulate"))["by-hand"]
        assert parts(state)["circulate"] == float(bottoms_up(of_drilling(state)))


def test_a_cased_hole_that_is_circulated_is_not_filled_with_heavy_mud(main_hole: Hole) -> None:
    state = walked(main_hole, inserted("release-conductor", "circulate", duration="1 h"))["by-hand"]
    section = main_hole.plan.sections[0]
    built = sum(float(use.amount) for use in state.uses if use.store == "mud_built")
    assert state.layers[-1].name == section.fluid
    assert built == pytest.approx(section.sweep_share * section.flow_rate * HOUR)


def test_a_wiper_trip_without_a_riser_fills_the_hole_anew(main_hole: Hole) -> None:
    edits = [inserted("drill-top-hole", "wiper trip")]
    state = walked(main_hole, *edits)["by-hand"]
    lost = sum(float(use.amount) for use in state.uses if use.store == "mud_to_sea_floor")
    assert state.layers[-1].name == main_hole.plan.sections[0].pad_fluid
    assert lost == pytest.approx(float(pad_volume(state)))
    assert "mud-stock" in verdicts(state)


@pytest.mark.parametrize("name", ["riserless", "frontier"])
def test_behind_coring_the_string_that_cored_circulates(
    name: str,
) -> None:
    """Its trips are those of coring: no other string can be at the bottom."""
    hole = load_hole(EXAMPLES / name)
    for insert in ("circulate", "wiper trip"):
        steps = walked(hole, inserted("core", insert))
        cored, state = steps["core"].activity, steps["by-hand"].activity
        assert "run in" not in parts(steps["by-hand"])
        assert state.string == cored.string
        assert state.flow_rate == cored.flow_rate


def test_the_barrel_bears_the_warmth_as_long_as_it_is_down() -> None:
    frontier_hole = load_hole(EXAMPLES / "frontier")
    steps = walked(frontier_hole, inserted("core", "circulate"))
    cored, pumped = (verdicts(steps[name])["temperature"] for name in ("core", "by-hand"))
    assert float(pumped.capacity) == float(cored.capacity)  # type: ignore[arg-type]
    assert pumped.margin == cored.margin


def test_tools_have_to_bear_the_flow_but_not_to_work(main_hole: Hole) -> None:
    flow = 1.6 * main_hole.plan.sections[2].flow_rate
    edit = inserted("drill-section-1214", "circulate", duration="2 h", flow_rate=f"{flow} m3/s")
    found = verdicts(walked(main_hole, edit)["by-hand"])
    assert found["tool-flow-high"].status is Status.FAILS
    assert not {"tool-flow-low", "motor-torque"} & set(found)


def test_circulation_is_broken_behind_a_wiper_trip(main_hole: Hole) -> None:
    steps = walked(main_hole, inserted("drill-section-1214", "wiper trip"))
    drilled, wiped = (
        {record.name: record for record in studies_of(steps[name])}["breaking-circulation"]
        for name in ("drill-section-1214", "by-hand")
    )
    assert wiped.margin == drilled.margin  # the same mud at the same depth


def test_a_test_of_casing_presses_on_the_preventer_too(main_hole: Hole) -> None:
    """The pressure put on, and the mud between flow line and sea bed: squeezed by both a little."""
    edit = inserted("release-casing-958", "casing test", duration="1 h", test_pressure="80 MPa")
    state = walked(main_hole, edit)["by-hand"]
    record = verdicts(state)["test-rating"]
    hole = state.hole
    mud = state.layers[-1].fluid.density * 9.8 * (hole.sea_bed - hole.flow_line)
    assert float(record.demand) == pytest.approx(80e6 + mud, rel=5e-3)  # type: ignore[arg-type]
    assert float(record.capacity) == pytest.approx(15_000 * 6894.757)  # type: ignore[arg-type]
    more = inserted("release-casing-958", "casing test", duration="1 h", test_pressure="100 MPa")
    assert verdicts(walked(main_hole, more)["by-hand"])["test-rating"].status is Status.FAILS


def test_the_planned_test_is_asked_what_it_puts_on_preventer_and_wellhead(main_hole: Hole) -> None:
    """As a test put in by hand just before the shoe is drilled, but for the mud."""
    hand = inserted("release-casing-958", "casing test", duration="1 h")
    steps = walked(main_hole, hand)
    planned, by_hand = (
        verdicts(steps[name])["test-rating"] for name in ("cement-casing-958", "by-hand")
    )
    applied = float(main_hole.plan.sections[2].casing.test_pressure)  # type: ignore[union-attr, arg-type]
    assert float(planned.demand) > applied > 0.0  # type: ignore[arg-type]
    # that of the plan stands in the mud of the next section, the other in the one just drilled with
    fluids, height = main_hole.plan.fluids, main_hole.sea_bed - main_hole.flow_line
    muds = [fluids[main_hole.plan.sections[i].fluid].density for i in (3, 2)]
    apart = (muds[0] - muds[1]) * 9.8 * height
    got = float(planned.demand) - float(by_hand.demand)  # type: ignore[arg-type]
    assert got == pytest.approx(apart, rel=0.02)
    assert planned.status is Status.HOLDS


def test_a_step_that_is_over_before_the_hole_is_clean_fails(main_hole: Hole) -> None:
    until_clean = inserted("drill-section-1214", "circulate")
    for lasts, status in (("30 min", Status.FAILS), ("9 h", None)):
        fixed = StepEdit.model_validate({"step": "by-hand", "duration": lasts, "why": "in a hurry"})
        found = verdicts(walked(main_hole, until_clean, fixed)["by-hand"])
        record = found.get("circulated-clean")
        assert (record and record.status) is status
