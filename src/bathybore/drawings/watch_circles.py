"""Circles on the sea round the well, to scale, and how long the way to them takes."""

from __future__ import annotations

from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Annulus, Circle, Polygon

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, pretty_unit, show, shown_unit
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
from bathybore.operations.watch_circles import RULE_DISCONNECT, RULE_STOP, Circles
from bathybore.usecases.station_keeping import WatchCircles

WIDTH: Final = 170.0
HEIGHT: Final = 136.0
_SIDE: Final = 92.0
_LIMIT: Final = Stroke("riser must be off", palette.INK, 2.0)
_DISCONNECT: Final = Stroke("disconnect", palette.VERMILION, 2.0)
_PREPARE: Final = Stroke("prepare", palette.ORANGE, 1.8, (5.0, 1.5))
_ADVISE: Final = Stroke("advise", palette.BLUISH_GREEN, 1.6, (2.0, 1.2))
_PLANNED: Final = Stroke("drilling stops, as planned", palette.BLUE, 1.6, (1.0, 1.2))
_STUCK: Final = Stroke(
    "disconnect, thrusters stuck", palette.REDDISH_PURPLE, 1.4, (4.0, 1.5, 1.0, 1.5)
)
_TRACK: Final = Stroke("way of the vessel", palette.QUIET, 0.7)
_AHEAD: Final = Stroke("blackout, weather from ahead", palette.INK, 1.6)
_ABEAM: Final = Stroke("blackout, from abeam", palette.BLUE, 1.6, (5.0, 1.5))
_DRIVEN: Final = Stroke(
    "thrusters stuck, from ahead", palette.REDDISH_PURPLE, 1.6, (4.0, 1.5, 1.0, 1.5)
)


def circles_picture(one: WatchCircles, units: UnitSystem = "metric") -> Picture:
    """Return the circles on the sea as a picture."""
    with settings():
        return draw_circles(one, units).finished()


def draw_circles(one: WatchCircles, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    unit = pretty_unit(shown_unit("m", units))
    chart = panel(figure, 12.0, 12.0, _SIDE, _SIDE)
    _chart(chart, one, units)
    paper.text(
        12.0, 6.0, f"on the sea, the bow up, to scale [{unit}]", fontsize=NORMAL, va="center"
    )
    way = panel(figure, 122.0, 12.0, 42.0, _SIDE)
    _ways(way, one, units)
    paper.text(122.0, 6.0, f"offset in time [{unit}]", fontsize=NORMAL, va="center")
    rings = (_LIMIT, _DISCONNECT, _PREPARE, _ADVISE, _PLANNED, _STUCK)
    strokes = (*rings, _TRACK, _AHEAD, _ABEAM, _DRIVEN)
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label) for s in strokes
    ]
    foot_legend(paper, handles, 112.0, 4, handlelength=3.0)
    return Sheet(figure, "Watch circles", in_words(one, units))


def _shown(values: Array, units: UnitSystem) -> Array:
    scale = from_si(1.0, "m", shown_unit("m", units))
    return np.asarray(values) * scale


def _ring(circles: Circles, radii: Array) -> tuple[Array, Array]:
    """Return a curve to starboard and forward: where the vessel is when the offset is reached.

    It lies down the weather, on the way that the vessel takes.
    """
    track = circles.track
    right, ahead = [], []
    for n, radius in enumerate(radii):
        away = np.maximum.accumulate(track.offset[:, n])
        row = min(int(np.searchsorted(away, radius)), len(away) - 1)
        bearing = np.arctan2(-track.y[row, n], track.x[row, n])
        if radius <= 0.0:
            bearing = 0.0
        right.append(radius * np.sin(bearing))
        ahead.append(radius * np.cos(bearing))
    return np.append(right, right[0]), np.append(ahead, ahead[0])


