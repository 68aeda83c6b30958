"""A record by its id, wherever it was judged: in the walk, or in a choice made beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bathybore.checks.record import CheckRecord
from bathybore.usecases.explaining import find
from bathybore.usecases.steel_choice import STEEL, steel_choices
from bathybore.usecases.string_reach import REACH, string_reach

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk


def record_of(walk: Walk, check_id: str) -> CheckRecord:
    """Return the record with an id.

    Raises
    ------
    InputErrors
        Nothing was judged under that id; the nearest ids are told.
    """
    if check_id.startswith(STEEL):
        return find([one for choice in steel_choices(walk) for one in choice.records], check_id)
    if check_id.startswith(f"{REACH}/"):
        return find(list(string_reach(walk).records), check_id)
    return find(walk.records, check_id)
