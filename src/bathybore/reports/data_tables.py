"""A table as data: numbers as numbers, each column's unit in its header; from the programme's own.

The programme's tables are made once, in `chapters`; here a column whose cells are numbers with
one unit becomes a column of numbers. What the programme only draws, its window, its budget of
diameters, is made from the same records.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, TypeAlias

from bathybore.reports.blocks import Table

Cell: TypeAlias = float | str | None

_NOTHING: Final = frozenset({"", "–"})
_THOUSANDS: Final = "\u202f"
_NUMBER: Final = re.compile(
    r"(?P<number>[-\u2212]?\d[\d\u202f]*(?:\.\d+)?(?:e[-+]?\d+)?)(?: (?P<unit>\D.*))?"
)
_FRACTION: Final = re.compile(r"(?:(?P<whole>\d+) )?(?P<top>\d+)/(?P<bottom>\d+) (?P<unit>in)")


@dataclass(frozen=True)
class DataColumn:
    """One column; ``unit`` is empty for words and pure numbers."""

    title: str
    unit: str = ""

    @property
    def header(self) -> str:
        return f"{self.title} [{self.unit}]" if self.unit else self.title


@dataclass(frozen=True)
class DataTable:
    """A table of data.

    Attributes
    ----------
    name : of its file and sheet
    label : what it holds
    """

    name: str
    label: str
    columns: tuple[DataColumn, ...]
    rows: tuple[tuple[Cell, ...], ...]


def from_block(name: str, table: Table) -> DataTable:
    """Return a table of the programme as data, numbers rounded as the programme shows them."""
    columns, cells = [], []
    for number, column in enumerate(table.columns):
        texts = [row[number] for row in table.rows]
        made, values = _column(column.title, texts, column.kind == "number")
        columns.append(made)
        cells.append(values)
    return DataTable(name, table.caption, tuple(columns), tuple(zip(*cells, strict=True)))


def _column(title: str, texts: list[str], numeric: bool) -> tuple[DataColumn, list[Cell]]:
    read = [None if text in _NOTHING else _read(text) for text in texts]
    given = [one for one, text in zip(read, texts, strict=True) if text not in _NOTHING]
    units = {one[1] for one in given if one is not None}
    if not numeric or None in given or len(units) != 1:
        words: list[Cell] = [None if t in _NOTHING else t.replace("\n", "; ") for t in texts]
        return DataColumn(title), words
    return DataColumn(title, units.pop()), [None if one is None else one[0] for one in read]


def _read(text: str) -> tuple[float, str] | None:
    """Return number and unit of a text; None if it is anything else."""
    fraction = _FRACTION.fullmatch(text)
    if fraction:
        part = float(fraction["top"]) / float(fraction["bottom"])
        return float(fraction["whole"] or 0) + part, fraction["unit"]
    match = _NUMBER.fullmatch(text)
    if match is None:
        return None
    written = match["number"].replace(_THOUSANDS, "").replace("\u2212", "-")
    return float(written), match["unit"] or ""
