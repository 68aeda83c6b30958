"""The hole with the pumps running: friction, cuttings, circulating pressure, pump pressure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Final, TypeAlias

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.errors import NotConverged
from bathybore.base.keeping import SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.bit_hydraulics import bit_pressure_drop
from bathybore.kernels.cuttings import (
    cuttings_volume_fraction,
    density_with_cuttings,
    slip_velocity_in_moving_mud,
    transport_ratio,
)
from bathybore.kernels.pipe_flow import (
    annulus_friction_gradient,
    annulus_wall_shear_rate,
    mean_velocity_in_annulus,
    pipe_friction_gradient,
)
from bathybore.kernels.segments import (
    circulating_pressure,
    excess_gradient,
    pressure_over_segments,
    standpipe_pressure,
    transport_ratio_with_sweeps,
)
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid, Section
from bathybore.operations.columns import (
    OPEN_TO_AIR,
    column_pressure,
    column_top,
    depth_nodes,
    gravity_value,
    pressure_under,
)
from bathybore.operations.downhole_tools import (
    ToolLoss,
    lost_above,
    together,
    tool_losses,
    torque_of_bit,
)
from bathybore.operations.flow_along import FINE, corrected, cut_fine
from bathybore.operations.flow_law import changes_in_place, rheology, rheology_at
from bathybore.operations.geometry import (
    Bore,
    Segments,
    annuli,
    annuli_between,
    bores,
    string_bores,
)
from bathybore.operations.heat_cells import (
    Warmed,
    annulus_temperature,
    tube_temperature,
    tubes_of,
)
from bathybore.operations.state import Activity, FluidLayer, HoleState, StringInHole


@dataclass(frozen=True, eq=False)
class Circulation:
    """What the pumps move, and where it returns.

    Attributes
    ----------
    walls : of the hole, from the top down
    on_riser : returns come up a riser
    layers : fluids standing in the hole
    flow_rate : down the string, and up the annulus below the sea bed
    booster_flow_rate : added to it in the riser
    rate_of_penetration : rock cut meanwhile; zero when only circulating
    hole_diameter : of the bit that cuts it
    sweep : fluid pumped from time to time to lift cuttings, and its share of the time
    bit_torque : that a motor gives the bit where it cuts; None where there is no motor
    in_place_of : the flow whose temperatures and pressures the fluid has, where it is not this
        very one

    A flow rate of shape (flow, 1), with a rate of penetration of shape (rate, 1, 1) if need
    be, stands for many circulations at once: all answers get those axes in front.
    """

    setting: Setting
    walls: tuple[Bore, ...]
    on_riser: bool
    layers: tuple[FluidLayer, ...]
    string: StringInHole
    fluid: Fluid
    flow_rate: Value
    booster_flow_rate: Value
    rate_of_penetration: Value
    hole_diameter: Value
    cuttings_diameter: Value
    cuttings_density: Value
    nozzle_area: Value
    sweep: tuple[Fluid, Value] | None = None
    bit_torque: Value | None = None
    in_place_of: Circulation | None = None

    @cached_property
    def annuli(self) -> Segments:
        """The annuli from the top down; cut fine where a fluid changes along them."""
        whole = annuli_between(self.walls, self.string)
        return cut_fine(whole, FINE) if self._changes else whole

    @cached_property
    def inside(self) -> Segments:
        """The bore of the string from the top down, cut alike."""
        whole = string_bores(self.string)
        return cut_fine(whole, FINE) if self._changes else whole

    @property
    def _changes(self) -> bool:
        fluids = (self.fluid,) if self.sweep is None else (self.fluid, self.sweep[0])
        return any(changes_in_place(one) for one in fluids)

    @cached_property
    def warmed(self) -> Warmed:
        """The same flow as its heat needs it."""
        if self.in_place_of is not None:
            return self.in_place_of.warmed
        return same(
            Warmed(
                self.setting,
                self.walls,
                tubes_of(self.string),
                self.fluid,
                self.flow_rate,
                self.booster_flow_rate,
                self.nozzle_area,
                self.tools,
            )
        )

    @property
    def through_bit(self) -> Value:
        """The flow rate through bit and tools; of many flows without the segments' axis."""
        rate = self.flow_rate
        if not np.ndim(rate.si):
            return rate
        return Value(rate.name, np.asarray(rate.si)[..., 0], rate.unit, rate.origin)

    @cached_property
    def tools(self) -> tuple[ToolLoss, ...]:
        """What motors, turbines and measuring tools lose; a motor turns only a bit that cuts."""
        cuts = bool(np.any(np.asarray(self.rate_of_penetration.si) > 0.0))
        torque = self.bit_torque if cuts else None
        return tool_losses(self.string, self.fluid, self.through_bit, torque)

    def annulus_flow(self, segments: Segments) -> Value:
        """Return the flow rate in each annulus, the booster's share in the riser only."""
        return _annulus_flow(self.flow_rate, self.booster_flow_rate, segments)


