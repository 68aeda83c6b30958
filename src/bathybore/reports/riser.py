"""Pictures of the riser in the sea as files."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from bathybore.base.errors import InputErrors
from bathybore.base.units import UnitSystem
from bathybore.drawings.riser import draw_riser
from bathybore.reports.picture_files import write_sheet
from bathybore.usecases.riser_told import RiserPart


def write_picture(
    found: Sequence[RiserPart], svg: Path | None, png: Path | None, units: UnitSystem = "metric"
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
    return write_sheet(lambda: draw_riser(found[0], units), svg, png)
