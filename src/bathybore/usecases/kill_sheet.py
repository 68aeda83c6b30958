"""Kicks and kill sheets in words, the same for every face."""

from __future__ import annotations

from math import isfinite

import numpy as np

from bathybore.base.units import UnitSystem, show
from bathybore.base.working import Value
from bathybore.operations.kick import WATER
from bathybore.operations.kick_in_time import Told
from bathybore.operations.kill_schedule import KillSheet
from bathybore.usecases.kicking import SectionKick
from bathybore.usecases.showing import shown

SCHEDULE: tuple[str, ...] = ("strokes", "pumped", "drill pipe", "front of the kill mud", "where")
STAGES: tuple[str, ...] = ("way", "volume", "strokes")
STORY: tuple[str, ...] = ("method", "choke at most", "gain at most", "gas at most", "hours")


def said(value: Value, units: UnitSystem, significant: int = 4) -> str:
    return shown(value.name, float(value), value.unit, units, "", significant).text


def _density(value: Value, units: UnitSystem) -> str:
    return show(float(value), "kg/m3", units, significant=4)


def design(one: SectionKick, units: UnitSystem) -> list[tuple[str, str]]:
    """Return what the design kick is and what bears it, as label and text."""
    timed, kick = one.timed, one.timed.kick
    weak, fracture = kick.weak_point
    curve = one.curve
    here = float(np.interp(float(kick.intensity), curve.intensity, _finite(curve.volume)))
    full = not isfinite(curve.volume[np.searchsorted(curve.intensity, float(kick.intensity))])
    bears = f"any: the rock holds a hole full of {timed.fluid}" if full else show(here, "m3", units)
    source = said(kick.formation_pressure, units)
    mass, fluid = said(timed.influx_mass, units, 3), timed.fluid
    return [
        (
            "Design kick",
            f"{said(kick.volume, units)} of {fluid} at {_place(one, kick.bottom, units)}",
        ),
        ("Formation", f"{source}, by {_density(kick.intensity, units)} over the mud"),
        ("Greatest kick", f"{bears} at that intensity"),
        ("Weak point", f"{_place(one, weak, units)}, bears {said(fracture, units)}"),
        (fluid.capitalize(), f"{mass}, {_density(timed.influx_density, units)} at bottom"),
    ]


def _finite(volume: np.ndarray) -> np.ndarray:
    most = volume[np.isfinite(volume)]
    return np.where(np.isfinite(volume), volume, most.max() if most.size else 0.0)


def _place(one: SectionKick, z: float, units: UnitSystem) -> str:
    return one.timed.kick.setting.depth(z).show(units)


def gauges(sheet: KillSheet, units: UnitSystem) -> list[tuple[str, str]]:
    """Return the pressures of the sheet, as label and text."""
    timed = sheet.timed
    most = said(sheet.greatest_annulus_pressure, units)
    line, weighed = said(sheet.choke_line_friction, units), timed.kick.fluid.value("density")
    kill = _density(timed.kill_density_weighed, units)
    return [
        ("Shut-in drill pipe", said(sheet.shut_in_drill_pipe_pressure, units)),
        ("Shut-in choke", said(sheet.shut_in_casing_pressure, units)),
        ("Greatest choke", f"{most}, shut in, mud above the weak point"),
        (
            "Mud in use",
            f"{_density(weighed, units)} as weighed, {_density(timed.mud_density, units)} in place",
        ),
        (
            "Kill mud",
            f"{kill} as weighed, {_density(sheet.kill_density, units)} in place, not rounded",
        ),
        ("Slow rate", f"{said(timed.slow.flow_rate, units, 3)}, liner {sheet.liner.name}"),
        ("Slow pressure", f"{said(sheet.slow_circulating_pressure, units)}, up the riser"),
        ("Choke line", f"{line} of friction; the kill line's is alike"),
        ("Initial pressure", f"{said(sheet.initial_pressure, units)} on the drill pipe"),
        ("Final pressure", f"{said(sheet.final_pressure, units)} on the drill pipe"),
        ("Choke, pumps up", _pumps_up(sheet, units)),
    ]


