"""Pictures of a circulation as files."""

from __future__ import annotations

from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.circulation import draw_circulation
from bathybore.drawings.flow_window import draw_flow_window
from bathybore.drawings.heat import draw_heat
from bathybore.drawings.picture import settings
from bathybore.reports.files import write_whole
from bathybore.usecases.circulating import StepCirculation


def write_pictures(one: StepCirculation, folder: Path, units: UnitSystem = "metric") -> list[Path]:
    """Write the pictures of a circulation into a folder and return the paths.

    Raises
    ------
    InputErrors
        The folder cannot be written.
    """
    drawn = {"circulation": draw_circulation, "flow-window": draw_flow_window, "heat": draw_heat}
    with settings():
        sheets = {name: draw(one, units) for name, draw in drawn.items()}
        files = {
            f"{name}-{one.step}.{kind}": content
            for name, sheet in sheets.items()
            for kind, content in (("svg", sheet.finished().svg.encode()), ("png", sheet.png()))
        }
    for name, content in files.items():
        write_whole(folder / name, content)
    return [folder / name for name in files]
