"""The chapters on cuttings, trips and cement jobs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from bathybore.base.errors import NotConverged
from bathybore.drawings.cuttings import cuttings_picture
from bathybore.drawings.picture import Picture
from bathybore.drawings.placement import placement_picture
from bathybore.drawings.trip_speed import trip_picture
from bathybore.reports.blocks import Block, Chapter, Column, Drawing, Facts, Table, Text
from bathybore.reports.chapters import Writer
from bathybore.usecases.cementing import cement_jobs
from bathybore.usecases.cleaning import cleanings
from bathybore.usecases.placing_told import ToldTable, Topic
from bathybore.usecases.showing import percent
from bathybore.usecases.tripping import trips

Part = tuple[Topic, Callable[[], Picture] | None]


def placing(writer: Writer) -> tuple[Chapter, ...]:
    """Return the chapters: cuttings and trips section by section, cement casing by casing."""
    walk, units = writer.walk, writer.units

    # cuttings and trips look alike from section to section: the deepest is drawn
    def cleaned() -> list[Part]:
        found = cleanings(walk)
        return [
            (one.topic(units), partial(cuttings_picture, one, units) if one is found[-1] else None)
            for one in found
        ]

    def moved() -> list[Part]:
        found = trips(walk)
        return [
            (one.topic(units), partial(trip_picture, one, units) if one is found[-1] else None)
            for one in found
        ]

    def placed() -> list[Part]:
        return [
            (one.topic(units), partial(placement_picture, one, units)) for one in cement_jobs(walk)
        ]

    return (
        _worked_chapter(
            "Cuttings",
            "How cuttings rise in every annulus by every published law of slip, with sea water at "
            "the same flow beside them, and how long it takes to clean the hole.",
            cleaned,
        ),
        _worked_chapter(
            "Trips",
            "How fast the string may move with its bit at every depth of the open hole, what heave "
            "does while it hangs in slips, and what is filled in while it is pulled.",
            moved,
        ),
        _worked_chapter(
            "Cement jobs",
            "Each job from the first spacer to the landing of the plug, minute by minute.",
            placed,
        ),
    )


def _worked_chapter(title: str, opening: str, worked: Callable[[], list[Part]]) -> Chapter:
    """Return a chapter; a solver that gives up costs its chapter, not the document."""
    try:
        return topics_chapter(title, opening, worked())
    except NotConverged as error:
        told = f"Could not be worked out, a solver did not converge: {error}"
        return Chapter(title, (Text(opening), Text(told, "warning")))


def topics_chapter(title: str, opening: str, parts: Sequence[Part]) -> Chapter:
    """Return a chapter: facts, tables, questions and picture of each part."""
    blocks: list[Block] = [Text(opening)]
    for topic, picture in parts:
        blocks.append(Facts(topic.facts, topic.title))
        blocks += [_table(topic, table) for table in topic.tables]
        if topic.records:
            blocks.append(questions(topic))
        if picture is not None:
            blocks.append(Drawing(picture()))
    if parts:
        blocks.append(Text(parts[0][0].caution, "warning"))
    else:
        blocks.append(Text("The plan has none.", "note"))
    return Chapter(title, tuple(blocks))


def _table(topic: Topic, table: ToldTable) -> Table:
    # as wide as their longest words ask, so that depths with their datum keep to one line
    longest = [max(map(len, (*each, ""))) for each in zip(*table.rows, strict=True)]
    longest = longest or [0] * len(table.columns)
    columns = tuple(
        Column(name, float(min(max(most + 2, 8), 28)), "number" if index else "words")
        for index, (name, most) in enumerate(zip(table.columns, longest, strict=True))
    )
    return Table(f"{topic.name}: {table.title[:1].lower()}{table.title[1:]}", columns, table.rows)


def questions(topic: Topic) -> Table:
    """Return the records of a topic as a table."""
    return Table(
        f"{topic.name}: questions",
        (
            Column("question", 3.0, "check"),
            Column("verdict", 1.0, "verdict"),
            Column("left", 1.0, "number"),
            Column("note", 4.0),
        ),
        tuple(
            (
                one.id,
                str(one.status),
                "not judged" if one.margin is None else percent(one.margin),
                one.note or one.reason,
            )
            for one in topic.records
        ),
    )
