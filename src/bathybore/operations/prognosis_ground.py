"""What the curves of a prognosis are worked from: depth nodes and the readings at them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bathybore.base.arrays import Array, Real
from bathybore.base.depth import Depth, DepthFrame
from bathybore.base.errors import InputErrors
from bathybore.base.units import show
from bathybore.base.working import FromTable, FromWalk, Solved, Value
from bathybore.model.chart import written_at
from bathybore.model.fields import Node
from bathybore.model.hole import Setting
from bathybore.model.prognosis import CURVES, Neighbour, Prognosis, Reading
from bathybore.operations.columns import sea_pressure

Mask = NDArray[np.bool_]

_WINDOW: Final = 9  # readings in the running median that spikes are told by
_FEWEST: Final = 25  # readings; a shorter curve is a table whose jumps are meant
_FAR: Final = 8.0  # robust standard deviations
_CLEAR: Final = 0.05  # of the reading: less is no spike however smooth the log
_SAME: Final = 1e-6  # m
_NORMAL_MAD: Final = 1.4826  # standard deviation over median deviation of normal scatter


@dataclass(frozen=True, eq=False)
class Ground:
    """A prognosis with its data, ready to be worked out.

    Attributes
    ----------
    frame : datums of the hole that is planned
    z : depth nodes [m] below its sea bed
    readings : by curve, without spikes and what no rock can have
    moved : the uncertain input that is taken one standard deviation greater; none if empty
    """

    prognosis: Prognosis
    frame: DepthFrame
    z: Array
    sea_bed_pressure: Value
    sea_bed_temperature: Value
    gravity: Value
    neighbour_sea_pressure: Value
    readings: Mapping[str, Reading]
    moved: str = ""

    @cached_property
    def depth(self) -> Value:
        return Value("depth_below_sea_bed", self.z, "m", FromWalk("depth nodes"), -1)

    def below(self, depth: Depth) -> float:
        """Return a depth in metres below the sea bed."""
        return self.frame.below_sea_bed(depth)

    def with_moved(self, name: str) -> Ground:
        return replace(self, moved=name)

    def shifted(self, name: str, value: Value, change: Callable[[Real], Real]) -> Value:
        """Return a value as it is, or one standard deviation greater when that one is moved."""
        if self.moved != name:
            return value
        origin = FromWalk(f"one standard deviation of {name} greater")
        return Value(value.name, change(value.si), value.unit, origin, value.depth_axis)

    def told(self, node: Node, name: str) -> Value:
        """Return a number of the rock: a curve where a file brings it, else the one constant."""
        if name in self.readings:
            return self.along(name)
        return node.value(name)

    def along(self, name: str) -> Value:
        """Return a curve at the nodes, straight between its readings, held beyond its ends."""
        reading = self.readings[name]
        numbers = np.interp(self.z, reading.depths, reading.numbers)
        origin = FromTable(reading.file, f"{reading.column}, straight between readings", "given")
        return Value(name, numbers, reading.unit, origin, -1)

    def words(self, name: str, depths: Array) -> tuple[str, ...]:
        """Return the word that stands at or above each depth; above the first, the first."""
        reading = self.readings[name]
        rows = np.searchsorted(reading.depths, depths + 1e-9, side="right") - 1
        return tuple(reading.words[max(int(row), 0)] for row in rows)

    def is_clay(self, depths: Array) -> Mask:
        clays = [word.lower() for word in self.prognosis.pore_pressure.clays]
        kinds = self.words("lithology", depths)
        return np.array([any(word in kind.lower() for word in clays) for kind in kinds], dtype=bool)

    def medians(self, name: str, clay_only: bool = False) -> Array:
        """Return the middle of the readings about each node, as far up as down; NaN of none.

        A window filled on one side only would give the reading of another depth.
        """
        reading = self.readings[name]
        depths, numbers = reading.depths, reading.numbers
        if clay_only:
            clay = self.is_clay(depths)
            depths, numbers = depths[clay], numbers[clay]
        half = 0.5 * self.prognosis.spacing
        return np.array([_middle_at(float(z), half, depths, numbers) for z in self.z])

    def middle(self, name: str, used: Mask, clay_only: bool = False) -> Value:
        """Return medians at the nodes; where not ``used``, straight between those that are."""
        reading, half = self.readings[name], 0.5 * self.prognosis.spacing
        numbers = self.medians(name, clay_only)
        filled = np.interp(self.z, self.z[used], numbers[used])
        where = f"{reading.column}, middle of the {'clay ' if clay_only else ''}readings"
        origin = FromTable(reading.file, f"{where} within {half:g} m", "given")
        return Value(name, filled, reading.unit, origin, -1)


@dataclass(frozen=True, eq=False)
class Curve:
    """One curve over the depth nodes, or over the first of them.

    Attributes
    ----------
    method : in words
    pieces : (from which depth on, value) where the working changes with depth, downwards
    spread : one standard deviation, in the unit of the value; infinite where a moved input leaves
        no answer
    remarks : what was taken for granted on the way, in sentences
    """

    name: str
    value: Value
    method: str
    pieces: tuple[tuple[float, Value], ...] = ()
    spread: Array = field(default_factory=lambda: np.zeros(0))
    remarks: tuple[str, ...] = ()

    @property
    def si(self) -> Array:
        return np.asarray(self.value.si, dtype=float)

    def at(self, index: int, z: Array) -> Value:
        """Return the value at a node with the working that holds there."""
        working = self.value
        for top, piece in self.pieces:
            if z[index] >= top - 1e-9:
                working = piece
        return working.at_node(index)

    def outside_validity(self) -> tuple[str, ...]:
        return self.value.outside_validity()


def _middle_at(z: float, half: float, depths: Array, numbers: Array) -> float:
    first, last = np.searchsorted(depths, [z - half - _SAME, z + half + _SAME])
    if last <= first:
        return float("nan")
    inside, values = depths[first:last], numbers[first:last]
    reach = min(z - float(inside[0]), float(inside[-1]) - z)
    if reach < -_SAME:
        return float("nan")
    near = np.abs(inside - z) <= max(reach, float(np.min(np.abs(inside - z)))) + _SAME
    return float(np.median(values[near]))


def neighbour_sea(setting: Setting, neighbour: Neighbour) -> Value:
    """Return the pressure of the sea on the neighbour's bed, from this hole's sea table.

    A share of this hole's sea would be wrong by the sea's compression: tens of kilopascals, and
    near the sea bed the grains carry no more than a few hundred.

    Raises
    ------
    InputErrors
        The table ends above that bed.
    """
    sea, water = setting.sea, neighbour.water_depth
    if water > sea.deepest + _SAME:
        found = f"{show(water, 'm', significant=6)} of water over the neighbour"
        wanted = f"at most that of {sea.file}, {show(sea.deepest, 'm', significant=6)}"
        fix = f"Add a row to {sea.file}: what the sea is like at that depth."
        raise InputErrors.one(written_at(neighbour, "water_depth"), found, wanted, fix)
    pressure = sea_pressure(setting, min(water, sea.deepest))
    told = neighbour.value("water_depth")
    origin = Solved("this hole's sea down to the neighbour's bed", "teos-10", (pressure, told))
    return Value("sea_bed_pressure", float(pressure), "Pa", origin)


def nodes(prognosis: Prognosis, frame: DepthFrame, readings: Mapping[str, Reading]) -> Array:
    """Return the depth nodes: an even grid, closer near the sea bed, and the changes of rock."""
    deepest = frame.below_sea_bed(prognosis.deepest)
    places = [0.0, 10.0, 25.0, *np.arange(0.0, deepest, prognosis.spacing).tolist(), deepest]
    places += _turns(prognosis, frame)
    for name in ("lithology", "formation_fluid", "hazard"):
        if name in readings:
            reading = readings[name]
            changes = [
                float(reading.depths[row])
                for row in range(1, len(reading.words))
                if reading.words[row] != reading.words[row - 1]
            ]
            places += changes
    inside = [place for place in places if 0.0 <= place <= deepest]
    return np.unique(np.round(inside, 3))


def _turns(prognosis: Prognosis, frame: DepthFrame) -> Iterator[float]:
    """Yield the depths at which a method gives way to another."""
    turns = [prognosis.pore_pressure.normal_above, prognosis.wall.elastic_below]
    if prognosis.soft_mud is not None:
        turns.append(prognosis.soft_mud.bottom)
    yield from (frame.below_sea_bed(turn) for turn in turns if turn is not None)


def impossible(reading: Reading) -> Mask:
    """Return which readings lie outside what rock, mud and bits can have."""
    _, low, high = CURVES[reading.name]
    return np.asarray((reading.numbers < low) | (reading.numbers > high))


def spiky(reading: Reading) -> Mask:
    """Return which readings stand far off their neighbours: robust, by a running median."""
    from scipy.ndimage import median_filter  # here: costly to import, rarely needed

    numbers = reading.numbers
    if len(numbers) < _FEWEST or reading.words:
        return np.zeros(len(numbers), dtype=bool)
    off = np.abs(numbers - median_filter(numbers, size=_WINDOW, mode="nearest"))
    usual = _NORMAL_MAD * float(np.median(off))
    return np.asarray((off > _FAR * usual) & (off > _CLEAR * np.abs(numbers)))


def cleaned(reading: Reading, keep_spikes: bool) -> Reading:
    """Return a curve without what no rock can have and, unless they are kept, without spikes."""
    if reading.words:
        return reading
    bad = impossible(reading)
    sound = _rows(reading, ~bad)
    return sound if keep_spikes else _rows(sound, ~spiky(sound))


def _rows(reading: Reading, kept: Mask) -> Reading:
    rows = np.flatnonzero(kept)
    return replace(
        reading,
        depths=reading.depths[rows],
        numbers=reading.numbers[rows],
        lines=tuple(reading.lines[row] for row in rows),
    )
