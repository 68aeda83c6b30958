"""What is uncertain in every hole unless told otherwise: the table uncertain.csv."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

from bathybore.model.laws import LAW_NAMES, Law
from bathybore.model.tables import EARTH_COLUMNS

FILE: Final = "uncertain.csv"
# curves whose spread is a density over the depth below the sea bed
PRESSURES: Final = ("pore_pressure", "fracture_pressure", "collapse_pressure")


@dataclass(frozen=True)
class Known:
    """One quantity that is uncertain in every hole.

    Attributes
    ----------
    kind : 'curve', a column of the earth table, or 'factor', which multiplies what is planned
    unit : of its spread, SI; of a share or factor '-'
    law : of a factor; of a curve only the name of its distribution and its spread
    correlation_length : [m] of a curve; None: one number moves the whole of it
    rank_correlations : with others, by their keys
    multiplies : in words, the numbers of a hole document that a factor stands for
    """

    key: str
    kind: str
    unit: str
    law: Law
    correlation_length: float | None
    rank_correlations: tuple[tuple[str, float], ...]
    multiplies: str
    source: str
    meaning: str
    note: str


@cache
def known_uncertain() -> dict[str, Known]:
    """Return every row of the table by key."""
    text = files("bathybore.data").joinpath(FILE).read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return {row["key"]: _known(row) for row in csv.DictReader(lines)}


def known_curves() -> tuple[str, ...]:
    """Return the columns of the earth table that may be uncertain, in its order."""
    known = known_uncertain()
    return tuple(name for name in EARTH_COLUMNS if name in known)


@cache
def known_factors() -> tuple[str, ...]:
    return tuple(key for key, row in known_uncertain().items() if row.kind == "factor")


def _known(row: dict[str, str]) -> Known:
    length = row["correlation_length [m]"]
    return Known(
        row["key"],
        row["kind"],
        row["unit"],
        _law(row["distribution"], row["parameters"]),
        float(length) if length else None,
        _pairs(row["rank_correlations"]),
        row["multiplies"],
        row["source_key"],
        row["meaning"],
        row["note"],
    )


def _law(name: str, parameters: str) -> Law:
    (known,) = (one for one in LAW_NAMES if one == name)
    return Law(known, _pairs(parameters))


def _pairs(text: str) -> tuple[tuple[str, float], ...]:
    """Read 'p10=0.8 p90=1.25'."""
    pairs = (part.split("=") for part in text.split())
    return tuple((key, float(number)) for key, number in pairs)
