"""What could flow from the open hole, what keeps it in, and what only seems to.

Common practice: once anything in the open hole can flow by itself, two barriers that
share no element stand between it and the sea. A source is told by the prognosis
(hydrocarbons, shallow gas, shallow water flow) or follows from a pore pressure above
that of a column of sea water.

The rule for plugs is the strict one, rock to rock: a plug closes a bore only, so it
counts where every casing round it is cemented over the length relied on. Flow that
passes one plug could else go round the next behind an uncemented casing. The jetted
conductor is left out: the soil closes on it. The plug across the deepest shoe reaches
`least_plug_length` up into the casing and down into the open hole, or to the bottom.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.frozen import changed, quickly_made
from bathybore.base.keeping import SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.segments import pressure_with_margin
from bathybore.model.hole import Setting
from bathybore.model.plan import Casing
from bathybore.operations.columns import (
    column_pressure,
    column_top,
    depth_nodes,
    earth_value,
    gravity_value,
    pressure_under,
    sea_bed_pressure,
)
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import (
    Barrier,
    CasingInPlace,
    Element,
    FlowSource,
    FluidLayer,
    HoleState,
    PlugInPlace,
)

HYDROCARBONS = ("gas", "oil")
FLOWING_HAZARDS = ("shallow gas", "shallow water flow")
GASES = (*HYDROCARBONS, "shallow gas")
# Pore pressure counts as above sea water when it exceeds it by this share: reading accuracy.
_PRESSURE_RESOLUTION = 2e-3
# Less open hole than this is the play of a shoe, not an interval.
_LEAST_OPEN = 1.0
_SAME = 1e-6  # m


@quickly_made
@dataclass(frozen=True, eq=False)
class Standing:
    """What stands in a hole, as far as it may keep something in."""

    setting: Setting
    shoe: BelowSeaLevel
    bottom: BelowSeaLevel
    casings: tuple[CasingInPlace, ...]
    layers: tuple[FluidLayer, ...]
    plugs: tuple[PlugInPlace, ...]
    on_riser: bool
    preventer_tested: bool


def with_barriers(state: HoleState) -> HoleState:
    """Return the state with what could flow, what holds it, and what does not count."""
    standing = Standing(
        setting=state.hole.setting,
        shoe=state.deepest_shoe,
        bottom=state.bottom,
        casings=state.casings,
        layers=state.layers,
        plugs=state.plugs,
        on_riser=state.riser is not None,
        preventer_tested=state.last_preventer_test is not None,
    )
    barriers, faults = _in_force(same(standing))
    return changed(state, flows=flow_sources(state), barriers=barriers, barrier_faults=faults)


@kept(SOME)
def _in_force(standing: Standing) -> tuple[tuple[Barrier, ...], tuple[str, ...]]:
    """Return the barriers that share nothing, and why the others do not count."""
    found: list[Barrier] = []
    faults: list[str] = []
    for one in _candidates(standing):
        if isinstance(one, str):
            faults.append(one)
            continue
        shared = next(((b, e) for b in found if (e := one.shares(b)) is not None), None)
        if shared is not None:
            faults.append(f"{one.name}: shares {shared[1].part} with {shared[0].name}")
        else:
            elements = tuple(same(element) for element in one.elements)
            found.append(same(changed(one, elements=elements)))
    return tuple(found), tuple(faults)


def flow_sources(state: HoleState) -> tuple[FlowSource, ...]:
    """Return the intervals of the open hole that could flow to the sea bed by themselves."""
    return _flow_sources(state.hole.setting, state.deepest_shoe, state.bottom)


@kept(SOME)
def _flow_sources(
    setting: Setting, top: BelowSeaLevel, bottom: BelowSeaLevel
) -> tuple[FlowSource, ...]:
    if bottom - top < _LEAST_OPEN:
        return ()
    found = [
        *_told(setting, "formation_fluid", HYDROCARBONS, top, bottom),
        *_told(setting, "hazard", FLOWING_HAZARDS, top, bottom),
    ]
    z = depth_nodes(setting, top, bottom)
    pore = np.asarray(earth_value(setting, "pore_pressure", z).si)
    sea = pressure_under(setting, sea_water(setting), sea_bed_pressure(setting), setting.sea_bed, z)
    # a pore pressure that is not known is not known to be low
    held = pore <= np.asarray(sea.si) * (1.0 + _PRESSURE_RESOLUTION)
    if not held.all():
        over = z[~held]
        what = "pore pressure above sea water"
        found.append(FlowSource(what, BelowSeaLevel(over[0]), BelowSeaLevel(over[-1])))
    return tuple(found)


def _told(
    setting: Setting,
    column: str,
    words: tuple[str, ...],
    shoe: BelowSeaLevel,
    end: BelowSeaLevel,
) -> Iterator[FlowSource]:
    """Yield what a column of the prognosis tells of the open hole."""
    bed = setting.sea_bed
    for upper, lower, word in setting.earth.intervals(column):
        top, bottom = max(upper + bed, shoe), min(lower + bed, end)
        if word in words and bottom > top:
            yield FlowSource(word, BelowSeaLevel(top), BelowSeaLevel(bottom))


def flowing_pressure(state: HoleState, z: Array) -> Value:
    """Return the pressure to hold: pore pressure, and the overpressure of a told hazard."""
    return pressure_to_hold(state.hole.setting, z)


@kept(SOME)
def pressure_to_hold(setting: Setting, z: Array) -> Value:
    """Return the pore pressure at depth nodes, with the overpressure of a told hazard."""
    below = z - setting.sea_bed
    told = np.zeros(z.shape, dtype=bool)
    for upper, lower, word in setting.earth.intervals("hazard"):
        if word in FLOWING_HAZARDS:
            told |= (below >= upper) & (below <= lower)
    stated = setting.basis.value("shallow_overpressure")
    how = "overpressure where a shallow flow is told, nothing elsewhere"
    margin = Value(
        "margin_density",
        np.where(told, float(stated), 0.0),
        "kg/m3",
        Solved(how, "common-practice", (stated,)),
        -1,
    )
    return work(
        pressure_with_margin,
        pressure=earth_value(setting, "pore_pressure", z, "pressure"),
        margin_density=margin,
        height=Value("height", below, "m", FromWalk("depth below the sea bed"), -1),
        gravity=gravity_value(setting),
    ).named("pore_pressure")


def _candidates(standing: Standing) -> Iterator[Barrier | str]:
    """Yield every barrier there might be; in words what stands there and does not count."""
    column = _column(standing)
    if column is not None:
        yield column
    yield from (_plug(standing, plug) for plug in standing.plugs)
    yield from _closed_shoe(standing)
    yield from _preventer(standing)


def _column(standing: Standing) -> Barrier | None:
    setting, layers, top, bottom = (
        standing.setting,
        standing.layers,
        standing.shoe,
        standing.bottom,
    )
    if bottom - top < _LEAST_OPEN or not layers or standing.plugs:
        return None
    z = depth_nodes(setting, top, bottom)
    _, above = column_top(setting, standing.on_riser)
    held = np.asarray(column_pressure(setting, layers, above, z).si)
    if not (held >= np.asarray(pressure_to_hold(setting, z).si)).all():
        return None
    name = f"column of {layers[-1].name}"
    return Barrier(name, "fluid", True, top, (Element(name, layers[0].top, bottom),))


def _closed_shoe(standing: Standing) -> Iterator[Barrier | str]:
    """Yield the deepest casing while its cement closes the hole: not drilled out yet."""
    last = standing.casings[-1] if standing.casings else None
    if last is None or last.cement_top is None or last.drilled_out:
        return
    name = f"{last.name} and its cement"
    if not isinstance(last.plan, Casing) or last.plan.test_pressure is None:
        yield f"{name}: not tested (it has no test_pressure)"
        return
    if last.shoe - last.cement_top < standing.setting.basis.least_plug_length:
        yield f"{name}: {last.shoe - last.cement_top:.0f} m of cement above the shoe is too little"
        return
    track = BelowSeaLevel(last.shoe - last.plan.cement.shoe_track)
    elements = (Element(f"shoe track of {last.name}", track, last.shoe), _cement(last))
    yield Barrier(name, "mechanical", True, last.shoe, elements)


def _cement(
    casing: CasingInPlace, top: BelowSeaLevel | None = None, bottom: BelowSeaLevel | None = None
) -> Element:
    """Return the cement behind a casing, or the part of it between two places."""
    assert casing.cement_top is not None
    highest = casing.cement_top if top is None else max(top, casing.cement_top)
    lowest = casing.shoe if bottom is None else min(bottom, casing.shoe)
    return Element(f"cement of {casing.name}", highest, lowest)


def _preventer(standing: Standing) -> Iterator[Barrier | str]:
    """Yield the preventer on the string that carries the wellhead, its cement included.

    That is the shallowest casing hung at the wellhead: later ones hang inside it, and
    a liner carries nothing of the stack.
    """
    hole = standing.setting
    cemented = [c for c in standing.casings if c.cement_top is not None and not c.is_conductor]
    at_wellhead = [c for c in cemented if c.top <= hole.sea_bed + _SAME]
    if not standing.on_riser or not at_wellhead:
        return
    carrier = min(at_wellhead, key=lambda c: c.shoe)
    name = f"preventer on {carrier.name} and its cement"
    if not standing.preventer_tested:
        yield f"{name}: not tested"
        return
    bed = hole.sea_bed
    stack = hole.inventory.preventer.height if hole.inventory.preventer is not None else 0.0
    elements = (
        Element("preventer", BelowSeaLevel(bed - stack), bed),
        Element("wellhead", bed, bed),
        Element(carrier.name, carrier.top, carrier.shoe),
        _cement(carrier),
    )
    yield Barrier(name, "mechanical", True, bed, elements)


def _plug(standing: Standing, plug: PlugInPlace) -> Barrier | str:
    """Return the barrier that a plug makes, or why it makes none."""
    hole, shoe = standing.setting, standing.shoe
    name, least = f"cement plug at {hole.depth(plug.top)}", hole.basis.least_plug_length
    if not plug.tested:
        return f"{name}: not tested"
    if plug.bottom - plug.top < least - _SAME:
        return f"{name}: shorter than {least:.0f} m"
    if plug.top < hole.sea_bed - _SAME:
        return f"{name}: above the sea bed"
    if plug.top > shoe - _SAME:
        return f"{name}: all in the open hole, fluid passes it through the rock"
    end = plug.bottom
    if plug.bottom > shoe + _SAME:
        if shoe - plug.top < least - _SAME:
            return f"{name}: reaches less than {least:.0f} m above the shoe"
        if plug.bottom < min(shoe + least, standing.bottom) - _SAME:
            return f"{name}: reaches less than {least:.0f} m below the shoe"
        end = shoe
    around = [
        c for c in standing.casings if c.top < end and c.shoe > plug.top and not c.is_conductor
    ]
    if not around:
        return f"{name}: no cemented casing stands round it"
    for casing in around:
        behind = max(plug.top, casing.top)
        if casing.cement_top is None or casing.cement_top > behind + _SAME:
            return f"{name}: {casing.name} is not cemented behind it"
    cement = tuple(_cement(c, plug.top, end) for c in around)
    elements = (Element(name, plug.top, plug.bottom), *cement)
    return Barrier(name, "mechanical", True, plug.top, elements)
