"""Who stands inside whom: bores of the hole from the top down, annuli round a string."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.frozen import quickly_made
from bathybore.base.keeping import SOME, kept, same
from bathybore.base.working import FromWalk, Value
from bathybore.operations.state import (
    CasingInPlace,
    HoleState,
    OpenHole,
    Riser,
    StringInHole,
)


@quickly_made
@dataclass(frozen=True)
class Bore:
    """What bounds the fluid from outside over an interval."""

    name: str
    kind: str  # 'riser', 'casing' or 'open hole'
    top: BelowSeaLevel
    bottom: BelowSeaLevel
    diameter: float


def bores(state: HoleState) -> tuple[Bore, ...]:
    """Return the innermost walls from the flow line (or the sea bed) down to the bottom."""
    return walls(state.hole.sea_bed, state.bottom, state.riser, state.casings, state.open_hole)


@kept(SOME)
def walls(
    sea_bed: BelowSeaLevel,
    bottom: BelowSeaLevel,
    riser: Riser | None,
    casings: tuple[CasingInPlace, ...],
    open_hole: tuple[OpenHole, ...],
) -> tuple[Bore, ...]:
    """Return the innermost walls of riser, casings and open hole, from the top down."""
    pieces: list[Bore] = []
    if riser is not None:
        pieces.append(Bore("riser", "riser", riser.top, riser.bottom, float(riser.inside_diameter)))
    edges = {sea_bed, bottom}
    for casing in casings:
        edges |= {max(casing.top, sea_bed), casing.shoe}
    for hole in open_hole:
        edges |= {hole.top, hole.bottom}
    for top, bottom_ in pairwise(sorted(edges)):
        pieces.extend(_innermost(casings, open_hole, top, bottom_))
    return tuple(same(bore) for bore in _merged(pieces))


def _innermost(
    casings: tuple[CasingInPlace, ...],
    open_hole: tuple[OpenHole, ...],
    top: BelowSeaLevel,
    bottom: BelowSeaLevel,
) -> list[Bore]:
    middle = 0.5 * (top + bottom)
    cased = [c for c in casings if c.top <= middle <= c.shoe]
    if cased:
        inner = min(cased, key=lambda c: float(c.pipe.inside_diameter))
        return [Bore(inner.name, "casing", top, bottom, float(inner.pipe.inside_diameter))]
    for hole in open_hole:
        if hole.top <= middle <= hole.bottom:
            return [Bore(hole.section, "open hole", top, bottom, float(hole.diameter))]
    return []


def _merged(pieces: list[Bore]) -> list[Bore]:
    merged: list[Bore] = []
    for piece in pieces:
        last = merged[-1] if merged else None
        if last and (last.name, last.kind, last.diameter) == (
            piece.name,
            piece.kind,
            piece.diameter,
        ):
            merged[-1] = Bore(last.name, last.kind, last.top, piece.bottom, last.diameter)
        else:
            merged.append(piece)
    return merged


@dataclass(frozen=True, eq=False)
class Segments:
    """A channel cut into lengths of constant section, from the top down; arrays over segments."""

    names: tuple[str, ...]
    kinds: tuple[str, ...]
    top: Array
    bottom: Array
    outer_diameter: Array
    inner_diameter: Array

    @cached_property
    def length(self) -> Array:
        return self.bottom - self.top

    @cached_property
    def middle(self) -> Array:
        return 0.5 * (self.top + self.bottom)

    @cached_property
    def in_riser(self) -> Array:
        """One for each segment in the riser, zero for the others."""
        return np.array([kind == "riser" for kind in self.kinds], dtype=float)

    @cached_property
    def open_throughout(self) -> bool:
        """Whether there is room round the pipe in every segment."""
        return bool((self.outer_diameter > self.inner_diameter).all())

    def __len__(self) -> int:
        return len(self.names)

    def cut_at(self, places: Sequence[float]) -> Segments:
        """Return the same channel with further cuts, where the fluid in it changes."""
        rows = []
        for index, name in enumerate(self.names):
            top, bottom = float(self.top[index]), float(self.bottom[index])
            edges = sorted({top, bottom, *(p for p in places if top < p < bottom)})
            rows += [(name, self.kinds[index], a, b, index) for a, b in pairwise(edges)]
        which = [row[4] for row in rows]
        return Segments(
            tuple(row[0] for row in rows),
            tuple(row[1] for row in rows),
            np.array([row[2] for row in rows]),
            np.array([row[3] for row in rows]),
            self.outer_diameter[which],
            self.inner_diameter[which],
        )

    def value(self, name: str, array: Array, unit: str = "m") -> Value:
        """Return an array over segments as a value; which segment is which stands in its origin."""
        return Value(name, array, unit, self._told)

    @cached_property
    def _told(self) -> FromWalk:
        return FromWalk("top down: " + "; ".join(self.names))

    def length_above(self, z: Array) -> Value:
        """Return (depth, segment) lengths of each segment that lie above each depth."""
        covered = np.clip(z[:, None] - self.top[None, :], 0.0, self.length[None, :])
        origin = FromWalk("length of each segment above the depth; " + "; ".join(self.names))
        return Value("segment_length", covered, "m", origin, depth_axis=-2)


@quickly_made
@dataclass(frozen=True)
class Length:
    """A length of pipe of one outside diameter, where it stands."""

    name: str
    outside_diameter: float
    top: float
    bottom: float


def annuli(state: HoleState, string: StringInHole) -> Segments:
    """Return the annuli round a string from the top exit of the fluid to the string's end."""
    return annuli_between(bores(state), string)


