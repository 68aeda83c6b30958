"""What the pictures of a circulation share: panels over depth below the drill floor."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from bathybore.base.units import UnitSystem, conversion, pretty_unit, shown_unit
from bathybore.drawings import palette
from bathybore.drawings.depth_axis import depth_unit
from bathybore.drawings.palette import Stroke
from bathybore.drawings.picture import SMALL, panel
from bathybore.usecases.circulating import StepCirculation

WIDTH: Final = 170.0
TOP: Final = 12.0


def handles_of(strokes: Sequence[Stroke]) -> list[Line2D]:
    """Return what a legend shows of some strokes."""
    return [Line2D([], [], color=s.colour, lw=s.width, ls=s.style, label=s.label) for s in strokes]


def down(units: UnitSystem) -> float:
    """Return how many metres the unit of depth has."""
    return conversion(shown_unit("m", units)).factor


def depth_panel(
    figure: Figure,
    one: StepCirculation,
    units: UnitSystem,
    place: tuple[float, float, float],
    labelled: bool,
) -> Axes:
    """Return a panel over depth below the drill floor, sea bed and shoe marked on it.

    Parameters
    ----------
    place : left edge, width and height [mm]; its top is `TOP`
    labelled : the first of several side by side, which carries the depths
    """
    left, width, height = place
    axes = panel(figure, left, TOP, width, height)
    setting, metre = one.flow.setting, down(units)
    floor = float(setting.drill_floor)
    bottom = float(one.profile.annulus.cells.bottom[-1]) - floor
    axes.set_ylim(1.01 * bottom / metre, 0.0)
    axes.tick_params(labelsize=SMALL, length=2.5, width=0.6, labelleft=labelled)
    axes.grid(color=palette.FAINT, linewidth=0.4)
    axes.set_axisbelow(True)
    marks = ((float(setting.sea_bed), "sea bed"), (float(one.z[0]), "shoe"))
    for z, words in marks:
        y = (z - floor) / metre
        axes.axhline(y, color=palette.QUIET, lw=0.6, ls=(0, (1.0, 2.0)))
        if labelled:
            axes.text(
                0.02, y, words, transform=axes.get_yaxis_transform(), fontsize=SMALL,
                color=palette.QUIET, va="bottom",
            )  # fmt: skip
    return axes


def depth_label(paper: Axes, units: UnitSystem, height: float) -> None:
    """Write what the depths are counted from along the left edge."""
    words = f"depth below the drill floor [{depth_unit(units)}]"
    paper.text(4.0, TOP + 0.5 * height, words, rotation=90, va="center", ha="center")


def unit_label(words: str, unit: str) -> str:
    return f"{words} [{pretty_unit(unit)}]"


def density_unit(units: UnitSystem) -> str:
    return "sg" if units == "metric" else "ppg"
