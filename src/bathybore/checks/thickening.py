"""Is every slurry in its place, time in hand, before it thickens?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Solved, Value
from bathybore.checks.cement_in_time import followed
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.model.plan import Casing, Slurry
from bathybore.operations.casing_loads import Placement, placement
from bathybore.operations.cement_in_time import cement_in_time, goes_round
from bathybore.operations.heat_profile import circulating_temperature
from bathybore.operations.state import HoleState

THICKENING = Question(
    "thickening-time",
    Discipline.CEMENT,
    "Is every slurry in its place, with time in hand, before it thickens?",
    "More retarder and a new test, a faster rate, less slurry, or two stages.",
    "A test after API RP 10B-2 counts for its own schedule of heat and pressure, its own water and "
    "its own batch of cement: samples of what is on board are tested before the job.",
)
# K; circulating temperatures are not known better than this (common practice)
_AS_WARM: Final = 3.0


def thickening_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Compare how long each slurry of a job is pumped with its tested thickening time."""
    casing = state.activity.casing
    if casing is None or not isinstance(casing.plan, Casing):
        return
    job, step = placement(state, casing), state.step.name
    if not goes_round(job):
        yield unjudged(step, THICKENING, "the casing does not fit; see casing-clearance")
        return
    yield _thickening(step, job, circulating_temperature(state, float(casing.shoe)))


@kept(SOME)
def _thickening(step: str, job: Placement, warm: Value) -> CheckRecord:
    pumped = cement_in_time(job).names
    slurries = {n: one for n, one in job.pumped if isinstance(one, Slurry) and n in pumped}
    reason = _untested(slurries, float(warm))
    if reason:
        return unjudged(step, THICKENING, reason)
    needed = {name: _needed(job, name) for name in slurries}
    given = {n: one.value("thickening_time", "duration") for n, one in slurries.items()}
    closest = max(slurries, key=lambda name: float(needed[name]) / float(given[name]))
    told = slurries[closest].thickening_test_temperature
    assert told is not None
    note = (
        f"{closest}, from the first of it mixed to the landing of the plug; tested at "
        f"{told - 273.15:.0f} °C, mud circulates at {float(warm) - 273.15:.0f} °C at the shoe."
    )
    band, place = job.setting.basis.tight_band, job.setting.depth(float(job.casing.shoe))
    return judge(step, THICKENING, needed[closest], given[closest], band, place, note=note)


def _untested(slurries: dict[str, Slurry], warm: float) -> str:
    """Return why a test does not count for the job; empty where all count."""
    missing = [name for name, one in slurries.items() if one.thickening_time is None]
    if missing:
        return f"no thickening time is told of {', '.join(missing)}"
    cool = [
        f"{name} was tested at {one.thickening_test_temperature - 273.15:.0f} °C"
        for name, one in slurries.items()
        if one.thickening_test_temperature is not None
        and one.thickening_test_temperature < warm - _AS_WARM
    ]
    if not cool:
        return ""
    return (
        f"{', '.join(cool)}, but the mud circulates at {warm - 273.15:.0f} °C at the shoe: warmer "
        "slurry thickens sooner"
    )


def _needed(job: Placement, name: str) -> Value:
    """Return the time from the first of a slurry mixed to the plug landed, and that in hand."""
    told = cement_in_time(job)
    mixed = float(told.begin[told.names.index(name)]) / float(told.rate)
    pumped = followed("duration", float(told.time[told.landed]) - mixed, "s", job, None)
    in_hand = job.setting.basis.value("thickening_margin", "duration")
    how = Solved(
        "from the first of the slurry mixed to the landing of the plug, and the time in hand",
        "common-practice",
        (pumped, in_hand),
    )
    return Value("duration", float(pumped) + float(in_hand), "s", how)
