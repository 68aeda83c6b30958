"""Is the hole clean before the string is pulled, whichever law of slip is right?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.operations.circulation import Circulation, of_drilling, string_fits
from bathybore.operations.cuttings_carried import (
    bottoms_up,
    carried_by_every_law,
    carried_by_water,
    cleaned_by,
)
from bathybore.operations.state import HoleState

CLEAN = Question(
    "time-to-clean",
    Discipline.FLOW,
    "Do the bottoms-up volumes pumped before a trip bring the last cuttings out, by the slowest "
    "law of slip?",
    "Circulate longer, more flow or booster, a sweep before the trip.",
    "Hole near the vertical: where it leans, beds form that none of these laws lifts.",
)


def cuttings_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the cleaning of the hole at the deepest point of a drilling or coring step."""
    if string_fits(state):
        yield _clean(state.step.name, of_drilling(state))


@kept(SOME)
def _clean(step: str, flow: Circulation) -> CheckRecord:
    slowest, basis = cleaned_by(flow), flow.setting.basis
    count = basis.value("bottoms_up_before_trip")
    once = bottoms_up(flow)
    capacity = Value(
        "time_to_clean",
        float(count) * float(once),
        "s",
        Solved("bottoms-up times pumped before a trip", "common-practice", (count, once)),
    )
    return judge(step, CLEAN, slowest.time, capacity, basis.tight_band, note=spread(flow))


def spread(flow: Circulation) -> str:
    """Say how far the laws lie apart, and what sea water would do at the same flow."""
    laws, water = carried_by_every_law(flow), carried_by_water(flow)
    low, high = (pick(laws, key=lambda one: one.least_ratio) for pick in (min, max))
    told = (
        f"Cleaned by {cleaned_by(flow).fluid}. Least transport ratio from {low.least_ratio:.2f} "
        f"({low.law}) to {high.least_ratio:.2f} ({high.law})"
    )
    if water.least_ratio > 0.0:
        return f"{told}; sea water at the same flow {water.least_ratio:.2f}."
    return f"{told}; in sea water at the same flow cuttings would not rise everywhere."
