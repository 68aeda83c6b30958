"""The walk: the same every time, one immutable state after another, nothing lost on the way."""

from __future__ import annotations

import dataclasses
import json
from dataclasses import asdict
from itertools import pairwise

import numpy as np
import pytest

from bathybore.operations.advance import advance, initial_state
from bathybore.operations.geometry import bores
from bathybore.operations.state import Consumed, HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import walk_hole
from bathybore.usecases.explaining import explain
from bathybore.usecases.walking import Walk, walk
from varied import EXAMPLES, by_step, opened


@pytest.fixture(scope="module")
def states(example_walk: Walk) -> tuple[HoleState, ...]:
    return example_walk.states


def test_two_walks_are_equal_in_every_number(main_walk: Walk) -> None:
    again = walk_hole(main_walk.hole)
    for first, second in zip(main_walk.states, again, strict=True):
        assert dict(opened(first)) == dict(opened(second))


def test_a_hole_loaded_twice_gives_the_same_verdicts_to_the_last_digit(main_walk: Walk) -> None:
    again = walk(EXAMPLES / "main")
    both = list(zip(main_walk.records, again.records, strict=True))
    for first, second in both:
        assert first.id == second.id
        assert repr(first.margin) == repr(second.margin), first.id
    for first, second in both[::4]:  # with all that is behind them
        texts = [json.dumps(asdict(explain(record))) for record in (first, second)]
        assert texts[0] == texts[1], first.id


def test_a_step_leaves_the_state_before_it_alone(states: tuple[HoleState, ...]) -> None:
    for before, after in pairwise((initial_state(states[0].hole), *states)):
        kept = dict(opened(before))
        advance(before, after.step)
        assert dict(opened(before)) == kept


def test_states_cannot_be_written_to(states: tuple[HoleState, ...]) -> None:
    for state in states:
        for field in dataclasses.fields(state):
            with pytest.raises(dataclasses.FrozenInstanceError):
                setattr(state, field.name, None)


def test_a_walk_can_be_taken_up_anywhere(states: tuple[HoleState, ...]) -> None:
    # walked just now: which values are one object hangs on what is still kept
    states = walk_hole(states[0].hole)
    middle = len(states) // 2
    state = states[middle]
    for expected in states[middle + 1 :]:
        state = advance(state, expected.step)
    assert dict(opened(state)) == dict(opened(states[-1]))


def test_elapsed_time_is_the_sum_of_durations(states: tuple[HoleState, ...]) -> None:
    total = 0.0
    for state in states:
        assert state.duration is not None
        assert np.isfinite(float(state.duration))
        assert float(state.duration) >= 0.0
        total += float(state.duration)
        assert state.elapsed == pytest.approx(total, rel=1e-12)


def test_a_duration_is_its_parts_with_trouble_and_weather(states: tuple[HoleState, ...]) -> None:
    for state in states:
        hole = state.hole
        if state.step.fixed_duration is not None or not state.times:
            continue
        net = sum(float(part) for part in state.times)
        share = 1.0 - hole.site.environment.share_of_time_exceeded
        assert float(state.duration) == pytest.approx(net * hole.basis.trouble_factor / share)  # type: ignore[arg-type]


def test_no_part_of_a_duration_is_negative(states: tuple[HoleState, ...]) -> None:
    for state in states:
        for part in state.times:
            assert part.unit == "s"
            assert float(part) >= 0.0, f"{state.step.name}: {part.name}"


def test_consumption_never_decreases(states: tuple[HoleState, ...]) -> None:
    names = [field.name for field in dataclasses.fields(Consumed)]
    for before, after in pairwise((initial_state(states[0].hole), *states)):
        for name in names:
            assert getattr(after.consumed, name) >= getattr(before.consumed, name) - 1e-9


def test_the_hole_never_gets_shallower(states: tuple[HoleState, ...]) -> None:
    for before, after in pairwise(states):
        assert after.bottom >= before.bottom
    assert states[-1].bottom == pytest.approx(
        states[-1].hole.z(states[-1].hole.plan.target), abs=1e-6
    )


