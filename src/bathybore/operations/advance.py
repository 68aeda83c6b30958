"""One step further: ``advance(state, step)`` gives the next immutable state, or says why not."""

from __future__ import annotations

from collections.abc import Callable

from bathybore.base.depth import BelowSeaLevel, Depth
from bathybore.base.frozen import changed
from bathybore.base.keeping import FEW, kept, same
from bathybore.base.working import Value, work
from bathybore.kernels.tubular_strength import inside_diameter_of
from bathybore.model.hole import Hole
from bathybore.model.inventory import RiserJoint
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.barriers import with_barriers
from bathybore.operations.by_hand import BY_HAND
from bathybore.operations.catalogue_pipes import casing_pipe
from bathybore.operations.needs import need, need_free
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import (
    Activity,
    CasingInPlace,
    FluidLayer,
    HoleState,
    OpenHole,
    PlugInPlace,
    Riser,
)
from bathybore.operations.steps import Step, StepKind
from bathybore.operations.stores import with_stores
from bathybore.operations.strings import hang
from bathybore.operations.times import with_times

Transition = Callable[[HoleState, Step], HoleState]


def initial_state(hole: Hole) -> HoleState:
    """Return the state before anything is done: a sea bed and a plan."""
    before = Step("arrive", StepKind.WAIT, "Before arrival")
    return HoleState(hole=hole, step=before, bottom=hole.sea_bed)


def advance(state: HoleState, step: Step) -> HoleState:
    """Return the state after a step, with its time, stores and barriers.

    Raises
    ------
    OrderError
        The step cannot be done from this state; the message says what is missing.
    """
    need(state.step.kind is not StepKind.DEPART, step, "the vessel has left the site")
    cleared = changed(state, step=step, activity=Activity(), uses=())
    done = _TRANSITIONS[step.kind](cleared, step)
    return with_barriers(with_stores(state, with_times(state, done)))


def _cased_above(state: HoleState, step: Step) -> None:
    """The casings of the sections above stand; below a deeper hole they would find no bottom."""
    standing = {casing.name for casing in state.casings}
    for section in state.hole.plan.sections[: step.section]:
        if section.casing is not None:
            name = section.casing.name
            need(name in standing, step, f"{name} of the section above is not set and cemented")


def _tested_shoe(state: HoleState, step: Step) -> None:
    """On the riser the last shoe is tested before new hole: that also fills the riser with mud."""
    last = state.last_casing
    if state.riser is not None and last is not None:
        what = f"the shoe of {last.name} is not tested, nor the riser filled with mud"
        need(last.tested, step, f"{what}; put 'test-{last.name}' before it")


def _hold_station(state: HoleState, step: Step) -> HoleState:
    return changed(state, on_station=True)


def _wait(state: HoleState, step: Step) -> HoleState:
    return state


def _run_conductor(state: HoleState, step: Step) -> HoleState:
    hole, plan = state.hole, state.hole.plan.conductor
    need(state.on_station, step, "the vessel does not hold station yet; 'hold-station' comes first")
    need(not state.casings, step, "a conductor is set already")
    need_free(state, step)
    string = hang(hole, plan.run_on, hole.sea_bed)
    pipe = casing_pipe(hole, plan.pipe)
    length = hole.z(plan.shoe) - hole.sea_bed + plan.stick_up
    hanging = same(
        CasingInPlace(
            plan,
            pipe,
            BelowSeaLevel(hole.sea_bed - length),
            hole.sea_bed,
            same(pipe.outside_diameter.named("hole_diameter")),
            None,
        )
    )
    activity = Activity(casing=hanging, string=string, fluid=hole.plan.fluids[plan.fluid])
    return changed(state, string=string, hanging_casing=hanging, activity=activity)


