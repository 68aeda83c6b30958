"""Pictures of cement jobs, trips and cuttings, and trip sheets, as files."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from bathybore.base.errors import InputErrors
from bathybore.base.units import UnitSystem
from bathybore.drawings.cuttings import draw_cuttings
from bathybore.drawings.picture import Sheet
from bathybore.drawings.placement import draw_placement
from bathybore.drawings.trip_speed import draw_trip
from bathybore.reports.files import write_whole
from bathybore.reports.picture_files import write_sheets
from bathybore.usecases.cementing import CementJob
from bathybore.usecases.cleaning import Cleaning
from bathybore.usecases.tripping import Trip, sheet_csv

Pictured = CementJob | Trip | Cleaning


def write_picture(
    found: Sequence[Pictured],
    svg: Path | None,
    png: Path | None,
    units: UnitSystem = "metric",
) -> list[Path]:
    """Write the pictures of all that was found and return the paths.

    Raises
    ------
    InputErrors
        There are several pictures for one file, or it cannot be written.
    """
    return write_sheets({_name(one): partial(_drawn, one, units) for one in found}, svg, png)


def write_sheet(found: Sequence[Trip], path: Path) -> Path:
    """Write the trip sheet of the only section found.

    Raises
    ------
    InputErrors
        There are several, or the file cannot be written.
    """
    if len(found) != 1:
        counted = f"{len(found)} of them" if found else "none"
        hint = f"Name one: {', '.join(one.section for one in found)}." if found else ""
        raise InputErrors.one("section", counted, "one section for one file", hint)
    write_whole(path, sheet_csv(found[0]).encode("utf-8"))
    return path


def _name(one: Pictured) -> str:
    if isinstance(one, CementJob):
        return f"cement-{one.casing}"
    return f"trip-{one.section}" if isinstance(one, Trip) else f"cuttings-{one.section}"


def _drawn(one: Pictured, units: UnitSystem) -> Sheet:
    if isinstance(one, CementJob):
        return draw_placement(one, units)
    return draw_trip(one, units) if isinstance(one, Trip) else draw_cuttings(one, units)
