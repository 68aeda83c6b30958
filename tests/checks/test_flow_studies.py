"""The studies of flow and heat of every example: what is shown is what was computed."""

from __future__ import annotations

import re

import numpy as np
import pytest

from bathybore.base.working import Solved, Value, Working
from bathybore.checks.record import CheckRecord, Status
from bathybore.usecases.explaining import explain
from bathybore.usecases.walking import Walk

NAMES = (
    "flow-window-low",
    "flow-window-high",
    "circulating-window",
    "circulating-temperature",
    "mud-temperature",
)


@pytest.fixture(scope="module")
def records(example_walk: Walk) -> tuple[CheckRecord, ...]:
    found = tuple(record for record in example_walk.records if record.name in NAMES)
    assert len(found) >= 12
    return found


def behind(record: CheckRecord) -> list[Value]:
    seen: dict[int, Value] = {}
    waiting = [v for v in (record.demand, record.capacity) if v is not None]
    while waiting:
        value = waiting.pop()
        if id(value) not in seen:
            seen[id(value)] = value
            if isinstance(value.origin, Working | Solved):
                waiting.extend(value.origin.inputs)
    return list(seen.values())


def test_every_working_gives_its_result(records: tuple[CheckRecord, ...]) -> None:
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
    assert count > 30


def test_they_are_judged_and_say_what_they_ask(records: tuple[CheckRecord, ...]) -> None:
    for record in records:
        assert record.status in (Status.HOLDS, Status.TIGHT), record.id
        assert record.question.endswith("?")
        assert record.remedy.endswith(".")
        for text in (record.caution, record.note):
            assert text == "" or text.endswith("."), record.id
        opened = explain(record, "oilfield")
        assert opened.steps, record.id
        assert re.search(r"\d", opened.demand.text if opened.demand else "")


def test_solvers_tell_how_well_they_closed(records: tuple[CheckRecord, ...]) -> None:
    for record in records:
        if record.name.startswith("flow-window"):
            edge = record.demand if record.name.endswith("low") else record.capacity
            assert edge is not None
            assert isinstance(edge.origin, Solved)
            assert edge.origin.residual == 1e-3
