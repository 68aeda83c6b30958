"""What keeps the formation's fluids in: barriers, kicks, shallow flow, the loss of the riser."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.keeping import SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, Status, judge, unjudged
from bathybore.checks.window import open_nodes
from bathybore.kernels.gas import gas_column_top_pressure
from bathybore.kernels.pipe_flow import pipe_friction_gradient
from bathybore.kernels.segments import pressure_over_segments, pressure_with_margin
from bathybore.kernels.well_control import kick_tolerance_volume
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.barriers import GASES, pressure_to_hold
from bathybore.operations.casing_loads import kick_intensity
from bathybore.operations.columns import (
    OPEN_TO_AIR,
    column_pressure,
    depth_nodes,
    depths_of,
    earth_value,
    gravity_value,
    mean_temperature,
    nodes_at,
    pressure_under,
    sea_bed_pressure,
    temperature,
)
from bathybore.operations.flow_along import rheology
from bathybore.operations.state import (
    Barrier,
    FlowSource,
    FluidLayer,
    HoleState,
    PlugInPlace,
    StringInHole,
)
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
    kick, step = _kick_of(state), state.step.name
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


@dataclass(frozen=True, eq=False)
class Kick:
    """What a kick at the bottom of an open hole meets.

    Attributes
    ----------
    top, bottom : of the open hole [m below sea level]
    layers : of fluid, from the flow line down
    intensity : how much its pressure exceeds that of the mud, as a density to the drill floor
    volume : that the plan wants to stand
    """

    setting: Setting
    top: float
    bottom: float
    layers: tuple[FluidLayer, ...]
    fluid: Fluid
    string: StringInHole | None
    hole_diameter: Value
    intensity: Value
    volume: Value

    @cached_property
    def weak_point(self) -> tuple[float, Value]:
        """The open depth with the least room between mud at rest and fracture.

        A shut-in pressure adds the same everywhere above the influx, so that is where
        the rock breaks first.
        """
        z = depth_nodes(self.setting, self.top, self.bottom)
        z = z[z <= max(float(z[-1]) - 50.0, float(z[0]))]
        fracture = earth_value(self.setting, "fracture_pressure", z)
        room = np.asarray(fracture.si) - np.asarray(self.at_rest(z).si)
        worst = int(np.argmin(room))
        return float(z[worst]), fracture.at_node(worst)

    def at_rest(self, z: Array) -> Value:
        layers = column_pressure(self.setting, self.layers, OPEN_TO_AIR, z)
        return layers.named("static_pressure")


def _kick_of(state: HoleState) -> Kick | None:
    hole, activity = state.hole, state.activity
    section = activity.section
    if section is None or activity.fluid is None:
        return None
    own = section.kick_volume is not None
    return same(
        Kick(
            setting=hole.setting,
            top=float(state.deepest_shoe),
            bottom=float(state.bottom),
            layers=activity.layers or state.layers,
            fluid=activity.fluid,
            string=activity.string,
            hole_diameter=section.value("hole_diameter"),
            intensity=kick_intensity(hole, section),
            volume=(section if own else hole.basis).value("kick_volume", "influx_volume"),
        )
    )


@kept(SOME)
def _kick(step: str, kick: Kick) -> CheckRecord:
    setting, bottom = kick.setting, kick.bottom
    weak, fracture = kick.weak_point
    rest = kick.at_rest(nodes_at(weak, bottom))
    gravity, floor = gravity_value(setting), FromWalk("below the drill floor")
    below = FromWalk("weak point to the bottom")
    source = work(
        pressure_with_margin,
        pressure=rest.at_node(1).named("pressure"),
        margin_density=kick.intensity.named("margin_density"),
        height=Value("height", bottom - setting.drill_floor, "m", floor),
        gravity=gravity,
    )
    full = work(
        gas_column_top_pressure,
        pressure_at_bottom=source.named("pressure_at_bottom"),
        height=Value("height", bottom - weak, "m", below),
        temperature=mean_temperature(setting, weak, bottom),
        gas_gravity=setting.basis.value("gas_gravity"),
        gravity=gravity,
    )
    if float(full) <= float(fracture):
        return judge(
            step,
            KICK,
            full,
            fracture.named("pressure_at_top"),
            setting.basis.tight_band_window,
            setting.depth(weak),
            note="Even with the open hole full of gas the weakest rock holds: the volume does "
            "not matter.",
        )
    local = (float(np.asarray(rest.si)[1]) - float(np.asarray(rest.si)[0])) / (bottom - weak)
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
    volume = work(
        kick_tolerance_volume,
        weak_point_fracture_pressure=fracture.named("weak_point_fracture_pressure"),
        formation_pressure=source,
        mud_density=density,
        height_below_weak_point=Value("height_below_weak_point", bottom - weak, "m", below),
        **_annulus_areas(kick),
        bottom_hole_temperature=_warmth(setting, bottom, "bottom_hole_temperature"),
        weak_point_temperature=_warmth(setting, weak, "weak_point_temperature"),
        choke_line_friction=_choke_friction(kick, source, rest),
        gas_gravity=setting.basis.value("gas_gravity"),
        gravity=gravity,
    )
    return judge(step, KICK, kick.volume, volume, setting.basis.tight_band, setting.depth(weak))


def _choke_friction(kick: Kick, source: Value, rest: Value) -> Value:
    """Return the choke-line friction that the open choke cannot take off at the slow rate.

    The choke is opened by the friction as long as there is shut-in pressure to give up.
    """
    friction, at_bottom = _slow_friction(kick.setting, kick.fluid), rest.at_node(1)
    shut_in = max(float(source) - float(at_bottom), 0.0)
    origin = Solved(
        "choke-line friction less the shut-in pressure that the choke can give up",
        "common-practice",
        (friction, source, at_bottom),
    )
    return Value("choke_line_friction", max(float(friction) - shut_in, 0.0), "Pa", origin)


@kept(SOME)
def _slow_friction(setting: Setting, fluid: Fluid) -> Value:
    """Return the friction of a mud in the choke line at the slow rate."""
    joint = setting.inventory.riser
    if joint is None:
        raise LookupError("no riser to circulate through")
    length = setting.sea_bed - setting.drill_floor
    return work(
        pressure_over_segments,
        pressure_gradient=work(
            pipe_friction_gradient,
            flow_rate=setting.basis.value("slow_circulating_rate", "flow_rate"),
            inside_diameter=joint.value("choke_line_diameter", "inside_diameter"),
            **rheology(fluid),
        ),
        segment_length=Value("segment_length", length, "m", FromWalk("choke line, one of them")),
    )


def _warmth(setting: Setting, z: float, name: str) -> Value:
    origin = FromWalk("undisturbed, sea and earth tables")
    return Value(name, float(temperature(setting, z)), "K", origin)


def _annulus_areas(kick: Kick) -> dict[str, Value]:
    """Return annulus areas round the lowest heavy parts and round the pipe above them."""
    if kick.string is None:
        raise LookupError("no string is in the hole")
    hole_area = 0.25 * np.pi * float(kick.hole_diameter) ** 2
    parts = kick.string.parts
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
