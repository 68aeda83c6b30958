"""Operations in the weather of the place by month, and how often the sea is how high."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import to_rgba
from matplotlib.lines import Line2D

from bathybore.base.units import UnitSystem, from_si, pretty_unit, shown_unit
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
from bathybore.model.site import MONTHS
from bathybore.operations.weather_limits import Operation
from bathybore.usecases.weather_windows import WeatherWindows, hours

WIDTH: Final = 170.0
HEIGHT: Final = 104.0
_TALL: Final = 66.0
_WITHIN: Final = Stroke("drilling goes on, share of the month", palette.BLUISH_GREEN, 4.0)
_RISER: Final = Stroke("riser can be run", palette.INK, 2.2)
_HIGHER: Final = Stroke("time in which waves are higher", palette.BLUE, 1.8)
_PLANNED: Final = Stroke("as planned", palette.VERMILION, 1.4, (5.0, 1.5))


def weather_picture(one: WeatherWindows, units: UnitSystem = "metric") -> Picture:
    """Return the weather as a picture."""
    with settings():
        return draw_weather(one, units).finished()


def draw_weather(one: WeatherWindows, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    left = panel(figure, 16.0, 12.0, 66.0, _TALL)
    right = panel(figure, 100.0, 12.0, 64.0, _TALL)
    if any(each.by_month for each in one.operations):
        _by_month(left, one)
    else:
        _nothing(left, "no series or scatter\nby month is given")
    if one.classes is not None:
        _higher(right, one, units)
    else:
        _nothing(right, "no series or scatter\nis given")
    unit = pretty_unit(shown_unit("m", units))
    for x, words in (
        (16.0, "share of the month"),
        (100.0, f"significant wave height [{unit}]"),
    ):
        paper.text(x, 6.0, words, fontsize=NORMAL, va="center")
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label)
        for s in (_WITHIN, _RISER, _HIGHER, _PLANNED)
    ]
    foot_legend(paper, handles, 90.0, 4, handlelength=2.4)
    return Sheet(figure, "Weather windows", in_words(one))


def _nothing(axes: Axes, words: str) -> None:
    axes.text(0.5, 0.5, words, transform=axes.transAxes,
              ha="center", va="center", fontsize=SMALL, color=palette.QUIET)  # fmt: skip


def _by_month(axes: Axes, one: WeatherWindows) -> None:
    shares = {each.limits.operation: dict(each.by_month) for each in one.operations}
    drilled = shares[Operation.DRILLING]
    planned = one.hole.site.months
    axes.bar(
        list(drilled),
        [100.0 * share for share in drilled.values()],
        width=0.7,
        color=[to_rgba(_WITHIN.colour, 1.0 if month in planned else 0.45) for month in drilled],
    )
    riser = shares[Operation.RUNNING_RISER]
    axes.hlines(
        [100.0 * share for share in riser.values()],
        [month - 0.35 for month in riser],
        [month + 0.35 for month in riser],
        color=_RISER.colour,
        lw=_RISER.width,
    )
    downtime = one.hole.site.environment.share_of_time_exceeded
    axes.axhline(100.0 * (1.0 - downtime), color=_PLANNED.colour, lw=_PLANNED.width,
                 ls=_PLANNED.style)  # fmt: skip
    axes.set_xticks(np.arange(12), [month[:1] for month in MONTHS])
    axes.set_xlim(-0.7, 11.7)
    axes.set_ylim(0.0, 105.0)
    _dress(axes)


def _higher(axes: Axes, one: WeatherWindows, units: UnitSystem) -> None:
    scale = from_si(1.0, "m", shown_unit("m", units))
    if one.judged is not None and one.hole.weather is not None:
        height = one.hole.weather.numbers["significant_wave_height"]
        order = np.argsort(height)
        beyond = 100.0 * (1.0 - np.cumsum(one.judged.stands[order]) / one.judged.stands.sum())
        axes.step(scale * height[order], beyond, where="post", color=_HIGHER.colour,
                  lw=_HIGHER.width)  # fmt: skip
    elif one.classes is not None:
        edges = one.classes.heights
        beyond = np.array([100.0 * (1.0 - one.classes.within(float(h))) for h in edges])
        axes.plot(scale * edges, beyond, color=_HIGHER.colour, lw=_HIGHER.width)
    planned = one.hole.site.environment.significant_wave_height
    axes.axvline(scale * planned, color=_PLANNED.colour, lw=_PLANNED.width, ls=_PLANNED.style)
    axes.set_ylim(0.0, 105.0)
    axes.set_xlim(left=0.0)
    _dress(axes)


def _dress(axes: Axes) -> None:
    axes.set_ylabel("%", fontsize=SMALL)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)


def in_words(one: WeatherWindows) -> str:
    """Say what the picture shows."""
    if one.classes is None:
        return "Neither a series of weather nor a scatter of sea states is given for the place."
    within = "; ".join(
        f"{each.name} {each.within:.1%}" for each in one.operations if each.within is not None
    )
    planned = one.hole.site.environment.share_of_time_exceeded
    within = within or "not known for the planned months"
    words = f"Share of the time within its limits: {within}. Planned downtime is {planned:.0%}."
    if one.judged is not None:
        words += f" The planned weather lasts {hours(one.judged.longest(True))} at most."
    return words
