"""The design kick followed in time: in, closed in, and out through the choke line."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, Literal, TypeAlias

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.gas import gas_density, gas_z_factor
from bathybore.kernels.kick_march import (
    ATMOSPHERE,
    Channel,
    Followed,
    Influx,
    Phase,
    bubble_rise_velocity,
    follow,
    greatest_mean_rate,
    slug_rise_velocity,
)
from bathybore.kernels.kill_sheet import kill_mud_density
from bathybore.kernels.riser_gas import standard_gas_rate
from bathybore.kernels.well_control import annulus_area
from bathybore.operations.circulation import Circulation, annulus_friction, of_drilling
from bathybore.operations.columns import (
    column_pressure,
    depth_nodes,
    earth_value,
    gravity_value,
    nodes_at,
    temperature,
)
from bathybore.operations.geometry import Segments, string_bores, volume_of
from bathybore.operations.kick import Kick, kick_of, slow_friction, warmth
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind

Method: TypeAlias = Literal["driller", "wait and weight"]
METHODS: Final[tuple[Method, ...]] = ("driller", "wait and weight")
# s; pressures in the hole within half a percent of finer steps, choke and gain within 4 %
STUDY_STEP: Final = 240.0
FINE_STEP: Final = 90.0
RATE_OVER: Final = 300.0  # s over which a rate of gas is a mean
_PROFILE: Final = 1.2


@dataclass(frozen=True, eq=False)
class KickInTime:
    """A design kick and the circulation in which it comes.

    Attributes
    ----------
    flow : of drilling, when it comes in
    slow : at the slow rate, no rock being cut, returns up the riser
    """

    kick: Kick
    flow: Circulation
    slow: Circulation

    @cached_property
    def below_stack(self) -> Segments:
        """The annuli below the preventer, from the bottom up."""
        whole = self.flow.annuli
        which = [i for i, kind in enumerate(whole.kinds) if kind != "riser"][::-1]
        return Segments(
            tuple(whole.names[i] for i in which),
            tuple(whole.kinds[i] for i in which),
            whole.top[which],
            whole.bottom[which],
            whole.outer_diameter[which],
            whole.inner_diameter[which],
        )

    @property
    def slow_rate(self) -> float:
        return float(self.slow.flow_rate)

    @cached_property
    def line_diameter(self) -> Value:
        joint = self.kick.setting.inventory.riser
        if joint is None:
            raise LookupError("no riser to circulate through")
        return joint.value("choke_line_diameter", "inside_diameter")

    @cached_property
    def mud_density(self) -> Value:
        """Mean density of the mud in place from the drill floor down."""
        kick, gravity = self.kick, gravity_value(self.kick.setting)
        rest = kick.rest.at_node(1)
        height = kick.bottom - float(kick.layers[0].top)
        origin = Solved("mud at rest at the bottom, over its height", "definition", (rest, gravity))
        return Value("mud_density", float(rest) / (float(gravity) * height), "kg/m3", origin)

    @cached_property
    def column_height(self) -> Value:
        height = self.kick.bottom - self.kick.setting.drill_floor
        return Value("mud_column_height", height, "m", FromWalk("drill floor to the bottom"))

    @cached_property
    def shut_in_drill_pipe_pressure(self) -> Value:
        """Formation pressure less the mud in the string, filled to the drill floor."""
        column = float(self.mud_density) * float(gravity_value(self.kick.setting))
        column *= float(self.column_height)
        source = self.kick.formation_pressure
        origin = Solved(
            "formation pressure less the mud standing in the string up to the drill floor, none "
            "below nothing: pipe cannot be sucked at",
            "definition",
            (source, self.mud_density, self.column_height),
        )
        return Value("shut_in_drill_pipe_pressure", max(float(source) - column, 0.0), "Pa", origin)

    @cached_property
    def kill_density(self) -> Value:
        return work(
            kill_mud_density,
            mud_density=self.mud_density,
            shut_in_drill_pipe_pressure=self.shut_in_drill_pipe_pressure,
            mud_column_height=self.column_height,
            gravity=gravity_value(self.kick.setting),
        )

    @cached_property
    def kill_density_weighed(self) -> Value:
        """Density of the kill mud as it is weighed in the pits, where nothing presses it.

        Cold and the column make the mud in the hole denser than in the pits, heat makes it lighter.
        """
        parts = (self.kill_density, self.kick.fluid.value("density"), self.mud_density)
        origin = Solved(
            "density in place, times that of the mud in use as weighed over its own in place",
            "definition",
            parts,
        )
        kill, weighed, in_place = map(float, parts)
        return Value("density", kill * weighed / in_place, "kg/m3", origin)

    @cached_property
    def gas_density(self) -> Value:
        """Density of the gas at the formation's pressure and temperature."""
        source = self.kick.formation_pressure
        absolute = Value(
            "pressure",
            float(source) + ATMOSPHERE,
            "Pa",
            Solved("gauge pressure and the atmosphere", "definition", (source,)),
        )
        warm = warmth(self.kick.setting, self.kick.bottom, "temperature")
        return work(
            gas_density,
            pressure=absolute,
            temperature=warm,
            z_factor=work(gas_z_factor, pressure=absolute, temperature=warm),
            gas_gravity=self.kick.setting.basis.value("gas_gravity"),
        )

    @cached_property
    def influx_density(self) -> Value:
        """Density at the bottom of what comes in: gas, or formation water."""
        gas = self.kick.is_gas
        return self.gas_density.named("influx_density") if gas else self.kick.water_density

    @cached_property
    def influx_mass(self) -> Value:
        """Mass of the design kick: its volume at bottom at the density it has there."""
        parts = (self.kick.volume, self.influx_density)
        origin = Solved("volume at bottom times density there", "definition", parts)
        return Value("influx_mass", float(parts[0]) * float(parts[1]), "kg", origin)

    @property
    def fluid(self) -> str:
        """What comes in, in a word."""
        return "gas" if self.kick.is_gas else "water"

    @cached_property
    def annulus_friction(self) -> Value:
        """Friction below the preventer at the slow rate.

        The drill pipe gauge holds the slow circulating pressure with it in: by so much the
        bottom pressure is held above the formation's.
        """
        whole = self.slow.annuli
        gradient = np.broadcast_to(annulus_friction(self.slow, whole).si, (len(whole),))
        below = np.array([kind != "riser" for kind in whole.kinds])
        origin = Solved(
            "friction in the annulus below the preventer at the slow rate",
            "definition",
            (annulus_friction(self.slow, whole),),
        )
        lost = float(np.sum((gradient * whole.length)[below]))
        return Value("annulus_loss", lost, "Pa", origin)

    @cached_property
    def string_volume(self) -> float:
        return volume_of(string_bores(self.flow.string))

    @cached_property
    def line_volume(self) -> float:
        setting = self.kick.setting
        length = setting.sea_bed - setting.drill_floor
        return 0.25 * np.pi * float(self.line_diameter) ** 2 * length

    @cached_property
    def annulus_volume(self) -> float:
        return volume_of(self.below_stack)


