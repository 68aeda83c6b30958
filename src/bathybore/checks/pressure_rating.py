"""What preventer and wellhead are rated for, and what a test of a casing puts on them."""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.kernels.segments import pressure_under_test
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.casing_loads import placement, planned_test
from bathybore.operations.columns import column_top, pressure_under
from bathybore.operations.exposures import exposures
from bathybore.operations.state import HoleState

TEST_RATING = Question(
    "test-rating",
    Discipline.STEEL,
    "Are preventer and wellhead rated for the pressure inside them while the casing is tested?",
    "Press less, or equipment of higher rating.",
    "At the sea bed, the mud in the riser's length counted, the sea outside not: the safe side.",
)


def planned_test_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the test that is planned for the casing just cemented, in the mud it is tested in."""
    casing = state.activity.casing
    if casing is None or casing.cement_top is None:
        return
    test = planned_test(placement(state, casing), exposures(state.hole, casing))
    if test is not None:
        yield rating_check(state, test.applied, test.fluid, test.on_riser)


def rating_check(state: HoleState, applied: Value, fluid: Fluid, on_riser: bool) -> CheckRecord:
    """Judge the weaker of what is on the well: the wellhead, and with a riser the preventer."""
    preventer = state.hole.inventory.preventer
    rated = None
    if on_riser and preventer is not None:
        rated = preventer.value("pressure_rating", "wellhead_pressure")
    return _rating(state.step.name, state.hole.setting, applied, fluid, on_riser, rated)


@kept(SOME)
def _rating(
    step: str,
    setting: Setting,
    applied: Value,
    fluid: Fluid,
    on_riser: bool,
    preventer: Value | None,
) -> CheckRecord:
    start, top = column_top(setting, on_riser)
    inside = work(
        pressure_under_test,
        applied_pressure=applied,
        pressure=pressure_under(setting, fluid, top, start, float(setting.sea_bed)).named(
            "pressure"
        ),
    ).named("wellhead_pressure")
    least, note = least_rating(setting, preventer)
    place, band = setting.depth(setting.sea_bed), setting.basis.tight_band
    return judge(step, TEST_RATING, inside, least, band, place, note=f"{note}.")


def least_rating(setting: Setting, preventer: Value | None) -> tuple[Value, str]:
    """Return the weaker of wellhead and preventer, and words that say which."""
    wellhead = setting.inventory.wellhead.value("pressure_rating", "wellhead_pressure")
    if preventer is not None and float(preventer) <= float(wellhead):
        return preventer, "Least rating: the preventer's"
    return wellhead, "Least rating: the wellhead's"
