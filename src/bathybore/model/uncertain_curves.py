"""How uncertain the columns of the earth table are: what moves a curve about its planned one."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path
from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.base.units import parse_quantity, show
from bathybore.base.working import Default, Given
from bathybore.model.chart import written_at
from bathybore.model.csv_columns import read_column
from bathybore.model.files import shown
from bathybore.model.known_uncertain import FILE, PRESSURES, Known
from bathybore.model.laws import Bounds, Law
from bathybore.model.uncertain import Uncertain
from bathybore.model.uncertainty_document import CurveEntry

POSITIVE: Final = Bounds(0.0, open_below=True)
FIXED: Final = Law("fixed")
_MOST_SPREAD: Final = {"kg/m3": 500.0, "-": 1.0}  # beyond, nothing is known
_DEPTH: Final = "depth_below_sea_bed"
# columns of a table of spread are named like their curve, but as a prognosis names this one
_COLUMNS: Final = {"collapse_pressure": "hole_collapse_pressure"}


def usual_origin(known: Known) -> Default:
    return Default(known.key, known.source, f"{known.note} ({FILE})")


def usual_curve(known: Known) -> Uncertain:
    """Return a curve as uncertain as the table of known quantities has it."""
    law = _law(known.law.name, known.law["spread"], _planned(known))
    return _uncertain(known, law, usual_origin(known), known.correlation_length)


def written_curve(
    known: Known, entry: CurveEntry, origin: Given, folder: Path, deepest: float
) -> Uncertain:
    """Return a curve as uncertain as a document has it.

    Parameters
    ----------
    folder : of the document
    deepest : row of the earth table [m below sea bed], down to which a table of spread must reach
    """
    name, planned = entry.distribution or known.law.name, _planned(known)
    if name == "lognormal" and planned == 0.0:
        raise InputErrors.one(
            written_at(entry, "distribution"),
            "lognormal, of a pressure",
            "normal, triangular or uniform: what is added may have either sign",
        )
    law, profile = FIXED, None
    if name != "fixed" and entry.spread is not None:
        law = _law(name, _spread(known, entry, entry.spread), planned)
    elif name != "fixed":
        law, profile = _law(name, 1.0, planned), _profile(known, entry, folder, deepest)
    return _uncertain(known, law, origin, entry.correlation_length, profile)


def _planned(known: Known) -> float:
    """Return what the law has as planned: nothing added to a pressure, others times one."""
    return 0.0 if known.key in PRESSURES else 1.0


def _uncertain(
    known: Known,
    law: Law,
    origin: Given | Default,
    length: float | None,
    profile: tuple[tuple[float, ...], tuple[float, ...]] | None = None,
) -> Uncertain:
    return Uncertain(
        known.key, "curve", known.unit, law, _planned(known), origin, known.meaning, length, profile
    )


def _spread(known: Known, entry: CurveEntry, written: str | float) -> float:
    at = written_at(entry, "spread")
    spread, most = parse_quantity(written, known.unit, at), _MOST_SPREAD[known.unit]
    if not 0.0 <= spread <= most:
        expected = f"a standard deviation of 0 to {show(most, known.unit)}"
        raise InputErrors.one(at, f"'{shown(str(written))}'", expected)
    return spread


def _profile(
    known: Known, entry: CurveEntry, folder: Path, deepest: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Read a table of standard deviations, such as a prognosis leaves beside the earth table."""
    at, file = written_at(entry, "spread_file"), str(entry.spread_file)
    if known.key not in PRESSURES:
        raise InputErrors.one(
            at, f"a table, of {known.key}", "spread, a share; tables of pressures"
        )
    depths = read_column(folder, file, _DEPTH, "m")
    spreads = read_column(folder, file, _COLUMNS.get(known.key, known.key), "Pa")
    if any(below <= above for above, below in pairwise(depths)):
        raise InputErrors.one(file, "depths that do not grow", "depths that grow from row to row")
    if depths[0] > 0.0 or depths[-1] < deepest:
        found = f"{file} from {depths[0]:g} to {depths[-1]:g} m below the sea bed"
        raise InputErrors.one(at, found, f"a table from 0 to {deepest:g} m, as the earth table")
    if min(spreads) < 0.0:
        raise InputErrors.one(
            file, f"{show(min(spreads), 'Pa')}", "standard deviations of 0 or more"
        )
    return depths, spreads


def _law(name: str, spread: float, planned: float) -> Law:
    """Return the law of what moves a curve: its median as planned, its spread as told.

    The spread is the standard deviation; of a lognormal law that over the mean.
    """
    if name == "fixed" or spread == 0.0:
        return FIXED
    bounds = POSITIVE if planned > 0.0 else Bounds()
    if name == "lognormal":
        mean = planned * math.sqrt(1.0 + spread**2)
        numbers = (("mean", mean), ("standard_deviation", spread * mean))
        return Law("lognormal", numbers, bounds=bounds)
    if name == "normal":
        return Law("normal", (("mean", planned), ("standard_deviation", spread)), bounds=bounds)
    if name == "uniform":
        half = spread * math.sqrt(3.0)
        return Law("uniform", _between(planned, half), bounds=bounds)
    half = spread * math.sqrt(6.0)
    middle = (("most_likely", planned),)
    return Law("triangular", _between(planned, half) + middle, bounds=bounds)


def _between(planned: float, half: float) -> tuple[tuple[str, float], ...]:
    return (("least", planned - half), ("greatest", planned + half))
