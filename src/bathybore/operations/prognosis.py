"""The curves of a prognosis over depth below the sea bed, each with method, inputs and spread.

Spread is worked out, not guessed: the whole chain runs once more for every uncertain input,
taken one standard deviation greater, and the changes add up as squares.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.working import FromTable, FromWalk, Solved, Value, work
from bathybore.kernels.compaction_trend import running_integral, submerged_unit_weight
from bathybore.kernels.heat import sea_floor_heat_flow, temperature_from_heat_flow
from bathybore.kernels.pore_pressure import normal_pore_pressure
from bathybore.kernels.rock_stress import athy_porosity, bulk_density, vertical_stress_below_layer
from bathybore.kernels.soil import undrained_shear_strength
from bathybore.model.prognosis import Heat
from bathybore.operations.prognosis_fracture import Stresses, fracture_curve
from bathybore.operations.prognosis_ground import Curve, Ground
from bathybore.operations.prognosis_pressure import pore_curve
from bathybore.operations.prognosis_wall import wall_curves

_FINE: Final = 10.0  # m, between the places where a trend is summed up


def work_out(ground: Ground) -> tuple[Curve, ...]:
    """Return every curve with its spread.

    Raises
    ------
    InputErrors
        The readings cannot carry a method.
    NotConverged
        A pressure that holds the wall was not found.
    """
    best = curves(ground)
    changes = {name: np.zeros(len(curve.si)) for name, curve in best.items()}
    for name in type(ground.prognosis.spread).model_fields:
        moved = curves(ground.with_moved(name))
        for key, curve in best.items():
            changes[key] = changes[key] + np.square(_step(curve.si, moved[key].si))
    return tuple(replace(curve, spread=np.sqrt(changes[name])) for name, curve in best.items())


def _step(best: Array, moved: Array) -> Array:
    """Return what a moved input does: nothing where there is no curve, infinity if it ends it."""
    there, left = np.isfinite(best), np.isfinite(moved)
    step = np.where(left, moved, 0.0) - np.where(there, best, 0.0)
    return np.where(there, np.where(left, step, np.inf), 0.0)


def curves(ground: Ground) -> dict[str, Curve]:
    """Return every curve by name, without spread, in the order of working."""
    density, local = _densities(ground)
    vertical = work(
        vertical_stress_below_layer,
        vertical_stress_above=ground.sea_bed_pressure,
        bulk_density=density,
        layer_thickness=ground.depth,
        gravity=ground.gravity,
    )
    water, sd = ground.prognosis.value("pore_fluid_density"), ground.prognosis.spread
    normal = work(
        normal_pore_pressure,
        sea_bed_pressure=ground.sea_bed_pressure,
        pore_fluid_density=ground.shifted(
            "pore_fluid_density", water, lambda rho: rho + sd.pore_fluid_density
        ),
        depth_below_sea_bed=ground.depth,
        gravity=ground.gravity,
    )
    found = [
        local,
        Curve("vertical_stress", vertical, f"sea and rock summed, {local.method}"),
        Curve("normal_pore_pressure", normal, "a column of pore water under the sea"),
    ]
    pore = pore_curve(ground, vertical, normal)
    fracture = fracture_curve(ground, Stresses(vertical, normal, pore.value))
    warmth = _temperature(ground)
    found += [pore, fracture, warmth]
    found += wall_curves(ground, vertical, pore.value, fracture.value, warmth.value)
    return {curve.name: curve for curve in (*found, *_soft_mud(ground, local))}


def _densities(ground: Ground) -> tuple[Value, Curve]:
    """Return the mean bulk density above each node, and the density at the nodes."""
    z = ground.z
    trend = _compaction(ground, ground.depth)
    fine = np.unique(np.concatenate([np.arange(0.0, float(z[-1]), _FINE), z]))
    depths, numbers = fine, np.asarray(_compaction(ground, _places(fine)).si)
    local = Curve("bulk_density", trend, "compaction trend of porosity")
    said = "after the compaction trend"
    if ground.prognosis.overburden.method == "bulk density":
        log = ground.readings["bulk_density"]
        first = float(log.depths[0])
        depths = np.unique(np.concatenate([fine, log.depths[log.depths <= z[-1]]]))
        trended = np.asarray(_compaction(ground, _places(depths)).si)
        logged = np.interp(depths, log.depths, log.numbers)
        numbers = np.where(depths < first, trended, logged)
        read = ground.along("bulk_density")
        both = np.where(z < first, np.asarray(trend.si), np.asarray(read.si))
        whole = replace(read, si=both)
        local = Curve("bulk_density", whole, "as logged", ((0.0, trend), (first, read)))
        said = f"as logged, above {first:g} m below the sea bed after the compaction trend"
    height = np.where(z > 0.0, z, 1.0)
    mass = np.interp(z, depths, running_integral(depths, numbers))
    mean = np.where(z > 0.0, mass / height, numbers[0])
    problem = f"mean from the sea bed down, {said}: $rho_b = 1/z integral_0^z rho dif z$"
    compaction = ground.prognosis.overburden.compaction
    behind = [compaction.value(name) for name in type(compaction).model_fields]
    water = ground.prognosis.value("pore_fluid_density")
    origin = Solved(problem, "definition", (local.value, *behind, water))
    sd = ground.prognosis.spread.bulk_density
    value = Value("bulk_density", mean, "kg/m3", origin, -1)
    moved = replace(local, value=ground.shifted("bulk_density", local.value, lambda rho: rho + sd))
    return ground.shifted("bulk_density", value, lambda rho: rho + sd), moved


def _places(depths: Array) -> Value:
    return Value("depth_below_sea_bed", depths, "m", FromWalk("places to sum up at"), -1)


def _compaction(ground: Ground, depth: Value) -> Value:
    """Return the bulk density of the compaction trend."""
    compaction = ground.prognosis.overburden.compaction
    porosity = work(
        athy_porosity,
        sea_bed_porosity=compaction.value("sea_bed_porosity"),
        compaction_length=compaction.value("compaction_length"),
        depth_below_sea_bed=depth,
    )
    return work(
        bulk_density,
        porosity=porosity,
        grain_density=compaction.value("grain_density"),
        pore_fluid_density=ground.prognosis.value("pore_fluid_density"),
    )


def _temperature(ground: Ground) -> Curve:
    heat, spread = ground.prognosis.heat, ground.prognosis.spread
    if heat.method == "table":
        reading = ground.readings["temperature"]
        depths = np.concatenate([[0.0], reading.depths[reading.depths > 0.0]])
        numbers = np.concatenate(
            [[float(ground.sea_bed_temperature)], reading.numbers[reading.depths > 0.0]]
        )
        told = f"{reading.column}, straight between readings, from the bottom water down"
        value = Value(
            "temperature",
            np.interp(ground.z, depths, numbers),
            "K",
            FromTable(reading.file, told, "given"),
            -1,
        )
        sd = spread.temperature
        return Curve(
            "temperature",
            ground.shifted("temperature", value, lambda t: t + np.where(ground.z > 0.0, sd, 0.0)),
            "table of temperatures",
        )
    flow = heat.value("heat_flow") if heat.method == "heat flow" else _flow_of_age(heat)
    share = 1.0 + spread.heat
    value = work(
        temperature_from_heat_flow,
        sea_bed_temperature=ground.sea_bed_temperature,
        heat_flow=ground.shifted("heat", flow, lambda q: q * share),
        thermal_resistance=_thermal_resistance(ground),
    )
    return Curve("temperature", value, f"{heat.method} conducted through the layers")


def _flow_of_age(heat: Heat) -> Value:
    return work(sea_floor_heat_flow, crust_age=heat.value("crust_age"))


def _thermal_resistance(ground: Ground) -> Value:
    """Return what the layers above each node hinder the heat."""
    conductivity = ground.told(ground.prognosis.heat, "thermal_conductivity")
    numbers = np.broadcast_to(np.asarray(conductivity.si), ground.z.shape)
    origin = Solved(
        "summed over the layers above: $R_t = integral_0^z 1/k_t dif z$",
        "definition",
        (conductivity,),
    )
    resistance = running_integral(ground.z, 1.0 / numbers)
    return Value("thermal_resistance", resistance, "m2 K/W", origin, -1)


def _soft_mud(ground: Ground, density: Curve) -> tuple[Curve, ...]:
    """Return strength and weight of the soft mud; they end at its bottom."""
    mud = ground.prognosis.soft_mud
    if mud is None:
        return ()
    count = int(np.sum(ground.z <= ground.below(mud.bottom) + 1e-9))
    depth = replace(ground.depth, si=ground.z[:count])
    local = replace(density.value, si=np.asarray(density.value.si)[:count])
    strength = work(
        undrained_shear_strength,
        strength_at_sea_bed=mud.value("strength_at_sea_bed"),
        strength_gradient=mud.value("strength_gradient"),
        depth_below_sea_bed=depth,
    )
    weight = work(
        submerged_unit_weight,
        bulk_density=local,
        pore_fluid_density=ground.prognosis.value("pore_fluid_density"),
        gravity=ground.gravity,
    )
    return (
        Curve("undrained_shear_strength", strength, "grows evenly with depth"),
        Curve("submerged_unit_weight", weight, "bulk density less water"),
    )
