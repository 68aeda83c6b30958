"""The plan and the plan that stands most, side by side on one depth axis."""

from __future__ import annotations

from typing import Final

from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from bathybore.base.units import UnitSystem, from_si
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import depth_unit
from bathybore.drawings.labels import Label, place_labels
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
from bathybore.drawings.words import below_sea_bed, wrapped
from bathybore.ensembles.choosing import Goal
from bathybore.ensembles.odds import Share
from bathybore.ensembles.shapes import Frame, Policy
from bathybore.usecases.ledger import DAY
from bathybore.usecases.odds import Robust

WIDTH: Final = 170.0
HEIGHT: Final = 156.0
_LEFT, _TOP, _WIDE, _TALL = 20.0, 22.0, 76.0, 118.0
_NAMES: Final = 104.0
_PLANNED, _FOUND = 1.0, 3.0  # middles of the two holes across the panel
_MOST_WIDE: Final = 0.62  # half the width of the first hole
_MOVED: Final = 1e-6  # m
_FILL: Final = "#CFE3F1"


def robust_picture(found: Robust, frame: Frame, units: UnitSystem = "metric") -> Picture:
    """Return both plans as a picture."""
    with settings():
        return draw_robust(found, frame, units).finished()


def draw_robust(found: Robust, frame: Frame, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    axes = panel(figure, _LEFT, _TOP, _WIDE, _TALL)
    chosen, unit = found.chosen, depth_unit(units)
    deepest = 1.03 * max(*chosen.planned.bottoms, *chosen.policy.bottoms)
    axes.set_ylim(from_si(deepest, "m", unit), 0.0)
    axes.set_xlim(0.0, 4.0)
    _hole(axes, chosen.planned, _PLANNED, units, palette.FAINT)
    _hole(axes, chosen.policy, _FOUND, units, _FILL)
    _between(axes, chosen.planned, chosen.policy, units)
    axes.set_xticks([])
    axes.set_ylabel(f"depth below the sea bed [{unit}]", fontsize=NORMAL)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4, axis="y")
    axes.set_axisbelow(True)
    for middle, name, share in (
        (_PLANNED, "as planned", chosen.reached_planned),
        (_FOUND, "found", chosen.reached),
    ):
        x = _LEFT + _WIDE * middle / 4.0
        paper.text(x, _TOP - 13.0, name, fontsize=NORMAL, weight="bold", ha="center", va="center")
        told = f"target reached in\n{_chance(share)}"
        paper.text(x, _TOP - 6.0, told, fontsize=SMALL, ha="center",
                   va="center")  # fmt: skip
    paper.text(_NAMES, _TOP - 5.5, "bottoms of the plan that was found", fontsize=SMALL,
               va="center")  # fmt: skip
    _labels(paper, found, frame, units, deepest)
    paper.text(0.5 * WIDTH, _TOP + _TALL + 5.0, wrapped(_gained(found, frame), 120), fontsize=SMALL,
               ha="center", va="top", color=palette.QUIET)  # fmt: skip
    return Sheet(figure, "The plan that stands most", in_words(found, frame, units))


def _chance(share: Share) -> str:
    if not share.of:
        return "none judged"
    low, high = 100.0 * share.low, 100.0 * share.high
    return f"{100.0 * share.share:.1f} % ({low:.1f} to {high:.1f} %)"


def _hole(axes: Axes, policy: Policy, middle: float, units: UnitSystem, colour: str) -> None:
    """Draw a hole that grows narrower with every string; its widths are not to scale."""
    unit, top, count = depth_unit(units), 0.0, len(policy.bottoms)
    for number, bottom in enumerate(policy.bottoms):
        half = _MOST_WIDE * (1.0 - 0.75 * number / count)
        begins, ends = (from_si(depth, "m", unit) for depth in (top, bottom))
        axes.add_patch(
            Rectangle(
                (middle - half, begins),
                2.0 * half,
                ends - begins,
                facecolor=colour,
                edgecolor=palette.INK,
                linewidth=0.9,
            )
        )
        if number < count - 1:  # the last hole stays open: it has no shoe
            for side in (-1.0, 1.0):
                axes.plot(middle + side * half, ends, marker="v", ms=4.0, color=palette.INK)
        top = bottom