@kept(SOME)
def _annulus_flow(flow_rate: Value, booster: Value, segments: Segments) -> Value:
    rates = np.asarray(flow_rate.si) + float(booster) * segments.in_riser
    return segments.value("flow_rate", rates, "m3/s")


_NO_BOOSTER: Final = Value("booster_flow_rate", 0.0, "m3/s", FromWalk("no booster line in use"))


def of_drilling(state: HoleState) -> Circulation:
    """Return the circulation of a drilling or coring step at its deepest point."""
    hole, activity = state.hole, state.activity
    section = activity.section
    if section is None or activity.string is None or activity.fluid is None:
        raise LookupError(f"{state.step.name} does not circulate")
    if activity.flow_rate is None or activity.end is None:
        raise LookupError(f"{state.step.name} has no flow")
    if activity.rate_of_penetration is None and activity.start is None:
        raise LookupError(f"{state.step.name} drills nothing")
    swept = hole.plan.fluids[section.sweep_fluid] if section.sweep_fluid is not None else None
    on_riser = state.riser is not None
    return _of_drilling(hole.setting, bores(state), on_riser, same(activity), swept)


@kept(SOME)
def _of_drilling(
    setting: Setting,
    walls: tuple[Bore, ...],
    on_riser: bool,
    activity: Activity,
    swept: Fluid | None,
) -> Circulation:
    section, string, fluid, rate = (
        activity.section,
        activity.string,
        activity.fluid,
        activity.flow_rate,
    )
    assert section is not None
    assert string is not None
    assert fluid is not None
    assert rate is not None
    return same(
        Circulation(
            setting=setting,
            walls=walls,
            on_riser=on_riser,
            layers=activity.layers,
            string=string,
            fluid=fluid,
            flow_rate=rate,
            booster_flow_rate=activity.booster_flow_rate or _NO_BOOSTER,
            rate_of_penetration=activity.rate_of_penetration or _fastest(setting, activity),
            hole_diameter=section.value("hole_diameter"),
            cuttings_diameter=_cuttings(setting, section, "cuttings_diameter"),
            cuttings_density=_cuttings(setting, section, "cuttings_density"),
            nozzle_area=section.value("nozzle_area"),
            sweep=None if swept is None else (swept, section.value("sweep_share")),
            bit_torque=torque_of_bit(setting, string, section),
        )
    )


def _cuttings(setting: Setting, section: Section, field: str) -> Value:
    """Return a property of the cuttings: the section's own, or the design basis'."""
    own = getattr(section, field) is not None
    return section.value(field) if own else setting.basis.value(field)


def string_fits(state: HoleState) -> bool:
    """Return whether there is an annulus round every part of the step's string."""
    string = state.activity.string
    if string is None:
        return False
    return annuli(state, string).open_throughout


