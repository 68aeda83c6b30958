"""The chapters on station keeping."""

from __future__ import annotations

from bathybore.drawings.station import part_picture
from bathybore.reports.blocks import Chapter
from bathybore.reports.chapters import Writer
from bathybore.reports.placing_chapter import topics_chapter
from bathybore.usecases.station_keeping import Kept, parts_of

_OPENINGS = {
    "capability": "What the vessel holds of the planned weather from every direction, intact and "
    "after every single failure, beside the table of environments by Beaufort number.",
    "footprint": "Where the vessel is while it is held in the planned weather: gusts, the run of "
    "the waves, control, wave filter and the limits of the thrusters followed in time.",
    "motions": "How the vessel answers regular waves at the planned heading, by her table or as a "
    "box, and how much she heaves, pitches and rolls in the planned sea.",
    "weather": "How much of the time the weather of the place lets the operation go on, how long "
    "the steps that are done at one go wait, and when the crew must begin to pull the riser.",
    "circles": "Where disconnection must begin, worked backwards from what the riser bears, after "
    "a blackout and after thrusters are stuck, beside the rules of thumb.",
}


def station(writer: Writer) -> tuple[Chapter, ...]:
    """Return a chapter for each part that the hole has."""
    return tuple(_chapter(one, writer) for one in parts_of(writer.walk))


def _chapter(one: Kept, writer: Writer) -> Chapter:
    topic = one.topic(writer.units)
    part = (topic, lambda: part_picture(one, writer.units))
    return topics_chapter(topic.title, _OPENINGS[one.name], [part])
