"""A member as a hole of its own: in memory, or as the files of a folder, to be walked in full.

The earth table gets the drawn curves at the frame's nodes, the document the drawn numbers. Of the
factors those that stand for numbers of the document are worked into them; the others, the trouble
and the day of arrival have no number there, and are said in the note.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain
from typing import Any, Final

import numpy as np
from pydantic import ValidationError

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.base.nomenclature import nomenclature
from bathybore.base.units import TEMPERATURE_DIFFERENCE, from_si, pretty_number
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.model.building import Built, build
from bathybore.model.crosschecks import document_faults, table_faults
from bathybore.model.designations import designation_faults, fit_faults
from bathybore.model.editing import Draft, Edit, HoleFiles
from bathybore.model.fields import Node
from bathybore.model.files import printable
from bathybore.model.hole import Hole, HoleDocument
from bathybore.model.hole_files import UNCERTAINTY_FILE
from bathybore.model.hole_numbers import number_at
from bathybore.model.keys import holds_text, path_of
from bathybore.model.known_uncertain import known_factors
from bathybore.model.schema_faults import schema_faults
from bathybore.model.tables import EARTH_COLUMNS, ProfileTable
from bathybore.model.yaml_tree import Path, Tree
from bathybore.operations.weather_series import DAY, YEAR

_HANDLED: Final = (
    "time_per_stand",
    "time_in_slips",
    "time_per_stand_open_water",
    "connection_time",
    "bottom_assembly_time",
    "rig_up_casing_time",
    "preventer_test_time",
    "surveying_time",
    "leak_off_time",
    "riser_test_and_landing_time",
)
# numbers of the document that a factor multiplies (1) or divides (-1); [] stands for every item
_STANDS_FOR: Final[dict[str, tuple[tuple[str, int], ...]]] = {
    "handling_time": (
        *((f"vessel.handling.{name}", 1) for name in _HANDLED),
        ("vessel.handling.casing_joints_per_hour", -1),
        ("vessel.handling.riser_joints_per_hour", -1),
        ("inventory.wellhead.running_tool_time", 1),
        ("inventory.core_barrel.handling_time", 1),
        ("inventory.core_barrel.wireline_speed", -1),
    ),
    "bit_life": (("inventory.bits[].life", 1), ("inventory.core_barrel.bit_life", 1)),
    "cement_excess_used": (("plan.sections[].casing.cement.excess", 1),),
    "core_recovery": (("plan.coring.expected_recovery", 1),),
    "mud_loss": (("design_basis.mud_on_cuttings_ratio", 1),),
}
_DRAWN: Final = "one hole of many as it may turn out, drawn by chance, measured by nobody"
_COMMENTS: Final = 2  # lines above the header of a member's table
_DIGITS: Final = 12  # of the numbers in a member's table: no walk can tell them from more


def in_document(factor: str) -> bool:
    """Return whether a factor stands for numbers of the hole document."""
    return factor in _STANDS_FOR


def member_hole(frame: Frame, drawn: Drawn, index: int) -> Hole:
    """Return the hole that a member is.

    Parameters
    ----------
    index : of the member among those drawn

    Raises
    ------
    InputErrors
        The drawn numbers do not fit together as a hole.
    """
    hole = frame.hole
    tree = with_values(hole.tree, _changes(frame, drawn, index))
    document = _built(tree, hole)
    earth = _earth(frame, drawn, index)
    faults = chain(
        document_faults(document),
        designation_faults(document),
        fit_faults(document),
        table_faults(document, earth, hole.sea),
    )
    told = list(faults)
    if told:
        raise InputErrors(told)
    return replace(hole, document=document, earth=earth, tree=tree)


def _built(tree: Tree, hole: Hole) -> HoleDocument:
    try:
        return build(tree, Built(hole.tree, hole.document)).document
    except ValidationError as error:
        raise InputErrors(schema_faults(error, tree)) from error


def member_files(
    draft: Draft,
    frame: Frame,
    drawn: Drawn,
    index: int,
    more: tuple[Edit, ...] = (),
    words: str = "",
) -> HoleFiles:
    """Return the files of a folder that holds a member.

    Parameters
    ----------
    draft : of the very files that the frame's hole was read from
    more : edits of what its crew made of the plan, which count over what was drawn
    words : for the note, about these

    Raises
    ------
    InputErrors
        The drawn numbers do not fit together as a hole.
    """
    changes = _changes(frame, drawn, index)
    if words:
        changes["note"] += f" {words}"
    edits = [Edit("set", key=key, text=text) for key, text in changes.items()]
    edits += more
    earth = _earth(frame, drawn, index)
    if earth is not frame.hole.earth:
        text = _table_text(earth, _title(frame, drawn, index))
        edits.append(Edit("table", file=earth.file, text=text))
    after = draft.edited(edits)
    if after.hole is None:
        raise InputErrors(after.faults)
    # its numbers are drawn already: what was uncertain of it is so no more
    return HoleFiles(
        {name: text for name, text in after.files.texts.items() if name != UNCERTAINTY_FILE}
    )


def _title(frame: Frame, drawn: Drawn, index: int) -> str:
    return f"{frame.hole.name}, member {drawn.first + index}"


def _changes(frame: Frame, drawn: Drawn, index: int) -> dict[str, str]:
    """Return the new values of the document by key, as a user would write them."""
    document = frame.hole.document
    numbers = {key: float(values[index]) for key, values in drawn.numbers.items()}
    factors = {key: numbers.pop(key) for key in known_factors() if key in numbers}
    planned = {key: number_at(document, key, key).planned for key in numbers}
    values = {key: number for key, number in numbers.items() if number != planned[key]}
    for factor, places in _STANDS_FOR.items():
        if factors.get(factor, 1.0) != 1.0:
            for pattern, power in places:
                for key in _keys(document, pattern):
                    number = number_at(document, key, key)
                    value = values.get(key, number.planned) * factors[factor] ** power
                    values[key] = min(value, number.bounds.greatest)  # no more core than was cut
    changes = {key: written(document, key, value) for key, value in values.items()}
    changes["name"] = _title(frame, drawn, index)
    changes["note"] = _note(drawn, index, factors)
    return changes


def _note(drawn: Drawn, index: int, factors: dict[str, float]) -> str:
    """Say what the member is, and what of it stands in no number of the document."""
    unsaid = [
        f"{key} {pretty_number(value)}"
        for key, value in factors.items()
        if not in_document(key) and value != 1.0
    ]
    told = f"Member {drawn.first + index}: {_DRAWN}."
    if unsaid:
        told += f" Factors that no number of this document holds: {', '.join(unsaid)}."
    year, time = divmod(float(drawn.start[index]), YEAR)
    when = f"day {int(time // DAY) + 1} of the year"
    if year > 0.0:
        when += f" {int(year) + 1} of the weather"
    return f"{told} Arrival on {when}; trouble as the plan's factor has it."


def written(document: HoleDocument, key: str, value: float) -> str:
    """Return a number of a document as a user would write it."""
    number = number_at(document, key, key)
    if number.whole:
        return str(round(value))
    unit = "K" if number.unit == TEMPERATURE_DIFFERENCE else number.unit
    return f"{value!r} {unit}" if unit != "-" else repr(value)


def _keys(document: HoleDocument, pattern: str) -> Iterator[str]:
    """Yield the keys that a pattern stands for, of what the document has."""
    yield from _below(document, pattern.split("."), "")


def _below(owner: Any, parts: list[str], key: str) -> Iterator[str]:
    if not parts:
        yield key
        return
    name, more = parts[0].removesuffix("[]"), parts[1:]
    child = getattr(owner, name) if isinstance(owner, Node) else None
    key = f"{key}.{name}" if key else name
    if child is None:
        return
    if parts[0].endswith("[]"):
        for place, item in enumerate(child):
            yield from _below(item, more, f"{key}[{place}]")
    else:
        yield from _below(child, more, key)


def with_values(tree: Tree, changes: dict[str, str]) -> Tree:
    """Return a document's tree with other values, new keys on the line of what they stand in."""
    content, lines, written = tree.content, dict(tree.lines), dict(tree.written)
    for key, text in changes.items():
        path = path_of(key, tree)
        content = _set(content, path, text if holds_text(path) else _as_read(text))
        written[path] = text
        for end in range(1, len(path) + 1):
            lines.setdefault(path[:end], tree.line(path[:end]))
    return Tree(tree.file, content, lines, written, tree.spans)