def _fastest(setting: Setting, activity: Activity) -> Value:
    """Return the greatest rate of penetration over the interval: the most cuttings."""
    section, start, end = activity.section, activity.start, activity.end
    assert section is not None
    assert start is not None
    assert end is not None
    factor = section.value("rate_of_penetration_factor")
    return _fastest_between(setting, float(start), float(end), factor)


@kept(SOME)
def _fastest_between(setting: Setting, start: float, end: float, factor: Value) -> Value:
    earth = setting.earth
    z = depth_nodes(setting, start, max(end, start + 1.0))
    table = earth.at("rate_of_penetration", z - setting.sea_bed)
    origin = Solved(
        f"greatest of {earth.file} over the interval, times the section's factor",
        "definition",
        (factor,),
    )
    return Value("rate_of_penetration", float(np.nanmax(table)) * float(factor), "m/s", origin)


# ---- the flow law in place ----------------------------------------------------------------


@kept(SOME)
def annulus_rheology(flow: Circulation, segments: Segments) -> dict[str, Value]:
    """Return the flow law in each annulus, as warm and pressed as readings tell it there."""
    return _annulus_law(flow, segments, flow.fluid)


@kept(SOME)
def _annulus_law(flow: Circulation, segments: Segments, fluid: Fluid) -> dict[str, Value]:
    """Return the law of a fluid in each annulus: of the mud, or of what is pumped in between."""
    if not changes_in_place(fluid):
        return rheology(fluid)
    warm = _plain(annulus_temperature(flow.warmed, segments.middle))
    pressed = annulus_pressure(flow, segments) if fluid.under_pressure else None
    return rheology_at(fluid, warm, pressed)


@kept(SOME)
def bore_rheology(flow: Circulation, segments: Segments) -> dict[str, Value]:
    """Return the flow law inside the string, as warm and pressed as readings tell it there."""
    if not changes_in_place(flow.fluid):
        return rheology(flow.fluid)
    warm = _plain(tube_temperature(flow.warmed, segments.middle))
    pressed = bore_pressure(flow, segments) if flow.fluid.under_pressure else None
    return rheology_at(flow.fluid, warm, pressed)


_ROUNDS: Final = 60  # each takes the error down by what friction changes the law by
_SAME: Final = 1e-9

_Law: TypeAlias = dict[str, Value]


@kept(SOME)
def annulus_pressure(flow: Circulation, segments: Segments) -> Value:
    """Return the pressure in the middle of each annulus: the column, and friction above.

    Friction hangs on the flow law, the law on the pressure: both are found together. Cuttings
    are left out of it.

    Raises
    ------
    NotConverged
        Pressure and law did not settle.
    """
    if flow.in_place_of is not None:
        return annulus_pressure(flow.in_place_of, segments)
    rest = _column_in(flow, segments)
    if not flow.fluid.under_pressure:
        return _added(rest, _to_middle(annulus_friction(flow, segments), segments), "annulus")
    warm = _plain(annulus_temperature(flow.warmed, segments.middle))

    def friction(law: _Law) -> Array:
        return _to_middle(_annulus_friction(flow, segments, law), segments)

    return _settled(flow.fluid, warm, rest, friction, "annulus")


