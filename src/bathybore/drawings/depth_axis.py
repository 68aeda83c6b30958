"""Depths on paper: rock to scale, the sea squeezed or left out, two datums side by side."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, log10

from matplotlib.axes import Axes

from bathybore.base.depth import BelowSeaLevel, Datum
from bathybore.base.units import UnitSystem, from_si, pretty_number, to_si
from bathybore.drawings import palette
from bathybore.drawings.picture import SMALL
from bathybore.model.hole import Hole


def depth_unit(units: UnitSystem) -> str:
    return "m" if units == "metric" else "ft"


def nice_step(length: float, most: int) -> float:
    """Return the least of 1, 2, 5 times a power of ten of which ``most`` or fewer make a length."""
    raw = length / most
    power = 10.0 ** floor(log10(raw))
    for factor in (1.0, 2.0, 5.0):
        if raw <= factor * power * (1.0 + 1e-9):
            return factor * power
    return 10.0 * power


@dataclass(frozen=True)
class DepthScale:
    """Where a depth lies on paper: linear from the sea bed down, linear and squeezed above it.

    Attributes
    ----------
    above : top of what is drawn, metres below sea level
    sea_bed, below : ends of the rock drawn, metres below sea level
    y_above, y_sea_bed, y_below : where these lie on paper [mm]
    """

    above: float
    sea_bed: float
    below: float
    y_above: float
    y_sea_bed: float
    y_below: float

    def y(self, z: float) -> float:
        """Return where a place, in metres below sea level, lies on paper [mm]."""
        if z >= self.sea_bed:
            share = (z - self.sea_bed) / (self.below - self.sea_bed)
            return self.y_sea_bed + share * (self.y_below - self.y_sea_bed)
        share = (z - self.above) / (self.sea_bed - self.above)
        return self.y_above + share * (self.y_sea_bed - self.y_above)

    @property
    def metres_per_mm(self) -> float:
        """Return the scale below the sea bed."""
        return (self.below - self.sea_bed) / (self.y_below - self.y_sea_bed)

    @property
    def squeeze(self) -> float:
        """Return how many times smaller the scale above the sea bed is than that below it."""
        above = (self.sea_bed - self.above) / (self.y_sea_bed - self.y_above)
        return above / self.metres_per_mm


def round_depths(
    hole: Hole, datum: Datum, top: float, bottom: float, units: UnitSystem, most: int = 12
) -> list[tuple[float, str]]:
    """Return (metres below sea level, text) of round depths below a datum within an interval."""
    unit = depth_unit(units)
    zero = hole.frame.zero_below_sea_level(datum)
    first, last = (from_si(z - zero, "m", unit) for z in (top, bottom))
    step = nice_step(last - first, most)
    count = floor(first / step + 1e-9)
    marks = []
    while count * step <= last + 1e-6 * step:
        written = count * step
        if written >= first - 1e-6 * step:
            z = to_si(written, unit, "m") + zero
            marks.append((z, pretty_number(round(written, 6), 6)))
        count += 1
    return marks


def draw_depth_axis(
    axes: Axes,
    hole: Hole,
    scale: DepthScale,
    x: float,
    datum: Datum,
    units: UnitSystem,
    *,
    side: str,
) -> None:
    """Draw a ruler along the rock: round depths below a datum, which its heading names."""
    out = -1.0 if side == "left" else 1.0
    axes.plot([x, x], [scale.y_sea_bed, scale.y_below], color=palette.INK, linewidth=0.7)
    bottom = BelowSeaLevel(scale.below)
    for z, text in round_depths(hole, datum, scale.sea_bed, bottom, units):
        y = scale.y(z)
        axes.plot([x, x + out * 1.2], [y, y], color=palette.INK, linewidth=0.7)
        axes.text(
            x + out * 1.8,
            y,
            text,
            fontsize=SMALL,
            va="center",
            ha="right" if side == "left" else "left",
            color=palette.INK,
        )