def _as_read(text: str) -> Any:
    """Return a value as reading the document would give it: a pure number as a number."""
    try:
        return int(text) if text.lstrip("-").isdigit() else float(text)
    except ValueError:
        return text


def _set(content: Any, path: Path, value: Any) -> Any:
    if not path:
        return value
    first, rest = path[0], path[1:]
    if isinstance(content, tuple):
        return tuple(_set(one, rest, value) if n == first else one for n, one in enumerate(content))
    content = content or {}
    return {**content, str(first): _set(content.get(str(first)), rest, value)}


def _earth(frame: Frame, drawn: Drawn, index: int) -> ProfileTable:
    """Return the earth table of a member, a row at every node; the plan's own if nothing moved."""
    earth, depth = frame.hole.earth, frame.depth
    curves = {key: one[index if len(one) > 1 else 0] for key, one in drawn.curves.items()}
    planned = {key: earth.at(key, depth) for key in curves}
    if all(np.array_equal(curves[key], planned[key], equal_nan=True) for key in curves):
        return earth
    numbers: dict[str, Array] = {earth.depth_name: depth}
    for key in earth.numbers:
        if key in curves:
            numbers[key] = np.array(curves[key])
        elif key != earth.depth_name:
            numbers[key] = np.full(depth.size, np.nan)
    words = {key: tuple(earth.word_at(key, float(d)) for d in depth) for key in earth.words}
    lines = tuple(range(_COMMENTS + 2, _COMMENTS + 2 + depth.size))
    return ProfileTable(earth.file, earth.depth_name, numbers, words, dict(earth.units), lines)


def _table_text(earth: ProfileTable, title: str) -> str:
    """Return a table as CSV, in the units that people use."""
    columns = [name for name in EARTH_COLUMNS if name in earth.numbers or name in earth.words]
    rows = [
        f"# {printable(title)}: {_DRAWN}.",
        "# A row at every node of the ensemble; pressures are gauge.",
        ",".join(_heading(earth, name) for name in columns),
    ]
    cells = [_cells(earth, name) for name in columns]
    rows += [",".join(row) for row in zip(*cells, strict=True)]
    return "\n".join(rows) + "\n"


def _unit(earth: ProfileTable, name: str) -> str:
    if name == earth.depth_name:
        return "m"
    return nomenclature()[name].shown_in("metric").replace("**", "")


def _heading(earth: ProfileTable, name: str) -> str:
    return name if name in earth.words else f"{name} [{_unit(earth, name)}]"


def _cells(earth: ProfileTable, name: str) -> list[str]:
    if name in earth.words:
        return [f'"{word}"' if "," in word else word for word in earth.words[name]]
    unit, si = _unit(earth, name), earth.units[name]
    return [
        "" if np.isnan(value) else f"{from_si(float(value), si, unit):.{_DIGITS}g}"
        for value in earth.numbers[name]
    ]