def test_walls_cover_the_hole_once_from_the_top_to_the_bottom(
    states: tuple[HoleState, ...],
) -> None:
    for state in states:
        walls = bores(state)
        if state.bottom <= state.hole.sea_bed:
            assert not walls
            continue
        top = state.hole.flow_line if state.riser is not None else state.hole.sea_bed
        assert walls[0].top == pytest.approx(top)
        assert walls[-1].bottom == pytest.approx(state.bottom)
        for upper, lower in pairwise(walls):
            assert lower.top == pytest.approx(upper.bottom), state.step.name
        assert all(wall.bottom > wall.top and wall.diameter > 0.0 for wall in walls)


def test_casing_and_open_hole_do_not_overlap(states: tuple[HoleState, ...]) -> None:
    for state in states:
        for piece in state.open_hole:
            assert piece.bottom > piece.top
            assert piece.bottom <= state.bottom + 1e-6
            assert piece.top >= state.deepest_shoe - 1e-6, state.step.name
        for upper, lower in pairwise(state.open_hole):
            assert lower.top >= upper.bottom - 1e-6


def test_each_shoe_is_below_the_one_before(states: tuple[HoleState, ...]) -> None:
    for state in states:
        for outer, inner in pairwise(state.casings):
            assert inner.shoe > outer.shoe
            assert inner.top < outer.shoe, "a liner hangs inside the casing before it"
            assert float(inner.pipe.outside_diameter) < float(outer.pipe.inside_diameter)


def test_fluids_cover_the_hole_once(states: tuple[HoleState, ...]) -> None:
    for state in states:
        if not state.layers:
            assert state.bottom <= state.hole.sea_bed
            continue
        top = state.hole.flow_line if state.riser is not None else state.hole.sea_bed
        assert state.layers[0].top == pytest.approx(top), state.step.name
        assert state.layers[-1].bottom == pytest.approx(state.bottom), state.step.name
        for upper, lower in pairwise(state.layers):
            assert lower.top == pytest.approx(upper.bottom)
        assert all(layer.bottom >= layer.top for layer in state.layers)


def test_the_riser_goes_on_once_and_comes_off_once(states: tuple[HoleState, ...]) -> None:
    on = [state.riser is not None for state in states]
    changes = sum(a != b for a, b in pairwise([False, *on]))
    assert changes in (0, 2)


def test_nothing_ties_the_vessel_once_it_has_left(states: tuple[HoleState, ...]) -> None:
    last = states[-1]
    assert last.step.kind is StepKind.DEPART
    assert last.riser is None
    assert last.string is None
    assert last.hanging_casing is None


def test_cement_stands_between_hanger_and_shoe(states: tuple[HoleState, ...]) -> None:
    for casing in states[-1].casings:
        if casing.cement_top is not None:
            assert casing.top - 1e-6 <= casing.cement_top < casing.shoe


def test_plugs_stand_in_the_hole(states: tuple[HoleState, ...]) -> None:
    last = states[-1]
    assert last.plugs
    for plug in last.plugs:
        assert last.hole.sea_bed <= plug.top < plug.bottom <= last.bottom


def test_the_core_is_as_long_as_the_interval(states: tuple[HoleState, ...]) -> None:
    plan, hole = states[-1].hole.plan, states[-1].hole
    expected = 0.0
    if plan.coring is not None:
        expected = hole.z(plan.coring.bottom) - hole.z(plan.coring.top)
    assert states[-1].cored == pytest.approx(expected)


def test_barriers_are_named_once(states: tuple[HoleState, ...]) -> None:
    for state in states:
        names = [barrier.name for barrier in state.barriers]
        assert len(names) == len(set(names))
        assert all(barrier.kind in ("fluid", "mechanical") for barrier in state.barriers)


def test_a_shoe_is_drilled_out_before_there_is_hole_below(main_walk: Walk) -> None:
    steps = by_step(main_walk.states)
    assert not steps["cement-casing-20"].casings[-1].drilled_out
    assert steps["drill-section-1712"].casings[-1].drilled_out
    assert steps["test-casing-20"].casings[-1].tested
