"""How the vessel answers regular waves, over the spectrum of the planned sea."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, pretty_unit, show
from bathybore.drawings import palette
from bathybore.drawings.palette import Stroke
from bathybore.drawings.picture import (
    NORMAL,
    SMALL,
    Sheet,
    foot_legend,
    panel,
    paper_axes,
    sheet_of_paper,
)
from bathybore.usecases.vessel_motions import PERIODS, VesselMotions, per_length

WIDTH: Final = 170.0
HEIGHT: Final = 104.0
_TALL: Final = 66.0
_HEAVE: Final = Stroke("heave", palette.BLUE, 1.8)
_WAY: Final = Stroke("to and fro", palette.BLUISH_GREEN, 1.8, (5.0, 1.5))
_PITCH: Final = Stroke("pitch", palette.VERMILION, 1.8)
_ROLL: Final = Stroke("roll", palette.ORANGE, 1.8, (5.0, 1.5))
_SEA: Final = Stroke("energy of the planned sea, no scale", palette.SKY_BLUE, 4.0)


def draw_motions(one: VesselMotions, units: UnitSystem = "metric") -> Sheet:
    """Draw the motions; within `settings`."""
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    left = panel(figure, 16.0, 12.0, 66.0, _TALL)
    right = panel(figure, 100.0, 12.0, 64.0, _TALL)
    found, unit = one.responses, per_length(units)
    turned = from_si(1.0, "rad/m", unit)
    _curves(left, one, ((_HEAVE, np.abs(found.heave)), (_WAY, np.linalg.norm(found.way, axis=0))))
    _curves(right, one, ((_PITCH, np.abs(found.pitch) * turned),
                         (_ROLL, np.abs(found.roll) * turned)))  # fmt: skip
    for x, words in (
        (16.0, "amplitude per amplitude of the wave"),
        (100.0, f"angle per amplitude of the wave [{pretty_unit(unit)}]"),
    ):
        paper.text(x, 6.0, words, fontsize=NORMAL, va="center")
    for axes in (left, right):
        axes.set_xlabel("period of the wave [s]", fontsize=NORMAL)
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label)
        for s in (_HEAVE, _WAY, _PITCH, _ROLL, _SEA)
    ]
    foot_legend(paper, handles, 93.0, 5, handlelength=2.4)
    return Sheet(figure, "How the vessel moves", in_words(one, units))


def _curves(axes: Axes, one: VesselMotions, curves: tuple[tuple[Stroke, Array], ...]) -> None:
    top = 1.1 * max(float(values.max()) for _, values in curves)
    power, periods = one.in_sea.power, 2.0 * np.pi / one.in_sea.motions.frequency
    axes.fill_between(
        periods, 0.0, 0.6 * top * power / power.max(), color=palette.SKY_BLUE, alpha=0.3, lw=0
    )
    for stroke, values in curves:
        axes.plot(PERIODS, values, color=stroke.colour, lw=stroke.width, ls=stroke.style)
    axes.set_xlim(float(PERIODS[0]), float(PERIODS[-1]))
    axes.set_ylim(0.0, top)
    axes.set_xticks(np.arange(5.0, PERIODS[-1] + 1.0, 5.0))
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)


def in_words(one: VesselMotions, units: UnitSystem) -> str:
    """Say what the picture shows."""
    sea = one.in_sea

    def angle(name: str) -> str:
        return show(sea.significant(name), "rad", units, significant=2)

    return (
        f"In the planned sea the vessel heaves by "
        f"{show(sea.significant('heave'), 'm', units, significant=2)}, pitches by {angle('pitch')} "
        f"and rolls by {angle('roll')}, significant amplitudes at the planned heading."
    )
