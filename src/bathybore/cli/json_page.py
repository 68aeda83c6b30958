"""The same records as JSON; what every document promises stands in `reports.records_json`."""

from __future__ import annotations

from bathybore.reports.records_json import check, document, plain, steel
from bathybore.usecases.calculating import Calculation, Description, Topic
from bathybore.usecases.explaining import Explanation, WorkingNote

__all__ = ["calculate", "check", "describe", "explain", "steel", "topics"]


def explain(explanation: Explanation) -> str:
    content = plain(explanation)
    for note, shown in zip(explanation.steps, content["steps"], strict=True):
        shown["kind"] = "equation" if isinstance(note, WorkingNote) else "solution"
    return document("bathybore.explain/1", content)


def topics(listed: tuple[Topic, ...]) -> str:
    return document("bathybore.equations/1", {"topics": plain(listed)})


def describe(description: Description) -> str:
    return document("bathybore.equation/1", plain(description))


def calculate(result: Calculation) -> str:
    return document("bathybore.calc/1", plain(result))