@kept(SOME)
def bore_pressure(flow: Circulation, segments: Segments) -> Value:
    """Return the pressure in the middle of each length of the string, found with the law there.

    It is what the bottom of the annulus and the bit ask, and what is yet to be lost on the way.

    Raises
    ------
    NotConverged
        Pressure and law did not settle.
    """
    if flow.in_place_of is not None:
        return bore_pressure(flow.in_place_of, segments)
    outside, whole = annulus_friction(flow, flow.annuli), flow.annuli
    drop, foot = bit_loss(flow), float(segments.bottom[-1])
    begin, top = column_top(flow.setting, flow.on_riser)
    at_bit = column_pressure(flow.setting, flow.layers, top, np.array([max(foot, begin)]))
    lost = float(np.sum(np.asarray(outside.si) * whole.length)) + float(drop)
    tools = together(flow.tools)
    below = float(tools) - lost_above(flow.tools, segments.middle)
    bottom = float(np.asarray(at_bit.si)[0]) + lost
    column = pressure_under(
        flow.setting, flow.fluid, OPEN_TO_AIR, BelowSeaLevel(float(segments.top[0])),
        np.append(segments.middle, foot),
    )  # fmt: skip
    weight = np.asarray(column.si)
    origin = Solved(
        "annulus at the bottom, bit and tools, less the column in the string from there up",
        "definition",
        (_plain(at_bit), outside, drop, tools, _plain(column)),
    )
    rest = Value("pressure", bottom + below - (weight[-1] - weight[:-1]), "Pa", origin)
    warm = _plain(tube_temperature(flow.warmed, segments.middle))

    def friction(law: _Law) -> Array:
        return _to_middle(_bore_friction(flow, segments, law), segments, from_below=True)

    return _settled(flow.fluid, warm, rest, friction, "string")


def _settled(
    fluid: Fluid, warm: Value, rest: Value, friction: Callable[[_Law], Array], where: str
) -> Value:
    """Return the pressure at which column and friction are those of the law at that pressure."""
    numbers = np.asarray(rest.si)
    for _ in range(_ROUNDS):
        tried = Value("pressure", numbers, "Pa", rest.origin)
        after = np.asarray(rest.si) + friction(rheology_at(fluid, warm, tried))
        apart = float(np.max(np.abs(after - numbers)) / np.max(np.abs(after)))
        numbers = after
        if apart < _SAME:
            return _added(rest, numbers - np.asarray(rest.si), where, apart)
        if not np.isfinite(apart):
            break
    raise NotConverged(
        f"pressure in the {where}: friction and a flow law that grows with pressure do not settle"
    )


def _added(rest: Value, friction: Array, where: str, residual: float | None = None) -> Value:
    origin = Solved(
        f"column and friction in the {where}, friction by the flow law at that very pressure",
        "definition",
        (rest, Value("friction_pressure", friction, "Pa", FromWalk("of the law in place"))),
        residual,
    )
    return Value("pressure", np.asarray(rest.si) + friction, "Pa", origin)


def _column_in(flow: Circulation, segments: Segments) -> Value:
    _, top = column_top(flow.setting, flow.on_riser)
    column = column_pressure(flow.setting, flow.layers, top, segments.middle)
    return _plain(column.named("pressure"))


def _to_middle(gradient: Value, segments: Segments, from_below: bool = False) -> Array:
    """Return what friction adds up to at the middle of each segment [Pa]."""
    lost = np.asarray(gradient.si) * segments.length
    if from_below:
        return np.asarray(np.cumsum(lost[::-1])[::-1] - 0.5 * lost)
    return np.asarray(np.cumsum(lost) - 0.5 * lost)


def _plain(over: Value) -> Value:
    """Return a value over segments: what runs over them is no depth axis of a check."""
    return Value(over.name, over.si, over.unit, over.origin)


@kept(SOME)
def annulus_velocity(flow: Circulation, segments: Segments) -> Value:
    """Return the mean velocity up each annulus."""
    return work(
        mean_velocity_in_annulus,
        flow_rate=flow.annulus_flow(segments),
        annulus_outer_diameter=segments.value("annulus_outer_diameter", segments.outer_diameter),
        annulus_inner_diameter=segments.value("annulus_inner_diameter", segments.inner_diameter),
    )


@kept(SOME)
def annulus_friction(flow: Circulation, segments: Segments) -> Value:
    """Return the friction gradient in each annulus [Pa/m], corrections of the basis counted."""
    return _annulus_friction(flow, segments, annulus_rheology(flow, segments))


