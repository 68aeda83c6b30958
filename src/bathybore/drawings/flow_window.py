"""Flow against rate of penetration: where the hole is clean and whole, and where the pumps end."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, conversion, shown_unit
from bathybore.drawings import palette
from bathybore.drawings.flow_sheet import TOP, WIDTH, handles_of, unit_label
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
from bathybore.operations.circulation_sweep import crossing
from bathybore.usecases.circulating import FlowPicture, StepCirculation
from bathybore.usecases.circulating_told import flow_rate, rate, window_told

HEIGHT: Final = 120.0
_TALL: Final = 80.0
_CLEAN: Final = Stroke("smallest flow that cleans", palette.BLUE, 1.8)
_WHOLE: Final = Stroke("greatest flow that the rock bears", palette.VERMILION, 1.8, (7.0, 2.0))
_PUMPS: Final = Stroke("greatest flow that the pumps drive", palette.INK, 1.4, (2.0, 1.5))


def flow_window_picture(one: StepCirculation, units: UnitSystem = "metric") -> Picture:
    """Return the window of flows as a picture."""
    with settings():
        return draw_flow_window(one, units).finished()


def draw_flow_window(one: StepCirculation, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    axes = panel(figure, 20.0, TOP, 142.0, _TALL)
    _window(axes, one.picture, units)
    paper.text(20.0, 6.0, f"window of flows, {one.step}", fontsize=NORMAL, va="center")
    planned = Line2D([], [], color=palette.INK, marker="o", ms=5.0, ls="", label="planned")
    shaded = Line2D([], [], color=palette.BLUISH_GREEN, lw=6.0, alpha=0.25, label="clean and whole")
    strokes = handles_of((_CLEAN, _WHOLE, _PUMPS))
    foot_legend(paper, [*strokes, shaded, planned], TOP + _TALL + 12.0, 3, handlelength=3.6)
    return Sheet(figure, f"Window of flows in {one.step}", in_words(one, units))


def in_words(one: StepCirculation, units: UnitSystem) -> str:
    """Say what the picture shows."""
    told = "; ".join(f"{label.lower()} {text}" for label, text in window_told(one, units))
    return (
        f"Flow against rate of penetration in {one.step}. At the planned "
        f"{rate(float(one.flow.rate_of_penetration), units)}: {told}."
    )


def edges(picture: FlowPicture) -> tuple[Array, Array, Array]:
    """Return smallest clean, greatest whole and greatest pumped flow over rates [m3/s].

    Not a number where no flow tried is good.
    """
    grid = picture.grid

    def over(margin: Array, first: bool) -> Array:
        found = (crossing(grid.flows, row, first) for row in margin)
        return np.array([np.nan if edge is None else edge for edge in found])

    return over(grid.clean, True), over(grid.whole, False), over(grid.pumps, False)


def _window(axes: Axes, picture: FlowPicture, units: UnitSystem) -> None:
    flow_unit = shown_unit("m3/s", units)
    rate_unit = "m/h" if units == "metric" else "ft/h"
    across, up = conversion(flow_unit).factor, conversion(rate_unit).factor
    grid = picture.grid
    clean, whole, pumped = edges(picture)
    last = float(grid.flows[-1])
    ends = np.minimum(np.nan_to_num(whole, nan=0.0), np.nan_to_num(pumped, nan=0.0))
    begins = np.nan_to_num(clean, nan=last)
    good = begins < ends
    axes.fill_betweenx(
        grid.rates / up, begins / across, np.where(good, ends, begins) / across,
        color=palette.BLUISH_GREEN, alpha=0.25, lw=0.0,
    )  # fmt: skip
    for numbers, stroke in ((clean, _CLEAN), (whole, _WHOLE), (pumped, _PUMPS)):
        inside = np.where(numbers >= last, np.nan, numbers)
        axes.plot(
            inside / across, grid.rates / up, color=stroke.colour, lw=stroke.width, ls=stroke.style
        )
    axes.plot([picture.planned_flow / across], [picture.planned_rate / up], "o", color=palette.INK)
    axes.set_xlim(0.0, last / across)
    axes.set_ylim(0.0, float(grid.rates[-1]) / up)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)
    axes.set_xlabel(unit_label("flow down the string", flow_unit), fontsize=SMALL, labelpad=1.5)
    axes.set_ylabel(unit_label("rate of penetration", rate_unit), fontsize=SMALL, labelpad=1.5)
    axes.annotate(
        f"planned: {flow_rate(picture.planned_flow, units)}, {rate(picture.planned_rate, units)}",
        (picture.planned_flow / across, picture.planned_rate / up),
        textcoords="offset points", xytext=(6.0, 5.0), fontsize=SMALL,
        bbox={"boxstyle": "square,pad=0.15", "facecolor": "white", "edgecolor": "none"},
    )  # fmt: skip
