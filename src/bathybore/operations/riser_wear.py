"""Wear of the riser's flex joints by the string that turns in them while the bit cuts.

The string bends at a flex joint by its mean angle where the vessel is half of the time, and is
pulled round that bend by the weight that hangs below it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.riser_wear import (
    bend_side_force,
    crescent_depth,
    wear_area,
)
from bathybore.model.hole import Hole
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
    return tuple(found)


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
        gravity, buoyancy = float(gravity_value(self.sway.riser.gear.setting)), 1.0 - (
            one.density / _STEEL
        )  # fmt: skip
        below = [
            (part, min(part.length, part.bottom - self.place))
            for part in one.parts
            if part.bottom > self.place
        ]
        weight = sum(float(part.pipe.linear_mass) * length for part, length in below)
        origin = Solved(
            "weight in mud of the string below the joint; the weight on the bit is not taken off",
            "definition",
            tuple(part.pipe.linear_mass for part, _ in below),
        )
        return Value("effective_tension", weight * gravity * buoyancy, "N", origin)

    def _area(self, one: Turning) -> Value:
        setting = self.sway.riser.gear.setting
        pipe = next(part.pipe for part in one.parts if part.top <= self.place <= part.bottom)
        tension = self.tension(one)
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
        thinnest = min(
            (part.pipe.tool_joint_outside_diameter for one in self.sections for part in one.parts
             if part.top <= self.place <= part.bottom),
            key=float,
        )  # fmt: skip
        return work(
            crescent_depth,
            wear_area=Value("wear_area", total, "m2", origin),
            inside_diameter=self.sway.riser.gear.bore,
            contact_diameter=thinnest.named("contact_diameter"),
        )


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
def worn(sway: Swaying, sections: tuple[Turning, ...]) -> tuple[Worn, Worn]:
    """Return what wears at the lower and at the upper flex joint."""
    usual, gear = _usual(sway), sway.riser.gear
    floor = float(gear.setting.drill_floor)
    return (
        Worn(sway, float(gear.foot), usual.lower_angle, sections),
        Worn(sway, floor, usual.upper_angle, sections),
    )
