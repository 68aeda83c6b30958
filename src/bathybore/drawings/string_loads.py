"""Load at the top against depth for strings of a stock, and the string that reaches deepest."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from bathybore.base.units import UnitSystem, conversion, pretty_unit, show, shown_unit
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import depth_unit
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
from bathybore.usecases.string_reach import MOST, StringReach, load_curve

WIDTH: Final = 170.0
HEIGHT: Final = 144.0
_TOP, _TALL = 12.0, 96.0
_STOCK: Final = Stroke("lightest string from the stock", palette.BLUE, 2.0)
_ENDLESS: Final = Stroke(
    "with as much of each pipe as one likes", palette.SKY_BLUE, 1.6, (5.0, 2.0)
)
_HOIST: Final = Stroke("what the hoist bears", palette.VERMILION, 1.6)
_BORNE: Final = Stroke("what the pipe there bears", palette.INK, 1.6)
_HUNG: Final = Stroke("what hangs below", palette.REDDISH_PURPLE, 2.0)
_NEEDED: Final = Stroke("target", palette.BLUISH_GREEN, 1.2, (2.0, 1.5))


def string_picture(reach: StringReach, units: UnitSystem = "metric") -> Picture:
    """Return the loads against depth as a picture."""
    with settings():
        return draw_string(reach, units).finished()


def draw_string(reach: StringReach, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    across = conversion(shown_unit("N", units)).factor
    down = conversion(shown_unit("m", units)).factor
    left = panel(figure, 20.0, _TOP, 66.0, _TALL)
    _curves(left, reach, across, down, units)
    right = panel(figure, 98.0, _TOP, 66.0, _TALL)
    _string(right, reach, across, down)
    headings = (
        (20.0, "top tension of the lightest string to each depth"),
        (98.0, "in the planned hole"),
    )
    for x, words in headings:
        paper.text(x, 6.0, words, fontsize=NORMAL, va="center")
    label = f"tension at rest, in {reach.fluid} [{pretty_unit(shown_unit('N', units))}]"
    for axes in (left, right):
        axes.set_xlabel(label, fontsize=SMALL, labelpad=1.5)
    depth = f"depth below the drill floor [{depth_unit(units)}]"
    paper.text(5.0, _TOP + 0.5 * _TALL, depth, rotation=90, va="center", ha="center")
    strokes = (_STOCK, _ENDLESS, _HOIST, _HUNG, _BORNE, _NEEDED)
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label) for s in strokes
    ]
    foot_legend(paper, handles, 118.0, 3, handlelength=3.6)
    words = wrapped(f"Reach {_shown(float(reach.reach), units)}. Ended by: {reach.ends}.", 110)
    paper.text(
        0.5 * WIDTH, 133.0, words, fontsize=SMALL, ha="center", va="top", color=palette.QUIET
    )
    title = "How deep a string from the stock reaches"
    return Sheet(figure, title, in_words(reach, units))


def _shown(length: float, units: UnitSystem) -> str:
    return show(length, "m", units, significant=5)


def _dress(axes: Axes, deepest: float) -> None:
    axes.set_ylim(deepest, 0.0)
    axes.set_xlim(left=0.0)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)


def _curves(axes: Axes, reach: StringReach, across: float, down: float, units: UnitSystem) -> None:
    most = max(MOST, float(reach.needed))
    for way, stroke in ((reach.endless, _ENDLESS), (reach.free, _STOCK)):
        depth, tension = _cut(*load_curve(way, reach.assembly_length), most)
        axes.plot(
            tension / across, depth / down, color=stroke.colour, lw=stroke.width, ls=stroke.style
        )
        if depth[-1] < most:
            axes.plot(tension[-1] / across, depth[-1] / down, "o", color=stroke.colour, ms=4.0)
            _mark(axes, tension[-1] / across, depth[-1], down, units)
    axes.axvline(float(reach.hoist) / across, color=_HOIST.colour, lw=_HOIST.width)
    _target(axes, reach, down)
    _dress(axes, most / down)
    axes.set_xlim(0.0, 1.06 * float(reach.hoist) / across)


def _cut(depth: np.ndarray, tension: np.ndarray, most: float) -> tuple[np.ndarray, np.ndarray]:
    """Return a curve down to the greatest depth that is drawn."""
    if depth[-1] <= most:
        return depth, tension
    kept = depth < most
    last = np.interp(most, depth, tension)
    return np.append(depth[kept], most), np.append(tension[kept], last)


def _mark(axes: Axes, x: float, depth: float, down: float, units: UnitSystem) -> None:
    axes.annotate(
        _shown(depth, units), (x, depth / down), textcoords="offset points", xytext=(4.0, 3.0),
        fontsize=SMALL,
    )  # fmt: skip


def _target(axes: Axes, reach: StringReach, down: float) -> None:
    axes.axhline(
        float(reach.needed) / down, color=_NEEDED.colour, lw=_NEEDED.width, ls=_NEEDED.style
    )


def _string(axes: Axes, reach: StringReach, across: float, down: float) -> None:
    """Draw tension along the string found, top down, against what each pipe bears."""
    foot = float(reach.reach) - reach.assembly_length
    tension = float(reach.below)
    axes.plot(
        [0.0, tension / across], [float(reach.reach) / down, foot / down],
        color=_HUNG.colour, lw=_HUNG.width,
    )  # fmt: skip
    for pipe in reach.pipes:
        head = foot - pipe.length
        ends = [foot / down, head / down]
        axes.plot(
            [tension / across, pipe.top_tension / across], ends,
            color=_HUNG.colour, lw=_HUNG.width,
        )  # fmt: skip
        bears = pipe.bears / across
        axes.plot([bears, bears], ends, color=_BORNE.colour, lw=_BORNE.width)
        axes.text(
            bears, 0.5 * sum(ends), f" {pipe.name}", fontsize=SMALL, va="center", ha="left",
            color=palette.INK,
        )  # fmt: skip
        tension, foot = pipe.top_tension, head
    axes.axvline(float(reach.hoist) / across, color=_HOIST.colour, lw=_HOIST.width)
    _target(axes, reach, down)
    _dress(axes, max(float(reach.reach), float(reach.needed)) * 1.05 / down)
    axes.set_xlim(0.0, 1.06 * float(reach.hoist) / across)


def in_words(reach: StringReach, units: UnitSystem) -> str:
    """Return what the picture shows, for those who cannot see it."""
    pipes = ", ".join(
        f"{_shown(pipe.length, units)} of {pipe.name}" for pipe in reversed(reach.pipes)
    )
    return (
        f"From the drill floor down {pipes or 'no pipe'} and the bottom assembly of "
        f"{reach.string} reach {_shown(float(reach.reach), units)}; the target asks for "
        f"{_shown(float(reach.needed), units)}. Ended by: {reach.ends}."
    )
