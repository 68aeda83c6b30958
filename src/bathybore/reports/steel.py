"""Pictures of the choice of steel as files."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from bathybore.base.units import UnitSystem
from bathybore.drawings.steel import draw_steel
from bathybore.reports.picture_files import write_sheets
from bathybore.usecases.steel_choice import SteelChoice

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk


def write_pictures(
    walk: Walk,
    choices: tuple[SteelChoice, ...],
    svg: Path | None,
    png: Path | None,
    units: UnitSystem = "metric",
) -> list[Path]:
    """Write a picture of every string and return the paths.

    Raises
    ------
    InputErrors
        There are several pictures for one file, or it cannot be written.
    """
    return write_sheets(
        {f"steel-{one.casing}": partial(draw_steel, walk.hole, one, units) for one in choices},
        svg,
        png,
    )
