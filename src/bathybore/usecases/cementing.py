"""Cement jobs: what is pumped, and how the job goes minute by minute."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, show
from bathybore.checks.cement_in_time import cement_in_time_checks
from bathybore.checks.cement_sheath import cement_sheath_checks
from bathybore.checks.record import CheckRecord, Discipline
from bathybore.checks.thickening import thickening_checks
from bathybore.model.plan import Casing, Slurry
from bathybore.operations.casing_loads import Placement, imbalance, placed_layers, placement
from bathybore.operations.cement_in_time import CementInTime, cement_in_time, goes_round
from bathybore.operations.columns import earth_value, nodes_at
from bathybore.operations.steps import StepKind
from bathybore.usecases.placing_told import (
    ToldTable,
    Topic,
    asked,
    known,
    minutes,
    number,
    pressure,
    spread_over,
    volume,
)

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

CAUTION: Final = (
    "Flow is steady from minute to minute, slurries do not mix and the hole is of gauge. A job "
    "that goes otherwise is stopped by who runs it: thickening time, returns and pressures decide. "
    "The licensed engineer and the coastal state's rules come first."
)
_LINES: Final = 16  # of the table in time


@dataclass(frozen=True, eq=False)
class CementJob:
    """The job of one casing, with what a picture needs.

    Attributes
    ----------
    weakest : depth at which the rock comes closest to breaking [m below sea level]
    at_shoe, at_weakest : annulus pressures over time [Pa]
    fracture_at_weakest, pore_at_weakest : [Pa]
    """

    casing: str
    step: str
    job: Placement
    told: CementInTime
    records: tuple[CheckRecord, ...]
    weakest: float
    at_shoe: Array
    at_weakest: Array
    fracture_at_weakest: float
    pore_at_weakest: float

    def topic(self, units: UnitSystem) -> Topic:
        """Return the job in the reader's units."""
        return Topic(
            name=self.casing,
            title=f"Cementing {self.casing}",
            facts=_facts(self, units),
            tables=(_pumped(self, units), _in_time(self, units)),
            records=self.records,
            caution=CAUTION,
            numbers=_numbers(self),
        )


def cement_jobs(walk: Walk, casing: str = "") -> tuple[CementJob, ...]:
    """Return the cement jobs of a walk, or that of one casing.

    Raises
    ------
    InputErrors
        No casing of that name is cemented and fits.
    """
    states = [
        one
        for one in walk.states
        if one.step.kind is StepKind.CEMENT
        and one.activity.casing is not None
        and isinstance(one.activity.casing.plan, Casing)
        and goes_round(placement(one, one.activity.casing))
    ]
    names = [one.activity.casing.name for one in states if one.activity.casing is not None]
    if casing:
        known("casing", casing, names)
    return tuple(
        _job(walk, one) for one, name in zip(states, names, strict=True) if casing in ("", name)
    )


def _job(walk: Walk, state: Any) -> CementJob:
    job = placement(state, state.activity.casing)
    told, step = cement_in_time(job), state.step.name
    records = asked(
        walk,
        state,
        lambda one: one.discipline is Discipline.CEMENT,
        cement_in_time_checks,
        thickening_checks,
        cement_sheath_checks,
    )
    peak = next((one for one in records if one.name == "placing-peak" and one.depth), None)
    shoe = float(job.casing.shoe)
    weakest = float(walk.hole.z(peak.depth)) if peak is not None and peak.depth else shoe
    places = nodes_at(weakest, shoe)
    both = told.standing_outside(places) + told.friction_outside(places)
    return CementJob(
        casing=job.casing.name,
        step=step,
        job=job,
        told=told,
        records=records,
        weakest=weakest,
        at_shoe=both[:, 1],
        at_weakest=both[:, 0],
        fracture_at_weakest=float(earth_value(job.setting, "fracture_pressure", weakest)),
        pore_at_weakest=float(earth_value(job.setting, "pore_pressure", weakest)),
    )


