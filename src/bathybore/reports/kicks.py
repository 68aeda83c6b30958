"""Pictures of kicks and of the account of the mud as files."""

from __future__ import annotations

from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.hydrates import draw_hydrates
from bathybore.drawings.kick import draw_kick
from bathybore.drawings.kick_tolerance import draw_tolerance
from bathybore.drawings.mud_account import draw_mud
from bathybore.drawings.picture import Sheet, settings
from bathybore.operations.mud_account import MudAccount
from bathybore.reports.files import write_whole
from bathybore.usecases.kicking import SectionKick


def write_kick_pictures(
    found: tuple[SectionKick, ...], folder: Path, units: UnitSystem = "metric"
) -> list[Path]:
    """Write the tolerance of all sections, and each kick in time with its hydrates.

    Raises
    ------
    InputErrors
        The folder cannot be written.
    """
    with settings():
        sheets = {"kick-tolerance": draw_tolerance(found, units)}
        for one in found:
            sheets[f"kick-{one.section}"] = draw_kick(one, units)
            sheets[f"hydrates-{one.section}"] = draw_hydrates(one, units)
        return _written(sheets, folder)


def write_mud_picture(
    account: MudAccount, folder: Path, units: UnitSystem = "metric"
) -> list[Path]:
    """Write the picture of an account.

    Raises
    ------
    InputErrors
        The folder cannot be written.
    """
    with settings():
        return _written({"mud": draw_mud(account, units)}, folder)


def _written(sheets: dict[str, Sheet], folder: Path) -> list[Path]:
    files = {
        folder / f"{name}.{kind}": content
        for name, sheet in sheets.items()
        for kind, content in (("svg", sheet.finished().svg.encode("utf-8")), ("png", sheet.png()))
    }
    for path, content in files.items():
        write_whole(path, content)
    return list(files)
