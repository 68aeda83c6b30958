"""Rows from elsewhere and our own in one table that says what both said."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.base.units import from_si, to_si
from bathybore.usecases.showing import in_words
from bathybore.usecases.table_texts import KNOWN_COLUMNS, TableText, column_of

_SAME: Final = 1e-6  # m; closer depths are one row


@dataclass(frozen=True)
class Columns:
    """Rows from elsewhere in our units, growing in depth.

    Attributes
    ----------
    depths : [m] from our table's datum
    numbers : by our column's name, in our column's unit; NaN where there is none
    words : by our column's name
    texts : of the numbers, as they stood, where nothing was converted; else empty
    units : of the numbers
    """

    depths: Array
    numbers: dict[str, Array]
    words: dict[str, list[str]]
    texts: dict[str, list[str]]
    units: dict[str, str]

    def taken(self, rows: NDArray[np.intp]) -> Columns:
        """Return some of the rows."""
        return Columns(
            self.depths[rows],
            {name: values[rows] for name, values in self.numbers.items()},
            {name: [words[row] for row in rows] for name, words in self.words.items()},
            {name: [texts[row] for row in rows] for name, texts in self.texts.items()},
            self.units,
        )


@dataclass(frozen=True)
class _Own:
    """Our rows as they stand: depth [m] and cells by column."""

    depths: Array
    cells: dict[str, list[str]]

    def number(self, name: str, depth: float) -> str:
        """Return a column between its rows, straight; empty outside them."""
        values = np.array([_float(cell) for cell in self.cells[name]])
        known = np.isfinite(values)
        if not known.any():
            return ""
        at = np.interp(depth, self.depths[known], values[known], left=math.nan, right=math.nan)
        return "" if math.isnan(at) else f"{at:.7g}"

    def word(self, name: str, depth: float) -> str:
        """Return the word of the row at or above a depth."""
        row = int(np.searchsorted(self.depths, depth + _SAME, side="right")) - 1
        return self.cells[name][row] if row >= 0 else ""


def merged(
    ours: TableText, new: Columns, which: str, outside: str
) -> tuple[list[list[str]], list[str]]:
    """Return header and rows of the new table, and what was done.

    Raises
    ------
    InputErrors
        Our table cannot be read, though rows of it are to be kept.
    """
    depth_name = next(iter(KNOWN_COLUMNS[which]))
    own = _own(ours, depth_name)
    brought = {*new.numbers, *new.words}
    names = [c.name for c in ours.columns if c.known and c.name != depth_name]
    names += [name for name in KNOWN_COLUMNS[which] if name in brought and name not in names]
    merge = _Merge(own, new, which, brought)
    depths = merge.depths(outside, [n for n in names if n not in brought])
    rows = [
        [_depth_text(depth, ours, depth_name), *(merge.cell(name, depth) for name in names)]
        for depth in depths
    ]
    header = [_title(ours, which, name) for name in (depth_name, *names)]
    return [header, *rows], merge.said(outside)


def _own(ours: TableText, depth_name: str) -> _Own:
    columns = [column.name for column in ours.columns]
    if not columns:
        return _Own(np.array([]), {})
    if depth_name not in columns:
        raise InputErrors.one(ours.file, f"no column {depth_name}", "the depth column")
    unit = ours.columns[columns.index(depth_name)].unit
    cells = {
        name: [row[n] if n < len(row) else "" for row in ours.rows]
        for n, name in enumerate(columns)
    }
    depths = np.array([to_si(_float(cell), unit, "m") for cell in cells[depth_name]])
    if not np.all(np.isfinite(depths)) or np.any(np.diff(depths) <= 0.0):
        fix = "Mend the table first."
        raise InputErrors.one(ours.file, "depths that do not grow", "growing depths", fix)
    return _Own(depths, cells)


class _Merge:
    def __init__(self, own: _Own, new: Columns, which: str, brought: set[str]) -> None:
        self.own, self.new, self.which, self.brought = own, new, which, brought
        self.row_of = {float(depth): row for row, depth in enumerate(new.depths)}
        self.filled: dict[str, int] = {}
        self.kept_inside = self.kept_outside = 0

    def depths(self, outside: str, not_brought: list[str]) -> list[float]:
        """Return the depths of the new table: all from the file, and ours where they say more."""
        first, last = float(self.new.depths[0]), float(self.new.depths[-1])
        says_more = any(any(self.own.cells.get(name, ())) for name in not_brought)
        kept = []
        for depth in self.own.depths.tolist():
            if np.min(np.abs(self.new.depths - depth)) <= _SAME:
                continue
            if first <= depth <= last:
                if says_more:
                    kept.append(depth)
                    self.kept_inside += 1
            elif outside == "keep":
                kept.append(depth)
                self.kept_outside += 1
        return sorted([*self.new.depths.tolist(), *kept])

    def cell(self, name: str, depth: float) -> str:
        """Return a column's cell at a depth."""
        if name in self.new.words:
            return self._word(name, depth)
        if name in self.new.numbers:
            return self._number(name, depth)
        return self._ours(name, depth)

    def _own_row(self, depth: float) -> int | None:
        rows = np.flatnonzero(np.abs(self.own.depths - depth) <= _SAME)
        return int(rows[0]) if len(rows) else None

    def _ours(self, name: str, depth: float) -> str:
        """Return a column of ours: as written in its row, else what it says in between."""
        if name not in self.own.cells:
            return ""
        row = self._own_row(depth)
        si, required = KNOWN_COLUMNS[self.which][name]
        if row is not None:
            return self.own.cells[name][row]
        if si == "text":
            return self.own.word(name, depth)
        # a blank in an optional column says nothing: the line runs on between its rows
        return self.own.number(name, depth) if required else ""

    def _word(self, name: str, depth: float) -> str:
        first, last = self.new.depths[0], self.new.depths[-1]
        if not first - _SAME <= depth <= last + _SAME:
            return self._ours(name, depth)
        row = int(np.searchsorted(self.new.depths, depth + _SAME, side="right")) - 1
        return self.new.words[name][row]

    def _number(self, name: str, depth: float) -> str:
        values = self.new.numbers[name]
        row = self.row_of.get(depth)
        if row is not None and math.isfinite(values[row]):
            return self.new.texts[name][row] or f"{values[row]:.7g}"
        known = np.isfinite(values)
        given = self.new.depths[known]
        if len(given) and given[0] <= depth <= given[-1]:
            if not KNOWN_COLUMNS[self.which][name][1]:
                return ""
            if row is not None:
                self.filled[name] = self.filled.get(name, 0) + 1
            return f"{np.interp(depth, given, values[known]):.7g}"
        return self._ours(name, depth)

    def said(self, outside: str) -> list[str]:
        said = [
            f"{count:,} missing values of {in_words(name)} lie straight between their neighbours."
            for name, count in self.filled.items()
        ]
        if self.kept_inside:
            said.append(
                f"{self.kept_inside:,} rows of ours between them stay for the columns that the "
                "file does not bring; its own columns run straight there."
            )
        if self.kept_outside:
            said.append(
                f"{self.kept_outside:,} rows of ours above or below the file's depths stay as they "
                "were; look at the seam."
            )
        elif outside == "drop":
            said.append("Rows of ours above and below the file's depths are dropped.")
        return said


def _float(cell: str) -> float:
    try:
        return float(cell)
    except ValueError:
        return math.nan


def _depth_text(depth: float, ours: TableText, name: str) -> str:
    column = next((c for c in ours.columns if c.name == name), None)
    value = from_si(depth, "m", column.unit if column else "m")
    return f"{round(value, 6):.10g}"


def _title(ours: TableText, which: str, name: str) -> str:
    column = next((c for c in ours.columns if c.name == name), None) or column_of(name, which)
    return column.name if column.is_word else f"{column.name} [{column.unit or '-'}]"
