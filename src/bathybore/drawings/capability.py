"""What the vessel holds from every direction, as polar pictures, and the power it takes."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, pretty_unit, shown_unit
from bathybore.drawings import palette
from bathybore.drawings.palette import Stroke
from bathybore.drawings.picture import (
    MM_PER_INCH,
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
from bathybore.usecases.station_keeping import Capability

WIDTH: Final = 170.0
HEIGHT: Final = 158.0
_SIDE: Final = 68.0
_MOST: Final = 6.0  # times the load; what is held beyond that needs no picture
_INTACT: Final = Stroke("intact", palette.BLUISH_GREEN, 2.0)
_THRUSTER: Final = Stroke("less the worst thruster", palette.BLUE, 1.6, (5.0, 1.5))
_BOARD: Final = Stroke("less the worst switchboard", palette.VERMILION, 1.6, (2.0, 1.2))
_NEEDED: Final = Stroke("planned load with its reserve", palette.INK, 1.2, (1.0, 1.2))
_POWER: Final = Stroke("power for thrust, intact", palette.REDDISH_PURPLE, 1.6)


def capability_picture(one: Capability, units: UnitSystem = "metric") -> Picture:
    """Return the capability by direction as a picture."""
    with settings():
        return draw_capability(one, units).finished()


def draw_capability(one: Capability, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    _factors(_polar(figure, 10.0, 16.0), one)
    _numbers(_polar(figure, 92.0, 16.0), one)
    headings = (
        (10.0, "times the planned mean load that is held"),
        (92.0, "Beaufort number of the environment table held"),
    )
    for x, words in headings:
        paper.text(x, 6.0, words, fontsize=NORMAL, va="center")
    _power(panel(figure, 20.0, 102.0, 142.0, 30.0), one, units)
    strokes = (_INTACT, _THRUSTER, _BOARD, _NEEDED, _POWER)
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label) for s in strokes
    ]
    foot_legend(paper, handles, 144.0, 3, handlelength=3.6)
    return Sheet(figure, "What the vessel holds from every direction", in_words(one))


def _polar(figure: Figure, left: float, top: float) -> Any:
    """Return polar axes with the bow up and angles clockwise."""
    width, height = figure.get_size_inches() * MM_PER_INCH
    rectangle = (
        left / width,
        1.0 - (top + _SIDE) / height,
        _SIDE / width,
        _SIDE / height,
    )
    axes: Any = figure.add_axes(rectangle, projection="polar")
    axes.set_theta_zero_location("N")
    axes.set_theta_direction(-1)
    axes.set_thetagrids(np.arange(0, 360, 30), [f"{a}°" for a in range(0, 360, 30)])
    axes.tick_params(labelsize=SMALL, pad=0.0)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.spines["polar"].set_color(palette.FAINT)
    return axes


def _closed(values: Array) -> Array:
    return np.append(values, values[0])


def _round(axes: Any, directions: Array, values: Array, stroke: Stroke) -> None:
    axes.plot(
        np.append(directions, 2.0 * np.pi), _closed(values), color=stroke.colour, lw=stroke.width,
        ls=stroke.style,
    )  # fmt: skip


def _factors(axes: Any, one: Capability) -> None:
    found = one.rose
    for values, stroke in (
        (found.intact, _INTACT),
        (found.after_thruster.min(axis=0), _THRUSTER),
        (found.after_switchboard.min(axis=0), _BOARD),
        (np.full_like(found.intact, one.needed), _NEEDED),
    ):
        _round(axes, found.directions, np.minimum(values, _MOST), stroke)
    planned = one.hole.site.environment.heading_off_weather
    for side in (planned, -planned):
        axes.plot([side, side], [0.0, _MOST], color=palette.QUIET, lw=0.7)
    axes.set_rlim(0.0, _MOST)
    axes.set_rgrids(np.arange(1.0, _MOST + 1.0), angle=157.5, fontsize=SMALL)


def _numbers(axes: Any, one: Capability) -> None:
    numbers = one.numbers
    for values, stroke in (
        (numbers.intact, _INTACT),
        (numbers.after_thruster, _THRUSTER),
        (numbers.after_switchboard, _BOARD),
    ):
        _round(axes, numbers.directions, values.astype(float), stroke)
    axes.set_rlim(0.0, 12.0)
    axes.set_rgrids([3.0, 6.0, 9.0, 12.0], angle=157.5, fontsize=SMALL)


def _power(axes: Axes, one: Capability, units: UnitSystem) -> None:
    unit = shown_unit("W", units)
    found = one.rose
    power = np.array([from_si(float(p), "W", unit) for p in _closed(found.power)])
    angles = np.degrees(np.append(found.directions, 2.0 * np.pi))
    axes.plot(angles, power, color=_POWER.colour, lw=_POWER.width)
    axes.set_xlim(0.0, 360.0)
    axes.set_xticks(np.arange(0, 361, 45))
    axes.set_ylim(bottom=0.0)
    axes.set_xlabel("weather from, degrees clockwise from the bow", fontsize=SMALL, labelpad=1.5)
    axes.set_ylabel(f"[{pretty_unit(unit)}]", fontsize=SMALL)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)


def in_words(one: Capability) -> str:
    """Say what the picture shows."""
    found = one.rose
    worst = int(np.argmin(found.worst))
    angle = np.degrees(found.directions[worst])
    return (
        f"Of the planned mean load the vessel holds at least {found.intact.min():.2f} times from "
        f"every side intact, and at least {found.worst[worst]:.2f} times after any single failure, "
        f"the least from {angle:.0f} degrees off the bow; {one.needed:.2f} times is needed. "
        f"Of the environment table it holds Beaufort number {one.numbers.intact.min()} from every "
        f"side intact and {one.numbers.after_switchboard.min()} after the worst switchboard."
    )
