"""Load cases of a casing: what is inside, what is outside, what hangs, at which moment.

Each case is a profile over depth nodes from the top of the casing to its shoe.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import BelowSeaLevel
from bathybore.base.keeping import SOME, kept, same
from bathybore.base.working import FromWalk, Solved, Value, from_walk, work
from bathybore.kernels.held_pipe import thermal_force
from bathybore.kernels.segments import (
    ballooning_force,
    pressure_above_loss_zone,
    pressure_under_test,
    pressure_with_margin,
)
from bathybore.kernels.soft_string import bending_stress_from_dogleg
from bathybore.kernels.string_mechanics import (
    effective_weight_per_length,
    shock_load,
    wall_tension,
)
from bathybore.kernels.tubular_strength import yield_at_temperature
from bathybore.model.hole import Setting
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.casing_heat import cooling, warming
from bathybore.operations.catalogue_pipes import CasingPipe
from bathybore.operations.columns import (
    column_pressure,
    column_top,
    depth_nodes,
    earth_value,
    gravity_value,
    nodes_at,
    pressure_under,
    sea_bed_pressure,
    temperature,
)
from bathybore.operations.exposures import Exposure
from bathybore.operations.geometry import Segments, filled_to, string_bores, volume_of
from bathybore.operations.influx import gas_above, kick_is_gas, water_above
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import CasingInPlace, FluidLayer, HoleState, StringInHole
from bathybore.operations.volumes import (
    CementVolumes,
    annulus_of,
    landing_string,
    volumes_of_job,
)


@dataclass(frozen=True, eq=False)
class LoadCase:
    """Pressures and axial force on a casing, over depth nodes.

    Attributes
    ----------
    name : short, for check ids
    moment : when it happens and what stands where, in words
    held : whether cement and wellhead hold the ends by then; before, the string hangs free
    temperature_change : since the ends were held; None where the case knows of none
    """

    name: str
    moment: str
    z: Array
    internal_pressure: Value
    external_pressure: Value
    axial_force: Value
    held: bool = False
    temperature_change: Value | None = None


@dataclass(frozen=True, eq=False)
class Placement:
    """A casing at its depth and all that its cement job and its loads there depend on.

    Attributes
    ----------
    string : it was run on
    annulus : round it and its string, from the top of the column down
    volumes : of the cement job
    on_riser : returns come up a riser
    displacement : fluid inside at the end of the job, from the drill floor down
    pumped : slurries and spacer by name and fluid, in the order in which they rise: tail first
    mud : fluid left standing in the hole
    """

    setting: Setting
    casing: CasingInPlace
    string: StringInHole | None
    annulus: Segments
    volumes: CementVolumes
    on_riser: bool
    displacement: FluidLayer
    pumped: tuple[tuple[str, Fluid], ...]
    mud: FluidLayer

    @property
    def plan(self) -> Casing:
        assert isinstance(self.casing.plan, Casing)
        return self.casing.plan

    @property
    def fluid_outside(self) -> Fluid:
        """The mud it was cemented in."""
        return self.casing.outside_fluid or sea_water(self.setting)

    @property
    def column_top(self) -> tuple[BelowSeaLevel, Value]:
        return column_top(self.setting, self.on_riser)

    @cached_property
    def nodes(self) -> Array:
        setting, casing = self.setting, self.casing
        return depth_nodes(setting, float(max(casing.top, setting.sea_bed)), float(casing.shoe))


def placement(state: HoleState, casing: CasingInPlace) -> Placement:
    """Return how a casing stands at the end of its cement job.

    Raises
    ------
    LookupError
        It is a conductor, which has no job of its own.
    """
    hole, plan = state.hole, casing.plan
    if not isinstance(plan, Casing):
        raise LookupError(f"{casing.name} is not cemented")
    job, slurries, fluids = plan.cement, hole.plan.slurries, hole.plan.fluids
    tail = job.tail_slurry or job.slurry
    pumped: list[tuple[str, Fluid]] = [(tail, slurries[tail]), (job.slurry, slurries[job.slurry])]
    if job.spacer is not None:
        pumped.append((job.spacer, fluids[job.spacer]))
    name, fluid = "sea water", sea_water(hole)
    if state.riser is not None:
        name, fluid = state.activity.layers[-1].name, state.activity.layers[-1].fluid
    string, annulus = landing_string(state), annulus_of(state, casing)
    return same(
        Placement(
            setting=hole.setting,
            casing=casing,
            string=string,
            annulus=annulus,
            volumes=volumes_of_job(hole.setting, casing, annulus, string),
            on_riser=state.riser is not None,
            displacement=same(FluidLayer(name, fluid, hole.drill_floor, casing.shoe)),
            pumped=tuple(pumped),
            mud=state.layers[-1],
        )
    )


def sea_column(setting: Setting, z: Array | float) -> Value:
    """Return the pressure of the sea and of sea water in the rock below it: the least backup."""
    return pressure_under(
        setting, sea_water(setting), sea_bed_pressure(setting), setting.sea_bed, z
    )


def weight_per_length(job: Placement, pipe: CasingPipe) -> Value:
    """Return the effective weight of a pipe in the mud that the casing hangs in."""
    mud = job.fluid_outside.value("density")
    return work(
        effective_weight_per_length,
        linear_mass=pipe.linear_mass,
        outside_diameter=pipe.outside_diameter,
        inside_diameter=pipe.inside_diameter,
        fluid_density_inside=mud,
        fluid_density_outside=mud,
    )


def hanging_force(job: Placement, inside: Value, outside: Value) -> Value:
    """Return the true axial force in the wall as the casing hangs after placement.

    The effective tension carries the weight below less what the fluids lift; the wall
    itself carries more of it where the pressure inside is high, less where that outside is.
    """
    pipe = job.casing.pipe
    return work(
        wall_tension,
        effective_tension=_hanging(job),
        internal_pressure=inside.named("internal_pressure"),
        external_pressure=outside.named("external_pressure"),
        outside_diameter=pipe.outside_diameter,
        inside_diameter=pipe.inside_diameter,
    )


@kept(SOME)
def _hanging(job: Placement) -> Value:
    """Return the effective tension of the casing as it hangs after placement."""
    per_length = weight_per_length(job, job.casing.pipe)
    length = from_walk(
        "segment_length", job.casing.shoe - job.nodes, "m", "hanging below the depth"
    )
    origin = Solved(
        "weight per length in mud times what hangs below", "definition", (per_length, length)
    )
    tension = float(per_length) * np.asarray(length.si)
    return Value("effective_tension", tension, "N", origin, -1)


def held_force(
    casing: CasingInPlace,
    placed: LoadCase,
    inside: Value,
    outside: Value,
    temperature_change: Value | None = None,
) -> Value:
    """Return the force once cement and wellhead hold the ends: as placed, ballooning, heat."""
    change = work(
        ballooning_force,
        internal_pressure_change=_change("internal", inside, placed.internal_pressure),
        external_pressure_change=_change("external", outside, placed.external_pressure),
        outside_diameter=casing.pipe.outside_diameter,
        inside_diameter=casing.pipe.inside_diameter,
    )
    parts: tuple[Value, ...] = (placed.axial_force, change)
    told = "force locked in at placement, and what the pressures since have added"
    if temperature_change is not None:
        sizes = (casing.pipe.outside_diameter, casing.pipe.inside_diameter)
        parts, told = (*parts, heat_force(temperature_change, *sizes)), f"{told}, and heat or cold"
    return added_forces(told, parts)


def added_forces(told: str, parts: tuple[Value, ...]) -> Value:
    """Return a sum of axial forces over depth; ``told`` says in words what is added."""
    total = sum(np.asarray(part.si) for part in parts)
    return Value("axial_force", total, "N", Solved(told, "definition", parts), -1)


def heat_force(change: Value, outside_diameter: Value, inside_diameter: Value) -> Value:
    """Return what a change of temperature adds to the axial force of a pipe held at its ends."""
    return work(
        thermal_force,
        temperature_change=change,
        outside_diameter=outside_diameter,
        inside_diameter=inside_diameter,
    )


def _change(side: str, now: Value, then: Value) -> Value:
    origin = Solved(f"{side} pressure now, less that at placement", "definition", (now, then))
    change = np.asarray(now.si) - np.asarray(then.si)
    return Value(f"{side}_pressure_change", change, "Pa", origin, -1)


@kept(SOME)
def yield_in_heat(
    setting: Setting, strength: Value, z: Array, change: Value | None = None
) -> Value:
    """Return a yield strength at the temperature of some depths.

    Parameters
    ----------
    change : of temperature since the ground was undisturbed; what it cools gains no strength
    """
    warmth = from_walk(
        "temperature", temperature(setting, z), "K", "undisturbed, sea and earth tables"
    )
    if change is not None:
        hotter = np.asarray(warmth.si) + np.maximum(change.si, 0.0)
        origin = Solved("undisturbed, and what warms it", "definition", (warmth, change))
        warmth = Value("temperature", hotter, "K", origin, -1)
    derated = work(yield_at_temperature, yield_strength=strength, temperature=warmth)
    return derated.named("yield_strength")


def sudden_load(setting: Setting, plan: Casing, pipe: CasingPipe) -> Value:
    """Return the greater of shock and overpull while a casing is run."""
    speed = plan.value("running_speed")
    shock = work(shock_load, running_speed=speed, pipe_body_area=pipe.body_area)
    overpull = setting.basis.value("casing_overpull")
    return shock if float(shock) > float(overpull) else overpull


@kept(SOME)
def wall_left(setting: Setting, wall: Value, held: bool) -> Value:
    """Return the wall that bears a load: once the casing is drilled through, wear is taken off."""
    wear = setting.basis.value("casing_wear", "wall_share")
    if not held or float(wear) == 0.0:
        return wall
    origin = Solved("wall less the share worn away from inside", "definition", (wall, wear))
    return Value("wall", float(wall) * (1.0 - float(wear)), "m", origin)


@kept(SOME)
def bending(setting: Setting, outside_diameter: Value) -> Value | None:
    """Return the bending stress of a casing that follows the hole; None in a straight one."""
    if setting.basis.casing_dogleg == 0.0:
        return None
    return work(
        bending_stress_from_dogleg,
        outside_diameter=outside_diameter,
        dogleg_severity=setting.basis.value("casing_dogleg", "dogleg_severity"),
    )


def outside_mud(job: Placement, z: Array) -> Value:
    """Return the pressure outside as left by the cement job, before the cement sets."""
    return column_pressure(job.setting, placed_layers(job), job.column_top[1], z)


@kept(SOME)
def placed_layers(job: Placement) -> tuple[FluidLayer, ...]:
    """Return the fluids in the annulus at the end: mud, what was inside, spacer, lead, tail.

    All that is pumped is taken to be there in a hole of gauge: the excess then raises the
    slurries above their planned tops, which is the heaviest column that can come about.
    """
    start, volumes = job.column_top[0], job.volumes
    tail_volume = max(float(volumes.tail) - float(volumes.shoe_track), 0.0)
    rising = (tail_volume, float(volumes.lead), job.plan.cement.spacer_volume)
    layers: list[FluidLayer] = []
    bottom = float(job.casing.shoe)
    for (name, fluid), volume in zip(job.pumped, rising, strict=False):
        top = filled_to(job.annulus, bottom, volume) if volume > 0.0 else bottom
        if bottom - top > 1e-6:
            layers.append(FluidLayer(name, fluid, BelowSeaLevel(top), BelowSeaLevel(bottom)))
        bottom = top
    shown = job.displacement  # riserless the casing is full of sea water, which comes up first
    if bottom > start + 1e-6 and shown.fluid != job.fluid_outside:
        top = max(filled_to(job.annulus, bottom, volume_inside(job)), float(start))
        ends = BelowSeaLevel(top), BelowSeaLevel(bottom)
        layers.append(FluidLayer(shown.name, shown.fluid, *ends))
        bottom = top
    if bottom > start + 1e-6:
        layers.append(FluidLayer("mud", job.fluid_outside, start, BelowSeaLevel(bottom)))
    return tuple(same(layer) for layer in reversed(layers))


def volume_inside(job: Placement) -> float:
    """Return the volume of string and casing, or of the inner string, down to the shoe [m3]."""
    track, bore = job.plan.cement.shoe_track, float(job.casing.pipe.inside_diameter)
    string = 0.0 if job.string is None else volume_of(string_bores(job.string))
    stung = job.string if job.plan.cement.through_inner_string else None
    inner = bore if stung is None else float(stung.parts[0].pipe.inside_diameter)
    length = float(job.casing.shoe) - float(job.casing.top) - track
    return string + 0.25 * np.pi * (inner**2 * length + bore**2 * track)


_LET_OFF: Final = Value("pressure_at_top", 0.0, "Pa", FromWalk("no pressure at the cementing head"))


def inside_after_placement(job: Placement, z: Array) -> Value:
    return column_pressure(job.setting, (job.displacement,), _LET_OFF, z)


@kept(SOME)
def placing(job: Placement) -> LoadCase:
    """Cement just placed, floats holding, no pressure inside: the slurry is outside only."""
    inside, outside = inside_after_placement(job, job.nodes), outside_mud(job, job.nodes)
    return LoadCase(
        "placing",
        "cement just placed, pressure let off inside, floats hold",
        job.nodes,
        inside.named("internal_pressure"),
        outside.named("external_pressure"),
        hanging_force(job, inside, outside),
    )


@kept(SOME)
def bumping(job: Placement) -> LoadCase:
    """Plug landed and pressed: the annulus column and the bump pressure inside."""
    inside, outside = inside_after_placement(job, job.nodes), outside_mud(job, job.nodes)
    bump, heavier = job.setting.basis.value("bump_pressure"), imbalance(job)
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
        job.nodes,
        pressed,
        outside.named("external_pressure"),
        hanging_force(job, pressed, outside),
    )


@kept(SOME)
def imbalance(job: Placement) -> Value:
    """Return how much the annulus outweighs the inside at the shoe at the end of placement."""
    shoe = nodes_at(float(job.casing.shoe))
    outside = outside_mud(job, shoe).at_node(0)
    inside = inside_after_placement(job, shoe).at_node(0)
    origin = Solved(
        "annulus column less inside column at the shoe", "definition", (outside, inside)
    )
    difference = max(float(outside) - float(inside), 0.0)
    return Value("differential_pressure", difference, "Pa", origin)


@kept(SOME)
def running_empty(job: Placement) -> LoadCase | None:
    """Casing run on its float without filling: nothing inside, mud outside."""
    if job.plan.filled_while_running:
        return None
    nothing = from_walk(
        "internal_pressure", np.zeros_like(job.nodes), "Pa", "run empty on its float"
    )
    outside = _backup(job)
    return LoadCase(
        "running-empty",
        "run on its float and never filled",
        job.nodes,
        nothing,
        outside,
        hanging_force(job, nothing, outside),
    )


def _backup(job: Placement) -> Value:
    """Return the pressure of the mud the casing was cemented in: the most there is outside."""
    start, top = job.column_top
    outside = pressure_under(job.setting, job.fluid_outside, top, start, job.nodes)
    return outside.named("external_pressure")


def lost_returns(job: Placement, exposed: tuple[Exposure, ...]) -> LoadCase | None:
    """Mud falls back until it balances sea water at the bottom of the section that takes it."""

    def left(one: Exposure) -> float:
        return float(np.sum(_inside_lost(job.setting, one.fluid, one.bottom, job.nodes).si))

    worst = min(exposed, key=left, default=None)
    return None if worst is None else _lost_in(job, worst)


@kept(SOME)
def _inside_lost(setting: Setting, mud: Fluid, bottom: float, z: Array) -> Value:
    """Return the pressure inside once a mud stands on the sea water of the zone that took it."""
    return work(
        pressure_above_loss_zone,
        loss_zone_pressure=sea_column(setting, bottom).named("loss_zone_pressure"),
        fluid_density=mud.value("density"),
        height_above_loss_zone=from_walk(
            "height_above_loss_zone", bottom - z, "m", "down to the loss"
        ),
        gravity=gravity_value(setting),
    )


@kept(SOME)
def _lost_in(job: Placement, exposed: Exposure) -> LoadCase:
    inside = _inside_lost(job.setting, exposed.fluid, exposed.bottom, job.nodes)
    outside = _backup(job)
    return LoadCase(
        "lost-returns",
        f"returns lost at the bottom of {exposed.section} to a zone at sea-water pressure; outside "
        "the mud it was cemented in",
        job.nodes,
        inside,
        outside,
        held_force(job.casing, placing(job), inside, outside),
        held=True,
    )


@kept(SOME)
def evacuated(job: Placement) -> LoadCase | None:
    """Empty down to the shoe: only where the design basis asks for it."""
    if not job.setting.basis.casing_evacuated:
        return None
    nothing = from_walk("internal_pressure", np.zeros_like(job.nodes), "Pa", "empty to its shoe")
    outside = _backup(job)
    return LoadCase(
        "evacuated",
        "empty down to its shoe; outside the mud it was cemented in",
        job.nodes,
        nothing,
        outside,
        held_force(job.casing, placing(job), nothing, outside),
        held=True,
    )


def riser_lost(job: Placement, exposed: tuple[Exposure, ...]) -> LoadCase | None:
    """Riser parted or let go: the sea stands on the mud at the sea bed, in the lightest mud."""
    lightest = min(exposed, key=lambda one: one.fluid.density, default=None)
    return None if lightest is None else _riser_lost_in(job, lightest)


@kept(SOME)
def _riser_lost_in(job: Placement, exposed: Exposure) -> LoadCase:
    setting = job.setting
    inside = pressure_under(
        setting, exposed.fluid, sea_bed_pressure(setting), setting.sea_bed, job.nodes
    ).named("internal_pressure")
    outside = _backup(job)
    return LoadCase(
        "riser-lost",
        f"riser lost while {exposed.section} is drilled: above the mud in the hole only the sea; "
        "outside the mud it was cemented in",
        job.nodes,
        inside,
        outside,
        held_force(job.casing, placing(job), inside, outside),
        held=True,
    )


def worst_kick(job: Placement, exposed: tuple[Exposure, ...]) -> LoadCase | None:
    """Casing full of the kick of the worst later section, limited by fracture at the shoe."""

    def at_top(one: Exposure) -> float:
        return float(np.ravel(_inside_kicked(job, one).si)[0])

    worst = max(exposed, key=at_top, default=None)
    return None if worst is None else _kick_in(job, worst)


def _inside_kicked(job: Placement, exposed: Exposure) -> Value:
    bottom, shoe = exposed.bottom, exposed.shoe
    return _full_of_kick(job.setting, exposed.intensity, bottom, shoe, job.nodes)


@kept(SOME)
def _full_of_kick(
    setting: Setting, intensity: Value, bottom: float, shoe: float, z: Array
) -> Value:
    """Return the pressure inside a casing full of a kick; no mud has a part in it.

    Parameters
    ----------
    bottom, shoe : [m below sea level] where the kick comes from, and the open shoe above it
    """
    source = work(
        pressure_with_margin,
        pressure=earth_value(setting, "pore_pressure", bottom, "pressure"),
        margin_density=intensity.named("margin_density"),
        height=from_walk(
            "height", bottom - setting.drill_floor, "m", "depth below the drill floor"
        ),
        gravity=gravity_value(setting),
    )
    above = gas_above if kick_is_gas(setting, shoe, bottom) else water_above
    at_shoe = above(setting, source, bottom, shoe)
    fracture = earth_value(setting, "fracture_pressure", shoe)
    limited = at_shoe if float(at_shoe) <= float(fracture) else fracture
    return above(setting, limited, shoe, z).named("internal_pressure")


@kept(SOME)
def _kick_in(job: Placement, exposed: Exposure) -> LoadCase:
    setting, inside = job.setting, _inside_kicked(job, exposed)
    gas = kick_is_gas(setting, exposed.shoe, exposed.bottom)
    outside = sea_column(setting, job.nodes).named("external_pressure")
    return LoadCase(
        "kick",
        f"full of {'gas' if gas else 'formation water'} from the bottom of {exposed.section}, held "
        "by fracture at the open shoe; outside sea water only",
        job.nodes,
        inside,
        outside,
        held_force(job.casing, placing(job), inside, outside),
        held=True,
    )


@dataclass(frozen=True)
class PlannedTest:
    """What is put on a casing, and the mud that is in it then."""

    applied: Value
    mud: str
    fluid: Fluid
    on_riser: bool


def planned_test(job: Placement, exposed: tuple[Exposure, ...]) -> PlannedTest | None:
    """Return the test of a casing: in the mud of the next section, before its shoe is drilled."""
    if job.plan.test_pressure is None:
        return None
    applied = job.plan.value("test_pressure", "applied_pressure")
    if exposed:
        return PlannedTest(applied, exposed[0].mud, exposed[0].fluid, True)
    return PlannedTest(applied, job.mud.name, job.mud.fluid, job.on_riser)


def pressure_test(job: Placement, exposed: tuple[Exposure, ...]) -> LoadCase | None:
    """Casing under its planned test."""
    test = planned_test(job, exposed)
    if test is None:
        return None
    return tested_in(job, test.applied, test.mud, test.fluid, test.on_riser)


@kept(SOME)
def tested_in(job: Placement, applied: Value, mud: str, fluid: Fluid, on_riser: bool) -> LoadCase:
    """Casing pressed on in a mud, with only the sea outside."""
    setting = job.setting
    start, top = column_top(setting, on_riser)
    inside = work(
        pressure_under_test,
        applied_pressure=applied,
        pressure=pressure_under(setting, fluid, top, start, job.nodes).named("pressure"),
    )
    outside = sea_column(setting, job.nodes).named("external_pressure")
    return LoadCase(
        "pressure-test",
        f"tested in {mud}; outside sea water only",
        job.nodes,
        inside,
        outside,
        held_force(job.casing, placing(job), inside, outside),
        held=True,
    )


def warmed(job: Placement, exposed: tuple[Exposure, ...]) -> LoadCase | None:
    """Mud comes up hot from the deepest later section: what is held at both ends is pressed."""
    deepest = max(exposed, key=lambda one: one.bottom, default=None)
    return None if deepest is None else _warmed_in(job, deepest)


@kept(SOME)
def _warmed_in(job: Placement, exposed: Exposure) -> LoadCase:
    setting = job.setting
    start, top = column_top(setting, True)
    inside = pressure_under(setting, exposed.fluid, top, start, job.nodes).named(
        "internal_pressure"
    )
    change = warming(setting, job.nodes, _cement_top(job), exposed.bottom)
    outside = _backup(job)
    return LoadCase(
        "warmed",
        f"warmed by {exposed.mud} that comes up from {exposed.section}; outside the mud it was "
        "cemented in",
        job.nodes,
        inside,
        outside,
        held_force(job.casing, placing(job), inside, outside, change),
        held=True,
        temperature_change=change,
    )


def cooled(job: Placement, exposed: tuple[Exposure, ...]) -> LoadCase | None:
    """Cold mud pumped down on the worst kick: what is held at both ends is pulled."""
    kick = worst_kick(job, exposed)
    return None if kick is None else _cooled_under(job, kick)


@kept(SOME)
def _cooled_under(job: Placement, kick: LoadCase) -> LoadCase:
    change = cooling(job.setting, job.nodes, _cement_top(job))
    inside, outside = kick.internal_pressure, kick.external_pressure
    return LoadCase(
        "cooled",
        f"cooled by what is pumped to kill it: {kick.moment}",
        job.nodes,
        inside,
        outside,
        held_force(job.casing, placing(job), inside, outside, change),
        held=True,
        temperature_change=change,
    )


def _cement_top(job: Placement) -> float:
    """Return from where down cement holds the casing; its shoe where none is placed."""
    top = job.casing.cement_top
    return float(job.casing.shoe if top is None else top)


def covering_test(job: Placement, exposed: tuple[Exposure, ...]) -> float | None:
    """Return the pressure [Pa] at the top with which a test loads the casing like the worst kick.

    The test stands in the mud of the next section; outside is the same in both. None where no
    later section can kick.
    """
    kick = worst_kick(job, exposed)
    if kick is None:
        return None
    start, top = column_top(job.setting, True)
    mud = pressure_under(job.setting, exposed[0].fluid, top, start, job.nodes)
    more = np.asarray(kick.internal_pressure.si) - np.asarray(mud.si)
    return max(float(np.max(more)), 0.0)


def service_cases(job: Placement, exposed: tuple[Exposure, ...]) -> tuple[LoadCase, ...]:
    """Return the cases a casing meets from placement to the section drilled through it."""
    cases = (
        running_empty(job),
        placing(job),
        bumping(job),
        pressure_test(job, exposed),
        lost_returns(job, exposed),
        riser_lost(job, exposed),
        evacuated(job) if exposed else None,
        worst_kick(job, exposed),
        warmed(job, exposed),
        cooled(job, exposed),
    )
    return tuple(case for case in cases if case is not None)
