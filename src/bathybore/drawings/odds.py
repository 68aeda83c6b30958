"""The odds of a hole on one depth axis: days to each depth, who is still there, what ends holes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch
from matplotlib.ticker import MaxNLocator

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, pretty_number, to_si
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import depth_unit, nice_step
from bathybore.drawings.labels import Label, place_labels
from bathybore.drawings.limits import FILLS, limit_legend
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
from bathybore.drawings.timing import legs_of
from bathybore.drawings.words import below_sea_bed, days, wrapped
from bathybore.ensembles.odds import Share
from bathybore.ensembles.shapes import LIMITS, NOT_JUDGED, Indices, Limit
from bathybore.usecases.ledger import DAY
from bathybore.usecases.odds import OddsFound

WIDTH: Final = 170.0
_TOP, _TALL = 14.0, 116.0
_DAYS = (18.0, 58.0)  # left edge and width of each panel
_THERE = (79.5, 15.5)
_CAUSES = (100.0, 36.0)
_NAMES: Final = 140.5
_FOOT: Final = _TOP + _TALL + 16.0  # where the names of what ends holes begin
_COLUMNS: Final = 4
_SAME: Final = 1e-3  # m, depths that are the same but for rounding
FEWEST: Final = 10  # members at a depth of which quantiles are drawn
_MOST_CLASSES: Final = 40
_MEDIAN: Final = Stroke("P50", palette.BLUE, 2.0)
_EDGE: Final = Stroke("P10 and P90", palette.BLUE, 0.7)
_PLANNED: Final = Stroke("as planned", palette.VERMILION, 1.4, (5.0, 1.5))
_SHOE: Final = Stroke("planned bottoms", palette.QUIET, 0.7, (1.0, 1.6))
_BAND: Final = "#CFE3F1"


@dataclass(frozen=True)
class Endings:
    """How many members each limit ends in each class of depth.

    Attributes
    ----------
    edges : of the classes [m below sea bed]
    counts : (class) by limit, most members first
    """

    edges: Array
    counts: dict[Limit, Indices]


def odds_picture(found: OddsFound, units: UnitSystem = "metric") -> Picture:
    """Return the odds as a picture."""
    with settings():
        return draw_odds(found, units).finished()


def draw_odds(found: OddsFound, units: UnitSystem = "metric") -> Sheet:
    ends = endings(found, units)
    rows = -(-len(ends.counts) // _COLUMNS)
    figure = sheet_of_paper(WIDTH, _FOOT + 4.2 * rows + 11.0)
    paper = paper_axes(figure)
    deepest = from_si(ends.edges[-1], "m", depth_unit(units))
    left, middle, right = (_panel(figure, deepest, *at) for at in (_DAYS, _THERE, _CAUSES))
    left.tick_params(labelleft=True)
    left.set_ylabel(f"depth below the sea bed [{depth_unit(units)}]", fontsize=NORMAL)
    _days(left, found, units)
    _there(middle, found, units)
    _causes(right, ends, units)
    _bottoms(paper, (left, middle, right), found, units)
    headings = (
        (_DAYS[0], "days to come to a depth"),
        (_THERE[0], "still\nthere"),
        (_CAUSES[0], f"holes that end,\nin {_class_words(ends, units)} of depth"),
        (_NAMES, "planned bottoms,\nshare there"),
    )
    for x, words in headings:
        paper.text(x, _TOP - 2.0, words, fontsize=NORMAL, va="bottom")
    _foot(paper, found, ends)
    return Sheet(figure, f"Odds of {found.hole.name}", in_words(found, units))


def endings(found: OddsFound, units: UnitSystem) -> Endings:
    """Return where members end and by what, in classes of depth round in the reader's unit."""
    outcome, unit = found.outcome, depth_unit(units)
    target = from_si(float(found.odds.marks[-1]), "m", unit)
    step = nice_step(target, _MOST_CLASSES)
    edges = np.arange(np.ceil(target / step - 1e-9) + 1.0) * to_si(step, unit, "m")
    # a hole that ends on an edge came down to it: it counts above
    place = np.clip(
        np.searchsorted(edges, outcome.depth - _SAME, side="left") - 1, 0, len(edges) - 2
    )
    counts = {
        cause.limit: np.bincount(
            place[outcome.ends_by == LIMITS.index(cause.limit)], minlength=len(edges) - 1
        )
        for cause in found.odds.causes
    }
    return Endings(edges, counts)


