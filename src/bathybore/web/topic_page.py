"""What is told of one topic, in one shape for every page: facts, tables, questions, a picture."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from bathybore.base.units import UnitSystem
from bathybore.model.hole import Hole
from bathybore.usecases.placing_told import Topic
from bathybore.web.ledger_page import ledger_rows
from bathybore.web.shapes import LedgerRow


@dataclass(frozen=True)
class Told:
    """A label and what is said beside it."""

    label: str
    text: str


@dataclass(frozen=True)
class TopicTable:
    """A table of texts; the first column names the row."""

    title: str
    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, kw_only=True)
class TopicBody:
    """What every topic tells.

    Attributes
    ----------
    picture : what the picture shows, in words; empty where there is none
    """

    revision: int
    passes: bool
    facts: tuple[Told, ...]
    tables: tuple[TopicTable, ...]
    rows: tuple[LedgerRow, ...]
    picture: str
    caution: str


@dataclass(frozen=True, kw_only=True)
class TopicAnswer(TopicBody):
    """One topic.

    Attributes
    ----------
    missing : why nothing is told; empty where it is
    """

    title: str
    missing: str


# the fields of a body that has nothing to tell
EMPTY: Final[dict[str, Any]] = {
    "passes": True,
    "facts": (),
    "tables": (),
    "rows": (),
    "picture": "",
    "caution": "",
}


def body(hole: Hole, topic: Topic, picture: str, units: UnitSystem) -> dict[str, Any]:
    """Return the fields of a body, but for the revision; texts in ``units``."""
    return {
        "passes": topic.passes,
        "facts": tuple(Told(*fact) for fact in topic.facts),
        "tables": tuple(TopicTable(one.title, one.columns, one.rows) for one in topic.tables),
        "rows": ledger_rows(topic.records, hole.frame, units),
        "picture": picture,
        "caution": topic.caution,
    }


def topic_answer(
    hole: Hole, topic: Topic, picture: str, revision: int, units: UnitSystem
) -> TopicAnswer:
    """Return what is told of a topic, with what its picture shows in words."""
    told = body(hole, topic, picture, units)
    return TopicAnswer(revision=revision, title=topic.title, missing="", **told)


def no_topic(why: str, revision: int) -> TopicAnswer:
    """Return the answer where there is nothing to tell, and why."""
    return TopicAnswer(revision=revision, title="", missing=why, **EMPTY)
