"""What the rock of every member needs and bears: the search's own bounds, earths drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, SOME, kept
from bathybore.base.working import FromWalk, Value
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.model.hole import Hole
from bathybore.operations.catalogue_pipes import CasingPipe
from bathybore.operations.columns import earth_value, mean_temperature
from bathybore.search.bounds import (
    Bounds,
    Grid,
    Terms,
    bounds_for,
    greatest_below,
    influx_density,
    usual_terms,
)
from bathybore.search.circulation import DUMPED, RISER, SEA_WATER, Circulation
from bathybore.search.practice import Practice, casing_surge
from bathybore.search.problems import casing_like

# Columns of the earth table that the bounds read; numbers of the design basis that they take.
CURVES: Final = (
    "pore_pressure",
    "fracture_pressure",
    "collapse_pressure",
    "temperature",
    "rate_of_penetration",
)
FRICTION: Final = "friction_pressure"
BLOCK: Final = 64  # members at a time: what a cache holds
_DRAWN: Final = FromWalk("drawn")


@dataclass(frozen=True, eq=False)
class Earths:
    """The earths of some members over all nodes of a frame.

    Attributes
    ----------
    curves : (member, node) by column of the earth table; (1, node) where all have the same
    units : SI, by column
    """

    frame: Frame
    curves: Mapping[str, Array]
    units: Mapping[str, str]

    @cached_property
    def heat(self) -> Array:
        """(member, node) Temperature integrated from the sea bed down [K m].

        As the walk does it where it is the table's, whose rows may be further apart.
        """
        frame, warmth = self.frame, self.curves["temperature"]
        table = np.asarray(earth_value(frame.hole, "temperature", frame.z).si)
        if len(warmth) == 1 and (warmth[0] == table).all():
            mean = mean_temperature(frame.hole, float(frame.hole.sea_bed), frame.z)
            return np.atleast_2d(np.asarray(mean.si) * frame.depth)
        layers = 0.5 * (warmth[:, 1:] + warmth[:, :-1]) * np.diff(frame.depth)
        top = np.zeros((len(warmth), 1))
        return np.concatenate([top, np.cumsum(layers, axis=1)], axis=1)

    @cached_property
    def influx(self) -> Array:
        """(member, node) Density of what kicks at fracture pressure, as warm as at the target."""
        to_target = slice(None, self.frame.target + 1)
        warmest = np.max(self.curves["temperature"][:, to_target], axis=1, keepdims=True)
        fracture, hole = self.curves["fracture_pressure"], self.frame.hole
        found = np.empty(np.broadcast_shapes(fracture.shape, warmest.shape))
        for start in range(0, len(found), BLOCK):
            block = slice(start, start + BLOCK)
            found[block] = influx_density(hole, _rows(fracture, block), _rows(warmest, block))
        return found


def _rows(numbers: Array, block: slice) -> Array:
    """Return those of some members; of all where all have the same."""
    return numbers if len(numbers) == 1 else numbers[block]


def earths_of(frame: Frame, drawn: Drawn) -> Earths:
    """Return the earths that were drawn; what was not is the table's."""
    curves, units = {}, {}
    for column in CURVES:
        if frame.hole.earth.has(column):
            table = earth_value(frame.hole, column, frame.z)
            curves[column] = np.atleast_2d(drawn.curves.get(column, np.asarray(table.si)))
            units[column] = table.unit
    return Earths(frame, curves, units)


@dataclass(frozen=True, eq=False)
class MemberGrid(Grid):
    """Some nodes of the earths of many members.

    Attributes
    ----------
    first : of the frame's nodes
    """

    earths: Earths
    first: int

    @property
    def nodes(self) -> slice:
        return slice(self.first, self.first + len(self.depth))

    def earth(self, column: str, name: str | None = None) -> Value:
        curve, unit = self.earths.curves[column][:, self.nodes], self.earths.units[column]
        return Value(name or column, curve, unit, _DRAWN, -1)

    def mean_temperature(self, top: float) -> Value:
        above = heat_of_sea(self.hole, top)
        mean = (above + self.earths.heat[:, self.nodes]) / (self.z - top)
        return Value("temperature", mean, "K", _DRAWN, -1)

    @cached_property
    def greatest_rate(self) -> Array:
        """The greatest down to the target, and below it the greatest of all below."""
        rate = self.earths.curves["rate_of_penetration"][:, self.nodes]
        below = max(self.earths.frame.target + 1 - self.first, 0)
        parts = rate[:, :below], rate[:, below:]
        return np.concatenate([greatest_below(part) for part in parts], axis=1)

    @cached_property
    def influx_density(self) -> Array:
        return self.earths.influx[:, self.nodes]


