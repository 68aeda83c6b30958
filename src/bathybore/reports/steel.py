"""Pictures of the choice of steel as files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from bathybore.base.units import UnitSystem
from bathybore.drawings.picture import settings
from bathybore.drawings.steel import draw_steel
from bathybore.reports.files import write_whole
from bathybore.usecases.steel_choice import SteelChoice

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk


def write_pictures(
    walk: Walk, choices: tuple[SteelChoice, ...], folder: Path, units: UnitSystem = "metric"
) -> list[Path]:
    """Write a picture of every string into a folder and return the paths.

    Raises
    ------
    InputErrors
        The folder cannot be written.
    """
    paths = []
    for choice in choices:
        with settings():
            sheet = draw_steel(walk.hole, choice, units)
            files = {"svg": sheet.finished().svg.encode("utf-8"), "png": sheet.png()}
        for kind, content in files.items():
            paths.append(folder / f"steel-{choice.casing}.{kind}")
            write_whole(paths[-1], content)
    return paths
