"""The tables beside a hole document as texts: every cell as it stands in its file."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from bathybore.base.nomenclature import nomenclature
from bathybore.base.units import example_unit
from bathybore.model.hole import Hole
from bathybore.model.tables import (
    EARTH_COLUMNS,
    FORMATION_FLUIDS,
    HAZARDS,
    SEA_COLUMNS,
    SURVEY_COLUMNS,
)
from bathybore.usecases.showing import in_words

Which: TypeAlias = Literal["earth", "sea", "survey"]

# those that rows of other files are taken into
KNOWN_COLUMNS: Final[dict[str, dict[str, tuple[str, bool]]]] = {
    "earth": EARTH_COLUMNS,
    "sea": SEA_COLUMNS,
}
_COLUMNS: Final = {**KNOWN_COLUMNS, "survey": SURVEY_COLUMNS}
WORDS: Final = {"formation_fluid": FORMATION_FLUIDS, "hazard": HAZARDS}
# units that a table's column may be given in, by SI unit: the usual first
UNITS: Final[dict[str, tuple[str, ...]]] = {
    "m": ("m", "ft", "km"),
    "Pa": ("MPa", "kPa", "bar", "psi", "ksi"),
    "K": ("degC", "degF", "K"),
    "m/s": ("m/s", "m/h", "ft/h", "ft/s", "kn"),
    "N/m3": ("kN/m3", "N/m3", "lbf/ft3"),
    "rad": ("deg", "rad"),
    "-": ("-",),
}
_HEADER: Final = re.compile(r"^\s*(?P<name>[^\[\]]*?)\s*(?:\[(?P<unit>[^\[\]]*)\]\s*)?$")


@dataclass(frozen=True)
class TableColumn:
    """One column of a table.

    Attributes
    ----------
    unit : as the header writes it; the SI unit's usual one for a column that is not there
    si : SI unit, empty for words
    choices : words that may stand in it; empty where any may, or numbers do
    known : whether the schema knows it
    """

    name: str
    unit: str
    si: str
    label: str
    meaning: str
    required: bool
    is_word: bool
    choices: tuple[str, ...]
    known: bool


@dataclass(frozen=True)
class TableText:
    """A table as it stands in its file.

    Attributes
    ----------
    columns : in the file's order
    absent : columns that the schema knows and the file does not have
    rows : cells, of every row that is neither blank nor a comment
    lines : line of each row in the file
    comments : (line, text) of every comment
    beginning : of a table that the hole does not name and need not have, the text that one may
        begin with, under the name ``file``; empty otherwise
    """

    file: str
    which: str
    columns: tuple[TableColumn, ...]
    absent: tuple[TableColumn, ...]
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[int, ...]
    comments: tuple[tuple[int, str], ...]
    header_line: int | None
    beginning: str = ""


def no_survey(hole: Hole | None) -> TableText:
    """Return the table of a hole that is taken as vertical: none, and what one may begin with."""
    end = 100.0 if hole is None else float(hole.z(hole.plan.target) - hole.sea_bed)
    columns = tuple(column_of(name, "survey") for name in SURVEY_COLUMNS)
    header = ",".join(f"{column.name} [{column.unit}]" for column in columns)
    text = f"# path of the hole, planned or measured\n{header}\n0,0,0\n{end:.10g},0,0\n"
    return TableText("survey.csv", "survey", (), columns, (), (), (), None, text)


def table_text(text: str, file: str, which: Which) -> TableText:
    """Return a table's text as cells; a table with faults is shown as far as it is one."""
    comments: list[tuple[int, str]] = []
    rows: list[tuple[int, tuple[str, ...]]] = []
    for number, line in enumerate(re.split(r"\r\n|\r|\n", text.removeprefix("\ufeff")), start=1):
        if line.lstrip().startswith("#"):
            comments.append((number, line.strip()))
        elif line.strip():
            cells = next(csv.reader([line]), [])
            rows.append((number, tuple(cell.strip() for cell in cells)))
    header = rows[0] if rows else None
    columns = tuple(_column(cell, which) for cell in header[1]) if header else ()
    names = {column.name for column in columns}
    return TableText(
        file=file,
        which=which,
        columns=columns,
        absent=tuple(column_of(name, which) for name in _COLUMNS[which] if name not in names),
        rows=tuple(cells for _, cells in rows[1:]),
        lines=tuple(number for number, _ in rows[1:]),
        comments=tuple(comments),
        header_line=header[0] if header else None,
    )


def column_of(name: str, which: str, unit: str | None = None) -> TableColumn:
    """Return what a column of a table is."""
    si, required = _COLUMNS[which].get(name, ("", False))
    term = nomenclature().get(name)
    is_word = si == "text"
    usual = "" if is_word or not si else UNITS.get(si, (example_unit(si),))[0]
    return TableColumn(
        name=name,
        unit=usual if unit is None else unit,
        si="" if is_word else si,
        label=in_words(name),
        meaning=term.meaning if term else "",
        required=required,
        is_word=is_word,
        choices=WORDS.get(name, ()),
        known=name in _COLUMNS[which],
    )


def _column(cell: str, which: str) -> TableColumn:
    match = _HEADER.match(cell)
    name = match["name"] if match else cell
    return column_of(name, which, (match["unit"] or "").strip() if match else "")
