"""Taking rows from elsewhere into the earth or sea table: depths, units, what stays as it was."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bathybore.base.arrays import Array
from bathybore.base.depth import Datum, DepthFrame
from bathybore.base.errors import Fault, InputErrors, nearest
from bathybore.base.units import conversion, from_si, parse_quantity, show, to_si
from bathybore.model.files import shown
from bathybore.model.outside_files import read_outside
from bathybore.model.outside_tables import OutsideTable
from bathybore.model.outside_text import number
from bathybore.usecases.fewer_rows import bending_rows
from bathybore.usecases.import_merge import Columns, merged
from bathybore.usecases.importing import (
    CHOOSE_DATUM,
    TRUE_VERTICAL,
    ColumnChoice,
    Mapping,
    missing_in,
    null_of,
)
from bathybore.usecases.showing import in_words
from bathybore.usecases.table_texts import KNOWN_COLUMNS, UNITS, TableText, column_of, table_text

MOST_KEPT: Final = 2000
_MOST_FAULTS: Final = 50
_DENSITY: Final = (
    "An equivalent density is no pressure: work it out with its datum, or choose a column of "
    "pressures."
)


@dataclass(frozen=True)
class Imported:
    """The new table.

    Attributes
    ----------
    text : of the whole CSV, for an edit of the table
    rows : taken from the file
    notes : what was done to them, in sentences
    """

    text: str
    rows: int
    notes: tuple[str, ...]


def apply_import(
    file: str, data: bytes, mapping: Mapping, existing: str, frame: DepthFrame
) -> Imported:
    """Return our table with rows of a file taken in.

    Rows are taken as given. Columns that the file does not bring keep what they say: words hold
    until the next row, numbers run straight between rows.

    Parameters
    ----------
    existing : text of our table as it stands
    frame : where drill floor and sea bed of this hole lie

    Raises
    ------
    InputErrors
        Something has to be decided first, or a cell cannot be used; nothing is taken in then.
    """
    outside = read_outside(file, data, mapping.sheet)
    ours = table_text(existing, f"{mapping.table} table", mapping.table)
    taking = _Taking(outside, mapping, ours)
    taking.judge_choices()
    shift = _shift(outside.file, mapping, frame)
    columns = taking.columns(shift)
    columns, thinning = _thin(columns)
    body, told = merged(ours, columns, mapping.table, mapping.outside)
    notes = [*_provenance(outside, mapping, columns, frame), *taking.notes, *thinning, *told]
    return Imported(_csv(ours, notes, body), len(columns.depths), tuple(notes))


def _shift(file: str, mapping: Mapping, frame: DepthFrame) -> float:
    """Return what to add to a depth of the file [m] to count it from our table's datum."""
    known = [datum.value for datum in Datum]
    if mapping.datum not in known:
        found = f"'{shown(mapping.datum)}'" if mapping.datum else "no datum"
        fix = nearest(mapping.datum[:40], known) or CHOOSE_DATUM
        raise InputErrors.one(f"{file}, depth", found, " or ".join(known), fix)
    if not mapping.true_vertical:
        found = "depths not confirmed as true vertical"
        raise InputErrors.one(f"{file}, depth", found, "true vertical depths", TRUE_VERTICAL)
    ours = Datum.SEA_BED if mapping.table == "earth" else Datum.SEA_LEVEL
    datum, theirs = Datum(mapping.datum), frame
    if datum is Datum.DRILL_FLOOR:
        where = f"{file}, height of its drill floor"
        if not mapping.drill_floor_height.strip():
            expected = "the height above mean sea level of the drill floor that is meant"
            own = f"That of this hole's vessel is {frame.drill_floor_height:g} m."
            raise InputErrors.one(where, "nothing", expected, own)
        height = parse_quantity(mapping.drill_floor_height, "m", where)
        theirs = DepthFrame(height, frame.water_depth)
    return theirs.zero_below_sea_level(datum) - frame.zero_below_sea_level(ours)


