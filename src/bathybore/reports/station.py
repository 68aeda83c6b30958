"""Pictures of station keeping as files."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.station import draw_part
from bathybore.reports.picture_files import write_sheets
from bathybore.usecases.station_keeping import Kept


def write_picture(
    found: Sequence[Kept], svg: Path | None, png: Path | None, units: UnitSystem = "metric"
) -> list[Path]:
    """Write a picture of every part found and return the paths.

    Raises
    ------
    InputErrors
        There are several pictures for one file, or it cannot be written.
    """
    return write_sheets(
        {f"station-{one.name}": partial(draw_part, one, units) for one in found}, svg, png
    )
