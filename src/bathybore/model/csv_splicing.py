"""One cell of a CSV text exchanged, every character elsewhere kept."""

from __future__ import annotations

import csv
import re
from typing import Final

from bathybore.base.errors import InputErrors, nearest
from bathybore.model.csv_tables import column_name
from bathybore.model.files import MARK, shown

_LONGEST: Final = 1000
_LINE = re.compile(r"[^\r\n]+")
_CELL = re.compile(r'"(?:[^"]|"")*"[^,]*|[^,]*')


def set_cell(text: str, file: str, row: int, column: str, new: str) -> str:
    """Return a table's text with another cell.

    Parameters
    ----------
    row : counted from 0 below the header; blank lines and comments are no rows
    column : its name, without the unit
    """
    if len(new) > _LONGEST or not (new.isprintable() or new.isspace()) or "\n" in new:
        raise InputErrors.one(file, f"'{shown(new)}'", "a cell of one line and usual length")
    lines = _lines(text)
    header = [column_name(cell) for cell in _cells(text[slice(*lines[0])])] if lines else []
    if column not in header:
        fix = nearest(column[:100], header)
        raise InputErrors.one(file, f"no column '{shown(column)}'", "a column of the table", fix)
    if not 0 <= row < len(lines) - 1:
        raise InputErrors.one(file, f"no row {row}", f"a row from 0 to {len(lines) - 2}")
    start, end = lines[row + 1]
    line = _with_cell(text[start:end], header.index(column), new.strip())
    if line is None:
        expected = f"a row of {len(header)} cells"
        raise InputErrors.one(f"{file}, row {row}", "a line of another layout", expected)
    return text[:start] + line + text[end:]


def line_number(text: str, row: int) -> int:
    """Return the number of the line that a row stands on."""
    return len(re.findall(r"\r\n|\r|\n", text[: _lines(text)[row + 1][0]])) + 1


def _lines(text: str) -> list[tuple[int, int]]:
    """Return where every line begins and ends that is neither blank nor a comment."""
    spans = []
    for match in _LINE.finditer(text, len(MARK) if text.startswith(MARK) else 0):
        line = match[0].strip()
        if line and not line.startswith("#"):
            spans.append(match.span())
    return spans


def _cells(line: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line], strict=True))]
    except csv.Error:
        return []


def _with_cell(line: str, number: int, new: str) -> str | None:
    """Return a line with another cell; the blanks that align it stay."""
    cells = _cells(line)
    if number >= len(cells):
        return None
    start = 0
    for _ in range(number):
        match = _CELL.match(line, start)
        start = match.end() + 1 if match else start
    match = _CELL.match(line, start)
    old = match[0] if match else ""
    if any(sign in new for sign in ',"') or (number == 0 and new.startswith("#")):
        written = '"' + new.replace('"', '""') + '"'
    else:
        core = old.strip()
        before = old[: len(old) - len(old.lstrip())] if core else ""
        written = before + new + old[len(before) + len(core) :]
    changed = line[:start] + written + line[start + len(old) :]
    cells[number] = new
    return changed if _cells(changed) == cells and changed.strip() else None
