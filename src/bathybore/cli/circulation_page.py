"""A circulation in full, as a page and as JSON."""

from __future__ import annotations

from typing import Any

import numpy as np

from bathybore.base.units import UnitSystem
from bathybore.base.working import Value
from bathybore.cli.page import VERDICT_STYLE, Page
from bathybore.cli.tables import put_table
from bathybore.operations.circulation_nozzles import Jets
from bathybore.operations.circulation_profile import REGIMES, Channel
from bathybore.reports.records_json import document, plain
from bathybore.usecases.circulating import CAUTION, StepCirculation
from bathybore.usecases.circulating_told import (
    ANNULUS_TITLES,
    NOZZLE_TITLES,
    PIPE_TITLES,
    annulus_rows,
    facts,
    heat_told,
    nozzle_rows,
    nozzles_told,
    pipe_rows,
    window_told,
)
from bathybore.usecases.explaining import explain
from bathybore.usecases.showing import percent


def circulation(one: StepCirculation, units: UnitSystem) -> str:
    """Return the page of a circulation."""
    page = Page()
    page.line(f"Circulation in {one.step}", "bold")
    page.fields(facts(one, units), label=16)
    page.heading("Up the annulus")
    put_table(page, ANNULUS_TITLES, annulus_rows(one, units))
    page.heading("Down the string")
    put_table(page, PIPE_TITLES, pipe_rows(one, units))
    page.heading("Nozzles")
    page.line(nozzles_told(one, units), indent=2)
    put_table(page, NOZZLE_TITLES, nozzle_rows(one, units))
    page.heading("Window of flows at the planned rate of penetration")
    page.fields(window_told(one, units), label=16)
    page.heading("Heat")
    page.fields(heat_told(one, units), label=16)
    page.heading("Margins")
    for record in one.records:
        room = f"{percent(record.margin)} left" if record.margin is not None else "not judged"
        style = VERDICT_STYLE[str(record.status)]
        page.line(f"{record.id}: {room}. {record.note}".strip(), style, indent=2)
    page.heading("Cautions")
    page.fields([("-", CAUTION)], label=1)
    return page.text()


def as_json(one: StepCirculation, units: UnitSystem) -> str:
    """Return the same as JSON, numbers in SI."""
    profile, window, heat = one.profile, one.window, one.heat
    content: dict[str, Any] = {
        "step": one.step,
        "fluid": one.fluid,
        "flow_rate": _value(one.flow.flow_rate),
        "booster_flow_rate": _value(one.flow.booster_flow_rate),
        "standpipe_pressure": _value(profile.standpipe),
        "surface_line_loss": _value(profile.lines),
        "tool_loss": _value(profile.tools),
        "bit_pressure_drop": _value(profile.bit),
        "annulus": {
            **_channel(profile.annulus),
            "cuttings_volume_fraction": _over(profile.fraction),
            "density_with_cuttings": _over(profile.laden),
            "transport_ratio": _over(profile.ratio),
            "equivalent_circulating_density": _over(profile.equivalent),
        },
        "pipe": _channel(profile.pipe),
        "nozzles": {
            "planned": _jets(one.nozzles.planned),
            "best": None if one.nozzles.best is None else _jets(one.nozzles.best),
            **{goal: _jets(jets) for goal, jets in one.nozzles.goals.items()},
        },
        "flow_window": {
            "smallest": window.smallest,
            "greatest": window.greatest,
            "pumped": window.pumped,
            "beyond": window.beyond,
            "unit": "m3/s",
        },
        "heat": {
            "depth_below_sea_level": heat.cells.middle.tolist(),
            "pipe": heat.heat.pipe.tolist(),
            "annulus": heat.heat.annulus.tolist(),
            "undisturbed": one.undisturbed.tolist(),
            "after_stop": one.story.stopped.mud.annulus.tolist(),
            "unit": "K",
        },
        "records": [plain(explain(record, units)) for record in one.records],
    }
    return document("bathybore.circulation/1", content)


def _channel(channel: Channel) -> dict[str, Any]:
    cells = channel.cells
    return {
        "names": list(cells.names),
        "foot_below_sea_level": {"value": cells.bottom.tolist(), "unit": "m"},
        "velocity": _over(channel.velocity),
        "friction_gradient": _over(channel.friction),
        "reynolds_number": _over(channel.reynolds),
        "regime": [REGIMES[int(index)] for index in channel.regime],
        "temperature": _over(channel.temperature),
        "density": _over(channel.density),
        "pressure": _over(channel.pressure),
    }


def _jets(jets: Jets) -> dict[str, Any]:
    return {
        "flow_rate": _value(jets.flow_rate),
        "nozzle_area": _value(jets.area),
        "nozzle_diameter": None if jets.diameter is None else _value(jets.diameter),
        "bit_pressure_drop": _value(jets.pressure_drop),
        "nozzle_velocity": _value(jets.velocity),
        "hydraulic_power": _value(jets.power),
        "hydraulic_power_per_area": _value(jets.power_per_area),
        "jet_impact_force": _value(jets.impact),
        "standpipe_pressure": _value(jets.pump_pressure),
    }


def _value(value: Value) -> dict[str, Any]:
    return {"value": float(value), "unit": value.unit}


def _over(value: Value) -> dict[str, Any]:
    return {"value": np.asarray(value.si).tolist(), "unit": value.unit}
