"""What an edit touches, so that two people's edits are merged or refused and never lost.

A place is a path from the file down: ``('hole.yaml', 'plan', 'sections', '[2]', 'casing')``, or
``('earth.csv', '12', 'pore_pressure')``. Two edits clash when one place holds the other. Adding
to a list or taking from it moves the items behind: its place is the whole list. A row put into a
table or taken out has the whole table for its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from bathybore.model.editing import Edit
from bathybore.model.hole_files import HOLE_FILE
from bathybore.storage.records import Place

# a name may be written .mud-2 or [mud-2]; one with a dot in it falls apart alike in both
_BETWEEN: Final = re.compile(r"[.\[\]]+")
_ITEM: Final = re.compile(r"\[\d+\]$")


def place_of(edit: Edit) -> Place:
    """Return what an edit changes."""
    if edit.op in ("table", "insert-row", "remove-row"):
        return (edit.file,)
    if edit.op == "cell":
        return (edit.file, str(edit.row), edit.column)
    moves_items = edit.op in ("insert", "remove") and _ITEM.search(edit.key)
    key = _ITEM.sub("", edit.key) if moves_items else edit.key
    return (edit.file or HOLE_FILE, *filter(None, _BETWEEN.split(key)))


def told(edit: Edit) -> str:
    """Return the place of an edit as its author knows it."""
    if edit.op in ("table", "insert-row", "remove-row"):
        return edit.file
    if edit.op == "cell":
        return f"{edit.file}, row {edit.row}, {edit.column}"
    return edit.key if edit.file in ("", HOLE_FILE) else f"{edit.file}, {edit.key}"


def clash(one: Place, other: Place) -> bool:
    """Return whether one place holds the other, or they are the same."""
    shorter = min(len(one), len(other))
    return one[:shorter] == other[:shorter]


def clashing(edits: Iterable[Edit], theirs: Iterable[Place]) -> tuple[str, ...]:
    """Return which of the edits touch what others changed, each once."""
    places = tuple(theirs)
    found = (told(e) for e in edits if any(clash(place_of(e), place) for place in places))
    return tuple(dict.fromkeys(found))
