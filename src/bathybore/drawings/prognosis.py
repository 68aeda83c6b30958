"""The prognosis: what was read, what was made of it, and how far each curve may be off."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, pretty_unit, show, shown_unit
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import depth_unit
from bathybore.drawings.lithology import draw_rock
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
from bathybore.drawings.words import wrapped
from bathybore.usecases.prognosis import (
    WorkedPrognosis,
    equivalent_density,
    leak_offs_shown,
    trend_shown,
)
from bathybore.usecases.showing import in_words

WIDTH: Final = 170.0
HEIGHT: Final = 214.0
_TOP, _BOTTOM = 4.0, 178.0
_READ: Final = Stroke("readings of the neighbour", palette.FAINT, 0.0)
_USED: Final = Stroke("as used at the depth nodes", palette.INK, 0.9)
_NORMAL: Final = Stroke("normal trend", palette.BLUISH_GREEN, 1.2, (4.0, 1.5))
_OVERBURDEN: Final = Stroke("overburden", palette.QUIET, 1.2, (1.5, 1.0, 5.0, 1.0))
_HEAT: Final = Stroke("temperature", palette.ORANGE, 1.4)
_MARK: Final[dict[str, Any]] = {
    "ls": "", "marker": "D", "ms": 3.6, "mec": palette.INK, "mew": 0.5
}  # fmt: skip
# left edge and width of each panel: density, what the method reads, pressures, temperature
_PANELS: Final = ((17.0, 24.0), (53.0, 25.0), (82.0, 54.0), (140.0, 26.0))
_ROCK: Final = (43.0, 50.0)  # left and right edge of the rock


def prognosis_picture(worked: WorkedPrognosis, units: UnitSystem = "metric") -> Picture:
    """Return the prognosis against depth below the sea bed."""
    with settings():
        return draw_prognosis(worked, units).finished()


def prognosis_png(worked: WorkedPrognosis, units: UnitSystem = "metric") -> bytes:
    with settings():
        return draw_prognosis(worked, units).png()


def draw_prognosis(worked: WorkedPrognosis, units: UnitSystem = "metric") -> Sheet:
    figure = sheet_of_paper(WIDTH, HEIGHT)
    paper = paper_axes(figure)
    unit = depth_unit(units)
    depth = _Depth(worked, units)
    density, reads, window, heat = (_panel(figure, depth, left, width) for left, width in _PANELS)
    _density(density, worked, depth, units)
    _reads(reads, worked, depth, units)
    _window(window, worked, depth, units)
    _heat(heat, worked, depth, units)
    density.set_yticks(density.get_yticks())
    density.set_ylim(depth.bottom, 0.0)
    density.tick_params(axis="y", labelleft=True, labelsize=SMALL, length=2.5, width=0.6)
    paper.text(
        3.0,
        0.5 * (_TOP + _BOTTOM),
        f"depth below the sea bed [{unit}], true vertical",
        fontsize=NORMAL,
        rotation=90,
        va="center",
        ha="center",
    )
    for top, bottom, rock in _rocks(worked):
        low, high = (_TOP + (_BOTTOM - _TOP) * z / float(worked.z[-1]) for z in (top, bottom))
        draw_rock(paper, rock, *_ROCK, low, high)
    _key(paper, worked, units)
    return Sheet(figure, "Prognosis from a neighbouring hole", _alt(worked, units))


def _rocks(worked: WorkedPrognosis) -> list[tuple[float, float, str]]:
    """Return (top, bottom, rock) of every layer below the sea bed, downwards."""
    words = worked.ground.words("lithology", worked.z)
    starts = [0, *(row for row in range(1, len(words)) if words[row] != words[row - 1])]
    ends = [*starts[1:], len(words) - 1]
    return [
        (float(worked.z[a]), float(worked.z[b]), words[a])
        for a, b in zip(starts, ends, strict=True)
    ]


class _Depth:
    """Depths below the sea bed in the units shown."""

    def __init__(self, worked: WorkedPrognosis, units: UnitSystem) -> None:
        self.unit = depth_unit(units)
        self.nodes = self.shown(worked.z)
        self.bottom = float(self.nodes[-1])

    def shown(self, metres: Array) -> Array:
        return np.asarray(metres) * from_si(1.0, "m", self.unit)


def _panel(figure: Figure, depth: _Depth, left: float, width: float) -> Axes:
    axes = panel(figure, left, _TOP, width, _BOTTOM - _TOP)
    axes.set_ylim(depth.bottom, 0.0)
    axes.tick_params(axis="y", labelleft=False, length=0.0)
    axes.tick_params(axis="x", labelsize=SMALL, length=2.5, width=0.6)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)
    axes.locator_params(axis="x", nbins=3 if width < 40.0 else 5)
    axes.spines["top"].set_visible(False)
    return axes


def _converted(numbers: Array, si: str, unit: str) -> Array:
    zero, one = from_si(0.0, si, unit), from_si(1.0, si, unit)
    return np.asarray(zero + (one - zero) * np.asarray(numbers))


def _label(axes: Axes, text: str, unit: str) -> None:
    bracket = f" [{pretty_unit(unit)}]" if pretty_unit(unit) else ""
    room = 20 if axes.get_position().width < 0.25 else 60
    axes.set_xlabel(wrapped(f"{text}{bracket}", room), fontsize=SMALL, labelpad=2.0)


def _line(axes: Axes, x: Array, depth: Array, stroke: Stroke) -> None:
    axes.plot(x, depth, color=stroke.colour, lw=stroke.width, ls=stroke.style)


def _dots(axes: Axes, x: Array, depth: Array) -> None:
    axes.plot(x, depth, ls="", marker=".", ms=1.6, color="#9A9A9A", mew=0.0)


def _band(axes: Axes, depth: Array, low: Array, high: Array, stroke: Stroke) -> None:
    known = np.isfinite(low) & np.isfinite(high)
    axes.fill_betweenx(depth, low, high, known, color=stroke.colour, alpha=0.16, linewidth=0.0)


def _density(axes: Axes, worked: WorkedPrognosis, depth: _Depth, units: UnitSystem) -> None:
    unit = shown_unit("kg/m3", units)
    log = worked.ground.readings.get("bulk_density")
    if log is not None:
        _dots(axes, _converted(log.numbers, "kg/m3", unit), depth.shown(log.depths))
    curve = worked.curves["bulk_density"]
    _line(axes, _converted(curve.si, "kg/m3", unit), depth.nodes, _USED)
    _label(axes, "bulk density", unit)


def _reads(axes: Axes, worked: WorkedPrognosis, depth: _Depth, units: UnitSystem) -> None:
    trend = trend_shown(worked)
    if trend is None:
        axes.text(
            0.5, 0.5, "no log read:\npore pressure\ntaken as normal", fontsize=SMALL,
            ha="center", va="center", transform=axes.transAxes,
        )  # fmt: skip
        axes.set_xticks([])
        return
    unit = "us/ft" if trend.unit == "s/m" else shown_unit(trend.unit, units)
    _dots(axes, _converted(trend.readings[1], trend.unit, unit), depth.shown(trend.readings[0]))
    read = _converted(trend.read[1], trend.unit, unit)
    _line(axes, read, depth.shown(trend.read[0]), _USED)
    if trend.normal is not None:
        _line(axes, _converted(trend.normal, trend.unit, unit), depth.nodes, _NORMAL)
    if trend.unit == "ohm m":
        axes.set_xscale("log")
    _label(axes, in_words(trend.name), unit)


def _window(axes: Axes, worked: WorkedPrognosis, depth: _Depth, units: UnitSystem) -> None:
    """Draw pressures as equivalent densities to the drill floor, and one deviation about them."""
    unit = shown_unit("kg/m3", units)
    for name, stroke in (
        ("vertical_stress", _OVERBURDEN),
        ("pore_pressure", palette.PORE),
        ("hole_collapse_pressure", palette.COLLAPSE),
        ("fracture_pressure", palette.FRACTURE),
    ):
        curve = worked.curves[name]
        low, middle, high = (
            _equivalent(worked, worked.z, curve.si + step * curve.spread, unit)
            for step in (-1.0, 0.0, 1.0)
        )
        _band(axes, depth.nodes, low, high, stroke)
        _line(axes, middle, depth.nodes, stroke)
    depths, pressures = leak_offs_shown(worked)
    at = _equivalent(worked, depths, pressures, unit)
    axes.plot(at, depth.shown(depths), color=palette.VERMILION, **_MARK)
    _label(axes, "equivalent density to the drill floor", unit)


def _equivalent(worked: WorkedPrognosis, depths: Array, pressure: Array, unit: str) -> Array:
    return _converted(equivalent_density(worked, depths, pressure), "kg/m3", unit)


def _heat(axes: Axes, worked: WorkedPrognosis, depth: _Depth, units: UnitSystem) -> None:
    unit = shown_unit("K", units)
    curve = worked.curves["temperature"]
    low, middle, high = (
        _converted(curve.si + step * curve.spread, "K", unit) for step in (-1.0, 0.0, 1.0)
    )
    _band(axes, depth.nodes, low, high, _HEAT)
    _line(axes, middle, depth.nodes, _HEAT)
    _label(axes, "temperature", unit)


def _key(paper: Axes, worked: WorkedPrognosis, units: UnitSystem) -> None:
    dots = Line2D([], [], ls="", marker=".", ms=4.0, color="#9A9A9A", label=_READ.label)
    strokes = [_USED, _NORMAL, palette.PORE, palette.COLLAPSE, palette.FRACTURE, _OVERBURDEN, _HEAT]
    handles = [dots] + [
        Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label) for s in strokes
    ]
    handles.append(
        Line2D([], [], color=palette.VERMILION, label="leak-off test, at this hole", **_MARK)
    )
    foot_legend(paper, handles, _BOTTOM + 22.0, 3, handlelength=3.4, columnspacing=1.6)
    soft = worked.curves["hole_collapse_pressure"].pieces[-1][0]
    text = (
        "Bands: one standard deviation either way. Equivalent density to the drill floor: one "
        "column from there. "
    )
    if soft > 0.0:
        text += (
            f"Above {show(soft, 'm', units)} below the sea bed the mud is soft: elastic wall "
            "theory is not used, and the pore pressure stands for the collapse pressure (assumed). "
        )
    text += f"Rock, downwards: {', '.join(rock for _, _, rock in _rocks(worked))}."
    paper.text(
        0.5 * WIDTH,
        _BOTTOM + 12.0,
        wrapped(text, 118),
        fontsize=SMALL,
        ha="center",
        va="top",
        color=palette.QUIET,
    )


def _alt(worked: WorkedPrognosis, units: UnitSystem) -> str:
    deepest = show(float(worked.z[-1]), "m", units, significant=5)
    ends = ", ".join(
        f"{in_words(name)} {show(float(worked.curves[name].si[-1]), si, units)} "
        f"(one standard deviation {_deviation(worked, name, si, units)})"
        for name, si in (
            ("pore_pressure", "Pa"),
            ("hole_collapse_pressure", "Pa"),
            ("fracture_pressure", "Pa"),
            ("vertical_stress", "Pa"),
            ("temperature", "K"),
        )
    )
    return (
        f"Depth below the sea bed down to {deepest}, against bulk density, against what the "
        "pore-pressure method reads with its normal trend, against equivalent density to the "
        f"drill floor and against temperature. At the bottom: {ends}."
    )


def _deviation(worked: WorkedPrognosis, name: str, si: str, units: UnitSystem) -> str:
    spread = float(worked.curves[name].spread[-1])
    return show(spread, si, units) if si != "K" else show(spread, si, unit="K")
