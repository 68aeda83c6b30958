"""The reach of a string from the stock, as a page and as JSON."""

from __future__ import annotations

from math import isfinite
from typing import Any

from rich.text import Text

from bathybore.base.units import UnitSystem, show
from bathybore.cli.page import VERDICT_STYLE, Page, verdict_text
from bathybore.reports.records_json import document, plain
from bathybore.usecases.explaining import explain
from bathybore.usecases.showing import percent
from bathybore.usecases.string_reach import CAUTION, StringReach, UsedPipe, turns


def string(reach: StringReach, units: UnitSystem) -> str:
    """Return the page of a reach."""
    page = Page()
    verdict = str(reach.records[0].status)
    page.line(
        Text("The string from the stock that reaches deepest  ", "bold") + verdict_text(verdict)
    )
    page.fields(_head(reach, units), label=16)
    page.heading("From the drill floor down")
    for pipe in reversed(reach.pipes):
        page.line(_pipe(pipe, units), indent=2)
    for name, length in reversed(reach.assembly):
        page.line(f"{name}: {_metres(length, units)}, bottom assembly", indent=2)
    page.heading("How deep each limit alone would let it go")
    for words, depth in sorted(reach.alone, key=lambda one: one[1]):
        page.line(f"{_metres(depth, units):>10}  {words}", indent=2)
    page.heading("Margins")
    for record in reach.records:
        room = percent(record.margin) if record.margin is not None else "not judged"
        style = VERDICT_STYLE[str(record.status)]
        page.line(f"{record.id}: {room} left. {record.note}".strip(), style, indent=2)
    page.heading("Cautions")
    page.fields([("-", CAUTION)], label=1)
    return page.text()


def _metres(length: float, units: UnitSystem) -> str:
    return show(length, "m", units, significant=5)


def _force(force: float, units: UnitSystem) -> str:
    return show(force, "N", units, significant=4)


def _pipe(pipe: UsedPipe, units: UnitSystem) -> str:
    length, pull = _metres(pipe.length, units), _force(pipe.top_tension, units)
    bears = _force(pipe.bears, units)
    return f"{pipe.name} ({pipe.designation}): {length}, {pull} at its top of {bears} it bears"


def _head(reach: StringReach, units: UnitSystem) -> list[tuple[str | Text, str | Text]]:
    stretch, twist = _metres(float(reach.stretch), units), f"{turns(reach.twist):.1f} turns"
    fitting = _metres(reach.free.length + reach.assembly_length, units)
    rows: list[tuple[str | Text, str | Text]] = [
        ("Reach", f"{_metres(float(reach.reach), units)} below the drill floor"),
        ("Target", f"{_metres(float(reach.needed), units)} below the drill floor"),
        ("Ended by", reach.ends),
        ("In a wide hole", f"{fitting}, where every pipe fits everywhere"),
        ("Hangs in", f"{reach.fluid}, with the bottom assembly of {reach.string}"),
        ("Stretch, twist", f"{stretch} under the overpull, {twist} under the torque of the bit"),
    ]
    if reach.buckling is not None:
        load = _force(float(reach.buckling), units)
        rows.append(("Buckling", f"the lowest collar first buckles at {load} on the bit"))
    rows += [("Left out", f"{name}: {why}") for name, why in reach.left_out]
    return rows


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
