"""Pressure against temperature down the choke line, with the line of methane hydrate."""

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
HEIGHT: Final = 122.0
_FORMS: Final = Stroke("hydrate is stable left of it, inhibitor counted", palette.VERMILION, 1.8)
_NEAR: Final = Stroke(
    "without inhibitor, by another fit, to 12 MPa", palette.ORANGE, 2.4, (1.0, 1.6)
)
_STOPPED: Final = Stroke("choke line after a long stop", palette.BLUE, 1.6, (6.0, 2.0))


def hydrate_picture(one: SectionKick, units: UnitSystem = "metric") -> Picture:
    """Return pressure and temperature of stack and choke line as a picture."""
    with settings():
        return draw_hydrates(one, units).finished()


def draw_hydrates(one: SectionKick, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    paper.text(22.0, 6.0, f"Gas at the stack in {one.section}: hydrates", fontsize=NORMAL)
    axes = panel(figure, 22.0, 12.0, 120.0, 78.0)
    cold, pressure = one.hydrates, np.asarray(one.hydrates.pressure.si)
    warm = conversion(shown_unit("K", units))
    scale = conversion(shown_unit("Pa", units)).factor

    def shown(kelvin: np.ndarray | float) -> np.ndarray:
        return (np.asarray(kelvin) - warm.offset) / warm.factor

    for kelvin, at, stroke in (
        (cold.forms_with_inhibitor.si, pressure, _FORMS),
        (*cold.by_the_other_fit, _NEAR),
        (cold.stopped.si, pressure, _STOPPED),
    ):
        axes.plot(
            shown(np.asarray(kelvin)), np.asarray(at) / scale,
            color=stroke.colour, lw=stroke.width, ls=stroke.style,
        )  # fmt: skip
    axes.plot(
        shown(float(cold.circulating)),
        pressure[-1] / scale,
        "D",
        color=palette.BLUISH_GREEN,
        ms=5.5,
    )
    axes.set_ylim(1.05 * pressure[-1] / scale, 0.0)
    axes.set_xlabel(f"temperature [{pretty_unit(shown_unit('K', units))}]", fontsize=SMALL)
    axes.set_ylabel(
        f"absolute pressure, shut in [{pretty_unit(shown_unit('Pa', units))}]", fontsize=SMALL
    )
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label)
        for s in (_FORMS, _NEAR, _STOPPED)
    ]
    handles.append(
        Line2D(
            [], [], color=palette.BLUISH_GREEN, marker="D", ls="", ms=4.5,
            label="stack while mud circulates",
        )
    )  # fmt: skip
    foot_legend(paper, handles, 103.0, 2, handlelength=3.6)
    return Sheet(figure, f"Hydrates in {one.section}", in_words(one, units))


def in_words(one: SectionKick, units: UnitSystem) -> str:
    """Return what the picture shows, for those who cannot see it."""
    cold = one.hydrates
    stack = len(cold.places) - 1
    forms, still = (
        show(float(v.at_node(stack)), "K", units, significant=3)
        for v in (cold.forms_with_inhibitor, cold.stopped)
    )
    warm = show(float(cold.circulating), "K", units, significant=3)
    return (
        f"At the stack methane hydrate is stable below {forms}; the mud has {warm} while it "
        f"circulates and {still} after a long stop."
    )
