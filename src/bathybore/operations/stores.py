"""What a step uses up: mud built, lost and returned, barite, cement, sea water."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from bathybore.kernels.mud import (
    BARITE_DENSITY,
    barite_mass_in_mud,
    barite_mass_to_weight_up,
    mud_lost_on_cuttings,
)
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.geometry import hole_volume
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import Consumed, HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.volumes import cement_volumes, plug_volume


def with_stores(before: HoleState, state: HoleState) -> HoleState:
    """Return the state with what the step used added to the running totals."""
    kind = state.step.kind
    if kind is StepKind.SET_CONDUCTOR or (kind is StepKind.DRILL and state.riser is None):
        return _riserless(before, state)
    if kind in (StepKind.DRILL, StepKind.CORE):
        return _with_returns(before, state)
    if kind is StepKind.TEST_SHOE:
        return _weigh_up(before, state)
    if kind is StepKind.CEMENT:
        return _cemented(state)
    if kind is StepKind.PLUG:
        return _plugged(state)
    return state


def _add(used: Consumed, **amounts: float) -> Consumed:
    return replace(used, **{name: getattr(used, name) + more for name, more in amounts.items()})


def _barite(state: HoleState, fluid: Fluid, volume: float) -> float:
    """Barite to build a volume of a fluid from sea water."""
    base = sea_water(state.hole).density
    if fluid.density <= base * 1.01:
        return 0.0
    return float(np.asarray(barite_mass_in_mud(volume, fluid.density, base, BARITE_DENSITY)))


def _pumping_seconds(state: HoleState) -> float:
    return sum(float(t) for t in state.times if t.name in ("drill", "cut", "jet in", "connections"))


def _riserless(before: HoleState, state: HoleState) -> HoleState:
    """Everything pumped is lost to the sea floor: sea water, sweeps, pad mud."""
    hole, activity = state.hole, state.activity
    flow = float(activity.flow_rate) if activity.flow_rate is not None else 0.0
    pumped = flow * _pumping_seconds(state)
    section, fluids = activity.section, hole.plan.fluids
    sweeps = pad = barite = 0.0
    if section is not None and section.sweep_fluid is not None:
        sweeps = section.sweep_share * pumped
        barite += _barite(state, fluids[section.sweep_fluid], sweeps)
    if section is not None and section.pad_fluid is not None:
        pad = hole.basis.pad_volumes * hole_volume(state)
        barite += _barite(state, fluids[section.pad_fluid], pad)
    return replace(
        state,
        consumed=_add(
            state.consumed,
            sea_water_pumped=pumped - sweeps,
            mud_built=sweeps + pad,
            mud_to_sea_floor=sweeps + pad,
            barite=barite,
        ),
    )


def _weigh_up(before: HoleState, state: HoleState) -> HoleState:
    """Fill the riser with new mud the first time; weigh the old mud up after that."""
    fluid = state.activity.fluid
    if fluid is None:
        return state
    needed = hole_volume(state) + state.hole.basis.pit_reserve
    have = before.mud_volume
    if have == 0.0:
        barite = _barite(state, fluid, needed)
        used = _add(state.consumed, mud_built=needed, barite=barite)
        return replace(state, mud_volume=needed, consumed=used)
    old = _mud_in_use(before)
    barite = _barite(state, fluid, max(needed - have, 0.0))
    if old is not None and fluid.density > old.density:
        up = barite_mass_to_weight_up(min(have, needed), old.density, fluid.density, BARITE_DENSITY)
        barite += float(np.asarray(up))
    used = _add(state.consumed, mud_built=max(needed - have, 0.0), barite=barite)
    return replace(state, mud_volume=needed, consumed=used)


def _mud_in_use(state: HoleState) -> Fluid | None:
    return state.layers[-1].fluid if state.layers else None


def _with_returns(before: HoleState, state: HoleState) -> HoleState:
    """Mud returns; the hole takes more of it, and some leaves with the cuttings."""
    section, fluid = state.activity.section, state.activity.fluid
    if section is None or fluid is None or state.riser is None:
        return _riserless(before, state)
    drilled, ratio = state.bottom - before.bottom, state.hole.basis.mud_on_cuttings_ratio
    lost = float(np.asarray(mud_lost_on_cuttings(drilled, section.hole_diameter, 1.0, ratio)))
    new = hole_volume(state) - hole_volume(replace(before, riser=state.riser))
    built = new + lost
    return replace(
        state,
        mud_volume=before.mud_volume + new,
        consumed=_add(state.consumed, mud_built=built, barite=_barite(state, fluid, built)),
    )


def _slurry_use(state: HoleState, slurry: str, volume: float) -> dict[str, float]:
    recipe = state.hole.plan.slurries[slurry]
    cement = volume / recipe.slurry_yield
    return {"cement": cement, "cement_water": cement * recipe.mix_water}


def _cemented(state: HoleState) -> HoleState:
    placed = state.activity.casing
    if placed is None or not isinstance(placed.plan, Casing):
        return state
    job, volumes = placed.plan.cement, cement_volumes(state, placed)
    used = _add(state.consumed, **_slurry_use(state, job.slurry, float(volumes.lead)))
    tail = job.tail_slurry or job.slurry
    used = _add(used, **_slurry_use(state, tail, float(volumes.tail)))
    return replace(state, consumed=used)


def _plugged(state: HoleState) -> HoleState:
    used = state.consumed
    for plan, plug in zip(state.hole.plan.leaving.plugs, state.plugs, strict=True):
        used = _add(used, **_slurry_use(state, plan.slurry, float(plug_volume(state, plug))))
    return replace(state, consumed=used)
