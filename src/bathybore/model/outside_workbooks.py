"""Workbooks (.xlsx, ECMA-376): one sheet as rows of texts, of bounded size whatever it says."""

from __future__ import annotations

import datetime
import io
import warnings
import zipfile
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from bathybore.base.errors import InputErrors
from bathybore.model.files import shown
from bathybore.model.outside_tables import MOST_COLUMNS, MOST_ROWS, OutsideTable
from bathybore.model.outside_text import tabulated

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

_MOST_UNPACKED: Final = 60_000_000  # bytes; a table of our size takes a tenth of it
_MOST_PARTS: Final = 1000
_MOST_CELLS: Final = 1_000_000
_FIX: Final = "Save it again as a workbook (.xlsx), or as CSV."


def read_workbook(file: str, data: bytes, sheet: str = "") -> OutsideTable:
    """Return one sheet of a workbook; values as they were last worked out, no formula is run.

    Raises
    ------
    InputErrors
        Broken, far larger than it looks, without the sheet asked for, or without a table.
    """
    _judge_parts(file, data)
    import openpyxl  # 0.2 s, for this alone

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of validation rules and styles that nothing here uses
            book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
            return _table(file, book, sheet)
    except InputErrors:
        raise
    except Exception as error:  # a broken file meets the library with many unrelated classes
        found = f"a workbook that cannot be read ({shown(str(error) or type(error).__name__)})"
        raise InputErrors.one(file, found, "a sound workbook", _FIX) from error


def _judge_parts(file: str, data: bytes) -> None:
    """Refuse what would unpack to more than it may, before anything is built from it."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            infos = parts.infolist()
            unpacked = sum(info.file_size for info in infos)
            if len(infos) > _MOST_PARTS or unpacked > _MOST_UNPACKED:
                found = f"a workbook that unpacks to {unpacked / 1e6:.0f} MB in {len(infos)} parts"
                limit = f"at most {_MOST_UNPACKED / 1e6:g} MB in {_MOST_PARTS} parts"
                raise InputErrors.one(file, found, limit, _FIX)
            if "xl/workbook.xml" not in parts.namelist():
                raise InputErrors.one(file, "a zip file of another kind", "a workbook", _FIX)
            for info in infos:
                # sizes in the directory may lie: unpacking stops at what they say, or fails
                content = parts.read(info).replace(b"\x00", b"").upper()
                if b"<!DOCTYPE" in content or b"<!ENTITY" in content:
                    raise InputErrors.one(file, "a document type with entities", "a workbook", _FIX)
    except InputErrors:
        raise
    except Exception as error:  # such as zlib's own, of a part that is broken inside
        found = f"a workbook that cannot be unpacked ({shown(str(error) or type(error).__name__)})"
        raise InputErrors.one(file, found, "a sound workbook without a password", _FIX) from error


def _table(file: str, book: Workbook, sheet: str) -> OutsideTable:
    names = tuple(one.title for one in book.worksheets)
    if not names:
        raise InputErrors.one(file, "no sheet with cells", "a sheet with a table")
    if sheet and sheet not in names:
        known = ", ".join(f"'{shown(name)}'" for name in names[:25])
        raise InputErrors.one(file, f"no sheet '{shown(sheet)}'", f"one of {known}")
    name = sheet or names[0]
    notes: tuple[str, ...] = ()
    if len(names) > 1:
        notes = (f"There are {len(names)} sheets; '{shown(name)}' is read.",)
    rows: list[tuple[int, list[str]]] = []
    cells = 0
    # the limits keep a sheet that says it has a million rows of sixteen thousand cells from
    # being padded to that size
    limits: dict[str, Any] = {"max_row": MOST_ROWS + 3, "max_col": MOST_COLUMNS + 1}
    for number, row in enumerate(book[name].iter_rows(values_only=True, **limits), start=1):
        texts = [_text(value) for value in row]
        while texts and not texts[-1]:
            texts.pop()
        cells += len(texts)
        if cells > _MOST_CELLS:
            raise InputErrors.one(file, f"more than {_MOST_CELLS} cells", "fewer cells")
        if texts and not texts[0].startswith("#"):
            rows.append((number, texts))
    table = tabulated(file, "workbook", rows, notes, "row")
    return replace(table, sheets=names, sheet=name)


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, datetime.datetime | datetime.date | datetime.time):
        return value.isoformat()
    return " ".join(str(value).split())