def _shown(depth: Array, unit: str) -> Array:
    return depth / to_si(1.0, unit, "m")


def _panel(figure: Figure, deepest: float, left: float, width: float) -> Axes:
    axes = panel(figure, left, _TOP, width, _TALL)
    axes.set_ylim(deepest, 0.0)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6, labelleft=False)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)
    return axes


def _days(axes: Axes, found: OddsFound, units: UnitSystem) -> None:
    odds, unit = found.odds, depth_unit(units)
    told = odds.there >= FEWEST
    depth = _shown(odds.marks[told], unit)
    p10, p50, p90 = odds.days[:, told] / DAY
    axes.fill_betweenx(depth, p10, p90, color=_BAND, linewidth=0.0)
    for values, stroke in ((p10, _EDGE), (p50, _MEDIAN), (p90, _EDGE)):
        axes.plot(values, depth, color=stroke.colour, lw=stroke.width, ls=stroke.style)
    time, down = planned_line(found)
    axes.plot(time, _shown(down, unit), color=_PLANNED.colour,
              lw=_PLANNED.width, ls=_PLANNED.style)  # fmt: skip
    axes.set_xlim(left=0.0)
    axes.set_xlabel("days since arrival", fontsize=SMALL, labelpad=1.5)


def planned_line(found: OddsFound) -> tuple[Array, Array]:
    """Return days and depths [m below sea bed] of the plan's own walk, down to its target."""
    frame = found.ensemble.frame
    sea_bed = float(frame.hole.sea_bed)
    time, depth, begun = [0.0], [0.0], 0.0
    for state in frame.states:
        for leg in legs_of(state, sea_bed + depth[-1], begun):
            time.append(leg.end)
            depth.append(leg.bottom - sea_bed)
        begun = state.elapsed / DAY
    deepest = int(np.argmax(depth))  # the first time there: what follows is the way home
    return np.array(time[: deepest + 1]), np.array(depth[: deepest + 1])


def _there(axes: Axes, found: OddsFound, units: UnitSystem) -> None:
    depth, share = still_there(found)
    down, across = _shown(depth, depth_unit(units)), 100.0 * share
    axes.fill_betweenx(down, 0.0, across, color=_BAND, linewidth=0.0, step="pre")
    axes.plot(across, down, color=palette.BLUE, lw=1.6, drawstyle="steps-post")
    axes.set_xlim(0.0, 105.0)
    axes.set_xticks([0.0, 50.0, 100.0])
    axes.set_xlabel("%", fontsize=SMALL, labelpad=1.5)


def still_there(found: OddsFound) -> tuple[Array, Array]:
    """Return depths [m below sea bed], and the share of the judged members that come to each."""
    outcome = found.outcome
    ended = np.sort(outcome.depth[outcome.ends_by != NOT_JUDGED])
    depth = np.unique(np.concatenate([[0.0, found.odds.marks[-1]], ended]))
    # members that end at a depth came to it
    earlier = np.searchsorted(ended, depth - _SAME, side="left")
    return depth, 1.0 - earlier / max(1, len(ended))


def _causes(axes: Axes, ends: Endings, units: UnitSystem) -> None:
    edges = _shown(ends.edges, depth_unit(units))
    middle, tall = 0.5 * (edges[:-1] + edges[1:]), np.diff(edges)
    begun = np.zeros(len(middle))
    for limit, counts in ends.counts.items():
        some = counts > 0
        axes.barh(middle[some], counts[some], 0.9 * tall[some], left=begun[some],
                  **FILLS[limit].drawn())  # fmt: skip
        begun = begun + counts
    axes.set_xlim(0.0, max(1.0, 1.05 * float(begun.max())))
    axes.xaxis.set_major_locator(MaxNLocator(4, integer=True))
    axes.set_xlabel("members", fontsize=SMALL, labelpad=1.5)
    if not ends.counts:
        axes.text(0.5, 0.5, "none ends\nearly", transform=axes.transAxes,
                  ha="center", va="center", fontsize=SMALL, color=palette.QUIET)  # fmt: skip


