"""What keeps the formation's fluids in: barriers, kicks, shallow flow, the loss of the riser."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, Status, judge, unjudged
from bathybore.checks.window import open_nodes
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.barriers import GASES, pressure_to_hold
from bathybore.operations.columns import (
    depths_of,
    earth_value,
    pressure_under,
    sea_bed_pressure,
)
from bathybore.operations.kick import WATER, Kick, full_of_influx, kick_of, tolerance
from bathybore.operations.state import Barrier, FlowSource, HoleState, PlugInPlace
from bathybore.operations.stores import pad_volume, used

BARRIERS = Question(
    "barriers",
    Discipline.WELL_CONTROL,
    "Are there two independent barriers while something in the hole can flow?",
    "Set and test a plug or casing before the step, or keep the column and the preventer.",
)
SHALLOW = Question(
    "shallow-flow",
    Discipline.WELL_CONTROL,
    "If a shallow sand flows, does the heavy mud on board hold it without a preventer?",
    "Move the site, drill a pilot hole, carry heavier kill mud, or set casing above the sand.",
    "Shallow gas without a preventer: no shut-in is possible. Pilot hole, watch on the sea bed, "
    "a plan to move off station.",
)
KILL_MUD = Question(
    "kill-mud",
    Discipline.WELL_CONTROL,
    "Is there heavy mud enough on board to fill the riserless hole, with what is lost beside it?",
    "More mud in the tanks before spud, fewer sweeps, or a supply boat alongside.",
)
KICK = Question(
    "kick-tolerance",
    Discipline.WELL_CONTROL,
    "Can the design kick be shut in and circulated out without breaking the weakest open rock?",
    "Set the casing above deeper, drill a shorter section, or detect smaller kicks.",
    "Volume at bottom, gas expanding on its way; choke-line friction works against you.",
)
RISER_MARGIN = Question(
    "riser-margin",
    Discipline.WELL_CONTROL,
    "If the riser is lost, does mud below and sea above still hold the pore pressure?",
    "Weigh the mud up if the rock allows; else plan the barriers that replace the column.",
)


def barrier_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Count independent barriers wherever something can flow; say what they are."""
    if state.flows:
        yield _counted(
            state.step.name,
            state.hole.setting,
            state.flows,
            state.barriers,
            state.barrier_faults,
            _top_hole(state),
        )


@kept(SOME)
def _counted(
    step: str,
    setting: Setting,
    sources: tuple[FlowSource, ...],
    barriers: tuple[Barrier, ...],
    faults: tuple[str, ...],
    top_hole: bool,
) -> CheckRecord:
    basis, depth = setting.basis, setting.depth
    needed = Value("barriers", float(basis.least_barriers), "-", basis.origin("least_barriers"))
    each = tuple(Value(b.name, 1.0, "-", FromWalk(_told_of(setting, b))) for b in barriers)
    origin = Solved("barriers in force that share no element, counted", "definition", each)
    have = Value("barriers", float(len(each)), "-", origin)
    names = "; ".join(barrier.name for barrier in barriers) or "none"
    flows = "; ".join(f"{f.what} from {depth(f.top)} to {depth(f.bottom)}" for f in sources)
    note = " ".join(
        [f"Can flow: {flows}.", f"In force: {names}."]
        + [f"Not counted: {fault}." for fault in faults]
    )
    place = depth(min(flow.top for flow in sources))
    record = judge(step, BARRIERS, needed, have, 0.0, place, note=note)
    if record.status is Status.FAILS and barriers and top_hole:
        record = replace(
            record,
            status=Status.TIGHT,
            caution=(
                f"Riserless: {names} and nothing else. No preventer stands between rock and "
                "sea; the second barrier is absent by design (common practice for the top hole, "
                "where nothing but water can flow). While it is drilled with sea water the heavy "
                "mud on board is the barrier."
            ),
        )
    return record


def _top_hole(state: HoleState) -> bool:
    """Before the first riser, not yet left, and no gas or oil: one barrier is all there can be."""
    gas = any(flow.what in GASES for flow in state.flows)
    return not (state.riser_was_on or state.plugs or gas)


