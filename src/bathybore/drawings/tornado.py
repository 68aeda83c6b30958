"""What matters for the odds: each uncertainty alone, beside its shares of the variance."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Patch
from matplotlib.ticker import MaxNLocator

from bathybore.base.units import UnitSystem, from_si
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import depth_unit
from bathybore.drawings.limits import Fill
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
from bathybore.ensembles.odds import Spread
from bathybore.ensembles.sensitivity import Sensitivity
from bathybore.usecases.ledger import DAY
from bathybore.usecases.odds import Matters, Swing

WIDTH: Final = 170.0
MOST: Final = 8  # uncertainties drawn of each answer
_LEAST: Final = 0.01  # of the most that one does; what does less is not drawn
_ROW: Final = 5.6  # mm
_HEAD, _AXIS, _BETWEEN = 11.0, 8.0, 4.0
_ALONE = (44.0, 62.0)  # left edge and width of each panel
_SHARES = (112.0, 53.0)
_SENSE: Final = (-0.25, 1.25)  # no share lies beyond 0 and 1 but by chance
_SWING: Final = palette.SKY_BLUE
_FIRST: Final = Fill(palette.BLUE)
_TOTAL: Final = Fill("#FFFFFF", "//////")
_CALLED: Final = {
    "reached": ("chance of the target", "%"),
    "depth": ("depth reached below the sea bed", "m"),
    "days": ("days spent", "days"),
    "cost": ("money spent", "millions"),
}


def matters_picture(found: Matters, units: UnitSystem = "metric") -> Picture:
    """Return what matters as a picture."""
    with settings():
        return draw_matters(found, units).finished()


def draw_matters(found: Matters, units: UnitSystem = "metric") -> Sheet:
    drawn = {answer: chosen(found, answer) for answer in found.shares}
    heights = [_HEAD + _ROW * len(rows) + _AXIS + _BETWEEN for rows in drawn.values()]
    figure = sheet_of_paper(WIDTH, sum(heights, 18.0) if heights else 30.0)
    paper = paper_axes(figure)
    top = 2.0
    for (answer, rows), height in zip(drawn.items(), heights, strict=True):
        _answer(figure, paper, found, answer, rows, top, units)
        top += height
    if drawn:
        _key(paper, found, top)
    else:
        paper.text(0.5 * WIDTH, 15.0, "Nothing varies: all members give the same answers.",
                   ha="center", va="center", color=palette.QUIET)  # fmt: skip
    return Sheet(figure, "What matters", in_words(found, units))


def chosen(found: Matters, answer: str) -> tuple[Swing, ...]:
    """Return the uncertainties that are drawn, the widest first.

    Those that are widest alone, and those that hold most of the variance with what they act
    through: a quantity that does little alone may do much with another.
    """
    rows = found.swings[answer]
    totals = {one.group: one.total.share for one in found.shares[answer]}
    widths = {one.group: _width(found, answer, one.spread) for one in rows}
    wide, much = max(widths.values()) or 1.0, max(totals.values()) or 1.0

    def weight(one: Swing) -> float:
        return max(widths[one.group] / wide, totals[one.group] / much)

    most = sorted((one for one in rows if weight(one) >= _LEAST), key=lambda one: -weight(one))[
        :MOST
    ]
    return tuple(sorted(most, key=lambda one: -widths[one.group]))


def _width(found: Matters, answer: str, spread: Spread) -> float:
    low, high = _ends(found, answer, spread)
    width = abs(high - low)
    return width if np.isfinite(width) else float("inf")


def _ends(found: Matters, answer: str, spread: Spread) -> tuple[float, float]:
    """Return between which values one uncertainty alone moves an answer, SI.

    A member comes to the target or not: what moves is the share of those that do.
    """
    if answer == "reached":
        return found.planned[answer], spread.mean
    return spread.p10, spread.p90


def _shown(answer: str, value: float, units: UnitSystem) -> float:
    if answer == "reached":
        return 100.0 * value
    if answer == "days":
        return value / DAY
    return value / 1e6 if answer == "cost" else from_si(value, "m", depth_unit(units))


def _unit(answer: str, units: UnitSystem) -> str:
    return depth_unit(units) if answer == "depth" else _CALLED[answer][1]


def _answer(
    figure: Figure,
    paper: Axes,
    found: Matters,
    answer: str,
    rows: tuple[Swing, ...],
    top: float,
    units: UnitSystem,
) -> None:
    height = _ROW * len(rows)
    left = panel(figure, _ALONE[0], top + _HEAD, _ALONE[1], height)
    right = panel(figure, _SHARES[0], top + _HEAD, _SHARES[1], height)
    name, unit = _CALLED[answer][0], _unit(answer, units)
    said = _planned(found, answer, units)
    title = f"{name[0].upper()}{name[1:]}: {said} as planned"
    paper.text(2.0, top + 3.0, title, fontsize=NORMAL, weight="bold", va="center")
    alone = "chance" if answer == "reached" else "P10 to P90"
    headings = ((_ALONE[0], f"{alone}, this alone being uncertain"),
                (_SHARES[0], "share of the variance (Sobol), 95 %"))  # fmt: skip
    for x, words in headings:
        paper.text(x, top + _HEAD - 2.0, words, fontsize=SMALL, va="bottom")
    _swings(left, found, answer, rows, units)
    left.set_xlabel(f"{name} [{unit}]", fontsize=SMALL, labelpad=1.0)
    by_group = {one.group: one for one in found.shares[answer]}
    _shares(right, [by_group[one.group] for one in rows])
    for axes in (left, right):
        axes.set_ylim(len(rows) - 0.4, -0.6)
        axes.tick_params(labelsize=SMALL, length=2.0, width=0.6)
        axes.tick_params(axis="y", length=0.0)
        axes.grid(color=palette.FAINT, linewidth=0.4, axis="x")
        axes.set_axisbelow(True)
    left.set_yticks(range(len(rows)), [_name(one.group) for one in rows])
    right.set_yticks([])


def _planned(found: Matters, answer: str, units: UnitSystem) -> str:
    unit = _unit(answer, units)
    return f"{_figure(answer, _shown(answer, found.planned[answer], units))} {unit}"


def _figure(answer: str, value: float) -> str:
    return f"{value:,.0f}" if answer in ("reached", "depth") else f"{value:,.1f}"


def _name(group: str) -> str:
    """Return a group as a person says it, in two lines at most."""
    parts = [_part(part) for part in group.split(" + ")]
    lines = wrapped(", ".join(parts), 30).split("\n")
    return "\n".join(lines if len(lines) <= 2 else [lines[0], f"{lines[1]} …"])


def _part(key: str) -> str:
    """Return a quantity's name; a number of the hole with what it is a number of."""
    owner, _, name = key.rpartition(".")
    of = owner.rpartition(".")[2]
    return f"{of} {name}".strip().replace("_", " ")


