"""Pictures of the reach of a string as files."""

from __future__ import annotations

from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.string_loads import draw_string
from bathybore.reports.picture_files import write_sheets
from bathybore.usecases.string_reach import StringReach


def write_pictures(reach: StringReach, folder: Path, units: UnitSystem = "metric") -> list[Path]:
    """Write the picture of a string's loads into a folder and return the paths.

    Raises
    ------
    InputErrors
        The folder cannot be written.
    """
    return write_sheets(lambda: {"string": draw_string(reach, units)}, folder)
