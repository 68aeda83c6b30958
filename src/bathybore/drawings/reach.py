"""How deep each limit lets a hole go: a bar for each, on one depth axis."""

from __future__ import annotations

from typing import Final

from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from bathybore.base.units import UnitSystem, from_si, pretty_number
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import depth_unit
from bathybore.drawings.labels import Label, place_labels
from bathybore.drawings.limits import FILLS
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
from bathybore.drawings.words import wrapped
from bathybore.ensembles.shapes import LIMITS
from bathybore.usecases.reach import Bite, Reach

WIDTH: Final = 170.0
HEIGHT: Final = 138.0
_LEFT, _WIDE, _TOP, _TALL = 18.0, 122.0, 24.0, 96.0
_NAMES: Final = _LEFT + _WIDE + 2.5
_BAR: Final = 0.62  # of the width of a column
_MEDIAN: Final = Stroke("P50 of the members", palette.INK, 2.2)
_SPREAD: Final = Stroke("P10 to P90", palette.INK, 0.9)
_TARGET: Final = Stroke("target", palette.BLUISH_GREEN, 1.6, (6.0, 2.0))
_SHOE: Final = Stroke("planned bottoms", palette.QUIET, 0.7, (1.0, 1.6))


def reach_picture(found: Reach, units: UnitSystem = "metric") -> Picture:
    """Return a reach as a picture."""
    with settings():
        return draw_reach(found, units).finished()


def draw_reach(found: Reach, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    axes = panel(figure, _LEFT, _TOP, _WIDE, _TALL)
    unit = depth_unit(units)
    deepest = from_si(found.deepest.metres, "m", unit)
    axes.set_ylim(deepest * 1.045, 0.0)
    axes.set_xlim(-0.5, len(LIMITS) - 0.5)
    axes.set_xticks([])
    axes.set_ylabel(f"depth below the sea bed [{unit}]", fontsize=NORMAL)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.axhline(deepest, color=palette.FAINT, lw=0.8)
    by_limit = {one.limit: one for one in found.bites}
    for column, limit in enumerate(LIMITS):
        _bar(axes, column, by_limit[limit], deepest, unit)
        x = _LEFT + _WIDE * (column + 0.5) / len(LIMITS)
        words = str(limit).replace("other questions of the ledger", "other questions")
        weight = "bold" if by_limit[limit].short else "normal"
        paper.text(
            x, _TOP - 2.0, words, fontsize=SMALL, rotation=60, ha="left", va="bottom",
            rotation_mode="anchor", weight=weight,
        )  # fmt: skip
    _lines(axes, paper, found, unit, deepest)
    _foot(paper, found)
    return Sheet(figure, f"Reach of {found.hole.name}", in_words(found, units))


def _bar(axes: Axes, column: int, bite: Bite, deepest: float, unit: str) -> None:
    """Draw a bar down to where a limit bites, its depth under it, the members' spread on it."""
    depth = from_si((bite.depth or bite.asked_to).metres, "m", unit)
    fill = FILLS[bite.limit].drawn()
    axes.add_patch(Rectangle((column - 0.5 * _BAR, 0.0), _BAR, depth, zorder=2.0, **fill))
    told = f"{pretty_number(round(depth), 5)}" if bite.depth is not None else "deeper"
    weight = "bold" if bite.short else "normal"
    axes.text(
        column, depth + 0.006 * deepest, told, ha="center", va="top", fontsize=SMALL - 1.2,
        weight=weight, zorder=4.0,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.4},
    )  # fmt: skip
    spread = bite.spread
    if spread is None:
        return
    p10, p50, p90 = (
        min(from_si(level, "m", unit), deepest) for level in (spread.p10, spread.p50, spread.p90)
    )
    if p10 >= deepest:
        return  # nine of ten members find it nowhere either
    half = 0.5 * _BAR + 0.1
    axes.plot([column, column], [p10, p90], color=_SPREAD.colour, lw=_SPREAD.width, zorder=3.5)
    for level in (p10, p90):
        ends = [column - 0.5 * half, column + 0.5 * half]
        axes.plot(ends, [level, level], color=_SPREAD.colour, lw=_SPREAD.width, zorder=3.5)
    ends = [column - half, column + half]
    if p50 < deepest:
        axes.plot(ends, [p50, p50], color=_MEDIAN.colour, lw=_MEDIAN.width, zorder=3.5)


def _lines(axes: Axes, paper: Axes, found: Reach, unit: str, deepest: float) -> None:
    hole = found.hole
    below = hole.frame.below_sea_bed
    target = from_si(found.target.metres, "m", unit)
    axes.axhline(target, color=_TARGET.colour, lw=_TARGET.width, ls=_TARGET.style, zorder=3.0)
    shoes = [(hole.plan.conductor.name, below(hole.plan.conductor.shoe))]
    shoes += [(one.casing.name, below(one.casing.shoe)) for one in hole.plan.sections if one.casing]
    edge = _LEFT + _WIDE
    labels = [Label("target", edge, _on_paper(target, deepest), bold=True)]
    for name, depth in shoes:
        y = from_si(depth, "m", unit)
        axes.axhline(y, color=_SHOE.colour, lw=_SHOE.width, ls=_SHOE.style, zorder=1.0)
        labels.append(Label(wrapped(name, 18), edge, _on_paper(y, deepest)))
    end = Label("end of the\nearth table", edge, _on_paper(deepest, deepest), colour=palette.QUIET)
    place_labels(paper, [*labels, end], _NAMES, _TOP - 1.0, _TOP + _TALL + 4.0)


def _on_paper(depth: float, deepest: float) -> float:
    return _TOP + _TALL * depth / (1.045 * deepest)


def _foot(paper: Axes, found: Reach) -> None:
    strokes = [_TARGET, _SHOE]
    if found.members:
        strokes = [_MEDIAN, _SPREAD, *strokes]
    handles = [
        Line2D([], [], color=one.colour, lw=one.width, ls=one.style, label=one.label)
        for one in strokes
    ]
    foot_legend(paper, handles, _TOP + _TALL + 2.0, len(handles))
    words = "Bars: the hole as planned, every limit asked as if it were the only one."
    if found.members:
        words += f" Marks: {found.members} members drawn."
    note = f"{words} {'Invented hole. ' if found.hole.document.invented else ''}"
    paper.text(
        _LEFT, HEIGHT - 3.0, wrapped(note.strip(), 130), fontsize=SMALL, color=palette.QUIET,
        va="bottom",
    )  # fmt: skip


def in_words(found: Reach, units: UnitSystem) -> str:
    """Return what the picture shows, for those who cannot see it."""
    biting = [one for one in found.bites if one.depth is not None]
    if not biting:
        return (
            f"Bars of {len(found.bites)} limits from the sea bed down: none bites above "
            f"{found.deepest.show(units)}, the end of the earth table."
        )
    told = "; ".join(
        f"{one.limit} at {one.depth.show(units)}" for one in biting if one.depth is not None
    )
    return f"Bars from the sea bed to where each limit bites: {told}. The others bite nowhere."
