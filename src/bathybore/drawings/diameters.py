"""The diameter budget: how wide the hole is at every depth, and what each string costs."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import isfinite
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from bathybore.base.depth import Datum
from bathybore.base.units import UnitSystem, from_si
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import DepthScale, depth_unit, draw_depth_axis
from bathybore.drawings.labels import Label, column_needed, place_labels
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
from bathybore.drawings.words import below_sea_bed, inches, wrapped
from bathybore.operations.catalogue_pipes import casing_pipe
from bathybore.operations.diameter_budget import diameter_budget
from bathybore.operations.state import CasingInPlace, HoleState
from bathybore.usecases.outline import drilled

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

WIDTH: Final = 170.0
_LEFT, _PANEL, _TOP, _FOOT = 16.0, 84.0, 4.0, 25.0
_LINE: Final = 3.2  # mm that another line of small print takes
_NAMES: Final = 106.0
_RIGHT_RULER: Final = 153.5
_AVAILABLE: Final = Stroke("passes down to here", palette.INK, 2.2)
_DRILLED: Final = Stroke("hole drilled", palette.QUIET, 0.9, (4.0, 2.0))
_COUPLING: Final = Stroke("outside of coupling", palette.BLUE, 0.9, (1.0, 1.4))
_CORE: Final = Stroke("core", palette.VERMILION, 1.6)


@dataclass(frozen=True)
class Passage:
    """What passes over a length of the finished hole."""

    top: float
    bottom: float
    diameter: float


def passages(state: HoleState) -> tuple[Passage, ...]:
    """Return what passes down to every depth: the least drift or open hole from there up."""
    edges = {float(state.hole.sea_bed), float(state.bottom)}
    for casing in state.casings:
        edges |= {max(float(casing.top), float(state.hole.sea_bed)), float(casing.shoe)}
    for piece in state.open_hole:
        edges |= {float(piece.top), float(piece.bottom)}
    stock = state.hole.inventory
    least = stock.wellhead.housing_bore
    if stock.preventer is not None:
        least = min(least, stock.preventer.bore)
    found: list[Passage] = []
    for top, bottom in pairwise(sorted(edges)):
        middle = 0.5 * (top + bottom)
        drifts = [float(c.pipe.drift_diameter) for c in state.casings if c.top <= middle <= c.shoe]
        open_ = [float(p.diameter) for p in state.open_hole if p.top <= middle <= p.bottom]
        if drifts or open_:
            least = min(least, *(drifts or open_))
            found.append(Passage(top, bottom, least))
    return tuple(found)


def diameter_picture(walk: Walk, units: UnitSystem = "metric") -> Picture:
    """Return the width of the hole against depth, string by string, with what is left in the end.

    Diameters are in inches in both systems of units, as the trade buys them.
    """
    with settings():
        return draw_diameters(walk, units).finished()


def draw_diameters(walk: Walk, units: UnitSystem = "metric") -> Sheet:
    state, hole = walk.states[-1], walk.hole
    texts = _texts(walk, units)
    room = max(104.0, column_needed([text for _, _, text in texts]))
    figure = sheet_of_paper(WIDTH, _TOP + room + _FOOT + _LINE * _spares_text(walk).count("\n"))
    paper = paper_axes(figure)
    bottom = max(float(state.bottom), float(hole.sea_bed) + 1.0)
    scale = DepthScale(
        float(hole.sea_bed) - 1.0, float(hole.sea_bed), bottom, _TOP - 0.01, _TOP, _TOP + room
    )
    axes = panel(figure, _LEFT, _TOP, _PANEL, room)
    widest = max([cut.diameter for cut in drilled(state)] + [_coupling(c) for c in state.casings])
    limit = 1.06 * from_si(widest, "m", "in")
    _bands(axes, state, scale)
    axes.set_xlim(0.0, limit)
    axes.set_ylim(scale.below, scale.sea_bed)
    axes.set_yticks([])
    axes.set_xlabel("diameter [in]", fontsize=NORMAL, labelpad=2.0)
    axes.tick_params(axis="x", labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(axis="x", color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)
    labels = [
        Label(text, _LEFT + _PANEL * from_si(diameter, "m", "in") / limit, scale.y(z))
        for z, diameter, text in texts
    ]
    place_labels(paper, labels, _NAMES, _TOP - 3.5, scale.y_below + 5.0)
    _rulers(paper, walk, scale, units)
    _notes(paper, walk, _TOP + room)
    return Sheet(figure, "Diameter budget: what passes at every depth", _alt(walk, texts))


def _coupling(casing: CasingInPlace) -> float:
    """Return the widest diameter of a string; of its body where no coupling is known."""
    coupling = float(casing.pipe.coupling_outside_diameter)
    return coupling if isfinite(coupling) else float(casing.pipe.outside_diameter)


def _bands(axes: Axes, state: HoleState, scale: DepthScale) -> None:
    def inch(metres: float) -> float:
        return from_si(metres, "m", "in")

    for cut in drilled(state):
        axes.plot([inch(cut.diameter)] * 2, [cut.top, cut.bottom], **_line(_DRILLED))
    for casing in state.casings:
        top = max(float(casing.top), scale.sea_bed)
        axes.fill_betweenx(
            [top, float(casing.shoe)],
            inch(float(casing.pipe.drift_diameter)),
            inch(float(casing.pipe.outside_diameter)),
            color=palette.ORANGE,
            linewidth=0.0,
            alpha=0.55,
        )
        axes.plot([inch(_coupling(casing))] * 2, [top, casing.shoe], **_line(_COUPLING))
    barrel, coring = state.hole.inventory.core_barrel, state.hole.plan.coring
    if barrel is not None and coring is not None and state.cored > 0.0:
        ends = [state.hole.z(coring.top), state.hole.z(coring.bottom)]
        axes.plot([inch(barrel.core_diameter)] * 2, ends, **_line(_CORE))
    left = passages(state)
    z = np.array([edge for piece in left for edge in (piece.top, piece.bottom)])
    x = np.array([inch(d) for piece in left for d in (piece.diameter, piece.diameter)])
    axes.plot(x, z, **_line(_AVAILABLE))


def _line(stroke: Stroke) -> dict[str, Any]:
    return {"color": stroke.colour, "lw": stroke.width, "ls": stroke.style}


def _texts(walk: Walk, units: UnitSystem) -> list[tuple[float, float, str]]:
    """Return (place, diameter it points at, text) for every string, the open hole and the core."""
    state, hole = walk.states[-1], walk.hole
    texts = []
    spent = {row.name: row.spent for row in diameter_budget(hole).rows}
    for casing in state.casings:
        pipe = casing.pipe
        drift, size = float(pipe.drift_diameter), float(pipe.outside_diameter)
        clear = float(casing.hole_diameter) - _coupling(casing)
        fits = f"in {inches(float(casing.hole_diameter))} hole, {_in(clear)} clear"
        if casing.is_conductor:
            fits = "jetted in"
        lines = (
            f"{inches(size)} {casing.name}, {below_sea_bed(hole, casing.shoe, units)} deep",
            fits,
            f"costs {_in(spent[casing.name])}, passes {_in(drift)}",
        )
        text = "\n".join(wrapped(line, 36) for line in lines)
        texts.append((float(casing.shoe), _coupling(casing), text))
    for piece in state.open_hole:
        if piece.bottom - piece.top > 0.01 * (state.bottom - hole.sea_bed):
            text = f"{inches(float(piece.diameter))} open hole, {piece.section}"
            middle = 0.5 * (float(piece.top) + float(piece.bottom))
            texts.append((middle, float(piece.diameter), wrapped(text, 34)))
    barrel, coring = hole.inventory.core_barrel, hole.plan.coring
    if barrel is not None and coring is not None and state.cored > 0.0:
        text = f"core {inches(barrel.core_diameter)}, {inches(coring.least_core_diameter)} wanted"
        texts.append((float(state.bottom), barrel.core_diameter, text))
    return texts


def _in(metres: float) -> str:
    return f"{from_si(metres, 'm', 'in'):.2f} in"


def spare_strings(walk: Walk) -> tuple[str, ...]:
    """Return what is said of every casing on board that the plan does not use."""
    hole, plan = walk.hole, walk.hole.plan
    used = {plan.conductor.pipe} | {s.casing.pipe for s in plan.sections if s.casing is not None}
    texts = []
    for name in hole.inventory.casing:
        if name in used:
            continue
        pipe = casing_pipe(hole, name)
        coupling = float(pipe.coupling_outside_diameter)
        widest = coupling if isfinite(coupling) else float(pipe.outside_diameter)
        through = [
            c.name for c in walk.states[-1].casings if float(c.pipe.drift_diameter) >= widest
        ]
        how = f"passes through {', '.join(through)}" if through else "passes through no string"
        texts.append(
            f"{name}, {inches(float(pipe.outside_diameter))} ({inches(widest)} over couplings): "
            f"{how}; leaves {_in(float(pipe.drift_diameter))}"
        )
    return tuple(texts)


def _rulers(paper: Axes, walk: Walk, scale: DepthScale, units: UnitSystem) -> None:
    for x, datum, side, at in (
        (_LEFT, Datum.DRILL_FLOOR, "left", 2.0),
        (_RIGHT_RULER, Datum.SEA_BED, "right", WIDTH - 2.0),
    ):
        draw_depth_axis(paper, walk.hole, scale, x, datum, units, side=side)
        paper.text(
            at,
            0.5 * (scale.y_sea_bed + scale.y_below),
            f"depth below the {datum} [{depth_unit(units)}], true vertical",
            fontsize=NORMAL,
            rotation=90,
            va="center",
            ha="center",
        )


def _notes(paper: Axes, walk: Walk, bottom: float) -> None:
    strokes = (_AVAILABLE, _COUPLING, _DRILLED, _CORE)
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label) for s in strokes
    ]
    handles.append(
        Line2D([], [], color=palette.ORANGE, lw=6.0, alpha=0.55, label="steel and drift")
    )
    foot_legend(paper, handles, bottom + 9.5, 5, handlelength=3.0)
    paper.text(
        0.5 * WIDTH,
        bottom + 16.5,
        _spares_text(walk),
        fontsize=SMALL,
        ha="center",
        va="top",
        color=palette.QUIET,
    )


def _spares_text(walk: Walk) -> str:
    said = "; ".join(spare_strings(walk)) or "none"
    return wrapped(f"On board and not in the plan: {said}.", 112)


def _alt(walk: Walk, texts: list[tuple[float, float, str]]) -> str:
    said = "; ".join(text.replace("\n", ", ") for _, _, text in texts)
    spare = "; ".join(spare_strings(walk)) or "none"
    return (
        "Diameter in inches against depth below the drill floor and the sea bed: the hole "
        f"drilled, every string with its coupling, and the width that passes down. {said}. "
        f"On board and not in the plan: {spare}."
    )
