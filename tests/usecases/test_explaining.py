"""What an explanation must be: complete, in order, each working once, and plain data."""

from __future__ import annotations

import json
import re
from dataclasses import asdict, replace

import pytest
from made_walk import burst, column, given, pressure, question, records

from bathybore.base.depth import Datum, Depth
from bathybore.base.errors import InputErrors
from bathybore.base.working import Value, work
from bathybore.checks.record import CheckRecord, judge
from bathybore.kernels.segments import circulating_pressure
from bathybore.kernels.tubular_strength import required_capacity
from bathybore.usecases.explaining import Explanation, SolutionNote, WorkingNote, explain, find

ALL = {record.id: record for record in records()}


def opened(id_: str) -> Explanation:
    return explain(ALL[id_])


@pytest.mark.parametrize("record", ALL.values(), ids=list(ALL))
def test_inputs_are_worked_out_before_they_are_used(record: CheckRecord) -> None:
    explanation = explain(record)
    assert [note.number for note in explanation.steps] == (
        list(range(1, len(explanation.steps) + 1))
    )
    for note in explanation.steps:
        for value in note.inputs:
            if match := re.fullmatch(r"from working (\d+)", value.origin):
                assert int(match[1]) < note.number


@pytest.mark.parametrize("record", ALL.values(), ids=list(ALL))
def test_it_is_plain_data(record: CheckRecord) -> None:
    json.dumps(asdict(explain(record)), allow_nan=False)


@pytest.mark.parametrize("record", ALL.values(), ids=list(ALL))
def test_every_number_has_an_origin_and_stands_in_the_formula(record: CheckRecord) -> None:
    for note in explain(record).steps:
        for value in note.inputs:
            assert value.origin
            if isinstance(note, WorkingNote):
                assert value.text in note.with_numbers


def test_every_evaluation_behind_the_verdict_is_there() -> None:
    for record in ALL.values():
        values = [v for v in (record.demand, record.capacity) if v is not None]
        used = {w.equation.name for value in values for w in value.workings()}
        noted = {n.equation for n in explain(record).steps if isinstance(n, WorkingNote)}
        assert noted == used


def test_origins_are_told_in_words() -> None:
    (note,) = opened("run-conductor/burst").steps
    origins = {value.name: value.origin for value in note.inputs}
    assert origins["wall"] == "plan.wall (hole.yaml, line 31)"
    assert origins["outside_diameter"].startswith("casing.csv: 13 3/8 [API Specification 5CT")
    assert origins["wall_tolerance"].startswith("default of internal_yield_pressure(wall_tol")
    assert "API TR 5C3" in origins["wall_tolerance"]
    explanation = opened("run-conductor/hook-load")
    assert explanation.demand is not None
    assert explanation.demand.origin == "from working 2"
    assert "Assumed by Bathybore" in explanation.steps[1].inputs[1].origin


def test_a_solution_tells_its_problem_and_what_was_left_over() -> None:
    (note,) = [n for n in opened("run-conductor/hook-load").steps if isinstance(n, SolutionNote)]
    assert note.problem == "the least tension T_t that keeps the string straight"
    assert note.residual == 2e-9
    assert [value.origin for value in note.inputs] == ["from working 1"]


def sum_of(static: Value, cuttings: Value) -> Value:
    return work(
        circulating_pressure,
        static_pressure=static.named("static_pressure"),
        cuttings_pressure=cuttings.named("cuttings_pressure"),
        friction_pressure=given("friction_pressure", 0.0, "Pa", 1),
    )


def test_a_working_used_twice_is_shown_once() -> None:
    shared = burst()
    again = burst()  # the same numbers from the same places, in other objects
    record = judge("s", question("q"), sum_of(shared, again), shared, 0.05)
    names = [n.equation for n in explain(record).steps if isinstance(n, WorkingNote)]
    assert names == ["internal_yield_pressure", "circulating_pressure"]


def test_workings_that_differ_in_a_line_of_the_file_are_both_shown() -> None:
    record = judge("s", question("q"), column(100.0, line=1), column(100.0, line=2), 0.05)
    assert len(explain(record).steps) == 2


def test_a_profile_is_explained_at_its_worst_node() -> None:
    explanation = opened("drill-surface/fracture")
    (note,) = [n for n in explanation.steps if getattr(n, "equation", "") == "hydrostatic_pressure"]
    heights = [value.si for value in note.inputs if value.name == "height"]
    assert heights == [2000.0]
    assert explanation.depth == "1\u202f600 m below sea bed"
    # rho g h with the standard acceleration of gravity
    assert note.result.si == pytest.approx(1200.0 * 9.80665 * 2000.0)


def test_left_validity_is_told_with_the_limit() -> None:
    explanation = opened("run-surface/burst-of-casing")
    assert explanation.verdict == "outside validity"
    assert "wall_tolerance outside" in explanation.reason
    (note,) = explanation.steps
    assert isinstance(note, WorkingNote)
    assert [limit.kept for limit in note.limits] == [False]
    assert note.outside
    assert "The connection has a rating of its own." in explanation.cautions


def test_what_was_not_judged_says_why() -> None:
    explanation = opened("drill-surface/losses")
    assert (explanation.demand, explanation.capacity, explanation.margin) == (None, None, None)
    assert explanation.reason == "no fracture pressure given"
    assert explanation.steps == ()


def test_units_are_those_of_the_reader() -> None:
    explanation = explain(ALL["run-conductor/burst"], "oilfield")
    assert explanation.demand is not None
    assert explanation.demand.text == "3\u202f321.4 psi"
    assert explanation.demand.si == 22.9e6
    deep = judge("s", question("q"), pressure(1e6), burst(), 0.05, Depth(304.8, Datum.DRILL_FLOOR))
    assert explain(deep, "oilfield").depth == "1\u202f000 ft below drill floor"


def test_a_chain_may_be_longer_than_the_call_stack() -> None:
    factor = given("design_factor", 1.0, "-", 1)
    value = given("load", 1000.0, "N", 2)
    for _ in range(3000):
        value = work(required_capacity, load=value.named("load"), design_factor=factor)
    record = replace(ALL["run-conductor/burst"], demand=value, capacity=value)
    assert len(explain(record).steps) == 3000


def test_a_diamond_of_shared_values_is_not_walked_twice_over() -> None:
    """Forty doublings have 2**40 paths; only forty workings."""
    value = given("static_pressure", 1.0, "Pa", 2)
    for _ in range(40):
        value = sum_of(value, value)
    record = replace(ALL["run-conductor/burst"], demand=value, capacity=value)
    assert len(explain(record).steps) == 40
    assert value.si == 2.0**40


def test_find_takes_the_id_or_a_name_that_only_one_step_has() -> None:
    assert find(ALL.values(), "run-surface/collapse").id == "run-surface/collapse"
    assert find(ALL.values(), "collapse").id == "run-surface/collapse"


def test_find_names_the_nearest() -> None:
    with pytest.raises(InputErrors, match="run-surface/collapse"):
        find(ALL.values(), "run-surface/colapse")
    with pytest.raises(InputErrors, match="lists them all"):
        find(ALL.values(), "zzzz")
    twice = [*ALL.values(), judge("later", question("collapse"), pressure(1.0), burst(), 0.05)]
    with pytest.raises(InputErrors, match=r"2 steps have.*later/collapse"):
        find(twice, "collapse")
