"""A cement job in time: pressures, rates and where each fluid stands, minute by minute."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, pretty_unit, show, shown_unit
from bathybore.drawings import palette
from bathybore.drawings.palette import Stroke
from bathybore.drawings.picture import (
    NORMAL,
    SMALL,
    Picture,
    Sheet,
    panel,
    paper_axes,
    settings,
    sheet_of_paper,
)
from bathybore.usecases.cementing import CementJob

WIDTH: Final = 170.0
HEIGHT: Final = 190.0
_LEFT, _WIDE, _TALL = 20.0, 110.0, 46.0
_TOPS: Final = (12.0, 70.0, 128.0)
_SHOE: Final = Stroke("at the shoe", palette.INK, 2.0)
_WEAK: Final = Stroke("at the weakest depth", palette.BLUE, 1.8, (6.0, 2.0))
_ROCK: Final = Stroke("fracture there", palette.VERMILION, 1.4, (2.0, 1.5))
_PORE: Final = Stroke("pore pressure there", palette.SKY_BLUE, 1.4, (1.0, 1.5))
_HEAD: Final = Stroke("at the head", palette.REDDISH_PURPLE, 1.8, (4.0, 1.5, 1.0, 1.5))
_IN: Final = Stroke("pumped", palette.INK, 1.4, (2.0, 1.5))
_OUT: Final = Stroke("returns", palette.BLUISH_GREEN, 2.0)
_FRONTS: Final = (
    (palette.SKY_BLUE, (2.0, 1.5)),
    (palette.INK, (1.0, 1.2)),
    (palette.ORANGE, ()),
    (palette.VERMILION, (6.0, 2.0)),
    (palette.BLUISH_GREEN, (4.0, 1.5, 1.0, 1.5)),
    (palette.REDDISH_PURPLE, (3.0, 1.0)),
)


def placement_picture(one: CementJob, units: UnitSystem = "metric") -> Picture:
    """Return a cement job in time as a picture."""
    with settings():
        return draw_placement(one, units).finished()


def draw_placement(one: CementJob, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    titles = (
        f"pressure [{_unit('Pa', units)}]",
        f"rate [{_unit('m3/s', units)}]",
        f"front of each fluid, depth below the drill floor [{_unit('m', units)}]",
    )
    minutes = one.told.time / 60.0
    for top, title, draw in zip(_TOPS, titles, (_pressures, _rates, _fronts), strict=True):
        axes = panel(figure, _LEFT, top, _WIDE, _TALL)
        draw(axes, one, minutes, units)
        axes.set_xlim(0.0, float(minutes[-1]))
        axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
        axes.grid(color=palette.FAINT, linewidth=0.4)
        axes.set_axisbelow(True)
        axes.legend(
            loc="center left", bbox_to_anchor=(1.01, 0.5), fontsize=SMALL, frameon=False,
            handlelength=3.4,
        )  # fmt: skip
        paper.text(_LEFT, top - 3.0, title, fontsize=NORMAL, va="center")
    paper.text(
        _LEFT + 0.5 * _WIDE, HEIGHT - 6.0, "minutes from the start of pumping", fontsize=SMALL,
        ha="center", va="center",
    )  # fmt: skip
    return Sheet(figure, f"Cementing {one.casing} in time", in_words(one, units))


def _unit(si: str, units: UnitSystem) -> str:
    return pretty_unit(shown_unit(si, units))


def _shown(numbers: Array | float, si: str, units: UnitSystem) -> Array:
    unit = shown_unit(si, units)
    return np.array([from_si(float(one), si, unit) for one in np.ravel(numbers)])


def _line(axes: Axes, x: Array, y: Array, stroke: Stroke) -> None:
    axes.plot(x, y, color=stroke.colour, lw=stroke.width, ls=stroke.style, label=stroke.label)


def _pressures(axes: Axes, one: CementJob, minutes: Array, units: UnitSystem) -> None:
    lines = (
        (one.at_shoe, _SHOE),
        (one.at_weakest, _WEAK),
        (np.full(len(minutes), one.fracture_at_weakest), _ROCK),
        (np.full(len(minutes), one.pore_at_weakest), _PORE),
        (one.told.placed.pump_pressure, _HEAD),
    )
    for numbers, stroke in lines:
        _line(axes, minutes, _shown(numbers, "Pa", units), stroke)
    axes.set_ylim(bottom=0.0)


def _rates(axes: Axes, one: CementJob, minutes: Array, units: UnitSystem) -> None:
    placed = one.told.placed
    pumped = np.full(len(minutes), float(one.told.rate))
    _line(axes, minutes, _shown(pumped, "m3/s", units), _IN)
    _line(axes, minutes, _shown(placed.rate, "m3/s", units), _OUT)
    axes.fill_between(
        minutes, 0.0, 1.0, where=(placed.void > 0.0).tolist(), color=palette.WATER,
        transform=axes.get_xaxis_transform(), label="void under the pump",
    )  # fmt: skip
    axes.set_ylim(bottom=0.0)


def _fronts(axes: Axes, one: CementJob, minutes: Array, units: UnitSystem) -> None:
    """Draw the front of what is pumped: down the string, round the shoe, up the annulus."""
    told, floor = one.told, float(one.job.setting.drill_floor)
    tops = told.tops()
    for index, name in enumerate(told.names[2:], start=2):
        colour, dashes = _FRONTS[index % len(_FRONTS)]
        begun = told.placed.pumped >= told.begin[index]
        depth = np.where(begun, _shown(tops[:, index] - floor, "m", units), np.nan)
        _line(axes, minutes, depth, Stroke(name, colour, 1.7, dashes))
    shoe = float(_shown(float(one.job.casing.shoe) - floor, "m", units)[0])
    axes.axhline(shoe, color=palette.QUIET, lw=0.8)
    axes.text(0.0, shoe, " shoe", fontsize=SMALL, va="bottom", color=palette.QUIET)
    axes.set_ylim(shoe * 1.05, 0.0)


def in_words(one: CementJob, units: UnitSystem) -> str:
    """Say what the picture shows."""
    facts = dict(one.topic(units).facts)
    peak = show(float(np.max(one.at_weakest)), "Pa", units, significant=4)
    rock = show(one.fracture_at_weakest, "Pa", units, significant=4)
    return (
        f"Cementing {one.casing} against minutes: pressures, rates, and the front of each fluid. "
        f"Free fall: {facts['Free fall']}. At the weakest depth, {facts['Closest to breaking']}, "
        f"at most {peak} against {rock} of fracture. At the head {facts['Greatest at head']}."
    )
