"""The window: what the hole needs, what the rock bears, and the mud between the two."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from bathybore.base.arrays import Array
from bathybore.base.depth import Datum
from bathybore.base.units import UnitSystem, conversion, pretty_unit, show, shown_unit
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import DepthScale, depth_unit, draw_depth_axis
from bathybore.drawings.labels import GAP, spread
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
    text_height,
)
from bathybore.drawings.words import below_drill_floor, below_sea_bed, wrapped
from bathybore.usecases.pressures import DEFINITIONS, MudLine, equivalent_density, mud_lines

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

WIDTH: Final = 170.0
HEIGHT: Final = 214.0
_TOP, _SEA_BED, _BOTTOM = 4.0, 11.0, 184.0
_DENSITY = (16.0, 78.0)  # left edge and width of the panel
_MIDDLE = (95.0, 28.0)
_PRESSURE = (124.0, 29.5)


def window_picture(walk: Walk, units: UnitSystem = "metric") -> Picture:
    """Return the window against depth, as equivalent density to the drill floor and as pressure.

    Equivalent density of a gauge pressure p at a depth h below the drill floor is
    p / (g h). The sea is left out: kilometres of it would squeeze the rock.
    """
    with settings():
        return draw_window(walk, units).finished()


def draw_window(walk: Walk, units: UnitSystem = "metric") -> Sheet:
    hole, muds = walk.hole, mud_lines(walk)
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    deepest = max(float(walk.states[-1].bottom), hole.sea_bed + 1.0)
    thickness = deepest - hole.sea_bed
    scale = DepthScale(
        hole.sea_bed - thickness * (_SEA_BED - _TOP) / (_BOTTOM - _SEA_BED),
        hole.sea_bed,
        deepest,
        _TOP,
        _SEA_BED,
        _BOTTOM,
    )

    def equivalent(z: Array, pressure: Array) -> Array:
        return equivalent_density(hole.setting, Datum.DRILL_FLOOR, z, pressure)

    density = _Panel(_depth_panel(figure, *_DENSITY), scale, "kg/m3", units, equivalent)
    pressure = _Panel(_depth_panel(figure, *_PRESSURE), scale, "Pa", units, lambda z, p: p)
    for one in (density, pressure):
        _curves(one, walk, muds)
        one.finish()
    density.label("equivalent density to the drill floor")
    pressure.label("pressure, gauge")
    _rulers(paper, walk, scale, units)
    _places(paper, walk, muds, scale, units)
    _key(paper, walk, muds)
    return Sheet(figure, "Pressures the hole needs and bears, and the mud", _alt(walk, muds, units))


def _depth_panel(figure: Figure, left: float, width: float) -> Axes:
    return panel(figure, left, _TOP, width, _BOTTOM - _TOP)


class _Panel:
    """One pair of axes: depth down the paper, one quantity across."""

    def __init__(
        self,
        axes: Axes,
        scale: DepthScale,
        unit: str,
        units: UnitSystem,
        quantity: Callable[[Array, Array], Array],
    ) -> None:
        self.axes, self.scale, self.quantity = axes, scale, quantity
        self.unit = shown_unit(unit, units)
        self.factor = conversion(self.unit).factor
        self.seen: list[Array] = []

    def values(self, z: Array, pressure: Array) -> Array:
        return self.quantity(z, pressure) / self.factor

    def line(self, z: Array, pressure: Array, stroke: Stroke) -> None:
        known = np.isfinite(pressure)
        if not known.any():
            return
        x = self.values(z[known], pressure[known])
        self.seen.append(x)
        self.axes.plot(x, z[known], color=stroke.colour, lw=stroke.width, ls=stroke.style)

    def between(self, z: Array, low: Array, high: Array) -> None:
        self.axes.fill_betweenx(
            z, self.values(z, low), self.values(z, high), color="#F4F0E0", linewidth=0.0, zorder=0
        )

    def finish(self) -> None:
        axes, scale = self.axes, self.scale
        low = min(float(x.min()) for x in self.seen)
        high = max(float(x.max()) for x in self.seen)
        room = 0.04 * (high - low)
        axes.set_xlim(low - room, high + room)
        axes.set_ylim(scale.below, scale.above)
        axes.axhspan(scale.above, scale.sea_bed, color=palette.WATER, linewidth=0.0)
        axes.axhline(scale.sea_bed, color=palette.INK, linewidth=1.0)
        axes.set_yticks([])
        axes.grid(axis="x", color=palette.FAINT, linewidth=0.4)
        axes.set_axisbelow(True)
        axes.tick_params(axis="x", labelsize=SMALL, length=2.5, width=0.6)
        axes.locator_params(axis="x", nbins=max(3, int(axes.get_position().width * 14)))
        axes.spines["top"].set_visible(False)

    def label(self, text: str) -> None:
        unit = pretty_unit(self.unit)
        self.axes.set_xlabel(f"{text} [{unit}]", fontsize=NORMAL, labelpad=2.0)


def _curves(one: _Panel, walk: Walk, muds: tuple[MudLine, ...]) -> None:
    hole = walk.hole
    rows = hole.earth.depths + hole.sea_bed
    z = np.unique([*rows[rows < one.scale.below], one.scale.below])
    numbers = {
        name: hole.earth.at(name, z - hole.sea_bed)
        for name in ("pore_pressure", "fracture_pressure", "collapse_pressure")
        if hole.earth.has(name)
    }
    one.between(z, numbers["pore_pressure"], numbers["fracture_pressure"])
    one.line(z, numbers["pore_pressure"], palette.PORE)
    one.line(z, numbers["fracture_pressure"], palette.FRACTURE)
    if "collapse_pressure" in numbers:
        one.line(z, numbers["collapse_pressure"], palette.COLLAPSE)
    for mud in muds:
        one.line(mud.z, mud.borne, palette.BORNE)
        if mud.needed is not None:
            one.line(mud.z, mud.needed, palette.NEEDED)
        one.line(mud.z, mud.rest, palette.AT_REST)
        if mud.circulating is not None:
            one.line(mud.z, mud.circulating, palette.CIRCULATING)
    for casing in walk.states[-1].casings:
        one.axes.axhline(casing.shoe, color=palette.QUIET, linewidth=0.5, dashes=(2.0, 2.0))


def _rulers(paper: Axes, walk: Walk, scale: DepthScale, units: UnitSystem) -> None:
    hole = walk.hole
    left, right = _DENSITY[0], _PRESSURE[0] + _PRESSURE[1]
    draw_depth_axis(paper, hole, scale, left, Datum.DRILL_FLOOR, units, side="left")
    draw_depth_axis(paper, hole, scale, right, Datum.SEA_BED, units, side="right")
    unit = depth_unit(units)
    middle = 0.5 * (_SEA_BED + _BOTTOM)
    paper.text(
        2.0,
        middle,
        f"depth below the drill floor [{unit}], true vertical",
        fontsize=NORMAL,
        rotation=90,
        va="center",
        ha="center",
    )
    paper.text(
        WIDTH - 2.0,
        middle,
        f"depth below the sea bed [{unit}], true vertical",
        fontsize=NORMAL,
        rotation=90,
        va="center",
        ha="center",
    )
    for x in (left, right):  # the depth axis is broken here
        y = 0.5 * (_TOP + _SEA_BED)
        paper.plot(
            [x, x, x - 1.2, x + 1.2, x, x],
            [_TOP, y - 1.2, y - 0.5, y + 0.5, y + 1.2, _SEA_BED],
            color=palette.INK,
            linewidth=0.7,
        )
    bed = below_drill_floor(hole, hole.sea_bed, units)
    paper.text(
        left + 2.0,
        0.5 * (_TOP + _SEA_BED),
        f"depth axis broken: {bed} of air and sea above are not drawn",
        fontsize=SMALL,
        va="center",
    )


def _places(
    paper: Axes, walk: Walk, muds: tuple[MudLine, ...], scale: DepthScale, units: UnitSystem
) -> None:
    """Name sea bed, shoes and muds in the strip between the panels."""
    hole = walk.hole
    rows: list[tuple[float, str, str]] = []
    for casing in walk.states[-1].casings:
        depth = below_sea_bed(hole, casing.shoe, units)
        rows.append((scale.y(casing.shoe), wrapped(casing.name, 18) + f"\nshoe {depth}", "bold"))
    for mud in muds:
        text = wrapped(mud.fluid, 18) + "\n" + show(mud.density, "kg/m3", units)
        rows.append((scale.y(float(0.5 * (mud.z[0] + mud.z[-1]))), text, "normal"))
    left, width = _MIDDLE
    paper.text(
        left + 0.5 * width,
        0.5 * (_TOP + _SEA_BED),
        "depths of shoes are\nbelow the sea bed",
        fontsize=SMALL,
        va="center",
        ha="center",
        color=palette.QUIET,
        style="italic",
    )
    texts = [
        paper.text(
            left + 0.5 * width,
            y,
            text,
            fontsize=SMALL,
            va="center",
            ha="center",
            weight=weight,
            linespacing=1.1,
        )
        for y, text, weight in rows
    ]
    sizes = [text_height(text) + GAP for text in texts]
    low, high = _SEA_BED, _BOTTOM + 4.0
    centres = spread([y for y, _, _ in rows], sizes, low, max(high, low + sum(sizes)))
    for written, centre, (y, _, weight) in zip(texts, centres, rows, strict=True):
        written.set_y(centre)
        if weight == "bold":
            for x, inner in ((left - 1.0, left + 3.0), (left + width + 1.0, left + width - 3.0)):
                paper.plot([x, inner], [y, centre], color=palette.QUIET, linewidth=0.4)
                _shoe_mark(paper, x, y, left + 0.5 * width > x)


def _shoe_mark(paper: Axes, x: float, y: float, leftmost: bool) -> None:
    side = 1.0 if leftmost else -1.0
    paper.fill([x, x, x + side * 1.6], [y - 2.0, y, y], color=palette.INK, linewidth=0.0, zorder=3)


def _key(paper: Axes, walk: Walk, muds: tuple[MudLine, ...]) -> None:
    shown = [
        palette.PORE,
        palette.NEEDED,
        palette.COLLAPSE,
        palette.AT_REST,
        palette.FRACTURE,
        palette.BORNE,
        palette.CIRCULATING,
    ]
    if not walk.hole.earth.has("collapse_pressure"):
        shown.remove(palette.COLLAPSE)
    if all(mud.needed is None for mud in muds):
        shown.remove(palette.NEEDED)
    handles = [Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label) for s in shown]
    foot_legend(paper, handles, _BOTTOM + 17.0, 4, handlelength=3.4, columnspacing=1.3)
    still = [mud.section for mud in muds if mud.circulating is None]
    text = f"Equivalent density: {DEFINITIONS[Datum.DRILL_FLOOR]}. Triangles: shoes."
    if still:
        text += (
            f"\nNo circulating pressure is drawn for {', '.join(still)}: the cuttings do not rise "
            "in every annulus."
        )
    paper.text(
        0.5 * WIDTH,
        _BOTTOM + 10.5,
        "\n".join(wrapped(line, 118) for line in text.split("\n")),
        fontsize=SMALL,
        ha="center",
        va="top",
        color=palette.QUIET,
    )


def _alt(walk: Walk, muds: tuple[MudLine, ...], units: UnitSystem) -> str:
    hole = walk.hole
    parts = []
    for mud in muds:
        top, bottom = (below_sea_bed(hole, float(z), units) for z in (mud.z[0], mud.z[-1]))
        parts.append(
            f"{mud.section} from {top} to {bottom} below the sea bed with {mud.fluid} of "
            f"{show(mud.density, 'kg/m3', units)}"
        )
    collapse = walk.hole.earth.has("collapse_pressure")
    bounds = "pore, collapse and fracture" if collapse else "pore and fracture"
    return (
        f"Depth below the drill floor, from the sea bed at "
        f"{below_drill_floor(hole, hole.sea_bed, units)} down, against equivalent density to the "
        f"drill floor and against gauge pressure: {bounds} pressure, and the mud "
        f"at rest and circulating in each section: {'; '.join(parts)}."
    )
