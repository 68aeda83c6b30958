"""A kick at the bottom of an open hole: what it meets, and how much of it can be borne."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.gas import gas_column_top_pressure
from bathybore.kernels.pipe_flow import pipe_friction_gradient
from bathybore.kernels.segments import pressure_over_segments, pressure_with_margin
from bathybore.kernels.well_control import (
    kick_tolerance_volume,
    liquid_kick_tolerance_volume,
    maximum_allowable_annulus_pressure,
)
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.columns import (
    OPEN_TO_AIR,
    column_pressure,
    depth_nodes,
    earth_value,
    gravity_value,
    mean_temperature,
    nodes_at,
    temperature,
)
from bathybore.operations.flow_along import FINE
from bathybore.operations.flow_law import changes_in_place, resting_rheology, rheology
from bathybore.operations.influx import (
    formation_water,
    kick_intensity,
    kick_is_gas,
    water_above,
)
from bathybore.operations.state import FluidLayer, HoleState, StringInHole

WATER: Final = "Formation water, by kick_fluid and the earth table: it does not expand."


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

    @cached_property
    def rest(self) -> Value:
        """Pressure of the mud at rest at the weak point and at the bottom."""
        return self.at_rest(nodes_at(self.weak_point[0], self.bottom))

    @cached_property
    def formation_pressure(self) -> Value:
        """Pressure of the formation that kicks: the mud's and the intensity."""
        floor = FromWalk("below the drill floor")
        return work(
            pressure_with_margin,
            pressure=self.rest.at_node(1).named("pressure"),
            margin_density=self.intensity.named("margin_density"),
            height=Value("height", self.bottom - self.setting.drill_floor, "m", floor),
            gravity=gravity_value(self.setting),
        ).named("formation_pressure")

    @cached_property
    def density_below(self) -> Value:
        """Mean in-place density of the mud from the weak point to the bottom."""
        ends = np.asarray(self.rest.si)
        local = (float(ends[1]) - float(ends[0])) / (self.bottom - self.weak_point[0])
        how = "mean in-place density of the mud from the weak point to the bottom"
        origin = Solved(how, "definition", (self.rest,))
        return Value("mud_density", local / float(gravity_value(self.setting)), "kg/m3", origin)

    @cached_property
    def is_gas(self) -> bool:
        """Whether gas comes in; formation water otherwise, which does not expand."""
        return kick_is_gas(self.setting, self.top, self.bottom)

    @cached_property
    def water_density(self) -> Value:
        """Density of formation water, the least on its way up."""
        return formation_water(self.setting, self.formation_pressure, self.bottom)

    @property
    def below(self) -> Value:
        height = self.bottom - self.weak_point[0]
        return Value("height_below_weak_point", height, "m", FromWalk("weak point to the bottom"))


def kick_of(state: HoleState) -> Kick | None:
    """Return the design kick of a step that drills a section; None of any other step."""
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


def with_intensity(kick: Kick, intensity: Value) -> Kick:
    """Return the same kick of another intensity."""
    return replace(kick, intensity=intensity)


def full_of_influx(kick: Kick) -> Value:
    """Return the pressure at the weak point with nothing but gas, or water, below it."""
    setting, (weak, _) = kick.setting, kick.weak_point
    if not kick.is_gas:
        water = water_above(setting, kick.formation_pressure, kick.bottom, weak)
        return water.named("pressure_at_top")
    return work(
        gas_column_top_pressure,
        pressure_at_bottom=kick.formation_pressure.named("pressure_at_bottom"),
        height=kick.below.named("height"),
        temperature=mean_temperature(setting, weak, kick.bottom),
        gas_gravity=setting.basis.value("gas_gravity"),
        gravity=gravity_value(setting),
    )


def tolerance(kick: Kick) -> Value:
    """Return the greatest influx at bottom that can be shut in and circulated out.

    It is told for rock that does not hold a hole full of it (`full_of_influx`).
    """
    setting, (weak, fracture) = kick.setting, kick.weak_point
    if not kick.is_gas:
        return _tolerance_of_water(kick)
    return work(
        kick_tolerance_volume,
        weak_point_fracture_pressure=fracture.named("weak_point_fracture_pressure"),
        formation_pressure=kick.formation_pressure,
        mud_density=kick.density_below,
        height_below_weak_point=kick.below,
        **annulus_areas(kick),
        bottom_hole_temperature=warmth(setting, kick.bottom, "bottom_hole_temperature"),
        weak_point_temperature=warmth(setting, weak, "weak_point_temperature"),
        choke_line_friction=_choke_friction(kick),
        gas_gravity=setting.basis.value("gas_gravity"),
        gravity=gravity_value(setting),
    )