def _between(axes: Axes, planned: Policy, found: Policy, units: UnitSystem) -> None:
    unit, count = depth_unit(units), len(planned.bottoms)
    for number, pair in enumerate(zip(planned.bottoms, found.bottoms, strict=True)):
        half = _MOST_WIDE * (1.0 - 0.75 * number / count)
        moved = abs(pair[1] - pair[0]) > _MOVED
        axes.plot(
            [_PLANNED + half + 0.08, _FOUND - half - 0.08],
            [from_si(depth, "m", unit) for depth in pair],
            color=palette.VERMILION if moved else palette.QUIET,
            lw=1.6 if moved else 0.7,
            ls="-" if moved else (0.0, (1.0, 1.6)),
        )


def _labels(paper: Axes, found: Robust, frame: Frame, units: UnitSystem, deepest: float) -> None:
    names = [one.name for one in frame.planned]
    labels = []
    for name, before, after in _rows(found, names):
        depth = below_sea_bed(frame.hole, float(frame.hole.sea_bed) + after, units)
        moved = abs(after - before) > _MOVED
        text = f"{wrapped(name, 30)}\n{depth}{_moved(before, after, units)}"
        labels.append(Label(text, _LEFT + _WIDE, _TOP + _TALL * after / deepest, bold=moved))
    place_labels(paper, labels, _NAMES, _TOP - 2.0, _TOP + _TALL + 3.0)


def _rows(found: Robust, names: list[str]) -> list[tuple[str, float, float]]:
    chosen = found.chosen
    return list(zip(names, chosen.planned.bottoms, chosen.policy.bottoms, strict=True))


def _moved(before: float, after: float, units: UnitSystem) -> str:
    if abs(after - before) <= _MOVED:
        return ", as planned"
    way = "deeper" if after > before else "higher"
    unit = depth_unit(units)
    return f", {from_si(abs(after - before), 'm', unit):,.0f} {unit} {way} than planned"


def _gained(found: Robust, frame: Frame) -> str:
    chosen = found.chosen
    scale, unit = {
        Goal.odds: (100.0, " percentage points of chance"),
        Goal.days: (1.0 / DAY, " days saved, a lost hole being made again"),
        Goal.cost: (1.0, " of money saved, a lost hole being made again"),
    }[chosen.goal]
    if chosen.policy == chosen.planned:
        return f"Nothing better than the plan was found; {chosen.tried} plans were tried."
    gain, low, high = (scale * value for value in (chosen.gain, chosen.low, chosen.high))
    better = "" if low > 0.0 else " They do not show that it is better than the plan."
    return (
        f"{gain:+,.1f} ({low:+,.1f} to {high:+,.1f}){unit}, on members that took no part in the "
        f"choice.{better} {chosen.tried} plans were tried.{_spares(found, frame)} Widths are not "
        "to scale."
    )


def _spares(found: Robust, frame: Frame) -> str:
    """Say whether spares may be set, where there are any."""
    chosen = found.chosen
    if not any(one.spare for one in frame.strings):
        return ""
    said = " Spares may be set" if chosen.policy.spares else " Spares stay on board"
    return said + (".", ", other than planned.")[chosen.policy.spares != chosen.planned.spares]


def in_words(found: Robust, frame: Frame, units: UnitSystem) -> str:
    """Return what the picture shows, for those who cannot see it."""
    names = [one.name for one in frame.planned]
    bed = float(frame.hole.sea_bed)
    bottoms = "; ".join(
        f"{name} {below_sea_bed(frame.hole, bed + after, units)}{_moved(before, after, units)}"
        for name, before, after in _rows(found, names)
    )
    chosen = found.chosen
    return (
        f"Bottoms below the sea bed of the plan that was found: {bottoms}. Target reached in "
        f"{_chance(chosen.reached)}, as planned in {_chance(chosen.reached_planned)}. "
        f"{_gained(found, frame)}"
    )
