"""Reading the CSV tables beside a hole document, with file, line and column in every fault."""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import Fault, InputErrors, nearest
from bathybore.base.units import example_unit, show, to_si
from bathybore.model.files import MARK, shown
from bathybore.model.tables import COEFFICIENTS, FORMATION_FLUIDS, HAZARDS, ProfileTable

MOST_BYTES: Final = 50_000_000
_MOST_FAULTS: Final = 50

_HEADER = re.compile(r"^\s*(?P<name>[^\[\]]*?)\s*(?:\[(?P<unit>[^\[\]]*)\]\s*)?$")
_NUMBER = re.compile(r"^[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?$")
_DECIMAL_COMMA = re.compile(r"^[-+]?[0-9]+,[0-9]+$")
_WORDS: Final = {"formation_fluid": FORMATION_FLUIDS, "hazard": HAZARDS}
# SI; outside these a number is a slip of the pen: -3 to 700 degC, brine no sea has
# a load coefficient of more than 10 is a force that was not made dimensionless
_BETWEEN: Final = {
    "temperature": (270.15, 973.15),
    "practical_salinity": (0.0, 50.0),
    **dict.fromkeys(COEFFICIENTS, (-10.0, 10.0)),
}
# a hole that turns upwards is a slip of the pen as well
_TURN: Final = 2.0 * math.pi
_ANGLES: Final = {
    "inclination": (0.0, 0.5 * math.pi),
    "azimuth": (0.0, _TURN),
    "relative_wave_direction": (0.0, _TURN),
    "relative_direction": (0.0, _TURN),
    **{f"{one}_phase": (-_TURN, _TURN) for one in ("heave", "pitch", "roll", "surge", "sway")},
}
_ABOVE_ZERO: Final = frozenset(
    {"rate_of_penetration", "peak_period", "wave_period", "wave_frequency"}
)


@dataclass(frozen=True)
class _Column:
    name: str
    unit: str
    si: str
    required: bool
    number: int

    @property
    def is_text(self) -> bool:
        return self.si == "text"


@dataclass
class _Reading:
    """A table while it is read: what was found so far and what was wrong with it."""

    file: str
    faults: list[Fault] = field(default_factory=list)

    def fault(self, line: int, column: str, found: str, expected: str, fix: str = "") -> None:
        where = f"{self.file}, line {line}" + (f", column {shown(column)}" if column else "")
        self.faults.append(Fault(where, found, expected, fix))
        if len(self.faults) >= _MOST_FAULTS:
            raise InputErrors([*self.faults, Fault(self.file, "more faults than are told", "none")])

    def stop_if_faulty(self) -> None:
        if self.faults:
            raise InputErrors(self.faults)


def parse_table(text: str, file: str, known: Mapping[str, tuple[str, bool]]) -> ProfileTable:
    """Read a table of columns over depth; the first of the known columns is the depth.

    Parameters
    ----------
    file : the table's name, for origins and errors
    known : (SI unit, required) by column name

    Raises
    ------
    InputErrors
        Every fault of the header, or, with a sound header, every fault of the rows.
    """
    reading = _Reading(file)
    rows = _rows(text, reading)
    reading.stop_if_faulty()
    if not rows:
        raise InputErrors.one(file, "no header", "a line of column names with units")
    columns = _header(*rows[0], known, reading)
    reading.stop_if_faulty()
    table = _table(columns, rows[1:], next(iter(known)), reading)
    reading.stop_if_faulty()
    return table