@kept(FEW)
def heat_of_sea(hole: Hole, top: float) -> float:
    """Return the temperature integrated from a place above the sea bed down to it [K m]."""
    bed = float(hole.sea_bed)
    return float(mean_temperature(hole, top, bed).si) * (bed - top)


def member_grid(earths: Earths, first: int, last: int) -> MemberGrid:
    """Return the nodes from one to another, both included."""
    return MemberGrid(earths.frame.hole, _depths(earths.frame, first, last), earths, first)


@kept(SOME)
def _depths(frame: Frame, first: int, last: int) -> Array:
    """Return the depths of nodes: the same array each time, by which what hangs on it is kept."""
    return frame.depth[first : last + 1]


def number_of(drawn: Drawn, key: str, planned: Value) -> Value:
    """Return a number of the design basis as drawn (member, 1); as planned where it is certain."""
    numbers = drawn.numbers.get(key)
    if numbers is None:
        return planned
    return Value(planned.name, numbers[:, None], planned.unit, _DRAWN)


def terms_of(hole: Hole, drawn: Drawn) -> Terms:
    """Return the terms of the design basis, with those numbers that were drawn."""
    usual = usual_terms(hole)

    def term(name: str) -> Value:
        return number_of(drawn, f"design_basis.{name}", getattr(usual, name))

    return Terms(
        trip_margin=term("trip_margin"),
        fracture_margin=term("fracture_margin"),
        kick_intensity=term("kick_intensity"),
        kick_volume=term("kick_volume"),
        heaviest_mud=usual.heaviest_mud,
        room=usual.room,
    )


def circulation_of(hole: Hole, section: int, dumped: bool = False) -> Circulation:
    """Return how a section of the plan is drilled; without a riser with the plan's own fluid."""
    if dumped:
        return DUMPED
    return RISER if hole.plan.sections[section].returns == "riser" else SEA_WATER


@kept(SOME)
def planned_practice(hole: Hole, section: int, dumped: bool = False) -> Practice:
    """Return how a section of the plan is drilled, as planned or with its heavy mud."""
    planned = hole.plan.sections[section]
    name = planned.pad_fluid if dumped and planned.pad_fluid is not None else planned.fluid
    return Practice(hole, section, planned.hole_diameter, hole.plan.fluids[name], 1.0)


def section_bounds(grid: Grid, section: int, drawn: Drawn, dumped: bool = False) -> Bounds:
    """Return the bounds of a section of the plan at some nodes."""
    hole, friction = grid.hole, drawn.numbers.get(FRICTION)
    practice = planned_practice(hole, section, dumped)
    how = circulation_of(hole, section, dumped)
    return bounds_for(grid, how, practice, 1.0 if friction is None else friction[:, None])


@kept(SOME)
def surge_of(practice: Practice, pipe: CasingPipe, depth: Array) -> Array:
    """Return the pressure that a casing adds while it is run into the hole of a bit [Pa].

    A spare may ask for a wider hole than the section's: it is opened up for it before.
    """
    outside = float(pipe.outside_diameter)
    hole, coupling = practice.hole, float(pipe.coupling_outside_diameter)
    needs = max(coupling if np.isfinite(coupling) else outside, outside)
    wide = max(practice.hole_diameter, needs + hole.basis.casing_clearance)
    opened = Practice(hole, practice.index, wide, practice.fluid, practice.scale)
    return casing_surge(opened, outside, casing_like(hole, outside), depth)
