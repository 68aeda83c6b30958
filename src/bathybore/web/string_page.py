"""The reach of a string from the stock for the page."""

from __future__ import annotations

from dataclasses import dataclass

from bathybore.base.units import UnitSystem
from bathybore.drawings.string_loads import in_words
from bathybore.model.hole import Hole
from bathybore.usecases.string_reach import CAUTION, StringReach
from bathybore.usecases.string_told import alone, down_the_string, facts
from bathybore.web.ledger_page import ledger_rows
from bathybore.web.shapes import LedgerRow
from bathybore.web.topic_page import Told


@dataclass(frozen=True)
class ReachAnswer:
    """How deep a string from the stock reaches.

    Attributes
    ----------
    parts : from the drill floor down
    alone : depth that each limit alone would allow, the first to bite first
    picture : what the picture shows, in words
    """

    revision: int
    passes: bool
    facts: tuple[Told, ...]
    parts: tuple[str, ...]
    alone: tuple[Told, ...]
    rows: tuple[LedgerRow, ...]
    picture: str
    caution: str


def reach_answer(hole: Hole, reach: StringReach, revision: int, units: UnitSystem) -> ReachAnswer:
    """Return a string's reach, texts in ``units``."""
    return ReachAnswer(
        revision=revision,
        passes=reach.passes,
        facts=tuple(Told(*one) for one in facts(reach, units)),
        parts=down_the_string(reach, units),
        alone=tuple(Told(*one) for one in alone(reach, units)),
        rows=ledger_rows(reach.records, hole.frame, units),
        picture=in_words(reach, units),
        caution=CAUTION,
    )
