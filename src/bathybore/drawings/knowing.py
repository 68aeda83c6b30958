"""What measurements are worth before the strings are decided on: chance gained, days saved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from bathybore.base.units import UnitSystem
from bathybore.drawings import palette
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
from bathybore.ensembles.knowing import Knowing
from bathybore.usecases.ledger import DAY
from bathybore.usecases.odds import Worth

WIDTH: Final = 170.0
_ROW: Final = 11.0  # mm
_HEAD: Final = 9.0
_PANELS: Final = ((62.0, 48.0), (117.0, 48.0))  # left edge and width of each
_BAR: Final = Fill(palette.SKY_BLUE)
_INTERVAL: Final = palette.VERMILION


def knowing_picture(found: Sequence[Worth], units: UnitSystem = "metric") -> Picture:
    """Return what measurements are worth as a picture."""
    with settings():
        return draw_knowing(found, units).finished()


def draw_knowing(found: Sequence[Worth], units: UnitSystem = "metric") -> Sheet:
    tall = _ROW * max(1, len(found))
    figure = sheet_of_paper(WIDTH, _HEAD + tall + 26.0)
    paper = paper_axes(figure)
    chance, time = (panel(figure, left, _HEAD, width, tall) for left, width in _PANELS)
    _bars(chance, [one.odds for one in found], 0.01)
    _bars(time, [one.days for one in found], DAY)
    chance.set_xlabel("percentage points", fontsize=SMALL, labelpad=1.5)
    time.set_xlabel("days", fontsize=SMALL, labelpad=1.5)
    names = [wrapped(one.reading.told(units), 42) for one in found]
    chance.set_yticks(range(len(found)), names)
    time.set_yticks([])
    for (left, _), words in zip(
        _PANELS, ("chance of the target gained", "days saved, a lost hole made again"), strict=True
    ):
        paper.text(left, _HEAD - 3.0, words, fontsize=NORMAL, va="center")
    _key(paper, _HEAD + tall + 11.0)
    return Sheet(figure, "What it is worth to know more", in_words(found, units))


def _bars(axes: Axes, worths: list[Knowing], unit: float) -> None:
    for row, one in enumerate(worths):
        axes.barh(row, one.gain / unit, 0.46, **_BAR.drawn())
        axes.plot([one.low / unit, one.high / unit], [row, row], color=_INTERVAL, lw=1.4,
                  marker="|", ms=5.0)  # fmt: skip
        axes.plot(one.perfect / unit, row, marker="D", ms=4.2, mfc="#FFFFFF", mec=palette.INK,
                  mew=0.9, ls="none", zorder=3)  # fmt: skip
    axes.axvline(0.0, color=palette.INK, lw=0.7)
    low, high = axes.dataLim.intervalx if worths else (0.0, 1.0)
    room = 0.06 * (high - low) or 1.0
    axes.set_xlim(min(low, 0.0) - room, max(high, 0.0) + room)
    axes.set_ylim(max(1, len(worths)) - 0.5, -0.5)
    axes.tick_params(labelsize=SMALL, length=2.0, width=0.6)
    axes.tick_params(axis="y", length=0.0)
    axes.grid(color=palette.FAINT, linewidth=0.4, axis="x")
    axes.set_axisbelow(True)


def _key(paper: Axes, top: float) -> None:
    handles: list[Patch | Line2D] = [
        Patch(**_BAR.drawn(), label="gain by the measurement"),
        Line2D([], [], color=_INTERVAL, lw=1.4, marker="|", ms=5.0, label="95 % interval"),
        Line2D([], [], ls="none", marker="D", ms=4.2, mfc="#FFFFFF", mec=palette.INK,
               label="if all were known before: the most that any knowledge is worth"),
    ]  # fmt: skip
    foot_legend(paper, handles, top - 2.0, 3)
    words = "An interval that holds zero: these members do not show that it is worth anything."
    paper.text(0.5 * WIDTH, top + 9.0, words, fontsize=SMALL, ha="center", va="center",
               color=palette.QUIET)  # fmt: skip


def in_words(found: Sequence[Worth], units: UnitSystem = "metric") -> str:
    """Return what the picture shows, for those who cannot see it."""
    parts = [
        f"{one.reading.told(units)}: {100.0 * one.odds.gain:+.1f} percentage points "
        f"({100.0 * one.odds.low:+.1f} to {100.0 * one.odds.high:+.1f}), "
        f"{one.days.gain / DAY:+.1f} days saved ({one.days.low / DAY:+.1f} to "
        f"{one.days.high / DAY:+.1f})"
        for one in found
    ]
    if not parts:
        return "No measurement can be weighed in this hole."
    return f"What it is worth to measure, with 95 % intervals. {'; '.join(parts)}."
