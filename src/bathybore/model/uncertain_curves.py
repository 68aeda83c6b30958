"""How uncertain the columns of the earth table are: what moves a curve about its planned one."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.base.units import parse_quantity, show
from bathybore.base.working import Default, Given
from bathybore.model.chart import written_at
from bathybore.model.csv_columns import read_column
from bathybore.model.files import shown
from bathybore.model.hole import Hole
from bathybore.model.known_uncertain import FILE, PRESSURES, Known
from bathybore.model.laws import Bounds, Law
from bathybore.model.tables import ProfileTable
from bathybore.model.uncertain import Uncertain
from bathybore.model.uncertainty_document import CurveEntry

POSITIVE: Final = Bounds(0.0, open_below=True)
FIXED: Final = Law("fixed")
_LEAST_SPREAD: Final = 1e-9  # kg/m3 or share; less moves no number that anybody sees
_MOST_SPREAD: Final = {"kg/m3": 500.0, "-": 1.0}  # beyond, nothing is known
_OPEN_TO_SEA: Final = ("pore_pressure", "collapse_pressure")  # the wall is asked to hold the pores
_GRAVITY: Final = 9.80665  # m/s2
_WATER: Final = 1045.0  # kg/m3; denser than any water that stands in pores open to the sea
_DEPTH: Final = "depth_below_sea_bed"
# columns of a table of spread are named like their curve, but as a prognosis names this one
_COLUMNS: Final = {"collapse_pressure": "hole_collapse_pressure"}


def usual_origin(known: Known) -> Default:
    return Default(known.key, known.source, f"{known.note} ({FILE})")


def usual_curve(known: Known, hole: Hole) -> Uncertain:
    """Return a curve as uncertain as the table of known quantities has it."""
    law = _law(known.law.name, known.law["spread"], _planned(known))
    one = _uncertain(known, law, usual_origin(known), known.correlation_length)
    return replace(one, top=_usual_top(known, hole))


def _usual_top(known: Known, hole: Hole) -> float:
    return normally_pressured(hole.earth) if known.key in _OPEN_TO_SEA else 0.0


def normally_pressured(earth: ProfileTable) -> float:
    """Return how deep the pores are planned as open to the sea [m below sea bed].

    Down to there the pore pressure is that of water: it depends on no rock, so no spread of
    it is known to be. What spreads is the overpressure, from the depth where it begins.
    """
    depth = earth.depths[earth.depths > 0.0]
    pore = earth.at("pore_pressure", depth) - earth.at("pore_pressure", earth.depths[0])
    over = pore / (_GRAVITY * depth) > _WATER
    return float(depth[over][0]) if over.any() else float(depth[-1])


def written_curve(
    known: Known, entry: CurveEntry, origin: Given, folder: Path, hole: Hole
) -> Uncertain:
    """Return a curve as uncertain as a document has it.

    Parameters
    ----------
    folder : of the document
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
        law, profile = _law(name, 1.0, planned), _profile(known, entry, folder, hole.earth.deepest)
    one = _uncertain(known, law, origin, entry.correlation_length, profile)
    return replace(one, top=_top(known, entry, hole))


def _top(known: Known, entry: CurveEntry, hole: Hole) -> float:
    """Return where the spread of a curve begins: as told, or where overpressure does."""
    if entry.normal_above is None:
        return _usual_top(known, hole)
    at, told = written_at(entry, "normal_above"), entry.normal_above
    if known.key not in PRESSURES:
        raise InputErrors.one(at, f"{told}, of {known.key}", "it for pressures only")
    top = hole.frame.below_sea_bed(told)
    if not 0.0 <= top <= hole.earth.deepest:
        raise InputErrors.one(at, str(told), f"a depth in the earth table {hole.earth.file}")
    return float(top)


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
    unit, meaning = known.unit, known.meaning
    if profile is not None:  # the law then counts deviations, which have no unit
        unit, meaning = "-", f"{known.meaning}, in standard deviations of its table"
    return Uncertain(
        known.key, "curve", unit, law, _planned(known), origin, meaning, length, profile
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
    if name == "fixed" or spread < _LEAST_SPREAD:
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