def annuli_between(bores: tuple[Bore, ...], string: StringInHole) -> Segments:
    """Return the annuli between the walls of the hole and a string."""
    return annuli_round(bores, lengths_of(string, np.inf))


@kept(SOME)
def lengths_of(string: StringInHole, end: float) -> tuple[Length, ...]:
    """Return the lengths of pipe of a string, down to an end above its own if need be."""
    return tuple(
        same(
            Length(
                part.pipe.name,
                float(part.pipe.outside_diameter),
                float(part.top),
                min(float(part.bottom), end),
            )
        )
        for part in string.parts
        if part.top < end
    )


@kept(SOME)
def annuli_round(bores: tuple[Bore, ...], lengths: tuple[Length, ...]) -> Segments:
    """Return the annuli round lengths of pipe that hang between the walls of the hole."""
    end = max(length.bottom for length in lengths)
    edges = {float(e) for bore in bores for e in (bore.top, bore.bottom) if e < end}
    edges |= {length.top for length in lengths} | {end}
    rows: list[tuple[str, str, float, float, float, float]] = []
    for top, bottom in pairwise(sorted(edges)):
        middle = 0.5 * (top + bottom)
        wall = next((b for b in bores if b.top <= middle <= b.bottom), None)
        part = next((p for p in lengths if p.top <= middle <= p.bottom), None)
        if wall is None or part is None or bottom - top < 1e-6:
            continue
        name = f"{part.name} in {wall.name}"
        rows.append((name, wall.kind, top, bottom, wall.diameter, part.outside_diameter))
    names, kinds, tops, bottoms, outer, inner = zip(*rows, strict=True)
    return Segments(
        names, kinds, np.array(tops), np.array(bottoms), np.array(outer), np.array(inner)
    )


@kept(SOME)
def string_bores(string: StringInHole) -> Segments:
    """Return the inside of a string from the drill floor to its end, as segments."""
    parts = string.parts[::-1]
    inside = np.array([float(p.pipe.inside_diameter) for p in parts])
    return Segments(
        tuple(f"inside {p.pipe.name}" for p in parts),
        tuple("pipe" for _ in parts),
        np.array([p.top for p in parts], dtype=float),
        np.array([p.bottom for p in parts], dtype=float),
        inside,
        np.zeros_like(inside),
    )


def volume_of(segments: Segments) -> float:
    """Return the fluid volume [m3] of a channel."""
    area = 0.25 * np.pi * (segments.outer_diameter**2 - segments.inner_diameter**2)
    return float(np.sum(area * segments.length))


def hole_volume(state: HoleState) -> float:
    """Return the volume [m3] inside the walls, without a string."""
    return sum(0.25 * np.pi * b.diameter**2 * (b.bottom - b.top) for b in bores(state))


def filled_to(segments: Segments, start: float, volume: float) -> float:
    """Return how high a volume reaches in a channel, filled upwards from ``start``.

    Where the volume is more than the channel holds it comes out at the top.
    """
    area = 0.25 * np.pi * (segments.outer_diameter**2 - segments.inner_diameter**2)
    for index in range(len(segments) - 1, -1, -1):
        top, bottom = float(segments.top[index]), min(float(segments.bottom[index]), start)
        if bottom <= top:
            continue
        room = float(area[index]) * (bottom - top)
        if volume <= room:
            return bottom - volume / float(area[index])
        volume -= room
    return float(segments.top[0])