def _annulus_friction(flow: Circulation, segments: Segments, law: _Law) -> Value:
    rate = flow.annulus_flow(segments)
    plain = work(
        annulus_friction_gradient,
        flow_rate=rate,
        annulus_outer_diameter=segments.value("annulus_outer_diameter", segments.outer_diameter),
        annulus_inner_diameter=segments.value("annulus_inner_diameter", segments.inner_diameter),
        **law,
    )
    return corrected(flow.setting.basis, flow.string, segments, plain, rate, law)


def slip(flow: Circulation, segments: Segments, fluid: Fluid) -> Value:
    """Return the settling velocity of the cuttings in a fluid that moves up each annulus.

    Moving mud is sheared and therefore thinner round a chip than mud at rest; half of the
    shear rate at the wall is its mean over the gap.
    """
    law = _annulus_law(flow, segments, fluid)
    at_wall = work(
        annulus_wall_shear_rate,
        flow_rate=flow.annulus_flow(segments),
        annulus_outer_diameter=segments.value("annulus_outer_diameter", segments.outer_diameter),
        annulus_inner_diameter=segments.value("annulus_inner_diameter", segments.inner_diameter),
        flow_index=law["flow_index"],
    )
    origin = Solved("half of the shear rate at the wall", "definition", (at_wall,))
    return work(
        slip_velocity_in_moving_mud,
        cuttings_diameter=flow.cuttings_diameter,
        cuttings_density=flow.cuttings_density,
        shear_rate=Value("shear_rate", 0.5 * np.asarray(at_wall.si), "1/s", origin),
        **law,
    )


@kept(SOME)
def plain_lifting(flow: Circulation, segments: Segments) -> Value:
    """Return the transport ratio of the cuttings in each annulus, in the fluid between sweeps."""
    velocity = annulus_velocity(flow, segments).named("annulus_velocity")
    return work(
        transport_ratio, annulus_velocity=velocity, slip_velocity=slip(flow, segments, flow.fluid)
    )


@kept(SOME)
def cuttings_rise(flow: Circulation) -> bool:
    """Return whether cuttings rise in every annulus in the fluid between sweeps."""
    return bool((np.asarray(plain_lifting(flow, flow.annuli).si) > 0.0).all())


@kept(SOME)
def lifting(flow: Circulation, segments: Segments) -> Value:
    """Return the mean transport ratio in each annulus, sweeps counted in by time."""
    plain = plain_lifting(flow, segments)
    if flow.sweep is None:
        return plain
    sweep, share = flow.sweep
    swept = work(
        transport_ratio,
        annulus_velocity=annulus_velocity(flow, segments).named("annulus_velocity"),
        slip_velocity=slip(flow, segments, sweep),
    )
    return work(
        transport_ratio_with_sweeps,
        plain_transport_ratio=plain,
        sweep_transport_ratio=swept,
        sweep_share=share,
    )


@kept(SOME)
def cuttings_fraction(flow: Circulation, segments: Segments) -> Value:
    """Return the volume fraction of cuttings in each annulus between sweeps, when it is highest."""
    return work(
        cuttings_volume_fraction,
        rate_of_penetration=flow.rate_of_penetration,
        hole_diameter=flow.hole_diameter,
        flow_rate=flow.annulus_flow(segments),
        transport_ratio=plain_lifting(flow, segments),
    )


@kept(SOME)
def laden_density(flow: Circulation, segments: Segments) -> Value:
    """Return the density of the fluid with its cuttings in each annulus."""
    return work(
        density_with_cuttings,
        fluid_density=flow.fluid.value("density"),
        cuttings_density=flow.cuttings_density,
        cuttings_volume_fraction=cuttings_fraction(flow, segments),
    )


