"""A fluid as measured in words and rows, the same for every face."""

from __future__ import annotations

from typing import Final

import numpy as np

from bathybore.base.units import UnitSystem, show
from bathybore.base.working import Value
from bathybore.model.hole import Hole
from bathybore.usecases.circulating_told import density, pressure, warmth
from bathybore.usecases.fluid_measured import FittedReadings, FluidReport

FIT_TITLES: Final = (
    "law",
    "yield stress",
    "consistency",
    "flow index",
    "misfit",
    "of the greatest",
)
READING_TITLES: Final = ("speed", "reading", "measured", "by the law the walk uses")
DENSITY_TITLES: Final = ("depth", "temperature", "pressure", "density", "by mean coefficients")


def constants_told(report: FluidReport, units: UnitSystem) -> list[tuple[str, str]]:
    """Return the constants that the walk uses and where each comes from."""
    return [(value.name.replace("_", " "), _constant(value, units)) for value in report.constants]


def _constant(value: Value, units: UnitSystem) -> str:
    if value.name == "density":
        number = density(float(value), units)
    elif value.name == "yield_stress":
        number = _stress(float(value), units)
    else:
        number = show(float(value), value.unit, units)
    return f"{number}, {value.whence}"


def fit_heading(one: FittedReadings, units: UnitSystem) -> str:
    """Return at what the readings were taken, and which law fits best."""
    readings = one.readings
    at = f"{warmth(readings.temperature, units)}, {pressure(readings.pressure, units)}"
    return f"Readings at {at}: best by {one.best.model}"


def fit_rows(one: FittedReadings, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return the three laws as rows under `FIT_TITLES`."""
    return tuple(
        (
            law.model,
            _stress(law.yield_stress, units),
            show(law.consistency, "Pa s^n", units),
            f"{law.flow_index:.4g}",
            _stress(law.residual, units),
            f"{100.0 * law.share:.2g} %",
        )
        for law in one.laws
    )


def reading_rows(one: FittedReadings, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return readings beside the law that the walk uses as rows under `READING_TITLES`."""
    readings = one.readings
    return tuple(
        (f"{speed} rpm", f"{dial:g}", _stress(measured, units), _stress(law, units))
        for (speed, dial), measured, law in zip(
            readings.dials.items(), readings.stresses, one.used, strict=True
        )
    )


def _stress(value: float, units: UnitSystem) -> str:
    unit = "Pa" if units == "metric" else "lbf_per_100ft2"
    shown = show(float(value), "Pa", units, unit=unit, significant=3)
    return shown.replace("lbf_per_100ft2", "lbf/100 ft²")


def between_told(report: FluidReport, units: UnitSystem) -> str:
    """Return how the flow law is had between and beyond the readings."""
    if not report.conditions:
        return "Constants as given: the same at every temperature and pressure, an assumption."
    warmths = [one.readings.temperature for one in report.conditions]
    if len(warmths) == 1:
        return (
            "Readings at one temperature: the flow law is taken as the same at every temperature "
            "and pressure, an assumption."
        )
    low, high = warmth(warmths[0], units), warmth(warmths[-1], units)
    if report.fluid.under_pressure:
        return _over_conditions(report, units)
    return (
        f"Between {low} and {high} the constants follow straight lines from fit to fit (the "
        "consistency in its logarithm); beyond, they stay, outside validity. Readings at one "
        "pressure: pressure is taken as without effect on flow."
    )


def _over_conditions(report: FluidReport, units: UnitSystem) -> str:
    """Return the one law over temperatures and pressures in words, with its misfit."""
    law = report.fluid.conditions_law
    (cold, warm), (low, high) = law.temperatures, law.pressures
    at = f"{warmth(cold, units)} and {pressure(low, units)}"
    words = (
        f"One law over all readings: {_stress(law.yield_stress, units)}, "
        f"{show(law.consistency, 'Pa s^n', units)}, n {law.flow_index:.3g} at {at}. "
        f"From {pressure(low, units)} to {pressure(high, units)} the yield stress grows "
        f"{np.exp(law.yield_exponents[0]):.3g} times, the consistency "
        f"{np.exp(law.consistency_exponents[0]):.3g} times, by an exponential in pressure"
    )
    if warm > cold:
        words += (
            f"; from {warmth(cold, units)} to {warmth(warm, units)} "
            f"{np.exp(law.yield_exponents[1]):.3g} and "
            f"{np.exp(law.consistency_exponents[1]):.3g} times, by one in 1/T, and n by "
            f"{law.flow_index_change:+.2g}"
        )
    return (
        f"{words}. Misfit {100.0 * law.share:.2g} % of the greatest stress of each condition. "
        "Beyond the temperatures and pressures measured the law goes on, outside validity."
    )


def density_rows(report: FluidReport, hole: Hole, units: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return density against depth as rows under `DENSITY_TITLES`."""
    mean = report.by_coefficients
    return tuple(
        (
            hole.depth(float(z)).show(units),
            warmth(float(report.temperature[index]), units),
            pressure(float(report.pressure[index]), units),
            density(float(report.density[index]), units),
            "" if mean is None else density(float(mean[index]), units),
        )
        for index, z in enumerate(report.z)
    )


def composition_told(report: FluidReport, units: UnitSystem) -> str:
    """Return how far the constant coefficients are from the density part by part."""
    if report.by_coefficients is None or report.parts_density is None:
        return ""
    apart = report.fluid.density / report.parts_density - 1.0
    weighed = ""
    if abs(apart) > 1e-6:
        weighed = (
            f"As weighed the mud is {100.0 * apart:+.2g} % off the "
            f"{density(report.parts_density, units)} of its parts; the weighed density counts. "
        )
    worst = float(np.max(np.abs(report.by_coefficients / report.density - 1.0)))
    return weighed + (
        "Columns follow the parts: water by TEOS-10, beyond 40 °C by Sharqawy's expansion and the "
        "compression of pure water (IAPWS-IF97); oil as a mineral base oil (API RP 13D) unless its "
        "own was measured; grains hardly. Mean coefficients of 5 to 80 °C and 0 to 60 MPa, which "
        "closed annuli and heave take, differ by up to "
        f"{100.0 * worst:.2g} % over these depths."
    )
