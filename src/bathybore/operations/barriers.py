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
from dataclasses import replace

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.segments import pressure_with_margin
from bathybore.model.plan import Casing
from bathybore.operations.columns import (
    depth_nodes,
    earth_value,
    gravity_value,
    pressure_under,
    sea_bed_pressure,
    static_pressure,
)
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import (
    Barrier,
    CasingInPlace,
    Element,
    FlowSource,
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


def with_barriers(state: HoleState) -> HoleState:
    """Return the state with what could flow, what holds it, and what does not count."""
    found: list[Barrier] = []
    faults: list[str] = []
    for one in _candidates(state):
        if isinstance(one, str):
            faults.append(one)
            continue
        shared = next(((b, e) for b in found if (e := one.shares(b)) is not None), None)
        if shared is not None:
            faults.append(f"{one.name}: shares {shared[1].part} with {shared[0].name}")
        else:
            found.append(one)
    return replace(
        state, flows=flow_sources(state), barriers=tuple(found), barrier_faults=tuple(faults)
    )


def flow_sources(state: HoleState) -> tuple[FlowSource, ...]:
    """Return the intervals of the open hole that could flow to the sea bed by themselves."""
    hole, top, bottom = state.hole, state.deepest_shoe, state.bottom
    if bottom - top < _LEAST_OPEN:
        return ()
    found = [
        *_told(state, "formation_fluid", HYDROCARBONS),
        *_told(state, "hazard", FLOWING_HAZARDS),
    ]
    z = depth_nodes(hole, top, bottom)
    pore = np.asarray(earth_value(hole, "pore_pressure", z).si)
    sea = pressure_under(hole, sea_water(hole), sea_bed_pressure(hole), hole.sea_bed, z)
    # a pore pressure that is not known is not known to be low
    held = pore <= np.asarray(sea.si) * (1.0 + _PRESSURE_RESOLUTION)
    if not held.all():
        over = z[~held]
        what = "pore pressure above sea water"
        found.append(FlowSource(what, BelowSeaLevel(over[0]), BelowSeaLevel(over[-1])))
    return tuple(found)


def _told(state: HoleState, column: str, words: tuple[str, ...]) -> Iterator[FlowSource]:
    """Yield what a column of the prognosis tells of the open hole."""
    bed = state.hole.sea_bed
    for upper, lower, word in state.hole.earth.intervals(column):
        top, bottom = max(upper + bed, state.deepest_shoe), min(lower + bed, state.bottom)
        if word in words and bottom > top:
            yield FlowSource(word, BelowSeaLevel(top), BelowSeaLevel(bottom))


def flowing_pressure(state: HoleState, z: Array) -> Value:
    """Return the pressure to hold: pore pressure, and the overpressure of a told hazard."""
    hole = state.hole
    below = z - hole.sea_bed
    told = np.zeros(z.shape, dtype=bool)
    for upper, lower, word in hole.earth.intervals("hazard"):
        if word in FLOWING_HAZARDS:
            told |= (below >= upper) & (below <= lower)
    stated = hole.basis.value("shallow_overpressure")
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
        pressure=earth_value(hole, "pore_pressure", z, "pressure"),
        margin_density=margin,
        height=Value("height", below, "m", FromWalk("depth below the sea bed"), -1),
        gravity=gravity_value(hole),
    ).named("pore_pressure")


def _candidates(state: HoleState) -> Iterator[Barrier | str]:
    """Yield every barrier there might be; in words what stands there and does not count."""
    column = _column(state)
    if column is not None:
        yield column
    yield from (_plug(state, plug) for plug in state.plugs)
    yield from _closed_shoe(state)
    yield from _preventer(state)


def _column(state: HoleState) -> Barrier | None:
    top, bottom = state.deepest_shoe, state.bottom
    if bottom - top < _LEAST_OPEN or not state.layers or state.plugs:
        return None
    z = depth_nodes(state.hole, top, bottom)
    needed = np.asarray(flowing_pressure(state, z).si)
    if not np.all(np.asarray(static_pressure(state, z).si) >= needed):
        return None
    name = f"column of {state.layers[-1].name}"
    return Barrier(name, "fluid", True, top, (Element(name, state.layers[0].top, bottom),))


def _closed_shoe(state: HoleState) -> Iterator[Barrier | str]:
    """Yield the deepest casing while its cement closes the hole: not drilled out yet."""
    last = state.last_casing
    if last is None or last.cement_top is None or last.drilled_out:
        return
    name = f"{last.name} and its cement"
    if not isinstance(last.plan, Casing) or last.plan.test_pressure is None:
        yield f"{name}: not tested (it has no test_pressure)"
        return
    if last.shoe - last.cement_top < state.hole.basis.least_plug_length:
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


def _preventer(state: HoleState) -> Iterator[Barrier | str]:
    """Yield the preventer on the string that carries the wellhead, its cement included.

    That is the shallowest casing hung at the wellhead: later ones hang inside it, and
    a liner carries nothing of the stack.
    """
    hole = state.hole
    cemented = [c for c in state.casings if c.cement_top is not None and not c.is_conductor]
    at_wellhead = [c for c in cemented if c.top <= hole.sea_bed + _SAME]
    if state.riser is None or not at_wellhead:
        return
    carrier = min(at_wellhead, key=lambda c: c.shoe)
    name = f"preventer on {carrier.name} and its cement"
    if state.last_preventer_test is None:
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


def _plug(state: HoleState, plug: PlugInPlace) -> Barrier | str:
    """Return the barrier that a plug makes, or why it makes none."""
    hole, shoe = state.hole, state.deepest_shoe
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
        if plug.bottom < min(shoe + least, state.bottom) - _SAME:
            return f"{name}: reaches less than {least:.0f} m below the shoe"
        end = shoe
    around = [c for c in state.casings if c.top < end and c.shoe > plug.top and not c.is_conductor]
    if not around:
        return f"{name}: no cemented casing stands round it"
    for casing in around:
        behind = max(plug.top, casing.top)
        if casing.cement_top is None or casing.cement_top > behind + _SAME:
            return f"{name}: {casing.name} is not cemented behind it"
    cement = tuple(_cement(c, plug.top, end) for c in around)
    elements = (Element(name, plug.top, plug.bottom), *cement)
    return Barrier(name, "mechanical", True, plug.top, elements)