def _pumps_up(sheet: KillSheet, units: UnitSystem) -> str:
    """Say what the choke holds once the pumps are up, and what it cannot take off."""
    start = f"{said(sheet.starting_choke, units)}: the shut-in pressure less the line's friction"
    over = float(sheet.choke_line_friction) - float(sheet.shut_in_casing_pressure)
    if over <= 0.0:
        return start
    more = show(over, "Pa", units, significant=3)
    return (
        f"{start}, which is {more} more: bottom and drill pipe stand so much higher with the choke "
        "open. Go slower, or return through both lines"
    )


DRILLER: tuple[str, ...] = (
    "Bring the pumps to the slow rate; let the choke pressure fall by the friction of the line, or "
    "hold the pressure on the kill line, which stands still and feels no friction.",
    "First round, mud in use: hold the initial pressure on the drill pipe until the influx is out.",
    "Shut in: drill pipe and choke show the same. If not, some of it is left: go round again.",
    "Second round, kill mud: hold the choke until it is at the bit (the drill pipe falls as in the "
    "schedule), then the final pressure on the drill pipe until it is at the choke.",
)
WAIT: tuple[str, ...] = (
    "Stay shut in while kill mud is mixed; let no more than the formation's pressure build up.",
    "Pump it down by the schedule, choke held so that the drill pipe follows it.",
    "From the bit on hold the final pressure until kill mud is at the choke.",
)
AFTER: tuple[str, ...] = (
    "Close the lower rams, displace choke and kill line, then the riser with kill mud through the "
    "booster line or the kill line: gas left under the preventer comes up the riser when it opens.",
    "Sweep the stack before opening it; diverter closed, all aboard told.",
)


def schedule(sheet: KillSheet, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return the drill-pipe pressure against strokes, row by row."""
    setting = sheet.timed.kick.setting
    return tuple(
        (
            f"{row.strokes:.0f}",
            show(row.volume, "m3", units, significant=4),
            said(row.pressure, units),
            setting.depth(row.depth).show(units),
            row.where,
        )
        for row in sheet.rows
    )


def stages(sheet: KillSheet, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return volumes and strokes of the ways, row by row."""
    return tuple(
        (one.name, said(one.volume, units, 3), f"{float(one.strokes):.0f}") for one in sheet.stages
    )


def story(one: SectionKick, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return what the kick does by each method, row by row."""
    return tuple(
        _told(name, told, units, one.is_gas)
        for name, told in (("driller's", one.driller), ("wait and weight", one.waiting))
    )


def _told(name: str, told: Told, units: UnitSystem, gas: bool) -> tuple[str, ...]:
    return (
        name,
        said(told.greatest_choke_pressure, units, 3),
        said(told.greatest_pit_gain, units, 3),
        said(told.gas_rate, units, 3) if gas else "none",
        f"{told.followed.time[-1] / 3600.0:.1f}",
    )


def late(one: SectionKick, units: UnitSystem) -> list[tuple[str, str]]:
    """Return what the same kick does when it is found in the riser, and hydrates."""
    if not one.is_gas:
        return [("Water", f"{WATER} It neither unloads a riser nor makes hydrate: not asked.")]
    gas, cold = one.riser, one.hydrates
    stack = len(cold.places) - 1
    forms, stopped = cold.forms_below.at_node(stack), cold.stopped.at_node(stack)
    rate, passed = said(gas.rate, units, 3), said(gas.passed, units, 3)
    warm, still = said(cold.circulating, units, 3), said(stopped, units, 3)
    share = 100.0 * float(cold.glycol_for(cold.short_of(stopped, forms)))
    return [
        ("Riser unloads", f"once the gas is {said(gas.depth, units, 3)} below the flow line"),
        ("Mud thrown out", said(gas.unloaded, units, 3)),
        ("Gas to diverter", f"{rate} at standard conditions, the line passes {passed}"),
        (
            "Hydrate at stack",
            f"below {said(forms, units, 3)}; mud {warm} circulating, {still} after a long stop",
        ),
        ("Glycol needed", f"{share:.0f} % by mass of the water for a long stop, without salt"),
    ]