def _rows(text: str, reading: _Reading) -> list[tuple[int, list[str]]]:
    """Return (line number, cells) of every line that is neither blank nor a comment."""
    rows = []
    for number, line in enumerate(re.split(r"\r\n|\r|\n", text.removeprefix(MARK)), start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            cells = next(csv.reader([line], strict=True))
        except csv.Error as error:
            reading.fault(number, "", f"a line that is not CSV ({error})", "cells between commas")
            continue
        rows.append((number, [cell.strip() for cell in cells]))
    return rows


def _header(
    line: int, cells: Sequence[str], known: Mapping[str, tuple[str, bool]], reading: _Reading
) -> list[_Column]:
    for separator, name in ((";", "semicolons"), ("\t", "tabs")):
        if len(cells) == 1 and separator in cells[0]:
            fix = "Export the table with commas between cells and points in numbers."
            reading.fault(line, "", f"cells separated by {name}", "cells separated by commas", fix)
            return []
    columns: list[_Column] = []
    for number, cell in enumerate(cells):
        column = _column(line, number, cell, known, reading)
        if column and any(column.name == other.name for other in columns):
            reading.fault(line, column.name, "the column a second time", "each column once")
        elif column:
            columns.append(column)
    written = {match["name"] for cell in cells if (match := _HEADER.match(cell[:200]))}
    guessed = " ".join(fault.fix for fault in reading.faults)
    for name, (si, required) in known.items():
        if required and name not in written and f"'{name}'" not in guessed:
            example = name if si == "text" else f"{name} [{example_unit(si) or '-'}]"
            reading.fault(line, name, "no such column", f"the column '{example}'")
    return columns


def column_name(cell: str) -> str:
    """Return the name in a cell of the header, without its unit."""
    match = _HEADER.match(cell) if len(cell) <= 200 else None
    return match["name"] if match else ""


def is_number(cell: str) -> bool:
    """Return whether a cell can be read as a number, whatever its size."""
    return len(cell) <= 100 and _NUMBER.match(cell) is not None


def _column(
    line: int, number: int, cell: str, known: Mapping[str, tuple[str, bool]], reading: _Reading
) -> _Column | None:
    match = _HEADER.match(cell) if len(cell) <= 200 else None
    name = match["name"] if match else ""
    if match is None or not name:
        reading.fault(line, f"{number + 1}", f"'{shown(cell)}'", "a column name and [unit]")
        return None
    if name not in known:
        fix = nearest(name, known) or f"Known columns: {', '.join(known)}."
        reading.fault(line, name, f"the unknown column '{shown(name)}'", "a known column", fix)
        return None
    si, required = known[name]
    unit = (match["unit"] or "").strip()
    if not unit and si not in ("text", "-"):
        example = f"'{name} [{example_unit(si)}]'"
        reading.fault(line, name, "a column without a unit", example, "Write the unit beside it.")
        return None
    try:
        if si == "text" and unit not in ("", "text", "-"):
            raise InputErrors.one("", f"unit '{shown(unit)}'", "no unit, for it holds words")
        if si != "text":
            to_si(0.0, unit, si)
    except InputErrors as error:
        told = error.faults[0]
        reading.fault(line, name, shown(told.found), told.expected, told.fix)
        return None
    return _Column(name, unit, si, required, number)


def _table(
    columns: list[_Column],
    rows: list[tuple[int, list[str]]],
    depth_name: str,
    reading: _Reading,
) -> ProfileTable:
    width = max(column.number for column in columns) + 1
    sound = [row for row in rows if _has_width(*row, width, reading)]
    lines = tuple(line for line, _ in sound)
    numbers: dict[str, Array] = {}
    words: dict[str, tuple[str, ...]] = {}
    for column in columns:
        cells = [(line, row[column.number]) for line, row in sound]
        if column.is_text:
            words[column.name] = tuple(_word(line, cell, column, reading) for line, cell in cells)
        else:
            numbers[column.name] = np.array(
                [_number(line, cell, column, reading) for line, cell in cells], dtype=np.float64
            )
    units = {column.name: column.si for column in columns if not column.is_text}
    table = ProfileTable(reading.file, depth_name, numbers, words, units, lines)
    if len(rows) < 2:
        reading.faults.append(
            Fault(reading.file, f"{len(rows)} rows", "at least two rows below the header")
        )
    if not reading.faults:
        _judge_depths(table, reading)
    return table


def _has_width(line: int, cells: Sequence[str], width: int, reading: _Reading) -> bool:
    if len(cells) == width:
        return True
    fix = ""
    if len(cells) > width:
        fix = "Write numbers with a decimal point, and words that contain a comma in quotes."
    reading.fault(line, "", f"{len(cells)} cells", f"{width} cells, as in the header", fix)
    return False


def _word(line: int, cell: str, column: _Column, reading: _Reading) -> str:
    allowed = _WORDS.get(column.name)
    if allowed is not None and cell not in allowed:
        listed = ", ".join(word for word in allowed if word) + " or nothing"
        fix = nearest(cell[:100], [word for word in allowed if word])
        reading.fault(line, column.name, f"'{shown(cell)}'", listed, fix)
    if column.required and not cell:
        reading.fault(line, column.name, "nothing", "a word")
    if len(cell) > 100:
        reading.fault(line, column.name, f"'{shown(cell)}'", "at most 100 characters")
    return cell


def _number(line: int, cell: str, column: _Column, reading: _Reading) -> float:
    """Return a cell in SI; a blank cell of an optional column is not given."""
    if not cell and not column.required:
        return math.nan
    wanted = f"a number in {column.unit}" if column.unit else "a number"
    value = math.nan
    if not cell:
        reading.fault(line, column.name, "nothing", wanted, "This column has to be complete.")
    elif _DECIMAL_COMMA.match(cell):
        fix = f"Write '{shown(cell.replace(',', '.'))}'."
        reading.fault(line, column.name, f"'{shown(cell)}' with a comma", "a decimal point", fix)
    elif not is_number(cell):
        fix = "The unit stands in the header alone." if cell[0] in "-+.0123456789" else ""
        reading.fault(line, column.name, f"'{shown(cell)}'", wanted, fix)
    elif not math.isfinite(value := to_si(float(cell), column.unit, column.si)):
        reading.fault(line, column.name, f"'{shown(cell)}'", "a finite number")
    else:
        _judge_number(line, cell, value, column, reading)
    return value


def _judge_number(line: int, cell: str, value: float, column: _Column, reading: _Reading) -> None:
    written = f"{cell} {column.unit}".strip()
    low, high = (_BETWEEN | _ANGLES).get(column.name, (0.0, math.inf))
    slack = 1e-9 * abs(low)  # -3 degC is inside, whatever its last binary digit
    if column.name in _ABOVE_ZERO and value <= 0.0:
        reading.fault(line, column.name, written, "more than zero")
    elif not low - slack <= value <= high + slack:
        limits = f"{show(low, column.si)} to {show(high, column.si)}"
        expected = limits if math.isfinite(high) else "zero or more"
        reading.fault(line, column.name, written, expected)


def _judge_depths(table: ProfileTable, reading: _Reading) -> None:
    """Find what the rows of a table must keep to among themselves."""
    depths, lines, name = table.depths, table.lines, table.depth_name
    if name in ("significant_wave_height", "relative_wave_direction", "relative_direction"):
        return  # classes of sea states, regular waves, directions: they stand in any order
    datum, unit = name.rpartition("depth_below_")[2].replace("_", " "), table.units[name]
    in_time = unit == "s"
    if depths[0] != 0.0 and not in_time:
        found = f"{show(float(depths[0]), unit, significant=10)} in the first row"
        reading.fault(lines[0], name, found, f"0, the {datum} itself")
    for row in np.flatnonzero(np.diff(depths) <= 0.0) + 1:
        above, here = (show(float(d), unit, significant=10) for d in depths[row - 1 : row + 1])
        found = f"{here} {'after' if in_time else 'below'} {above} of line {lines[row - 1]}"
        kind = "times" if in_time else "depths"
        reading.fault(lines[row], name, found, f"{kind} that grow from row to row")
    if {"pore_pressure", "fracture_pressure"} <= set(table.numbers):
        _judge_order(table, "pore_pressure", "fracture_pressure", reading)


def _judge_order(table: ProfileTable, low: str, high: str, reading: _Reading) -> None:
    for row in np.flatnonzero(table.numbers[low] > table.numbers[high]):
        smaller, greater = (show(float(table.numbers[n][row]), "Pa") for n in (high, low))
        at = show(float(table.depths[row]), "m", significant=10)
        reading.fault(
            table.lines[row],
            low,
            f"{greater} at {at} below sea bed",
            f"at most the {high.replace('_', ' ')} there, {smaller}",
        )
