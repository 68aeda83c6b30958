"""Time runs across steps: tests that fall due, set-up that goes on, durations that are fixed."""

from __future__ import annotations

from itertools import pairwise
from math import floor

import pytest

from bathybore.checks.ledger import records_of
from bathybore.model.hole import Hole
from bathybore.model.plan import StepEdit
from bathybore.operations.state import HoleState
from bathybore.operations.walk import walk_hole
from bathybore.usecases.walking import Walk
from varied import by_step, changed

DAY = 86400.0


def edited(hole: Hole, **fields: object) -> tuple[HoleState, ...]:
    edit = StepEdit.model_validate({"why": "to see what happens", **fields})
    return walk_hole(changed(hole, "plan/step_edits", (edit,)))


def capacity(state: HoleState, name: str) -> float:
    (found,) = (r for r in records_of(state) if r.name == name)
    assert found.capacity is not None
    return float(found.capacity)


def count_tests(state: HoleState, one: float) -> int:
    return round(sum(float(t) for t in state.times if t.name == "test the preventer") / one)


# -- preventer tests ------------------------------------------------------------------------


def test_no_preventer_goes_longer_than_its_interval_without_a_test(example_walk: Walk) -> None:
    """At the end of every step on the riser the last test is no older than the interval.

    A step's own tests lengthen it, so by at most their time.
    """
    handling = example_walk.hole.vessel.handling
    for state in example_walk.states:
        if state.riser is None:
            assert state.last_preventer_test is None
            continue
        assert state.last_preventer_test is not None
        slack = (
            2.0 * count_tests(state, handling.preventer_test_time) * handling.preventer_test_time
        )
        age = state.elapsed - state.last_preventer_test
        assert 0.0 <= age <= handling.preventer_test_interval + slack, state.step.name


def test_tests_are_as_many_as_intervals_on_the_riser(main_walk: Walk) -> None:
    """Steps are shorter than the interval; counted within each of them there would be none."""
    hole = main_walk.hole
    handling = hole.vessel.handling
    steps = by_step(main_walk.states)
    begun, ended = steps["run-riser"].elapsed, steps["plug"].elapsed
    on = [s for s in main_walk.states if begun < s.elapsed <= ended]
    assert all(float(s.duration) < handling.preventer_test_interval for s in on)  # type: ignore[arg-type]
    counted = sum(count_tests(s, handling.preventer_test_time) for s in on)
    assert counted == floor((ended - begun) / handling.preventer_test_interval)
    assert counted >= 3


def test_waiting_on_the_riser_brings_tests_due(main_hole: Hole) -> None:
    states = edited(
        main_hole, insert_after="run-riser", insert="wait", name="storm", duration="30 d"
    )
    storm = by_step(states)["storm"]
    assert float(storm.duration) == 30 * DAY  # type: ignore[arg-type]
    assert count_tests(storm, main_hole.vessel.handling.preventer_test_time) == 2


def test_a_longer_interval_means_no_more_tests(main_hole: Hole) -> None:
    rare = changed(main_hole, "vessel/handling/preventer_test_interval", 365 * DAY)
    assert all(
        t.name != "test the preventer"
        for state in walk_hole(rare)
        for t in state.times
        if state.step.name != "run-riser"
    )


# -- the conductor --------------------------------------------------------------------------


def test_set_up_begins_when_jetting_ends(main_walk: Walk) -> None:
    steps = by_step(main_walk.states)
    state = steps["set-conductor"]
    soak = state.hole.plan.conductor.set_up_wait
    assert state.elapsed - state.conductor_set_at == pytest.approx(soak)
    assert state.conductor_set_at > steps["run-conductor"].elapsed
    assert all(s.conductor_set_at == state.conductor_set_at for s in main_walk.states[3:])


def test_waiting_before_jetting_gives_the_soil_no_time(main_hole: Hole) -> None:
    plain = by_step(walk_hole(main_hole))
    late = by_step(
        edited(main_hole, insert_after="hold-station", insert="wait", name="storm", duration="30 d")
    )
    for step, name in (
        ("set-conductor", "bears-itself"),
        ("run-casing-20", "conductor-bears-casing"),
    ):
        assert capacity(late[step], name) == pytest.approx(capacity(plain[step], name), rel=1e-12)


def test_waiting_after_jetting_does(main_hole: Hole) -> None:
    plain = by_step(walk_hole(main_hole))
    waited = by_step(
        edited(
            main_hole,
            insert_after="release-conductor",
            insert="wait",
            name="storm",
            duration="30 d",
        )
    )
    name = "conductor-bears-casing"
    assert capacity(waited["run-casing-20"], name) > capacity(plain["run-casing-20"], name)


def test_a_soak_cut_short_bears_less(main_hole: Hole) -> None:
    """A fixed duration shorter than the soak leaves the soil no more than that."""
    plain = by_step(walk_hole(main_hole))["set-conductor"]
    short = by_step(edited(main_hole, step="set-conductor", duration="2 h"))["set-conductor"]
    assert capacity(short, "bears-itself") < capacity(plain, "bears-itself")


# -- fixed durations ------------------------------------------------------------------------


@pytest.mark.parametrize("step", ["drill-top-hole", "drill-section-1214", "cement-casing-20"])
def test_a_fixed_duration_changes_the_clock_and_nothing_pumped(main_hole: Hole, step: str) -> None:
    plain = walk_hole(main_hole)
    fixed = edited(main_hole, step=step, duration="1 h")
    assert float(by_step(fixed)[step].duration) == 3600.0  # type: ignore[arg-type]
    assert by_step(fixed)[step].consumed == by_step(plain)[step].consumed
    assert [t.name for t in by_step(fixed)[step].times] == [
        t.name for t in by_step(plain)[step].times if t.name != "test the preventer"
    ]
    assert fixed[-1].consumed == plain[-1].consumed


def test_all_durations_so_far_are_kept(example_walk: Walk) -> None:
    for before, after in pairwise(example_walk.states):
        assert after.durations[:-1] == before.durations
        assert after.durations[-1].name == after.step.name
        assert sum(float(d) for d in after.durations) == pytest.approx(after.elapsed)
