"""What is asked of the steps that the user inserts, in the hole as it stands there.

The questions are those of drilling, as far as they have a meaning: rock and window only where
a hole is open, cuttings only where one was drilled. Circulating is judged with the cuttings of
the last metre still on their way, as at the end of drilling: its heaviest moment.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final, TypeAlias

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Value
from bathybore.checks.downhole_tools import GREATEST, downhole_tool_checks
from bathybore.checks.fit import string_fit_checks
from bathybore.checks.flow import flow_checks, heat_check, pumping_checks
from bathybore.checks.flow_window import flow_window_studies
from bathybore.checks.gelled_mud import gel_studies
from bathybore.checks.heave_in_slips import heave_studies
from bathybore.checks.operability import weather_studies
from bathybore.checks.pressure_rating import rating_check
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.checks.steel import case_checks, string_checks
from bathybore.checks.string_in_hole import string_in_hole_checks
from bathybore.checks.trips import trip_checks, trip_studies
from bathybore.checks.warm_window import warm_window_studies
from bathybore.checks.window import HIGH, window_checks
from bathybore.operations.by_hand import is_open, test_pressure_of
from bathybore.operations.casing_loads import placement, tested_in
from bathybore.operations.circulation import Circulation, of_drilling, string_fits
from bathybore.operations.cuttings_carried import cleaned_by
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

_Asker: TypeAlias = Callable[[HoleState], Iterator[CheckRecord]]

CLEAN = Question(
    "circulated-clean",
    Discipline.FLOW,
    "Is it circulated long enough to bring the last cuttings out, by the slowest law of slip?",
    "Circulate longer, more flow or booster, a sweep.",
    "Hole near the vertical: where it leans, beds form that none of these laws lifts.",
)


def circulating_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge window and trips where rock is open, pumps, cleaning and heat."""
    if not is_open(state):
        yield from pumping_checks(state)
        return
    yield from window_checks(state)
    yield from trip_checks(state)
    yield from flow_checks(state)


def clean_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge a time of circulating that was told; until clean, nothing is left to judge."""
    told, fixed = state.step.inserted, state.step.fixed_duration
    if told is None or not is_open(state) or not string_fits(state):
        return
    pumped = next(part for part in state.times if part.name == "circulate")
    if fixed is not None and float(fixed) < float(pumped):
        pumped = fixed  # the whole step is over before
    elif told.duration is None and told.bottoms_up is None:
        return
    yield _clean(state.step.name, of_drilling(state), pumped)


@kept(SOME)
def _clean(step: str, flow: Circulation, pumped: Value) -> CheckRecord:
    slowest, band = cleaned_by(flow), flow.setting.basis.tight_band
    note = f"By {slowest.law}; cleaned by {slowest.fluid}."
    return judge(step, CLEAN, slowest.time, pumped.named("time_to_clean"), band, note=note)


def bearing_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge whether the tools bear the flow: while nothing is drilled they need not work."""
    yield from (one for one in downhole_tool_checks(state) if one.name == GREATEST.name)


def resting_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the open hole while tools are run on a wire: the mud at rest, and the warmth."""
    # nothing is pumped: what the rock bears of it is no question here
    yield from (record for record in window_checks(state) if record.name != HIGH.name)
    yield heat_check(state)


def casing_test_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the casing that is pressed on, in the mud that stands in it now."""
    casing = state.activity.casing
    if casing is None:
        return
    job, mud = placement(state, casing), state.layers[-1]
    applied, on_riser = test_pressure_of(state), state.riser is not None
    case = tested_in(job, applied, mud.name, mud.fluid, on_riser)
    yield from case_checks(state.step.name, job, case)
    yield rating_check(state, applied, mud.fluid, on_riser)


def _where_open(ask: _Asker) -> _Asker:
    """Return who asks the same, but of an open hole only."""

    def asked(state: HoleState) -> Iterator[CheckRecord]:
        if is_open(state):
            yield from ask(state)

    asked.__name__ = ask.__name__  # a solver that gives up is told by it
    return asked


ASKED_BY_HAND: Final[dict[StepKind, tuple[_Asker, ...]]] = {
    StepKind.CIRCULATE: (
        string_fit_checks,
        circulating_checks,
        bearing_checks,
        clean_checks,
        string_checks,
    ),
    StepKind.WIPER_TRIP: (
        string_fit_checks,
        window_checks,
        trip_checks,
        string_checks,
        string_in_hole_checks,
    ),
    StepKind.LOG: (resting_checks,),
    StepKind.TEST_CASING: (casing_test_checks,),
}
STUDIED_BY_HAND: Final[dict[StepKind, tuple[_Asker, ...]]] = {
    StepKind.CIRCULATE: (
        _where_open(flow_window_studies),
        _where_open(warm_window_studies),
        _where_open(gel_studies),
        weather_studies,
    ),
    StepKind.WIPER_TRIP: (trip_studies, heave_studies, gel_studies, weather_studies),
    StepKind.LOG: (weather_studies,),
    StepKind.TEST_PREVENTER: (weather_studies,),
    StepKind.TEST_CASING: (weather_studies,),
}
