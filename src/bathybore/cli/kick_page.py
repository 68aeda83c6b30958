"""Kicks of the plan as a page and as JSON: tolerance, sheet, story in time, riser, hydrates."""

from __future__ import annotations

from typing import Any

import numpy as np
from rich.text import Text

from bathybore.base.units import UnitSystem
from bathybore.base.working import Value
from bathybore.cli.page import VERDICT_STYLE, Page, verdict_text
from bathybore.cli.tables import put_table
from bathybore.operations.kick_in_time import Told
from bathybore.operations.kill_schedule import KillSheet
from bathybore.reports.records_json import document, plain
from bathybore.usecases.explaining import explain
from bathybore.usecases.kicking import CAUTION, SectionKick
from bathybore.usecases.kill_sheet import (
    AFTER,
    DRILLER,
    SCHEDULE,
    STAGES,
    STORY,
    WAIT,
    design,
    gauges,
    late,
    schedule,
    stages,
    story,
)
from bathybore.usecases.showing import percent


def kick(found: tuple[SectionKick, ...], units: UnitSystem) -> str:
    """Return the page of the kicks of all sections asked for."""
    page = Page()
    for one in found:
        verdict = "holds" if one.passes else "fails"
        page.line(Text(f"{one.title}  ", "bold") + verdict_text(verdict))
        page.fields(design(one, units), label=18)
        page.heading("Followed in time")
        put_table(page, STORY, story(one, units))
        page.heading("Found late, in the riser; and the cold")
        page.fields(late(one, units), label=18)
        page.heading("Kill sheet")
        page.fields(gauges(one.sheet, units), label=18)
        page.heading("Margins")
        for record in one.records:
            room = percent(record.margin) if record.margin is not None else "not judged"
            style = VERDICT_STYLE[str(record.status)]
            page.line(f"{record.id}: {room} left. {record.note}".strip(), style, indent=2)
        page.line()
    page.heading("Cautions")
    page.fields([("-", CAUTION)], label=1)
    return page.text()


def sheet(found: tuple[SectionKick, ...], units: UnitSystem) -> str:
    """Return kill sheets to print, one after the other."""
    page = Page()
    for one in found:
        page.line(Text(f"Kill sheet, sea-bed preventer: {one.section}", "bold"))
        page.line(f"For the design kick of {one.step}; with a real kick write in what is read.")
        page.fields(gauges(one.sheet, units), label=18)
        page.heading("Drill-pipe pressure while kill mud goes down")
        put_table(page, SCHEDULE, schedule(one.sheet, units))
        page.heading("Volumes and strokes")
        put_table(page, STAGES, stages(one.sheet, units))
        for title, lines in (
            ("Driller's method", DRILLER),
            ("Wait and weight", WAIT),
            ("Afterwards: stack and riser", AFTER),
        ):
            page.heading(title)
            page.fields([(f"{n}.", line) for n, line in enumerate(lines, start=1)], label=2)
        page.line()
    page.heading("Cautions")
    page.fields([("-", CAUTION)], label=1)
    return page.text()


def as_json(found: tuple[SectionKick, ...], units: UnitSystem) -> str:
    """Return the same as JSON, numbers in SI."""
    content = {
        "passes": all(one.passes for one in found),
        "caution": CAUTION,
        "sections": [_section(one, units) for one in found],
    }
    return document("bathybore.kick/1", content)


def _section(one: SectionKick, units: UnitSystem) -> dict[str, Any]:
    timed = one.timed
    finite = np.isfinite(one.curve.volume)
    return {
        "section": one.section,
        "step": one.step,
        "passes": one.passes,
        "kick": {
            "volume": _value(timed.kick.volume),
            "intensity": _value(timed.kick.intensity),
            "formation_pressure": _value(timed.kick.formation_pressure),
            "fluid": timed.fluid,
            "mass": _value(timed.influx_mass),
        },
        "tolerance": {
            "intensity": {"values": one.curve.intensity.tolist(), "unit": "kg/m3"},
            "volume": {
                "values": [
                    float(v) if there else None
                    for v, there in zip(one.curve.volume, finite, strict=True)
                ],
                "unit": "m3",
                "note": "null where the rock holds a hole full of it",
            },
        },
        "sheet": _sheet(one.sheet),
        "in_time": {"driller": _told(one.driller), "wait_and_weight": _told(one.waiting)},
        "riser_gas": _riser_gas(one) if one.is_gas else None,
        "hydrates": _hydrates(one) if one.is_gas else None,
        "records": [plain(explain(record, units)) for record in one.records],
    }


def _riser_gas(one: SectionKick) -> dict[str, Any]:
    gas = one.riser
    return {
        "unloading_depth": _value(gas.depth),
        "unloaded_volume": _value(gas.unloaded),
        "gas_rate": _value(gas.rate),
        "diverter_passes": _value(gas.passed),
    }


def _hydrates(one: SectionKick) -> dict[str, Any]:
    cold = one.hydrates
    stack = len(cold.places) - 1
    return {
        "stable_below": _value(cold.forms_below.at_node(stack)),
        "circulating": _value(cold.circulating),
        "stopped": _value(cold.stopped.at_node(stack)),
    }


def _sheet(sheet: KillSheet) -> dict[str, Any]:
    return {
        "shut_in_drill_pipe_pressure": _value(sheet.shut_in_drill_pipe_pressure),
        "shut_in_casing_pressure": _value(sheet.shut_in_casing_pressure),
        "greatest_annulus_pressure": _value(sheet.greatest_annulus_pressure),
        "kill_mud_density": _value(sheet.kill_density),
        "kill_mud_density_weighed": _value(sheet.timed.kill_density_weighed),
        "slow_circulating_pressure": _value(sheet.slow_circulating_pressure),
        "choke_line_friction": _value(sheet.choke_line_friction),
        "initial_circulating_pressure": _value(sheet.initial_pressure),
        "final_circulating_pressure": _value(sheet.final_pressure),
        "starting_choke_pressure": _value(sheet.starting_choke),
        "schedule": [
            {
                "strokes": row.strokes,
                "volume": {"value": row.volume, "unit": "m3"},
                "drill_pipe_pressure": _value(row.pressure),
                "where": row.where,
            }
            for row in sheet.rows
        ],
        "volumes": [
            {"way": one.name, "volume": _value(one.volume), "strokes": float(one.strokes)}
            for one in sheet.stages
        ],
    }


def _told(told: Told) -> dict[str, Any]:
    one = told.followed
    return {
        "phases": list(told.phases),
        "time": {"values": one.time.tolist(), "unit": "s"},
        "phase": one.phase.tolist(),
        "choke_pressure": {"values": _listed(one.choke[0]), "unit": "Pa"},
        "bottom_pressure": {"values": _listed(one.bottom[0]), "unit": "Pa"},
        "stack_pressure": {"values": _listed(one.stack[0]), "unit": "Pa"},
        "pit_gain": {"values": _listed(one.pit_gain[0]), "unit": "m3"},
        "gas_rate": {"values": _listed(one.gas_rate[0]), "unit": "kg/s"},
        "gas_unaccounted": told.origin.residual,
    }


def _listed(series: np.ndarray) -> list[float | None]:
    return [float(v) if np.isfinite(v) else None for v in series]


def _value(value: Value) -> dict[str, Any]:
    return {"value": float(value), "unit": value.unit}
