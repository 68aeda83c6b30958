"""Nozzles for a step: the area that spends at the bit what the pumps can spare."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Solved, Value, work
from bathybore.kernels.bit_hydraulics import (
    bit_pressure_drop,
    hydraulic_power,
    hydraulic_power_per_area,
    jet_impact_force,
    nozzle_area,
    nozzle_area_for_pressure_drop,
    nozzle_velocity,
)
from bathybore.kernels.nozzles import equal_nozzle_diameter, pressure_left_for_bit
from bathybore.operations.circulation import Circulation, losses, pump_pressure
from bathybore.operations.circulation_pumps import usable_pressure, usable_pressures
from bathybore.operations.circulation_sweep import many

Goal = Literal["hydraulic power", "jet impact"]
GOALS: Final[tuple[Goal, ...]] = ("hydraulic power", "jet impact")
_TRIED: Final = 61


@dataclass(frozen=True, eq=False)
class Jets:
    """What nozzles of a total flow area do at a flow.

    Attributes
    ----------
    area : total flow area
    diameter : of three equal nozzles of at least that area, a whole number of 1/32 in; None for
        the nozzles as planned
    """

    flow_rate: Value
    area: Value
    diameter: Value | None
    pressure_drop: Value
    velocity: Value
    power: Value
    power_per_area: Value
    impact: Value
    pump_pressure: Value


@dataclass(frozen=True, eq=False)
class NozzleChoice:
    """The planned nozzles, the best at the planned flow, and the best flow for each goal.

    Attributes
    ----------
    limit : pump pressure that may be used at the planned flow
    best : at the planned flow, three equal nozzles; None where the pumps have nothing to spare
    goals : by goal, at the flow that serves it best between the smallest and the greatest;
        left out where there is no such flow
    """

    planned: Jets
    limit: Value
    best: Jets | None
    goals: dict[Goal, Jets]


def jets(flow: Circulation, area: Value, diameter: Value | None = None) -> Jets:
    """Return what nozzles do at the flow of a circulation."""
    density, rate = flow.fluid.value("density", "fluid_density"), flow.flow_rate
    drop = work(bit_pressure_drop, fluid_density=density, flow_rate=rate, nozzle_area=area)
    velocity = work(nozzle_velocity, flow_rate=rate, nozzle_area=area)
    power = work(hydraulic_power, pressure_loss=drop.named("pressure_loss"), flow_rate=rate)
    return Jets(
        flow_rate=rate,
        area=area,
        diameter=diameter,
        pressure_drop=drop,
        velocity=velocity,
        power=power,
        power_per_area=work(
            hydraulic_power_per_area, hydraulic_power=power, hole_diameter=flow.hole_diameter
        ),
        impact=work(
            jet_impact_force, fluid_density=density, flow_rate=rate, nozzle_velocity=velocity
        ),
        pump_pressure=pump_pressure(replace(flow, nozzle_area=area, in_place_of=flow)),
    )


def parasitic_loss(flow: Circulation) -> Value:
    """Return what is lost elsewhere than at the bit, the weight of the cuttings included."""
    lost = losses(flow)
    parts = (lost.lines, lost.bore, lost.tools, lost.annulus, lost.cuttings)
    origin = Solved(
        "lines, string, its tools, annulus and weight of the cuttings, added", "definition", parts
    )
    return Value("parasitic_loss", sum(float(part) for part in parts), "Pa", origin)


def best_area(flow: Circulation) -> Value | None:
    """Return the area at which the pumps work at their limit; None where nothing is to spare."""
    left = work(
        pressure_left_for_bit,
        usable_pressure=usable_pressure(flow).named("usable_pressure"),
        parasitic_loss=parasitic_loss(flow),
    )
    if float(left) <= 0.0:
        return None
    return work(
        nozzle_area_for_pressure_drop,
        fluid_density=flow.fluid.value("density", "fluid_density"),
        flow_rate=flow.flow_rate,
        bit_pressure_drop=left,
    )


def three_equal(flow: Circulation) -> Jets | None:
    """Return three equal nozzles of a whole 1/32 in that the pumps bear at the flow."""
    least = best_area(flow)
    if least is None:
        return None
    diameter = work(equal_nozzle_diameter, nozzle_area=least)
    area = work(
        nozzle_area,
        nozzle_diameter=diameter,
        nozzle_count=Value("nozzle_count", 3.0, "-", diameter.origin),
    )
    return jets(flow, area, diameter)


@kept(SOME)
def nozzle_choice(flow: Circulation, smallest: float, greatest: float) -> NozzleChoice:
    """Return the nozzles that serve a circulation best.

    Parameters
    ----------
    smallest, greatest : [m3/s]
        Flows between which the best one is looked for.
    """
    goals: dict[Goal, Jets] = {}
    if smallest < greatest:
        rates = np.linspace(smallest, greatest, _TRIED)
        for goal in GOALS:
            at = best_flow(flow, rates, goal)
            found = None if at is None else three_equal(_at(flow, at, goal))
            if found is not None:
                goals[goal] = found
    return NozzleChoice(
        planned=jets(flow, flow.nozzle_area),
        limit=usable_pressure(flow),
        best=three_equal(flow),
        goals=goals,
    )


def _at(flow: Circulation, rate: float, goal: Goal) -> Circulation:
    how = Solved(f"the flow that gives the most {goal} at the pumps' limit", "definition", ())
    value = Value("flow_rate", rate, "m3/s", how)
    return replace(flow, flow_rate=value, in_place_of=flow)


def best_flow(flow: Circulation, rates: Array, goal: Goal) -> float | None:
    """Return the flow at which the bit gets the most of what is wanted; None where it gets none."""
    drill = np.atleast_1d(np.asarray(flow.rate_of_penetration.si, dtype=float))
    tried = many(flow, rates, drill)
    lost = losses(tried)
    parts = (lost.lines, lost.bore, lost.tools, lost.annulus, lost.cuttings)
    parasitic = np.broadcast_to(sum(np.asarray(part.si) for part in parts), (1, len(rates)))[0]
    usable = usable_pressures(flow.setting, rates, float(flow.booster_flow_rate))
    return most_at_bit(rates, parasitic, usable, goal)


def most_at_bit(rates: Array, parasitic: Array, usable: Array, goal: Goal) -> float | None:
    """Return the best of some flows: power goes as q p_b, impact as q times the root of p_b."""
    left = np.asarray(pressure_left_for_bit(usable, parasitic))
    worth = rates * (left if goal == "hydraulic power" else np.sqrt(left))
    best = int(np.argmax(worth))
    return float(rates[best]) if worth[best] > 0.0 else None
