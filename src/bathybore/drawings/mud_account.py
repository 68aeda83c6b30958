"""Where the mud stands after every step, and what has gone into the sea by then."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.lines import Line2D

from bathybore.base.units import UnitSystem, conversion, pretty_unit, show, shown_unit
from bathybore.drawings import palette
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
from bathybore.operations.mud_account import PLACES, MudAccount

WIDTH: Final = 170.0
HEIGHT: Final = 138.0
_FILLS: Final = {
    "string": (palette.INK, ""),
    "open hole": (palette.ORANGE, "//"),
    "casing": (palette.FAINT, ""),
    "riser": (palette.SKY_BLUE, ".."),
    "pits": (palette.BLUISH_GREEN, ""),
}


def mud_picture(account: MudAccount, units: UnitSystem = "metric") -> Picture:
    """Return an account as a picture."""
    with settings():
        return draw_mud(account, units).finished()


def draw_mud(account: MudAccount, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    steps = [step for step in account.steps if step.there > 0.0 or float(step.built) > 0.0]
    names = [step.step for step in steps]
    factor, unit = conversion(shown_unit("m3", units)).factor, pretty_unit(shown_unit("m3", units))
    paper.text(22.0, 6.0, "Where the mud stands after the step", fontsize=NORMAL)
    axes = panel(figure, 22.0, 10.0, 142.0, 42.0)
    foot = np.zeros(len(steps))
    for place in PLACES:
        tall = np.array([step.places[place] for step in steps]) / factor
        colour, hatch = _FILLS[place]
        axes.bar(names, tall, bottom=foot, color=colour, hatch=hatch, width=0.8, label=place)
        foot = foot + tall
    axes.tick_params(labelbottom=False, labelsize=SMALL)
    axes.set_ylabel(f"[{unit}]", fontsize=SMALL)
    handles, labels = axes.get_legend_handles_labels()
    paper.text(22.0, 57.0, "Built, and gone into the sea, so far", fontsize=NORMAL)
    below = panel(figure, 22.0, 60.0, 142.0, 34.0)
    built = np.cumsum([float(step.built) for step in steps]) / factor
    gone = np.cumsum([float(step.discharge) for step in steps]) / factor
    below.plot(names, built, "-o", color=palette.BLUE, lw=1.6, ms=2.6)
    below.plot(names, gone, "--s", color=palette.VERMILION, lw=1.6, ms=2.6)
    below.set_ylim(0.0, 1.1 * float(built.max(initial=0.0)) or 1.0)  # no mud yet: an empty frame
    below.set_xlim(axes.get_xlim())
    below.set_ylabel(f"[{unit}]", fontsize=SMALL)
    below.tick_params(labelsize=SMALL)
    below.tick_params(axis="x", rotation=90)
    for one in (axes, below):
        one.grid(axis="y", color=palette.FAINT, linewidth=0.4)
        one.set_axisbelow(True)
    lines = [
        Line2D([], [], color=palette.BLUE, marker="o", ms=2.6, label="built"),
        Line2D([], [], color=palette.VERMILION, ls="--", marker="s", ms=2.6, label="into the sea"),
    ]
    paper.legend(
        handles=[*handles, *lines], labels=[*labels, "built", "into the sea"],
        loc="upper center", bbox_to_anchor=(0.5 * WIDTH, 127.0), bbox_transform=paper.transData,
        ncols=7, fontsize=SMALL, frameon=False,
    )  # fmt: skip
    return Sheet(figure, "The account of the mud", in_words(account, units))


def in_words(account: MudAccount, units: UnitSystem) -> str:
    """Return what the picture shows, for those who cannot see it."""
    built, without, with_it, left = (
        show(number, "m3", units, significant=4)
        for number in (
            float(account.total("built")),
            float(account.discharge(False)),
            float(account.discharge(True)),
            account.left,
        )
    )
    return (
        f"{built} of mud are built; {without} go into the sea without riser, {with_it} with it; "
        f"{left} are left at the end."
    )
