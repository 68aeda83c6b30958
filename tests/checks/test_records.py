"""Every record of every example: what is shown is what was computed."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import asdict

import numpy as np
import pytest

from bathybore.base.nomenclature import nomenclature
from bathybore.base.sources import bibliography
from bathybore.base.working import Default, FromTable, Given, Solved, Value, Working
from bathybore.checks.ledger import records_of
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.studies import studies_of
from bathybore.operations.steps import StepKind
from bathybore.usecases.explaining import WorkingNote, explain, find
from bathybore.usecases.walking import Walk

PASSES = (Status.HOLDS, Status.TIGHT)


@pytest.fixture(scope="module")
def records(example_walk: Walk) -> tuple[CheckRecord, ...]:
    assert len(example_walk.records) > 50
    return example_walk.records


def behind(record: CheckRecord) -> Iterator[Value]:
    """Yield demand, capacity and every value behind them, each once."""
    seen: set[int] = set()
    waiting = [v for v in (record.demand, record.capacity) if v is not None]
    while waiting:
        value = waiting.pop()
        if id(value) not in seen:
            seen.add(id(value))
            yield value
            if isinstance(value.origin, Working | Solved):
                waiting.extend(value.origin.inputs)


def test_ids_are_unique(records: tuple[CheckRecord, ...]) -> None:
    ids = [record.id for record in records]
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[a-z0-9-]+/[a-z0-9-]+", one) for one in ids)


def test_every_working_gives_its_shown_result_from_its_shown_inputs(
    records: tuple[CheckRecord, ...],
) -> None:
    """At the worst node, after everything was cut down to it: explain cannot disagree."""
    count = 0
    for record in records:
        for value in behind(record):
            if isinstance(value.origin, Working):
                working = value.origin
                got = working.equation.function(**{v.name: v.si for v in working.inputs})
                where = f"{record.id}: {working.equation.name}"
                assert np.size(got) == np.size(value.si), where
                np.testing.assert_allclose(
                    np.ravel(got), np.ravel(value.si), rtol=1e-9, err_msg=where
                )
                count += 1
    assert count > 500


def test_what_calls_itself_a_sum_is_the_sum(records: tuple[CheckRecord, ...]) -> None:
    count = 0
    for record in records:
        for value in behind(record):
            origin = value.origin
            if isinstance(origin, Solved) and origin.problem.startswith(("sum of ", "sum over ")):
                total = sum(float(np.sum(one.si)) for one in origin.inputs)
                assert float(value) == pytest.approx(total, rel=1e-9), record.id
                count += 1
    assert count > 10


def test_inputs_carry_the_units_of_their_equation(records: tuple[CheckRecord, ...]) -> None:
    for record in records:
        for value in behind(record):
            if isinstance(value.origin, Working):
                declared = {q.name: q.unit for q in value.origin.equation.parameters}
                given = {v.name: v.unit for v in value.origin.inputs}
                assert given == declared, f"{record.id}: {value.origin.equation.name}"
            term = nomenclature().get(value.name)
            if term is not None:
                assert term.unit == value.unit, f"{record.id}: {value.name}"


def test_demand_and_capacity_are_numbers_of_one_unit(records: tuple[CheckRecord, ...]) -> None:
    for record in records:
        assert (record.demand is None) == (record.capacity is None) == (record.margin is None)
        if record.demand is not None and record.capacity is not None:
            assert record.demand.unit == record.capacity.unit, record.id
            for value in (record.demand, record.capacity):
                assert np.ndim(value.si) == 0, record.id
                assert np.isfinite(float(value)), record.id
                assert value.depth_axis is None, record.id


def test_the_margin_is_that_of_the_numbers_shown(records: tuple[CheckRecord, ...]) -> None:
    for record in records:
        if record.demand is None or record.capacity is None or float(record.capacity) == 0.0:
            continue
        # a share of a temperature is one of degrees Celsius
        zero = 273.15 if record.capacity.unit == "K" else 0.0
        left = float(record.capacity) - float(record.demand)
        margin = left / abs(float(record.capacity) - zero)
        assert record.margin == pytest.approx(margin, abs=1e-12), record.id


def test_no_pass_has_less_than_is_asked(records: tuple[CheckRecord, ...]) -> None:
    """Two verdicts are told in words and not by the numbers: each says so in its caution."""
    for record in records:
        if record.status in PASSES and record.margin is not None and record.margin < -1e-9:
            assert record.name in ("riser-margin", "barriers"), record.id
            assert record.status is Status.TIGHT, record.id
            assert record.caution, record.id


def test_a_pass_is_within_validity(records: tuple[CheckRecord, ...]) -> None:
    for record in records:
        if record.status in PASSES:
            for value in (record.demand, record.capacity):
                assert value is not None, record.id
                assert not value.outside_validity(), record.id


def test_what_does_not_pass_says_why(records: tuple[CheckRecord, ...]) -> None:
    for record in records:
        if record.status in (Status.NOT_JUDGED, Status.OUTSIDE_VALIDITY):
            assert record.reason, record.id
        if record.status is Status.FAILS:
            assert record.remedy, record.id


def test_every_source_is_known(records: tuple[CheckRecord, ...]) -> None:
    for record in records:
        for value in behind(record):
            origin = value.origin
            if isinstance(origin, Working):
                assert origin.equation.source_key in bibliography(), record.id
            elif isinstance(origin, Solved | Default | FromTable):
                assert origin.source_key in bibliography(), f"{record.id}: {origin.source_key}"


def test_what_the_user_gave_names_file_and_key(records: tuple[CheckRecord, ...]) -> None:
    found = 0
    for record in records:
        for value in behind(record):
            if isinstance(value.origin, Given):
                assert value.origin.file, f"{record.id}: {value.name}"
                assert value.origin.key, f"{record.id}: {value.name}"
                found += 1
    assert found > 100


def sentences(text: str) -> list[str]:
    return [one for one in re.split(r"(?<=[.?])\s+(?=[A-Z0-9])", text) if one]


def test_questions_and_cautions_are_sentences(records: tuple[CheckRecord, ...]) -> None:
    for record in records:
        assert record.question[0].isupper(), record.id
        assert record.question.endswith("?"), record.id
        assert "  " not in record.question, record.id
        assert record.remedy == "" or record.remedy.endswith("."), record.id
        for text in (record.caution, record.note):
            for sentence in sentences(text):
                assert sentence.endswith("."), f"{record.id}: {sentence}"


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_every_record_can_be_opened(records: tuple[CheckRecord, ...], system: str) -> None:
    for record in records:
        opened = explain(find(records, record.id), system)  # type: ignore[arg-type]
        json.dumps(asdict(opened), allow_nan=False)
        assert opened.id == record.id
        assert opened.verdict == str(record.status)
        assert opened.reason or (record.demand is not None and record.capacity is not None)
        assert all(one.source and one.where for one in opened.steps if isinstance(one, WorkingNote))
        if record.demand is not None:
            assert opened.demand is not None
            assert opened.demand.text
            assert opened.demand.si == float(record.demand)
            noted = [note.result.si for note in opened.steps]
            worked = isinstance(record.demand.origin, Working | Solved)
            assert not worked or any(_same(one, float(record.demand)) for one in noted)


def _same(shown: object, number: float) -> bool:
    return isinstance(shown, float) and shown == pytest.approx(number, rel=1e-12)


def test_asking_again_gives_the_same(example_walk: Walk) -> None:
    """Checks read a state and nothing else."""
    state = next(s for s in example_walk.states if s.step.kind is StepKind.DRILL)
    again = (*records_of(state), *studies_of(state))
    before = example_walk.records_at(state.step.name)
    assert [(r.id, r.margin, r.status) for r in again] == [
        (r.id, r.margin, r.status) for r in before
    ]


def test_every_step_of_work_is_asked_something(example_walk: Walk) -> None:
    silent = (StepKind.WAIT, StepKind.RELEASE, StepKind.TEST_SHOE)
    for state in example_walk.states:
        if state.step.kind not in silent:
            assert example_walk.records_at(state.step.name), state.step.name