def _class_words(ends: Endings, units: UnitSystem) -> str:
    step = from_si(float(ends.edges[1] - ends.edges[0]), "m", depth_unit(units))
    return f"{pretty_number(step, 4)} {depth_unit(units)}"


def _bottoms(paper: Axes, panels: tuple[Axes, ...], found: OddsFound, units: UnitSystem) -> None:
    unit, deepest = depth_unit(units), panels[0].get_ylim()[0]
    labels = []
    for one in found.odds.sections:
        at = from_si(one.bottom, "m", unit)
        for axes in panels:
            axes.axhline(at, color=_SHOE.colour, lw=_SHOE.width, ls=_SHOE.style)
        hole = found.hole
        depth = below_sea_bed(hole, float(hole.sea_bed) + one.bottom, units)
        words = f"{wrapped(one.name, 18)}\n{depth}: {_percent(one.share)}"
        labels.append(Label(words, sum(_CAUSES), _TOP + _TALL * at / deepest))
    place_labels(paper, labels, _NAMES, _TOP - 1.0, _TOP + _TALL + 6.0)


def _percent(share: Share) -> str:
    return f"{100.0 * share.share:.0f} %" if share.of else "none judged"


def _foot(paper: Axes, found: OddsFound, ends: Endings) -> None:
    odds = found.odds
    lines: list[Line2D | Patch] = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label)
        for s in (_MEDIAN, _PLANNED, _SHOE)
    ]
    lines.insert(1, Patch(facecolor=_BAND, edgecolor=_EDGE.colour, lw=_EDGE.width,
                          label="P10 to P90 of the members that came there"))  # fmt: skip
    spacing = {"handlelength": 2.6, "columnspacing": 1.4}
    paper.add_artist(foot_legend(paper, lines, _TOP + _TALL + 10.0, 4, **spacing))
    limits = {limit: f"{limit} ({counts.sum()})" for limit, counts in ends.counts.items()}
    if limits:
        limit_legend(paper, limits, _FOOT, _COLUMNS)
    spent = odds.spent["days"]
    words = (
        f"{odds.reached.count} of {odds.reached.of} members come to the target, seed "
        f"{found.order.seed}. "
    )
    if spent.of:
        words += (
            f"Over and away after {spent.p10 / DAY:.0f} (P10), {spent.p50 / DAY:.0f} (P50), "
            f"{spent.p90 / DAY:.0f} days (P90). "
        )
    if odds.unjudged:
        words += f"{len(odds.unjudged)} more could not be judged. "
    if (odds.there < FEWEST).any():
        words += f"No band where fewer than {FEWEST} came."
    paper.text(0.5 * WIDTH, paper.get_ylim()[0] - 2.0, wrapped(words, 125), fontsize=SMALL,
               ha="center", va="bottom", color=palette.QUIET)  # fmt: skip


def in_words(found: OddsFound, units: UnitSystem) -> str:
    """Return what the picture shows, for those who cannot see it."""
    odds, hole = found.odds, found.hole
    if not odds.reached.of:
        return "No member could be judged."
    parts = [
        f"Of {odds.reached.of} members {_percent(odds.reached)} come to the target, between "
        f"{100.0 * odds.reached.low:.0f} and {100.0 * odds.reached.high:.0f} % with 95 % "
        "confidence"
    ]
    bed = float(hole.sea_bed)
    parts += [
        f"{_percent(one.share)} to {one.name} at {below_sea_bed(hole, bed + one.bottom, units)}"
        for one in odds.sections[:-1]
    ]
    text = "; ".join(parts) + ". "
    last = odds.days[:, -1]
    if odds.there[-1] >= FEWEST:
        text += f"They are there after {' (P10), '.join(days(t) for t in last[:2])} (P50), "
        text += f"{days(last[2])} (P90); planned are {planned_line(found)[0][-1]:.0f} days. "
    ended = [
        f"{one.limit} {one.share.count}, half of them at "
        f"{below_sea_bed(hole, bed + one.depth.p50, units)} or higher"
        for one in odds.causes
    ]
    if ended:
        text += f"What ends the others, members: {'; '.join(ended)}. "
    return text + "Depths are below the sea bed."
