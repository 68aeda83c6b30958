"""A judged walk as JSON, for every face. The shape is a promise: see docs/command-line.md.

Every document starts with ``schema``, a name and a number that grows when a key changes its
meaning or goes away; keys may be added without notice. Numbers are SI, beside their unit; a
number that is not finite is null.
"""

from __future__ import annotations

import dataclasses
import json
from typing import Any

from bathybore import __version__
from bathybore.base.depth import Depth
from bathybore.base.units import UnitSystem
from bathybore.operations.diameter_budget import DiameterBudget
from bathybore.usecases.ledger import Caution, Ledger, Row, StepRows, row_of, verdict
from bathybore.usecases.showing import ShownValue
from bathybore.usecases.steel_choice import SteelChoice


def check(whole: Ledger, steps: tuple[StepRows, ...]) -> str:
    """Return a judged walk; ``steps`` may be a part of it."""
    return document(
        "bathybore.check/1",
        {
            "hole": {"name": whole.hole, "invented": whole.invented},
            "passes": whole.passes,
            "verdict": verdict(whole),
            "counts": whole.counts,
            "elapsed": _seconds(whole.elapsed),
            "fails_first": whole.fails_first,
            "fails_most": whole.fails_most,
            "tightest": whole.tightest,
            "steps": [_step(step) for step in steps],
            "diameter_budget": _budget(whole.budget),
            "cautions": [_caution(c) for c in (*whole.cautions, *whole.equation_cautions)],
        },
    )


def steel(choices: tuple[SteelChoice, ...], units: UnitSystem = "metric") -> str:
    """Return the choice of steel for every casing."""
    return document(
        "bathybore.steel/1",
        {
            "passes": all(one.passes for one in choices),
            "strings": [_steel(one, units) for one in choices],
        },
    )


def _steel(choice: SteelChoice, units: UnitSystem) -> dict[str, Any]:
    return {
        "casing": choice.casing,
        "section": choice.section,
        "planned": {"pipe": choice.planned[0], "designation": choice.planned[1]},
        "lengths": [
            {
                "pipe": one.pipe,
                "designation": one.designation,
                "top": _depth(one.top, units),
                "bottom": _depth(one.bottom, units),
                "mass": {"value": one.mass, "unit": "kg"},
            }
            for one in choice.lengths
        ],
        "mass": {"value": choice.mass, "unit": "kg"},
        "planned_mass": {"value": choice.planned_mass, "unit": "kg"},
        "offered": list(choice.offered),
        "left_out": [{"pipe": name, "why": why} for name, why in choice.left_out],
        "why_none": choice.why_none,
        "records": [_record(row_of(one, units)) for one in choice.records],
    }


def _depth(depth: Depth, units: UnitSystem) -> dict[str, Any]:
    return {
        "value": depth.metres,
        "unit": "m",
        "below": str(depth.datum),
        "shown": depth.show(units),
    }


def document(schema: str, content: dict[str, Any]) -> str:
    """Return a JSON document with its schema and the version that wrote it."""
    head = {"schema": schema, "bathybore": __version__}
    return json.dumps({**head, **content}, ensure_ascii=False, indent=2, allow_nan=False)


def _step(step: StepRows) -> dict[str, Any]:
    return {
        "name": step.name,
        "title": step.title,
        "duration": _seconds(step.duration),
        "elapsed": _seconds(step.elapsed),
        "uses": [plain(amount) for amount in step.uses],
        "barriers": {"needed": step.barriers_needed, "in_force": list(step.barriers)},
        "records": [_record(row) for row in step.rows],
    }


def _record(row: Row) -> dict[str, Any]:
    return {
        "id": row.id,
        "check": row.check,
        "discipline": row.discipline,
        "question": row.question,
        "status": row.status,
        "demand": plain(row.demand),
        "capacity": plain(row.capacity),
        "margin": row.margin,
        "depth": None
        if row.depth_value is None
        else {
            "value": row.depth_value,
            "unit": "m",
            "below": row.depth_datum,
            "shown": row.depth_text,
        },
        "sources": list(row.sources),
        "reason": row.reason,
        "remedy": row.remedy,
        "caution": row.caution,
        "note": row.note,
    }


def _budget(budget: DiameterBudget) -> dict[str, Any]:
    """Diameters in metres; where a string stands is in metres below mean sea level."""
    return {
        "unit": "m",
        "start": budget.start,
        "strings": [
            {
                "name": row.name,
                "pipe": row.designation,
                "top_below_sea_level": row.top,
                "shoe_below_sea_level": row.shoe,
                "hole_diameter": row.hole_diameter,
                "outside_diameter": row.outside_diameter,
                "coupling_diameter": row.coupling_diameter,
                "passes": row.passes,
                "spent": row.spent,
            }
            for row in budget.rows
        ],
        "in_hand": [
            {"name": one.name, "pipe": one.designation, "fits_below": one.below}
            for one in budget.spares
        ],
        "last_hole": budget.last_hole,
        "core": budget.core,
    }


def _caution(caution: Caution) -> dict[str, Any]:
    return {"text": caution.text, "checks": list(caution.checks)}


def _seconds(value: float | None) -> dict[str, Any] | None:
    return None if value is None else {"value": value, "unit": "s"}


def plain(thing: Any) -> Any:
    """Return records as JSON has them."""
    if isinstance(thing, ShownValue):
        return {
            "name": thing.name,
            "symbol": thing.symbol,
            "value": thing.si,
            "unit": thing.unit,
            "shown": thing.text,
            "origin": thing.origin,
        }
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        return {f.name: plain(getattr(thing, f.name)) for f in dataclasses.fields(thing)}
    return [plain(one) for one in thing] if isinstance(thing, tuple | list) else thing