def _told_of(setting: Setting, barrier: Barrier) -> str:
    depth = setting.depth
    elements = "; ".join(
        e.part if e.top == e.bottom else f"{e.part}, {depth(e.top)} to {depth(e.bottom)}"
        for e in barrier.elements
    )
    tested = "tested" if barrier.tested else "not tested"
    return f"{barrier.kind}, {tested}, at {depth(barrier.place)}; relies on {elements}"


def shallow_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Compare what a shallow sand may flow with and the heavy mud that could be pumped."""
    if state.riser is not None:
        return
    hole, section, step = state.hole, state.activity.section, state.step.name
    hazards = [
        f"{word} from {top:.0f} to {bottom:.0f} m below sea bed"
        for top, bottom, word in hole.earth.intervals("hazard")
        if word not in ("", "none")
        and top + hole.sea_bed < state.bottom
        and bottom + hole.sea_bed > state.deepest_shoe
    ]
    told = "Told in the prognosis: " + "; ".join(hazards) + "." if hazards else ""
    if "hazard" not in hole.earth.words:
        reason = f"{hole.earth.file} has no hazard column"
        caution = f"{reason}: nobody has said the shallow section is clear."
        yield unjudged(step, SHALLOW, reason, caution)
        return
    if section is None or section.pad_fluid is None:
        yield unjudged(step, SHALLOW, "the section names no pad_fluid to kill a flow with", told)
        return
    heavy = hole.plan.fluids[section.pad_fluid]
    yield _heavy_mud(step, hole.setting, heavy, open_nodes(state), told)
    yield judge(step, KILL_MUD, pad_volume(state), _mud_left(state), hole.basis.tight_band)


@kept(SOME)
def _heavy_mud(step: str, setting: Setting, heavy: Fluid, z: Array, told: str) -> CheckRecord:
    """Judge the heavy mud against what may flow; where a hazard is told no verdict is easy."""
    column = pressure_under(setting, heavy, sea_bed_pressure(setting), setting.sea_bed, z)
    band, places = setting.basis.tight_band_window, depths_of(setting, z)
    demand = pressure_to_hold(setting, z)
    record = judge(step, SHALLOW, demand, column, band, places, told)
    if told and record.status is Status.HOLDS:
        return replace(record, status=Status.TIGHT)
    return record


def _mud_left(state: HoleState) -> Value:
    """Return the mud that can be pumped at once: what is left of all loads, at most one load.

    The pad mud of the step itself is that very mud, so it is not counted as gone.
    """
    stores = state.hole.vessel.stores
    load = stores.value("mud_volume")
    built = used(state, "mud_built", "mud_volume", "m3")
    pad = pad_volume(state)
    left = float(load) * (1 + stores.resupplies) - (float(built) - float(pad))
    how = f"one load, or what is left of all with {stores.resupplies} resupplies before the pad mud"
    origin = Solved(how, "definition", (load, built, pad))
    return Value("mud_volume", max(min(float(load), left), 0.0), "m3", origin)


def kick_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge kick tolerance and riser margin of a section drilled with the riser on."""
    if state.riser is None:
        return
    kick, step = kick_of(state), state.step.name
    if kick is None:
        yield unjudged(step, KICK, "the step drills no section")
    else:
        yield _kick(step, kick)
    fluid = state.activity.fluid
    if fluid is None:
        yield unjudged(step, RISER_MARGIN, "no mud in the step")
        return
    closed = any(barrier.kind == "mechanical" for barrier in state.barriers)
    yield _riser_margin(step, state.hole.setting, fluid, open_nodes(state), closed)


@kept(SOME)
def _kick(step: str, kick: Kick) -> CheckRecord:
    setting, (weak, fracture) = kick.setting, kick.weak_point
    full, what = full_of_influx(kick), "gas" if kick.is_gas else "formation water"
    if float(full) <= float(fracture):
        return judge(
            step,
            KICK,
            full,
            fracture.named("pressure_at_top"),
            setting.basis.tight_band_window,
            setting.depth(weak),
            note=f"Even with the open hole full of {what} the weakest rock holds: the volume does "
            "not matter.",
        )
    band, place = setting.basis.tight_band, setting.depth(weak)
    note = "" if kick.is_gas else WATER
    return judge(step, KICK, kick.volume, tolerance(kick), band, place, note=note)