def _swings(
    axes: Axes, found: Matters, answer: str, rows: tuple[Swing, ...], units: UnitSystem
) -> None:
    planned = _shown(answer, found.planned[answer], units)
    for row, one in enumerate(rows):
        low, high = (_shown(answer, end, units) for end in _ends(found, answer, one.spread))
        if not (np.isfinite(low) and np.isfinite(high)):
            axes.text(planned, row, " some without end", fontsize=SMALL, va="center")
            continue
        axes.barh(row, high - low, 0.62, left=low, facecolor=_SWING, edgecolor=palette.INK,
                  linewidth=0.4)  # fmt: skip
        if answer != "reached":
            middle = _shown(answer, one.spread.p50, units)
            axes.plot([middle, middle], [row - 0.31, row + 0.31], color=palette.INK, lw=1.4)
    axes.axvline(planned, color=palette.VERMILION, lw=1.4, ls=(0.0, (5.0, 1.5)))
    # bars end at the frame else, and look as if they went on behind it
    low, high = axes.dataLim.intervalx
    room = 0.05 * (high - low) or 1.0
    axes.set_xlim(low - room, high + room)
    axes.xaxis.set_major_locator(MaxNLocator(6))


def _shares(axes: Axes, rows: list[Sensitivity]) -> None:
    for row, one in enumerate(rows):
        for index, place, fill in ((one.first, -0.19, _FIRST), (one.total, 0.19, _TOTAL)):
            axes.barh(row + place, index.share, 0.34, **fill.drawn())
            axes.plot([index.low, index.high], [row + place, row + place], color=palette.VERMILION,
                      lw=0.9, solid_capstyle="butt")  # fmt: skip
    axes.axvline(0.0, color=palette.INK, lw=0.6)
    # of few members intervals are wide: they may run out of the frame, the bars stay to be read
    low, high = axes.dataLim.intervalx
    axes.set_xlim(max(1.06 * min(low, 0.0), _SENSE[0]), min(1.06 * high, _SENSE[1]) or 1.0)


def _key(paper: Axes, found: Matters, top: float) -> None:
    handles = [
        Patch(facecolor=_SWING, edgecolor=palette.INK, lw=0.4, label="alone, black mark: P50"),
        Patch(**_FIRST.drawn(), label="first order: alone"),
        Patch(**_TOTAL.drawn(), label="total: with all it acts through"),
    ]
    foot_legend(paper, handles, top, 3)
    words = f"Dashed: as planned. {found.members} members, {found.runs} runs."
    most = max(len(rows) for rows in found.swings.values())
    if most > min(len(chosen(found, answer)) for answer in found.shares):
        words += f" Drawn of {most} uncertain quantities are those that move an answer most."
    paper.text(0.5 * WIDTH, top + 10.0, words, fontsize=SMALL, ha="center", va="center",
               color=palette.QUIET)  # fmt: skip


def in_words(found: Matters, units: UnitSystem) -> str:
    """Return what the picture shows, for those who cannot see it."""
    if not found.shares:
        return "Nothing varies: all members give the same answers."
    parts = []
    for answer, shares in found.shares.items():
        name, unit = _CALLED[answer][0], _unit(answer, units)
        widest = chosen(found, answer)[0]
        low, high = (_shown(answer, end, units) for end in _ends(found, answer, widest.spread))
        first = ", ".join(f"{_spoken(one.group)} {one.total.share:.2f}" for one in shares[:3])
        if answer == "reached":
            moves = f"moves it from {low:.0f} to {high:.0f} %"
        else:
            spread = f"{_figure(answer, low)} to {_figure(answer, high)}"
            moves = f"spreads it from {spread} {unit} (P10 to P90)"
        parts.append(
            f"{name[0].upper()}{name[1:]}, {_planned(found, answer, units)} as planned: "
            f"{_spoken(widest.group)} alone {moves}; largest total shares of the variance: {first}."
        )
    return " ".join(parts)


def _spoken(group: str) -> str:
    return _name(group).replace("\n", " ")
