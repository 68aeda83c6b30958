"""The one list of names: symbol, SI unit, how it is shown, and what it means."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from bathybore.base.units import UnitSystem, shown_unit


@dataclass(frozen=True)
class Term:
    """One quantity of the field. ``metric`` and ``oilfield`` are the units it is shown in."""

    name: str
    symbol: str
    unit: str
    metric: str
    oilfield: str
    meaning: str

    def shown_in(self, system: UnitSystem) -> str:
        chosen = self.metric if system == "metric" else self.oilfield
        return chosen or shown_unit(self.unit, system)


@cache
def nomenclature() -> dict[str, Term]:
    """Return every term by name, read from nomenclature.csv beside this file."""
    text = files("bathybore.base").joinpath("nomenclature.csv").read_text(encoding="utf-8")
    return {row["name"]: Term(**row) for row in csv.DictReader(text.splitlines())}
