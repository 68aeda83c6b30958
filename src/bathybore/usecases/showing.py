"""A value as a reader meets it: name, symbol, number in the chosen units, SI beside it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import numpy as np
from typing_extensions import TypeAliasType

from bathybore.base.formula import plain
from bathybore.base.frozen import quickly_made
from bathybore.base.nomenclature import nomenclature
from bathybore.base.registry import Equation, Limit
from bathybore.base.sources import bibliography
from bathybore.base.units import UnitSystem, WayOut, pretty_number, shown_unit, way_out
from bathybore.checks.record import CheckRecord

# a named alias: a plain one that holds itself cannot be described as a schema
Json = TypeAliasType("Json", "float | str | list[Json] | None")
LONGEST_LIST: Final = 12  # numbers of a stack that are written out
_LONG: Final = 5 * 86400.0  # [s] from which hours are told in days


@quickly_made
@dataclass(frozen=True)
class ShownValue:
    """One value, serialisable.

    Attributes
    ----------
    si : number (None when it is not finite), text, or lists of them; in ``unit``
    text : the same in the units of the reader
    origin : where it came from, in words
    """

    name: str
    meaning: str
    symbol: str
    si: Json
    unit: str
    text: str
    origin: str = ""

    @property
    def words(self) -> str:
        return in_words(self.name)


@dataclass(frozen=True)
class ShownLimit:
    """A limit of validity in the units of the reader, and whether it is kept."""

    name: str
    text: str
    reason: str
    kept: bool


def in_words(name: str) -> str:
    return name.replace("_", " ")


def shown(
    name: str,
    si: Any,
    unit: str,
    system: UnitSystem,
    origin: str = "",
    significant: int = 5,
) -> ShownValue:
    """Return a value as ``system`` shows it; names outside the nomenclature are shown too."""
    return shown_as(name, si, unit, in_units(name, si, unit, system, significant), origin)


def shown_as(name: str, si: Any, unit: str, text: str, origin: str = "") -> ShownValue:
    """Return a value whose text is there already."""
    term = nomenclature().get(name)
    symbol = _symbol(name) if term else ""
    return ShownValue(name, term.meaning if term else "", symbol, _json(si), unit, text, origin)


@cache
def _symbol(name: str) -> str:
    return plain(nomenclature()[name].symbol)


def limits(
    equation: Equation, inputs: dict[str, Any], system: UnitSystem
) -> tuple[ShownLimit, ...]:
    """Return every limit of validity of an equation, judged on these SI inputs."""
    units = {q.name: q.unit for q in equation.parameters}
    return tuple(
        ShownLimit(
            name,
            f"{in_words(name)} {_range(name, limit, units[name], system)}",
            limit.reason,
            name not in inputs or limit.holds(inputs[name]),
        )
        for name, limit in equation.valid.items()
    )


def cite(source_key: str) -> str:
    """Return the citation of a source; an unknown key is shown rather than hidden."""
    source = bibliography().get(source_key)
    return source.citation if source else source_key


def cited(citation: str, where: str) -> str:
    """Return a citation with the place in it, as one sentence."""
    return f"{citation.rstrip('.')}: {where.rstrip('.')}."


def unique(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(filter(None, texts)))


def percent(share: float) -> str:
    """Return a margin in per cent; the smaller, the more digits, so that none reads as zero."""
    value = 100.0 * share
    if abs(value) >= 10.0:
        return f"{pretty_number(round(value))} %"
    return f"{pretty_number(value, 2)} %"


def significant_to_tell_apart(record: CheckRecord) -> int:
    """Return how many digits show that demand and capacity are not the same number."""
    if not record.margin or abs(record.margin) >= 0.01:
        return 4
    return min(8, 3 - math.floor(math.log10(abs(record.margin))))


def _range(name: str, limit: Limit, unit: str, system: UnitSystem) -> str:
    low, high = (in_units(name, bound, unit, system, 6) for bound in (limit.low, limit.high))
    if math.isinf(limit.high):
        return f"at least {low}"
    return f"at most {high}" if math.isinf(limit.low) else f"{low} to {high}"


def in_units(name: str, si: Any, unit: str, system: UnitSystem, significant: int) -> str:
    """Return the text of a value as ``system`` shows it."""
    if isinstance(si, str):
        return si
    if isinstance(si, float):  # most are: an array for each would take longer than all the rest
        return _way_out(name, unit, system, abs(si) >= _LONG).text(float(si), significant)
    numbers = np.asarray(si, dtype=float).ravel().tolist()
    way = _way_out(name, unit, system, any(abs(x) >= _LONG for x in numbers))
    texts = [way.number(x, significant) for x in numbers]
    if len(texts) == 1:
        return f"{texts[0]} {way.label}".rstrip()
    written = ", ".join(texts[:LONGEST_LIST])
    if len(texts) > LONGEST_LIST:
        least, most = texts[int(np.argmin(numbers))], texts[int(np.argmax(numbers))]
        written += f", … {len(texts)} in all, {least} to {most}"
    return f"[{written}] {way.label}".rstrip()


@cache
def _way_out(name: str, unit: str, system: UnitSystem, large: bool) -> WayOut:
    """Return how a quantity is shown; large numbers of hours are told in days."""
    term = nomenclature().get(name)
    told = term.shown_in(system) if term else shown_unit(unit, system)
    return way_out(unit, "d" if told == "h" and large else told)


def _json(si: Any) -> Json:
    if isinstance(si, str):
        return si
    if isinstance(si, float):
        return si if math.isfinite(si) else None
    if isinstance(si, list | tuple):
        return [_json(one) for one in si]
    if np.ndim(si):
        return [_json(one) for one in np.asarray(si)]
    number = float(si)
    return number if math.isfinite(number) else None


def in_money(amount: float, currency: str) -> str:
    """Return a sum of money: to the last whole of its currency, thousands set apart."""
    return f"{amount:,.0f}".replace(",", "\u202f") + f" {currency}"