def kick_in_time_of(state: HoleState) -> KickInTime | None:
    """Return the design kick of a step that drills a section with the riser on.

    Raises
    ------
    LookupError
        The step cannot circulate, or the slow rate is nothing.
    """
    if state.riser is None or state.step.kind not in (StepKind.DRILL, StepKind.CORE):
        return None
    kick = kick_of(state)
    if kick is None:
        return None
    flow = of_drilling(state)
    slow = kick.setting.basis.value("slow_circulating_rate", "flow_rate")
    if float(slow) <= 0.0:
        raise LookupError("the slow circulating rate of the design basis is nothing")
    none = FromWalk("a kill: no rock is cut, the booster stands")
    at_rest = same(
        replace(
            flow,
            flow_rate=slow,
            booster_flow_rate=same(Value("booster_flow_rate", 0.0, "m3/s", none)),
            rate_of_penetration=same(Value("rate_of_penetration", 0.0, "m/s", none)),
            sweep=None,
            in_place_of=flow,
        )
    )
    return same(KickInTime(kick, flow, at_rest))


def channel_of(timed: KickInTime) -> Channel:
    """Return the way from the bottom up to the choke, as what is followed in time needs it."""
    kick, segments, setting = timed.kick, timed.below_stack, timed.kick.setting
    nodes = np.concatenate([[segments.bottom[0]], segments.top, [setting.drill_floor]])
    line = float(timed.line_diameter)
    area = annulus_area(
        np.append(segments.outer_diameter, line), np.append(segments.inner_diameter, 0.0)
    )
    in_line = float(slow_friction(setting, kick.fluid)) / (setting.sea_bed - setting.drill_floor)
    mud, gravity = float(timed.mud_density), float(gravity_value(setting))
    plain = Channel(
        depth=nodes,
        temperature=temperature(setting, nodes),
        area=np.asarray(area),
        length=nodes[:-1] - nodes[1:],
        friction=np.append(_gradient(timed.slow), in_line),
        flow_rate=timed.slow_rate,
        bubbles=np.zeros(len(nodes) - 1),
        slugs=np.zeros(len(nodes) - 1),
        profile_coefficient=1.0,
    )
    if not kick.is_gas:
        return plain  # water goes with the mud
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    light = _gas_at(timed, middle)
    tension = float(setting.basis.value("surface_tension"))
    return replace(
        plain,
        bubbles=np.asarray(bubble_rise_velocity(mud, light, tension, gravity)),
        slugs=np.asarray(
            slug_rise_velocity(
                np.append(segments.outer_diameter, line),
                np.append(segments.inner_diameter, 0.0),
                mud,
                light,
                gravity,
            )
        ),
        profile_coefficient=_PROFILE,
    )


