"""Station keeping for the page."""

from __future__ import annotations

from typing import Literal

from bathybore.base.units import UnitSystem
from bathybore.drawings.station import in_words
from bathybore.model.hole import Hole
from bathybore.usecases.station_keeping import Kept
from bathybore.web.topic_page import TopicAnswer, no_topic, topic_answer

StationPart = Literal["capability", "footprint", "motions", "circles", "weather"]
_NO_RISER = "The hole has no riser with preventer and tensioners: there is nothing to let go."


def station_answer(hole: Hole, one: Kept | None, revision: int, units: UnitSystem) -> TopicAnswer:
    """Return a part, texts in ``units``."""
    if one is None:
        return no_topic(_NO_RISER, revision)
    return topic_answer(hole, one.topic(units), in_words(one, units), revision, units)
