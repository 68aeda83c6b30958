"""Log files after the Log ASCII Standard, version 2.0 (CWLS, 1992, updated 2017).

A header line is ``MNEMONIC.UNIT  VALUE : DESCRIPTION``: the first dot ends the mnemonic, the
first space after it ends the unit, the last colon begins the description. The section ~A holds
the numbers, a line a depth, or wrapped: the depth alone on a line and the others below it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from bathybore.base.errors import Fault, InputErrors
from bathybore.model.files import shown
from bathybore.model.outside_tables import (
    MOST_COLUMNS,
    MOST_FAULTS,
    MOST_ROWS,
    OutsideColumn,
    OutsideTable,
)

_EXPORT: Final = "Export it as LAS 2.0, or as CSV."
_CUT: Final = "The file may be cut off, or a value may be missing."
_SECTIONS: Final = {"V": "version", "W": "well", "C": "curves", "P": "parameters", "O": "other"}
# where such files tell the height of the depth reference, as commonly written
_HEIGHTS: Final = frozenset({"EKB", "EDF", "ERF", "EREF", "KB", "DF", "RKB", "ELEV", "EPD", "APD"})


@dataclass(frozen=True)
class _Item:
    name: str
    unit: str
    value: str
    note: str
    line: int


@dataclass
class _Header:
    sections: dict[str, list[_Item]] = field(default_factory=dict)

    def value(self, section: str, name: str) -> _Item | None:
        items = self.sections.get(section, [])
        return next((item for item in items if item.name.upper() == name), None)


def is_las(text: str) -> bool:
    """Return whether the first line that is no comment opens a section, as this standard asks."""
    lines = (line.strip() for line in text.splitlines())
    first = next((line for line in lines if line and not line.startswith("#")), "")
    return first.startswith("~")


def read_las(file: str, text: str, notes: tuple[str, ...] = ()) -> OutsideTable:
    """Return the curves of a log file as columns.

    Raises
    ------
    InputErrors
        Another version, a section missing, a line that cannot be read, rows cut off.
    """
    lines = re.split(r"\r\n|\r|\n", text)
    header, begin = _header(file, lines)
    wrapped = _judge_version(file, header)
    curves = header.sections.get("C", [])
    if not curves:
        raise InputErrors.one(file, "no curves", "a section ~C that names every column")
    if len(curves) > MOST_COLUMNS:
        raise InputErrors.one(file, f"{len(curves)} curves", f"at most {MOST_COLUMNS}")
    read = _wrapped if wrapped else _unwrapped
    rows, numbers = read(file, lines, begin, [curve.name for curve in curves])
    if not rows:
        raise InputErrors.one(file, "no rows", "rows of numbers after ~A", _CUT)
    null = header.value("W", "NULL")
    notes += tuple(_notes(header, rows, null, wrapped))
    return OutsideTable(
        file=file,
        kind="LAS 2.0",
        columns=tuple(OutsideColumn(c.name, c.unit, c.note) for c in curves),
        rows=tuple(rows),
        lines=tuple(numbers),
        decimal=".",
        null=null.value if null else "",
        notes=notes,
    )


def _header(file: str, lines: list[str]) -> tuple[_Header, int]:
    """Return the sections before ~A, and the index of the first line after it."""
    header = _Header()
    section = ""
    for number, line in enumerate(lines, start=1):
        stripped = line.strip()
        if not stripped or stripped.startswith("#"):
            continue
        if stripped.startswith("~"):
            section = stripped[1:2].upper()
            if section == "A":
                return header, number
            if not header.sections and section != "V":
                where, expected = f"{file}, line {number}", "the section ~V first"
                raise InputErrors.one(where, f"'{shown(stripped)}'", expected, _EXPORT)
            header.sections.setdefault(section, [])
        elif section in _SECTIONS and section != "O":
            header.sections[section].append(_item(file, number, line))
    raise InputErrors.one(file, "no section ~A", "the section ~A with the numbers", _CUT)


def _item(file: str, number: int, line: str) -> _Item:
    name, dot, rest = line.partition(".")
    before, colon, note = rest.rpartition(":")
    if not dot or not colon:
        where, expected = f"{file}, line {number}", "MNEMONIC.UNIT  VALUE : DESCRIPTION"
        raise InputErrors.one(where, f"'{shown(line.strip())}'", expected)
    unit, _, value = before.partition(" ")
    return _Item(name.strip(), unit.strip(), value.strip(), note.strip(), number)


def _judge_version(file: str, header: _Header) -> bool:
    """Return whether the numbers are wrapped.

    Raises
    ------
    InputErrors
        No version, or not 2.0.
    """
    version, wrap = header.value("V", "VERS"), header.value("V", "WRAP")
    if version is None:
        raise InputErrors.one(file, "no VERS in section ~V", "the version, 2.0", _EXPORT)
    where = f"{file}, line {version.line}"
    try:
        is_two = float(version.value) == 2.0
    except ValueError:
        is_two = False
    if not is_two:
        found = f"version '{shown(version.value)}'"
        raise InputErrors.one(where, found, "version 2.0", _EXPORT)
    if wrap is None or wrap.value.upper() not in ("YES", "NO"):
        found = "no WRAP" if wrap is None else f"WRAP '{shown(wrap.value)}'"
        raise InputErrors.one(where, found, "WRAP, YES or NO, in section ~V")
    return wrap.value.upper() == "YES"


@dataclass
class _Rows:
    """Rows while they are read, and what is wrong with them."""

    file: str
    names: list[str]
    rows: list[tuple[str, ...]] = field(default_factory=list)
    numbers: list[int] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    def add(self, number: int, cells: list[str]) -> None:
        if len(cells) != len(self.names):
            wanted = f"{len(self.names)}, one for each curve of section ~C"
            self.fault(number, f"{len(cells)} values", wanted, _CUT)
            return
        self.rows.append(tuple(cells))
        self.numbers.append(number)
        if len(self.rows) > MOST_ROWS:
            self.fault(number, f"more than {MOST_ROWS} rows", f"at most {MOST_ROWS} rows")
            raise InputErrors(self.faults)

    def fault(self, number: int, found: str, expected: str, fix: str = "") -> None:
        self.faults.append(Fault(f"{self.file}, line {number}", found, expected, fix))
        if len(self.faults) >= MOST_FAULTS:
            raise InputErrors(self.faults)

    def done(self) -> tuple[list[tuple[str, ...]], list[int]]:
        if self.faults:
            raise InputErrors(self.faults)
        return self.rows, self.numbers


def _data(file: str, lines: list[str], begin: int) -> Iterator[tuple[int, list[str]]]:
    for number, line in enumerate(lines[begin:], start=begin + 1):
        stripped = line.strip()
        if stripped.startswith("~"):
            found = f"the section '{shown(stripped)}' after ~A"
            raise InputErrors.one(f"{file}, line {number}", found, "~A as the last section")
        if stripped and not stripped.startswith("#"):
            yield number, stripped.split()


def _unwrapped(
    file: str, lines: list[str], begin: int, names: list[str]
) -> tuple[list[tuple[str, ...]], list[int]]:
    rows = _Rows(file, names)
    for number, cells in _data(file, lines, begin):
        rows.add(number, cells)
    return rows.done()


def _wrapped(
    file: str, lines: list[str], begin: int, names: list[str]
) -> tuple[list[tuple[str, ...]], list[int]]:
    """Read rows that begin with the depth alone on its line."""
    rows = _Rows(file, names)
    waiting: list[str] = []
    began = begin
    for number, cells in _data(file, lines, begin):
        if not waiting:
            began = number
            if len(cells) != 1:
                wanted = "the depth alone on its line, as WRAP YES asks"
                rows.fault(number, f"{len(cells)} values", wanted, _CUT)
                continue
        waiting += cells
        if len(waiting) >= len(names):
            rows.add(began, waiting)
            waiting = []
    if waiting:
        rows.add(began, waiting)
    return rows.done()


def _notes(
    header: _Header, rows: list[tuple[str, ...]], null: _Item | None, wrapped: bool
) -> Iterator[str]:
    if wrapped:
        yield "The rows are wrapped: each depth stands alone on a line with its values below."
    if null is None:
        yield "The file declares no NULL: no value was taken as missing."
    for name, index in (("STRT", 0), ("STOP", -1)):
        told = header.value("W", name)
        if told is not None and _differ(told.value, rows[index][0]):
            place = "first" if index == 0 else "last"
            yield (
                f"The header says {name} {told.value} {told.unit}, the {place} row stands at "
                f"{rows[index][0]}: the file may be cut off."
            )
    for section in ("P", "W"):
        for item in header.sections.get(section, []):
            if item.name.upper() in _HEIGHTS and item.value:
                yield (
                    f"The header gives {item.name} {item.value} {item.unit}"
                    f"{f' ({item.note})' if item.note else ''}: perhaps the height of the depth "
                    "reference."
                )


def _differ(one: str, other: str) -> bool:
    try:
        return not math.isclose(float(one), float(other), rel_tol=1e-6, abs_tol=1e-3)
    except ValueError:
        return True
