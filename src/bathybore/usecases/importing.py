"""Bringing in a table from elsewhere: what is in it, what it may be, what has to be decided.

Nothing is taken in silently. A unit that the gate does not know must be chosen; where depths
are counted from must be chosen, always; that they are true vertical must be confirmed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from bathybore.base.errors import InputErrors
from bathybore.base.units import to_si
from bathybore.model.outside_files import read_outside
from bathybore.model.outside_tables import OutsideColumn, OutsideTable
from bathybore.model.outside_text import LOG_UNITS, number
from bathybore.usecases.table_texts import KNOWN_COLUMNS, UNITS, TableColumn, column_of

TRUE_VERTICAL: Final = (
    "Depths are taken as true vertical. Measured depths of a hole that is not vertical have to be "
    "converted before."
)
CHOOSE_DATUM: Final = (
    "Choose what the depths are counted from: the drill floor of the rig that measured (and its "
    "height above mean sea level), the sea level, or the sea bed."
)
_FIRST_ROWS: Final = 8
_BLANKS: Final = frozenset({"", "nan", "na", "n/a", "#n/a", "null", "-", "–"})
# numbers that log and sea files commonly write for 'no value'
_USUAL_NULLS: Final = (-999.25, -999.0, -9999.0, -9999.25, -99999.0, 1e20, 9.96921e36)

# what columns are often called, letters only
_ALIASES: Final[dict[str, tuple[str, ...]]] = {
    "depth_below_sea_bed": ("depth", "dept", "tvd", "tvdss", "tvdml", "tvdbml", "mbsf", "z"),
    "depth_below_sea_level": ("depth", "dept", "tvd", "tvdss", "mbsl", "z"),
    "lithology": ("lith", "litho", "rock", "rocktype"),
    "pore_pressure": ("pp", "pore", "porepress", "pprs", "formationpressure"),
    "fracture_pressure": ("fp", "frac", "fracpressure", "fracture", "pfrac"),
    "collapse_pressure": ("cp", "collapse", "pcollapse"),
    "temperature": ("temp", "t", "ctemp", "dtmp", "watertemperature", "seawatertemperature"),
    "undrained_shear_strength": ("su", "cu", "shearstrength"),
    "submerged_unit_weight": ("unitweight", "buoyantunitweight"),
    "rate_of_penetration": ("rop",),
    "formation_fluid": ("fluid",),
    "hazard": ("hazards",),
    "practical_salinity": ("psal", "sal", "salinity", "s"),
    "current_speed": ("current", "speed", "curr", "cspd", "hcsp"),
}
# letters of a depth column's name -> what it suggests; said, never assumed
_HINTS: Final = {
    "tvdss": "below sea level",
    "mbsl": "below sea level",
    "tvdml": "below the sea bed",
    "tvdbml": "below the sea bed",
    "mbsf": "below the sea bed",
    "md": "measured along the hole",
    "dept": "measured along the hole, below the drill floor",
}


@dataclass(frozen=True)
class Guess:
    """What a column may be; the unit is empty when it has to be chosen."""

    target: str
    unit: str


@dataclass(frozen=True)
class ColumnFound:
    """One column of the file.

    Attributes
    ----------
    values, missing : how many rows have a value, and how many have none
    least, greatest : of its numbers, as texts; empty if it holds words
    guesses : what it may be in each of our tables; no entry where nothing fits
    """

    index: int
    name: str
    unit: str
    note: str
    is_word: bool
    values: int
    missing: int
    least: str
    greatest: str
    guesses: dict[str, Guess]


@dataclass(frozen=True)
class Target:
    """A column of ours to map to, and the units it may be given in."""

    column: TableColumn
    units: tuple[str, ...]


@dataclass(frozen=True)
class ImportPreview:
    """What a file holds and what has to be decided before it is taken in.

    Attributes
    ----------
    decimal : '.' or ','; empty when it has to be chosen
    null : what stands for a missing value; empty for nothing but blanks
    notes : what was found and taken for granted in reading
    questions : what must be decided
    targets : columns of the earth table and of the sea table
    """

    file: str
    kind: str
    sheets: tuple[str, ...]
    sheet: str
    decimal: str
    null: str
    columns: tuple[ColumnFound, ...]
    rows: int
    first_rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    questions: tuple[str, ...]
    targets: dict[str, tuple[Target, ...]]


@dataclass(frozen=True)
class ColumnChoice:
    """Column ``index`` of the file goes into column ``target``; its numbers are in ``unit``."""

    index: int
    target: str
    unit: str = ""


@dataclass(frozen=True)
class Mapping:
    """What the user decided.

    Attributes
    ----------
    table : which of our tables the rows go into
    datum : what the file's depths are counted from
    drill_floor_height : above mean sea level, with unit, of the rig whose drill floor is meant
    true_vertical : confirmed by the user
    decimal, null : instead of what was found; ``null`` None leaves it as found
    outside : whether rows of ours above and below the file's depths are kept
    """

    table: Literal["earth", "sea"]
    columns: tuple[ColumnChoice, ...]
    datum: str = ""
    drill_floor_height: str = ""
    true_vertical: bool = False
    sheet: str = ""
    decimal: str = ""
    null: str | None = None
    outside: Literal["keep", "drop"] = "keep"


def preview(file: str, data: bytes, sheet: str = "") -> ImportPreview:
    """Return what a file holds, what its columns may be, and what has to be decided.

    Raises
    ------
    InputErrors
        The file cannot be read as a table.
    """
    table = read_outside(file, data, sheet)
    null = null_of(table, None)
    columns = _columns(table, null)
    notes = list(table.notes)
    if null and not table.null:
        notes.append(f"{null} stands in the rows, as files often write a missing value.")
    return ImportPreview(
        file=table.file,
        kind=table.kind,
        sheets=table.sheets,
        sheet=table.sheet,
        decimal=table.decimal,
        null=null,
        columns=columns,
        rows=len(table.rows),
        first_rows=table.rows[:_FIRST_ROWS],
        notes=(*notes, *_hints(columns)),
        questions=_questions(table, columns),
        targets={which: _targets(which) for which in KNOWN_COLUMNS},
    )


def _targets(which: str) -> tuple[Target, ...]:
    columns = (column_of(name, which) for name in KNOWN_COLUMNS[which])
    return tuple(Target(column, UNITS.get(column.si, ())) for column in columns)


def missing_in(cell: str, null: str, decimal: str) -> bool:
    """Return whether a cell holds no value."""
    if cell.strip().lower() in _BLANKS or cell == null:
        return True
    nothing = number(null, ".")
    return nothing is not None and number(cell, decimal) == nothing


def null_of(table: OutsideTable, chosen: str | None) -> str:
    """Return what stands for a missing value: as chosen, as declared, or as it seems."""
    return (table.null or _usual_null(table)) if chosen is None else chosen.strip()


def _usual_null(table: OutsideTable) -> str:
    """Return a number that stands for nothing in many files, if it stands in this one."""
    for row in table.rows:
        for cell in row:
            if "99" not in cell and "e" not in cell.lower():
                continue
            value = number(cell, table.decimal or ".")
            if value is not None and value in _USUAL_NULLS:
                return f"{value:g}" if abs(value) > 1e6 else repr(value).removesuffix(".0")
    return ""


def _columns(table: OutsideTable, null: str) -> tuple[ColumnFound, ...]:
    decimal = table.decimal or "."
    taken: dict[str, set[str]] = {which: set() for which in KNOWN_COLUMNS}
    found = []
    for index, column in enumerate(table.columns):
        cells = [row[index] for row in table.rows]
        given = [cell for cell in cells if not missing_in(cell, null, decimal)]
        numbers = [v for cell in given if (v := number(cell, decimal)) is not None]
        is_word = len(numbers) < 0.5 * len(given)
        guesses = {}
        for which in KNOWN_COLUMNS:
            guess = _guess(column, which, is_word, taken[which])
            if guess is not None:
                guesses[which] = guess
                taken[which].add(guess.target)
        found.append(
            ColumnFound(
                index=index,
                name=column.name,
                unit=column.unit,
                note=column.note,
                is_word=is_word,
                values=len(given),
                missing=len(cells) - len(given),
                least="" if is_word or not numbers else f"{min(numbers):.6g}",
                greatest="" if is_word or not numbers else f"{max(numbers):.6g}",
                guesses=guesses,
            )
        )
    return tuple(found)


def _letters(text: str) -> str:
    return re.sub(r"[^a-z]", "", text.lower())


def _guess(column: OutsideColumn, which: str, is_word: bool, taken: set[str]) -> Guess | None:
    """Return what a column may be by its name, else by its description; each target once."""
    name, note = _letters(column.name), _letters(column.note)
    free = [t for t in KNOWN_COLUMNS[which] if t not in taken]
    fitting = [t for t in free if (KNOWN_COLUMNS[which][t][0] == "text") == is_word]
    for target in fitting:
        if name == _letters(target) or name in _ALIASES[target]:
            return Guess(target, _unit_guess(column.unit, KNOWN_COLUMNS[which][target][0]))
    for target in fitting:
        words = _letters(target)
        if len(words) > 5 and (words in name or words in note):
            return Guess(target, _unit_guess(column.unit, KNOWN_COLUMNS[which][target][0]))
    return None


def _unit_guess(written: str, si: str) -> str:
    """Return the gate's spelling of a unit that fits the target; empty if there is none."""
    if si == "text":
        return ""
    if not written and si == "-":
        return "-"
    for spelling in (written, *LOG_UNITS.get(" ".join(written.upper().split()), ())):
        try:
            to_si(0.0, spelling, si)
        except InputErrors:
            continue
        if spelling:
            return spelling
    return ""


def _hints(columns: tuple[ColumnFound, ...]) -> tuple[str, ...]:
    """Return what a depth column's name suggests; that is no answer."""
    said = []
    for column in columns:
        suggests = _HINTS.get(_letters(column.name))
        if suggests:
            said.append(
                f"'{column.name}' often means {suggests}; nothing is taken for granted from a name."
            )
    return tuple(said)


def _questions(table: OutsideTable, columns: tuple[ColumnFound, ...]) -> tuple[str, ...]:
    asked = [CHOOSE_DATUM, TRUE_VERTICAL]
    if not table.decimal:
        asked.append("Choose whether a point or a comma begins the decimals.")
    for column in columns:
        unsure = [g for g in column.guesses.values() if not g.unit and not column.is_word]
        if unsure:
            written = f"'{column.unit}'" if column.unit else "none"
            asked.append(f"Choose the unit of '{column.name}': the file gives {written}.")
    if len(table.sheets) > 1:
        asked.append(f"Choose the sheet: '{table.sheet}' is shown.")
    return tuple(asked)
