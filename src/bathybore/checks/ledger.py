"""Which questions are asked of which step."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from bathybore.checks.record import CheckRecord
from bathybore.checks.station import station_checks
from bathybore.checks.window import window_checks
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

Asker = Callable[[HoleState], Iterator[CheckRecord]]

_ASKED: dict[StepKind, tuple[Asker, ...]] = {
    StepKind.HOLD_STATION: (station_checks,),
    StepKind.DRILL: (window_checks,),
    StepKind.CORE: (window_checks,),
}


def records_of(state: HoleState) -> tuple[CheckRecord, ...]:
    """Return every verdict on a state, in the order the questions are asked."""
    return tuple(record for ask in _ASKED.get(state.step.kind, ()) for record in ask(state))
