"""Load cases of a casing: what is inside, what is outside, what hangs, at which moment.

Each case is a profile over depth nodes from the top of the casing to its shoe.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.working import FromWalk, Value, work
from bathybore.kernels.gas import gas_column_top_pressure
from bathybore.kernels.segments import (
    pressure_above_loss_zone,
    pressure_under_test,
    pressure_with_margin,
)
from bathybore.kernels.string_mechanics import effective_weight_per_length
from bathybore.kernels.tubular_strength import yield_at_temperature
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
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import CasingInPlace, FluidLayer, HoleState


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


def casing_nodes(state: HoleState, casing: CasingInPlace) -> Array:
    return depth_nodes(state.hole, float(max(casing.top, state.hole.sea_bed)), float(casing.shoe))


def _over(value: float | Array, name: str, unit: str, how: str) -> Value:
    return Value(name, value, unit, FromWalk(how), -1 if np.ndim(value) else None)


def sea_column(state: HoleState, z: Array) -> Value:
    """Return the pressure of the sea and of sea water in the rock below it: the least backup."""
    hole = state.hole
    return pressure_under(hole, sea_water(hole), sea_bed_pressure(hole), hole.sea_bed, z)


def hanging_force(state: HoleState, casing: CasingInPlace, z: Array, mud: Fluid) -> Value:
    """Return the axial force at depth nodes: the weight in mud of what hangs below."""
    per_length = work(
        effective_weight_per_length,
        linear_mass=casing.pipe.linear_mass,
        outside_diameter=casing.pipe.outside_diameter,
        inside_diameter=casing.pipe.inside_diameter,
        fluid_density_inside=mud.value("density"),
        fluid_density_outside=mud.value("density"),
    )
    below = casing.shoe - z
    origin = FromWalk("weight per length in mud, times the length from the depth to the shoe")
    return Value("axial_force", float(per_length) * below, "N", origin, -1)


def derated_yield(state: HoleState, casing: CasingInPlace, z: Array) -> Value:
    """Return the yield strength at the undisturbed temperature of each depth."""
    warmth = _over(
        temperature(state.hole, z), "temperature", "K", "undisturbed, sea and earth tables"
    )
    return work(
        yield_at_temperature, yield_strength=casing.pipe.yield_strength, temperature=warmth
    ).named("yield_strength")


def next_section(state: HoleState, casing: CasingInPlace) -> Section | None:
    """Return the section that is drilled through this casing's shoe."""
    sections = state.hole.plan.sections
    for index, section in enumerate(sections):
        if section.casing is not None and section.casing.name == casing.name:
            return sections[index + 1] if index + 1 < len(sections) else None
    return None


def outside_mud(state: HoleState, casing: CasingInPlace, z: Array) -> Value:
    """Return the pressure outside as left by the cement job, before the cement sets."""
    return column_pressure(state.hole, placed_layers(state, casing), top_of_column(state)[1], z)


def placed_layers(state: HoleState, casing: CasingInPlace) -> tuple[FluidLayer, ...]:
    """Return the fluids in the annulus at the end of placement: mud, lead, tail."""
    plan, hole = casing.plan, state.hole
    if not isinstance(plan, Casing):
        raise LookupError(f"{casing.name} is not cemented")
    job, slurries = plan.cement, hole.plan.slurries
    start, _ = top_of_column(state)
    top = max(hole.z(job.top), casing.top, start)
    layers: list[FluidLayer] = []
    mud = casing.outside_fluid
    if top > start and mud is not None:
        layers.append(FluidLayer("mud", mud, start, top))
    tail_top = hole.z(job.tail_top) if job.tail_top is not None else top
    if tail_top > top:
        layers.append(FluidLayer(job.slurry, slurries[job.slurry], top, tail_top))
    tail = job.tail_slurry or job.slurry
    layers.append(FluidLayer(tail, slurries[tail], tail_top, casing.shoe))
    return tuple(layers)


def displacement_layer(state: HoleState, casing: CasingInPlace) -> FluidLayer:
    """Return the fluid inside at the end of placement, from the drill floor down."""
    hole = state.hole
    if state.riser is None:
        return FluidLayer("sea water", sea_water(hole), hole.drill_floor, casing.shoe)
    mud = state.activity.layers[-1]
    return FluidLayer(mud.name, mud.fluid, hole.drill_floor, casing.shoe)


def inside_after_placement(state: HoleState, casing: CasingInPlace, z: Array) -> Value:
    zero = Value("pressure_at_top", 0.0, "Pa", FromWalk("no pressure at the cementing head"))
    return column_pressure(state.hole, (displacement_layer(state, casing),), zero, z)


def placing(state: HoleState, casing: CasingInPlace) -> LoadCase:
    """Cement just placed, floats holding, no pressure inside: the slurry is outside only."""
    z = casing_nodes(state, casing)
    mud = casing.outside_fluid or sea_water(state.hole)
    return LoadCase(
        "placing",
        "cement just placed, pressure let off inside, floats hold",
        z,
        inside_after_placement(state, casing, z),
        outside_mud(state, casing, z),
        hanging_force(state, casing, z, mud),
    )