@kept(SOME)
def _riser_margin(step: str, setting: Setting, fluid: Fluid, z: Array, closed: bool) -> CheckRecord:
    """Say how much the column falls short once the riser is gone, and what then holds the hole.

    In deep water the margin often cannot be kept. It is then neither a silent pass nor
    a failure of the plan: the verdict is tight where the hole is ``closed`` by a mechanical
    barrier, and the caution names the barrier left.
    """
    pore = earth_value(setting, "pore_pressure", z)
    column = pressure_under(setting, fluid, sea_bed_pressure(setting), setting.sea_bed, z)
    band, places = setting.basis.tight_band_window, depths_of(setting, z)
    record = judge(step, RISER_MARGIN, pore, column, band, places)
    if record.demand is None or record.capacity is None:
        return record
    if record.status is not Status.FAILS or not closed:
        return record
    short = float(record.demand) - float(record.capacity)
    return replace(
        record,
        status=Status.TIGHT,
        caution=(
            "No riser margin: once the riser is lost only the closed preventer holds the hole. "
            "Before a planned disconnection a second barrier (a plug, or a hang-off with the rams "
            "closed and tested) is set."
        ),
        note=f"Without the riser the column is {short / 1e6:.1f} MPa short here.",
    )


PLUG_LENGTH = Question(
    "plug-length",
    Discipline.WELL_CONTROL,
    "Is every plug long enough?",
    "Lengthen the plug, or set it on a base.",
    "A plug counts once it has been tagged and tested; the coastal state's rules say how long.",
)
PLUG_AT_SHOE = Question(
    "plug-across-shoe",
    Discipline.WELL_CONTROL,
    "Does a plug close the deepest shoe, from inside the casing into the open hole?",
    "Set the deepest plug across the shoe.",
    "Fluid passes a plug in the open hole through the rock, and a plug in the casing behind it "
    "where it is not cemented.",
)


def plug_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the shortest plug, and the one that comes nearest to closing the deepest shoe."""
    if not state.plugs:
        return
    yield from _plugs(
        state.step.name, state.hole.setting, state.plugs, state.deepest_shoe, state.bottom
    )


@kept(SOME)
def _plugs(
    step: str,
    hole: Setting,
    plugs: tuple[PlugInPlace, ...],
    shoe: BelowSeaLevel,
    bottom: BelowSeaLevel,
) -> tuple[CheckRecord, ...]:
    least, band = hole.basis.value("least_plug_length", "length"), hole.basis.tight_band
    shortest = min(plugs, key=lambda plug: plug.bottom - plug.top)
    length = _apart(hole, "length of the shortest plug", shortest.top, shortest.bottom)
    long_enough = judge(step, PLUG_LENGTH, least, length, band, hole.depth(shortest.top))
    if bottom - shoe < 1.0:
        return (long_enough,)
    best = max((_reach(hole, plug, shoe, bottom) for plug in plugs), key=float)
    return long_enough, judge(step, PLUG_AT_SHOE, least, best, band, hole.depth(shoe))


def _reach(hole: Setting, plug: PlugInPlace, shoe: BelowSeaLevel, bottom: BelowSeaLevel) -> Value:
    """Return how far a plug reaches from the deepest shoe, on the side where it reaches less."""
    above = _apart(hole, "from the top of the plug to the shoe", plug.top, shoe)
    below = _apart(hole, "from the shoe to the foot of the plug", shoe, plug.bottom)
    if plug.bottom >= bottom - 1e-6:
        return above  # nothing is left open below it
    return min(above, below, key=float)


def _apart(hole: Setting, what: str, top: BelowSeaLevel, bottom: BelowSeaLevel) -> Value:
    depth = hole.depth
    ends = (
        Value("depth_below_sea_level", float(bottom), "m", FromWalk(f"foot: {depth(bottom)}")),
        Value("depth_below_sea_level", float(top), "m", FromWalk(f"top: {depth(top)}")),
    )
    return Value("length", bottom - top, "m", Solved(what, "definition", ends))
