"""What the vessel can bear, and which check comes closest to each of its limits."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from bathybore.base.nomenclature import nomenclature
from bathybore.base.units import UnitSystem, show
from bathybore.base.working import Default, Given, Origin, Solved, Value, Working
from bathybore.checks.record import CheckRecord
from bathybore.model.fields import Node
from bathybore.model.hole import Hole
from bathybore.usecases.showing import percent

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

# what a reader calls it, the part of the vessel, its field
_LIMITS: Final = (
    ("hook", "hoist", "hook_capacity"),
    ("rotary opening", "hoist", "rotary_opening"),
    ("each tensioner", "tensioners", "capacity_each"),
    ("tensioner stroke", "tensioners", "stroke"),
    ("power of each mud pump", "pumps", "power_each"),
    ("stroke rate of the mud pumps", "pumps", "greatest_stroke_rate"),
    ("cement unit, pressure", "cement_unit", "greatest_pressure"),
    ("cement unit, rate", "cement_unit", "greatest_rate"),
    ("mud volume", "stores", "mud_volume"),
    ("barite", "stores", "barite"),
    ("cement", "stores", "cement"),
    ("drill water", "stores", "drill_water"),
    ("tool temperature", "", "tool_temperature_limit"),
    ("endurance", "", "endurance"),
)
# units that these numbers are better known in than the nomenclature's
_BETTER: Final = {"s": "d", "1/s": "spm"}
_NONE: Final = "no check uses it"


def vessel_limits(walk: Walk, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return rows of limit, value, where written, closest check, its margin, its verdict.

    A check uses a limit when the number, as written in the document, stands anywhere
    in the chain behind its demand or capacity.
    """
    users = _users(walk)
    rows = []
    for words, value in _values(walk.hole):
        origin = value.origin
        key = origin.key if isinstance(origin, Given | Default) else ""
        record = _closest(users.get(key, []))
        term = nomenclature().get(value.name)
        usual = term.shown_in(units) if term else None
        unit = _BETTER.get(value.unit, usual)
        shown = show(float(value), value.unit, units, unit=unit)
        rows.append((words, shown, str(origin), *_record_cells(record)))
    return tuple(rows)


def _values(hole: Hole) -> Iterator[tuple[str, Value]]:
    vessel = hole.vessel
    for words, part, field in _LIMITS:
        node: Node | None = getattr(vessel, part) if part else vessel
        if node is not None:
            count = getattr(node, "count", None)
            many = f" ({count} of them)" if count and words.startswith(("each", "power")) else ""
            yield words + many, node.value(field)
    for liner in vessel.pumps.liners:
        yield f"pump liner {liner.name}, pressure", liner.value("greatest_pressure")


def _users(walk: Walk) -> dict[str, list[CheckRecord]]:
    """Return the records by the key of every number of the document behind them."""
    users: dict[str, list[CheckRecord]] = {}
    for record in walk.records:
        for key in {key for key in _keys(record) if key.startswith("vessel.")}:
            users.setdefault(key, []).append(record)
    return users


def _keys(record: CheckRecord) -> Iterator[str]:
    waiting = [v for v in (record.demand, record.capacity) if v is not None]
    seen: set[int] = set()
    while waiting:
        origin: Origin = waiting.pop().origin
        if id(origin) in seen:
            continue
        seen.add(id(origin))
        if isinstance(origin, Given | Default):
            yield origin.key
        elif isinstance(origin, Working | Solved):
            waiting.extend(origin.inputs)


def _closest(records: list[CheckRecord]) -> CheckRecord | None:
    judged = [record for record in records if record.margin is not None]
    if not judged:
        return records[0] if records else None
    return min(judged, key=lambda record: record.margin if record.margin is not None else 0.0)


def _record_cells(record: CheckRecord | None) -> tuple[str, str, str]:
    if record is None:
        return (_NONE, "–", "–")
    margin = "–" if record.margin is None else percent(record.margin)
    return (record.id, margin, str(record.status))