def bumping(state: HoleState, casing: CasingInPlace) -> LoadCase:
    """Plug landed and pressed: the annulus column and the bump pressure inside."""
    z = casing_nodes(state, casing)
    shoe = np.array([float(casing.shoe)])
    inside, outside = inside_after_placement(state, casing, z), outside_mud(state, casing, z)
    balance = max(
        float(np.ravel(outside_mud(state, casing, shoe).si)[0])
        - float(np.ravel(inside_after_placement(state, casing, shoe).si)[0]),
        0.0,
    )
    bump = state.hole.basis.value("bump_pressure", "applied_pressure")
    applied = Value(
        "applied_pressure",
        balance + float(bump),
        "Pa",
        FromWalk("what balances the heavier annulus, and the pressure that seats the plug"),
    )
    mud = casing.outside_fluid or sea_water(state.hole)
    return LoadCase(
        "bumping",
        "plug landed and pressed before the cement sets",
        z,
        work(pressure_under_test, applied_pressure=applied, pressure=inside.named("pressure")),
        outside,
        hanging_force(state, casing, z, mud),
    )


def lost_returns(state: HoleState, casing: CasingInPlace) -> LoadCase | None:
    """Mud of the next section falls back until it balances sea water at the next bottom."""
    section = next_section(state, casing)
    if section is None:
        return None
    hole = state.hole
    z = casing_nodes(state, casing)
    mud = hole.plan.fluids[section.fluid]
    bottom = float(hole.z(section.bottom))
    zone = sea_column(state, np.array(bottom)).named("loss_zone_pressure")
    inside = work(
        pressure_above_loss_zone,
        loss_zone_pressure=zone,
        fluid_density=mud.value("density"),
        height_above_loss_zone=_over(bottom - z, "height_above_loss_zone", "m", "down to the loss"),
        gravity=gravity_value(hole),
    )
    outside_fluid = casing.outside_fluid or sea_water(hole)
    start = hole.flow_line if section.returns == "riser" and state.riser is not None else None
    if start is None:
        outside = pressure_under(hole, outside_fluid, sea_bed_pressure(hole), hole.sea_bed, z)
    else:
        zero = Value("pressure_at_top", 0.0, "Pa", FromWalk("open to the air when it was cemented"))
        outside = pressure_under(hole, outside_fluid, zero, start, z)
    return LoadCase(
        "lost-returns",
        f"returns lost at the bottom of {section.name} to a zone at sea-water pressure; outside "
        "the mud it was cemented in",
        z,
        inside,
        outside,
        hanging_force(state, casing, z, mud),
    )


def gas_kick(state: HoleState, casing: CasingInPlace) -> LoadCase | None:
    """Casing full of gas from a kick at the next bottom, limited by fracture at the shoe."""
    section = next_section(state, casing)
    if section is None:
        return None
    hole = state.hole
    z = casing_nodes(state, casing)
    bottom, shoe = float(hole.z(section.bottom)), float(casing.shoe)
    source = work(
        pressure_with_margin,
        pressure=earth_value(hole, "pore_pressure", np.array(bottom), "pressure"),
        margin_density=kick_intensity(state, section).named("margin_density"),
        height=_over(bottom - hole.drill_floor, "height", "m", "depth below the drill floor"),
        gravity=gravity_value(hole),
    )
    at_shoe = _gas_above(state, source, bottom, np.array(shoe))
    fracture = earth_value(hole, "fracture_pressure", np.array(shoe))
    limited = at_shoe if float(at_shoe) <= float(fracture) else fracture
    inside = _gas_above(state, limited.named("pressure_at_bottom"), shoe, z)
    mud = hole.plan.fluids[section.fluid]
    return LoadCase(
        "gas-kick",
        f"full of gas from the bottom of {section.name}, held by fracture at the shoe; outside "
        "sea water only",
        z,
        inside.named("internal_pressure"),
        sea_column(state, z),
        hanging_force(state, casing, z, mud),
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


def pressure_test(state: HoleState, casing: CasingInPlace) -> LoadCase | None:
    """Casing tested with mud inside, sea water outside."""
    plan, hole = casing.plan, state.hole
    if not isinstance(plan, Casing) or plan.test_pressure is None:
        return None
    z = casing_nodes(state, casing)
    section = next_section(state, casing)
    start, top = top_of_column(state)
    # the test comes with the next section's riser on, in the mud that stands inside by then
    mud = state.layers[-1].fluid
    if section is not None and section.returns == "riser":
        start, top = (
            hole.flow_line,
            Value("pressure_at_top", 0.0, "Pa", FromWalk("open to the air at the flow line")),
        )
    inside = pressure_under(hole, mud, top, start, z)
    return LoadCase(
        "pressure-test",
        f"tested in {state.layers[-1].name}; outside sea water only",
        z,
        work(
            pressure_under_test,
            applied_pressure=plan.value("test_pressure", "applied_pressure"),
            pressure=inside.named("pressure"),
        ),
        sea_column(state, z),
        hanging_force(state, casing, z, mud),
    )


def service_cases(state: HoleState, casing: CasingInPlace) -> tuple[LoadCase, ...]:
    """Return the cases a casing meets from placement to the section drilled through it."""
    cases = (
        placing(state, casing),
        bumping(state, casing),
        pressure_test(state, casing),
        lost_returns(state, casing),
        gas_kick(state, casing),
    )
    return tuple(case for case in cases if case is not None)
