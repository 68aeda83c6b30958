"""Fluids as measured, as a page and as JSON."""

from __future__ import annotations

from typing import Any

from bathybore.base.units import UnitSystem
from bathybore.cli.page import Page
from bathybore.cli.tables import put_table
from bathybore.model.hole import Hole
from bathybore.reports.records_json import document
from bathybore.usecases.fluid_measured import CAUTION, FluidReport
from bathybore.usecases.fluid_told import (
    DENSITY_TITLES,
    FIT_TITLES,
    READING_TITLES,
    between_told,
    composition_told,
    constants_told,
    density_rows,
    fit_heading,
    fit_rows,
    reading_rows,
)


def fluids(reports: tuple[FluidReport, ...], hole: Hole, units: UnitSystem) -> str:
    """Return the page of some fluids; the density against depth of a single one."""
    page = Page()
    for report in reports:
        page.heading(report.name)
        page.fields(constants_told(report, units), label=18)
        page.line(between_told(report, units), indent=2)
        for one in report.conditions:
            page.heading(f"{report.name}: {fit_heading(one, units)}")
            put_table(page, FIT_TITLES, fit_rows(one, units))
            page.line()
            put_table(page, READING_TITLES, reading_rows(one, units))
        if len(reports) == 1 or report.by_coefficients is not None:
            page.heading(f"{report.name}: density against depth, at rest and undisturbed")
            put_table(page, DENSITY_TITLES, density_rows(report, hole, units))
            page.note(composition_told(report, units), "", 2)
    page.heading("Cautions")
    page.fields([("-", CAUTION)], label=1)
    return page.text()


def as_json(reports: tuple[FluidReport, ...]) -> str:
    """Return the same as JSON, numbers in SI."""
    return document("bathybore.fluid/1", {"fluids": [_fluid(report) for report in reports]})


def _fluid(report: FluidReport) -> dict[str, Any]:
    return {
        "name": report.name,
        "constants": {
            value.name: {"value": float(value), "unit": value.unit, "from": value.whence}
            for value in report.constants
        },
        "readings": [
            {
                "temperature": {"value": one.readings.temperature, "unit": "K"},
                "pressure": {"value": one.readings.pressure, "unit": "Pa"},
                "dials": {str(speed): dial for speed, dial in one.readings.dials.items()},
                "best": one.best.model,
                "fits": [
                    {
                        "model": law.model,
                        "yield_stress": {"value": law.yield_stress, "unit": "Pa"},
                        "consistency_index": {"value": law.consistency, "unit": "Pa s^n"},
                        "flow_index": {"value": law.flow_index, "unit": "-"},
                        "residual": {"value": law.residual, "unit": "Pa"},
                        "residual_share": {"value": law.share, "unit": "-"},
                    }
                    for law in one.laws
                ],
            }
            for one in report.conditions
        ],
        "over_conditions": _over_conditions(report),
        "density": {
            "depth_below_sea_level": {"value": report.z.tolist(), "unit": "m"},
            "temperature": {"value": report.temperature.tolist(), "unit": "K"},
            "pressure": {"value": report.pressure.tolist(), "unit": "Pa"},
            "density": {"value": report.density.tolist(), "unit": "kg/m3"},
            "by_mean_coefficients": None
            if report.by_coefficients is None
            else {"value": report.by_coefficients.tolist(), "unit": "kg/m3"},
        },
    }


def _over_conditions(report: FluidReport) -> dict[str, Any] | None:
    """Return the one law over several pressures; none where there are not such readings."""
    if not report.fluid.under_pressure:
        return None
    law = report.fluid.conditions_law
    return {
        "temperatures": {"value": list(law.temperatures), "unit": "K"},
        "pressures": {"value": list(law.pressures), "unit": "Pa"},
        "yield_stress": {"value": law.yield_stress, "unit": "Pa"},
        "consistency_index": {"value": law.consistency, "unit": "Pa s^n"},
        "flow_index": {"value": law.flow_index, "unit": "-"},
        "yield_stress_exponents": {"value": list(law.yield_exponents), "unit": "-"},
        "consistency_exponents": {"value": list(law.consistency_exponents), "unit": "-"},
        "flow_index_change": {"value": law.flow_index_change, "unit": "-"},
        "residual_share": {"value": law.share, "unit": "-"},
    }
