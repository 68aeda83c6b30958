"""Delimited text, and any rows of texts: which character parts cells, which the decimals."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Final

from bathybore.base.errors import Fault, InputErrors
from bathybore.base.units import conversion
from bathybore.model.files import shown
from bathybore.model.outside_tables import (
    LONGEST_CELL,
    MOST_COLUMNS,
    MOST_FAULTS,
    MOST_ROWS,
    OutsideColumn,
    OutsideTable,
)

_DELIMITERS: Final = {"\t": "tabs", ";": "semicolons", ",": "commas"}
_LOOKED_AT: Final = 50  # lines, to find the delimiter
_SPACED_THOUSANDS: Final = re.compile(r"(?<=\d)[ \u00a0\u202f\u2009](?=\d{3}(?:\D|$))")
_POINT: Final = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?", re.ASCII)
_COMMA: Final = re.compile(r"[-+]?(?:\d+,?\d*|,\d+)(?:[eE][-+]?\d+)?", re.ASCII)
_GROUPS_THEN_POINT: Final = re.compile(r"[-+]?\d{1,3}(?:,\d{3})+(?:\.\d*)?", re.ASCII)
_GROUPS_THEN_COMMA: Final = re.compile(r"[-+]?\d{1,3}(?:\.\d{3})+(?:,\d*)?", re.ASCII)
_WITH_UNIT: Final = re.compile(r"^(?P<name>.*?)\s*[\[(](?P<unit>[^\[\]()]*(?:\([^()]*\))?)[\])]$")
_Rows = list[tuple[int, list[str]]]


def read_delimited(file: str, text: str, notes: tuple[str, ...] = ()) -> OutsideTable:
    """Return delimited text as columns; cells pasted from a spreadsheet are such text.

    Raises
    ------
    InputErrors
        One column only, rows of other lengths, no rows.
    """
    delimiter = _delimiter(file, text)
    notes += (f"Cells are parted by {_DELIMITERS[delimiter]}.",)
    # a comment line becomes a blank one, so that the lines keep their numbers
    lines = ("" if line.lstrip().startswith("#") else line for line in io.StringIO(text))
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    rows: _Rows = []
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((reader.line_num, [cell.strip() for cell in cells]))
            if len(rows) > MOST_ROWS + 2:
                break
    except csv.Error as error:
        where, found = f"{file}, line {reader.line_num}", f"a line that is not CSV ({error})"
        raise InputErrors.one(where, found, f"cells between {_DELIMITERS[delimiter]}") from error
    return tabulated(file, "delimited text", rows, notes)


def _delimiter(file: str, text: str) -> str:
    """Return what parts the cells: what gives most of the first lines the same number of them."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    lines = lines[:_LOOKED_AT]
    for delimiter in _DELIMITERS:  # a comma last: it may be a decimal comma
        counts = Counter(_count(line, delimiter) for line in lines)
        (most, times), *_ = counts.most_common(1) or [(0, 0)]
        if most >= 2 and times >= 0.5 * len(lines):
            return delimiter
    fix = "Part the cells by commas, semicolons or tabs, the same on every line."
    raise InputErrors.one(file, "one column, or rows of many lengths", "a table", fix)


def _count(line: str, delimiter: str) -> int:
    try:
        return len(next(csv.reader([line], delimiter=delimiter), []))
    except csv.Error:
        return 0


def tabulated(
    file: str, kind: str, rows: _Rows, notes: tuple[str, ...], row_word: str = "line"
) -> OutsideTable:
    """Return rows of texts with their header told apart.

    Raises
    ------
    InputErrors
        No rows, too many, or rows longer than the header.
    """
    columns, body, more = _header(rows)
    notes += more
    if not body:
        raise InputErrors.one(file, "no rows of numbers", "a header and rows below it")
    if len(body) > MOST_ROWS:
        raise InputErrors.one(file, f"more than {MOST_ROWS} rows", f"at most {MOST_ROWS} rows")
    if not 2 <= len(columns) <= MOST_COLUMNS:
        raise InputErrors.one(file, f"{len(columns)} columns", f"2 to {MOST_COLUMNS} columns")
    _judge_rows(file, len(columns), body, row_word)
    cells = tuple(tuple(row[: len(columns)]) + ("",) * (len(columns) - len(row)) for _, row in body)
    decimal, said = _decimal(cell for row in cells for cell in row)
    return OutsideTable(
        file, kind, columns, cells, tuple(n for n, _ in body), decimal, "", (*notes, *said)
    )


def _judge_rows(file: str, width: int, body: _Rows, row_word: str) -> None:
    faults: list[Fault] = []
    for number, row in body:
        where = f"{file}, {row_word} {number}"
        if any(row[width:]):
            fix = "A comma inside a cell needs quotes around the cell."
            faults.append(Fault(where, f"{len(row)} cells", f"{width}, as in the header", fix))
        longest = max(row, key=len)
        if len(longest) > LONGEST_CELL:
            found = f"a cell of {len(longest)} characters"
            faults.append(Fault(where, found, f"at most {LONGEST_CELL}"))
        if len(faults) >= MOST_FAULTS:
            break
    if faults:
        raise InputErrors(faults)


