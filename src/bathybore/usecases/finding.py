"""A record by its id, wherever it was judged: in the walk, in a choice beside it, in a search."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from bathybore.base.errors import InputErrors
from bathybore.checks.record import CheckRecord
from bathybore.ensembles.telling import silent
from bathybore.model.editing import read_draft
from bathybore.model.hole_files import HOLE_FILE
from bathybore.model.loading import document_file, load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.usecases.explaining import find
from bathybore.usecases.odds import ODDS, usual_odds
from bathybore.usecases.reach import REACH as OF_REACH
from bathybore.usecases.reach_of import reach_at
from bathybore.usecases.search_records import PROPOSAL, record_in
from bathybore.usecases.searching import SearchOrder, find_architectures
from bathybore.usecases.steel_choice import STEEL, steel_choices
from bathybore.usecases.string_reach import REACH, string_reach

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk


def record_at(hole: Path, check_id: str) -> CheckRecord:
    """Return the record with an id, of the walk of a hole, of a search or of odds as usual.

    Raises
    ------
    InputErrors
        The hole cannot be used, or nothing was judged under that id.
    """
    if check_id.startswith(f"{PROPOSAL}-"):
        return _proposed(hole, check_id)
    if check_id.startswith(f"{OF_REACH}/"):
        return find(list(reach_at(hole, 0, 1, "metric", False, silent).records), check_id)
    if check_id.startswith(f"{ODDS}/"):
        told = load_hole(hole)
        uncertainty = load_uncertainty(document_file(hole).parent, told)
        return find(list(usual_odds(told, uncertainty).records), check_id)
    from bathybore.usecases.walking import walk  # here: a search needs no walk

    return record_of(walk(hole), check_id)


def _proposed(hole: Path, check_id: str) -> CheckRecord:
    """Search as `bathybore search HOLE` does without options, and return a section's record."""
    place = document_file(hole)
    if place.name != HOLE_FILE:
        raise InputErrors.one(str(hole), f"'{place.name}'", f"a folder with {HOLE_FILE}")
    draft = read_draft(place.parent)
    found = find_architectures(draft, SearchOrder(walk=False))
    assert draft.hole is not None  # or the search had refused it
    return record_in(draft.hole, found.proposals, check_id)


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
