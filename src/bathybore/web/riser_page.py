"""The riser in the sea for the page: the same shape as station keeping."""

from __future__ import annotations

from typing import Literal

from bathybore.base.units import UnitSystem
from bathybore.drawings.riser import in_words
from bathybore.model.hole import Hole
from bathybore.usecases.riser_told import RiserPart
from bathybore.web.ledger_page import ledger_rows
from bathybore.web.placing_page import PlacingTable
from bathybore.web.station_page import StationAnswer
from bathybore.web.string_page import Told

RiserPartName = Literal["shape", "modes", "waves", "vibration", "hang-off", "open-water"]
_NO_RISER = (
    "The hole is drilled without a riser, or preventer, tensioners or mud are not described: "
    "look at the pipe in open water."
)
_NO_PIPE = "No pipe hangs in open water."


def riser_answer(
    hole: Hole, part: RiserPartName, one: RiserPart | None, revision: int, units: UnitSystem
) -> StationAnswer:
    """Return a part, texts in ``units``."""
    if one is None:
        missing = _NO_PIPE if part == "open-water" else _NO_RISER
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