@dataclass
class _Taking:
    """A file's columns while they become ours."""

    outside: OutsideTable
    mapping: Mapping
    ours: TableText
    faults: list[Fault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def decimal(self) -> str:
        return self.mapping.decimal or self.outside.decimal

    @property
    def depth_name(self) -> str:
        return next(iter(KNOWN_COLUMNS[self.mapping.table]))

    def judge_choices(self) -> None:
        """Find what was not decided, or cannot be meant."""
        file, known = self.outside.file, KNOWN_COLUMNS[self.mapping.table]
        targets = [choice.target for choice in self.mapping.columns]
        for choice in self.mapping.columns:
            if choice.target not in known:
                fix = nearest(choice.target[:100], known) or f"Known: {', '.join(known)}."
                found, expected = f"'{shown(choice.target)}'", f"a column of the {self.ours.file}"
                self._fault(f"{file}, column {choice.index + 1}", found, expected, fix)
            elif not 0 <= choice.index < len(self.outside.columns):
                expected = f"1 to {len(self.outside.columns)}"
                self._fault(f"{file}, column", f"{choice.index + 1}", expected)
            else:
                self._judge_unit(choice, known[choice.target][0])
        for target in {t for t in targets if targets.count(t) > 1}:
            self._fault(f"{file}", f"two columns for {target}", "one")
        if self.depth_name not in targets:
            self._fault(file, "no column of depths", f"a column for {self.depth_name}")
        if len(targets) < 2:
            self._fault(file, "no column to take in", "a column besides the depths")
        if self.decimal not in (".", ","):
            self._fault(file, "numbers that can be read in two ways", "a decimal sign: . or ,")
        self._stop()

    def _judge_unit(self, choice: ColumnChoice, si: str) -> None:
        if si == "text":
            return
        where = f"{self.outside.file}, column '{shown(self.outside.columns[choice.index].name)}'"
        if not choice.unit and si != "-":
            example = " or ".join(UNITS[si][:3])
            self._fault(where, "no unit", f"the unit its numbers are in, such as {example}")
            return
        try:
            to_si(0.0, choice.unit or "-", si)
        except InputErrors as error:
            told = error.faults[0]
            fix = _DENSITY if si == "Pa" and _is_density(choice.unit) else told.fix
            self._fault(where, told.found, told.expected, fix)

    def _fault(self, where: str, found: str, expected: str, fix: str = "") -> None:
        self.faults.append(Fault(where, found, expected, fix))
        if len(self.faults) >= _MOST_FAULTS:
            self._stop()

    def _stop(self) -> None:
        if self.faults:
            raise InputErrors(self.faults)

    def columns(self, shift: float) -> Columns:
        """Return the file's rows in our units, sorted by depth, those above our datum left out."""
        by_target = {choice.target: choice for choice in self.mapping.columns}
        depth = by_target.pop(self.depth_name)
        metres = self._numbers(depth, "m", required=True) + shift
        self._stop()
        metres = np.round(metres, 6)
        order = np.argsort(metres, kind="stable")
        if np.any(order != np.arange(len(order))):
            self.notes.append("The file's depths did not grow from row to row; rows are sorted.")
        inside = order[metres[order] >= 0.0]
        if len(inside) < len(order):
            datum = "sea bed" if self.mapping.table == "earth" else "sea level"
            count = len(order) - len(inside)
            self.notes.append(f"{count:,} rows above the {datum} are left out.")
        self._judge_depths(metres, inside)
        numbers, words, texts = {}, {}, {}
        for target, choice in by_target.items():
            si = KNOWN_COLUMNS[self.mapping.table][target][0]
            cells = [row[choice.index] for row in self.outside.rows]
            if si == "text":
                null = null_of(self.outside, self.mapping.null)
                words[target] = [
                    "" if missing_in(cells[row], null, self.decimal) else cells[row]
                    for row in inside
                ]
                continue
            unit = self._our_unit(target)
            values = self._numbers(choice, si)
            numbers[target] = np.array([from_si(v, si, unit) for v in values[inside]])
            same = conversion(choice.unit or "-") == conversion(unit) and self.decimal == "."
            texts[target] = [cells[row] if same else "" for row in inside]
        self._stop()
        units = {target: self._our_unit(target) for target in numbers}
        return Columns(metres[inside], numbers, words, texts, units)

    def _our_unit(self, target: str) -> str:
        """Return the unit of our column: the file's header keeps its own."""
        present = next((c for c in self.ours.columns if c.name == target), None)
        return (present or column_of(target, self.mapping.table)).unit or "-"

    def _numbers(self, choice: ColumnChoice, si: str, required: bool = False) -> Array:
        null = null_of(self.outside, self.mapping.null)
        unit = choice.unit or "-"
        zero, one = to_si(0.0, unit, si), to_si(1.0, unit, si)  # every unit is a straight line
        values = np.full(len(self.outside.rows), np.nan)
        for row, cells in enumerate(self.outside.rows):
            cell = cells[choice.index]
            if missing_in(cell, null, self.decimal):
                if required:
                    self._fault(self._where(row, choice), "no depth", "a depth in every row")
                continue
            value = number(cell, self.decimal)
            if value is None:
                where = self._where(row, choice)
                self._fault(where, f"'{shown(cell)}'", f"a number in {unit}")
            elif not math.isfinite(value):
                self._fault(self._where(row, choice), f"'{shown(cell)}'", "a finite number")
            else:
                values[row] = value
        return zero + (one - zero) * values

    def _where(self, row: int, choice: ColumnChoice) -> str:
        word = "row" if self.outside.kind == "workbook" else "line"
        name = shown(self.outside.columns[choice.index].name)
        return f"{self.outside.file}, {word} {self.outside.lines[row]}, column '{name}'"

    def _judge_depths(self, metres: Array, inside: NDArray[np.intp]) -> None:
        if len(inside) < 1:
            self._fault(self.outside.file, "no row at or below our datum", "rows below it")
        for one, two in pairwise(inside.tolist()):
            if metres[one] == metres[two]:
                where = f"{self.outside.file}, line {self.outside.lines[two]}"
                found = f"the depth {metres[two]:g} m of line {self.outside.lines[one]} again"
                self._fault(where, found, "each depth once")
        self._stop()


def _is_density(unit: str) -> bool:
    try:
        to_si(0.0, unit, "kg/m3")
    except InputErrors:
        return False
    return True


def _thin(columns: Columns) -> tuple[Columns, list[str]]:
    """Return at most `MOST_KEPT` rows, and what that did."""
    count = len(columns.depths)
    if count <= MOST_KEPT:
        return columns, []
    changes = {
        row
        for words in columns.words.values()
        for row in range(1, count)
        if words[row] != words[row - 1]
    }
    if len(changes) > MOST_KEPT - 2:
        found = f"{len(changes):,} changes of a word"
        raise InputErrors.one("rows", found, f"at most {MOST_KEPT - 2:,}", "Map fewer words.")
    lines = np.array(list(columns.numbers.values())).reshape(len(columns.numbers), count)
    rows, off = bending_rows(columns.depths, lines, changes, MOST_KEPT)
    worst = ", ".join(
        f"{in_words(name)} by {value:.2g} {columns.units[name]}".removesuffix(" -")
        for name, value in zip(columns.numbers, off, strict=True)
    )
    said = f"Of {count:,} rows {len(rows):,} are kept, those that bend the lines most."
    return columns.taken(rows), [said + (f" At worst this changes {worst}." if worst else "")]


def _provenance(
    outside: OutsideTable, mapping: Mapping, columns: Columns, frame: DepthFrame
) -> list[str]:
    depths = columns.depths
    datum = "below sea bed" if mapping.table == "earth" else "below sea level"
    taken = ", ".join(
        f"{choice.target} from '{shown(outside.columns[choice.index].name)}'"
        + (f" [{choice.unit}]" if choice.unit not in ("", "-") else "")
        for choice in mapping.columns
    )
    sheet = f", sheet '{shown(outside.sheet)}'" if outside.sheet else ""
    read = f"Their depths were read as true vertical, below {mapping.datum}"
    if mapping.datum == Datum.DRILL_FLOOR.value:
        read += f" ({shown(mapping.drill_floor_height)} above mean sea level)"
    if (mapping.datum == Datum.SEA_BED.value) != (mapping.table == "earth"):
        read += f"; water depth {show(frame.water_depth, 'm', significant=6)}"
    return [
        f"Taken in from '{outside.file}' ({outside.kind}{sheet}): {taken}.",
        f"{len(outside.rows):,} rows, {depths[0]:g} to {depths[-1]:g} m {datum}. {read}.",
    ]


def _csv(ours: TableText, notes: list[str], body: list[list[str]]) -> str:
    """Return the table's text: comments that were there, what was done, header and rows."""
    target = io.StringIO()
    for _, comment in ours.comments:
        target.write(f"{comment}\n")
    for note in notes:
        target.write(f"# {shown(note, 1000)}\n")
    csv.writer(target, lineterminator="\n").writerows(body)
    return target.getvalue()
