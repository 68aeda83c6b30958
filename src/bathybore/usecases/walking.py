"""Walk a hole and judge every step: the one thing every face asks for first."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from bathybore.checks.ledger import records_of
from bathybore.checks.record import CheckRecord
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.state import HoleState
from bathybore.operations.walk import walk_hole


@dataclass(frozen=True)
class Walk:
    """A hole walked to the end: the state after every step, and every verdict in order."""

    hole: Hole
    states: tuple[HoleState, ...]
    records: tuple[CheckRecord, ...]

    def records_at(self, step: str) -> tuple[CheckRecord, ...]:
        return tuple(record for record in self.records if record.step == step)


def walk(path: Path) -> Walk:
    """Load, walk and judge the hole in a folder or file.

    Raises
    ------
    InputErrors
        The document or its tables cannot be used.
    OrderError
        The steps cannot follow one another.
    """
    return walk_loaded(load_hole(path))


def walk_loaded(hole: Hole) -> Walk:
    """Walk and judge a hole that is loaded already."""
    states = walk_hole(hole)
    records = tuple(record for state in states for record in records_of(state))
    return Walk(hole, states, records)