def _chart(axes: Axes, one: WatchCircles, units: UnitSystem) -> None:
    axes.set_facecolor(palette.WATER)
    for shares in (RULE_STOP, RULE_DISCONNECT):
        low, high = _shown(np.array(one.rule(shares)), units)
        axes.add_patch(Annulus((0, 0), high, high - low, facecolor=palette.FAINT, alpha=0.5, lw=0))
        words = f"{shares[0]:.0%} to {shares[1]:.0%} of water depth"
        ground = {"facecolor": palette.WATER, "edgecolor": "none", "pad": 0.8, "alpha": 0.85}
        axes.text(0.0, -0.5 * (low + high), words, fontsize=SMALL, ha="center", va="center",
                  color=palette.QUIET, zorder=6, bbox=ground)  # fmt: skip
    track = one.drift.track
    for n in range(0, len(one.drift.directions), 3):
        inside = track.offset[:, n] <= 1.02 * one.limit
        axes.plot(_shown(-track.y[inside, n], units), _shown(track.x[inside, n], units),
                  color=_TRACK.colour, lw=_TRACK.width)  # fmt: skip
    for radius, stroke in ((one.limit, _LIMIT), (one.planned, _PLANNED)):
        axes.add_patch(
            Circle((0, 0), float(_shown(np.array(radius), units)), fill=False, ec=stroke.colour,
                   lw=stroke.width, ls=stroke.style)
        )  # fmt: skip
    for circles, radii, stroke in (
        (one.drift, one.drift.disconnect, _DISCONNECT),
        (one.drift, one.drift.prepare, _PREPARE),
        (one.drift, one.drift.advise, _ADVISE),
        (one.drive, one.drive.disconnect, _STUCK),
    ):
        right, ahead = _ring(circles, radii)
        axes.plot(_shown(right, units), _shown(ahead, units), color=stroke.colour,
                  lw=stroke.width, ls=stroke.style)  # fmt: skip
    _hull(axes, one, units)
    far = float(_shown(np.array(1.08 * max(one.limit, one.rule(RULE_DISCONNECT)[1])), units))
    axes.set_xlim(-far, far)
    axes.set_ylim(-far, far)
    axes.set_aspect("equal")
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)


def _hull(axes: Axes, one: WatchCircles, units: UnitSystem) -> None:
    """Draw the vessel above the well, from length and beam alone."""
    hull = one.hole.vessel.hull
    length, half = 0.5 * hull.length, 0.5 * hull.beam
    outline = np.array(
        [
            (0.0, length), (half, 0.7 * length), (half, -length), (-half, -length),
            (-half, 0.7 * length),
        ]
    )  # fmt: skip
    axes.add_patch(
        Polygon(_shown(outline, units), facecolor="none", edgecolor=palette.STEEL, lw=0.9)
    )
    axes.plot([0.0], [0.0], "+", color=palette.INK, ms=5.0)


def _ways(axes: Axes, one: WatchCircles, units: UnitSystem) -> None:
    abeam = len(one.drift.directions) // 4
    for circles, n, stroke in (
        (one.drift, 0, _AHEAD),
        (one.drift, abeam, _ABEAM),
        (one.drive, 0, _DRIVEN),
    ):
        offset = circles.track.offset[:, n]
        axes.plot(circles.track.time, _shown(offset, units), color=stroke.colour,
                  lw=stroke.width, ls=stroke.style)  # fmt: skip
        marks = (
            (circles.time[n], circles.limit, "o", _LIMIT),
            (circles.time[n] - one.sequence.release - one.sequence.reaction, circles.disconnect[n],
             "s", _DISCONNECT),
        )  # fmt: skip
        for time, radius, mark, colour in marks:
            if np.isfinite(time) and time >= 0.0:
                axes.plot([time], [float(_shown(np.array(radius), units))], mark,
                          color=colour.colour, ms=4.0)  # fmt: skip
    for radius, stroke in ((one.limit, _LIMIT), (one.planned, _PLANNED)):
        axes.axhline(float(_shown(np.array(radius), units)), color=stroke.colour, lw=0.8,
                     ls=stroke.style)  # fmt: skip
    axes.set_ylim(0.0, float(_shown(np.array(1.1 * one.limit), units)))
    soonest = one.drift.time[np.isfinite(one.drift.time)]
    axes.set_xlim(0.0, 1.1 * float(soonest.max()) if len(soonest) else None)
    axes.set_xlabel("time from the loss [s]", fontsize=SMALL, labelpad=1.5)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)


def in_words(one: WatchCircles, units: UnitSystem) -> str:
    """Say what the picture shows."""

    def metres(value: float) -> str:
        return show(value, "m", units, significant=3)

    return (
        f"Round the well, the riser must be off by {metres(one.limit)} ({one.which}). After a "
        f"blackout disconnection must begin from {metres(float(one.drift.disconnect.min()))} at "
        f"the least, preparation from {metres(float(one.drift.prepare.min()))}; drilling is "
        f"planned to stop at {metres(one.planned)}. The limit is reached after "
        f"{one.drift.time.min():.0f} s at the soonest, with thrusters stuck after "
        f"{one.drive.time.min():.0f} s."
    )
