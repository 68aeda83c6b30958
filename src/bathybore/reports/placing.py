"""Pictures of cement jobs, trips and cuttings, and trip sheets, as files."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from bathybore.base.errors import InputErrors
from bathybore.base.units import UnitSystem
from bathybore.drawings.cuttings import draw_cuttings
from bathybore.drawings.picture import Sheet
from bathybore.drawings.placement import draw_placement
from bathybore.drawings.trip_speed import draw_trip
from bathybore.reports import picture_files
from bathybore.reports.files import write_whole
from bathybore.usecases.cementing import CementJob
from bathybore.usecases.cleaning import Cleaning
from bathybore.usecases.tripping import Trip, sheet_csv

Pictured = CementJob | Trip | Cleaning


def write_picture(
    what: str,
    found: Sequence[Pictured],
    svg: Path | None,
    png: Path | None,
    units: UnitSystem = "metric",
) -> list[Path]:
    """Write the picture of the only one found and return the paths.

    Raises
    ------
    InputErrors
        There are several, or a file cannot be written.
    """
    one = _only(what, found)
    return picture_files.write_sheet(lambda: _drawn(one, units), svg, png)


def write_sheet(found: Sequence[Trip], path: Path) -> Path:
    """Write the trip sheet of the only section found.

    Raises
    ------
    InputErrors
        There are several, or the file cannot be written.
    """
    one = _only("section", found)
    assert isinstance(one, Trip)
    write_whole(path, sheet_csv(one).encode("utf-8"))
    return path


def _only(what: str, found: Sequence[Pictured]) -> Pictured:
    names = [one.casing if isinstance(one, CementJob) else one.section for one in found]
    if len(found) != 1:
        counted = f"{len(found)} of them" if found else "none"
        hint = f"Name one: {', '.join(names)}." if names else ""
        raise InputErrors.one(what, counted, f"one {what} for one file", hint)
    return found[0]


def _drawn(one: Pictured, units: UnitSystem) -> Sheet:
    if isinstance(one, CementJob):
        return draw_placement(one, units)
    return draw_trip(one, units) if isinstance(one, Trip) else draw_cuttings(one, units)
