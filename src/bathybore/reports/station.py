"""Pictures of station keeping as files."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from bathybore.base.errors import InputErrors
from bathybore.base.units import UnitSystem
from bathybore.drawings.station import draw_part
from bathybore.reports.picture_files import write_sheet
from bathybore.usecases.station_keeping import Kept


def write_picture(
    found: Sequence[Kept], svg: Path | None, png: Path | None, units: UnitSystem = "metric"
) -> list[Path]:
    """Write the picture of the only part found and return the paths.

    Raises
    ------
    InputErrors
        There are several parts, or a file cannot be written.
    """
    if len(found) != 1:
        names = ", ".join(one.name for one in found)
        raise InputErrors.one("part", f"{len(found)} of them", "one for one file", f"Name {names}.")
    return write_sheet(lambda: draw_part(found[0], units), svg, png)