def _gradient(flow: Circulation) -> Array:
    """Return the friction gradient in the annuli below the preventer, from the bottom up."""
    whole = flow.annuli
    gradient = np.broadcast_to(annulus_friction(flow, whole).si, (len(whole),))
    return np.array([gradient[i] for i, kind in enumerate(whole.kinds) if kind != "riser"][::-1])


def _gas_at(timed: KickInTime, z: Array) -> Array:
    """Return the density of gas at places under mud at rest; light gas rises faster."""
    setting = timed.kick.setting
    top = float(timed.kick.layers[0].top)
    weight = float(timed.mud_density) * float(gravity_value(setting))
    pressure = weight * np.maximum(z - top, 0.0) + ATMOSPHERE
    warm = temperature(setting, z)
    z_factor = gas_z_factor(pressure, warm)
    gravity = setting.basis.gas_gravity
    return np.asarray(gas_density(pressure, warm, z_factor, gravity))


def _phases(timed: KickInTime, method: str, to_the_end: bool) -> tuple[Phase, ...]:
    mud, kill, rate = float(timed.mud_density), float(timed.kill_density), timed.slow_rate
    basis, over = timed.kick.setting.basis, float(timed.annulus_friction)
    way_up = (timed.annulus_volume + timed.line_volume) / rate
    down = Phase("kill mud down the string", timed.string_volume / rate, rate, mud, False, over)
    up = Phase("kill mud up the annulus", 1.05 * way_up, rate, kill, False, over)
    closed = Phase("closed in", basis.shut_in_duration, 0.0, mud)
    if method == "wait and weight":
        return closed, down, up
    out = Phase(f"old mud, {timed.fluid} out", 1.5 * way_up, rate, mud, True, over)
    return (closed, out, down, up) if to_the_end else (closed, out)


def why_not(timed: KickInTime) -> str:
    """Return why a kick cannot be followed; empty if it can."""
    volume, room = float(timed.kick.volume), timed.annulus_volume
    where = timed.kick.setting.depth(timed.kick.bottom)
    if volume <= 0.0 or timed.kick.setting.basis.gas_gravity <= 0.0:
        return f"a kick of nothing at {where}"
    if volume < room:
        return ""
    return (
        f"a kick of {volume:.1f} m3 at {where}, which is more than the {room:.1f} m3 of annulus "
        "below the preventer"
    )


@dataclass(frozen=True, eq=False)
class Told:
    """What became of a kick, with the places at which its pressures were told.

    Attributes
    ----------
    phases : by the numbers in ``followed``; the first is the influx
    places : depths in the open hole [m below sea level], their greatest pressure told
    """

    followed: Followed
    phases: tuple[str, ...]
    places: Array
    origin: Solved

    @property
    def closed(self) -> np.ndarray:
        """Whether the well was closed, step by step."""
        return self.followed.phase > 0

    @property
    def share_in_riser(self) -> float:
        """Share of the gas that passed the preventer before it was closed."""
        one = self.followed
        return float(one.into_riser[0]) / max(float(one.gas_in[0]), 1e-12)

    def _most(self, name: str, series: Array, unit: str, what: str) -> Value:
        index = int(np.nanargmax(series))
        minute = self.followed.time[index] / 60.0
        origin = Solved(
            f"{what}, {minute:.0f} min after the first influx", "zuber-findlay-1965", (), None
        )
        origin = replace(origin, inputs=(Value(name, series[index], unit, self.origin),))
        return Value(name, float(series[index]), unit, origin)

    @cached_property
    def greatest_choke_pressure(self) -> Value:
        series = np.where(self.closed, self.followed.choke[0], -np.inf)
        return self._most("choke_pressure", series, "Pa", "greatest on the choke")

    @cached_property
    def greatest_stack_pressure(self) -> Value:
        """Greatest pressure below the preventer once it is closed, the choke line's mud counted."""
        series = np.where(self.closed, self.followed.stack[0], -np.inf)
        return self._most("wellhead_pressure", series, "Pa", "greatest below the preventer")

    @cached_property
    def greatest_pit_gain(self) -> Value:
        return self._most("pit_gain", self.followed.pit_gain[0], "m3", "greatest gain in the pits")

    @cached_property
    def pressure(self) -> Value:
        """Greatest pressure at each place in the open hole once the well is closed."""
        most = self.followed.at_places[0, self.closed].max(axis=0)
        return Value("static_pressure", most, "Pa", self.origin, -1)

    @cached_property
    def gas_rate(self) -> Value:
        """Greatest rate of gas at the choke, as a mean over some minutes [kg/s]."""
        one = self.followed
        rate = float(greatest_mean_rate(one.time, one.gas_rate, RATE_OVER)[0])
        origin = Solved("greatest mean over five minutes", "zuber-findlay-1965", ())
        origin = replace(origin, inputs=(Value("gas_mass_rate", rate, "kg/s", self.origin),))
        return Value("gas_mass_rate", rate, "kg/s", origin)


