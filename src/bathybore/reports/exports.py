"""Data out: every table as CSV and in one workbook, every picture, the whole walk as JSON."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal, TypeAlias

import bathybore
from bathybore.base.errors import InputErrors, nearest
from bathybore.base.units import UnitSystem
from bathybore.drawings.diameters import draw_diameters
from bathybore.drawings.hole import draw_hole
from bathybore.drawings.picture import Sheet, settings
from bathybore.drawings.timing import draw_time
from bathybore.drawings.window import draw_window
from bathybore.model.files import shown
from bathybore.reports import records_json
from bathybore.reports.blocks import Column, Table
from bathybore.reports.data_tables import from_block
from bathybore.reports.export_tables import MAKERS, table, tables
from bathybore.reports.files import write_whole
from bathybore.reports.spreadsheets import csv_text, workbook
from bathybore.reports.words import WHO_DECIDES
from bathybore.usecases.ledger import ledger, verdict

if TYPE_CHECKING:
    from bathybore.model.hole import Hole
    from bathybore.usecases.walking import Walk

Draw: TypeAlias = "Callable[[Walk, UnitSystem], Sheet]"

_PICTURES: Final[dict[str, tuple[str, Draw]]] = {
    "picture-window": ("Picture of the window", draw_window),
    "picture-hole": ("Picture of the hole", draw_hole),
    "picture-diameters": ("Picture of the diameter budget", draw_diameters),
    "picture-time": ("Picture of time against depth", draw_time),
}
_TABLE_LABELS: Final = {
    "ledger": "Ledger of checks",
    "steps": "Steps and times",
    "sections": "Sections",
    "casings": "Casings and cement",
    "diameters": "Diameter budget",
    "consumables": "Consumables",
    "barriers": "Barriers",
    "limits": "Limits of the vessel",
    "design-basis": "Design basis",
    "window": "Curves of the window",
    "earth": "Earth",
    "sea": "Sea",
    "survey": "Survey",
    "weather": "Weather",
    "scatter": "Scatter of sea states",
    "motions": "Motions of the vessel",
    "wind-coefficients": "Wind coefficients",
    "current-coefficients": "Current coefficients",
    "inputs": "Inputs",
}
_MAKER: Final = f"Bathybore {bathybore.__version__}"
MEDIA_TYPES: Final = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "svg": "image/svg+xml",
    "png": "image/png",
    "json": "application/json",
}


@dataclass(frozen=True)
class Export:
    """Something that can be taken out, and the kinds of file it comes as.

    Its files are called ``name.kind``.
    """

    name: str
    label: str
    kinds: tuple[str, ...]


@dataclass(frozen=True)
class ShownTable:
    """A table as it stands on a page, texts with their units; its first column heads the rows."""

    label: str
    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Exported:
    """A file made of a walk."""

    file: str
    media_type: str
    content: bytes


def exports() -> tuple[Export, ...]:
    """Return all that can be taken out of a walk."""
    return (
        Export("tables", "All tables in one workbook", ("xlsx",)),
        *(Export(name, _TABLE_LABELS[name], ("csv",)) for name in MAKERS),
        *(Export(name, label, ("svg", "png")) for name, (label, _) in _PICTURES.items()),
        Export("walk", "The whole walk, every verdict with its numbers in SI", ("json",)),
    )


def export(walk: Walk, file: str, units: UnitSystem = "metric") -> Exported:
    """Return one file of a walk, such as 'steps.csv'; the same walk gives the same bytes.

    Raises
    ------
    InputErrors
        There is no such file; the nearest name is told.
    """
    known = [f"{one.name}.{kind}" for one in exports() for kind in one.kinds]
    if file not in known:
        fix = nearest(file[:100], known) or f"There are: {', '.join(known)}."
        raise InputErrors.one("export", f"'{shown(file)}'", "a file that can be made", fix)
    name, _, kind = file.rpartition(".")
    return Exported(file, MEDIA_TYPES[kind], _content(walk, name, kind, units))


def export_shown(
    shown_table: ShownTable, kind: Literal["csv", "xlsx"], folder: str, about: str
) -> Exported:
    """Return a table of a page as a file; a column of numbers with one unit becomes numbers.

    Parameters
    ----------
    folder : of the hole, for the name of the file
    about : which hole, and how it stood

    Raises
    ------
    InputErrors
        A row has not as many cells as there are titles.
    """
    for number, row in enumerate(shown_table.rows):
        if len(row) != len(shown_table.titles):
            found, wanted = f"{len(row)} cells", f"{len(shown_table.titles)}, one a title"
            raise InputErrors.one(f"rows[{number}]", found, wanted)
    columns = tuple(Column(title, kind="number") for title in shown_table.titles)
    made = from_block("table", Table(shown_table.label, columns, shown_table.rows))
    file = _file_name(f"{folder}-{shown_table.label}")
    if kind == "csv":
        content = csv_text(made, f"{about}, {_MAKER}").encode("utf-8")
    else:
        content = workbook((made,), (("hole", about), ("table", made.label), ("made by", _MAKER)))
    return Exported(f"{file}.{kind}", MEDIA_TYPES[kind], content)


def _file_name(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:80] or "table"


def _content(walk: Walk, name: str, kind: str, units: UnitSystem) -> bytes:
    if kind == "csv":
        return csv_text(table(walk, name, units), _title(walk, units)).encode("utf-8")
    if kind == "xlsx":
        return workbook(tables(walk, units), _about(walk, units))
    if kind == "json":
        whole = ledger(walk, units)
        return (records_json.check(whole, whole.steps) + "\n").encode("utf-8")
    with settings():
        sheet = _PICTURES[name][1](walk, units)
        return sheet.png() if kind == "png" else sheet.finished().svg.encode("utf-8")


def named(hole: Hole) -> str:
    """Return the name of a hole, with what must be said of one that is made up."""
    return f"{hole.name} (invented)" if hole.document.invented else hole.name


def _title(walk: Walk, units: UnitSystem) -> str:
    return f"{named(walk.hole)}, {units} units, {_MAKER}"


def _about(walk: Walk, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    mark = "yes: made up for demonstration" if walk.hole.document.invented else "no"
    numbers = (
        f"in {units} units, as each header says; of the programme's tables rounded as there. SI "
        "where a header says so."
    )
    return (
        ("hole", walk.hole.name),
        ("vessel", walk.hole.vessel.name),
        ("invented", mark),
        ("verdict", verdict(ledger(walk, units))),
        ("numbers", numbers),
        ("who decides", WHO_DECIDES),
        ("made by", _MAKER),
    )


def write_exports(walk: Walk, directory: Path, units: UnitSystem = "metric") -> list[Path]:
    """Write every file of a walk into a directory and return their paths.

    Each file is there whole or not at all.

    Raises
    ------
    InputErrors
        The directory cannot be written.
    """
    paths = []
    for one in exports():
        for kind in one.kinds:
            made = export(walk, f"{one.name}.{kind}", units)
            write_whole(directory / made.file, made.content)
            paths.append(directory / made.file)
    return paths
