"""One column of numbers of a CSV file that stands beside a document."""

from __future__ import annotations

import csv
from pathlib import Path

from bathybore.base.errors import InputErrors, nearest
from bathybore.base.units import parse_quantity
from bathybore.model import csv_tables
from bathybore.model.files import read_text, shown


def read_column(folder: Path, file: str, column: str, unit: str) -> tuple[float, ...]:
    """Return a column in SI; its unit stands in brackets behind its name in the header.

    Raises
    ------
    InputErrors
        No such file or column, or a cell that is no number with that unit, with its line.
    """
    text = read_text(folder / file, csv_tables.MOST_BYTES, "a CSV table", file)
    lines = [(n, line) for n, line in enumerate(text.splitlines(), 1) if _counts(line)]
    rows = [_cells(file, *one) for one in lines]
    names = [csv_tables.column_name(cell) for cell in rows[0]] if rows else []
    if column not in names:
        fix = nearest(column, names) or f"There are: {', '.join(map(shown, names))}."
        raise InputErrors.one(file, f"no column '{shown(column)}'", "that column", fix)
    place = names.index(column)
    written = rows[0][place].partition("[")[2].rstrip("] \t")
    values = []
    for (line, _), cells in zip(lines[1:], rows[1:], strict=True):
        cell = cells[place].strip() if place < len(cells) else ""
        at = f"{file}, line {line}, column {shown(column)}"
        values.append(parse_quantity(f"{cell} {written}".strip(), unit, at))
    if not values:
        raise InputErrors.one(file, "no rows", "at least one row below the header")
    return tuple(values)


def _cells(file: str, line: int, text: str) -> list[str]:
    try:
        return next(csv.reader([text], strict=True))
    except csv.Error as error:
        found = f"a line that is not CSV ({error})"
        raise InputErrors.one(f"{file}, line {line}", found, "cells between commas") from error


def _counts(line: str) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith("#")
