"""The way in for tables from elsewhere: log files, delimited text, workbooks.

What the bytes are is found from the bytes; a file's name is only a name. Nothing is converted
here: cells stay the texts they were, and whatever was taken for granted in reading is said.
"""

from __future__ import annotations

from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.model.files import shown
from bathybore.model.outside_las import is_las, read_las
from bathybore.model.outside_tables import MOST_BYTES, OutsideTable
from bathybore.model.outside_text import read_delimited
from bathybore.model.outside_workbooks import read_workbook

_WORKBOOK: Final = b"PK\x03\x04"
_OLD_WORKBOOK: Final = b"\xd0\xcf\x11\xe0"
_RESAVE: Final = "Save it as CSV with the encoding UTF-8, or as a workbook (.xlsx)."


def read_outside(file: str, data: bytes, sheet: str = "") -> OutsideTable:
    """Return the table in a file's bytes.

    Parameters
    ----------
    file : its name, for errors and notes
    sheet : of a workbook, the one to read; the first when left out

    Raises
    ------
    InputErrors
        Too large, empty, of a kind that is not read, or broken, with the line where it is.
    """
    file = shown(file) or "file"
    if len(data) > MOST_BYTES:
        limit = f"at most {MOST_BYTES / 1e6:g} MB"
        raise InputErrors.one(file, f"{len(data) / 1e6:.1f} MB", limit)
    if data.startswith(_WORKBOOK):
        return read_workbook(file, data, sheet)
    if data.startswith(_OLD_WORKBOOK):
        found = "a workbook of the old binary kind, or one with a password"
        raise InputErrors.one(file, found, "a workbook (.xlsx) without a password", _RESAVE)
    text, notes = decoded(file, data)
    return read_las(file, text, notes) if is_las(text) else read_delimited(file, text, notes)


def decoded(file: str, data: bytes) -> tuple[str, tuple[str, ...]]:
    """Return bytes as text, and what had to be guessed.

    Raises
    ------
    InputErrors
        Empty, or no text.
    """
    notes: tuple[str, ...] = ()
    try:
        if data.startswith((b"\xff\xfe", b"\xfe\xff")):
            text = data.decode("utf-16")
        else:
            text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # what office programs of western Europe and America write when they say 'ANSI'
        text = data.decode("cp1252", errors="replace")
        notes = ("The text is not UTF-8 and was read as Windows-1252: look at °, µ and accents.",)
    for number, line in enumerate(text.splitlines(), start=1):
        bad = next((c for c in line if c < " " and c != "\t"), "")
        if bad or "\ufffd" in line:
            found = f"the character {bad or chr(0xFFFD)!r}, which no table holds"
            raise InputErrors.one(f"{file}, line {number}", found, "text", _RESAVE)
    if not text.strip():
        raise InputErrors.one(file, "an empty file", "a table")
    return text, notes
