"""The picture of a reach as a file."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.reach import draw_reach
from bathybore.reports.picture_files import write_sheets
from bathybore.usecases.reach import Reach


def write_picture(
    found: Reach, svg: Path | None, png: Path | None, units: UnitSystem = "metric"
) -> list[Path]:
    """Write the picture under the names that are asked for and return the paths.

    Raises
    ------
    InputErrors
        A file cannot be written.
    """
    return write_sheets({"reach": partial(draw_reach, found, units)}, svg, png)
