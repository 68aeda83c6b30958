"""Pictures of the reach of a string as files."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.string_loads import draw_string
from bathybore.reports.picture_files import write_sheets
from bathybore.usecases.string_reach import StringReach


def write_pictures(
    reach: StringReach, svg: Path | None, png: Path | None, units: UnitSystem = "metric"
) -> list[Path]:
    """Write the picture of a string's loads and return the paths.

    Raises
    ------
    InputErrors
        A file cannot be written.
    """
    return write_sheets({"string": partial(draw_string, reach, units)}, svg, png)
