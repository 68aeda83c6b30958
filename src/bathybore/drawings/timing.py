"""Depth against time: deepening as slopes, everything else as flat time, both in the clear."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Final

from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from bathybore.base.depth import Datum
from bathybore.base.units import UnitSystem, pretty_number
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import DepthScale, depth_unit, draw_depth_axis
from bathybore.drawings.labels import Label, column_needed, place_labels
from bathybore.drawings.palette import Stroke
from bathybore.drawings.picture import (
    NORMAL,
    SMALL,
    Picture,
    Sheet,
    foot_legend,
    panel,
    paper_axes,
    settings,
    sheet_of_paper,
)
from bathybore.drawings.words import below_sea_bed, days, wrapped
from bathybore.operations.state import HoleState

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

WIDTH: Final = 170.0
_LEFT, _PANEL, _TOP, _FOOT = 16.0, 84.0, 5.0, 24.0
_NAMES: Final = 106.0
_RIGHT_RULER: Final = 153.5
_DAY: Final = 86400.0
DEEPENING: Final = Stroke("deepening the hole", palette.BLUE, 2.4)
FLAT: Final = Stroke("flat time", palette.VERMILION, 2.4, (3.0, 1.2))
# parts of a step's time in which the bit is on bottom, or stops only for a connection
_ON_BOTTOM: Final = frozenset(("drill", "cut", "jet in", "connections"))


@dataclass(frozen=True)
class Leg:
    """A piece of the line: days since arrival, metres below sea level."""

    start: float
    end: float
    top: float
    bottom: float

    @property
    def deepens(self) -> bool:
        return self.bottom > self.top

    @property
    def length(self) -> float:
        return self.end - self.start


@dataclass(frozen=True)
class Stretch:
    """Consecutive steps that are named together: one that deepens the hole, or all flat ones."""

    steps: tuple[str, ...]
    legs: tuple[Leg, ...]

    @property
    def length(self) -> float:
        return self.legs[-1].end - self.legs[0].start

    @property
    def flat(self) -> float:
        return sum(leg.length for leg in self.legs if not leg.deepens)

    @property
    def deepened(self) -> float:
        return self.legs[-1].bottom - self.legs[0].top


def legs_of(state: HoleState, depth: float, begun: float) -> tuple[Leg, ...]:
    """Return the line of one step from a depth [m below sea level] and a time [days].

    Parts of the step's time are taken in their order. Trouble and weather stretch all
    of them alike, as they do the step. A step whose parts are not known, and which
    deepens the hole, is one slope.
    """
    end, bottom = state.elapsed / _DAY, float(state.bottom)
    on_bottom = [float(p) if p.name in _ON_BOTTOM else 0.0 for p in state.times]
    if bottom <= depth:
        return (Leg(begun, end, depth, depth),)
    if sum(on_bottom) <= 0.0:
        return (Leg(begun, end, depth, bottom),)
    stretch = (end - begun) / sum(float(p) for p in state.times)
    legs, at, z = [], begun, depth
    for part, deepening in zip(state.times, on_bottom, strict=True):
        later = at + float(part) * stretch
        deeper = z + (bottom - depth) * deepening / sum(on_bottom)
        legs.append(Leg(at, later, z, deeper))
        at, z = later, deeper
    return tuple(legs)


def stretches(walk: Walk) -> tuple[Stretch, ...]:
    """Return the walk as stretches that are named together, in order."""
    found: list[Stretch] = []
    depth, begun = float(walk.hole.sea_bed), 0.0
    for state in walk.states:
        new = Stretch((state.step.name,), legs_of(state, depth, begun))
        if found and found[-1].deepened <= 0.0 and new.deepened <= 0.0:
            found[-1] = Stretch((*found[-1].steps, *new.steps), (*found[-1].legs, *new.legs))
        else:
            found.append(new)
        depth, begun = float(state.bottom), state.elapsed / _DAY
    return tuple(found)


def time_picture(walk: Walk, units: UnitSystem = "metric") -> Picture:
    """Return the depth of the hole against days since arrival, step by step.

    Only the time on bottom deepens the hole; trips and all else are drawn flat.
    """
    with settings():
        return draw_time(walk, units).finished()


def draw_time(walk: Walk, units: UnitSystem = "metric") -> Sheet:
    hole, parts = walk.hole, stretches(walk)
    names = [_name(walk, part, units) for part in parts]
    room = max(104.0, column_needed(names))
    figure = sheet_of_paper(WIDTH, _TOP + room + _FOOT)
    paper = paper_axes(figure)
    sea_bed, bottom = float(hole.sea_bed), float(walk.states[-1].bottom)
    rock = max(bottom - sea_bed, 1.0)
    y_sea_bed = _TOP + 0.05 * room
    below = sea_bed + 1.03 * rock
    scale = DepthScale(sea_bed - 0.05 * rock, sea_bed, below, _TOP, y_sea_bed, _TOP + room)
    axes = panel(figure, _LEFT, y_sea_bed, _PANEL, _TOP + room - y_sea_bed)
    total = max(parts[-1].legs[-1].end, 1e-6) * 1.02
    _line(axes, walk, parts)
    axes.set_xlim(0.0, total)
    axes.set_ylim(scale.below, sea_bed)
    axes.set_yticks([])
    axes.set_xlabel("days since arrival on site", fontsize=NORMAL, labelpad=2.0)
    axes.tick_params(axis="x", labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(axis="x", color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)
    axes.spines[["top", "right"]].set_visible(False)
    labels = []
    for part, name in zip(parts, names, strict=True):
        last = part.legs[-1]
        day = last.end if part.deepened <= 0.0 else 0.5 * (part.legs[0].start + last.end)
        z = 0.5 * (part.legs[0].top + last.bottom)
        day = next((0.5 * (g.start + g.end) for g in part.legs if g.deepens), day)
        labels.append(Label(name, _LEFT + _PANEL * day / total, scale.y(z)))
    place_labels(paper, labels, _NAMES, _TOP, _TOP + room + 4.0)
    _rulers(paper, walk, scale, units)
    _key(paper, _TOP + room)
    return Sheet(figure, "Depth against time", _alt(walk, parts, units))


def _line(axes: Axes, walk: Walk, parts: tuple[Stretch, ...]) -> None:
    axes.axhline(float(walk.hole.sea_bed), color=palette.INK, lw=1.0)
    legs = (leg for part in parts for leg in part.legs)
    for deepens, run in groupby(legs, key=lambda leg: leg.deepens):
        pieces = list(run)
        stroke = DEEPENING if deepens else FLAT
        axes.plot(
            [pieces[0].start, *(leg.end for leg in pieces)],
            [pieces[0].top, *(leg.bottom for leg in pieces)],
            color=stroke.colour,
            lw=stroke.width,
            ls=stroke.style,
            clip_on=False,
        )
    ends = [state.elapsed / _DAY for state in walk.states]
    depths = [float(state.bottom) for state in walk.states]
    axes.plot(
        ends, depths, ls="none", marker="|", color=palette.INK, ms=5.0, mew=0.7, clip_on=False
    )


def _name(walk: Walk, part: Stretch, units: UnitSystem) -> str:
    named = part.steps[0]
    if len(part.steps) > 1:
        named += (" to " if len(part.steps) > 2 else ", ") + part.steps[-1]
    if part.deepened <= 0.0:
        return wrapped(f"{named}: {days(part.length * _DAY)} flat", 35)
    metres = below_sea_bed(walk.hole, walk.hole.sea_bed + part.deepened, units)
    return wrapped(
        f"{named}: {metres} in {days(part.length * _DAY)}, {days(part.flat * _DAY)} flat", 35
    )


def _rulers(paper: Axes, walk: Walk, scale: DepthScale, units: UnitSystem) -> None:
    for x, datum, side, at in (
        (_LEFT, Datum.DRILL_FLOOR, "left", 2.0),
        (_RIGHT_RULER, Datum.SEA_BED, "right", WIDTH - 2.0),
    ):
        draw_depth_axis(paper, walk.hole, scale, x, datum, units, side=side)
        paper.text(
            at,
            0.5 * (scale.y_sea_bed + scale.y_below),
            f"bottom of the hole below the {datum} [{depth_unit(units)}]",
            fontsize=NORMAL,
            rotation=90,
            va="center",
            ha="center",
        )


def _key(paper: Axes, bottom: float) -> None:
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label)
        for s in (DEEPENING, FLAT)
    ]
    handles.append(
        Line2D([], [], color=palette.INK, ls="none", marker="|", ms=6, label="end of a step")
    )
    foot_legend(paper, handles, bottom + 10.0, 3, handlelength=3.4)
    paper.text(
        0.5 * WIDTH,
        bottom + 19.0,
        "Depth axis from the sea bed down. Times include trouble and weather. "
        "Bit changes and core runs are drawn after the cutting.",
        fontsize=SMALL,
        ha="center",
        va="center",
        color=palette.QUIET,
    )


def _alt(walk: Walk, parts: tuple[Stretch, ...], units: UnitSystem) -> str:
    flat = pretty_number(sum(part.flat for part in parts), 3)
    total = pretty_number(parts[-1].legs[-1].end, 3)
    bottom = below_sea_bed(walk.hole, float(walk.states[-1].bottom), units)
    return (
        f"Depth of the hole against days since arrival: {total} days to {bottom} below the sea "
        f"bed and away, {flat} of them flat time. "
        f"{'; '.join(_name(walk, p, units).replace(chr(10), ' ') for p in parts)}."
    )
