"""One cell or row of a CSV text changed, every character elsewhere kept."""

from __future__ import annotations

import csv
import re
from typing import Final

from bathybore.base.errors import InputErrors, nearest
from bathybore.model.csv_tables import column_name, is_number
from bathybore.model.files import MARK, shown

_LONGEST: Final = 1000
_BREAK = re.compile(r"\r\n|\r|\n")
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


def insert_row(text: str, file: str, row: int) -> str:
    """Return a table's text with one more row, which says what the table said there already.

    A number is half-way between those of its neighbours, a word that of the row above. Below
    the last row depth goes on by as much as in the last step, and all else stays as it is.

    Parameters
    ----------
    row : that it becomes, counted from 0 below the header; at least 1, for a table begins at 0
    """
    lines = _lines(text)
    count = len(lines) - 1
    if count < 2 or not 1 <= row <= count:
        raise InputErrors.one(file, f"no place for a row {row}", f"a row from 1 to {count}")
    spans = [text[slice(*span)] for span in lines]
    header = [column_name(cell) for cell in _cells(spans[0])]
    upper, lower = _cells(spans[row]), _cells(spans[row + 1] if row < count else spans[row])
    if row == count:
        before = _cells(spans[row - 1])
        lower[:1] = [_further(before[0], upper[0])] if before and upper else lower[:1]
    if not len(upper) == len(lower) == len(header):
        expected = f"rows of {len(header)} cells beside it"
        raise InputErrors.one(f"{file}, row {row}", "lines of another layout", expected)
    pairs = zip(header, upper, lower, strict=True)
    cells = [_between(name, one, other) for name, one, other in pairs]
    if row == count:
        cells[0] = lower[0]
    at, ending = lines[row][1], _BREAK.search(text)
    assert ending is not None  # there are two lines and more
    return text[:at] + ending[0] + ",".join(map(_quoted, cells)) + text[at:]


def _between(name: str, upper: str, lower: str) -> str:
    """Return half-way between two cells; a direction has no half-way, it goes round."""
    if name == "azimuth" or not (is_number(upper) and is_number(lower)):
        return upper
    return f"{0.5 * (float(upper) + float(lower)):.10g}"


def _further(before: str, last: str) -> str:
    if not (is_number(before) and is_number(last)):
        return last
    return f"{2.0 * float(last) - float(before):.10g}"


def remove_row(text: str, file: str, row: int) -> str:
    """Return a table's text without a row."""
    lines = _lines(text)
    if not 0 <= row < len(lines) - 1:
        raise InputErrors.one(file, f"no row {row}", f"a row from 0 to {len(lines) - 2}")
    start, end = lines[row + 1]
    ending = _BREAK.match(text, end)
    if ending is None:  # the last line, which none ends: the break before it goes
        before = lines[row][1]
        return text[:before] + _BREAK.sub("", text[before:start], count=1)
    return text[:start] + text[ending.end() :]


def _quoted(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"' if any(sign in cell for sign in ',"') else cell


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
