"""Wear of the riser by the string that turns in it while the bit cuts.

The string bends at a flex joint by its mean angle where the vessel is half of the time, and is
pulled round that bend by the weight that hangs below it. Between the joints it is pulled against
the inside of the riser's bend, and its own weight lies on the low side: both are added. Stiffness
of the string, which spreads a bend, is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.errors import InputErrors
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.durations import drilling_time
from bathybore.kernels.riser_wear import (
    bend_side_force,
    crescent_depth,
    spread_wear_area,
    wear_area,
)
from bathybore.kernels.soft_string import side_force_per_length
from bathybore.model.hole import Hole
from bathybore.model.plan import Coring
from bathybore.operations.catalogue_pipes import StringPipe
from bathybore.operations.columns import gravity_value
from bathybore.operations.footprint import footprint
from bathybore.operations.riser_in_waves import Swaying, mean_at
from bathybore.operations.riser_shape import Lying
from bathybore.operations.state import PartInHole
from bathybore.operations.strings import hang
from bathybore.operations.times import time_to_drill

_STEEL: Final = 7850.0  # kg/m3
_SPACING: Final = Value(
    "bend_contact_length", 9.5, "m", FromWalk("between tool joints of range 2, common practice")
)


@dataclass(frozen=True)
class Turning:
    """A section drilled through the riser, or the core: what turns in it, and how long.

    Attributes
    ----------
    parts : of the string with the bit at the bottom, lowest first
    density : of the mud [kg/m3]
    """

    name: str
    parts: tuple[PartInHole, ...]
    density: float
    time: Value

    @property
    def buoyancy(self) -> float:
        """Share of the weight of steel that is left in its mud."""
        return 1.0 - self.density / _STEEL

    def pipe(self, place: float) -> StringPipe:
        """Return what stands at a place below sea level."""
        return next(part.pipe for part in self.parts if part.top <= place <= part.bottom)

    def weight_below(self, place: float) -> float:
        """Return the mass that hangs below a place, times its buoyancy [kg]."""
        lengths = [(part, min(part.length, part.bottom - place)) for part in self.parts]
        mass = sum(float(part.pipe.linear_mass) * max(length, 0.0) for part, length in lengths)
        return self.buoyancy * mass


@kept(SOME)
def turning(hole: Hole) -> tuple[Turning, ...]:
    """Return what turns in the riser, in the order of the plan."""
    plan, setting, found = hole.plan, hole.setting, list[Turning]()
    top = float(setting.sea_bed)
    for section in plan.sections:
        bottom = hole.z(section.bottom)
        if section.returns == "riser" and section.string is not None:
            time = time_to_drill(setting, top, bottom, section.rate_of_penetration_factor)
            parts = hang(hole, section.string, bottom).parts
            density = plan.fluids[section.fluid].density
            found.append(Turning(section.name, parts, density, time))
        top = float(bottom)
    if plan.coring is not None and plan.sections[-1].returns == "riser":
        found.append(_turning_the_core(hole, plan.coring))
    return tuple(found)


def _turning_the_core(hole: Hole, coring: Coring) -> Turning:
    top, bottom = hole.z(coring.top), hole.z(coring.bottom)
    length = Value("length", float(bottom) - float(top), "m", FromWalk("interval cored"))
    time = work(drilling_time, length=length,
                rate_of_penetration=coring.value("rate_of_penetration"))  # fmt: skip
    parts = hang(hole, coring.string, bottom).parts
    return Turning("the core", parts, hole.plan.fluids[coring.fluid].density, time)


@dataclass(frozen=True, eq=False)
class Worn:
    """What wears at one flex joint.

    Attributes
    ----------
    place : below sea level [m]
    angle : of the bend
    """

    sway: Swaying
    place: float
    angle: Value
    sections: tuple[Turning, ...]

    @cached_property
    def areas(self) -> tuple[Value, ...]:
        """Worn area by section."""
        return tuple(self._area(one) for one in self.sections)

    def tension(self, one: Turning) -> Value:
        """Return the weight in mud of what hangs below the joint."""
        gravity = float(gravity_value(self.sway.riser.gear.setting))
        origin = Solved(
            "weight in mud of the string below the joint; the weight on the bit is not taken off",
            "definition",
            tuple(part.pipe.linear_mass for part in one.parts if part.bottom > self.place),
        )
        return Value("effective_tension", one.weight_below(self.place) * gravity, "N", origin)

    def _area(self, one: Turning) -> Value:
        setting = self.sway.riser.gear.setting
        pipe, tension = one.pipe(self.place), self.tension(one)
        return work(
            wear_area,
            wear_factor=setting.basis.value("riser_wear_factor", "wear_factor"),
            side_force=work(
                bend_side_force,
                effective_tension=tension,
                bend_angle=self.angle.named("bend_angle"),
            ),
            contact_diameter=pipe.tool_joint_outside_diameter.named("contact_diameter"),
            rotary_speed=setting.basis.value("rotary_speed"),
            rotating_time=one.time.named("rotating_time"),
            bend_contact_length=_SPACING,
        )

    @cached_property
    def depth(self) -> Value:
        """Depth of the groove that all of them leave together, of the thinnest tool joint."""
        total = sum(float(one) for one in self.areas)
        origin = Solved("sum over the sections", "definition", self.areas)
        joints = (one.pipe(self.place).tool_joint_outside_diameter for one in self.sections)
        thinnest = min(joints, key=float)
        return work(
            crescent_depth,
            wear_area=Value("wear_area", total, "m2", origin),
            inside_diameter=self.sway.riser.gear.bore,
            contact_diameter=thinnest.named("contact_diameter"),
        )


@dataclass(frozen=True, eq=False)
class WornAlong:
    """What wears along the riser, at the nodes of its beam."""

    sway: Swaying
    lying: Lying
    sections: tuple[Turning, ...]

    @cached_property
    def areas(self) -> tuple[Value, ...]:
        """Worn area by section."""
        return tuple(self._area(one) for one in self.sections)

    def _area(self, one: Turning) -> Value:
        setting, nodes = self.sway.riser.gear.setting, self.sway.riser.nodes
        gravity, pipes = float(gravity_value(setting)), [one.pipe(float(z)) for z in nodes]
        masses = np.array([float(pipe.linear_mass) for pipe in pipes])
        hung = Solved("weight in mud of the string below; the weight on the bit is not taken off",
                      "definition", tuple(part.pipe.linear_mass for part in one.parts))  # fmt: skip
        pull = np.array([one.weight_below(float(z)) for z in nodes]) * gravity
        bent = self.lying.curvature
        joints = np.array([float(pipe.tool_joint_outside_diameter) for pipe in pipes])
        force = work(
            side_force_per_length,
            effective_tension=Value("effective_tension", pull, "N", hung, -1),
            effective_weight_per_length=Value(
                "effective_weight_per_length", masses * one.buoyancy * gravity, "N/m", hung, -1
            ),
            inclination=self.lying.lean,
            build_rate=Value("build_rate", -np.asarray(bent.si), "rad/m", bent.origin, -1),
            turn_rate=Value("turn_rate", 0.0, "rad/m", FromWalk("all in one plane")),
        )
        return work(
            spread_wear_area,
            wear_factor=setting.basis.value("riser_wear_factor", "wear_factor"),
            side_force_per_length=force,
            contact_diameter=Value("contact_diameter", joints, "m",
                                   pipes[0].tool_joint_outside_diameter.origin, -1),
            rotary_speed=setting.basis.value("rotary_speed"),
            rotating_time=one.time.named("rotating_time"),
        )  # fmt: skip

    @cached_property
    def depth(self) -> Value:
        """Depth of the groove at the nodes that all sections leave, of the thinnest tool joint."""
        total = np.sum([np.asarray(one.si) for one in self.areas], axis=0)
        pipes = {one.pipe(float(z)) for one in self.sections for z in self.sway.riser.nodes}
        thinnest = min((pipe.tool_joint_outside_diameter for pipe in pipes), key=float)
        return work(
            crescent_depth,
            wear_area=Value("wear_area", total, "m2",
                            Solved("sum over the sections", "definition", self.areas), -1),
            inside_diameter=self.sway.riser.gear.bore,
            contact_diameter=thinnest.named("contact_diameter"),
        )  # fmt: skip


def _usual(sway: Swaying) -> Lying:
    """Return how the riser lies where the vessel is half of the time."""
    setting = sway.riser.gear.setting
    try:
        half = footprint(setting).offset_within(0.5)
    except InputErrors:  # told by the footprint's own question; the planned circle is safe
        return sway.mean
    origin = FromWalk("kept half of the time, by the footprint at sea")
    return mean_at(sway, Value("vessel_offset", half, "m", origin))


@kept(SOME)
def worn_along(sway: Swaying, sections: tuple[Turning, ...]) -> WornAlong:
    """Return what wears along the riser."""
    return WornAlong(sway, _usual(sway), sections)


@kept(SOME)
def worn(sway: Swaying, sections: tuple[Turning, ...]) -> tuple[Worn, Worn]:
    """Return what wears at the lower and at the upper flex joint."""
    usual, gear = _usual(sway), sway.riser.gear
    floor = float(gear.setting.drill_floor)
    return (
        Worn(sway, float(gear.foot), usual.lower_angle, sections),
        Worn(sway, floor, usual.upper_angle, sections),
    )
