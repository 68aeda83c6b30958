"""Cuttings by annulus: how well they rise and how full it is, by every law of slip."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, pretty_unit, shown_unit
from bathybore.drawings import palette
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
from bathybore.operations.cuttings_carried import OWN_LAW, Carried
from bathybore.usecases.cleaning import Cleaning

WIDTH: Final = 170.0
HEIGHT: Final = 144.0
_TOP, _TALL = 12.0, 92.0
_STYLES: Final = (
    (palette.ORANGE, 1.2, (1.0, 1.2)),
    (palette.REDDISH_PURPLE, 1.4, (4.0, 1.5, 1.0, 1.5)),
    (palette.SKY_BLUE, 1.4, (6.0, 2.0)),
    (palette.BLUISH_GREEN, 1.4, (3.0, 1.0)),
)
_OWN: Final = (palette.INK, 2.2, ())
_WATER: Final = (palette.BLUE, 1.8, (2.0, 1.5))
_SWEEP: Final = (palette.VERMILION, 1.4, (8.0, 1.5, 2.0, 1.5))
_MOST: Final = 0.12  # share of cuttings to which the picture reaches


def cuttings_picture(one: Cleaning, units: UnitSystem = "metric") -> Picture:
    """Return ratio and share of cuttings by annulus as a picture."""
    with settings():
        return draw_cuttings(one, units).finished()


def draw_cuttings(one: Cleaning, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    strokes = _strokes(one)
    left = panel(figure, 20.0, _TOP, 68.0, _TALL)
    right = panel(figure, 98.0, _TOP, 66.0, _TALL)
    for carried, stroke in strokes:
        _steps(left, one, np.asarray(carried.ratio.si), stroke, units)
        _steps(right, one, 100.0 * np.asarray(carried.fraction.si), stroke, units)
    basis = one.flow.setting.basis
    needed = basis.transport_ratio if one.flow.on_riser else basis.transport_ratio_riserless
    left.axvline(needed, color=palette.QUIET, lw=1.0)
    right.axvline(100.0 * basis.cuttings_concentration, color=palette.QUIET, lw=1.0)
    left.set_xlim(-0.05, 1.05)
    right.set_xlim(0.0, 100.0 * _MOST)
    for axes in (left, right):
        axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
        axes.grid(color=palette.FAINT, linewidth=0.4)
        axes.set_axisbelow(True)
        axes.invert_yaxis()
    left.set_xlabel("velocity of cuttings over that of the mud", fontsize=SMALL, labelpad=1.5)
    right.set_xlabel("cuttings by volume [%]", fontsize=SMALL, labelpad=1.5)
    paper.text(20.0, 6.0, "transport ratio; grey: least wanted", fontsize=NORMAL, va="center")
    paper.text(98.0, 6.0, "while drilling; grey: most wanted", fontsize=NORMAL, va="center")
    depth = f"depth below the drill floor [{pretty_unit(shown_unit('m', units))}]"
    paper.text(5.0, _TOP + 0.5 * _TALL, depth, rotation=90, va="center", ha="center")
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label) for _, s in strokes
    ]
    foot_legend(paper, handles, 117.0, 2, handlelength=3.6)
    return Sheet(figure, f"Cuttings of {one.section}", in_words(one))


def _strokes(one: Cleaning) -> list[tuple[Carried, Stroke]]:
    found = []
    for index, carried in enumerate(one.carried):
        style = _OWN if carried.law == OWN_LAW else _STYLES[index % len(_STYLES)]
        found.append((carried, Stroke(carried.law, *style)))
    if one.by_sweep is not None:
        found.append((one.by_sweep, Stroke("the sweep", *_SWEEP)))
    found.append((one.water, Stroke("sea water, same flow", *_WATER)))
    return found


def _steps(axes: Axes, one: Cleaning, numbers: Array, stroke: Stroke, units: UnitSystem) -> None:
    """Draw a number that is one along each annulus, from the top down."""
    floor, unit = float(one.flow.setting.drill_floor), shown_unit("m", units)
    segments = one.segments
    ends = np.column_stack([segments.top, segments.bottom]).ravel() - floor
    y = [from_si(float(z), "m", unit) for z in ends]
    axes.plot(
        np.repeat(numbers, 2), y, color=stroke.colour, lw=stroke.width, ls=stroke.style,
        clip_on=True,
    )  # fmt: skip


def in_words(one: Cleaning) -> str:
    """Say what the picture shows."""
    told = ", ".join(f"{carried.law} {carried.least_ratio:.2f}" for carried in one.carried)
    return (
        f"Cuttings of {one.section} by annulus. Least transport ratio by law: {told}; sea water at "
        f"the same flow {one.water.least_ratio:.2f}."
    )