def _set_conductor(state: HoleState, step: Step) -> HoleState:
    hole, plan = state.hole, state.hole.plan.conductor
    hanging = state.hanging_casing
    need(hanging is not None and state.string is not None, step, "no conductor hangs on a string")
    assert hanging is not None
    need(hanging.is_conductor, step, f"{hanging.name} hangs on the string, no conductor")
    shoe = hole.z(plan.shoe)
    string = hang(hole, plan.run_on, shoe)
    placed = same(changed(hanging, top=BelowSeaLevel(hole.sea_bed - plan.stick_up), shoe=shoe))
    fluid = hole.plan.fluids[plan.fluid]
    layers = (same(FluidLayer(plan.fluid, fluid, hole.sea_bed, shoe)),)
    activity = Activity(
        casing=placed,
        string=string,
        fluid=fluid,
        layers=layers,
        flow_rate=plan.value("flow_rate"),
        start=hole.sea_bed,
        end=shoe,
    )
    return changed(
        state,
        string=string,
        hanging_casing=None,
        casings=(placed,),
        bottom=shoe,
        layers=layers,
        activity=activity,
    )


def _release(state: HoleState, step: Step) -> HoleState:
    need(state.string is not None, step, "no string is in the hole")
    need(state.hanging_casing is None, step, "the casing on the string is not set yet")
    plan, last = state.hole.plan, state.last_casing
    name = plan.conductor.name if step.section is None else step.casing_of(plan).name
    on = last.name if last is not None else "no casing"
    need(on == name, step, f"the string is on {on}, not on {name}")
    activity = Activity(string=state.string, end=state.bottom)
    return changed(state, string=None, activity=activity)


def _column_top(state: HoleState) -> BelowSeaLevel:
    return state.hole.flow_line if state.riser is not None else state.hole.sea_bed


def _filled(state: HoleState, name: str, fluid: Fluid, bottom: BelowSeaLevel) -> FluidLayer:
    return same(FluidLayer(name, fluid, _column_top(state), bottom))


def _drill(state: HoleState, step: Step) -> HoleState:
    hole, plan = state.hole, state.hole.plan
    section = step.section_of(plan)
    need(bool(state.casings), step, "no conductor is set")
    need_free(state, step)
    on_riser = state.riser is not None
    need(on_riser == (section.returns == "riser"), step, f"returns are to be by {section.returns}")
    _cased_above(state, step)
    _tested_shoe(state, step)
    end = hole.z(section.bottom)
    if plan.coring is not None and section is plan.sections[-1]:
        end = hole.z(plan.coring.top)
    if end < state.bottom:
        need(False, step, f"the hole is already at {hole.depth(state.bottom)}")
    return _deepen(
        state,
        end,
        Activity(
            section=section,
            string=hang(hole, section.string, end),
            fluid=plan.fluids[section.fluid],
            layers=(_filled(state, section.fluid, plan.fluids[section.fluid], end),),
            flow_rate=section.value("flow_rate"),
            booster_flow_rate=section.value("booster_flow_rate") if on_riser else None,
            start=state.bottom,
            end=end,
        ),
        left_in=section.pad_fluid or section.fluid,
    )


def _deepen(state: HoleState, end: BelowSeaLevel, activity: Activity, left_in: str) -> HoleState:
    """Return the state with the hole deepened to ``end`` and ``left_in`` standing in it."""
    section = activity.section
    assert section is not None
    # drilling on opens the shoe above, whether or not it was tested
    casings = state.casings
    if casings and end > state.bottom and not casings[-1].tested:
        casings = (*casings[:-1], same(changed(casings[-1], drilled_out=True)))
    open_hole = same(OpenHole(state.bottom, end, section.value("hole_diameter"), section.name))
    left = _filled(state, left_in, state.hole.plan.fluids[left_in], end)
    return changed(
        state,
        bottom=end,
        casings=casings,
        open_hole=(*state.open_hole, open_hole) if end > state.bottom else state.open_hole,
        layers=(left,),
        activity=activity,
    )


