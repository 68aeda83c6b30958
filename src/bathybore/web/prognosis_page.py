"""The prognosis for the page: findings first, then curves with their spread; one node opened."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bathybore.base.units import (
    UnitSystem,
    conversion,
    from_si,
    pretty_number,
    pretty_unit,
    show,
    shown_unit,
)
from bathybore.usecases.explaining import Opened
from bathybore.usecases.prognosis import (
    CAUTION,
    OpenedNode,
    WorkedPrognosis,
    earth_text,
)
from bathybore.usecases.showing import in_words

_MOST_ROWS = 40


@dataclass(frozen=True)
class FindingRow:
    """One thing to know; ``kind`` is doubt or note."""

    kind: str
    text: str


@dataclass(frozen=True)
class CurveTold:
    """A curve: what it is called, how it was worked out, the unit of its column."""

    name: str
    label: str
    method: str
    unit: str


@dataclass(frozen=True)
class NodeRow:
    """A depth as it is asked for, and the curves there, each with its standard deviation."""

    depth: str
    at: str
    cells: tuple[str, ...]


@dataclass(frozen=True)
class PrognosisAnswer:
    """A prognosis worked out from the files beside the hole.

    Attributes
    ----------
    neighbour : whose logs they are
    table : name and text of the earth table that it makes
    rows : of nodes spread over depth; ``nodes`` counts all there are
    outside : limits of validity that a curve breaks
    """

    neighbour: str
    findings: tuple[FindingRow, ...]
    curves: tuple[CurveTold, ...]
    rows: tuple[NodeRow, ...]
    nodes: int
    outside: tuple[str, ...]
    table: str
    text: str
    picture: str
    caution: str


@dataclass(frozen=True)
class NodeAnswer:
    """One curve at one depth with everything behind it."""

    curve: str
    method: str
    depth: str
    spread: str
    opened: Opened


def prognosis_answer(worked: WorkedPrognosis, units: UnitSystem) -> PrognosisAnswer:
    """Return a prognosis, texts in ``units``."""
    curves = list(worked.curves.values())
    length = shown_unit("m", units)
    rows = sorted({round(v) for v in np.linspace(0, len(worked.z) - 1, _MOST_ROWS).tolist()})
    return PrognosisAnswer(
        neighbour=worked.ground.prognosis.neighbour.name,
        findings=tuple(FindingRow(one.kind, one.said) for one in worked.findings),
        curves=tuple(
            CurveTold(one.name, in_words(one.name), one.method, _unit(one.value.unit, units))
            for one in curves
        ),
        rows=tuple(
            NodeRow(
                show(float(worked.z[row]), "m", units, significant=5),
                f"{from_si(float(worked.z[row]), 'm', length):.3f} {length} below sea bed",
                tuple(_cell(worked, one.name, row, units) for one in curves),
            )
            for row in rows
        ),
        nodes=len(worked.z),
        outside=worked.outside,
        table=worked.earth_file,
        text=earth_text(worked),
        picture=prognosis_alt(worked, units),
        caution=CAUTION,
    )


def prognosis_alt(worked: WorkedPrognosis, units: UnitSystem) -> str:
    """Return what the picture shows, in words."""
    labels = ", ".join(in_words(name) for name in worked.curves)
    deepest = show(float(worked.z[-1]), "m", units, significant=5)
    return f"Curves of the prognosis down to {deepest} below the sea bed: {labels}."


def node_answer(worked: WorkedPrognosis, opened: OpenedNode, units: UnitSystem) -> NodeAnswer:
    unit = worked.curves[opened.curve].value.unit
    spread = show(opened.spread, unit, units, unit="K" if unit == "K" else None)
    return NodeAnswer(
        in_words(opened.curve), opened.method, opened.depth.show(units), spread, opened.opened
    )


def _unit(unit: str, units: UnitSystem) -> str:
    return pretty_unit(shown_unit(unit, units))


def _cell(worked: WorkedPrognosis, name: str, row: int, units: UnitSystem) -> str:
    """Return a curve at a node with its standard deviation; empty where it is not known."""
    curve = worked.curves[name]
    if row >= len(curve.si) or not np.isfinite(curve.si[row]):
        return ""
    unit, shown = curve.value.unit, shown_unit(curve.value.unit, units)
    if shown in ("", "-"):
        return pretty_number(float(curve.si[row]))
    number = pretty_number(from_si(float(curve.si[row]), unit, shown))
    spread = float(curve.spread[row]) * conversion(unit).factor / conversion(shown).factor
    return f"{number} ± {pretty_number(spread, 2)}" if spread else number
