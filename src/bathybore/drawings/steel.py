"""Load against resistance of one casing string over depth, and its design envelope."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from bathybore.base.arrays import Array
from bathybore.base.depth import Datum
from bathybore.base.units import UnitSystem, conversion, pretty_unit, shown_unit
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import DepthScale, depth_unit, draw_depth_axis
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
from bathybore.drawings.words import wrapped
from bathybore.usecases.steel_choice import EnvelopePoint, SteelChoice, envelope, envelope_points

if TYPE_CHECKING:
    from bathybore.checks.record import CheckRecord
    from bathybore.model.hole import Hole

WIDTH: Final = 170.0
HEIGHT: Final = 196.0
_TOP, _BOTTOM = 9.0, 96.0
_PANELS: Final = ((18.0, 34.0), (58.0, 34.0), (98.0, 34.0), (138.0, 28.0))
_KINDS: Final = (
    (("burst",), "burst: inside less outside"),
    (("collapse",), "collapse: outside less inside"),
    (("triaxial",), "all stresses together"),
    (("running", "axial"), "axial force, pull or push"),
)
_RESISTANCE: Final = Stroke("what the string bears", palette.INK, 2.4)
_CASES: Final = {
    "running": Stroke("running", palette.INK, 1.2, (2.0, 1.0)),
    "running-empty": Stroke("run empty", palette.QUIET, 1.2, (4.0, 1.5)),
    "placing": Stroke("cement just placed", palette.BLUISH_GREEN, 1.3, (1.0, 1.2)),
    "bumping": Stroke("plug pressed home", palette.SKY_BLUE, 1.5, (6.0, 1.5)),
    "pressure-test": Stroke("pressure test", palette.BLUE, 1.4, (3.0, 1.2, 1.0, 1.2)),
    "lost-returns": Stroke("returns lost", palette.ORANGE, 1.5, (5.0, 1.2, 1.0, 1.2, 1.0, 1.2)),
    "riser-lost": Stroke("riser lost", palette.REDDISH_PURPLE, 1.4, (2.5, 2.5)),
    "evacuated": Stroke("empty to its shoe", palette.BLACK, 1.0, (1.0, 2.5)),
    "kick": Stroke("full of the kick", palette.VERMILION, 1.6),
    "warmed": Stroke("warmed by mud", palette.VERMILION, 1.1, (1.5, 1.5)),
    "cooled": Stroke("kick killed cold", palette.BLUE, 1.1, (1.5, 1.5)),
}


def steel_picture(hole: Hole, choice: SteelChoice, units: UnitSystem = "metric") -> Picture:
    """Return loads with their factors against resistance over depth, and the envelope."""
    with settings():
        return draw_steel(hole, choice, units).finished()


def draw_steel(hole: Hole, choice: SteelChoice, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    title = f"{choice.casing}: loads, factors included, against what the string bears"
    if not choice.lengths:
        paper.text(0.5 * WIDTH, 20.0, wrapped(choice.why_none, 90), ha="center", va="top")
        return Sheet(figure, title, in_words(choice, units))
    top = float(hole.z(choice.lengths[0].top))
    shoe = float(hole.z(choice.lengths[-1].bottom))
    scale = DepthScale(top - 1.0, top, shoe, _TOP - 0.01, _TOP, _BOTTOM)
    draw_depth_axis(paper, hole, scale, 16.0, Datum.DRILL_FLOOR, units, side="left")
    label = f"depth below the drill floor [{depth_unit(units)}]"
    paper.text(3.0, 0.5 * (_TOP + _BOTTOM), label, rotation=90, va="center", ha="center")
    for (left, width), (kinds, heading) in zip(_PANELS, _KINDS, strict=True):
        axes = panel(figure, left, _TOP, width, _BOTTOM - _TOP)
        records = [one for one in choice.records if _kind(one) in kinds]
        _profiles(axes, hole, records, scale, units)
        paper.text(left, 5.5, heading, fontsize=SMALL, va="center")
        _switches(axes, hole, choice)
    axes = panel(figure, 22.0, 116.0, 142.0, 52.0)
    _envelope(axes, choice, units)
    _legend(paper, choice)
    _foot(paper, choice, units)
    return Sheet(figure, title, in_words(choice, units))


def _kind(record: CheckRecord) -> str:
    return record.name.partition("-")[0]


def _case(record: CheckRecord) -> str:
    return record.name.partition("-")[2] or record.name


def _profiles(
    axes: Axes, hole: Hole, records: list[CheckRecord], scale: DepthScale, units: UnitSystem
) -> None:
    borne: Array | None = None
    most, unit = 0.0, "Pa"
    for record in records:
        profile = record.profile
        if profile is None:
            continue
        unit = profile.unit
        shown = shown_unit(unit, units)
        factor = conversion(shown).factor
        z = np.array([float(hole.z(depth)) for depth in profile.depths])
        demand, capacity = profile.demand / factor, profile.capacity / factor
        stroke = _CASES[_case(record)]
        axes.plot(demand, z, color=stroke.colour, lw=stroke.width, ls=stroke.style)
        borne = capacity if borne is None else np.minimum(borne, capacity)
        axes.plot(borne, z, color=palette.FAINT, lw=0.4)
        most = max(most, float(np.nanmax(demand)), float(np.nanmax(capacity)))
    if borne is not None:
        axes.plot(borne, z, color=_RESISTANCE.colour, lw=_RESISTANCE.width)
    axes.set_xlim(0.0, 1.06 * most if most > 0.0 else 1.0)
    axes.set_ylim(scale.below, scale.sea_bed)
    axes.set_yticks([])
    axes.set_xlabel(f"[{pretty_unit(shown_unit(unit, units))}]", fontsize=SMALL, labelpad=1.5)
    axes.tick_params(axis="x", labelsize=SMALL, length=2.5, width=0.6)
    axes.locator_params(axis="x", nbins=4)
    axes.grid(axis="x", color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)


def _switches(axes: Axes, hole: Hole, choice: SteelChoice) -> None:
    for length in choice.lengths[1:]:
        axes.axhline(float(hole.z(length.top)), color=palette.QUIET, lw=0.6, ls=(0, (2, 2)))


def _envelope(axes: Axes, choice: SteelChoice, units: UnitSystem) -> None:
    force, pressure = shown_unit("N", units), shown_unit("Pa", units)
    across, up = conversion(force).factor, conversion(pressure).factor
    for number, curve in enumerate(envelope(choice)):
        axes.plot(
            curve.force / across,
            curve.difference / up,
            color=palette.INK,
            lw=1.6 - 0.4 * min(number, 2),
            ls=("-", (0, (6, 2)), (0, (2, 1.5)))[min(number, 2)],
        )
    for point in envelope_points(choice):
        _points(axes, point, across, up)
    axes.axhline(0.0, color=palette.QUIET, lw=0.5)
    axes.axvline(0.0, color=palette.QUIET, lw=0.5)
    axes.set_xlabel(
        f"axial force and outside pressure times steel area [{pretty_unit(force)}]",
        fontsize=SMALL,
        labelpad=1.5,
    )
    axes.set_ylabel(f"inside less outside [{pretty_unit(pressure)}]", fontsize=SMALL, labelpad=1.5)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)
    axes.set_title(
        "design envelope: von Mises, thick wall, design factor taken off", fontsize=NORMAL, pad=3.0
    )


def _points(axes: Axes, point: EnvelopePoint, across: float, up: float) -> None:
    stroke = _CASES[point.case]
    axes.plot(
        point.force / across,
        point.difference / up,
        color=stroke.colour,
        lw=stroke.width,
        ls=stroke.style,
    )


def _legend(paper: Axes, choice: SteelChoice) -> None:
    cases = dict.fromkeys(_case(one) for one in choice.records)
    strokes = [_RESISTANCE, *(_CASES[case] for case in cases)]
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label) for s in strokes
    ]
    foot_legend(paper, handles, 103.0, 5, handlelength=3.6)


def _foot(paper: Axes, choice: SteelChoice, units: UnitSystem) -> None:
    lengths = "; ".join(
        f"{one.designation} from {one.top.show(units)} to {one.bottom.show(units)}"
        for one in choice.lengths
    )
    text = f"Top down: {lengths}. Envelope lines in this order: solid, long and short dashes."
    paper.text(
        0.5 * WIDTH, 178.0, wrapped(text, 112), fontsize=SMALL, ha="center", va="top",
        color=palette.QUIET,
    )  # fmt: skip


def in_words(choice: SteelChoice, units: UnitSystem = "metric") -> str:
    """Return what the picture shows, for those who cannot see it."""
    if not choice.lengths:
        return f"No string: {choice.why_none}."
    lengths = ", ".join(f"{one.designation} to {one.bottom.show(units)}" for one in choice.lengths)
    worst = min(choice.records, key=lambda one: one.margin if one.margin is not None else -1.0)
    margin = 100.0 * (worst.margin or 0.0)
    where = f" at {worst.depth.show(units)}" if worst.depth is not None else ""
    return (
        f"{choice.casing} of {lengths}. Loads over depth in every case stay below what the string "
        f"bears; the least room, {margin:.0f} %, is left in {worst.name}{where}."
    )
