"""A kick followed in time: choke, gain and gas against hours, by both methods."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from bathybore.base.units import UnitSystem, conversion, pretty_unit, show, shown_unit
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
from bathybore.operations.kick_in_time import Told
from bathybore.usecases.kicking import SectionKick

WIDTH: Final = 170.0
HEIGHT: Final = 150.0
_LEFT, _WIDE, _TALL, _TOP, _STEP = 24.0, 138.0, 34.0, 12.0, 40.0
DRILLER: Final = Stroke("driller's method, two rounds", palette.BLUE, 1.8)
WAITING: Final = Stroke("wait and weight", palette.VERMILION, 1.5, (5.0, 2.0))
_PANELS: Final = (
    ("choke pressure", "choke", "Pa"),
    ("gain in the pits", "pit_gain", "m3"),
    ("{} at the choke", "gas_rate", "kg/s"),
)


def kick_picture(one: SectionKick, units: UnitSystem = "metric") -> Picture:
    """Return the kick of a section in time as a picture."""
    with settings():
        return draw_kick(one, units).finished()


def draw_kick(one: SectionKick, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    paper.text(_LEFT, 6.0, f"Design kick of {one.section}, from its first on", fontsize=NORMAL)
    told = ((one.driller, DRILLER), (one.waiting, WAITING))
    last = max(float(t.followed.time[-1]) for t, _ in told) / 3600.0
    for number, (label, name, unit) in enumerate(_PANELS):
        axes = panel(figure, _LEFT, _TOP + number * _STEP, _WIDE, _TALL)
        for one_told, stroke in told:
            _curve(axes, one_told, name, stroke, units, unit)
        shown = pretty_unit(shown_unit(unit, units))
        axes.set_ylabel(f"{label.format(one.timed.fluid)} [{shown}]", fontsize=SMALL)
        axes.set_xlim(0.0, last)
        axes.set_ylim(bottom=min(0.0, axes.get_ylim()[0]))
        axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
        axes.grid(color=palette.FAINT, linewidth=0.4)
        axes.set_axisbelow(True)
        if number == len(_PANELS) - 1:
            axes.set_xlabel("time [h]", fontsize=SMALL, labelpad=1.5)
        else:
            axes.tick_params(labelbottom=False)
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label)
        for s in (DRILLER, WAITING)
    ]
    foot_legend(paper, handles, HEIGHT - 11.0, 2, handlelength=3.6)
    return Sheet(figure, f"Kick in {one.section} followed in time", in_words(one, units))


def _curve(axes: Axes, told: Told, name: str, stroke: Stroke, units: UnitSystem, unit: str) -> None:
    hours = told.followed.time / 3600.0
    series = np.asarray(getattr(told.followed, name))[0]
    if name == "gas_rate":  # single steps jump: gas leaves parcel by parcel
        series = np.convolve(series, np.ones(5) / 5.0, mode="same")
    factor = conversion(shown_unit(unit, units)).factor
    axes.plot(hours, series / factor, color=stroke.colour, lw=stroke.width, ls=stroke.style)


def in_words(one: SectionKick, units: UnitSystem) -> str:
    """Return what the picture shows, for those who cannot see it."""
    parts = []
    for name, told in (
        ("by the driller's method", one.driller),
        ("by wait and weight", one.waiting),
    ):
        choke = show(float(told.greatest_choke_pressure), "Pa", units, significant=3)
        gain = show(float(told.greatest_pit_gain), "m3", units, significant=3)
        hours = told.followed.time[-1] / 3600.0
        parts.append(
            f"{name} the choke reaches {choke}, the pits gain {gain}, {hours:.1f} h in all"
        )
    volume = show(float(one.timed.kick.volume), "m3", units, significant=3)
    return f"A kick of {volume} of {one.timed.fluid} in {one.section}: " + "; ".join(parts) + "."
