"""Pictures of the riser in the sea as files."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.riser import draw_riser
from bathybore.reports.picture_files import write_sheets
from bathybore.usecases.riser_told import RiserPart


def write_picture(
    found: Sequence[RiserPart], svg: Path | None, png: Path | None, units: UnitSystem = "metric"
) -> list[Path]:
    """Write a picture of every part found and return the paths.

    Raises
    ------
    InputErrors
        There are several pictures for one file, or it cannot be written.
    """
    return write_sheets(
        {f"riser-{one.name}": partial(draw_riser, one, units) for one in found}, svg, png
    )
