"""Where the vessel is while it is held: places about the well, and how often how far."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Circle

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, pretty_unit, show, shown_unit
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
from bathybore.usecases.station_keeping import FootprintAtSea

WIDTH: Final = 170.0
HEIGHT: Final = 122.0
_SIDE: Final = 84.0
_PLACES: Final = Stroke("way of the vessel", palette.SKY_BLUE, 0.5)
_PLANNED: Final = Stroke("drilling stops, as planned", palette.BLUE, 1.6, (1.0, 1.2))
_HALF: Final = Stroke("kept half of the time", palette.BLUISH_GREEN, 1.6, (2.0, 1.2))
_MOSTLY: Final = Stroke("kept 95 % of the time", palette.ORANGE, 1.6, (5.0, 1.5))
_GREATEST: Final = Stroke("greatest", palette.VERMILION, 1.6)


def footprint_picture(one: FootprintAtSea, units: UnitSystem = "metric") -> Picture:
    """Return the footprint as a picture."""
    with settings():
        return draw_footprint(one, units).finished()


def draw_footprint(one: FootprintAtSea, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    unit = pretty_unit(shown_unit("m", units))
    chart = panel(figure, 14.0, 12.0, _SIDE, _SIDE)
    _chart(chart, one, units)
    often = panel(figure, 114.0, 12.0, 50.0, _SIDE)
    _often(often, one, units)
    for x, words in (
        (14.0, f"on the sea, the bow up, to scale [{unit}]"),
        (114.0, f"share of the time beyond an offset [{unit}]"),
    ):
        paper.text(x, 6.0, words, fontsize=NORMAL, va="center")
    handles = [
        Line2D([], [], color=s.colour, lw=max(s.width, 1.0), ls=s.style, label=s.label)
        for s in (_PLACES, _HALF, _MOSTLY, _GREATEST, _PLANNED)
    ]
    foot_legend(paper, handles, 106.0, 3, handlelength=3.0)
    return Sheet(figure, "Footprint at sea", in_words(one, units))


def _shown(values: Array | float, units: UnitSystem) -> Array:
    return np.asarray(np.asarray(values) * from_si(1.0, "m", shown_unit("m", units)))


def _radii(one: FootprintAtSea) -> tuple[tuple[float, Stroke], ...]:
    found = one.found
    return (
        (found.offset_within(0.5), _HALF),
        (found.offset_within(0.95), _MOSTLY),
        (found.greatest, _GREATEST),
        (one.planned, _PLANNED),
    )


def _chart(axes: Axes, one: FootprintAtSea, units: UnitSystem) -> None:
    axes.set_facecolor(palette.WATER)
    found = one.found
    for n in range(found.forward.shape[1]):
        axes.plot(_shown(-found.port[::4, n], units), _shown(found.forward[::4, n], units),
                  color=_PLACES.colour, lw=_PLACES.width)  # fmt: skip
    for radius, stroke in _radii(one):
        axes.add_patch(
            Circle((0, 0), float(_shown(radius, units)), fill=False, ec=stroke.colour,
                   lw=stroke.width, ls=stroke.style)
        )  # fmt: skip
    axes.plot([0.0], [0.0], "+", color=palette.INK, ms=5.0)
    far = 1.08 * float(_shown(max(one.planned, found.greatest), units))
    axes.set_xlim(-far, far)
    axes.set_ylim(-far, far)
    axes.set_aspect("equal")
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)


def _often(axes: Axes, one: FootprintAtSea, units: UnitSystem) -> None:
    offset = np.sort(one.found.offset.ravel())
    beyond = 1.0 - np.arange(len(offset)) / len(offset)
    picked = np.unique(np.geomspace(1, len(offset), 400).astype(int)) - 1
    rows = len(offset) - 1 - picked
    axes.plot(_shown(offset[rows], units), beyond[rows], color=palette.INK, lw=1.6)
    for radius, stroke in _radii(one):
        axes.axvline(float(_shown(radius, units)), color=stroke.colour, lw=stroke.width,
                     ls=stroke.style)  # fmt: skip
    axes.set_yscale("log")
    axes.set_ylim(1e-4, 1.0)
    axes.set_yticks([1.0, 0.1, 0.01, 1e-3, 1e-4], ["100 %", "10 %", "1 %", "0.1 %", "0.01 %"])
    axes.minorticks_off()
    axes.set_xlim(0.0, 1.08 * float(_shown(max(one.planned, one.found.greatest), units)))
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)


def in_words(one: FootprintAtSea, units: UnitSystem) -> str:
    """Say what the picture shows."""

    def metres(value: float) -> str:
        return show(value, "m", units, significant=3)

    found = one.found
    return (
        f"In the planned weather the vessel keeps within {metres(found.offset_within(0.5))} half "
        f"of the time and within {metres(found.offset_within(0.95))} for 95 % of it; the greatest "
        f"offset is {metres(found.greatest)}. Drilling is planned to stop at "
        f"{metres(one.planned)}."
    )
