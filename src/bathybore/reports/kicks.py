"""Pictures of kicks and of the account of the mud as files."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
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
    found: tuple[SectionKick, ...],
    svg: Path | None,
    png: Path | None,
    units: UnitSystem = "metric",
) -> list[Path]:
    """Write the tolerance of all sections, and each kick in time with its hydrates.

    Raises
    ------
    InputErrors
        There are several pictures for one file, or it cannot be written.
    """
    drawings: dict[str, Callable[[], Sheet]] = {
        "kick-tolerance": partial(draw_tolerance, found, units)
    }
    for one in found:
        drawings[f"kick-{one.section}"] = partial(draw_kick, one, units)
        if one.is_gas:
            drawings[f"hydrates-{one.section}"] = partial(draw_hydrates, one, units)
    return write_sheets(drawings, svg, png)


def write_mud_picture(
    account: MudAccount, svg: Path | None, png: Path | None, units: UnitSystem = "metric"
) -> list[Path]:
    """Write the picture of an account.

    Raises
    ------
    InputErrors
        A file cannot be written.
    """
    return write_sheets({"mud": partial(draw_mud, account, units)}, svg, png)
