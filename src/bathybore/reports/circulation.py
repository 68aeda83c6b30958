"""Pictures of a circulation as files."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.circulation import draw_circulation
from bathybore.drawings.flow_window import draw_flow_window
from bathybore.drawings.heat import draw_heat
from bathybore.reports.picture_files import write_sheets
from bathybore.usecases.circulating import StepCirculation


def write_pictures(
    one: StepCirculation, svg: Path | None, png: Path | None, units: UnitSystem = "metric"
) -> list[Path]:
    """Write the pictures of a circulation and return the paths.

    Raises
    ------
    InputErrors
        There are several pictures for one file, or it cannot be written.
    """
    drawn = {"circulation": draw_circulation, "flow-window": draw_flow_window, "heat": draw_heat}
    return write_sheets(
        {f"{name}-{one.step}": partial(draw, one, units) for name, draw in drawn.items()}, svg, png
    )
