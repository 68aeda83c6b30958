"""What would lift the chance: a bar for every change that was asked of the members."""

from __future__ import annotations

from typing import Final

from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from bathybore.drawings import palette
from bathybore.drawings.limits import FILLS
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
from bathybore.ensembles.shapes import Limit
from bathybore.usecases.odds_relief import Lift, OddsReliefs

WIDTH: Final = 170.0
_ROW: Final = 10.0  # mm
_HEAD: Final = 9.0
_LEFT: Final = 78.0
_INTERVAL: Final = palette.VERMILION


def relief_picture(found: OddsReliefs) -> Picture:
    """Return what would lift the chance as a picture."""
    with settings():
        return draw_reliefs(found).finished()


def draw_reliefs(found: OddsReliefs) -> Sheet:
    rows = _rows(found)
    tall = _ROW * max(1, len(rows))
    figure = sheet_of_paper(WIDTH, _HEAD + tall + 30.0)
    paper, axes = paper_axes(figure), panel(figure, _LEFT, _HEAD, WIDTH - _LEFT - 6.0, tall)
    for row, (limit, lift) in enumerate(rows):
        axes.barh(row, 100.0 * lift.gain, 0.5, **FILLS[limit].drawn())
        ends = [100.0 * lift.low, 100.0 * lift.high]
        axes.plot(ends, [row, row], color=_INTERVAL, lw=1.4, marker="|", ms=5.0)
    axes.axvline(0.0, color=palette.INK, lw=0.7)
    low, high = axes.dataLim.intervalx if rows else (0.0, 1.0)
    room = 0.06 * (high - low) or 1.0
    axes.set_xlim(min(low, 0.0) - room, max(high, 0.0) + room)
    axes.set_ylim(max(1, len(rows)) - 0.5, -0.5)
    axes.set_yticks(range(len(rows)), [wrapped(lift.what, 50) for _, lift in rows])
    axes.tick_params(labelsize=SMALL, length=2.0, width=0.6)
    axes.tick_params(axis="y", length=0.0)
    axes.grid(color=palette.FAINT, linewidth=0.4, axis="x")
    axes.set_axisbelow(True)
    axes.set_xlabel("percentage points of the chance", fontsize=SMALL, labelpad=1.5)
    words = f"chance gained, from {found.chance.share:.1%}"
    paper.text(_LEFT, _HEAD - 3.0, words, fontsize=NORMAL, va="center")
    handles: list[Patch | Line2D] = [
        Patch(**FILLS[limit].drawn(), label=f"against {limit}")
        for limit in dict.fromkeys(limit for limit, _ in rows)
    ]
    handles.append(Line2D([], [], color=_INTERVAL, lw=1.4, marker="|", ms=5.0, label="95 %"))
    foot_legend(paper, handles, _HEAD + tall + 10.0, 4)
    told = f"{found.members} members, the same for every change. Walk a change before choosing it."
    paper.text(0.5 * WIDTH, _HEAD + tall + 22.0, told, fontsize=SMALL, ha="center", va="center",
               color=palette.QUIET)  # fmt: skip
    return Sheet(figure, "What would lift the chance", in_words(found))


def _rows(found: OddsReliefs) -> list[tuple[Limit, Lift]]:
    return [
        (one.cause.limit, lift) for one in found.relieved for lift in one.tried if not lift.why_not
    ]


def in_words(found: OddsReliefs) -> str:
    """Return what the picture shows, for those who cannot see it."""
    parts = [
        f"against {limit}, {lift.what}: {100.0 * lift.gain:+.1f} percentage points "
        f"({100.0 * lift.low:+.1f} to {100.0 * lift.high:+.1f})"
        for limit, lift in _rows(found)
    ]
    if not parts:
        return "No change was tried."
    return f"The chance is {found.chance.share:.1%}. {'; '.join(parts)}."
