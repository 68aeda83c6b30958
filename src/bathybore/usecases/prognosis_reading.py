"""The neighbour's files become curves over depth below the sea bed, or every fault is told.

Nothing is repaired here: what is odd but usable is told by `prognosis_findings`.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import Datum, DepthFrame
from bathybore.base.errors import Fault, InputErrors, nearest
from bathybore.base.units import example_unit, show, to_si
from bathybore.model.files import shown, unreadable
from bathybore.model.outside_files import read_outside
from bathybore.model.outside_tables import MOST_BYTES, OutsideTable
from bathybore.model.outside_text import LOG_UNITS, number
from bathybore.model.prognosis import CURVES, Column, DataFile, Neighbour, Prognosis, Reading
from bathybore.model.tables import FORMATION_FLUIDS, HAZARDS
from bathybore.usecases.importing import missing_in, null_of

_MOST_FAULTS: Final = 50
_MOST_TOLD: Final = 5  # of one kind in one curve
_SAME: Final = 1e-6  # m
_LONGEST_WORD: Final = 100
_WORDS: Final = {"formation_fluid": FORMATION_FLUIDS, "hazard": HAZARDS}
# units as log files write them, beside those of the tables of a hole
_MORE_UNITS: Final[dict[str, str]] = {
    "G/C3": "g/cm3",
    "G/CC": "g/cm3",
    "GM/CC": "g/cm3",
    "K/M3": "kg/m3",
    "KG/M3": "kg/m3",
    "US/F": "us/ft",
    "US/FT": "us/ft",
    "US/M": "us/m",
    "OHMM": "ohm m",
    "OHM.M": "ohm m",
    "OHM-M": "ohm m",
    "KN": "kN",
    "KLBF": "klbf",
    "RPM": "rpm",
    "IN": "in",
    "MM": "mm",
    "DEG": "deg",
    "W/MK": "W/m/K",
    "W/M.K": "W/m/K",
}


def read_data(folder: Path, prognosis: Prognosis) -> tuple[tuple[Reading, ...], tuple[str, ...]]:
    """Return every curve of a prognosis, and what its files say of themselves.

    Raises
    ------
    InputErrors
        All that makes a file or a curve unusable, with file, line and column.
    """
    faults: list[Fault] = []
    readings: list[Reading] = []
    notes: list[str] = []
    for data in prognosis.data:
        try:
            table = read_outside(data.file, _bytes(folder / data.file, data.file), data.sheet)
            notes += (f"{data.file}: {note}" for note in table.notes)
            one = _File(table, data, prognosis.neighbour)
            readings += one.readings()
            faults += one.faults
        except InputErrors as error:
            faults += error.faults
    if faults:
        raise InputErrors(faults[:_MOST_FAULTS])
    return tuple(readings), tuple(notes)


def _bytes(path: Path, file: str) -> bytes:
    what = "a file of the neighbouring hole"
    try:
        with path.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except FileNotFoundError as error:
        raise InputErrors.one(file, "no such file", what) from error
    except (OSError, ValueError) as error:
        raise InputErrors([unreadable(file, what, error)]) from error


class _File:
    """One file while its columns become curves."""

    def __init__(self, table: OutsideTable, data: DataFile, neighbour: Neighbour) -> None:
        self.table, self.data, self.neighbour = table, data, neighbour
        self.null = null_of(table, data.null or None)
        self.decimal = table.decimal or "."
        self.faults: list[Fault] = []

    def readings(self) -> Iterator[Reading]:
        found = self._column("depth", self.data.depth)
        unit = None if found is None else self._unit("depth", self.data.depth, found, "m")
        wanted = [(name, column, self._column(name, column))
                  for name, column in self.data.curves.items()]  # fmt: skip
        if found is None or unit is None:
            return
        depths, kept = self._depths(found, unit)
        for name, column, index in wanted:
            if index is not None:
                reading = self._reading(name, column, index, depths, kept)
                if reading is not None:
                    yield reading

    def _fault(self, where: str, found: str, expected: str, fix: str = "") -> None:
        place = f"{self.table.file}, {where}" if where else self.table.file
        self.faults.append(Fault(place, found, expected, fix))

    def _column(self, name: str, column: Column) -> int | None:
        names = [one.name for one in self.table.columns]
        if names.count(column.column) == 1:
            return names.index(column.column)
        several = column.column in names
        found = f"{'two columns' if several else 'no column'} '{shown(column.column)}'"
        fix = nearest(column.column, names) or f"Columns: {', '.join(map(shown, names[:20]))}."
        self._fault("", found, f"the one column for {name}", fix)
        return None

    def _unit(self, name: str, column: Column, index: int, si: str) -> str | None:
        """Return the unit of a column's numbers: as told, or as the file says."""
        written = self.table.columns[index].unit
        unit = column.unit or written_unit(written, si)
        if unit is None:
            found = f"the unit '{shown(written)}'" if written else "no unit"
            fix = f"Write unit: {example_unit(si)}, or what it is, beside its column."
            self._fault(f"column '{shown(column.column)}'", found, f"a unit of {name}", fix)
        return unit

    def _depths(self, index: int, unit: str) -> tuple[Array, list[int]]:
        """Return depths below the sea bed of the planned hole and the rows they stand in."""
        zero, one = to_si(0.0, unit, "m"), to_si(1.0, unit, "m")
        neighbour, rows, kept = self.neighbour, self.table.rows, list[int]()
        numbers = list[float]()
        for row, cells in enumerate(rows):
            value = number(cells[index], self.decimal)
            if missing_in(cells[index], self.null, self.decimal) or value is None:
                self._row_fault(row, index, f"'{shown(cells[index])}'", "a depth in every row")
                continue
            numbers.append(zero + (one - zero) * value)
            kept.append(row)
        frame = DepthFrame(neighbour.drill_floor_height, neighbour.water_depth)
        datum = Datum(self.data.datum)
        shift = frame.zero_below_sea_level(datum) - frame.zero_below_sea_level(Datum.SEA_BED)
        depths = np.asarray(numbers) + shift
        self._judge_order(depths, kept)
        if len(depths) and np.all(depths < 0.0):
            deepest = show(float(np.max(depths - shift)), "m", significant=6)
            found = f"depths to {deepest} below the {datum}, all above the neighbour's sea bed"
            fix = "Perhaps they are counted from another datum, or in another unit."
            self._fault("depth", found, "depths in its rock", fix)
        return depths + neighbour.depth_shift, kept

    def _judge_order(self, depths: Array, kept: list[int]) -> None:
        steps = np.diff(depths)
        if np.all(steps < -_SAME):  # logged on the way up: sorted, and told
            return
        for row in np.flatnonzero(steps <= _SAME)[:_MOST_TOLD]:
            again = abs(steps[row]) <= _SAME
            at = show(float(depths[row + 1]), "m", significant=7)
            said = "the depth of the row before again" if again else "less than the row before"
            line = self.table.lines[kept[row + 1]]
            found = f"{at} below the sea bed, {said}"
            self._fault(f"line {line}, depth", found, "depths that grow from row to row")

    def _row_fault(self, row: int, index: int, found: str, expected: str) -> None:
        name = shown(self.table.columns[index].name)
        if len(self.faults) < _MOST_FAULTS:
            self._fault(f"line {self.table.lines[row]}, column '{name}'", found, expected)

    def _reading(
        self, name: str, column: Column, index: int, depths: Array, kept: list[int]
    ) -> Reading | None:
        si, low, _ = CURVES[name]
        cells = [self.table.rows[row][index] for row in kept]
        held = [not missing_in(cell, self.null, self.decimal) for cell in cells]
        rising = np.argsort(depths, kind="stable")
        rows = [int(i) for i in rising if held[i] and depths[i] >= 0.0]
        lines = tuple(self.table.lines[kept[i]] for i in rows)
        above = int(np.sum(depths < 0.0))
        missing = len(cells) - len(rows) - sum(1 for i in rising if held[i] and depths[i] < 0.0)
        base = (name, si, self.table.file, column.column)
        if not rows:
            self._fault(f"column '{shown(column.column)}'", "no value", f"values of {name}")
            return None
        if si == "text":
            words = tuple(cells[i] for i in rows)
            self._judge_words(name, column, words, lines)
            nothing = np.zeros(len(rows))
            return Reading(*base, "", depths[rows], nothing, words, lines, 0, above)
        unit = self._unit(name, column, index, si)
        if unit is None:
            return None
        zero, one = to_si(0.0, unit, si), to_si(1.0, unit, si)
        values = np.full(len(rows), np.nan)
        for place, i in enumerate(rows):
            value = number(cells[i], self.decimal)
            if value is None:
                self._row_fault(kept[i], index, f"'{shown(cells[i])}'", f"a number in {unit}")
            else:
                values[place] = zero + (one - zero) * value
        self._judge_sign(name, column, values, depths[rows], lines, low)
        declared = written_unit(self.table.columns[index].unit, si) or ""
        return Reading(*base, unit, depths[rows], values, (), lines, missing, above, declared)

    def _judge_words(
        self, name: str, column: Column, words: tuple[str, ...], lines: tuple[int, ...]
    ) -> None:
        """Refuse what the earth table would not take."""
        allowed = _WORDS.get(name)
        for word, line in zip(words, lines, strict=True):
            where = f"line {line}, column '{shown(column.column)}'"
            if allowed is not None and word not in allowed:
                listed = [one for one in allowed if one]
                self._fault(where, f"'{shown(word)}'", " or ".join(listed), nearest(word, listed))
            elif len(word) > _LONGEST_WORD:
                self._fault(where, f"'{shown(word)}'", f"at most {_LONGEST_WORD} characters")

    def _judge_sign(
        self,
        name: str,
        column: Column,
        values: Array,
        depths: Array,
        lines: tuple[int, ...],
        low: float,
    ) -> None:
        """Nothing here can be zero or less but what may be nothing at all."""
        bad = np.flatnonzero((values <= 0.0) if low > 0.0 else (values < 0.0))
        for place in bad[:_MOST_TOLD]:
            at = show(float(depths[place]), "m", significant=7)
            more = f" ({len(bad)} such rows)" if len(bad) > 1 else ""
            found = f"{show(float(values[place]), CURVES[name][0])} at {at} below the sea bed"
            wanted = f"{name} above zero" if low > 0.0 else f"{name} of zero or more"
            where = f"line {lines[place]}, column '{shown(column.column)}'"
            fix = "If it stands for a missing value, write null: beside the file."
            self._fault(where, found + more, wanted, fix)


def written_unit(written: str, si: str) -> str | None:
    """Return a file's unit as the gate reads it; None if it is not understood or fits not."""
    if not written:
        return "-" if si == "-" else None
    upper = written.upper()
    tried = [written, _MORE_UNITS.get(upper, ""), *LOG_UNITS.get(upper, ())]
    for unit in filter(None, tried):
        try:
            to_si(0.0, unit, si)
        except InputErrors:
            continue
        return unit
    return None