def _tolerance_of_water(kick: Kick) -> Value:
    return work(
        liquid_kick_tolerance_volume,
        weak_point_fracture_pressure=kick.weak_point[1].named("weak_point_fracture_pressure"),
        formation_pressure=kick.formation_pressure,
        mud_density=kick.density_below,
        influx_density=kick.water_density,
        height_below_weak_point=kick.below,
        **annulus_areas(kick),
        choke_line_friction=_choke_friction(kick),
        gravity=gravity_value(kick.setting),
    )


def greatest_annulus_pressure(kick: Kick) -> Value:
    """Return the greatest pressure on the choke gauge, shut in, mud above the weak point."""
    setting, (weak, fracture) = kick.setting, kick.weak_point
    gravity, height = gravity_value(setting), weak - setting.drill_floor
    rest, filled = kick.rest.at_node(0), weak - float(kick.layers[0].top)
    origin = Solved(
        "mud at rest there, over its height up to the flow line", "definition", (rest, gravity)
    )
    return work(
        maximum_allowable_annulus_pressure,
        weak_point_fracture_pressure=fracture.named("weak_point_fracture_pressure"),
        mud_density=Value("mud_density", float(rest) / (float(gravity) * filled), "kg/m3", origin),
        weak_point_column_height=Value(
            "weak_point_column_height", height, "m", FromWalk("drill floor to the weak point")
        ),
        gravity=gravity,
    )


def _choke_friction(kick: Kick) -> Value:
    """Return the choke-line friction that the open choke cannot take off at the slow rate.

    The choke is opened by the friction as long as there is shut-in pressure to give up.
    """
    source, at_bottom = kick.formation_pressure, kick.rest.at_node(1)
    friction = slow_friction(kick.setting, kick.fluid)
    shut_in = max(float(source) - float(at_bottom), 0.0)
    origin = Solved(
        "choke-line friction less the shut-in pressure that the choke can give up",
        "common-practice",
        (friction, source, at_bottom),
    )
    return Value("choke_line_friction", max(float(friction) - shut_in, 0.0), "Pa", origin)


@kept(SOME)
def slow_friction(setting: Setting, fluid: Fluid) -> Value:
    """Return the friction of a mud in the choke line at the slow rate.

    Raises
    ------
    LookupError
        There is no riser and so no choke line.
    """
    joint = setting.inventory.riser
    if joint is None:
        raise LookupError("no riser to circulate through")
    length, law = _in_line(setting, fluid)
    return work(
        pressure_over_segments,
        pressure_gradient=work(
            pipe_friction_gradient,
            flow_rate=setting.basis.value("slow_circulating_rate", "flow_rate"),
            inside_diameter=joint.value("choke_line_diameter", "inside_diameter"),
            **law,
        ),
        segment_length=Value("segment_length", length, "m", FromWalk("choke line, one of them")),
    ).named("choke_line_friction")


def _in_line(setting: Setting, fluid: Fluid) -> tuple[float | Array, dict[str, Value]]:
    """Return lengths of the choke line and the flow law in each, as cold as the sea round it.

    The column of the mud presses it; what the choke holds against it is left out.
    """
    length = float(setting.sea_bed - setting.drill_floor)
    if not changes_in_place(fluid):
        return length, rheology(fluid)
    count = int(np.ceil(length / FINE))
    step = length / count
    middle = float(setting.drill_floor) + step * (np.arange(count) + 0.5)
    wet = np.maximum(middle, float(setting.flow_line))
    return np.full(count, step), resting_rheology(setting, True, fluid, wet)


def warmth(setting: Setting, z: float, name: str) -> Value:
    """Return the undisturbed temperature at a place."""
    origin = FromWalk("undisturbed, sea and earth tables")
    return Value(name, float(temperature(setting, z)), "K", origin)


def annulus_areas(kick: Kick) -> dict[str, Value]:
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