@kept(SOME)
def pressure_while_circulating(flow: Circulation, z: Array) -> Value:
    """Return the annulus pressure at depth nodes with the pumps on and the bit cutting."""
    segments = flow.annuli
    above = segments.length_above(z)
    excess = cuttings_gradient(flow, segments)
    _, top = column_top(flow.setting, flow.on_riser)
    return work(
        circulating_pressure,
        static_pressure=column_pressure(flow.setting, flow.layers, top, z),
        cuttings_pressure=work(
            pressure_over_segments, pressure_gradient=excess, segment_length=above
        ),
        friction_pressure=work(
            pressure_over_segments,
            pressure_gradient=annulus_friction(flow, segments),
            segment_length=above,
        ),
    )


@dataclass(frozen=True, eq=False)
class Losses:
    """What the pumps work against, part by part [Pa].

    Attributes
    ----------
    lines, bore, bit, annulus : friction in surface lines, string, nozzles, annulus
    tools : lost in motors, turbines and measuring tools of the string
    cuttings : weight of the cuttings in the annulus, which the string does not balance
    """

    lines: Value
    bore: Value
    tools: Value
    bit: Value
    annulus: Value
    cuttings: Value


@kept(SOME)
def line_loss(flow: Circulation) -> Value:
    """Return the friction in the surface lines."""
    pumps = flow.setting.vessel.pumps
    return work(
        pressure_over_segments,
        pressure_gradient=work(
            pipe_friction_gradient,
            flow_rate=flow.flow_rate,
            inside_diameter=pumps.value("surface_line_diameter"),
            **rheology(flow.fluid),
        ),
        segment_length=pumps.value("surface_line_length"),
    )


@kept(SOME)
def bore_friction(flow: Circulation, inside: Segments) -> Value:
    """Return the friction gradient in each length of the string's bore [Pa/m]."""
    return _bore_friction(flow, inside, bore_rheology(flow, inside))


def _bore_friction(flow: Circulation, inside: Segments, law: _Law) -> Value:
    return work(
        pipe_friction_gradient,
        flow_rate=flow.flow_rate,
        inside_diameter=inside.value("inside_diameter", inside.outer_diameter),
        **law,
    )


@kept(SOME)
def bit_loss(flow: Circulation) -> Value:
    """Return the pressure lost in the nozzles."""
    return work(
        bit_pressure_drop,
        fluid_density=flow.fluid.value("density"),
        flow_rate=flow.through_bit,
        nozzle_area=flow.nozzle_area,
    )


@kept(SOME)
def cuttings_gradient(flow: Circulation, segments: Segments) -> Value:
    """Return what cuttings add to the weight of the fluid in each annulus [Pa/m]."""
    return work(
        excess_gradient,
        first_density=laden_density(flow, segments),
        second_density=flow.fluid.value("density"),
        gravity=gravity_value(flow.setting),
    )


@kept(SOME)
def losses(flow: Circulation) -> Losses:
    """Return what the pumps work against, part by part."""
    inside, outside = flow.inside, flow.annuli
    up = outside.value("segment_length", outside.length)
    return Losses(
        lines=line_loss(flow),
        bore=work(
            pressure_over_segments,
            pressure_gradient=bore_friction(flow, inside),
            segment_length=inside.value("segment_length", inside.length),
        ),
        tools=together(flow.tools),
        bit=bit_loss(flow),
        annulus=work(
            pressure_over_segments,
            pressure_gradient=annulus_friction(flow, outside),
            segment_length=up,
        ),
        cuttings=work(
            pressure_over_segments,
            pressure_gradient=cuttings_gradient(flow, outside),
            segment_length=up,
        ),
    )


@kept(SOME)
def pump_pressure(flow: Circulation) -> Value:
    """Return the standpipe pressure: losses in surface lines, string, tools, bit and annulus.

    Cuttings make the annulus heavier than the string: that difference is the pump's too.
    """
    lost = losses(flow)
    return work(
        standpipe_pressure,
        surface_line_loss=lost.lines,
        string_loss=lost.bore,
        tool_loss=lost.tools,
        bit_pressure_drop=lost.bit,
        annulus_loss=lost.annulus,
        cuttings_pressure=lost.cuttings,
    )
