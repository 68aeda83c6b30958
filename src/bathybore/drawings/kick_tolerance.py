"""Greatest kick against its intensity, section by section, with the planned kicks."""

from __future__ import annotations

from typing import Final

import numpy as np
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
from bathybore.usecases.kicking import SectionKick

WIDTH: Final = 150.0
HEIGHT: Final = 120.0
_COLOURS: Final = (palette.BLUE, palette.VERMILION, palette.BLUISH_GREEN, palette.REDDISH_PURPLE)
_DASHES: Final = ((), (6.0, 2.0), (2.0, 1.5), (6.0, 1.5, 1.0, 1.5))
_MARKS: Final = ("o", "s", "^", "D")


def tolerance_picture(found: tuple[SectionKick, ...], units: UnitSystem = "metric") -> Picture:
    """Return the tolerances of sections as a picture."""
    with settings():
        return draw_tolerance(found, units).finished()


def draw_tolerance(found: tuple[SectionKick, ...], units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    paper.text(22.0, 6.0, "Greatest kick that can be shut in and circulated out", fontsize=NORMAL)
    axes = panel(figure, 22.0, 12.0, 120.0, 76.0)
    across, up = (conversion(shown_unit(u, units)).factor for u in ("kg/m3", "m3"))
    handles, most = [], 0.0
    for number, one in enumerate(found):
        stroke = _stroke(one, number)
        volume = np.where(np.isfinite(one.curve.volume), one.curve.volume, np.nan)
        axes.plot(
            one.curve.intensity / across, volume / up,
            color=stroke.colour, lw=stroke.width, ls=stroke.style,
        )  # fmt: skip
        kick, mark = one.timed.kick, _MARKS[number % len(_MARKS)]
        point = float(kick.intensity) / across, float(kick.volume) / up
        axes.plot(
            *point, mark, color=stroke.colour, ms=9.0 - 2.0 * (number % 4), mec=palette.INK, mew=0.6
        )
        most = max(most, float(kick.volume))
        handles.append(
            Line2D(
                [], [], color=stroke.colour, lw=stroke.width, ls=stroke.style, marker=mark,
                ms=4.0, label=stroke.label,
            )
        )  # fmt: skip
    axes.set_xlim(left=0.0)
    axes.set_ylim(0.0, 6.0 * most / up)
    axes.set_xlabel(
        f"kick intensity, to the drill floor [{pretty_unit(shown_unit('kg/m3', units))}]",
        fontsize=SMALL,
    )
    axes.set_ylabel(f"volume at bottom [{pretty_unit(shown_unit('m3', units))}]", fontsize=SMALL)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)
    foot_legend(paper, handles, 101.0, 2, handlelength=3.6)
    paper.text(
        0.5 * WIDTH, 114.0,
        "marks: the planned kicks. No line: the rock holds a hole full of it.",
        fontsize=SMALL, ha="center", color=palette.QUIET,
    )  # fmt: skip
    return Sheet(figure, "Kick tolerance by section", in_words(found, units))


def _stroke(one: SectionKick, number: int) -> Stroke:
    colour, dashes = _COLOURS[number % len(_COLOURS)], _DASHES[number % len(_DASHES)]
    return Stroke(one.section, colour, 1.6, dashes)


def in_words(found: tuple[SectionKick, ...], units: UnitSystem) -> str:
    """Return what the picture shows, for those who cannot see it."""
    parts = []
    for one in found:
        kick, curve = one.timed.kick, one.curve
        planned = show(float(kick.volume), "m3", units, significant=3)
        beyond = curve.intensity >= float(kick.intensity)
        here = curve.volume[beyond]
        bears = "any kick" if not np.isfinite(here[0]) else show(float(here[0]), "m3", units)
        parts.append(f"{one.section} bears about {bears}, planned are {planned}")
    return "Volume against intensity: " + "; ".join(parts) + "."
