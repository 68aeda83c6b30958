"""Tables of data as CSV and as one workbook: the same bytes for the same tables.

A text that a spreadsheet would take for a formula is made plain text: names and notes are a
user's, and a file goes from hand to hand.
"""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections.abc import Sequence
from typing import Any, Final

from bathybore.model.files import printable
from bathybore.reports.data_tables import Cell, DataTable

# what a spreadsheet takes for the beginning of a formula (OWASP, CSV injection)
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
_EPOCH: Final = (1980, 1, 1, 0, 0, 0)  # the earliest a zip file can tell
_TIME: Final = re.compile(rb"<dcterms:(created|modified)[^>]*>[^<]*</dcterms:(created|modified)>")
_LONGEST: Final = 32_000  # characters that a cell of a workbook holds
_WIDEST: Final = 60


def csv_text(table: DataTable, about: str) -> str:
    """Return a table as CSV, its first line a comment that says what it is."""
    target = io.StringIO()
    target.write(f"# {printable(about)}: {printable(table.label)}\n")
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow([_guarded(column.header) for column in table.columns])
    for row in table.rows:
        writer.writerow([_csv_cell(cell) for cell in row])
    return target.getvalue()


def _csv_cell(cell: Cell) -> str:
    if cell is None:
        return ""
    return _guarded(_one_line(cell)) if isinstance(cell, str) else f"{cell:.10g}"


def _one_line(text: str) -> str:
    """Return a user's text on one line, without what could move a cursor."""
    return printable(" ".join(text.split("\n")).strip())


def _guarded(text: str) -> str:
    """Put an apostrophe before what a spreadsheet would work out."""
    return f"'{text}" if text.lstrip(" ").startswith(_FORMULA) else text


def workbook(tables: Sequence[DataTable], about: Sequence[tuple[str, str]]) -> bytes:
    """Return all tables as one workbook, a sheet each, after a sheet that says what it is.

    Parameters
    ----------
    about : pairs of a term and what it is
    """
    import openpyxl  # 0.2 s, for this alone
    from openpyxl.styles import Font

    book = openpyxl.Workbook()
    first = book.active
    first.title = "about"
    for number, pair in enumerate(about, start=1):
        for column, text in enumerate(pair, start=1):
            _put(first, number, column, text)
    contents = [(table.name, table.label) for table in tables]
    for number, pair in enumerate(contents, start=len(about) + 2):
        for column, text in enumerate(pair, start=1):
            _put(first, number, column, text)
    first.column_dimensions["A"].width, first.column_dimensions["B"].width = 16, 100
    for table in tables:
        sheet = book.create_sheet(table.name)
        for column, head in enumerate(table.columns, start=1):
            _put(sheet, 1, column, head.header)
            sheet.cell(1, column).font = Font(bold=True)
            longest = max((len(str(row[column - 1] or "")) for row in table.rows), default=0)
            width = min(_WIDEST, max(len(head.header), longest, 6) + 2)
            sheet.column_dimensions[sheet.cell(1, column).column_letter].width = width
        for number, row in enumerate(table.rows, start=2):
            for column, cell in enumerate(row, start=1):
                _put(sheet, number, column, cell)
        sheet.freeze_panes = "B2"
    written = io.BytesIO()
    book.save(written)
    return _timeless(written.getvalue())


def _put(sheet: Any, row: int, column: int, cell: Cell) -> None:
    """Set a cell; a text is a text, whatever it begins with."""
    if cell is None:
        return
    target = sheet.cell(row, column)
    if isinstance(cell, str):
        target.value = _one_line(cell)[:_LONGEST]
        target.data_type = "s"
        target.quotePrefix = cell.lstrip(" ").startswith(_FORMULA)
    else:
        target.value = cell


def _timeless(data: bytes) -> bytes:
    """Return a workbook without the time of its making, so that the same tables are the same."""
    target = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as made,
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as kept,
    ):
        for name in made.namelist():
            content = made.read(name)
            if name == "docProps/core.xml":
                content = _TIME.sub(b"", content)
            part = zipfile.ZipInfo(name, _EPOCH)
            part.compress_type = zipfile.ZIP_DEFLATED
            kept.writestr(part, content)
    return target.getvalue()
