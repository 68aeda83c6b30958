"""What a step uses up: mud built, lost and returned, barite, cement, sea water.

Every amount is a value that can be opened; the running totals are their sums. Mud is
conserved: built = in hole and pits + on the sea floor + discarded.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from bathybore.base.frozen import changed
from bathybore.base.keeping import MANY, SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.kernels.cement import pipe_volume
from bathybore.kernels.mud import (
    barite_mass_in_mud,
    barite_mass_to_weight_up,
    mud_lost_on_cuttings,
    solids_dilution_volume,
)
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.geometry import Bore, bores, walls
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import Consumed, HoleState, Use
from bathybore.operations.steps import StepKind
from bathybore.operations.volumes import cement_masses, plug_masses

# kg/m3 at the surface: what is denser was weighted on board, whatever it is called.
DENSEST_SEA_WATER = 1040.0

# Parts of a step during which the pumps run.
_PUMPING = ("drill", "cut", "jet in", "connections", "circulate")


def with_stores(before: HoleState, state: HoleState) -> HoleState:
    """Return the state with what the step used, and the running totals with it."""
    kind = state.step.kind
    uses: Iterator[Use] = iter(())
    volume = before.mud_volume
    if kind is StepKind.SET_CONDUCTOR:
        uses = _riserless(state)
    elif kind in (StepKind.DRILL, StepKind.CORE):
        if state.riser is None:
            uses = _riserless(state)
        else:
            now, then = volume_inside(state), _inside_before(before, state)
            uses = _with_returns(before, state, now, then)
            volume += float(now) - float(then)
    elif kind in (StepKind.CIRCULATE, StepKind.WIPER_TRIP) and state.riser is None:
        uses = _riserless(state)
    elif kind is StepKind.TEST_SHOE:
        needed = _mud_needed(state)
        uses = _new_mud(before, state, needed)
        volume = float(needed)
    elif kind is StepKind.CEMENT:
        uses = _cemented(state)
    elif kind is StepKind.PLUG:
        uses = _plugged(state)
    used = tuple(uses)
    if not used and volume == state.mud_volume:
        return state  # it began with the totals of the step before
    consumed = _added(before.consumed, used)
    return changed(state, uses=used, consumed=consumed, mud_volume=volume)


def _added(total: Consumed, uses: tuple[Use, ...]) -> Consumed:
    more: dict[str, float] = {}
    for use in uses:
        more[use.store] = more.get(use.store, getattr(total, use.store)) + float(use.amount)
    return changed(total, **more) if more else total


def volume_inside(state: HoleState) -> Value:
    """Return the volume of the hole, and of the riser where it is on, without a string."""
    return _volume_of(bores(state))


@kept(SOME)
def _volume_of(bores: tuple[Bore, ...]) -> Value:
    pieces = tuple(
        work(
            pipe_volume,
            inside_diameter=Value(
                "inside_diameter", b.diameter, "m", FromWalk(f"bore of {b.name}")
            ),
            length=Value("length", b.bottom - b.top, "m", FromWalk(f"length of {b.name}")),
        )
        for b in bores
    )
    origin = Solved("sum of the bores from the top down", "definition", pieces)
    return Value("hole_volume", sum(float(piece) for piece in pieces), "m3", origin)


def _mud_needed(state: HoleState) -> Value:
    return _in_use(volume_inside(state), state.hole.basis.value("pit_reserve"))


@kept(SOME)
def _in_use(inside: Value, pits: Value) -> Value:
    return _sum("hole, riser and pits", inside, pits)


def _sum(what: str, *parts: Value) -> Value:
    return summed("mud_volume", "m3", f"sum of {what}", parts)


@kept(SOME)
def _times(name: str, unit: str, what: str, one: Value, other: Value) -> Value:
    origin = Solved(what, "definition", (one, other))
    return Value(name, float(one) * float(other), unit, origin)


def _barite(state: HoleState, fluid: Fluid, volume: Value) -> Iterator[Use]:
    """Yield the barite that builds a volume of a fluid from sea water."""
    base = sea_water(state.hole)
    if fluid.density <= base.density * 1.01 or float(volume) <= 0.0:
        return
    yield Use("barite", _barite_mass(base, fluid, volume))


@kept(SOME)
def _barite_mass(base: Fluid, fluid: Fluid, volume: Value) -> Value:
    return work(
        barite_mass_in_mud,
        mud_volume=volume,
        target_density=fluid.value("density"),
        base_density=base.value("density"),
    )


def _pumping_time(state: HoleState) -> Value:
    return _total_time(tuple(part for part in state.times if part.name in _PUMPING))


@kept(SOME)
def _total_time(parts: tuple[Value, ...]) -> Value:
    origin = Solved("parts of the step with the pumps running", "definition", parts)
    return Value("duration", sum(float(part) for part in parts), "s", origin)


def pad_volume(state: HoleState) -> Value:
    """Return the heavy mud that fills the hole, with what is pumped beside it."""
    share = state.hole.basis.value("pad_volumes")
    return _times("mud_volume", "m3", "hole volumes pumped", share, volume_inside(state))


def _riserless(state: HoleState) -> Iterator[Use]:
    """Everything pumped is lost to the sea floor: sea water or weighted mud, sweeps, pad mud."""
    activity, fluids = state.activity, state.hole.plan.fluids
    if activity.flow_rate is None:
        return
    section = activity.section
    pumped = _times(
        "volume", "m3", "flow rate times pumping time", activity.flow_rate, _pumping_time(state)
    )
    water = pumped
    if section is not None and section.sweep_fluid is not None:
        share = section.value("sweep_share")
        sweeps = _times("mud_volume", "m3", "share of sweeps in what is pumped", share, pumped)
        yield from _to_sea_floor(state, fluids[section.sweep_fluid], sweeps)
        left = float(pumped) - float(sweeps)
        water = _volume("volume", "what is pumped less the sweeps", left, pumped, sweeps)
    fluid = activity.fluid
    if fluid is not None and fluid.density > DENSEST_SEA_WATER:
        yield from _to_sea_floor(state, fluid, water.named("mud_volume"))
    else:
        yield Use("sea_water_pumped", water)
    pad = section.pad_fluid if section is not None else None
    # a cased hole that is circulated is not filled with it
    if pad is not None and state.layers[-1].name == pad:
        yield from _to_sea_floor(state, fluids[pad], pad_volume(state))


@kept(SOME)
def _volume(name: str, what: str, volume: float, one: Value, other: Value) -> Value:
    """Return a volume that follows from two others."""
    return Value(name, volume, "m3", Solved(what, "definition", (one, other)))


def _to_sea_floor(state: HoleState, fluid: Fluid, volume: Value) -> Iterator[Use]:
    yield Use("mud_built", volume)
    yield Use("mud_to_sea_floor", volume)
    yield from _barite(state, fluid, volume)


def _new_mud(before: HoleState, state: HoleState, needed: Value) -> Iterator[Use]:
    """Fill hole and riser with the section's mud: what there is weighted up, the rest new.

    What there is beyond the need is dumped: the pits are for the mud in use.
    """
    fluid = state.activity.fluid
    if fluid is None:
        return
    have = _mud_there(before.mud_volume)
    more = float(needed) - float(have)
    if more > 0.0:
        new = _volume("mud_volume", "mud needed less mud there is", more, needed, have)
        yield Use("mud_built", new)
        yield from _barite(state, fluid, new)
    if more < 0.0:
        spare = _volume("mud_volume", "mud there is less mud needed", -more, needed, have)
        yield Use("mud_discarded", spare)
    old = before.layers[-1].fluid if before.layers else None
    if old is None or float(have) == 0.0 or fluid.density <= old.density:
        return
    yield Use("barite", _weighted_up(needed, have, old, fluid))


@kept(SOME)
def _mud_there(volume: float) -> Value:
    return Value("mud_volume", volume, "m3", FromWalk("in hole and pits before"))


@kept(SOME)
def _weighted_up(needed: Value, have: Value, old: Fluid, fluid: Fluid) -> Value:
    """Return the barite that makes the mud there is as heavy as the new one."""
    origin = Solved("mud there is, at most what is needed", "definition", (needed, have))
    return work(
        barite_mass_to_weight_up,
        mud_volume=Value("mud_volume", min(float(needed), float(have)), "m3", origin),
        mud_density=old.value("density"),
        target_density=fluid.value("density"),
    )


def _inside_before(before: HoleState, state: HoleState) -> Value:
    """Return the volume of the hole before the step, the riser on if it is on after it."""
    hole = before.hole
    return _volume_of(
        walls(hole.sea_bed, before.bottom, state.riser, before.casings, before.open_hole)
    )


def _with_returns(before: HoleState, state: HoleState, now: Value, then: Value) -> Iterator[Use]:
    """Mud returns; the hole takes more of it, and some leaves with the cuttings."""
    section, fluid = state.activity.section, state.activity.fluid
    drilled = state.bottom - before.bottom
    if section is None or fluid is None or drilled <= 0.0:
        return
    cutting = next(part for part in state.times if part.name in ("drill", "cut"))
    ratio = state.hole.basis.value("mud_on_cuttings_ratio")
    diameter, basis = section.value("hole_diameter"), state.hole.basis
    lost = _gone_with_cuttings(drilled, cutting, diameter, ratio)
    built = _built(now, then, lost)
    yield Use("mud_built", built)
    yield Use("mud_discarded", lost)
    yield from _barite(state, fluid, built)
    dilution = _dilution(
        drilled,
        diameter,
        basis.value("solids_control_efficiency"),
        basis.value("drilled_solids_fraction"),
        built,
    )
    if float(dilution) > 0.0:
        yield Use("mud_built", dilution)
        yield Use("mud_discarded", dilution)
        yield from _barite(state, fluid, dilution)


@kept(SOME)
def _gone_with_cuttings(drilled: float, cutting: Value, diameter: Value, ratio: Value) -> Value:
    length = Value("length", drilled, "m", FromWalk("interval drilled"))
    rate = Value(
        "rate_of_penetration",
        drilled / float(cutting),
        "m/s",
        Solved("mean rate: interval over time on bottom", "definition", (length, cutting)),
    )
    return work(
        mud_lost_on_cuttings,
        rate_of_penetration=rate,
        hole_diameter=diameter,
        duration=cutting,
        mud_on_cuttings_ratio=ratio,
    ).named("mud_volume")


DILUTION: Final = "new mud that holds the drilled solids down, beyond what is built anyway"


@kept(SOME)
def _dilution(
    drilled: float, diameter: Value, efficiency: Value, allowed: Value, built: Value
) -> Value:
    """Return the mud built, and dumped again, because the solids control leaves rock in it."""
    length = Value("length", drilled, "m", FromWalk("interval drilled"))
    rock = work(pipe_volume, inside_diameter=diameter.named("inside_diameter"), length=length)
    needed = work(
        solids_dilution_volume,
        rock_volume=rock.named("rock_volume"),
        solids_control_efficiency=efficiency,
        drilled_solids_fraction=allowed,
    )
    more = max(float(needed) - float(built), 0.0)
    return Value("mud_volume", more, "m3", Solved(DILUTION, "definition", (needed, built)))


def is_dilution(use: Use) -> bool:
    """Return whether an amount is mud built only to hold the drilled solids down."""
    origin = use.amount.origin
    return use.store == "mud_built" and isinstance(origin, Solved) and origin.problem == DILUTION


@kept(SOME)
def _built(now: Value, then: Value, lost: Value) -> Value:
    origin = Solved("hole volume after the step less that before it", "definition", (now, then))
    more = Value("volume", float(now) - float(then), "m3", origin)
    return _sum("new hole, and mud gone with the cuttings", more, lost)


def _mixed(state: HoleState, slurry: str, mass: Value) -> Iterator[Use]:
    yield Use("cement", mass)
    ratio = state.hole.plan.slurries[slurry].value("mix_water")
    yield Use("cement_water", _times("volume", "m3", "cement times its mix water", mass, ratio))


def _cemented(state: HoleState) -> Iterator[Use]:
    placed = state.activity.casing
    if placed is None or not isinstance(placed.plan, Casing):
        return
    for slurry, mass in cement_masses(state, placed):
        yield from _mixed(state, slurry, mass)


def _plugged(state: HoleState) -> Iterator[Use]:
    for plan, mass in zip(state.hole.plan.leaving.plugs, plug_masses(state), strict=True):
        yield from _mixed(state, plan.slurry, mass)


def used(state: HoleState, store: str, name: str, unit: str) -> Value:
    """Return the running total of a store, this step's amounts opened."""
    return used_up(getattr(state.consumed, store), used_here(state, store), name, unit)


def used_here(state: HoleState, store: str) -> tuple[Value, ...]:
    """Return the amounts of a store that this step used."""
    return tuple([use.amount for use in state.uses if use.store == store])


@kept(MANY)
def used_up(total: float, here: tuple[Value, ...], name: str, unit: str) -> Value:
    """Return a running total, the amounts of the last step opened."""
    before = Value(
        name,
        total - float(np.sum([float(amount) for amount in here])),
        unit,
        FromWalk("used in the steps before this one"),
    )
    origin = Solved("the steps before, and this step", "definition", (before, *here))
    return Value(name, total, unit, origin)
