"""Pictures of kicks and of the account of the mud as files."""

from __future__ import annotations

from pathlib import Path

from bathybore.base.units import UnitSystem
from bathybore.drawings.hydrates import draw_hydrates
from bathybore.drawings.kick import draw_kick
from bathybore.drawings.kick_tolerance import draw_tolerance
from bathybore.drawings.mud_account import draw_mud
from bathybore.drawings.picture import Sheet
from bathybore.operations.mud_account import MudAccount
from bathybore.reports.picture_files import write_sheets
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

    def drawn() -> dict[str, Sheet]:
        sheets = {"kick-tolerance": draw_tolerance(found, units)}
        for one in found:
            sheets[f"kick-{one.section}"] = draw_kick(one, units)
            if one.is_gas:
                sheets[f"hydrates-{one.section}"] = draw_hydrates(one, units)
        return sheets

    return write_sheets(drawn, folder)


def write_mud_picture(
    account: MudAccount, folder: Path, units: UnitSystem = "metric"
) -> list[Path]:
    """Write the picture of an account.

    Raises
    ------
    InputErrors
        The folder cannot be written.
    """
    return write_sheets(lambda: {"mud": draw_mud(account, units)}, folder)
