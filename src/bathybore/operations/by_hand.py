"""Steps that no plan implies and the user inserts: circulate, wipe, log, test once more.

None of them makes hole or sets steel. They are judged where they stand: with the string, the
mud and the open hole of the section at work, the first whose casing does not stand yet.
"""

from __future__ import annotations

from typing import Final

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.frozen import changed
from bathybore.base.keeping import same
from bathybore.base.working import FromWalk, Value
from bathybore.model.plan import Casing, Fluid, Section, StepEdit
from bathybore.operations.needs import need, need_free
from bathybore.operations.state import Activity, FluidLayer, HoleState
from bathybore.operations.steps import Step, StepKind
from bathybore.operations.strings import hang

_LEAST_OPEN: Final = 1.0  # m; less is the play of a shoe, no hole to wipe or log
_NO_CUTTINGS: Final = Value("rate_of_penetration", 0.0, "m/s", FromWalk("no hole is open to cut"))


def is_open(state: HoleState) -> bool:
    """Return whether rock stands open to the mud: below a shoe that has been drilled out."""
    last = state.last_casing
    return last is not None and last.drilled_out and state.bottom - state.deepest_shoe > _LEAST_OPEN


def section_at_work(state: HoleState) -> Section:
    """Return the first section whose casing does not stand yet; the last where all do."""
    standing, sections = {casing.name for casing in state.casings}, state.hole.plan.sections
    waiting = (s for s in sections if s.casing is None or s.casing.name not in standing)
    return next(waiting, sections[-1])


def told_of(step: Step) -> StepEdit:
    """Return what the plan tells of a step that was inserted."""
    if step.inserted is None:
        raise LookupError(f"the step {step.name} was not inserted")
    return step.inserted


def circulate(state: HoleState, step: Step) -> HoleState:
    """Pump with the string at the bottom: in an open hole the cuttings of its last metre rise."""
    activity = _at_bottom(state, step)
    told = told_of(step)
    if told.flow_rate is not None:
        activity = changed(activity, flow_rate=told.value("flow_rate"))
    # without a riser what is pumped is gone: the hole is filled anew as its drilling left it
    return changed(state, activity=activity, layers=_left(state, activity))


def wiper_trip(state: HoleState, step: Step) -> HoleState:
    """Pull into the deepest shoe and go back to the bottom, where circulation is broken."""
    need(is_open(state), step, "there is no open hole to wipe")
    activity = _at_bottom(state, step)
    return changed(state, activity=activity, layers=_left(state, activity))


def log(state: HoleState, step: Step) -> HoleState:
    """Run tools on a wire down the open hole, the string out of it and the mud at rest."""
    need_free(state, step)
    need(is_open(state), step, "there is no open hole to log")
    top, bottom = state.deepest_shoe, state.bottom
    activity = Activity(section=section_at_work(state), layers=state.layers, start=top, end=bottom)
    return changed(state, activity=activity)


def test_preventer(state: HoleState, step: Step) -> HoleState:
    """Test the preventer before its interval is over; the interval begins anew."""
    need(state.riser is not None, step, "no preventer stands on the wellhead; run the riser first")
    need_free(state, step)
    return changed(state, activity=Activity(layers=state.layers, end=state.hole.sea_bed))


def test_casing(state: HoleState, step: Step) -> HoleState:
    """Press on the last casing once more, while its shoe still closes it."""
    need_free(state, step)
    last = state.last_casing
    if last is None or last.cement_top is None or not isinstance(last.plan, Casing):
        need(False, step, "no casing is set and cemented")
    assert last is not None
    assert isinstance(last.plan, Casing)
    need(state.riser is not None, step, "no preventer closes the well; run the riser first")
    need(not last.drilled_out, step, f"{last.name} is drilled out: pressure would go into the rock")
    told = told_of(step).test_pressure is not None or last.plan.test_pressure is not None
    need(told, step, f"{last.name} has no test_pressure; tell one with the step")
    return changed(state, activity=Activity(casing=last, layers=state.layers, end=last.shoe))


def test_pressure_of(state: HoleState) -> Value:
    """Return the pressure that a test of casing puts on: its own, or that of the casing."""
    told, casing = told_of(state.step), state.activity.casing
    if told.test_pressure is not None:
        return told.value("test_pressure", "applied_pressure")
    assert casing is not None
    assert isinstance(casing.plan, Casing)
    return casing.plan.value("test_pressure", "applied_pressure")


def _at_bottom(state: HoleState, step: Step) -> Activity:
    """Return the section's string at the bottom, in the mud there is, pumping as it drills."""
    need(bool(state.casings), step, "no conductor is set")
    need_free(state, step)
    hole, section, on_riser = state.hole, section_at_work(state), state.riser is not None
    by_riser = section.returns == "riser"
    need(on_riser == by_riser, step, f"returns of {section.name} are to be by {section.returns}")
    # behind coring the string that cored is still down: no trip is counted for another
    coring = hole.plan.coring if state.string_left_by is StepKind.CORE else None
    made = coring or section
    name, fluid = made.fluid, hole.plan.fluids[made.fluid]
    if on_riser:  # it goes round; without riser the section's own is pumped and lost
        name, fluid = state.layers[-1].name, state.layers[-1].fluid
    cut = is_open(state)
    return Activity(
        section=section,
        string=hang(hole, made.string, state.bottom),
        fluid=fluid,
        layers=(_filled(state, name, fluid),),
        flow_rate=made.value("flow_rate"),
        booster_flow_rate=section.value("booster_flow_rate") if on_riser else None,
        rate_of_penetration=None if cut else _NO_CUTTINGS,
        start=BelowSeaLevel(state.bottom - _LEAST_OPEN) if cut else state.bottom,
        end=state.bottom,
    )


def _left(state: HoleState, activity: Activity) -> tuple[FluidLayer, ...]:
    """Return what stands in the hole then: without a riser an open one gets its pad mud."""
    pad = activity.section.pad_fluid if activity.section is not None else None
    if state.riser is not None or pad is None or not is_open(state):
        return activity.layers
    return (_filled(state, pad, state.hole.plan.fluids[pad]),)


def _filled(state: HoleState, name: str, fluid: Fluid) -> FluidLayer:
    top = state.hole.flow_line if state.riser is not None else state.hole.sea_bed
    return same(FluidLayer(name, fluid, top, state.bottom))


BY_HAND: Final = {
    StepKind.CIRCULATE: circulate,
    StepKind.WIPER_TRIP: wiper_trip,
    StepKind.LOG: log,
    StepKind.TEST_PREVENTER: test_preventer,
    StepKind.TEST_CASING: test_casing,
}
