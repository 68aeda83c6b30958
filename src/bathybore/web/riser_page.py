"""The riser in the sea for the page: the same shape as station keeping."""

from __future__ import annotations

from typing import Literal

from bathybore.base.units import UnitSystem
from bathybore.drawings.riser import in_words
from bathybore.model.hole import Hole
from bathybore.usecases.riser_told import RiserPart
from bathybore.web.topic_page import TopicAnswer, no_topic, topic_answer

RiserPartName = Literal["shape", "modes", "waves", "vibration", "hang-off", "open-water"]
_NO_RISER = (
    "The hole is drilled without a riser, or preventer, tensioners or mud are not described: "
    "look at the pipe in open water."
)
_NO_PIPE = "No pipe hangs in open water."


def riser_answer(
    hole: Hole, part: RiserPartName, one: RiserPart | None, revision: int, units: UnitSystem
) -> TopicAnswer:
    """Return a part, texts in ``units``."""
    if one is None:
        return no_topic(_NO_PIPE if part == "open-water" else _NO_RISER, revision)
    return topic_answer(hole, one.topic(units), in_words(one, units), revision, units)
