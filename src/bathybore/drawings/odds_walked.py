"""Which longer questions fail in members that are walked in full, and in what share of them."""

from __future__ import annotations

from typing import Final

from bathybore.drawings import palette
from bathybore.drawings.limits import Fill
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
from bathybore.drawings.words import wrapped
from bathybore.usecases.odds_walked import Failing, Walked

WIDTH: Final = 170.0
_MOST: Final = 16  # questions drawn; the rest is in the table
_ROW, _HEAD, _LEFT = 8.0, 9.0, 62.0  # mm
_ENDS, _ANSWERED = Fill(palette.SKY_BLUE), Fill(palette.FAINT)


def walked_picture(found: Walked) -> Picture:
    """Return the shares in which longer questions fail as a picture."""
    with settings():
        return draw_walked(found).finished()


def draw_walked(found: Walked) -> Sheet:
    rows = found.longer[:_MOST]
    tall = _ROW * max(1, len(rows))
    figure = sheet_of_paper(WIDTH, _HEAD + tall + 22.0)
    paper, axes = paper_axes(figure), panel(figure, _LEFT, _HEAD, WIDTH - _LEFT - 6.0, tall)
    for row, one in enumerate(rows):
        fill = _ANSWERED if one.about else _ENDS
        axes.barh(row, 100.0 * one.share.share, 0.5, **fill.drawn())
        ends = [100.0 * one.share.low, 100.0 * one.share.high]
        axes.plot(ends, [row, row], color=palette.VERMILION, lw=1.4, marker="|", ms=5.0)
    axes.set_xlim(0.0, 100.0)
    axes.set_ylim(max(1, len(rows)) - 0.5, -0.5)
    axes.set_yticks(range(len(rows)), [_called(one) for one in rows])
    axes.tick_params(labelsize=SMALL, length=2.0, width=0.6)
    axes.tick_params(axis="y", length=0.0)
    axes.grid(color=palette.FAINT, linewidth=0.4, axis="x")
    axes.set_axisbelow(True)
    axes.set_xlabel("of the members walked [%], with the 95 % interval", fontsize=SMALL)
    stand = f"{found.stand.count} of {found.stand.of} members walked stand all longer questions"
    stand += _left_open(found)
    paper.text(_LEFT, _HEAD - 4.0, stand, fontsize=NORMAL, va="center")
    if not rows:
        axes.text(50.0, 0.0, "none fails", fontsize=NORMAL, ha="center", va="center")
    words = "Grey: what the crew answers, so that it ends no hole."
    paper.text(0.5 * WIDTH, _HEAD + tall + 17.0, words, fontsize=SMALL, ha="center", va="center",
               color=palette.QUIET)  # fmt: skip
    return Sheet(figure, "Members walked in full", in_words(found))


def _left_open(found: Walked) -> str:
    return f", {found.open} are left open" if found.open else ""


def _called(one: Failing) -> str:
    step, _, check = one.id.partition("/")
    return wrapped(f"{check} in {step}", 40)


def in_words(found: Walked) -> str:
    """Return what the picture shows, for those who cannot see it."""
    stand = f"{found.stand.count} of {found.stand.of} members walked in full stand all longer"
    stand = f"{stand} questions{_left_open(found)}"
    each = "; ".join(f"{one.id} fails in {one.share.count}" for one in found.longer)
    return f"{stand}. {each or 'None fails'}."
