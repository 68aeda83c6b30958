"""Which questions are asked of which step."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from bathybore.base.errors import NotConverged
from bathybore.checks.by_hand import ASKED_BY_HAND
from bathybore.checks.cement import cement_checks
from bathybore.checks.closed_annulus import closed_annulus_checks
from bathybore.checks.core import core_checks
from bathybore.checks.downhole_tools import downhole_tool_checks
from bathybore.checks.fit import (
    bit_fit_checks,
    casing_fit_checks,
    contingency_checks,
    string_fit_checks,
)
from bathybore.checks.flow import flow_checks
from bathybore.checks.pressure_rating import planned_test_checks
from bathybore.checks.record import CheckRecord, Discipline, Question, unjudged
from bathybore.checks.riser import retrieving_checks, riser_checks
from bathybore.checks.soil import conductor_checks, first_casing_checks
from bathybore.checks.station import holding_checks, station_checks
from bathybore.checks.steel import (
    bit_weight_checks,
    casing_strength_checks,
    running_checks,
    string_checks,
)
from bathybore.checks.stores import stores_checks, time_checks
from bathybore.checks.string_in_hole import string_in_hole_checks
from bathybore.checks.survey import survey_checks
from bathybore.checks.trips import casing_surge_checks, trip_checks
from bathybore.checks.well_control import (
    barrier_checks,
    kick_checks,
    plug_checks,
    shallow_checks,
)
from bathybore.checks.window import shoe_test_checks, window_checks
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

Asker = Callable[[HoleState], Iterator[CheckRecord]]

_DRILLING: tuple[Asker, ...] = (
    bit_fit_checks,
    string_fit_checks,
    window_checks,
    trip_checks,
    shallow_checks,
    kick_checks,
    flow_checks,
    downhole_tool_checks,
    string_checks,
    bit_weight_checks,
    string_in_hole_checks,
    survey_checks,
)

_ASKED: dict[StepKind, tuple[Asker, ...]] = {
    StepKind.HOLD_STATION: (station_checks, contingency_checks),
    StepKind.RUN_CONDUCTOR: (string_checks,),
    StepKind.SET_CONDUCTOR: (conductor_checks,),
    StepKind.DRILL: _DRILLING,
    StepKind.CORE: (*_DRILLING, core_checks),
    StepKind.RUN_CASING: (
        casing_fit_checks,
        casing_surge_checks,
        running_checks,
        first_casing_checks,
    ),
    StepKind.CEMENT: (
        cement_checks,
        casing_strength_checks,
        planned_test_checks,
        closed_annulus_checks,
    ),
    StepKind.RUN_RISER: (holding_checks, riser_checks),
    StepKind.TEST_SHOE: (shoe_test_checks,),
    StepKind.PLUG: (string_fit_checks, string_checks, plug_checks),
    StepKind.RETRIEVE_RISER: (retrieving_checks,),
    StepKind.DEPART: (time_checks,),
    **ASKED_BY_HAND,
}
# Asked of every step; each says itself whether it has anything to judge.
_ALWAYS: tuple[Asker, ...] = (stores_checks, barrier_checks)


def askers_of(kind: StepKind) -> tuple[Asker, ...]:
    """Return who asks questions of a kind of step, in their order."""
    return (*_ASKED.get(kind, ()), *_ALWAYS)


def records_of(state: HoleState) -> tuple[CheckRecord, ...]:
    """Return every verdict on a state, in the order the questions are asked."""
    records = list[CheckRecord]()
    for ask in askers_of(state.step.kind):
        records.extend(answers(ask, state))
    return tuple(records)


def answers(ask: Asker, state: HoleState) -> Iterator[CheckRecord]:
    """Yield one asker's records; a solver that gives up leaves a record that says so.

    The other questions are still asked: the ledger never ends at one solver.
    """
    try:
        yield from ask(state)
    except NotConverged as error:
        name = ask.__name__.replace("_", "-")
        question = Question(
            f"{name}-solver",
            Discipline.METHOD,
            f"Could everything that {name.replace('-', ' ')} asks be worked out?",
            "Look for an input far outside the usual; report it if there is none.",
        )
        yield unjudged(state.step.name, question, f"a solver did not converge: {error}")
