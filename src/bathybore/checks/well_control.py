"""What keeps the formation's fluids in: barriers, kicks, shallow flow, the loss of the riser."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, Status, judge, unjudged
from bathybore.checks.window import at_rest, open_nodes
from bathybore.kernels.gas import gas_column_top_pressure
from bathybore.kernels.pipe_flow import pipe_friction_gradient
from bathybore.kernels.segments import pressure_over_segments, pressure_with_margin
from bathybore.kernels.well_control import kick_tolerance_volume
from bathybore.operations.barriers import GASES, flowing_pressure
from bathybore.operations.casing_loads import kick_intensity
from bathybore.operations.circulation import of_drilling, rheology
from bathybore.operations.columns import (
    depths_of,
    earth_value,
    gravity_value,
    mean_temperature,
    pressure_under,
    sea_bed_pressure,
    temperature,
)
from bathybore.operations.state import Barrier, HoleState, PlugInPlace
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
    if not state.flows:
        return
    hole, step = state.hole, state.step.name
    needed = Value(
        "barriers", float(hole.basis.least_barriers), "-", hole.basis.origin("least_barriers")
    )
    each = tuple(Value(b.name, 1.0, "-", FromWalk(_told_of(state, b))) for b in state.barriers)
    origin = Solved("barriers in force that share no element, counted", "definition", each)
    have = Value("barriers", float(len(each)), "-", origin)
    names = "; ".join(barrier.name for barrier in state.barriers) or "none"
    flows = "; ".join(
        f"{f.what} from {hole.depth(f.top)} to {hole.depth(f.bottom)}" for f in state.flows
    )
    note = " ".join(
        [f"Can flow: {flows}.", f"In force: {names}."]
        + [f"Not counted: {fault}." for fault in state.barrier_faults]
    )
    place = hole.depth(min(flow.top for flow in state.flows))
    record = judge(step, BARRIERS, needed, have, 0.0, place, note=note)
    if record.status is Status.FAILS and state.barriers and _top_hole(state):
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
    yield record


def _top_hole(state: HoleState) -> bool:
    """Before the first riser, not yet left, and no gas or oil: one barrier is all there can be."""
    gas = any(flow.what in GASES for flow in state.flows)
    return not (state.riser_was_on or state.plugs or gas)


def _told_of(state: HoleState, barrier: Barrier) -> str:
    depth = state.hole.depth
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
    z = open_nodes(state)
    heavy = hole.plan.fluids[section.pad_fluid]
    column = pressure_under(hole, heavy, sea_bed_pressure(hole), hole.sea_bed, z)
    band = hole.basis.tight_band_window
    demand = flowing_pressure(state, z)
    record = judge(step, SHALLOW, demand, column, band, depths_of(hole, z), told)
    if hazards and record.status is Status.HOLDS:
        record = replace(record, status=Status.TIGHT)
    yield record
    yield judge(step, KILL_MUD, pad_volume(state), _mud_left(state), hole.basis.tight_band)


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
    yield _kick(state)
    yield _riser_margin(state)


def _weakest(state: HoleState) -> tuple[float, Value]:
    """Return the open depth with the least room between mud at rest and fracture.

    A shut-in pressure adds the same everywhere above the influx, so that is where
    the rock breaks first.
    """
    z = open_nodes(state)
    z = z[z <= max(float(z[-1]) - 50.0, float(z[0]))]
    fracture = earth_value(state.hole, "fracture_pressure", z)
    room = np.asarray(fracture.si) - np.asarray(at_rest(state, z).si)
    worst = int(np.argmin(room))
    return float(z[worst]), fracture.at_node(worst)


def _kick(state: HoleState) -> CheckRecord:
    hole, section = state.hole, state.activity.section
    step = state.step.name
    if section is None or state.activity.fluid is None:
        return unjudged(step, KICK, "the step drills no section")
    weak, fracture = _weakest(state)
    bottom = float(state.bottom)
    rest = at_rest(state, np.array([weak, bottom]))
    source = work(
        pressure_with_margin,
        pressure=rest.at_node(1).named("pressure"),
        margin_density=kick_intensity(state, section).named("margin_density"),
        height=Value("height", bottom - hole.drill_floor, "m", FromWalk("below the drill floor")),
        gravity=gravity_value(hole),
    )
    full = work(
        gas_column_top_pressure,
        pressure_at_bottom=source.named("pressure_at_bottom"),
        height=Value("height", bottom - weak, "m", FromWalk("weak point to the bottom")),
        temperature=mean_temperature(hole, weak, bottom),
        gas_gravity=hole.basis.value("gas_gravity"),
        gravity=gravity_value(hole),
    )
    if float(full) <= float(fracture):
        return judge(
            step,
            KICK,
            full,
            fracture.named("pressure_at_top"),
            hole.basis.tight_band_window,
            hole.depth(weak),
            note="Even with the open hole full of gas the weakest rock holds: the volume does "
            "not matter.",
        )
    local = (float(np.asarray(rest.si)[1]) - float(np.asarray(rest.si)[0])) / (bottom - weak)
    gravity = gravity_value(hole)
    density = Value(
        "mud_density",
        local / float(gravity),
        "kg/m3",
        Solved(
            "mean in-place density of the mud from the weak point to the bottom",
            "definition",
            (rest,),
        ),
    )
    areas = _annulus_areas(state)
    volume = work(
        kick_tolerance_volume,
        weak_point_fracture_pressure=fracture.named("weak_point_fracture_pressure"),
        formation_pressure=source,
        mud_density=density,
        height_below_weak_point=Value(
            "height_below_weak_point", bottom - weak, "m", FromWalk("weak point to the bottom")
        ),
        **areas,
        bottom_hole_temperature=_warmth(state, bottom, "bottom_hole_temperature"),
        weak_point_temperature=_warmth(state, weak, "weak_point_temperature"),
        choke_line_friction=_choke_friction(state, source, rest),
        gas_gravity=hole.basis.value("gas_gravity"),
        gravity=gravity,
    )
    wanted = (
        section.value("kick_volume", "influx_volume")
        if section.kick_volume is not None
        else hole.basis.value("kick_volume", "influx_volume")
    )
    return judge(step, KICK, wanted, volume, hole.basis.tight_band, hole.depth(weak))


def _choke_friction(state: HoleState, source: Value, rest: Value) -> Value:
    """Return the choke-line friction that the open choke cannot take off at the slow rate.

    The choke is opened by the friction as long as there is shut-in pressure to give up.
    """
    hole, joint, fluid = state.hole, state.hole.inventory.riser, state.activity.fluid
    if joint is None or fluid is None:
        raise LookupError("no riser to circulate through")
    rate = hole.basis.value("slow_circulating_rate", "flow_rate")
    length = hole.sea_bed - hole.drill_floor
    friction = work(
        pressure_over_segments,
        pressure_gradient=work(
            pipe_friction_gradient,
            flow_rate=rate,
            inside_diameter=joint.value("choke_line_diameter", "inside_diameter"),
            **rheology(fluid),
        ),
        segment_length=Value("segment_length", length, "m", FromWalk("choke line, one of them")),
    )
    at_bottom = rest.at_node(1)
    shut_in = max(float(source) - float(at_bottom), 0.0)
    origin = Solved(
        "choke-line friction less the shut-in pressure that the choke can give up",
        "common-practice",
        (friction, source, at_bottom),
    )
    return Value("choke_line_friction", max(float(friction) - shut_in, 0.0), "Pa", origin)


def _warmth(state: HoleState, z: float, name: str) -> Value:
    origin = FromWalk("undisturbed, sea and earth tables")
    return Value(name, float(temperature(state.hole, z)), "K", origin)


def _annulus_areas(state: HoleState) -> dict[str, Value]:
    """Return annulus areas round the lowest heavy parts and round the pipe above them."""
    flow = of_drilling(state)
    hole_area = 0.25 * np.pi * float(flow.hole_diameter) ** 2
    parts = flow.string.parts
    heavy = [p for p in parts if p.pipe.stock.kind != "pipe"] or [parts[0]]
    pipe = next((p for p in parts if p.pipe.stock.kind == "pipe"), parts[-1])

    def area(name: str, diameter: float, what: str) -> Value:
        return Value(name, hole_area - 0.25 * np.pi * diameter**2, "m2", FromWalk(what))

    return {
        "annulus_area_around_collars": area(
            "annulus_area_around_collars",
            float(heavy[0].pipe.outside_diameter),
            f"{heavy[0].pipe.name} in the hole being drilled",
        ),
        "annulus_area_around_pipe": area(
            "annulus_area_around_pipe",
            float(pipe.pipe.outside_diameter),
            f"{pipe.pipe.name} in the same hole",
        ),
        "collar_length": Value(
            "collar_length",
            sum(p.length for p in heavy),
            "m",
            FromWalk("heavy parts of the string"),
        ),
    }


def _riser_margin(state: HoleState) -> CheckRecord:
    """Say how much the column falls short once the riser is gone, and what then holds the hole.

    In deep water the margin often cannot be kept. It is then neither a silent pass nor
    a failure of the plan: the verdict is tight, and the caution names the barrier left.
    """
    hole, fluid = state.hole, state.activity.fluid
    z = open_nodes(state)
    if fluid is None:
        return unjudged(state.step.name, RISER_MARGIN, "no mud in the step")
    pore = earth_value(hole, "pore_pressure", z)
    column = pressure_under(hole, fluid, sea_bed_pressure(hole), hole.sea_bed, z)
    band, places = hole.basis.tight_band_window, depths_of(hole, z)
    record = judge(state.step.name, RISER_MARGIN, pore, column, band, places)
    closed = any(barrier.kind == "mechanical" for barrier in state.barriers)
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
    hole, step = state.hole, state.step.name
    least, band = hole.basis.value("least_plug_length", "length"), hole.basis.tight_band
    shortest = min(state.plugs, key=lambda plug: plug.bottom - plug.top)
    length = _apart(state, "length of the shortest plug", shortest.top, shortest.bottom)
    yield judge(step, PLUG_LENGTH, least, length, band, hole.depth(shortest.top))
    shoe = state.deepest_shoe
    if state.bottom - shoe < 1.0:
        return
    best = max((_reach(state, plug) for plug in state.plugs), key=float)
    yield judge(step, PLUG_AT_SHOE, least, best, band, hole.depth(shoe))


def _reach(state: HoleState, plug: PlugInPlace) -> Value:
    """Return how far a plug reaches from the deepest shoe, on the side where it reaches less."""
    shoe = state.deepest_shoe
    above = _apart(state, "from the top of the plug to the shoe", plug.top, shoe)
    below = _apart(state, "from the shoe to the foot of the plug", shoe, plug.bottom)
    if plug.bottom >= state.bottom - 1e-6:
        return above  # nothing is left open below it
    return min(above, below, key=float)


def _apart(state: HoleState, what: str, top: BelowSeaLevel, bottom: BelowSeaLevel) -> Value:
    depth = state.hole.depth
    ends = (
        Value("depth_below_sea_level", float(bottom), "m", FromWalk(f"foot: {depth(bottom)}")),
        Value("depth_below_sea_level", float(top), "m", FromWalk(f"top: {depth(top)}")),
    )
    return Value("length", bottom - top, "m", Solved(what, "definition", ends))
