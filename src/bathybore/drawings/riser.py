"""The riser in the sea as pictures: to scale and stretched, modes, waves, vortices, hung off."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, pretty_unit, show, shown_unit
from bathybore.checks.riser_in_sea import equivalent_stress, greatest_bending, stress_ranges
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
from bathybore.operations.open_water import InCurrent
from bathybore.operations.riser_shape import SeaRiser
from bathybore.usecases.riser_told import (
    NotFound,
    OpenWater,
    RiserHungOff,
    RiserModes,
    RiserPart,
    RiserShape,
    RiserVibration,
    RiserWaves,
)

WIDTH: Final = 170.0
HEIGHT: Final = 136.0
_TOP, _TALL = 12.0, 92.0
_DOWN: Final = Stroke("vessel down the current", palette.BLUE, 1.8)
_UP: Final = Stroke("vessel up the current", palette.VERMILION, 1.8, (6.0, 2.0))
_WAVES: Final = Stroke("greatest swing in three hours", palette.QUIET, 0.7, (2.0, 1.5))
_STRESS: Final = Stroke("von Mises, waves counted in", palette.INK, 1.6)
_MAY: Final = Stroke("allowed", palette.REDDISH_PURPLE, 1.2, (4.0, 1.5, 1.0, 1.5))
_BENDING: Final = Stroke("greatest bending stress", palette.BLUISH_GREEN, 1.6)
_CURRENT: Final = Stroke("planned current", palette.BLUE, 1.6)
_STATIC: Final = Stroke("at rest", palette.INK, 1.8)
_LEAST: Final = Stroke("least in three hours, held hard", palette.VERMILION, 1.4, (6.0, 2.0))
_MOST: Final = Stroke("greatest, held hard", palette.BLUE, 1.4, (2.0, 1.5))
_SOFT_LEAST: Final = Stroke("least, on the tensioners", palette.ORANGE, 1.2, (6.0, 2.0))
_SOFT_MOST: Final = Stroke("greatest, on the tensioners", palette.SKY_BLUE, 1.2, (2.0, 1.5))
_COLOURS: Final = (
    palette.BLUE, palette.VERMILION, palette.BLUISH_GREEN, palette.REDDISH_PURPLE, palette.ORANGE,
    palette.INK,
)  # fmt: skip
_DASHES: Final = (
    (),
    (6.0, 2.0),
    (2.0, 1.5),
    (4.0, 1.5, 1.0, 1.5),
    (8.0, 2.0, 2.0, 2.0),
    (1.0, 1.0),
)
_SHOWN_MODES: Final = 6
_NAMED: Final = 0.04  # of the riser's length, from which a run of joints is named

Line: TypeAlias = tuple[Array, Stroke]


@dataclass(frozen=True)
class _Panel:
    """Lines over depth: what they are, in which unit, against which depths [m below sea level]."""

    heading: str
    si: str
    lines: tuple[Line, ...]
    z: Array
    left: float
    width: float
    to_scale: bool = False
    from_zero: bool = False


def riser_picture(one: RiserPart, units: UnitSystem = "metric") -> Picture:
    """Return the picture of a part."""
    with settings():
        return draw_riser(one, units).finished()


def draw_riser(one: RiserPart, units: UnitSystem = "metric") -> Sheet:
    """Draw a part; within `settings`."""
    if isinstance(one, NotFound):
        figure = sheet_of_paper(WIDTH, 24.0)
        paper_axes(figure).text(8.0, 12.0, f"Not worked out: {one.reason}", fontsize=NORMAL)
        return Sheet(figure, one.title, in_words(one, units))
    figure = sheet_of_paper(WIDTH, HEIGHT)
    panels = _panels(one)
    drawn = [_draw(figure, each, units) for each in panels]
    if isinstance(one, RiserShape):
        _vessels(drawn[0], one, units)
        _angles(drawn[1], one, units)
        _joints(drawn[2], one, units)
    if isinstance(one, RiserVibration):
        _bars(figure, one, units)
    paper = paper_axes(figure)
    depth = f"depth below sea level [{pretty_unit(shown_unit('m', units))}]"
    paper.text(4.5, _TOP + 0.5 * _TALL, depth, rotation=90, va="center", ha="center")
    for each in panels:
        paper.text(each.left, 6.0, each.heading, fontsize=NORMAL, va="center")
    strokes = dict.fromkeys(stroke for each in panels for _, stroke in each.lines)
    handles = [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label) for s in strokes
    ]
    foot_legend(paper, handles, 116.0, 3, handlelength=3.6)
    return Sheet(figure, one.title, in_words(one, units))


def _draw(figure: Figure, each: _Panel, units: UnitSystem) -> Axes:
    axes = panel(figure, each.left, _TOP, each.width, _TALL)
    y = _shown(each.z, "m", units)
    for numbers, stroke in each.lines:
        x = _shown(np.broadcast_to(numbers, each.z.shape), each.si, units)
        axes.plot(x, y, color=stroke.colour, lw=stroke.width, ls=stroke.style)
    axes.axhline(0.0, color=palette.SKY_BLUE, lw=0.8)
    foot, head = float(y.max()), float(y.min())
    axes.set_ylim(foot + 0.02 * (foot - head), head - 0.02 * (foot - head))
    if each.to_scale:  # one unit across is one unit down
        half = 0.5 * (foot - head) * 1.04 * each.width / _TALL
        axes.set_xlim(-half, half)
    elif each.from_zero:
        axes.set_xlim(left=0.0)
    unit = pretty_unit(shown_unit(each.si, units)) if each.si != "-" else ""
    axes.set_xlabel(f"[{unit}]" if unit else "of its greatest", fontsize=SMALL, labelpad=1.5)
    _dress(axes)
    return axes


def _vessels(axes: Axes, one: RiserShape, units: UnitSystem) -> None:
    """Draw the hull to scale at both offsets."""
    hull = one.hole.vessel.hull
    offset, length, draught, floor = _shown(
        np.array([float(one.still.offset), hull.length, hull.draught,
                  one.hole.vessel.drill_floor_height]), "m", units,
    )  # fmt: skip
    for side, stroke in ((1.0, _DOWN), (-1.0, _UP)):
        corner = (side * offset - 0.5 * length, -floor)
        box = Rectangle(corner, length, floor + draught, fill=False, edgecolor=stroke.colour,
                        linewidth=0.8, linestyle=stroke.style)  # fmt: skip
        axes.add_patch(box)


def _angles(axes: Axes, one: RiserShape, units: UnitSystem) -> None:
    """Write the mean angles of the joints beside them, the greater of the two offsets."""
    mean = one.sway.mean
    for at, value, up in ((0.03, mean.lower_angle, "bottom"), (0.97, mean.upper_angle, "top")):
        words = show(float(value), "rad", units, significant=3)
        axes.text(0.97 if at < 0.5 else 0.5, at, words, transform=axes.transAxes, fontsize=SMALL,
                  ha="right" if at < 0.5 else "center", va=up, color=palette.QUIET)  # fmt: skip


def _joints(axes: Axes, one: RiserShape, units: UnitSystem) -> None:
    """Draw the runs of joints down the edge of the panel of tension, those with modules filled."""
    stack = one.still.riser.gear.stack_up
    if stack is None:
        return
    edges = _shown(stack.edges, "m", units)
    whole = float(edges[-1] - edges[0])
    across = axes.get_yaxis_transform()
    for run, top, foot in zip(stack.runs, edges[:-1], edges[1:], strict=True):
        filled = run.buoyancy_lift > 0.0
        box = Rectangle((0.0, top), 0.06, foot - top, transform=across, linewidth=0.5,
                        facecolor=palette.ORANGE if filled else "white",
                        edgecolor=palette.INK)  # fmt: skip
        axes.add_patch(box)
        if foot - top > _NAMED * whole:
            axes.text(0.09, 0.5 * (top + foot), run.kind, transform=across, fontsize=SMALL,
                      ha="left", va="center", color=palette.QUIET)  # fmt: skip


def _dress(axes: Axes) -> None:
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)


def _shown(numbers: Array, si: str, units: UnitSystem) -> Array:
    if si == "-":
        return np.asarray(numbers)
    unit = shown_unit(si, units)
    return np.array([from_si(float(one), si, unit) for one in np.ravel(numbers)])


# ---- what each part shows -----------------------------------------------------------------------


def _panels(one: RiserPart) -> tuple[_Panel, ...]:
    makers: dict[type, Callable[..., tuple[_Panel, ...]]] = {
        RiserShape: _of_shape,
        RiserModes: _of_modes,
        RiserWaves: _of_waves,
        RiserVibration: _of_vibration,
        RiserHungOff: _of_hang_off,
        OpenWater: _of_open_water,
    }
    return makers[type(one)](one)


def _of_shape(one: RiserShape) -> tuple[_Panel, ...]:
    sway, riser = one.sway, one.still.riser
    down, up = sway.mean.shape.displacement
    swing = sway.swayed.displacement * np.sqrt(2.0 * np.log(sway.cycles))
    lines: tuple[Line, ...] = ((down, _DOWN), (up, _UP))
    swings: tuple[Line, ...] = ((down + swing, _WAVES), (down - swing, _WAVES))
    setting, gear = riser.gear.setting, riser.gear
    allowed = np.array(setting.basis.riser_stress_share * gear.joint.yield_strength)
    stress = np.asarray(equivalent_stress(sway).si)
    tension = np.asarray(riser.tension_at_nodes(gear.vertical_pull()).si)
    pull = Stroke("effective tension", palette.BLUISH_GREEN, 1.6)
    z = riser.nodes
    return (
        _Panel("to scale", "m", lines, z, 16.0, 24.0, to_scale=True),
        _Panel("stretched sideways", "m", (*swings, *lines), z, 52.0, 36.0),
        _Panel("tension", "N", ((tension, pull),), z, 100.0, 26.0, from_zero=True),
        _Panel("stress", "Pa", ((stress, _STRESS), (allowed, _MAY)), z, 138.0, 28.0,
               from_zero=True),
    )  # fmt: skip


def _of_modes(one: RiserModes) -> tuple[_Panel, ...]:
    found = one.swing.modes
    lines = []
    for at in range(min(_SHOWN_MODES, len(found.frequency))):
        period = 2.0 * np.pi / found.frequency[at]
        stroke = Stroke(f"mode {at + 1}: {period:.1f} s", _COLOURS[at], 1.4, _DASHES[at])
        lines.append((found.shape[at], stroke))
    return (_Panel("slowest modes", "-", tuple(lines), one.swing.riser.nodes, 20.0, 142.0),)


def _of_waves(one: RiserWaves) -> tuple[_Panel, ...]:
    sway, z = one.sway, one.sway.riser.nodes
    factor = np.sqrt(2.0 * np.log(sway.cycles))
    moved = Stroke("greatest sway in three hours", palette.BLUE, 1.6)
    slope = Stroke("greatest speed of the water past it", palette.VERMILION, 1.4, (6.0, 2.0))
    return (
        _Panel("sway", "m", ((factor * sway.swayed.displacement, moved),), z, 20.0, 38.0,
               from_zero=True),
        _Panel("water past the riser", "m/s", ((factor * sway.swayed.velocity, slope),), z, 72.0,
               38.0, from_zero=True),
        _Panel("bending", "Pa", ((np.asarray(greatest_bending(sway).si), _BENDING),), z, 124.0,
               38.0, from_zero=True),
    )  # fmt: skip


def _of_vibration(one: RiserVibration) -> tuple[_Panel, ...]:
    riser = one.swing.riser
    current: tuple[Line, ...] = ((np.asarray(riser.current.si), _CURRENT),)
    return (_Panel("current", "m/s", current, riser.nodes, 20.0, 40.0, from_zero=True),)


def _bars(figure: Figure, one: RiserVibration, units: UnitSystem) -> None:
    found = one.swing.vibration
    numbers = np.arange(1, len(found.frequency) + 1)
    paper = paper_axes(figure)
    unit = shown_unit("Pa", units)
    reach = _shown(stress_ranges(one.swing), "Pa", units)
    rows = (
        (_TOP, "amplitude over diameter, each mode alone", found.amplitude, palette.BLUE),
        (_TOP + 56.0, f"stress range at the weld [{pretty_unit(unit)}]", reach, palette.VERMILION),
    )
    for top, words, heights, colour in rows:
        axes = panel(figure, 80.0, top, 82.0, 36.0)
        axes.bar(numbers, heights, color=colour, width=0.7)
        axes.set_xlim(0.3, len(numbers) + 0.7)
        axes.set_xticks(numbers[1::2])
        axes.set_xlabel("mode", fontsize=SMALL, labelpad=1.5)
        _dress(axes)
        paper.text(80.0, top - 3.0 if top > _TOP else 6.0, words, fontsize=NORMAL, va="center")


def _of_hang_off(one: RiserHungOff) -> tuple[_Panel, ...]:
    hung = one.hung
    tension = np.asarray(hung.tension.si)
    lines = (
        (tension, _STATIC),
        (tension - hung.swing, _LEAST),
        (tension + hung.swing, _MOST),
        (tension - one.soft.swing, _SOFT_LEAST),
        (tension + one.soft.swing, _SOFT_MOST),
    )
    zero = Stroke("pushed to the left of it", palette.FAINT, 1.0)
    return (
        _Panel("effective tension, hung off in the planned sea", "N",
               (*lines, (np.array(0.0), zero)), hung.places, 20.0, 142.0),
    )  # fmt: skip


def _of_open_water(one: OpenWater) -> tuple[_Panel, ...]:
    chosen = _different(one.hanging)
    panels = []
    for at, (title, bent) in enumerate(chosen):
        stroke = Stroke(title, _COLOURS[at], 1.6, _DASHES[at])
        lines: tuple[Line, ...] = ((np.ravel(bent.shape.displacement), stroke),)
        panels.append((lines, bent.hanging.nodes))
    width = (WIDTH - 28.0) / len(panels)
    return tuple(
        _Panel("carried off by the current" if at == 0 else "", "m", lines, z,
               20.0 + at * width, width - 10.0)
        for at, (lines, z) in enumerate(panels)
    )  # fmt: skip


def _different(hanging: Sequence[tuple[str, InCurrent]]) -> list[tuple[str, InCurrent]]:
    """Return the moments that differ most, few enough for one sheet: one a step, widest first."""
    widest: dict[str, InCurrent] = {}
    for title, bent in hanging:
        before = widest.get(title)
        if before is None or _reach(bent) > _reach(before):
            widest[title] = bent
    ranked = sorted(widest.items(), key=lambda pair: -_reach(pair[1]))[:4]
    return [pair for pair in widest.items() if pair in ranked]


def _reach(bent: InCurrent) -> float:
    return float(np.abs(bent.shape.displacement).max())


# ---- in words -----------------------------------------------------------------------------------


def in_words(one: RiserPart, units: UnitSystem) -> str:
    """Say what the picture of a part shows."""
    if isinstance(one, NotFound):
        return f"Not worked out: {one.reason}."
    if isinstance(one, RiserShape):
        return _shape_in_words(one.still.riser, one, units)
    if isinstance(one, RiserModes):
        periods = 2.0 * np.pi / one.swing.modes.frequency[:_SHOWN_MODES]
        return "Slowest modes of the riser: " + ", ".join(f"{one_:.1f} s" for one_ in periods) + "."
    if isinstance(one, RiserWaves):
        lower, upper = (float(v) for v in (one.sway.lower_swing, one.sway.upper_swing))
        return (
            "Sway, water and bending along the riser in the planned sea: the lower joint swings "
            f"{show(lower, 'rad', units, significant=3)}, the upper "
            f"{show(upper, 'rad', units, significant=3)} at most in three hours."
        )
    if isinstance(one, RiserVibration):
        driven = np.flatnonzero(one.swing.vibration.share > 0.0) + 1
        which = f"modes {driven[0]} to {driven[-1]}" if len(driven) else "none of the modes"
        return (
            f"The planned current by depth, and what vortices make of the modes: {which} lock in."
        )
    if isinstance(one, RiserHungOff):
        peak, load = (show(float(v), "N", units) for v in (one.hung.peak, one.hung.load))
        return f"Tension along the hung riser: {load} at rest, {peak} at most at its top."
    widest = max(one.hanging, key=lambda pair: _reach(pair[1]))
    reach = show(_reach(widest[1]), "m", units, significant=3)
    return f"Pipe in open water bent by the current: farthest in '{widest[0]}', {reach}."


def _shape_in_words(riser: SeaRiser, one: RiserShape, units: UnitSystem) -> str:
    lower, upper = (
        show(float(v), "rad", units, significant=3)
        for v in (one.sway.mean.lower_angle, one.sway.mean.upper_angle)
    )
    offset = show(float(one.still.offset), "m", units, significant=3)
    return (
        f"The riser with the vessel {offset} down the current and up it, to scale and stretched: "
        f"lower joint {lower}, upper joint {upper} on the mean; tension and stress beside it."
    )