def _core(state: HoleState, step: Step) -> HoleState:
    hole, plan = state.hole, state.hole.plan
    coring, section = plan.coring, step.section_of(plan)
    need(coring is not None, step, "the plan has no coring")
    assert coring is not None
    need_free(state, step)
    end = hole.z(coring.bottom)
    if not abs(state.bottom - hole.z(coring.top)) < 1.0:
        stands = f"the hole stands at {hole.depth(state.bottom)}"
        need(False, step, f"{stands}, coring begins at {coring.top}")
    by_riser = section.returns == "riser"
    on_riser = state.riser is not None
    need(on_riser == by_riser, step, f"returns are to be by {section.returns}")
    _tested_shoe(state, step)
    activity = Activity(
        section=section,
        string=hang(hole, coring.string, end),
        fluid=plan.fluids[coring.fluid],
        layers=(_filled(state, coring.fluid, plan.fluids[coring.fluid], end),),
        flow_rate=coring.value("flow_rate"),
        booster_flow_rate=section.value("booster_flow_rate") if on_riser else None,
        rate_of_penetration=coring.value("rate_of_penetration"),
        start=state.bottom,
        end=end,
    )
    deepened = _deepen(state, end, activity, section.pad_fluid or coring.fluid)
    return changed(deepened, cored=state.cored + end - state.bottom)


def _hung_at(hole: Hole, casing: Casing) -> BelowSeaLevel:
    return hole.z(casing.hung_at) if isinstance(casing.hung_at, Depth) else hole.sea_bed


def _run_casing(state: HoleState, step: Step) -> HoleState:
    hole = state.hole
    casing = step.casing_of(hole.plan)
    shoe, top = hole.z(casing.shoe), _hung_at(hole, casing)
    need(bool(state.open_hole), step, "there is no open hole to case")
    if shoe > state.bottom:
        need(False, step, f"the shoe is below the hole at {hole.depth(state.bottom)}")
    need(shoe > state.deepest_shoe, step, "its shoe is not below the last one set")
    need_free(state, step)
    wide = state.open_hole[-1].diameter
    outside = state.layers[-1].fluid
    pipe = casing_pipe(hole, casing.pipe)
    hanging = same(CasingInPlace(casing, pipe, top, shoe, wide, outside, state.open_hole))
    string = hang(hole, casing.run_on, top)
    activity = Activity(
        section=step.section_of(hole.plan),
        casing=hanging,
        string=string,
        fluid=outside,
        layers=state.layers,
        start=top,
        end=shoe,
    )
    return changed(state, string=string, hanging_casing=hanging, activity=activity)


def _cement(state: HoleState, step: Step) -> HoleState:
    hole = state.hole
    hanging = state.hanging_casing
    need(hanging is not None, step, "no casing hangs in the hole")
    assert hanging is not None
    casing = step.casing_of(hole.plan)
    need(hanging.name == casing.name, step, f"it is {hanging.name} that hangs in the hole")
    placed = same(changed(hanging, cement_top=hole.z(casing.cement.top)))
    rat_hole = tuple(
        same(changed(piece, top=max(piece.top, placed.shoe)))
        for piece in state.open_hole
        if piece.bottom > placed.shoe + 1e-6
    )
    inside = state.layers[-1] if state.riser is not None else None
    name, fluid = (inside.name, inside.fluid) if inside else ("sea water", sea_water(hole))
    activity = changed(
        state.activity,
        section=step.section_of(hole.plan),
        casing=placed,
        string=state.string,
        fluid=fluid,
        layers=state.layers,
        flow_rate=casing.cement.value("rate"),
        start=placed.cement_top,
        end=placed.shoe,
    )
    return changed(
        state,
        casings=(*state.casings, placed),
        hanging_casing=None,
        open_hole=rat_hole,
        layers=(_filled(state, name, fluid, state.bottom),),
        activity=activity,
    )


@kept(FEW)
def _bore(joint: RiserJoint) -> Value:
    outside, wall = joint.value("outside_diameter"), joint.value("wall")
    return work(inside_diameter_of, outside_diameter=outside, wall=wall)


def _run_riser(state: HoleState, step: Step) -> HoleState:
    hole, stock = state.hole, state.hole.inventory.riser
    need(state.riser is None, step, "the riser is on already")
    need_free(state, step)
    need(any(c.cement_top is not None for c in state.casings), step, "no casing is cemented")
    need(stock is not None and hole.inventory.preventer is not None, step, "no riser on board")
    assert stock is not None
    riser = same(Riser(hole.flow_line, hole.sea_bed, _bore(stock)))
    with_riser = changed(state, riser=riser, riser_was_on=True)
    layer = _filled(with_riser, "sea water", sea_water(hole), state.bottom)
    return changed(
        with_riser, layers=(layer,), activity=Activity(layers=(layer,), end=hole.sea_bed)
    )