def _header(rows: _Rows) -> tuple[tuple[OutsideColumn, ...], _Rows, tuple[str, ...]]:
    """Return the columns, the rows below the header, and what was taken for granted."""
    if not rows:
        return (), [], ()
    first = rows[0][1]
    if all(is_number(cell) for cell in first if cell):
        names = tuple(OutsideColumn(f"column {n}") for n in range(1, len(first) + 1))
        return names, rows, ("There is no header: the first row is taken as numbers.",)
    while first and not first[-1]:
        first = first[:-1]
    columns = tuple(_column(n, cell) for n, cell in enumerate(first, start=1))
    body = rows[1:]
    if body and not any(column.unit for column in columns) and _are_units(body[0][1]):
        units = [*(cell.strip("[]() ") for cell in body[0][1]), *[""] * len(columns)]
        columns = tuple(
            OutsideColumn(c.name, unit) for c, unit in zip(columns, units, strict=False)
        )
        return columns, body[1:], ("The row below the header is taken as units.",)
    return columns, body, ()


def _column(number: int, cell: str) -> OutsideColumn:
    match = _WITH_UNIT.match(cell)
    if match and match["name"]:
        return OutsideColumn(match["name"], match["unit"].strip())
    return OutsideColumn(cell or f"column {number}")


def _are_units(cells: Sequence[str]) -> bool:
    """Return whether a row holds units: no number, and at least half of its words are known."""
    words = [cell.strip("[]() ") for cell in cells if cell.strip("[]() -")]
    if not words or any(is_number(word) for word in words):
        return False
    return 2 * sum(_is_unit(word) for word in words) >= len(words)


def _is_unit(word: str) -> bool:
    for spelling in (word, word.lower()):
        try:
            conversion(spelling)
        except InputErrors:
            continue
        return True
    return word.upper() in LOG_UNITS


# units as log files and spreadsheets write them -> as the gate reads them; a foot is 'F' there,
# a degree Fahrenheit too: what the column holds decides
LOG_UNITS: Final[dict[str, tuple[str, ...]]] = {
    "M": ("m",),
    "METERS": ("m",),
    "METRES": ("m",),
    "F": ("ft", "degF"),
    "FT": ("ft",),
    "FEET": ("ft",),
    "C": ("degC",),
    "DEGC": ("degC",),
    "DEG C": ("degC",),
    "DEGF": ("degF",),
    "DEG F": ("degF",),
    "K": ("K",),
    "MPA": ("MPa",),
    "KPA": ("kPa",),
    "PA": ("Pa",),
    "BAR": ("bar",),
    "BARS": ("bar",),
    "PSI": ("psi",),
    "PSIA": (),
    "M/HR": ("m/h",),
    "M/H": ("m/h",),
    "F/HR": ("ft/h",),
    "FT/HR": ("ft/h",),
    "FT/H": ("ft/h",),
    "M/S": ("m/s",),
    "KN/M3": ("kN/m3",),
    "PSU": ("-",),
    "PPT": ("-",),
    "1": ("-",),
    "KNOT": ("kn",),
    "KNOTS": ("kn",),
}


def is_number(text: str) -> bool:
    """Return whether a text is a number in either way of writing decimals."""
    return number(text, ".") is not None or number(text, ",") is not None


def number(text: str, decimal: str) -> float | None:
    """Return a text as a number; None if it is none with this decimal sign."""
    if decimal == "." and _POINT.fullmatch(text):
        return float(text)
    tidy = _SPACED_THOUSANDS.sub("", text.replace("\u2212", "-"))
    if decimal == ",":
        if _GROUPS_THEN_COMMA.fullmatch(tidy):
            tidy = tidy.replace(".", "")
        return float(tidy.replace(",", ".")) if _COMMA.fullmatch(tidy) else None
    if _GROUPS_THEN_POINT.fullmatch(tidy):
        tidy = tidy.replace(",", "")
    return float(tidy) if _POINT.fullmatch(tidy) else None


def _decimal(cells: Iterable[str]) -> tuple[str, tuple[str, ...]]:
    """Return the decimal sign and what to say of it; empty where the cells do not tell."""
    points, commas, either = "", "", ""
    for cell in cells:
        if "," not in cell and (points or "." not in cell):
            continue
        as_point, as_comma = number(cell, ".") is not None, number(cell, ",") is not None
        if as_point and not as_comma:
            points = points or cell
        elif as_comma and not as_point:
            commas = commas or cell
        elif as_point and "," in cell:
            either = either or cell
    if points and commas:
        return "", (f"Some numbers have a decimal point ('{points}'), some a comma ('{commas}').",)
    if commas:
        example = number(commas, ",")
        return ",", (f"Numbers have a decimal comma: '{shown(commas)}' is read as {example:g}.",)
    if either and not points:
        read = number(either, ".")
        said = f"'{either}' may be {read:g}, or {number(either, ','):g} with a decimal comma."
        return "", (said,)
    if either:
        return ".", (f"Commas part thousands: '{either}' is read as {number(either, '.'):g}.",)
    return ".", ()
