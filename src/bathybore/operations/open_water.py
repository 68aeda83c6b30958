"""Pipe that hangs from the vessel in open water: what it weighs, bears and how a current bends it.

Two moments: the foot has come down to the sea bed and hangs free; the string works in the
hole, which holds it upright at the sea bed. The whole is taken to weigh what it does in sea
water, above the sea too; the current comes from one side at all depths.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.keeping import SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.kernels.hanging_string import hang_in_current
from bathybore.kernels.riser_shape import current_load
from bathybore.kernels.soft_string import YOUNG_MODULUS
from bathybore.kernels.string_mechanics import effective_weight_per_length
from bathybore.kernels.tensioned_beam import BeamShape, graded_nodes
from bathybore.kernels.tubular_strength import second_moment_of_area
from bathybore.model.hole import Setting
from bathybore.operations.catalogue_pipes import CasingPipe, StringPipe
from bathybore.operations.loads import part_weights
from bathybore.operations.sea_conditions import current_at, mean_density
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import CasingInPlace, HoleState, PartInHole, StringInHole
from bathybore.operations.strings import hang

FINEST: Final = 0.3  # m; a pipe upright in the slips straightens within a few metres
COARSEST: Final = 25.0
# of the light alloys, common practice: 71 and 114 GPa
MODULUS_OVER_STEEL: Final = {"steel": 1.0, "aluminium": 71.0 / 206.8, "titanium": 114.0 / 206.8}


@dataclass(frozen=True, eq=False)
class Piece:
    """A length of pipe in the water, what is inside it and hangs with it counted in.

    Attributes
    ----------
    pipe : that bears and is judged
    weights, moments : weight per length and second moment of area of each pipe in it
    young_modulus : [Pa]
    """

    pipe: CasingPipe | StringPipe
    top: float
    bottom: float
    weights: tuple[Value, ...]
    moments: tuple[Value, ...]
    young_modulus: Value

    @property
    def stiffness(self) -> float:
        return float(self.young_modulus) * sum(float(one) for one in self.moments)

    @property
    def weight(self) -> float:
        return sum(float(one) for one in self.weights)


@dataclass(frozen=True, eq=False)
class Hanging:
    """Pipe from the drill floor to the sea bed.

    Attributes
    ----------
    pieces : top down
    moment : when it hangs so, in words
    below : weight of what hangs below the sea bed; None where the foot hangs free
    """

    setting: Setting
    pieces: tuple[Piece, ...]
    moment: str
    below: Value | None

    @cached_property
    def nodes(self) -> Array:
        """Depths of the nodes below sea level: fine beside what holds or changes the pipe."""
        marks = {float(piece.top) for piece in self.pieces} | {float(self.pieces[-1].bottom)}
        marks |= {0.0} if self.pieces[0].top < -2.0 * FINEST else set()
        nodes = graded_nodes(np.array(sorted(marks)), FINEST, COARSEST)
        nodes.setflags(write=False)
        return nodes

    @cached_property
    def which(self) -> npt.NDArray[np.intp]:
        """Index of the piece that each element belongs to."""
        middle = 0.5 * (self.nodes[1:] + self.nodes[:-1])
        return np.searchsorted([piece.bottom for piece in self.pieces], middle)

    @cached_property
    def ends(self) -> Array:
        """Depths of the upper and the lower end of every element, one after the other."""
        return np.stack([self.nodes[:-1], self.nodes[1:]], axis=-1).ravel()

    def of_pieces(self, name: str, unit: str, each: Callable[[Piece], Value]) -> Value:
        """Return a size of the pipes at the ends of the elements."""
        values = [each(piece) for piece in self.pieces]
        numbers = np.array([float(value) for value in values])[np.repeat(self.which, 2)]
        names = ", ".join(piece.pipe.name for piece in self.pieces)
        origin = Solved(f"of the pipe that hangs there, top down {names}", "definition",
                        tuple(values))  # fmt: skip
        return Value(name, numbers, unit, origin, -1)

    @cached_property
    def tension(self) -> Value:
        """Effective tension at the ends of the elements: the weight of all that hangs below."""
        weight = np.array([piece.weight for piece in self.pieces])[self.which]
        foot = 0.0 if self.below is None else float(self.below)
        lower = foot + np.append(np.cumsum((weight * np.diff(self.nodes))[::-1])[::-1], 0.0)
        parts = tuple(one for piece in self.pieces for one in piece.weights)
        told = "weight in sea water of all that hangs below"
        origin = Solved(told, "definition", parts if self.below is None else (*parts, self.below))
        ends = np.stack([lower[:-1], lower[1:]], axis=-1).ravel()
        return Value("effective_tension", ends, "N", origin, -1)

    @cached_property
    def load(self) -> Value:
        """Push of the current per length at the ends of the elements; none in the air."""
        setting, z = self.setting, np.clip(self.ends, 0.0, float(self.setting.sea_bed))
        push = work(
            current_load,
            drag_coefficient=setting.basis.value("string_drag_coefficient", "drag_coefficient"),
            hydrodynamic_diameter=self.of_pieces(
                "hydrodynamic_diameter", "m", lambda piece: piece.pipe.outside_diameter
            ),
            current_speed=current_at(setting, z),
            sea_water_density=mean_density(setting),
        )
        middle = 0.5 * (self.nodes[1:] + self.nodes[:-1])
        wet = np.repeat(middle > 0.0, 2)
        origin = Solved("below the surface of the sea only", "definition", (push,))
        return Value("transverse_load", np.where(wet, push.si, 0.0), "N/m", origin, -1)


def reaching(state: HoleState) -> Hanging | None:
    """Return the pipe of a step as its foot hangs free at the sea bed; None where none does."""
    string, casing, hole = state.activity.string, state.activity.casing, state.hole
    if state.riser is not None or string is None:
        return None
    setting = hole.setting
    if state.hanging_casing is not None and casing is not None:
        if casing.is_conductor:
            parts = _round_string(setting, string, casing)
        else:
            top = BelowSeaLevel(hole.sea_bed - float(casing.shoe - casing.top))
            above = hang(hole, string.name, top) if top > hole.drill_floor else None
            parts = _on_string(setting, above, casing, top)
        what = casing.name
    else:
        parts = _of_string(setting, hang(hole, string.name, hole.sea_bed))
        what = f"the string {string.name}"
    return _hanging(setting, parts, f"{what} comes down to the sea bed and hangs free", None)


def working(state: HoleState) -> Hanging | None:
    """Return the string of a step that works in the hole, down to the sea bed; None where none."""
    string, hole = state.activity.string, state.hole
    if state.riser is not None or string is None or state.hanging_casing is not None:
        return None
    if string.bottom <= hole.sea_bed + 1.0:
        return None
    setting = hole.setting
    whole = _of_string(setting, string)
    below = _weight_below(setting, whole)
    parts = tuple(
        same(replace(one, bottom=min(one.bottom, float(hole.sea_bed))))
        for one in whole
        if one.top < hole.sea_bed
    )
    moment = f"the string {string.name} works in the hole, which holds it upright at the sea bed"
    return _hanging(setting, parts, moment, below)


@kept(SOME)
def _hanging(
    setting: Setting, pieces: tuple[Piece, ...], moment: str, below: Value | None
) -> Hanging:
    return Hanging(setting, pieces, moment, below)


@kept(SOME)
def _weight_below(setting: Setting, pieces: tuple[Piece, ...]) -> Value:
    """Return the weight of the string below the sea bed."""
    bed = float(setting.sea_bed)
    return summed(
        "load",
        "N",
        "weight in sea water of what hangs below the sea bed",
        [
            Value(
                "load",
                one.weight * (one.bottom - max(one.top, bed)),
                "N",
                Solved(f"weight per length of {one.pipe.name} times its length in the hole",
                       "definition", one.weights),
            )
            for one in pieces
            if one.bottom > bed
        ],
    )  # fmt: skip


@kept(SOME)
def _of_string(setting: Setting, string: StringInHole) -> tuple[Piece, ...]:
    """Return the parts of a string, top down."""
    sea = sea_water(setting)
    whole = part_weights(string, sea, sea)
    weights = [
        whole.at_segment(index).named("effective_weight_per_length")
        for index in range(len(string.parts))
    ]
    pairs = zip(reversed(string.parts), reversed(weights), strict=True)
    return tuple(_piece(part, weight) for part, weight in pairs)


def _piece(part: PartInHole, weight: Value) -> Piece:
    young = YOUNG_MODULUS * MODULUS_OVER_STEEL[part.pipe.stock.material]
    origin = FromWalk(f"of {part.pipe.stock.material}")
    return Piece(
        part.pipe,
        float(part.top),
        float(part.bottom),
        (weight,),
        (_second_moment(part.pipe),),
        Value("young_modulus", young, "Pa", origin),
    )


def _second_moment(pipe: CasingPipe | StringPipe) -> Value:
    return work(
        second_moment_of_area,
        outside_diameter=pipe.outside_diameter,
        inside_diameter=pipe.inside_diameter,
    )


@kept(SOME)
def _on_string(
    setting: Setting, string: StringInHole | None, casing: CasingInPlace, top: BelowSeaLevel
) -> tuple[Piece, ...]:
    """Return a casing with its shoe at the sea bed, on the string it is run on."""
    above = () if string is None else _of_string(setting, string)
    upper = max(float(top), float(setting.drill_floor))
    return (*above, _casing_piece(setting, casing, upper, ()))


def _casing_piece(
    setting: Setting, casing: CasingInPlace, top: float, inside: tuple[Piece, ...]
) -> Piece:
    """Return a casing down to the sea bed, heavier and stiffer by what hangs inside it."""
    density = sea_water(setting).value("density")
    weight = work(
        effective_weight_per_length,
        linear_mass=casing.pipe.linear_mass,
        outside_diameter=casing.pipe.outside_diameter,
        inside_diameter=casing.pipe.inside_diameter,
        fluid_density_inside=density,
        fluid_density_outside=density,
    )
    young = Value("young_modulus", YOUNG_MODULUS, "Pa", FromWalk("of steel"))
    weights = (weight, *(one for piece in inside for one in piece.weights))
    moments = (_second_moment(casing.pipe), *(one for piece in inside for one in piece.moments))
    return Piece(casing.pipe, top, float(setting.sea_bed), weights, moments, young)


@kept(SOME)
def _round_string(
    setting: Setting, string: StringInHole, conductor: CasingInPlace
) -> tuple[Piece, ...]:
    """Return the string above a conductor, and the conductor with what of it hangs inside."""
    top, pieces = float(conductor.top), _of_string(setting, string)
    above = tuple(replace(one, bottom=min(one.bottom, top)) for one in pieces if one.top < top)
    marks = sorted({top, *(one.top for one in pieces if one.top > top)})
    ends = (*marks[1:], float(setting.sea_bed))
    within = []
    for upper, lower in zip(marks, ends, strict=True):
        inside = tuple(one for one in pieces if one.top <= upper and one.bottom >= lower)
        within.append(replace(_casing_piece(setting, conductor, upper, inside), bottom=lower))
    return (*above, *within)


@dataclass(frozen=True, eq=False)
class InCurrent:
    """Hanging pipe bent by the current."""

    hanging: Hanging
    shape: BeamShape

    @cached_property
    def _inputs(self) -> tuple[Value, ...]:
        hung = self.hanging
        moments = tuple(one for piece in hung.pieces for one in piece.moments)
        moduli = tuple(piece.young_modulus for piece in hung.pieces)
        return (hung.tension, hung.load, *moduli, *moments)

    @cached_property
    def curvature(self) -> Value:
        """Size of the curvature at the ends of the elements."""
        origin = Solved(_PROBLEM, "timoshenko-strength-2", self._inputs, self.shape.residual)
        return Value("dogleg_severity", np.abs(self.shape.curvature).ravel(), "rad/m", origin, -1)

    @cached_property
    def foot_offset(self) -> Value:
        """How far the current carries the foot from below the drill floor."""
        origin = Solved(_PROBLEM, "timoshenko-strength-2", self._inputs, self.shape.residual)
        return Value("foot_offset", abs(float(self.shape.displacement[-1])), "m", origin)


_PROBLEM: Final = (
    "beam under its own tension in the current, held upright at the drill floor: "
    "$B_s y'''' - (T_e y')' = q$, $B_s = E sum I$"
)


@kept(SOME)
def in_current(hanging: Hanging) -> InCurrent:
    """Return hanging pipe bent by the current.

    Raises
    ------
    NotConverged
        The forces on it do not balance.
    """
    stiffness = np.array([piece.stiffness for piece in hanging.pieces])[hanging.which]
    tension = np.asarray(hanging.tension.si).reshape(-1, 2).mean(axis=-1)
    load = np.asarray(hanging.load.si).reshape(-1, 2).mean(axis=-1)
    held = hanging.below is not None
    return InCurrent(hanging, hang_in_current(hanging.nodes, stiffness, tension, load, held))
