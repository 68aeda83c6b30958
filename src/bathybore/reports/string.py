"""Pictures of the reach of a string as files."""

from __future__ import annotations

from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.picture import settings
from bathybore.drawings.string_loads import draw_string
from bathybore.reports.files import write_whole
from bathybore.usecases.string_reach import StringReach


def write_pictures(reach: StringReach, folder: Path, units: UnitSystem = "metric") -> list[Path]:
    """Write the picture of a string's loads into a folder and return the paths.

    Raises
    ------
    InputErrors
        The folder cannot be written.
    """
    with settings():
        sheet = draw_string(reach, units)
        files = {"svg": sheet.finished().svg.encode("utf-8"), "png": sheet.png()}
    paths = []
    for kind, content in files.items():
        paths.append(folder / f"string.{kind}")
        write_whole(paths[-1], content)
    return paths
