"""The hole to scale: rock, steel, cement, plugs and core, and the vessel's riser above."""

from __future__ import annotations

from itertools import pairwise
from math import sin
from typing import TYPE_CHECKING, Final

from matplotlib.patches import Rectangle

from bathybore.base.depth import Datum
from bathybore.base.units import UnitSystem, pretty_number, show
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import DepthScale, depth_unit, draw_depth_axis
from bathybore.drawings.labels import Label, column_needed, place_labels
from bathybore.drawings.lithology import draw_rock
from bathybore.drawings.picture import (
    NORMAL,
    SMALL,
    Picture,
    Sheet,
    paper_axes,
    settings,
    sheet_of_paper,
)
from bathybore.drawings.words import below_drill_floor, below_sea_bed, inches, wrapped
from bathybore.operations.state import CasingInPlace, Riser
from bathybore.usecases.outline import drilled

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

WIDTH: Final = 170.0
HEIGHT: Final = 222.0
_TOP: Final = 9.0
_SEA: Final = 34.0  # mm of paper for air gap and sea
_AIR: Final = 6.0  # of it above the sea, not to scale
_FOOT: Final = 17.0
_LEFT_RULER, _RIGHT_RULER = 15.0, 153.5
_ROCK = (17.0, 33.0)
_ROCK_NAMES = 37.0
_CENTRE, _HALF = 84.0, 23.0
_NAMES = 111.5
_LEAST_WALL: Final = 0.45  # mm, so that a wall prints


def hole_picture(walk: Walk, units: UnitSystem = "metric") -> Picture:
    """Return the hole as it stands at the end of the walk, with riser and preventer if it had them.

    Depths below the sea bed are to one scale; the sea is squeezed; diameters have a
    scale of their own, which the picture states.
    """
    with settings():
        return draw_hole(walk, units).finished()


def draw_hole(walk: Walk, units: UnitSystem = "metric") -> Sheet:
    return _HoleDrawing(walk, units).sheet()


