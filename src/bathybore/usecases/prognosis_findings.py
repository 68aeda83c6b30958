"""Findings on a prognosis: on its data before anything is worked out, on its curves after.

What cannot be used is a fault and stops; what is odd is a doubt; what was taken for granted
is a note. Each names its curve and depth.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from bathybore.base.arrays import Array
from bathybore.base.errors import Fault, InputErrors
from bathybore.base.units import conversion, show, to_si
from bathybore.kernels.rock_strength import (
    frictional_stress_limit,
    least_stress_at_frictional_limit,
)
from bathybore.model.chart import written_at
from bathybore.model.prognosis import CURVES, MIDDLES, PROGNOSIS_FILE, Prognosis, Reading
from bathybore.operations.prognosis_ground import Curve, Ground, Mask, cleaned, impossible, spiky
from bathybore.usecases.prognosis_reading import written_unit
from bathybore.usecases.showing import in_words

Kind = Literal["doubt", "note"]

_LONG_GAP: Final = 3.0  # spacings of the curve's own readings
_FEWEST: Final = 25  # readings; a shorter curve is a table
_MOST_PLACES: Final = 6
_HEIGHT: Final = re.compile(r"header gives \w+ (?P<number>\d+(?:\.\d*)?) (?P<unit>\w*)")
_SAME_HEIGHT: Final = 0.05  # m
_TRIED: Final[dict[str, tuple[str, ...]]] = {
    "kg/m3": ("g/cm3", "kg/m3", "ppg", "pcf"),
    "s/m": ("us/ft", "us/m"),
    "m/s": ("m/h", "ft/h"),
    "N": ("kN", "klbf", "lbf", "t*m/s2"),
    "1/s": ("rpm", "Hz"),
    "m": ("in", "mm", "m"),
    "Pa": ("MPa", "psi", "bar", "kPa"),
    "K": ("degC", "degF", "K"),
    "rad": ("deg", "rad"),
}


@dataclass(frozen=True)
class Finding:
    """One thing to know of a curve before it is trusted."""

    kind: Kind
    curve: str
    text: str

    def __str__(self) -> str:
        return f"{self.curve}: {self.text}" if self.curve else self.text

    @property
    def said(self) -> str:
        """What a face shows: the curve in words, and the text."""
        return f"{in_words(self.curve)}: {self.text}" if self.curve else self.text


def _m(depth: float) -> str:
    return f"{show(float(depth), 'm', significant=6)} below the sea bed"


# ---- before: the data --------------------------------------------------------------------


def judge_units(readings: tuple[Reading, ...]) -> None:
    """Refuse curves whose middle is no number that rock, mud or bits can have.

    Raises
    ------
    InputErrors
        Most likely the unit is another one: the unit that would fit is named.
    """
    faults = []
    for reading in readings:
        if reading.words:
            continue
        low, high = MIDDLES.get(reading.name, CURVES[reading.name][1:])
        middle = float(np.median(reading.numbers))
        if not low <= middle <= high:
            unit = reading.written
            factor = to_si(1.0, unit, reading.unit) - to_si(0.0, unit, reading.unit)
            written = (middle - to_si(0.0, unit, reading.unit)) / factor
            found = f"readings about {written:.4g} {unit}, the middle of {len(reading.numbers)}"
            wanted = f"{show(low, reading.unit)} to {show(high, reading.unit)}"
            where = f"{reading.file}, column '{reading.column}', {reading.name}"
            faults.append(Fault(where, found, wanted, _unit_that_fits(reading, written)))
    if faults:
        raise InputErrors(faults)


def _unit_that_fits(reading: Reading, written: float) -> str:
    low, high = MIDDLES.get(reading.name, CURVES[reading.name][1:])
    for unit in _TRIED.get(reading.unit, ()):
        try:
            si = to_si(written, unit, reading.unit)
        except InputErrors:
            continue
        if low <= si <= high and unit != reading.written:
            return f"In {unit} they would be {show(si, reading.unit)}: look at the unit."
    return "Look at the unit and at what stands for a missing value."


def file_findings(prognosis: Prognosis, notes: tuple[str, ...]) -> Iterator[Finding]:
    """Yield what the files say of themselves; a height of the drill floor is compared."""
    height = prognosis.neighbour.drill_floor_height
    for note in notes:
        told = _HEIGHT.search(note)
        unit = written_unit(told["unit"], "m") if told else None
        if told is None or unit is None:
            yield Finding("note", "", note)
        elif abs(to_si(float(told["number"]), unit, "m") - height) > _SAME_HEIGHT:
            text = f"{note} drill_floor_height says {show(height, 'm', significant=5)}."
            yield Finding("doubt", "depth", text)


def data_findings(prognosis: Prognosis, readings: tuple[Reading, ...]) -> Iterator[Finding]:
    """Yield what is odd about the data, curve by curve."""
    for reading in readings:
        yield from _missing(reading)
        yield from _declared(reading)
        if not reading.words:
            yield from _outliers(prognosis, reading)
        yield from _gaps(cleaned(reading, keep_spikes=True))
        yield from _datum(prognosis, reading)


def _declared(reading: Reading) -> Iterator[Finding]:
    if reading.declared and conversion(reading.declared) != conversion(reading.written):
        text = (
            f"the file says [{reading.declared}], {PROGNOSIS_FILE} says [{reading.written}], "
            "which was taken."
        )
        yield Finding("doubt", reading.name, text)


def _missing(reading: Reading) -> Iterator[Finding]:
    if reading.missing:
        rows = reading.missing + len(reading.depths)
        yield Finding("note", reading.name, f"{reading.missing:,} of {rows:,} rows hold no value.")
    if reading.above:
        text = f"{reading.above:,} rows lie above the sea bed and are left out."
        yield Finding("doubt", reading.name, text)


def _outliers(prognosis: Prognosis, reading: Reading) -> Iterator[Finding]:
    bad = impossible(reading)
    if np.any(bad):
        text = f"{_places(reading, np.flatnonzero(bad))} can be no rock; left out."
        yield Finding("doubt", reading.name, text)
    sound = cleaned(reading, keep_spikes=True)
    spikes = np.flatnonzero(spiky(sound))
    if len(spikes):
        done = "left out" if prognosis.spikes == "leave out" else "kept, as spikes: keep says"
        text = f"{_places(sound, spikes)} stand far off their neighbours (spikes); {done}."
        yield Finding("doubt", reading.name, text)


def _places(reading: Reading, rows: NDArray[np.intp]) -> str:
    told = [
        f"{show(float(reading.numbers[row]), reading.unit, unit=reading.written)} at "
        f"{_m(reading.depths[row])}"
        for row in rows[:_MOST_PLACES].tolist()
    ]
    more = f" and {len(rows) - _MOST_PLACES} more" if len(rows) > _MOST_PLACES else ""
    return ", ".join(told) + more


def _gaps(reading: Reading) -> Iterator[Finding]:
    """Yield where a log has no readings for much longer than it usually has."""
    if reading.words or len(reading.depths) < _FEWEST:
        return
    steps = np.diff(reading.depths)
    usual = float(np.median(steps))
    gaps = np.flatnonzero(steps > _LONG_GAP * usual)
    if len(gaps):
        told = [
            f"{_m(reading.depths[row])} to {show(float(reading.depths[row + 1]), 'm')}"
            for row in gaps[:_MOST_PLACES].tolist()
        ]
        more = f" and {len(gaps) - _MOST_PLACES} more" if len(gaps) > _MOST_PLACES else ""
        text = f"no readings from {', '.join(told)}{more}; taken straight across."
        yield Finding("doubt", reading.name, text)


def _datum(prognosis: Prognosis, reading: Reading) -> Iterator[Finding]:
    data = next(d for d in prognosis.data if reading.name in d.curves)
    water = prognosis.neighbour.water_depth
    first = float(reading.depths[0]) - prognosis.neighbour.depth_shift
    if data.datum == "sea bed" and first > 0.8 * water:
        text = (
            f"the first reading stands at {_m(first)}, about as deep as the neighbour's water "
            f"({show(water, 'm')}): are depths of {data.file} counted from the sea bed?"
        )
        yield Finding("doubt", reading.name, text)


def coverage(ground: Ground) -> Iterator[Finding | Fault]:
    """Yield where a curve ends before the depths it is needed at: a fault, or held and told."""
    prognosis, deepest = ground.prognosis, float(ground.z[-1])
    hold = prognosis.beyond_data == "hold"
    where = written_at(prognosis, "deepest")
    for name, top in _used(ground).items():
        reading = ground.readings[name]
        first, last = float(reading.depths[0]), float(reading.depths[-1])
        if last < deepest - prognosis.spacing:
            if not hold:
                found = f"{name} ends at {_m(last)}"
                fix = "Ask for less depth, bring more data, or write beyond_data: hold."
                yield Fault(where, found, f"readings down to {_m(deepest)}", fix)
            else:
                text = f"ends at {_m(last)} and is held from there down to {_m(deepest)}."
                yield Finding("doubt", name, text)
        if first > top + prognosis.spacing:
            text = f"begins at {_m(first)}; above, from {_m(top)}, its first value is taken."
            yield Finding("doubt", name, text)


def _used(ground: Ground) -> dict[str, float]:
    """Return the numeric curves that are used to the deepest node, and from which depth on."""
    prognosis = ground.prognosis
    pore, wall = prognosis.pore_pressure, prognosis.wall
    elastic = ground.below(wall.elastic_below)
    used: dict[str, float] = {}
    if prognosis.overburden.method == "bulk density":
        used["bulk_density"] = np.inf  # above it stands the compaction trend
    if pore.normal_above is not None:
        logs = {
            "eaton sonic": ("transit_time",),
            "bowers": ("transit_time",),
            "eaton resistivity": ("resistivity",),
            "eaton drilling exponent": ("weight_on_bit", "bit_speed", "hole_diameter"),
        }.get(pore.method, ())
        used |= {name: ground.below(pore.normal_above) for name in logs}
    for name in ("unconfined_compressive_strength", "friction_angle", "poisson_ratio"):
        used[name] = elastic
    used |= {"thermal_conductivity": 0.0, "rate_of_penetration": 0.0}
    if prognosis.heat.method == "table":
        used["temperature"] = np.inf  # the bottom water stands above it
    return {name: top for name, top in used.items() if name in ground.readings}


# ---- after: the curves -------------------------------------------------------------------


def judge_curves(curves: Mapping[str, Curve], z: Array) -> None:
    """Refuse curves that no earth can have.

    Raises
    ------
    InputErrors
        Negative effective stress, a window that closes, a wall that no pressure holds.
    """
    faults = [
        *_above(curves, z, "pore_pressure", "vertical_stress", "negative effective stress"),
        *_above(curves, z, "pore_pressure", "fracture_pressure", "the window closes"),
    ]
    collapse = curves["hole_collapse_pressure"].si
    never = np.flatnonzero(~np.isfinite(collapse))
    if len(never):
        where = f"hole_collapse_pressure at {_m(z[never[0]])}"
        found = f"no pressure that holds the wall ({len(never)} depths)"
        fix = "Look at the strength of the rock and at the stresses there, or allow a breakout."
        faults.append(Fault(where, found, "rock that some pressure holds", fix))
    if faults:
        raise InputErrors(faults)


def _above(
    curves: Mapping[str, Curve], z: Array, low: str, high: str, said: str
) -> Iterator[Fault]:
    least, most = curves[low].si, curves[high].si
    rows = np.flatnonzero((least >= most) & (z > 0.0))
    if len(rows):
        row = int(rows[0])
        found = f"{show(float(least[row]), 'Pa')}, {said} ({len(rows)} depths)"
        wanted = f"less than {high}, {show(float(most[row]), 'Pa')}"
        fix = "Look at the normal trend, the leak-off tests and the datum of the depths."
        yield Fault(f"{low} at {_m(z[row])}", found, wanted, fix)


def curve_findings(
    prognosis: Prognosis, curves: Mapping[str, Curve], z: Array, tests: Array
) -> Iterator[Finding]:
    """Yield what the curves themselves say."""
    fracture, pore = curves["fracture_pressure"].si, curves["pore_pressure"].si
    collapse, breakdown = curves["hole_collapse_pressure"].si, curves["breakdown_pressure"].si
    vertical, minor = curves["vertical_stress"].si, curves["minor_horizontal_stress"].si
    elastic = z >= _elastic_top(curves)
    closed = elastic & (collapse >= fracture)
    if np.any(closed):
        text = f"at or above the fracture pressure {_span(z, closed)}: no mud density serves there."
        yield Finding("doubt", "hole_collapse_pressure", text)
    early = elastic & (breakdown < fracture)
    if np.any(early):
        text = (
            f"the wall opens below the fracture pressure {_span(z, early)}: small losses at the "
            "wall may come before the fracture pressure is reached."
        )
        yield Finding("doubt", "breakdown_pressure", text)
    limit = float(np.asarray(frictional_stress_limit(1.0)))
    floor = np.asarray(least_stress_at_frictional_limit(vertical, pore, limit))
    if np.any(minor < floor):
        text = (
            f"less than friction on faults lets stand (coefficient 1.0) {_span(z, minor < floor)}: "
            "look at the leak-off tests."
        )
        yield Finding("doubt", "fracture_pressure", text)
    near = prognosis.spacing
    if len(tests) and (tests[0] > z[0] + near or tests[-1] < z[-1] - near):
        text = (
            f"leak-off tests reach from {_m(tests[0])} to {show(float(tests[-1]), 'm')}; "
            "beyond, the ratio of the nearest test is taken."
        )
        yield Finding("note", "fracture_pressure", text)
    soft = _elastic_top(curves)
    if soft > 0.0:
        text = (
            f"above {_m(soft)} the mud is soft, elastic wall theory is not used and the pore "
            "pressure stands for the collapse pressure (assumed)."
        )
        yield Finding("note", "hole_collapse_pressure", text)
    for curve in curves.values():
        yield from (Finding("doubt", curve.name, remark) for remark in curve.remarks)
        for broken in curve.outside_validity():
            yield Finding("doubt", curve.name, f"OUTSIDE VALIDITY: {broken}.")


def _elastic_top(curves: Mapping[str, Curve]) -> float:
    return curves["hole_collapse_pressure"].pieces[-1][0]


def _span(z: Array, where: Mask) -> str:
    rows = np.flatnonzero(where)
    first, last = float(z[rows[0]]), float(z[rows[-1]])
    if len(rows) == 1:
        return f"at {_m(first)}"
    return f"from {_m(first)} to {show(last, 'm', significant=6)} ({len(rows)} depths)"