def _test_shoe(state: HoleState, step: Step) -> HoleState:
    hole, section = state.hole, step.section_of(state.hole.plan)
    need(state.riser is not None, step, "the riser is not on")
    need_free(state, step)
    above = hole.plan.sections[step.section - 1].casing if step.section else None
    last = state.last_casing
    name = above.name if above is not None else "a casing"
    if last is None or last.name != name or last.cement_top is None:
        need(False, step, f"{name} is not the last casing set and cemented")
    assert last is not None
    opened = last.drilled_out or last.tested
    need(not opened, step, f"new hole is drilled below {name} already; the test comes before")
    tested = same(changed(last, tested=True, drilled_out=True))
    fluid = hole.plan.fluids[section.fluid]
    layer = _filled(state, section.fluid, fluid, state.bottom)
    activity = Activity(
        section=section,
        casing=tested,
        string=hang(hole, section.string, state.bottom),
        fluid=fluid,
        layers=(layer,),
        end=last.shoe,
    )
    return changed(state, casings=(*state.casings[:-1], tested), layers=(layer,), activity=activity)


def _plug(state: HoleState, step: Step) -> HoleState:
    hole, leaving = state.hole, state.hole.plan.leaving
    need_free(state, step)
    need(bool(state.casings), step, "there is no hole to plug")
    # a plug that is tagged before its cement has set is not tested
    set_hard = leaving.wait >= hole.basis.least_wait_on_cement
    plugs = tuple(
        same(PlugInPlace(hole.z(p.top), hole.z(p.bottom), p.tested and set_hard))
        for p in leaving.plugs
    )
    for plug in plugs:
        if plug.bottom > state.bottom:
            need(False, step, f"the plug at {hole.depth(plug.bottom)} is deeper")
    top = min(plug.top for plug in plugs)
    below = state.layers[-1]
    layers = (
        _filled(state, "sea water", sea_water(hole), top),
        same(FluidLayer(below.name, below.fluid, top, state.bottom)),
    )
    activity = Activity(
        section=step.section_of(hole.plan),
        string=hang(hole, leaving.string, plugs[0].bottom),
        fluid=below.fluid,
        layers=state.layers,
        start=plugs[0].top,
        end=plugs[0].bottom,
    )
    return changed(state, plugs=plugs, layers=layers, activity=activity)


def _retrieve_riser(state: HoleState, step: Step) -> HoleState:
    hole = state.hole
    need(state.riser is not None, step, "there is no riser to retrieve")
    need(state.string is None, step, "a string is still in the hole; release it first")
    layers = tuple(
        same(changed(layer, top=max(layer.top, hole.sea_bed)))
        for layer in state.layers
        if layer.bottom > hole.sea_bed
    )
    activity = Activity(layers=state.layers, end=hole.sea_bed)
    return changed(state, riser=None, layers=layers, activity=activity)


def _depart(state: HoleState, step: Step) -> HoleState:
    need(state.riser is None, step, "the riser still ties the vessel to the hole")
    need(state.string is None, step, "a string is still in the hole; release it first")
    need(
        bool(state.plugs) or not state.casings, step, "the hole is not plugged; 'plug' comes first"
    )
    return state


_TRANSITIONS: dict[StepKind, Transition] = {
    StepKind.HOLD_STATION: _hold_station,
    StepKind.RUN_CONDUCTOR: _run_conductor,
    StepKind.SET_CONDUCTOR: _set_conductor,
    StepKind.RELEASE: _release,
    StepKind.RUN_RISER: _run_riser,
    StepKind.TEST_SHOE: _test_shoe,
    StepKind.DRILL: _drill,
    StepKind.RUN_CASING: _run_casing,
    StepKind.CEMENT: _cement,
    StepKind.CORE: _core,
    StepKind.PLUG: _plug,
    StepKind.RETRIEVE_RISER: _retrieve_riser,
    StepKind.DEPART: _depart,
    StepKind.WAIT: _wait,
    **BY_HAND,
}
