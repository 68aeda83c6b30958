"""Cement jobs, trips and cuttings as a page and as JSON: one shape, one way to set it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

from rich.text import Text

from bathybore.base.units import UnitSystem
from bathybore.cli.page import VERDICT_STYLE, Page, put, verdict_text
from bathybore.cli.tables import put_table
from bathybore.reports.records_json import document, plain
from bathybore.usecases.explaining import explain
from bathybore.usecases.placing_told import Topic
from bathybore.usecases.showing import percent


class Told(Protocol):
    """A job, trip or section that tells itself in the reader's units."""

    def topic(self, units: UnitSystem) -> Topic: ...


def put_topics(schema: str, told: Sequence[Told], in_json: bool, units: UnitSystem) -> None:
    """Write the page of all that is told, or its JSON."""
    topics = [one.topic(units) for one in told]
    put(as_json(schema, topics, units) if in_json else page(topics, units))


def page(topics: Sequence[Topic], units: UnitSystem) -> str:
    """Return the page of all topics, one after the other."""
    sheet = Page()
    if not topics:
        sheet.line("The plan has none that can be worked out.")
    for number, topic in enumerate(topics):
        if number:
            sheet.line()
        verdict = _worst(topic)
        sheet.line(Text(topic.title + "  ", "bold") + verdict_text(verdict))
        sheet.fields(topic.facts, label=20)
        for table in topic.tables:
            sheet.heading(table.title)
            put_table(sheet, table.columns, table.rows)
        if topic.records:
            sheet.heading("Questions")
        for record in topic.records:
            room = f"{percent(record.margin)} left" if record.margin is not None else record.reason
            style = VERDICT_STYLE[str(record.status)]
            where = f" at {record.depth.show(units)}" if record.depth else ""
            sheet.line(f"{record.id}: {room}{where}. {record.note}".strip(), style, indent=2)
    if topics:
        sheet.heading("Cautions")
        sheet.fields([("-", topics[0].caution)], label=1)
    return sheet.text()


def _worst(topic: Topic) -> str:
    order = ("fails", "not judged", "outside validity", "tight")
    found = {str(record.status) for record in topic.records}
    return next((one for one in order if one in found), "holds")


def as_json(schema: str, topics: Sequence[Topic], units: UnitSystem) -> str:
    """Return the same as JSON, numbers in SI."""
    content: dict[str, Any] = {
        "passes": all(topic.passes for topic in topics),
        "topics": [
            {
                "name": topic.name,
                "facts": [{"label": label, "text": text} for label, text in topic.facts],
                "numbers": topic.numbers,
                "records": [plain(explain(record, units)) for record in topic.records],
            }
            for topic in topics
        ],
    }
    return document(schema, content)
