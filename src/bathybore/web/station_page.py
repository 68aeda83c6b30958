"""Station keeping for the page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bathybore.base.units import UnitSystem
from bathybore.drawings.station import in_words
from bathybore.model.hole import Hole
from bathybore.usecases.station_keeping import Kept
from bathybore.web.ledger_page import ledger_rows
from bathybore.web.placing_page import PlacingTable
from bathybore.web.shapes import LedgerRow
from bathybore.web.string_page import Told

StationPart = Literal["capability", "footprint", "circles", "weather"]


@dataclass(frozen=True)
class StationAnswer:
    """One part of station keeping.

    Attributes
    ----------
    missing : why nothing is told; empty where it is
    picture : what the picture shows, in words
    """

    revision: int
    title: str
    missing: str
    passes: bool
    facts: tuple[Told, ...]
    tables: tuple[PlacingTable, ...]
    rows: tuple[LedgerRow, ...]
    picture: str
    caution: str


def station_answer(hole: Hole, one: Kept | None, revision: int, units: UnitSystem) -> StationAnswer:
    """Return a part, texts in ``units``."""
    if one is None:
        missing = "The hole has no riser with preventer and tensioners: there is nothing to let go."
        return StationAnswer(revision, "", missing, True, (), (), (), "", "")
    topic = one.topic(units)
    return StationAnswer(
        revision=revision,
        title=topic.title,
        missing="",
        passes=topic.passes,
        facts=tuple(Told(*fact) for fact in topic.facts),
        tables=tuple(PlacingTable(each.title, each.columns, each.rows) for each in topic.tables),
        rows=ledger_rows(topic.records, hole.frame, units),
        picture=in_words(one, units),
        caution=topic.caution,
    )
