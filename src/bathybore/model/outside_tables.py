"""A table that comes from elsewhere: texts in columns, and how large it may be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

MOST_BYTES: Final = 10_000_000
MOST_ROWS: Final = 50_000
MOST_COLUMNS: Final = 200
LONGEST_CELL: Final = 200
MOST_FAULTS: Final = 50


@dataclass(frozen=True)
class OutsideColumn:
    """One column as its file names it; empty where the file says nothing."""

    name: str
    unit: str = ""
    note: str = ""


@dataclass(frozen=True)
class OutsideTable:
    """A table from elsewhere.

    Attributes
    ----------
    kind : 'LAS 2.0', 'delimited text' or 'workbook'
    rows : cells as texts; every row is as long as there are columns
    lines : line or row number of each row in its file
    decimal : '.' or ','; empty if it cannot be told
    null : the text or number that stands for a missing value, empty if none was declared
    notes : what was found and taken for granted in reading
    sheets, sheet : of a workbook, what there is and what was read
    """

    file: str
    kind: str
    columns: tuple[OutsideColumn, ...]
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[int, ...]
    decimal: str
    null: str
    notes: tuple[str, ...]
    sheets: tuple[str, ...] = ()
    sheet: str = ""
