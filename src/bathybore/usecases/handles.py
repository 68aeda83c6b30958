"""The numbers of a plan that can be taken hold of, and what moving one means for the document.

A hand moves one thing and expects what hangs on it to follow: the section ends as far below its
shoe as before, the tail cement stays as long as it was, the target stays at the foot of the core.
What is written stays in the unit and datum that the user chose.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from bathybore.base.depth import Datum, Depth
from bathybore.base.errors import Fault, InputErrors, nearest
from bathybore.base.units import UnitSystem, from_si, parse_quantity, show, written_unit
from bathybore.model.editing import Edit
from bathybore.model.hole import Hole
from bathybore.model.keys import path_of
from bathybore.model.plan import Casing, Section
from bathybore.usecases.scene import Handle

# the finest that a hand sets, by SI unit: a metre, a thousandth of the density of water, 10 L/min
_STEP: Final = {"m": 1.0, "kg/m3": 1.0, "m3/s": 1e-2 / 60.0}
# lighter than any drilling fluid without gas in it, heavier than any weighted mud: common practice
_DENSITIES: Final = (800.0, 2600.0)
_CLEAR: Final = 1.0  # [m] that neighbours keep apart
_SAME: Final = 1e-6  # [m]; depths closer than this are one depth written in two ways


@dataclass(frozen=True)
class _Spot:
    """One handle before it is told in words.

    Attributes
    ----------
    value, least, most : SI; of depths below mean sea level
    follows : (key, how far below) of depths that move along
    """

    id: str
    kind: str
    label: str
    track: str
    key: str
    value: float
    unit: str
    least: float
    most: float
    z: float
    section: str
    follows: tuple[tuple[str, float], ...] = ()


def handles(hole: Hole, system: UnitSystem = "metric") -> tuple[Handle, ...]:
    """Return every handle of a plan, in the order of the plan."""
    return tuple(_told(hole, spot, system) for spot in _spots(hole))


def handle_edits(hole: Hole, handle_id: str, value: float) -> tuple[Edit, ...]:
    """Return the edits that move a handle to an SI value (of depths: below mean sea level).

    A hand stops at the neighbours; to write more than they allow, type it.

    Raises
    ------
    InputErrors
        There is no such handle, or the value is not finite.
    """
    spot = _find(hole, handle_id)
    if not math.isfinite(value):
        raise InputErrors.one(spot.key, repr(value), "a finite number")
    least, most = min(spot.least, spot.value), max(spot.most, spot.value)
    value = min(max(value, least), most)
    if abs(value - spot.value) < 1e-9 * max(1.0, abs(value)):
        return (Edit("set", spot.key, _written(hole, spot.key)),)  # not moved: as it was written
    text = _text(hole, spot.key, spot.unit, value)
    if not least <= _read(hole, spot, text) <= most:
        text = _text(hole, spot.key, spot.unit, value, exactly=True)  # rounding may not cross
    return _edits(hole, spot, text, _read(hole, spot, text))


def type_edits(hole: Hole, handle_id: str, text: str) -> tuple[Edit, ...]:
    """Return the edits that set a handle to what was typed, with its unit and datum.

    Raises
    ------
    InputErrors
        There is no such handle, or the text cannot be read as its quantity.
    """
    spot = _find(hole, handle_id)
    try:
        value = _read(hole, spot, text)
    except InputErrors as error:  # told at the key it is for
        raise InputErrors(
            Fault(spot.key, one.found, one.expected, one.fix) for one in error.faults
        ) from error
    return _edits(hole, spot, text.strip(), value)


def _edits(hole: Hole, spot: _Spot, text: str, value: float) -> tuple[Edit, ...]:
    moved = [Edit("set", spot.key, text)]
    for key, below in spot.follows:
        moved.append(Edit("set", key, _text(hole, key, "m", value + below)))
    return tuple(moved)


def _read(hole: Hole, spot: _Spot, text: str) -> float:
    """Return in SI what is written; of depths below mean sea level."""
    return float(hole.z(Depth.parse(text))) if spot.unit == "m" else parse_quantity(text, spot.unit)


def _find(hole: Hole, handle_id: str) -> _Spot:
    spots = {spot.id: spot for spot in _spots(hole)}
    if handle_id not in spots:
        found, wanted = f"'{handle_id[:60]}'", "a handle of this plan"
        raise InputErrors.one("handle", found, wanted, nearest(handle_id[:60], spots))
    return spots[handle_id]


def _told(hole: Hole, spot: _Spot, system: UnitSystem) -> Handle:
    written = _written(hole, spot.key)
    if spot.unit == "m":
        says = hole.depth(spot.value, _datum(written)).show(system)
    else:
        says = show(spot.value, spot.unit, system)
    return Handle(
        id=spot.id,
        kind=spot.kind,
        label=spot.label,
        track=spot.track,
        key=spot.key,
        written=written,
        value=spot.value,
        unit=spot.unit,
        least=min(spot.least, spot.value),
        most=max(spot.most, spot.value),
        step=_STEP[spot.unit],
        z=spot.z,
        section=spot.section,
        says=says,
    )


# -- what there is to take hold of ---------------------------------------------------------


def _spots(hole: Hole) -> Iterator[_Spot]:
    plan = hole.plan
    first = plan.conductor
    floor = float(hole.sea_bed)
    shoe = float(hole.z(first.shoe))
    below = _top_of_next(hole, 0)
    yield _depth(hole, "shoe", first.name, f"shoe of {first.name}", "plan.conductor.shoe", shoe,
                 floor + _CLEAR, below - _CLEAR, first.name)  # fmt: skip
    above = ended = shoe
    for index, section in enumerate(plan.sections):
        yield from _section(hole, index, section, above, ended)
        ended = float(hole.z(section.bottom))
        if section.casing is not None:
            above = float(hole.z(section.casing.shoe))
    yield from _core(hole, above)
    yield from _densities(hole)


def _depth(
    hole: Hole, kind: str, name: str, label: str, key: str, value: float, least: float,
    most: float, section: str, follows: tuple[tuple[str, float], ...] = (),
) -> _Spot:  # fmt: skip
    return _Spot(f"{kind}:{name}", kind, label, "hole", key, value, "m", least, most, value,
                 section, follows)  # fmt: skip


def _section(
    hole: Hole, index: int, section: Section, above: float, ended: float
) -> Iterator[_Spot]:
    """Yield the handles of a section; the one above ended at ``ended``, the last shoe is above."""
    key, bottom = f"plan.sections[{index}]", float(hole.z(section.bottom))
    last = index == len(hole.plan.sections) - 1
    coring = hole.plan.coring if last else None
    if section.casing is not None:
        yield from _casing(
            hole, index, section, section.casing, max(above, ended - _rathole(hole, section))
        )
    elif coring is None or abs(hole.z(coring.bottom) - bottom) >= _SAME:  # else it follows the core
        least = max(above + _CLEAR, ended + _CLEAR, _held(hole) if last else -math.inf)
        most = _foot(hole) if last else min(_top_of_next(hole, index + 1), _foot(hole)) - _CLEAR
        yield _depth(hole, "section_bottom", section.name, f"bottom of {section.name}",
                     f"{key}.bottom", bottom, least, most, section.name)  # fmt: skip
    yield _flow(hole, section.name, f"flow rate of {section.name}", f"{key}.flow_rate",
                section.flow_rate, bottom, section.name)  # fmt: skip


def _casing(
    hole: Hole, index: int, section: Section, casing: Casing, above: float
) -> Iterator[_Spot]:
    key = f"plan.sections[{index}]"
    shoe, bottom = float(hole.z(casing.shoe)), float(hole.z(section.bottom))
    cement, name = casing.cement, casing.name
    lead = float(hole.z(cement.top))
    tail = None if cement.tail_top is None else float(hole.z(cement.tail_top))
    top = float(hole.sea_bed) if isinstance(casing.hung_at, str) else float(hole.z(casing.hung_at))
    follows = [(f"{key}.bottom", bottom - shoe)]
    if tail is not None:
        follows.append((f"{key}.casing.cement.tail_top", tail - shoe))
    highest = max(above, lead + (shoe - tail if tail is not None else 0.0), _hanging(hole, index))
    if index == len(hole.plan.sections) - 1:
        highest = max(highest, _held(hole) - (bottom - shoe))
    lowest = _top_of_next(hole, index + 1) - (bottom - shoe)
    yield _depth(hole, "shoe", name, f"shoe of {name}", f"{key}.casing.shoe", shoe,
                 highest + _CLEAR, lowest - _CLEAR, section.name, tuple(follows))  # fmt: skip
    yield _depth(hole, "cement_top", name, f"top of cement of {name}", f"{key}.casing.cement.top",
                 lead, top, (shoe if tail is None else tail) - _CLEAR, section.name)  # fmt: skip
    if tail is not None:
        yield _depth(hole, "tail_top", name, f"top of tail cement of {name}",
                     f"{key}.casing.cement.tail_top", tail, lead + _CLEAR, shoe - _CLEAR,
                     section.name)  # fmt: skip


def _core(hole: Hole, above: float) -> Iterator[_Spot]:
    plan, coring = hole.plan, hole.plan.coring
    if coring is None:
        return
    top, bottom = float(hole.z(coring.top)), float(hole.z(coring.bottom))
    last = len(plan.sections) - 1
    name = plan.sections[last].name
    ends = (
        (f"plan.sections[{last}].bottom", plan.sections[last].bottom),
        ("plan.target", plan.target),
    )
    follows = tuple((key, 0.0) for key, depth in ends if abs(hole.z(depth) - bottom) < _SAME)
    follow = {key for key, _ in follows}
    least, most = top + _CLEAR, _foot(hole)
    if "plan.target" in follow:  # the foot of the hole goes up with it as far as the plugs allow
        least = max(least, _held(hole, plugs_alone=True))
    elif follow:
        least = max(least, _held(hole))
    else:
        most = min(most, float(hole.z(plan.sections[last].bottom)))
    ended = float(hole.z(plan.sections[last - 1].bottom)) if last else above
    yield _depth(hole, "core_top", "core", "top of the core", "plan.coring.top", top,
                 max(above, ended), bottom - _CLEAR, name)  # fmt: skip
    yield _depth(hole, "core_bottom", "core", "bottom of the core", "plan.coring.bottom", bottom,
                 least, most, name, follows)  # fmt: skip
    yield _flow(hole, "core", "flow rate of coring", "plan.coring.flow_rate", coring.flow_rate,
                bottom, name)  # fmt: skip


def _flow(
    hole: Hole, name: str, label: str, key: str, value: float, z: float, section: str
) -> _Spot:
    return _Spot(f"flow:{name}", "flow", label, "window", key, value, "m3/s", _STEP["m3/s"],
                 max(_greatest_flow(hole), value), z, section)  # fmt: skip


def _densities(hole: Hole) -> Iterator[_Spot]:
    """Yield the fluid of every section and of the core, each once, where it is first in use."""
    plan = hole.plan
    top = float(hole.sea_bed)
    used: dict[str, tuple[float, str]] = {}
    for section in plan.sections:
        used.setdefault(section.fluid, (0.5 * (top + hole.z(section.bottom)), section.name))
        if section.casing is not None:
            top = float(hole.z(section.casing.shoe))
    if plan.coring is not None:
        middle = 0.5 * (hole.z(plan.coring.top) + hole.z(plan.coring.bottom))
        used.setdefault(plan.coring.fluid, (middle, plan.sections[-1].name))
    for fluid, (z, name) in used.items():
        yield _Spot(f"density:{fluid}", "density", f"density of {fluid}", "window",
                    f"plan.fluids[{fluid}].density", plan.fluids[fluid].density, "kg/m3",
                    *_DENSITIES, z, name)  # fmt: skip


# -- neighbours ----------------------------------------------------------------------------


def _top_of_next(hole: Hole, index: int) -> float:
    """Return the highest place below that a shoe above section ``index`` may not pass."""
    plan = hole.plan
    places = [float(hole.z(s.casing.shoe)) for s in plan.sections[index:] if s.casing is not None]
    places += [float(hole.z(s.bottom)) for s in plan.sections[index:]]
    if plan.coring is not None:
        places.append(float(hole.z(plan.coring.top)))
    return min(places, default=_foot(hole))


def _rathole(hole: Hole, section: Section) -> float:
    """Return how far below its shoe a section ends."""
    return float(hole.z(section.bottom) - hole.z(section.casing.shoe)) if section.casing else 0.0


def _held(hole: Hole, *, plugs_alone: bool = False) -> float:
    """Return what keeps the foot of the last section down: target, core and plugs above it."""
    plan = hole.plan
    depths = [plug.bottom for plug in plan.leaving.plugs]
    if not plugs_alone:
        depths += [plan.target, *([plan.coring.bottom] if plan.coring is not None else [])]
    return max(float(hole.z(depth)) for depth in depths)


def _hanging(hole: Hole, index: int) -> float:
    """Return where the liner below hangs: the shoe of the casing it hangs in stays below it."""
    below = hole.plan.sections[index + 1 : index + 2]
    hung = [s.casing.hung_at for s in below if s.casing is not None]
    return max((float(hole.z(at)) for at in hung if isinstance(at, Depth)), default=-math.inf)


def _foot(hole: Hole) -> float:
    """Return how deep the prognosis reaches."""
    return float(hole.sea_bed) + hole.earth.deepest


def _greatest_flow(hole: Hole) -> float:
    pumps = hole.vessel.pumps
    volume = max(liner.volume_per_stroke for liner in pumps.liners)
    return pumps.count * volume * pumps.greatest_stroke_rate


# -- as it is written ----------------------------------------------------------------------


def _written(hole: Hole, key: str) -> str:
    return hole.tree.written.get(path_of(key, hole.tree), "")


def _datum(written: str) -> Datum:
    return next((datum for datum in Datum if written.rstrip().endswith(str(datum))), Datum.SEA_BED)


def _text(hole: Hole, key: str, unit: str, value: float, *, exactly: bool = False) -> str:
    """Return an SI value in the unit and datum that stand at a key now, rounded for a hand."""
    written = _written(hole, key)
    if unit != "m":
        value = value if exactly else round(value / _STEP[unit]) * _STEP[unit]
        shown = written_unit(written)
        return f"{_rounded(from_si(value, unit, shown), unit, shown, exactly)} {shown}"
    datum = _datum(written)
    metres = hole.depth(value, datum).metres
    quantity = written.partition(" below ")[0].partition(" above ")[0]
    shown = written_unit(quantity)
    number = _rounded(abs(from_si(metres, "m", shown)), unit, shown, exactly)
    return f"{number} {shown} {'above' if metres < 0.0 else 'below'} {datum}"


def _rounded(value: float, unit: str, shown: str, exactly: bool) -> str:
    """Return a number to about the finest that a hand sets, in the unit shown."""
    finest = abs(from_si(_STEP[unit], unit, shown) - from_si(0.0, unit, shown))
    # a unit a little finer than the step needs no digit more: 1 kg/m3 is 0.008 ppg, two will do
    decimals = max(0, math.ceil(-math.log10(finest) - 0.2))
    text = f"{value:.{decimals + 4 if exactly else decimals}f}"
    return text.rstrip("0").rstrip(".") if exactly and "." in text else text
