"""The plan with one section cut or carried on to another depth, so that the walk can be asked.

Nothing is worked out here: a cut hole is an ordinary hole, and the ordinary steps lead to it
from the plan's own state above the section.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bathybore.base.depth import Datum, Depth
from bathybore.ensembles.shapes import Frame
from bathybore.model.hole import Hole
from bathybore.model.plan import Casing, Cement, Coring, Fluid, Plan, Section
from bathybore.operations.advance import advance
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

_LEAST_CEMENT: Final = 50.0  # m of it above a shoe that is set higher than planned
_STRENGTH: Final = "undrained_shear_strength"
_MAKING: Final = (StepKind.DRILL, StepKind.CORE)
_CASING: Final = (StepKind.RUN_CASING, StepKind.CEMENT)


def cut(
    hole: Hole, index: int, bottom: float, density: float | None = None, deeper: bool = False
) -> Hole:
    """Return the hole whose plan ends with section ``index`` at ``bottom``.

    The casing keeps its distance from the bottom, the tail cement its length, the lead its top
    as long as it stays above. A core is cut down to the new bottom, and not at all above its
    planned top.

    Parameters
    ----------
    bottom : of the section [m below sea bed]
    density : of the mud of this section, and of its core; the plan's if left out [kg/m3]
    deeper : leave the sections below in the plan, as far as they end below the new bottom: a
        casing that is set there still faces them
    """
    plan = hole.plan
    section = plan.sections[index]
    coring = _core(hole, plan.coring, bottom) if section is plan.sections[-1] else None
    changed: dict[str, object] = {"bottom": _below(bottom)}
    if section.casing is not None:
        shoe = hole.frame.below_sea_bed(section.casing.shoe)
        rat_hole = hole.frame.below_sea_bed(section.bottom) - shoe
        changed["casing"] = _casing(hole, section.casing, bottom - rat_hole)
    new = section.model_copy(update=changed)
    after = [
        one for one in plan.sections[index + 1 :] if hole.z(one.bottom) > hole.z(_below(bottom))
    ]
    parts: dict[str, object] = {
        "sections": (*plan.sections[:index], new, *(after if deeper else ())),
        "coring": coring,
        "step_edits": (),
    }
    if density is not None:
        parts["fluids"] = _weighed(plan, section, coring, density)
    return with_plan(hole, plan.model_copy(update=parts))


def with_plan(hole: Hole, plan: Plan) -> Hole:
    return replace(hole, document=hole.document.model_copy(update={"plan": plan}))


def _below(depth: float) -> Depth:
    return Depth(depth, Datum.SEA_BED)


def _core(hole: Hole, coring: Coring | None, bottom: float) -> Coring | None:
    if coring is None or bottom <= hole.frame.below_sea_bed(coring.top):
        return None
    return coring.model_copy(update={"bottom": _below(bottom)})


def _casing(hole: Hole, casing: Casing, shoe: float) -> Casing:
    below = hole.frame.below_sea_bed
    moved = shoe - below(casing.shoe)
    cement: Cement = casing.cement
    changed: dict[str, object] = {}
    highest = shoe - _LEAST_CEMENT
    if cement.tail_top is not None:
        highest = below(cement.tail_top) + moved
        changed["tail_top"] = _below(highest)
    changed["top"] = _below(min(below(cement.top), highest))
    return casing.model_copy(
        update={"shoe": _below(shoe), "cement": cement.model_copy(update=changed)}
    )


def _weighed(
    plan: Plan, section: Section, coring: Coring | None, density: float
) -> dict[str, Fluid]:
    names = {section.fluid} | ({coring.fluid} if coring is not None else set())
    weighed = {name: plan.fluids[name].model_copy(update={"density": density}) for name in names}
    return {**plan.fluids, **weighed}


def heaviest_on_riser(hole: Hole, density: float) -> Hole:
    """Return a hole whose muds on the riser all have one density: what the riser must hold."""
    plan = hole.plan
    names = {one.fluid for one in plan.sections if one.returns == "riser"}
    if plan.coring is not None and plan.sections[-1].returns == "riser":
        names.add(plan.coring.fluid)
    weighed = {name: plan.fluids[name].model_copy(update={"density": density}) for name in names}
    return with_plan(hole, plan.model_copy(update={"fluids": {**plan.fluids, **weighed}}))


def made_to(frame: Frame, hole: Hole, index: int, cased: bool = False) -> tuple[HoleState, ...]:
    """Walk a cut hole through its last section, from the plan's own state above it.

    Parameters
    ----------
    hole : as `cut` returns it, of section ``index``
    cased : go on to the casing of the section, run and cemented

    Returns
    -------
    tuple of HoleState
        After every step that makes hole; with ``cased`` after those that run and cement, too.

    Raises
    ------
    OrderError
        The steps cannot be done there: a string is too short, or a shoe would stand too high.
    """
    place = next(
        number
        for number, state in enumerate(frame.states)
        if state.step.kind in _MAKING and state.step.section == index
    )
    state = replace(frame.states[place - 1], hole=hole)
    wanted = (*_MAKING, *_CASING) if cased else _MAKING
    made: list[HoleState] = []
    for planned in frame.states[place:]:
        step = planned.step
        if step.section not in (index, None):
            break
        if step.kind not in wanted or (step.kind is StepKind.CORE and hole.plan.coring is None):
            continue
        state = advance(state, step)
        made.append(state)
    return tuple(made)


def asked_again(state: HoleState, hole: Hole) -> HoleState:
    """Return a state of the plan's walk, looking on to another hole below it."""
    return replace(state, hole=hole)


def with_soil(hole: Hole, share: float) -> Hole:
    """Return a hole whose soil has a share of its undrained shear strength."""
    earth = hole.earth
    if share == 1.0 or _STRENGTH not in earth.numbers:
        return hole
    numbers = {**earth.numbers, _STRENGTH: earth.numbers[_STRENGTH] * share}
    return replace(hole, earth=replace(earth, numbers=numbers))


def opened(frame: Frame, state: HoleState, section: int, density: float) -> HoleState:
    """Return the state in which the shoe above a section is tested, in a mud of that section.

    Parameters
    ----------
    state : the casing above it cemented, in a hole that holds the section
    density : of its mud [kg/m3]

    Raises
    ------
    OrderError
        The steps cannot be done there.
    """
    plan = state.hole.plan
    weighed = _weighed(plan, plan.sections[section], None, density)
    state = asked_again(state, with_plan(state.hole, plan.model_copy(update={"fluids": weighed})))
    place = next(n for n, one in enumerate(frame.states) if one.step.name == state.step.name)
    for planned in frame.states[place + 1 :]:
        state = advance(state, planned.step)
        if planned.step.kind is StepKind.TEST_SHOE:
            break
    return state