def kick_followed(
    timed: KickInTime, method: str = "driller", step: float = STUDY_STEP, to_the_end: bool = False
) -> Told:
    """Return what becomes of the design kick, circulated out by a method.

    Parameters
    ----------
    method : 'driller' or 'wait and weight'
    step : of time [s]
    to_the_end : by the driller's method also the second round, with kill mud
    """
    return _followed(timed, method, step, to_the_end)


@kept(FEW)
def _followed(timed: KickInTime, method: str, step: float, to_the_end: bool) -> Told:
    kick, setting = timed.kick, timed.kick.setting
    channel, phases = channel_of(timed), _phases(timed, method, to_the_end)
    gravity, mud = gravity_value(setting), timed.mud_density
    over = setting.basis.value("kill_overbalance")
    duration = setting.basis.value("influx_duration")
    influx = Influx(
        mass=float(timed.influx_mass),
        density=None if kick.is_gas else float(timed.influx_density),
        duration=float(duration),
        flow_rate=float(timed.flow.flow_rate),
        friction=np.append(_gradient(timed.flow), 0.0),
        gas_gravity=setting.basis.gas_gravity,
    )
    places = depth_nodes(setting, kick.top, kick.bottom)
    bed = nodes_at(setting.sea_bed, setting.sea_bed + 1.0)
    standing = column_pressure(setting, kick.layers, _AIR, bed)
    followed = follow(
        channel,
        influx,
        phases,
        mud_density=float(mud),
        held=float(kick.formation_pressure) + float(over),
        stack=len(channel.area) - 1,
        riser_pressure=float(np.asarray(standing.si)[0]),
        places=places,
        step=step,
        gravity=float(gravity),
    )
    lost = followed.gas_in - followed.gas_out - followed.gas_left - followed.into_riser
    does = (
        "gas carried with the flow, $v_g = C_0 j + v_oo$, gas expanding as a real gas"
        if kick.is_gas
        else "formation water carried with the flow, neither slipping nor expanding"
    )
    how = (
        f"the kick followed in time by the {method} method: parcels of mud and {does}, bottom "
        "pressure held from the choke"
    )
    inputs = (
        timed.influx_mass, kick.formation_pressure, over, timed.annulus_friction, duration,
        timed.flow.flow_rate, timed.slow.flow_rate, mud, slow_friction(setting, kick.fluid),
        setting.basis.value("surface_tension"),
    )  # fmt: skip
    residual = float(np.max(np.abs(lost)) / max(float(timed.influx_mass), 1e-12))
    origin = Solved(how, "zuber-findlay-1965", inputs, residual)
    return Told(followed, ("influx", *(one.name for one in phases)), places, origin)


_AIR: Final = Value("pressure_at_top", 0.0, "Pa", FromWalk("open to the air at the flow line"))


@kept(SOME)
def standard_rate(rate: Value, gas_gravity: Value) -> Value:
    """Return a rate of gas as volume at standard conditions."""
    return work(standard_gas_rate, gas_mass_rate=rate, gas_gravity=gas_gravity)


def fracture_at(timed: KickInTime, z: Array) -> Value:
    """Return the pressure at which the rock gives way, at places."""
    return earth_value(timed.kick.setting, "fracture_pressure", z)
