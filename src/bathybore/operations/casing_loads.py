"""Load cases of a casing: what is inside, what is outside, what hangs, at which moment.

Each case is a profile over depth nodes from the top of the casing to its shoe.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.once import once
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.gas import gas_column_top_pressure
from bathybore.kernels.segments import (
    ballooning_force,
    pressure_above_loss_zone,
    pressure_under_test,
    pressure_with_margin,
)
from bathybore.kernels.string_mechanics import effective_weight_per_length, wall_tension
from bathybore.kernels.tubular_strength import yield_at_temperature
from bathybore.model.hole import Hole
from bathybore.model.plan import Casing, Fluid, Section
from bathybore.operations.columns import (
    column_pressure,
    depth_nodes,
    earth_value,
    gravity_value,
    mean_temperature,
    pressure_under,
    sea_bed_pressure,
    temperature,
    top_of_column,
)
from bathybore.operations.geometry import filled_to
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import CasingInPlace, FluidLayer, HoleState
from bathybore.operations.volumes import annulus_of, cement_volumes


@dataclass(frozen=True)
class LoadCase:
    """Pressures and axial force on a casing, over depth nodes.

    Attributes
    ----------
    name : short, for check ids
    moment : when it happens and what stands where, in words
    """

    name: str
    moment: str
    z: Array
    internal_pressure: Value
    external_pressure: Value
    axial_force: Value


@once
def casing_nodes(state: HoleState, casing: CasingInPlace) -> Array:
    return depth_nodes(state.hole, float(max(casing.top, state.hole.sea_bed)), float(casing.shoe))


def _over(value: float | Array, name: str, unit: str, how: str) -> Value:
    return Value(name, value, unit, FromWalk(how), -1 if np.ndim(value) else None)


@once
def sea_column(state: HoleState, z: Array) -> Value:
    """Return the pressure of the sea and of sea water in the rock below it: the least backup."""
    hole = state.hole
    return pressure_under(hole, sea_water(hole), sea_bed_pressure(hole), hole.sea_bed, z)


def hanging_force(
    state: HoleState, casing: CasingInPlace, inside: Value, outside: Value, z: Array
) -> Value:
    """Return the true axial force in the wall as the casing hangs after placement.

    The effective tension carries the weight below less what the fluids lift; the wall
    itself carries more of it where the pressure inside is high, less where that outside is.
    """
    mud = casing.outside_fluid or sea_water(state.hole)
    per_length = work(
        effective_weight_per_length,
        linear_mass=casing.pipe.linear_mass,
        outside_diameter=casing.pipe.outside_diameter,
        inside_diameter=casing.pipe.inside_diameter,
        fluid_density_inside=mud.value("density"),
        fluid_density_outside=mud.value("density"),
    )
    length = _over(casing.shoe - z, "segment_length", "m", "hanging below the depth")
    effective = Value(
        "effective_tension",
        float(per_length) * np.asarray(length.si),
        "N",
        Solved(
            "weight per length in mud times what hangs below", "definition", (per_length, length)
        ),
        -1,
    )
    return work(
        wall_tension,
        effective_tension=effective,
        internal_pressure=inside.named("internal_pressure"),
        external_pressure=outside.named("external_pressure"),
        outside_diameter=casing.pipe.outside_diameter,
        inside_diameter=casing.pipe.inside_diameter,
    )


def held_force(casing: CasingInPlace, placed: LoadCase, inside: Value, outside: Value) -> Value:
    """Return the axial force once cement and wellhead hold the ends: as placed, and ballooning."""
    change = work(
        ballooning_force,
        internal_pressure_change=_change("internal", inside, placed.internal_pressure),
        external_pressure_change=_change("external", outside, placed.external_pressure),
        outside_diameter=casing.pipe.outside_diameter,
        inside_diameter=casing.pipe.inside_diameter,
    )
    origin = Solved(
        "force locked in at placement, and what the pressures since have added",
        "definition",
        (placed.axial_force, change),
    )
    total = np.asarray(placed.axial_force.si) + np.asarray(change.si)
    return Value("axial_force", total, "N", origin, -1)


def _change(side: str, now: Value, then: Value) -> Value:
    origin = Solved(f"{side} pressure now, less that at placement", "definition", (now, then))
    change = np.asarray(now.si) - np.asarray(then.si)
    return Value(f"{side}_pressure_change", change, "Pa", origin, -1)


@once
def derated_yield(state: HoleState, casing: CasingInPlace, z: Array) -> Value:
    """Return the yield strength at the undisturbed temperature of each depth."""
    warmth = _over(
        temperature(state.hole, z), "temperature", "K", "undisturbed, sea and earth tables"
    )
    return work(
        yield_at_temperature, yield_strength=casing.pipe.yield_strength, temperature=warmth
    ).named("yield_strength")


@dataclass(frozen=True)
class Exposure:
    """A later section that this casing still faces: what is drilled, and the open shoe above it."""

    section: Section
    shoe: float


@once
def exposures(state: HoleState, casing: CasingInPlace) -> tuple[Exposure, ...]:
    """Return all sections drilled until another string covers this one up to its top.

    A liner does not cover the casing it hangs in: that casing stays the wall up to the
    wellhead for everything drilled below the liner. A section with returns to the sea
    floor loads nothing: the hole stays open to the sea.
    """
    hole, found = state.hole, list[Exposure]()
    shoe, below = float(casing.shoe), False
    for section in hole.plan.sections:
        if below and section.returns == "riser":
            found.append(Exposure(section, shoe))
        if section.casing is None:
            continue
        if section.casing.name == casing.name:
            below = True
        elif below:
            hung = section.casing.hung_at
            top = float(hole.sea_bed if isinstance(hung, str) else hole.z(hung))
            if top <= casing.top + 1.0:
                break
            shoe = float(hole.z(section.casing.shoe))
    return tuple(found)


@once
def outside_mud(state: HoleState, casing: CasingInPlace, z: Array) -> Value:
    """Return the pressure outside as left by the cement job, before the cement sets."""
    return column_pressure(state.hole, placed_layers(state, casing), top_of_column(state)[1], z)


@once
def placed_layers(state: HoleState, casing: CasingInPlace) -> tuple[FluidLayer, ...]:
    """Return the fluids in the annulus at the end of placement: mud, spacer, lead, tail.

    All that is pumped is taken to be there in a hole of gauge: the excess then raises the
    slurries above their planned tops, which is the heaviest column that can come about.
    """
    plan, hole = casing.plan, state.hole
    if not isinstance(plan, Casing):
        raise LookupError(f"{casing.name} is not cemented")
    job, plans = plan.cement, hole.plan
    segments, volumes = annulus_of(state, casing), cement_volumes(state, casing)
    start, _ = top_of_column(state)
    tail_volume = max(float(volumes.tail) - float(volumes.shoe_track), 0.0)
    rising: list[tuple[str, Fluid, float]] = [
        (tail := job.tail_slurry or job.slurry, plans.slurries[tail], tail_volume),
        (job.slurry, plans.slurries[job.slurry], float(volumes.lead)),
    ]
    if job.spacer is not None:
        rising.append((job.spacer, plans.fluids[job.spacer], job.spacer_volume))
    layers: list[FluidLayer] = []
    bottom = float(casing.shoe)
    for name, fluid, volume in rising:
        top = filled_to(segments, bottom, volume) if volume > 0.0 else bottom
        if bottom - top > 1e-6:
            layers.append(FluidLayer(name, fluid, BelowSeaLevel(top), BelowSeaLevel(bottom)))
        bottom = top
    mud = casing.outside_fluid or sea_water(hole)
    if bottom > start + 1e-6:
        layers.append(FluidLayer("mud", mud, start, BelowSeaLevel(bottom)))
    return tuple(reversed(layers))


def displacement_layer(state: HoleState, casing: CasingInPlace) -> FluidLayer:
    """Return the fluid inside at the end of placement, from the drill floor down."""
    hole = state.hole
    if state.riser is None:
        return FluidLayer("sea water", sea_water(hole), hole.drill_floor, casing.shoe)
    mud = state.activity.layers[-1]
    return FluidLayer(mud.name, mud.fluid, hole.drill_floor, casing.shoe)


@once
def inside_after_placement(state: HoleState, casing: CasingInPlace, z: Array) -> Value:
    zero = Value("pressure_at_top", 0.0, "Pa", FromWalk("no pressure at the cementing head"))
    return column_pressure(state.hole, (displacement_layer(state, casing),), zero, z)


def placing(state: HoleState, casing: CasingInPlace) -> LoadCase:
    """Cement just placed, floats holding, no pressure inside: the slurry is outside only."""
    z = casing_nodes(state, casing)
    inside, outside = inside_after_placement(state, casing, z), outside_mud(state, casing, z)
    return LoadCase(
        "placing",
        "cement just placed, pressure let off inside, floats hold",
        z,
        inside.named("internal_pressure"),
        outside.named("external_pressure"),
        hanging_force(state, casing, inside, outside, z),
    )


def bumping(state: HoleState, casing: CasingInPlace) -> LoadCase:
    """Plug landed and pressed: the annulus column and the bump pressure inside."""
    z = casing_nodes(state, casing)
    inside, outside = inside_after_placement(state, casing, z), outside_mud(state, casing, z)
    bump, heavier = state.hole.basis.value("bump_pressure"), imbalance(state, casing)
    applied = Value(
        "applied_pressure",
        float(heavier) + float(bump),
        "Pa",
        Solved(
            "what balances the annulus, and what seats the plug", "common-practice", (heavier, bump)
        ),
    )
    pressed = work(pressure_under_test, applied_pressure=applied, pressure=inside.named("pressure"))
    return LoadCase(
        "bumping",
        "plug landed and pressed before the cement sets",
        z,
        pressed,
        outside.named("external_pressure"),
        hanging_force(state, casing, pressed, outside, z),
    )


@once
def imbalance(state: HoleState, casing: CasingInPlace) -> Value:
    """Return how much the annulus outweighs the inside at the shoe at the end of placement."""
    shoe = np.array([float(casing.shoe)])
    outside = outside_mud(state, casing, shoe).at_node(0)
    inside = inside_after_placement(state, casing, shoe).at_node(0)
    origin = Solved(
        "annulus column less inside column at the shoe", "definition", (outside, inside)
    )
    difference = max(float(outside) - float(inside), 0.0)
    return Value("differential_pressure", difference, "Pa", origin)


def running_empty(state: HoleState, casing: CasingInPlace) -> LoadCase | None:
    """Casing run on its float without filling: nothing inside, mud outside."""
    plan = casing.plan
    if not isinstance(plan, Casing) or plan.filled_while_running:
        return None
    z = casing_nodes(state, casing)
    nothing = _over(np.zeros_like(z), "internal_pressure", "Pa", "run empty on its float")
    start, top = top_of_column(state)
    outside = pressure_under(
        state.hole, casing.outside_fluid or sea_water(state.hole), top, start, z
    )
    return LoadCase(
        "running-empty",
        "run on its float and never filled",
        z,
        nothing,
        outside.named("external_pressure"),
        hanging_force(state, casing, nothing, outside, z),
    )


@once
def _backup(state: HoleState, casing: CasingInPlace, z: Array) -> Value:
    """Return the pressure of the mud the casing was cemented in: the most there is outside."""
    hole = state.hole
    fluid = casing.outside_fluid or sea_water(hole)
    start, top = top_of_column(state)
    return pressure_under(hole, fluid, top, start, z).named("external_pressure")


def lost_returns(state: HoleState, casing: CasingInPlace, placed: LoadCase) -> LoadCase | None:
    """Mud falls back until it balances sea water at the bottom of the section that takes it."""
    cases = [_lost_in(state, casing, placed, exposed) for exposed in exposures(state, casing)]
    return min(cases, key=lambda case: float(np.sum(case.internal_pressure.si)), default=None)


def _lost_in(
    state: HoleState, casing: CasingInPlace, placed: LoadCase, exposed: Exposure
) -> LoadCase:
    hole, section = state.hole, exposed.section
    z, bottom = casing_nodes(state, casing), float(state.hole.z(exposed.section.bottom))
    inside = work(
        pressure_above_loss_zone,
        loss_zone_pressure=sea_column(state, np.array(bottom)).named("loss_zone_pressure"),
        fluid_density=hole.plan.fluids[section.fluid].value("density"),
        height_above_loss_zone=_over(bottom - z, "height_above_loss_zone", "m", "down to the loss"),
        gravity=gravity_value(hole),
    )
    outside = _backup(state, casing, z)
    return LoadCase(
        "lost-returns",
        f"returns lost at the bottom of {section.name} to a zone at sea-water pressure; outside "
        "the mud it was cemented in",
        z,
        inside,
        outside,
        held_force(casing, placed, inside, outside),
    )


def worst_kick(state: HoleState, casing: CasingInPlace, placed: LoadCase) -> LoadCase | None:
    """Casing full of the kick of the worst later section, limited by fracture at the shoe."""
    cases = [_kick_in(state, casing, placed, exposed) for exposed in exposures(state, casing)]
    return max(cases, key=lambda case: float(np.ravel(case.internal_pressure.si)[0]), default=None)


def _kick_in(
    state: HoleState, casing: CasingInPlace, placed: LoadCase, exposed: Exposure
) -> LoadCase:
    hole, section = state.hole, exposed.section
    z, bottom = casing_nodes(state, casing), float(hole.z(section.bottom))
    source = work(
        pressure_with_margin,
        pressure=earth_value(hole, "pore_pressure", np.array(bottom), "pressure"),
        margin_density=kick_intensity(state, section).named("margin_density"),
        height=_over(bottom - hole.drill_floor, "height", "m", "depth below the drill floor"),
        gravity=gravity_value(hole),
    )
    gas = kick_is_gas(hole, exposed.shoe, bottom)
    above = _gas_above if gas else _water_above
    at_shoe = above(state, source, bottom, np.array(exposed.shoe))
    fracture = earth_value(hole, "fracture_pressure", np.array(exposed.shoe))
    limited = at_shoe if float(at_shoe) <= float(fracture) else fracture
    inside = above(state, limited, exposed.shoe, z).named("internal_pressure")
    outside = sea_column(state, z).named("external_pressure")
    return LoadCase(
        "kick",
        f"full of {'gas' if gas else 'formation water'} from the bottom of {section.name}, held "
        "by fracture at the open shoe; outside sea water only",
        z,
        inside,
        outside,
        held_force(casing, placed, inside, outside),
    )


def kick_is_gas(hole: Hole, top: float, bottom: float) -> bool:
    """Return whether a kick from an interval is taken as gas: always, unless told otherwise.

    With ``kick_fluid: as told`` an interval is gas where the earth table says gas or oil,
    or says nothing.
    """
    if hole.basis.kick_fluid == "gas" or "formation_fluid" not in hole.earth.words:
        return True
    told = {
        word
        for upper, lower, word in hole.earth.intervals("formation_fluid")
        if upper + hole.sea_bed < bottom and lower + hole.sea_bed > top
    }
    return bool(told & {"gas", "oil", ""})


def _water_above(state: HoleState, below: Value, z_below: float, z: Array) -> Value:
    """Return the pressure in formation water, taken as sea water, that fills the casing."""
    return work(
        pressure_above_loss_zone,
        loss_zone_pressure=below.named("loss_zone_pressure"),
        fluid_density=sea_water(state.hole).value("density", "fluid_density"),
        height_above_loss_zone=_over(z_below - z, "height_above_loss_zone", "m", "water column"),
        gravity=gravity_value(state.hole),
    )


def kick_intensity(state: HoleState, section: Section) -> Value:
    """Return how much a kick's pressure exceeds the prognosis, as a density to the drill floor."""
    if section.kick_intensity is not None:
        return section.value("kick_intensity")
    return state.hole.basis.value("kick_intensity")