class _HoleDrawing:
    """One drawing in the making: the paper, its scales, and the labels gathered on the way."""

    def __init__(self, walk: Walk, units: UnitSystem) -> None:
        self.walk, self.units, self.hole = walk, units, walk.hole
        self.state = walk.states[-1]
        self.riser = next((s.riser for s in walk.states if s.riser is not None), None)
        self.cuts = drilled(self.state)
        self.labels: list[Label] = []
        self.rock_labels = self._rock_names()
        height = self._height()
        self.figure = sheet_of_paper(WIDTH, height)
        self.axes = paper_axes(self.figure)
        sea_bed, bottom = float(self.hole.sea_bed), max(float(self.state.bottom), 1.0)
        self.scale = DepthScale(
            0.0,
            sea_bed,
            max(bottom, sea_bed + 1.0),
            _TOP + _AIR,
            _TOP + _SEA,
            height - _FOOT,
        )
        widest = max([cut.diameter for cut in self.cuts] + self._steel_widths() + [0.1])
        self.mm_per_metre = 2.0 * _HALF / widest

    def _steel_widths(self) -> list[float]:
        return [float(c.pipe.outside_diameter) for c in self.state.casings]

    def _height(self) -> float:
        """Return the height of the paper: more than usual where there is much to name."""
        texts = [label.text for label in self.rock_labels]
        things = len(self.state.casings) * 3 + len(self.state.open_hole) * 2
        things += (len(self.state.plugs) + 4) * 2
        rows = column_needed(["x"] * things)
        return max(HEIGHT, _TOP + _FOOT + max(rows, _SEA + column_needed(texts)))

    def sheet(self) -> Sheet:
        self._sea()
        self._rock()
        self._holes()
        for casing in self.state.casings:
            self._cement(casing)
        for casing in self.state.casings:
            self._casing(casing)
        self._plugs()
        self._core()
        if self.riser is not None:
            self._riser(self.riser)
        self._rulers()
        self._scales()
        bed = self.scale.y_sea_bed
        for group, low, high in (
            ([label for label in self.labels if label.y <= bed], self.y(0.0) + 1.0, bed - 0.5),
            (
                [label for label in self.labels if label.y > bed],
                bed + 0.5,
                self.scale.y_below + 5.0,
            ),
        ):
            place_labels(self.axes, group, _NAMES, low, high)
        title = "The hole as it is left, true to scale below the sea bed"
        return Sheet(self.figure, title, self._alt())

    # -- helpers -----------------------------------------------------------------------------

    def y(self, z: float) -> float:
        return self.scale.y(z)

    def half(self, diameter: float) -> float:
        return 0.5 * diameter * self.mm_per_metre

    def _box(self, left: float, right: float, top: float, bottom: float, **style: object) -> None:
        box = Rectangle((left, top), right - left, bottom - top, **style)  # type: ignore[arg-type]
        self.axes.add_patch(box)

    def _name(self, z: float, half_width: float, text: str, *, bold: bool = False) -> None:
        wide = "\n".join(wrapped(line, 31) for line in text.split("\n"))
        self.labels.append(Label(wide, _CENTRE + half_width, self.y(z), bold=bold))

    def _depth(self, z: float) -> str:
        return below_sea_bed(self.hole, z, self.units)

    # -- sea and rock ------------------------------------------------------------------------

    def _sea(self) -> None:
        axes, scale, hole = self.axes, self.scale, self.hole
        left, right = _LEFT_RULER, _RIGHT_RULER
        surface = self.y(0.0)
        self._box(left, right, surface, scale.y_sea_bed, facecolor=palette.WATER, lw=0.0, zorder=-3)
        waves = [left + 0.5 * i for i in range(int((right - left) / 0.5) + 1)]
        axes.plot(waves, [surface + 0.35 * sin(x) for x in waves], color=palette.BLUE, lw=0.7)
        axes.plot([left, right], [_TOP] * 2, color=palette.INK, lw=1.2)
        axes.plot([left, right], [scale.y_sea_bed] * 2, color=palette.INK, lw=1.2)
        middle = 0.5 * (surface + scale.y_sea_bed)
        bed = below_drill_floor(hole, hole.sea_bed, self.units)
        times, how = scale.squeeze, "squeezed"
        if times < 1.0:
            times, how = 1.0 / times, "stretched"
        for y, text in (
            (_TOP - 2.4, f"drill floor, {self._above_sea()} above sea level"),
            (surface + 2.6, "mean sea level"),
            (middle, f"sea {how} {pretty_number(times, 2)} times against the rock"),
            (
                scale.y_sea_bed - 2.4,
                f"sea bed, {bed} below the drill floor",
            ),
        ):
            axes.text(left + 1.5, y, text, fontsize=SMALL, va="center")

    def _above_sea(self) -> str:
        return below_drill_floor(self.hole, 0.0, self.units)

    def _rock_names(self) -> list[Label]:
        """Name every rock, hazard and dangerous fluid where it begins."""
        hole, labels = self.hole, []
        bottom = float(self.state.bottom) - hole.sea_bed
        for top, lower, word in hole.earth.intervals("lithology"):
            if top < bottom:
                middle = 0.5 * (top + min(lower, bottom))
                labels.append(Label(wrapped(word, 17), 0.0, middle))
        for column, plain in (("hazard", ("", "none")), ("formation_fluid", ("", "none", "water"))):
            for top, lower, word in hole.earth.intervals(column):
                if word not in plain and top < bottom:
                    name = f"{word}\nfrom {self._depth(top + hole.sea_bed)}"
                    text = wrapped(word, 17) + name[len(word) :]
                    middle = top if lower >= bottom else 0.5 * (top + lower)
                    labels.append(Label(text, 0.0, middle, bold=True, colour="#8C3A00"))
        return labels

    def _rock(self) -> None:
        hole, scale = self.hole, self.scale
        bottom = scale.below - hole.sea_bed
        for top, lower, word in hole.earth.intervals("lithology"):
            if top < bottom:
                upper, foot = (self.y(z + hole.sea_bed) for z in (top, min(lower, bottom)))
                draw_rock(self.axes, word, *_ROCK, upper, foot)
        placed = [
            Label(b.text, _ROCK[1], self.y(b.y + hole.sea_bed), b.bold, b.colour)
            for b in self.rock_labels
        ]
        place_labels(self.axes, placed, _ROCK_NAMES, scale.y_sea_bed + 0.5, scale.y_below + 5.0)

    # -- the hole ----------------------------------------------------------------------------

    def _holes(self) -> None:
        for cut in self.cuts:
            half = self.half(cut.diameter)
            for side in (-1.0, 1.0):
                x = _CENTRE + side * half
                self.axes.plot(
                    [x, x], [self.y(cut.top), self.y(cut.bottom)], color=palette.QUIET, lw=0.7
                )
            self.axes.plot(
                [_CENTRE - half, _CENTRE + half],
                [self.y(cut.bottom)] * 2,
                color=palette.QUIET,
                lw=0.7,
                zorder=-1,
            )
        coring = self.hole.plan.coring
        for piece in self.state.open_hole:
            cored = coring is not None and piece.top >= self.hole.z(coring.top) - 1.0
            if (
                piece.bottom - piece.top > 0.01 * (self.scale.below - self.scale.sea_bed)
                and not cored
            ):
                text = f"open hole {inches(float(piece.diameter))}, {piece.section}"
                middle = 0.5 * (piece.top + piece.bottom)
                self._name(middle, self.half(float(piece.diameter)), text)

    def _cement(self, casing: CasingInPlace) -> None:
        """Fill what lies between the casing and whatever stands around it."""
        if casing.cement_top is None:
            return
        outside = self.half(float(casing.pipe.outside_diameter))
        others = [c for c in self.state.casings if c.pipe is not casing.pipe]
        edges = {float(casing.cement_top), float(casing.shoe)}
        edges |= {float(c.shoe) for c in others if casing.cement_top < c.shoe < casing.shoe}
        ordered = sorted(edges)
        for top, bottom in pairwise(ordered):
            around = [
                float(c.pipe.inside_diameter)
                for c in others
                if c.top <= 0.5 * (top + bottom) <= c.shoe
                and c.pipe.inside_diameter.si > casing.pipe.outside_diameter.si
            ]
            wall = self.half(min(around, default=float(casing.hole_diameter)))
            for side in (-1.0, 1.0):
                left, right = sorted((_CENTRE + side * outside, _CENTRE + side * wall))
                self._box(
                    left,
                    right,
                    self.y(top),
                    self.y(bottom),
                    facecolor=palette.CEMENT,
                    edgecolor="none",
                    lw=0.0,
                    hatch="....",
                    zorder=-0.5,
                )

    def _casing(self, casing: CasingInPlace) -> None:
        outside = self.half(float(casing.pipe.outside_diameter))
        wall = max(outside - self.half(float(casing.pipe.inside_diameter)), _LEAST_WALL)
        top, shoe = self.y(float(casing.top)), self.y(float(casing.shoe))
        if casing.top < self.hole.sea_bed:  # stick-up is metres: the squeezed sea would hide it
            top = self.scale.y_sea_bed - 1.2
        for side in (-1.0, 1.0):
            x = _CENTRE + side * outside
            left, right = sorted((x, x - side * wall))
            self._box(left, right, top, shoe, facecolor=palette.STEEL, lw=0.0, zorder=2)
            self.axes.fill(
                [x, x, x + side * 1.9],
                [shoe - 2.4, shoe, shoe],
                color=palette.STEEL,
                lw=0,
                zorder=3,
            )
        size = inches(float(casing.pipe.outside_diameter))
        named = f"{size}  {casing.name}"
        self._name(float(casing.shoe), outside + 1.9, f"{named}\nshoe {self._depth(casing.shoe)}")
        if casing.cement_top is not None and casing.cement_top > self.hole.sea_bed + 1.0:
            text = f"top of cement {self._depth(casing.cement_top)}"
            self._name(float(casing.cement_top), outside, text)
        if casing.top > self.hole.sea_bed + 1.0:
            self._hanger(casing, outside, wall)

    def _hanger(self, casing: CasingInPlace, outside: float, wall: float) -> None:
        """Draw the slips that hang a liner in the casing around it."""
        y = self.y(float(casing.top))
        around = [
            self.half(float(c.pipe.inside_diameter))
            for c in self.state.casings
            if c.top < casing.top < c.shoe
        ]
        bore = min(around, default=outside + 1.5)
        for side in (-1.0, 1.0):
            x = _CENTRE + side * (outside - wall)
            reach = _CENTRE + side * bore
            self.axes.fill(
                [x, reach, reach, x], [y, y + 0.6, y + 2.0, y + 3.2], color=palette.STEEL, lw=0
            )
        self._name(float(casing.top), outside, f"liner hanger {self._depth(casing.top)}")

    def _plugs(self) -> None:
        for plug in self.state.plugs:
            middle = 0.5 * (plug.top + plug.bottom)
            for top, bottom, diameter in self._bores(float(plug.top), float(plug.bottom)):
                half = self.half(diameter)
                self._box(
                    _CENTRE - half,
                    _CENTRE + half,
                    self.y(top),
                    self.y(bottom),
                    facecolor=palette.CEMENT,
                    edgecolor=palette.INK,
                    lw=0.6,
                    hatch="xxxx",
                    zorder=1,
                )
            text = f"cement plug\n{self._depth(plug.top)} to {self._depth(plug.bottom)}"
            self._name(middle, self.half(self._bore(middle)), text)

    def _bores(self, top: float, bottom: float) -> list[tuple[float, float, float]]:
        """Return (top, bottom, diameter) of the bores over an interval."""
        edges = {top, bottom}
        for casing in self.state.casings:
            edges |= {float(z) for z in (casing.top, casing.shoe) if top < z < bottom}
        for cut in self.cuts:
            edges |= {z for z in (cut.top, cut.bottom) if top < z < bottom}
        return [
            (upper, lower, self._bore(0.5 * (upper + lower)))
            for upper, lower in pairwise(sorted(edges))
        ]

    def _bore(self, z: float) -> float:
        inside = [float(c.pipe.inside_diameter) for c in self.state.casings if c.top <= z <= c.shoe]
        drilled_here = [cut.diameter for cut in self.cuts if cut.top <= z <= cut.bottom]
        return min(inside or drilled_here or [0.2])

    def _core(self) -> None:
        coring, barrel = self.hole.plan.coring, self.hole.inventory.core_barrel
        if coring is None or self.state.cored <= 0.0:
            return
        top, bottom = self.hole.z(coring.top), self.hole.z(coring.bottom)
        diameter = barrel.core_diameter if barrel is not None else coring.least_core_diameter
        half = max(self.half(diameter), 0.7)
        self._box(
            _CENTRE - half,
            _CENTRE + half,
            self.y(top),
            self.y(bottom),
            facecolor="white",
            edgecolor=palette.INK,
            lw=0.7,
            hatch="-----",
            zorder=0.5,
        )
        text = (
            f"core {inches(diameter)} in a {inches(self._bore(0.5 * (top + bottom)))} hole\n"
            f"{self._depth(top)} to {self._depth(bottom)}"
        )
        self._name(0.5 * (top + bottom), half, text)

    # -- above the sea bed -------------------------------------------------------------------

    def _riser(self, riser: Riser) -> None:
        scale = self.scale
        stock, preventer = self.hole.inventory.riser, self.hole.inventory.preventer
        outside = stock.outside_diameter if stock is not None else float(riser.inside_diameter)
        half = min(self.half(outside), _HALF)
        stack = scale.y_sea_bed - 9.0
        middle = 0.5 * (_TOP + stack)
        for side in (-1.0, 1.0):
            x = _CENTRE + side * half
            for top, bottom in ((_TOP, middle - 1.0), (middle + 1.0, stack)):
                self.axes.plot([x, x], [top, bottom], color=palette.INK, lw=1.2)
        for y in (middle - 1.0, middle + 1.0):  # broken: most of its length is not drawn
            self.axes.plot(
                [_CENTRE - half - 2.0, _CENTRE + half + 2.0],
                [y + 0.9, y - 0.9],
                color=palette.INK,
                lw=0.6,
            )
        name = f"{inches(outside)}  riser, {self._riser_use()}"
        self.labels.append(Label(wrapped(name, 31), _CENTRE + half, 0.5 * (middle + _TOP)))
        if preventer is not None:
            wide = half + 2.5
            self._box(
                _CENTRE - wide,
                _CENTRE + wide,
                stack,
                scale.y_sea_bed - 1.6,
                facecolor="#8A8A8A",
                edgecolor=palette.INK,
                lw=0.8,
                zorder=2,
            )
            for y in (stack + 2.4, stack + 4.8):
                self.axes.plot(
                    [_CENTRE - wide, _CENTRE + wide], [y, y], color=palette.INK, lw=0.6, zorder=3
                )
            rating = show(preventer.pressure_rating, "Pa", self.units)
            text = f"preventer {inches(preventer.bore)}, {rating}, not to scale"
            self.labels.append(Label(wrapped(text, 31), _CENTRE + wide, stack + 3.6))

    def _riser_use(self) -> str:
        first = next(s for s in self.walk.states if s.riser is not None)
        last = self.state.riser is None
        drilling = next(
            (s.activity.section.name for s in self.walk.states if s.riser and s.activity.section),
            first.step.name,
        )
        return f"from {drilling} on" + (", retrieved at the end" if last else "")

    # -- rulers and scales -------------------------------------------------------------------

    def _rulers(self) -> None:
        unit = depth_unit(self.units)
        for x, datum, side, at in (
            (_LEFT_RULER, Datum.DRILL_FLOOR, "left", 2.0),
            (_RIGHT_RULER, Datum.SEA_BED, "right", WIDTH - 2.0),
        ):
            draw_depth_axis(self.axes, self.hole, self.scale, x, datum, self.units, side=side)
            self.axes.text(
                at,
                0.5 * (self.scale.y_sea_bed + self.scale.y_below),
                f"depth below the {datum} [{unit}], true vertical",
                fontsize=NORMAL,
                rotation=90,
                va="center",
                ha="center",
            )

    def _scales(self) -> None:
        """State the scale of diameters and how much wider than deep they are drawn."""
        length = 0.5 if self.units == "metric" else 20.0 * 0.0254
        text = "0.5 m" if self.units == "metric" else "20 in"
        half, y = self.half(length), self.scale.y_below + 7.0
        left, right = _CENTRE - half, _CENTRE + half
        self.axes.plot([left, right], [y, y], color=palette.INK, lw=0.8)
        for x in (left, right):
            self.axes.plot([x, x], [y - 0.8, y + 0.8], color=palette.INK, lw=0.8)
        times = self.mm_per_metre * self.scale.metres_per_mm
        self.axes.text(
            _CENTRE,
            y + 3.0,
            f"{text}, diameters: drawn {pretty_number(times, 2)} times wider than depths",
            fontsize=SMALL,
            ha="center",
            va="center",
        )
        self.axes.text(
            _CENTRE,
            y + 6.4,
            "Depths in the labels are below the sea bed. Black: steel. Dots: cement. "
            "Crosses: plug. Grey line: wall of the hole. Triangle: shoe.",
            fontsize=SMALL,
            ha="center",
            va="center",
            color=palette.QUIET,
        )

    def _alt(self) -> str:
        parts = []
        for casing in self.state.casings:
            text = f"{casing.name}, {inches(float(casing.pipe.outside_diameter))}"
            top = (
                f"hung at {self._depth(casing.top)}, "
                if casing.top > self.hole.sea_bed + 1.0
                else ""
            )
            parts.append(f"{text}, {top}shoe at {self._depth(casing.shoe)}")
        for plug in self.state.plugs:
            parts.append(f"cement plug from {self._depth(plug.top)} to {self._depth(plug.bottom)}")
        if self.state.cored > 0.0 and self.hole.plan.coring is not None:
            coring = self.hole.plan.coring
            ends = (self._depth(self.hole.z(d)) for d in (coring.top, coring.bottom))
            parts.append("core from " + " to ".join(ends))
        bottom = float(self.state.bottom) - self.hole.sea_bed
        rock = [w for top, _, w in self.hole.earth.intervals("lithology") if top < bottom]
        above = "riser and preventer above; " if self.riser is not None else "no riser; "
        return (
            f"Section through the hole, {self._depth(self.state.bottom)} deep below the sea bed; "
            f"{above}depths below the sea bed: {'; '.join(parts)}; rock from the top down: "
            f"{', '.join(rock)}."
        )
