"""How warm the hole is while it is circulated, and how it warms again: against depth and time."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, shown_unit
from bathybore.drawings import palette
from bathybore.drawings.flow_sheet import (
    TOP,
    WIDTH,
    depth_label,
    depth_panel,
    down,
    handles_of,
    unit_label,
)
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
from bathybore.usecases.circulating import StepCirculation
from bathybore.usecases.circulating_told import heat_told

HEIGHT: Final = 138.0
_TALL: Final = 96.0
_GROUND: Final = Stroke("undisturbed", palette.INK, 1.2, (2.0, 1.5))
_DOWN: Final = Stroke("down the string, settled", palette.BLUE, 1.8, (6.0, 2.0))
_UP: Final = Stroke("up the annulus, settled", palette.BLUISH_GREEN, 2.0)
_STOPPED: Final = Stroke("annulus after the stop", palette.VERMILION, 1.6, (4.0, 1.5, 1.0, 1.5))


def heat_picture(one: StepCirculation, units: UnitSystem = "metric") -> Picture:
    """Return temperature against depth, and at the bottom against time, as a picture."""
    with settings():
        return draw_heat(one, units).finished()


def draw_heat(one: StepCirculation, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    left = depth_panel(figure, one, units, (18.0, 84.0, _TALL), labelled=True)
    _depths(left, one, units)
    right = panel(figure, 116.0, TOP, 48.0, _TALL)
    _times(right, one, units)
    depth_label(paper, units, _TALL)
    paper.text(18.0, 6.0, f"temperature, {one.step}", fontsize=NORMAL, va="center")
    paper.text(116.0, 6.0, "at the bottom, in time", fontsize=NORMAL, va="center")
    strokes = handles_of((_GROUND, _DOWN, _UP, _STOPPED))
    foot_legend(paper, strokes, TOP + _TALL + 14.0, 4, handlelength=3.6)
    return Sheet(figure, f"Heat in {one.step}", in_words(one, units))


def in_words(one: StepCirculation, units: UnitSystem) -> str:
    """Say what the picture shows."""
    told = "; ".join(f"{label.lower()} {text}" for label, text in heat_told(one, units))
    return f"Temperature against depth in {one.step}: {told}."


def _shown(numbers: Array, units: UnitSystem) -> Array:
    unit = shown_unit("K", units)
    return np.array([from_si(float(number), "K", unit) for number in numbers])


def _depths(axes: Axes, one: StepCirculation, units: UnitSystem) -> None:
    heat = one.heat
    y = (heat.cells.middle - float(one.flow.setting.drill_floor)) / down(units)
    lines = (
        (one.undisturbed, _GROUND),
        (heat.heat.pipe, _DOWN),
        (heat.heat.annulus, _UP),
        (one.story.stopped.mud.annulus, _STOPPED),
    )
    sea = heat.cells.where("sea")
    for numbers, stroke in lines:
        # in the open sea there is no annulus
        told = np.where(sea, np.nan, numbers) if stroke in (_UP, _STOPPED) else numbers
        axes.plot(_shown(told, units), y, color=stroke.colour, lw=stroke.width, ls=stroke.style)
    unit = shown_unit("K", units)
    axes.set_xlabel(unit_label("temperature", unit), fontsize=SMALL, labelpad=1.5)


def _times(axes: Axes, one: StepCirculation, units: UnitSystem) -> None:
    story, basis = one.story, one.flow.setting.basis
    axes.plot(story.times / 3600.0, _shown(story.at_bottom, units), color=_UP.colour, lw=_UP.width)
    axes.axvline(basis.circulating_time / 3600.0, color=palette.QUIET, lw=0.6, ls=(0, (1.0, 2.0)))
    axes.text(
        basis.circulating_time / 3600.0, 0.98, "pumps stop ", transform=axes.get_xaxis_transform(),
        fontsize=SMALL, color=palette.QUIET, ha="right", va="top",
    )  # fmt: skip
    axes.set_xlim(left=0.0)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)
    axes.set_xlabel("time [h]", fontsize=SMALL, labelpad=1.5)
    unit = shown_unit("K", units)
    axes.set_ylabel(unit_label("temperature", unit), fontsize=SMALL, labelpad=1.5)
