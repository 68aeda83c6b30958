"""A solver that gives up costs one verdict, not the ledger."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from bathybore.base.errors import NotConverged
from bathybore.checks import ledger
from bathybore.checks.record import CheckRecord, Status
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.usecases.walking import Walk


def _gives_up(state: HoleState) -> Iterator[CheckRecord]:
    raise NotConverged("no root between the bounds")
    yield


def test_the_other_questions_are_still_asked(
    main_walk: Walk, monkeypatch: pytest.MonkeyPatch
) -> None:
    state = next(s for s in main_walk.states if s.step.kind is StepKind.DRILL)
    whole = ledger.records_of(state)
    asked = (_gives_up, *ledger._ASKED[StepKind.DRILL])
    monkeypatch.setitem(ledger._ASKED, StepKind.DRILL, asked)
    first, *rest = ledger.records_of(state)
    assert first.status is Status.NOT_JUDGED
    assert "no root between the bounds" in first.reason
    assert [record.id for record in rest] == [record.id for record in whole]
