"""The reach of a string from the stock, as a page and as JSON."""

from __future__ import annotations

from math import isfinite
from typing import Any

from rich.text import Text

from bathybore.base.units import UnitSystem
from bathybore.cli.page import VERDICT_STYLE, Page, verdict_text
from bathybore.reports.records_json import document, plain
from bathybore.usecases.explaining import explain
from bathybore.usecases.showing import percent
from bathybore.usecases.string_reach import CAUTION, StringReach, UsedPipe
from bathybore.usecases.string_told import alone, down_the_string, facts


def string(reach: StringReach, units: UnitSystem) -> str:
    """Return the page of a reach."""
    page = Page()
    verdict = str(reach.records[0].status)
    page.line(
        Text("The string from the stock that reaches deepest  ", "bold") + verdict_text(verdict)
    )
    page.fields(facts(reach, units), label=16)
    page.heading("From the drill floor down")
    for text in down_the_string(reach, units):
        page.line(text, indent=2)
    page.heading("How deep each limit alone would let it go")
    for depth, words in alone(reach, units):
        page.line(f"{depth:>10}  {words}", indent=2)
    page.heading("Margins")
    for record in reach.records:
        room = percent(record.margin) if record.margin is not None else "not judged"
        style = VERDICT_STYLE[str(record.status)]
        page.line(f"{record.id}: {room} left. {record.note}".strip(), style, indent=2)
    page.heading("Cautions")
    page.fields([("-", CAUTION)], label=1)
    return page.text()


def as_json(reach: StringReach, units: UnitSystem) -> str:
    """Return the same as JSON, numbers in SI."""
    content: dict[str, Any] = {
        "passes": reach.passes,
        "reach": _value(float(reach.reach), "m"),
        "needed": _value(float(reach.needed), "m"),
        "ended_by": reach.ends,
        "string": reach.string,
        "fluid": reach.fluid,
        "pipes": [_pipe_json(pipe) for pipe in reach.pipes],
        "assembly": [{"pipe": name, "length": _value(x, "m")} for name, x in reach.assembly],
        "alone": [{"limit": words, "reach": _value(x, "m")} for words, x in reach.alone],
        "stock": [
            {
                "pipe": one.pipe.name,
                "weight": _value(float(one.weight), "N/m"),
                "bears": {name: _value(float(value), "N") for name, value in one.limits.items()},
                "deepest": _value(one.foot, "m") if isfinite(one.foot) else None,
            }
            for one in reach.limits
        ],
        "left_out": [{"pipe": name, "why": why} for name, why in reach.left_out],
        "stretch": _value(float(reach.stretch), "m"),
        "twist": _value(float(reach.twist), "rad"),
        "records": [plain(explain(record, units)) for record in reach.records],
    }
    return document("bathybore.string/1", content)


def _pipe_json(pipe: UsedPipe) -> dict[str, Any]:
    return {
        "pipe": pipe.name,
        "designation": pipe.designation,
        "length": _value(pipe.length, "m"),
        "top_tension": _value(pipe.top_tension, "N"),
        "bears": _value(pipe.bears, "N"),
        "by": pipe.by,
    }


def _value(number: float, unit: str) -> dict[str, Any]:
    return {"value": number, "unit": unit}
