"""The greatest safe speed of the string against the depth of its bit, and the trip sheet."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

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
from bathybore.usecases.tripping import Trip

WIDTH: Final = 170.0
HEIGHT: Final = 136.0
_TOP, _TALL = 12.0, 92.0
_OUT: Final = Stroke("pulled: swabs in beyond", palette.BLUE, 2.0)
_IN: Final = Stroke("run: breaks the rock beyond", palette.VERMILION, 2.0, (6.0, 2.0))
_USUAL: Final = Stroke("usual, peak of a stand", palette.INK, 1.4, (2.0, 1.5))
_DRY: Final = Stroke("fill, pipe dry", palette.BLUISH_GREEN, 2.0)
_WET: Final = Stroke("fill, pipe wet", palette.REDDISH_PURPLE, 1.6, (4.0, 1.5, 1.0, 1.5))


def trip_picture(trip: Trip, units: UnitSystem = "metric") -> Picture:
    """Return speeds and fill volumes of a trip as a picture."""
    with settings():
        return draw_trip(trip, units).finished()


def draw_trip(trip: Trip, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    left = panel(figure, 20.0, _TOP, 66.0, _TALL)
    _speeds(left, trip, units)
    right = panel(figure, 102.0, _TOP, 60.0, _TALL)
    _fills(right, trip, units)
    headings = ((20.0, "speed with the bit in open hole"), (102.0, "filled in while pulled out"))
    for x, words in headings:
        paper.text(x, 6.0, words, fontsize=NORMAL, va="center")
    for axes, si in ((left, "m/s"), (right, "m3")):
        axes.set_xlabel(f"[{pretty_unit(shown_unit(si, units))}]", fontsize=SMALL, labelpad=1.5)
        axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
        axes.grid(color=palette.FAINT, linewidth=0.4)
        axes.set_axisbelow(True)
        axes.set_xlim(left=0.0)
    depth = f"depth of the bit below the drill floor [{pretty_unit(shown_unit('m', units))}]"
    paper.text(5.0, _TOP + 0.5 * _TALL, depth, rotation=90, va="center", ha="center")
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label)
        for s in (_OUT, _IN, _USUAL, _DRY, _WET)
    ]
    foot_legend(paper, handles, 116.0, 3, handlelength=3.6)
    return Sheet(figure, f"Trip out of {trip.section}", in_words(trip, units))


def _shown(numbers: Array, si: str, units: UnitSystem) -> Array:
    unit = shown_unit(si, units)
    return np.array([from_si(float(one), si, unit) for one in numbers])


def _speeds(axes: Axes, trip: Trip, units: UnitSystem) -> None:
    usual = float(_shown(np.array([trip.usual]), "m/s", units)[0])
    axes.axvline(usual, color=_USUAL.colour, lw=_USUAL.width, ls=_USUAL.style)
    if trip.speeds is None:
        axes.text(0.5, 0.5, "returns to the sea floor:\nnot judged", transform=axes.transAxes,
                  ha="center", va="center", fontsize=SMALL, color=palette.QUIET)  # fmt: skip
        axes.invert_yaxis()
        return
    floor = float(trip.state.hole.drill_floor)
    y = _shown(trip.speeds.bit - floor, "m", units)
    for numbers, stroke in ((trip.speeds.pulling, _OUT), (trip.speeds.running, _IN)):
        axes.plot(_shown(numbers, "m/s", units), y, color=stroke.colour, lw=stroke.width,
                  ls=stroke.style)  # fmt: skip
    axes.set_ylim(float(y[-1]), float(y[0]))


def _fills(axes: Axes, trip: Trip, units: UnitSystem) -> None:
    floor = float(trip.state.hole.drill_floor)
    y = _shown(np.array([max(row.bit - floor, 0.0) for row in trip.sheet.rows]), "m", units)
    for numbers, stroke in (
        ([row.dry for row in trip.sheet.rows], _DRY),
        ([row.wet for row in trip.sheet.rows], _WET),
    ):
        x = _shown(np.array(numbers), "m3", units)
        axes.plot(x, y, color=stroke.colour, lw=stroke.width, ls=stroke.style)
    axes.set_ylim(float(y.max()), 0.0)


def in_words(trip: Trip, units: UnitSystem) -> str:
    """Say what the picture shows."""
    last = trip.sheet.rows[-1]
    fills = (
        f"Pulled out whole it asks for {show(last.dry, 'm3', units, significant=3)} dry or "
        f"{show(last.wet, 'm3', units, significant=3)} wet."
    )
    if trip.speeds is None:
        return f"Trip out of {trip.section}: speed not judged, returns to the sea floor. {fills}"
    slowest = int(np.argmin(trip.speeds.either))
    at = trip.state.hole.setting.depth(float(trip.speeds.bit[slowest])).show(units)
    speed = show(float(trip.speeds.either[slowest]), "m/s", units, significant=3)
    usual = show(trip.usual, "m/s", units, significant=3)
    return (
        f"Trip out of {trip.section}: the slowest safe speed is {speed}, with the bit at {at}; "
        f"usual is {usual}. {fills}"
    )
