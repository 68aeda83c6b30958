"""Pictures of a circulation as files."""

from __future__ import annotations

from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.circulation import draw_circulation
from bathybore.drawings.flow_window import draw_flow_window
from bathybore.drawings.heat import draw_heat
from bathybore.reports.picture_files import write_sheets
from bathybore.usecases.circulating import StepCirculation


def write_pictures(one: StepCirculation, folder: Path, units: UnitSystem = "metric") -> list[Path]:
    """Write the pictures of a circulation into a folder and return the paths.

    Raises
    ------
    InputErrors
        The folder cannot be written.
    """
    drawn = {"circulation": draw_circulation, "flow-window": draw_flow_window, "heat": draw_heat}
    return write_sheets(
        lambda: {f"{name}-{one.step}": draw(one, units) for name, draw in drawn.items()}, folder
    )
