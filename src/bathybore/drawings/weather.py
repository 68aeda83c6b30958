"""Weather of the place by month, and how often the sea is higher than the plan bears."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
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
from bathybore.operations.operability import MONTHS, Windows
from bathybore.usecases.weather_windows import WeatherWindows, hours

WIDTH: Final = 170.0
HEIGHT: Final = 104.0
_TALL: Final = 66.0
_WITHIN: Final = Stroke(
    "within the limits of the plan, share of the month", palette.BLUISH_GREEN, 4.0
)
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
    if one.judged is None or one.hole.weather is None:
        for axes in (left, right):
            axes.text(0.5, 0.5, "no series of weather\nis given", transform=axes.transAxes,
                      ha="center", va="center", fontsize=SMALL, color=palette.QUIET)  # fmt: skip
    else:
        _by_month(left, one.judged, one.hole.site.environment.share_of_time_exceeded)
        _higher(right, one, one.judged, units)
    unit = pretty_unit(shown_unit("m", units))
    for x, words in (
        (16.0, "share of the month that is workable"),
        (100.0, f"significant wave height [{unit}]"),
    ):
        paper.text(x, 6.0, words, fontsize=NORMAL, va="center")
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label)
        for s in (_WITHIN, _HIGHER, _PLANNED)
    ]
    foot_legend(paper, handles, 90.0, 3, handlelength=3.0)
    return Sheet(figure, "Weather windows", in_words(one))


def _by_month(axes: Axes, judged: Windows, downtime: float) -> None:
    months = judged.months
    there = np.unique(months)
    shares = [
        100.0 * float(judged.stands[(months == m) & judged.workable].sum())
        / float(judged.stands[months == m].sum())
        for m in there
    ]  # fmt: skip
    axes.bar(there, shares, width=0.7, color=_WITHIN.colour)
    axes.axhline(100.0 * (1.0 - downtime), color=_PLANNED.colour, lw=_PLANNED.width,
                 ls=_PLANNED.style)  # fmt: skip
    axes.set_xticks(np.arange(12), [month[:1] for month in MONTHS])
    axes.set_ylim(0.0, 100.0)
    _dress(axes)


def _higher(axes: Axes, one: WeatherWindows, judged: Windows, units: UnitSystem) -> None:
    assert one.hole.weather is not None
    scale = from_si(1.0, "m", shown_unit("m", units))
    height = one.hole.weather.numbers["significant_wave_height"]
    order = np.argsort(height)
    beyond = 100.0 * (1.0 - np.cumsum(judged.stands[order]) / judged.stands.sum())
    axes.step(scale * height[order], beyond, where="post", color=_HIGHER.colour, lw=_HIGHER.width)
    planned = one.hole.site.environment.significant_wave_height
    axes.axvline(scale * planned, color=_PLANNED.colour, lw=_PLANNED.width, ls=_PLANNED.style)
    axes.set_ylim(0.0, 100.0)
    axes.set_xlim(left=0.0)
    _dress(axes)


def _dress(axes: Axes) -> None:
    axes.set_ylabel("%", fontsize=SMALL)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)


def in_words(one: WeatherWindows) -> str:
    """Say what the picture shows."""
    if one.judged is None:
        return "No series of weather is given for the place."
    planned = one.hole.site.environment.share_of_time_exceeded
    return (
        f"The weather of the place is within the limits of the plan {one.judged.share:.1%} of the "
        f"time, {hours(one.judged.longest(True))} at a stretch at most; planned downtime is "
        f"{planned:.0%}."
    )
