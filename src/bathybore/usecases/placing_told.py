"""What the commands on cement, trips and cuttings tell, in one shape for every face."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from bathybore.base.errors import InputErrors, nearest
from bathybore.base.units import UnitSystem, show
from bathybore.checks.ledger import Asker, answers
from bathybore.checks.record import CheckRecord, Status
from bathybore.operations.state import HoleState

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk


@dataclass(frozen=True)
class ToldTable:
    """A table of texts; the first column names the row."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Topic:
    """One job, trip or section told in the units of the reader.

    Attributes
    ----------
    name : of the casing or section
    facts : label and text
    numbers : the same in SI, for programs: number or list and unit by name
    """

    name: str
    title: str
    facts: tuple[tuple[str, str], ...]
    tables: tuple[ToldTable, ...]
    records: tuple[CheckRecord, ...]
    caution: str
    numbers: dict[str, Any] = field(default_factory=dict)

    @property
    def passes(self) -> bool:
        return all(one.status in (Status.HOLDS, Status.TIGHT) for one in self.records)


def number(value: Any, unit: str) -> dict[str, Any]:
    """Return a number, or a list, with its unit; what is not finite becomes None."""
    array = np.asarray(value, dtype=float)
    if array.ndim == 0:
        return {"value": float(array) if np.isfinite(array) else None, "unit": unit}
    kept = [one if np.isfinite(one) else None for one in array.ravel().tolist()]
    return {"value": kept, "unit": unit}


def minutes(seconds: float) -> str:
    """Return a time as minutes, or hours and minutes."""
    if not np.isfinite(seconds):
        return "never"
    whole = round(seconds / 60.0)
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d} min"


def pressure(value: float, units: UnitSystem) -> str:
    return show(value, "Pa", units, significant=4)


def volume(value: float, units: UnitSystem) -> str:
    return show(value, "m3", units, significant=3)


def small(length: float, units: UnitSystem) -> str:
    """Return a length of the size of a chip."""
    if units == "metric":
        return f"{1000.0 * length:.3g} mm"
    return f"{length / 0.0254:.3g} in"


def spread_over(count: int, length: int) -> list[int]:
    """Return ``count`` indices spread over a list, first and last among them."""
    return sorted(set(np.linspace(0, length - 1, min(count, length)).round().astype(int).tolist()))


def asked(
    walk: Walk, state: HoleState, wanted: Callable[[CheckRecord], bool], *askers: Asker
) -> tuple[CheckRecord, ...]:
    """Return the wanted records of a step: those of the walk, and those of its longer questions.

    A walk may not have asked the longer ones yet; their answers are kept, whoever asks first.
    """
    own = {one.id: one for ask in askers for one in answers(ask, state)}
    quick = (one for one in walk.records_at(state.step.name) if one.id not in own)
    return tuple(one for one in (*quick, *own.values()) if wanted(one))


def known(what: str, name: str, names: Sequence[str]) -> None:
    """Raise InputErrors where a name is none of those there are."""
    if name not in names:
        there = ", ".join(names) or f"a {what} that can be judged; the plan has none"
        raise InputErrors.one(what, f"'{name[:60]}'", there, nearest(name[:60], list(names)))
