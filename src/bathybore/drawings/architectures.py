"""Proposals side by side over one depth axis: strings, shoes, holes and mud densities."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon

from bathybore.base.depth import Datum, Depth
from bathybore.base.units import UnitSystem, show
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import DepthScale, depth_unit, draw_depth_axis
from bathybore.drawings.picture import (
    NORMAL,
    SMALL,
    Picture,
    Sheet,
    foot_legend,
    paper_axes,
    settings,
    sheet_of_paper,
)
from bathybore.drawings.words import below_sea_bed, inches, wrapped
from bathybore.model.hole import Hole
from bathybore.operations.catalogue_pipes import casing_pipe
from bathybore.usecases.ledger import DAY
from bathybore.usecases.searching import ClosedWay, Found, Proposal, strings_in_words

WIDTH: Final = 170.0
MOST: Final = 4  # columns side by side; the rest is in the page
_LEFT, _RIGHT, _TOP, _HEIGHT, _FOOT = 18.0, 16.0, 22.0, 150.0, 18.0
_AXIS_SHARE: Final = 0.24  # of a column, where the middle of the hole stands
_HALF_WIDTH: Final = 0.2  # of a column, half of the widest string
_LINE_HEIGHT: Final = 2.9  # mm of the small print
_FOOT_LETTERS: Final = 118  # of a line below the columns


@dataclass(frozen=True)
class _Piece:
    """A length of the hole, metres below sea level; a string, or open hole without one."""

    name: str
    top: float
    bottom: float
    diameter: float
    steel: bool


@dataclass(frozen=True)
class _Note:
    """A text that belongs to a depth."""

    z: float
    text: str


@dataclass(frozen=True)
class WayDrawn:
    """One way to draw."""

    title: str
    pieces: tuple[_Piece, ...]
    notes: tuple[_Note, ...]


def architectures_picture(hole: Hole, found: Found, units: UnitSystem = "metric") -> Picture:
    """Return the proposals of a search side by side; the deepest closed ways where it has none."""
    with settings():
        return draw_architectures(hole, found, units).finished()


def draw_architectures(hole: Hole, found: Found, units: UnitSystem = "metric") -> Sheet:
    columns = [of_proposal(hole, one, units) for one in found.proposals[:MOST]]
    title = "Architectures found" if found.proposals else "What closes every way"
    if not columns:
        columns = [_of_closed(hole, one, units) for one in found.closed[:MOST]]
    return sheet_of_columns(hole, columns, found.target, title, units)


def sheet_of_columns(
    hole: Hole,
    columns: list[WayDrawn],
    target: Depth,
    title: str,
    units: UnitSystem,
    foot: str = "",
) -> Sheet:
    """Draw ways to the target side by side; within `settings`.

    Parameters
    ----------
    foot : what is said below them
    """
    lines = wrapped(foot, _FOOT_LETTERS).count("\n") + 1 if foot else 0
    figure = sheet_of_paper(WIDTH, _TOP + _HEIGHT + _FOOT + _LINE_HEIGHT * lines)
    paper = paper_axes(figure)
    bed, z_target = float(hole.sea_bed), float(hole.z(target))
    deepest = bed + 1.02 * (z_target - bed)
    scale = DepthScale(bed - 1.0, bed, deepest, _TOP - 0.01, _TOP, _TOP + _HEIGHT)
    _ground(paper, hole, scale, z_target, units)
    widest = max((p.diameter for c in columns for p in c.pieces), default=1.0)
    room = (WIDTH - _LEFT - _RIGHT) / max(len(columns), 1)
    for index, column in enumerate(columns):
        _draw(paper, column, scale, _LEFT + index * room, room, widest)
    _legend(paper)
    if foot:
        paper.text(0.5 * WIDTH, _TOP + _HEIGHT + _FOOT - 3.0, wrapped(foot, _FOOT_LETTERS),
                   fontsize=SMALL, ha="center", va="top", color=palette.QUIET)  # fmt: skip
    return Sheet(figure, title, _alt(columns, target, title, units, foot))


def of_proposal(hole: Hole, one: Proposal, units: UnitSystem, said: str = "") -> WayDrawn:
    """Return a proposal of the search to draw.

    Parameters
    ----------
    said : of it, below its name; left out: its strings, days and what its walk says
    """
    pieces, notes = [_conductor(hole)], []
    for section in one.sections:
        top, bottom = float(hole.z(section.top)), float(hole.z(section.bottom))
        pieces.append(_Piece("hole", top, bottom, section.hole_diameter, False))
        mud = "sea water" if section.only_sea_water else _density(float(section.density), units)
        hole_size = f"{inches(section.hole_diameter)} hole, {mud}"
        notes.append(_Note(0.5 * (top + bottom), hole_size))
        casing = section.casing
        if casing is not None:
            hung = hole.sea_bed if casing.hung_at is None else hole.z(casing.hung_at)
            pieces.append(_Piece("string", float(hung), bottom, casing.outside_diameter, True))
            depth = below_sea_bed(hole, bottom, units)
            kind = "liner" if casing.hung_at is not None else "casing"
            notes.append(_Note(bottom, f"{inches(casing.outside_diameter)} {kind}, {depth}"))
    return WayDrawn(f"{one.number}: {one.why}\n{said or _told(one)}", tuple(pieces), tuple(notes))


def _told(one: Proposal) -> str:
    days = float(one.days) / DAY
    told = f"{strings_in_words(one.strings)}, about {days:.0f} days"
    if one.verdict is None:
        return told
    counts = one.verdict.counts
    return f"{told}\nwalk: {counts.get('fails', 0)} of {sum(counts.values())} fail"


def of_plan(hole: Hole, units: UnitSystem, said: str) -> WayDrawn:
    """Return the plan of a hole to draw, with what is said of it."""
    pieces, notes = [_conductor(hole)], list[_Note]()
    top = float(hole.z(hole.plan.conductor.shoe))
    for section in hole.plan.sections:
        bottom, casing = float(hole.z(section.bottom)), section.casing
        pieces.append(_Piece("hole", top, bottom, section.hole_diameter, False))
        mud = _density(hole.plan.fluids[section.fluid].density, units)
        notes.append(_Note(0.5 * (top + bottom), f"{inches(section.hole_diameter)} hole, {mud}"))
        if casing is not None:
            at_bed = isinstance(casing.hung_at, str)
            hung = hole.sea_bed if isinstance(casing.hung_at, str) else hole.z(casing.hung_at)
            width, shoe = (
                casing_pipe(hole, casing.pipe).outside_diameter,
                float(hole.z(casing.shoe)),
            )
            pieces.append(_Piece("string", float(hung), shoe, float(width), True))
            kind, depth = ("casing" if at_bed else "liner"), below_sea_bed(hole, shoe, units)
            notes.append(_Note(shoe, f"{inches(float(width))} {kind}, {depth}"))
        top = bottom
    return WayDrawn(f"as planned\n{said}", tuple(pieces), tuple(notes))


def _of_closed(hole: Hole, one: ClosedWay, units: UnitSystem) -> WayDrawn:
    shoe, deepest = float(hole.z(one.shoe)), float(hole.z(one.deepest))
    string = _Piece("string", float(hole.sea_bed), shoe, 0.34, True)
    pieces = [_conductor(hole), string]
    notes = [_Note(shoe, f"{one.string}, {below_sea_bed(hole, shoe, units)}")]
    if one.hole_diameter is not None:
        pieces.append(_Piece("hole", shoe, deepest, one.hole_diameter, False))
    why = one.reason or f"{one.needed_by} against {one.borne_by}"
    notes.append(_Note(deepest, f"closed at {below_sea_bed(hole, deepest, units)}: {why}"))
    return WayDrawn(f"below {one.string}", tuple(pieces), tuple(notes))


def _conductor(hole: Hole) -> _Piece:
    plan = hole.plan.conductor
    width = float(casing_pipe(hole, plan.pipe).outside_diameter)
    return _Piece("string", float(hole.sea_bed), float(hole.z(plan.shoe)), width, True)


def _density(density: float, units: UnitSystem) -> str:
    return show(density, "kg/m3", unit="sg" if units == "metric" else "ppg", significant=4)


def _ground(paper: Axes, hole: Hole, scale: DepthScale, target: float, units: UnitSystem) -> None:
    ends = [_LEFT, WIDTH - _RIGHT]
    paper.plot(ends, [scale.y_sea_bed] * 2, color=palette.INK, lw=1.2)
    paper.plot(ends, [scale.y(target)] * 2, color=palette.VERMILION, lw=1.0, ls=(0, (6.0, 2.0)))
    for x, datum, side, at in (
        (_LEFT, Datum.DRILL_FLOOR, "left", 3.0),
        (WIDTH - _RIGHT, Datum.SEA_BED, "right", WIDTH - 2.5),
    ):
        draw_depth_axis(paper, hole, scale, x, datum, units, side=side)
        paper.text(
            at,
            0.5 * (scale.y_sea_bed + scale.y_below),
            f"depth below the {datum} [{depth_unit(units)}], true vertical",
            fontsize=NORMAL,
            rotation=90,
            va="center",
            ha="center",
        )


def _draw(
    paper: Axes, column: WayDrawn, scale: DepthScale, left: float, room: float, widest: float
) -> None:
    middle = left + _AXIS_SHARE * room
    letters = max(int(room / 1.4), 12)
    paper.text(
        left + 1.5,
        _TOP - 2.0,
        wrapped_lines(column.title, letters),
        fontsize=SMALL,
        va="bottom",
    )
    for piece in column.pieces:
        half = _HALF_WIDTH * room * piece.diameter / widest
        ends = [scale.y(piece.top), scale.y(piece.bottom)]
        for side in (-1.0, 1.0):
            x = middle + side * half
            if piece.steel:
                paper.plot([x, x], ends, color=palette.STEEL, lw=1.3, solid_capstyle="butt")
                foot = [(x, ends[1]), (x + side * 1.8, ends[1]), (x, ends[1] - 2.4)]
                paper.add_patch(Polygon(foot, color=palette.STEEL, lw=0.0))
            else:
                paper.plot([x, x], ends, color=palette.BLUE, lw=0.8, ls=(0, (3.0, 1.5)))
    _write(paper, column.notes, scale, left + 0.51 * room, max(int(0.5 * room / 1.35), 12))


def _write(
    paper: Axes, notes: tuple[_Note, ...], scale: DepthScale, x: float, letters: int
) -> None:
    """Write texts beside their depths, none over another and none above the sea bed."""
    ordered = sorted(notes, key=lambda one: one.z)
    texts = [wrapped(note.text, letters) for note in ordered]
    halves = [0.5 * _LINE_HEIGHT * (text.count("\n") + 1) + 0.3 for text in texts]
    places = [scale.y(note.z) for note in ordered]
    free = scale.y_below + 2.0
    for index in reversed(range(len(places))):  # up from the bottom
        places[index] = min(places[index], free - halves[index])
        free = places[index] - halves[index]
    free = scale.y_sea_bed + 0.5
    for index, text in enumerate(texts):  # and down from the sea bed
        y = max(places[index], free + halves[index])
        paper.text(x, y, text, fontsize=SMALL, va="center", color=palette.INK, linespacing=1.05)
        free = y + halves[index]


def wrapped_lines(text: str, letters: int) -> str:
    """Return lines of a text, each wrapped by itself."""
    return "\n".join(wrapped(line, letters) for line in text.split("\n"))


def _legend(paper: Axes) -> None:
    handles = [
        Line2D([], [], color=palette.STEEL, lw=1.3, marker=6, ms=4, label="string and its shoe"),
        Line2D([], [], color=palette.BLUE, lw=0.8, ls=(0, (3.0, 1.5)), label="hole drilled"),
        Line2D([], [], color=palette.VERMILION, lw=1.0, ls=(0, (6.0, 2.0)), label="target"),
    ]
    foot_legend(paper, handles, _TOP + _HEIGHT + 6.0, 3, handlelength=3.0)


def _alt(columns: list[WayDrawn], target: Depth, title: str, units: UnitSystem, foot: str) -> str:
    said = "; ".join(
        f"{column.title.replace(chr(10), ', ')}: "
        + ", ".join(note.text for note in sorted(column.notes, key=lambda one: one.z))
        for column in columns
    )
    return f"{title}, to {target.show(units)}. {said}. {foot}".strip()