def _gas_above(state: HoleState, below: Value, z_below: float, z: Array) -> Value:
    return work(
        gas_column_top_pressure,
        pressure_at_bottom=below.named("pressure_at_bottom"),
        height=_over(z_below - z, "height", "m", "height of the gas column"),
        temperature=mean_temperature(state.hole, z, z_below),
        gas_gravity=state.hole.basis.value("gas_gravity"),
        gravity=gravity_value(state.hole),
    )


def pressure_test(state: HoleState, casing: CasingInPlace, placed: LoadCase) -> LoadCase | None:
    """Casing tested in the mud of the next section, as the walk drills its shoe out."""
    plan, hole = casing.plan, state.hole
    if not isinstance(plan, Casing) or plan.test_pressure is None:
        return None
    z = casing_nodes(state, casing)
    later = exposures(state, casing)
    start, top = top_of_column(state)
    mud, name = state.layers[-1].fluid, state.layers[-1].name
    if later:
        zero = Value("pressure_at_top", 0.0, "Pa", FromWalk("open to the air at the flow line"))
        start, top = hole.flow_line, zero
        mud, name = hole.plan.fluids[later[0].section.fluid], later[0].section.fluid
    inside = work(
        pressure_under_test,
        applied_pressure=plan.value("test_pressure", "applied_pressure"),
        pressure=pressure_under(hole, mud, top, start, z).named("pressure"),
    )
    outside = sea_column(state, z).named("external_pressure")
    return LoadCase(
        "pressure-test",
        f"tested in {name}; outside sea water only",
        z,
        inside,
        outside,
        held_force(casing, placed, inside, outside),
    )


def service_cases(state: HoleState, casing: CasingInPlace) -> tuple[LoadCase, ...]:
    """Return the cases a casing meets from placement to the section drilled through it."""
    placed = placing(state, casing)
    cases = (
        running_empty(state, casing),
        placed,
        bumping(state, casing),
        pressure_test(state, casing, placed),
        lost_returns(state, casing, placed),
        worst_kick(state, casing, placed),
    )
    return tuple(case for case in cases if case is not None)
