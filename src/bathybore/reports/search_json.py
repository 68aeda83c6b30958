"""The answer of a search as JSON, for every face; the shape is told in docs/search.md."""

from __future__ import annotations

from typing import Any

from bathybore.base.depth import Depth
from bathybore.base.units import UnitSystem
from bathybore.base.working import Value
from bathybore.reports.records_json import document, plain
from bathybore.usecases.adopting import Finding, ProposedCasing, ProposedSection, Verdict
from bathybore.usecases.searching import ClosedWay, Found, Proposal, SystemRow
from bathybore.usecases.showing import shown


def found_json(found: Found, units: UnitSystem) -> str:
    """Return a search as a document of schema bathybore.search/1."""
    return document("bathybore.search/1", found_content(found, units))


def found_content(found: Found, units: UnitSystem) -> dict[str, Any]:
    return {
        "hole": {"name": found.hole, "invented": found.invented},
        "currency": found.currency,
        "reaches": bool(found.proposals),
        "system": found.system,
        "best": found.order.best,
        "target": _depth(found.target, units),
        "proposals": [_proposal(one, units) for one in found.proposals],
        "closed": [_closed(one, units) for one in found.closed],
        "opened": [
            {
                "what": one.what,
                "amount": _value(one.amount, units),
                "strings": one.strings,
            }
            for one in found.opened
        ],
        "systems": [_system(one, units) for one in found.systems],
        "against_all": [_finding(one, units) for one in found.against_all],
        "assumptions": list(found.assumptions),
        "cautions": list(found.cautions),
    }


def _depth(depth: Depth | None, units: UnitSystem) -> dict[str, Any] | None:
    if depth is None:
        return None
    return {
        "value": depth.metres,
        "unit": "m",
        "below": str(depth.datum),
        "shown": depth.show(units),
    }


def _value(value: Value | None, units: UnitSystem) -> Any:
    if value is None:
        return None
    return plain(shown(value.name, float(value), value.unit, units, value.whence))


def _number(value: float | None, unit: str) -> dict[str, Any] | None:
    return None if value is None else {"value": value, "unit": unit}


def _proposal(one: Proposal, units: UnitSystem) -> dict[str, Any]:
    return {
        "number": one.number,
        "why": one.why,
        "system": one.system,
        "strings": one.strings,
        "days": _value(one.days, units),
        "steel": _value(one.steel, units),
        "money": one.money,
        "mud_dumped": _value(one.mud_dumped, units),
        "in_hand": list(one.in_hand),
        "core_diameter": _number(one.core_diameter, "m"),
        "sections": [_section(section, units) for section in one.sections],
        "walk": None if one.verdict is None else _verdict(one.verdict, units),
        "not_walked": one.not_walked,
    }


def _section(one: ProposedSection, units: UnitSystem) -> dict[str, Any]:
    return {
        "hole_diameter": _number(one.hole_diameter, "m"),
        "top": _depth(one.top, units),
        "bottom": _depth(one.bottom, units),
        "circulation": one.circulation,
        "density": _value(one.density, units),
        "least_density": _value(one.least_density, units),
        "needed_by": one.needed_by,
        "needed_at": _depth(one.needed_at, units),
        "greatest_density": _value(one.greatest_density, units),
        "borne_by": one.borne_by,
        "borne_at": _depth(one.borne_at, units),
        "mud_dumped": _value(one.mud_dumped, units),
        "casing": None if one.casing is None else _casing(one.casing, units),
    }


def _casing(one: ProposedCasing, units: UnitSystem) -> dict[str, Any]:
    return {
        "pipe": one.pipe,
        "designation": one.designation,
        "hung_at": _depth(one.hung_at, units),
        "shoe": _depth(one.shoe, units),
        "length": _number(one.length, "m"),
        "mass": _number(one.mass, "kg"),
    }


def _verdict(one: Verdict, units: UnitSystem) -> dict[str, Any]:
    return {
        "passes": one.passes,
        "counts": one.counts,
        "duration": _number(one.duration, "s"),
        "stopped": one.stopped,
        "findings": [_finding(finding, units) for finding in one.findings],
    }


def _finding(one: Finding, units: UnitSystem) -> dict[str, Any]:
    return {
        "id": one.id,
        "status": one.status,
        "question": one.question,
        "margin": one.margin,
        "depth": _depth(one.depth, units),
        "reason": one.reason,
        "remedy": one.remedy,
    }


def _closed(one: ClosedWay, units: UnitSystem) -> dict[str, Any]:
    return {
        "string": one.string,
        "shoe": _depth(one.shoe, units),
        "hole_diameter": _number(one.hole_diameter, "m"),
        "circulation": one.circulation,
        "deepest": _depth(one.deepest, units),
        "needed_by": one.needed_by,
        "needed_at": _depth(one.needed_at, units),
        "least_density": _value(one.least_density, units),
        "borne_by": one.borne_by,
        "borne_at": _depth(one.borne_at, units),
        "greatest_density": _value(one.greatest_density, units),
        "reason": one.reason,
        "next_strings": list(one.next_strings),
        "room_wanted": _number(one.room_wanted, "kg/m3"),
    }


def _system(one: SystemRow, units: UnitSystem) -> dict[str, Any]:
    return {
        "name": one.name,
        "title": one.title,
        "strings": one.strings,
        "days": _number(one.days, "s"),
        "steel": _number(one.steel, "kg"),
        "mud_dumped": _number(one.mud_dumped, "m3"),
        "reach": _depth(one.reach, units),
        "closed_by": one.closed_by,
        "not_available": one.not_available,
    }