def _facts(one: CementJob, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    job, told, placed = one.job, one.told, one.told.placed
    cement, setting = job.plan.cement, job.setting
    returns = "up the riser" if job.on_riser else "to the sea floor"
    through = "an inner string stung into the collar" if cement.through_inner_string else "casing"
    worst = int(np.argmax(placed.pump_pressure))
    lift = float(imbalance(job))
    bump = lift + setting.basis.bump_pressure
    cemented = [layer for layer in placed_layers(job) if layer.name in setting_slurries(job)]
    top = min((float(layer.top) for layer in cemented), default=float(job.casing.shoe))
    fall = "none"
    if told.falls:
        begins = int(np.argmax(placed.void > 0.0))
        fall = (
            f"minute {told.time[begins] / 60.0:.0f} to {told.time[told.filled] / 60.0:.0f}, "
            f"{volume(float(placed.void.max()), units)} empty under the pump at most, returns up "
            f"to {float(placed.rate.max()) / float(told.rate):.2f} times the pump's rate"
        )
    rows = [
        ("Way", f"down the string and {through}, returns {returns}"),
        ("Rate", f"{show(float(told.rate), 'm3/s', units, significant=3)} throughout"),
        ("Lasts", minutes(float(told.time[-1]))),
        ("Plug lands", f"at minute {told.time[told.landed] / 60.0:.0f}"),
        ("Free fall", fall),
        ("Greatest at head", f"{pressure(float(placed.pump_pressure[worst]), units)}, "
         f"{told.at(worst).lower()}"),
        ("Lift pressure", f"{pressure(lift, units)} at the end, pump off: it tells that the "
         "slurry stands where it was planned"),
        ("Bump", f"{pressure(bump, units)} at the head seats the plug"),
        ("Planned top", setting.depth(float(setting.z(cement.top))).show(units)),
        ("Highest top", f"{setting.depth(top).show(units)}, all that is pumped in a hole of gauge"),
        ("Closest to breaking", setting.depth(one.weakest).show(units)),
    ]  # fmt: skip
    if cement.centralizer_spacing is None:
        rows.append(("Standoff", "not judged: the plan tells of no centralizers"))
    tail = job.pumped[0][1]
    if isinstance(tail, Slurry) and tail.time_to_strength is None:
        rows.append(("Strength in place", "not judged: the plan tells of no strength test"))
    return tuple(rows)


def setting_slurries(job: Placement) -> set[str]:
    """Return the names of the slurries of a job."""
    return {name for name, fluid in job.pumped if isinstance(fluid, Slurry)}


def _pumped(one: CementJob, units: UnitSystem) -> ToldTable:
    told, rows = one.told, list[tuple[str, ...]]()
    rate, fluids = float(told.rate), dict(one.job.pumped)
    ends = [*told.begin[3:], float(told.placed.pumped[-1])]
    for name, begin, end in zip(told.names[2:], told.begin[2:], ends, strict=True):
        amount, cement, water = float(end - begin), "", ""
        fluid = fluids.get(name, one.job.displacement.fluid)
        if isinstance(fluid, Slurry):
            mass = amount / fluid.slurry_yield
            sacks = mass / _SACK
            cement = f"{show(mass, 'kg', units, significant=3)} ({sacks:.0f} sacks of 94 lb)"
            water = volume(mass * fluid.mix_water, units)
        rows.append(
            (
                name,
                show(fluid.density, "kg/m3", units, significant=4),
                volume(amount, units),
                f"{begin / rate / 60.0:.0f} to {end / rate / 60.0:.0f}",
                cement,
                water,
            )
        )
    columns = ("fluid", "density", "volume", "minutes", "dry cement", "mix water")
    return ToldTable("What is pumped, excess included", columns, tuple(rows))


_SACK: Final = 94.0 * 0.45359237


def _in_time(one: CementJob, units: UnitSystem) -> ToldTable:
    told, placed = one.told, one.told.placed
    rows = []
    for at in spread_over(_LINES, len(told.time)):
        rows.append(
            (
                f"{told.time[at] / 60.0:.0f}",
                told.pumping(at),
                volume(float(placed.pumped[at]), units),
                show(float(placed.rate[at]), "m3/s", units, significant=3),
                pressure(float(placed.pump_pressure[at]), units),
                pressure(float(one.at_weakest[at]), units),
                pressure(float(one.at_shoe[at]), units),
                volume(float(placed.void[at]), units) if placed.void[at] > 0.0 else "",
            )
        )
    columns = ("minute", "pumped", "so far", "returns", "at the head", "at the weakest depth",
               "at the shoe", "void")  # fmt: skip
    return ToldTable("In time", columns, tuple(rows))


def _numbers(one: CementJob) -> dict[str, Any]:
    told, placed = one.told, one.told.placed
    return {
        "step": one.step,
        "fluids": list(told.names),
        "rate": number(float(told.rate), "m3/s"),
        "time": number(told.time, "s"),
        "pumped": number(placed.pumped, "m3"),
        "returned": number(placed.out, "m3"),
        "return_rate": number(placed.rate, "m3/s"),
        "void": number(placed.void, "m3"),
        "pump_pressure": number(placed.pump_pressure, "Pa"),
        "pressure_at_shoe": number(one.at_shoe, "Pa"),
        "weakest_depth_below_sea_level": number(one.weakest, "m"),
        "pressure_at_weakest_depth": number(one.at_weakest, "Pa"),
        "fracture_pressure_at_weakest_depth": number(one.fracture_at_weakest, "Pa"),
        "fronts_below_sea_level": {
            name: number(told.tops()[:, index], "m") for index, name in enumerate(told.names)
        },
    }
