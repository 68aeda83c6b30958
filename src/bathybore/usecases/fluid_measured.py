"""The fluids of a hole as measured: fits and their residuals, density against depth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors, nearest
from bathybore.base.working import FromWalk, Value, work
from bathybore.kernels.mud import density_at
from bathybore.kernels.rheology_fit import FlowLaw, best_of
from bathybore.model.fluid_readings import Readings
from bathybore.model.plan import Fluid
from bathybore.operations.columns import OPEN_TO_AIR, pressure_under, temperature

if TYPE_CHECKING:
    from bathybore.model.hole import Hole

CAUTION: Final = (
    "Fits hold for the temperatures, pressures and speeds of the readings; mud that has been in "
    "the hole flows otherwise than fresh mud. Measure again whenever the mud is treated."
)
_ROWS: Final = 13


@dataclass(frozen=True, eq=False)
class FittedReadings:
    """Readings of one condition with the laws fitted to them.

    Attributes
    ----------
    laws : Bingham, power law, Herschel-Bulkley
    best : of them, the simplest of those alike
    used : stress at each reading by the law that the walk uses there [Pa]
    """

    readings: Readings
    laws: tuple[FlowLaw, ...]
    best: FlowLaw
    used: Array


@dataclass(frozen=True, eq=False)
class FluidReport:
    """One fluid of the plan.

    Attributes
    ----------
    conditions : readings with their fits, the coldest first; none where constants were given
    z : depths at which density is told [m below mean sea level]
    temperature, pressure : undisturbed, and of the column of this fluid from the flow line
    density : as the walk has it, part by part where a composition was given [kg/m3]
    by_coefficients : the same with its mean coefficients, where a composition was given
    parts_density : of the parts at the surface, whatever was weighed
    """

    name: str
    fluid: Fluid
    constants: tuple[Value, ...]
    conditions: tuple[FittedReadings, ...]
    z: Array
    temperature: Array
    pressure: Array
    density: Array
    by_coefficients: Array | None
    parts_density: float | None


_CONSTANTS: Final = (
    "density",
    "compressibility",
    "thermal_expansion",
    "yield_stress",
    "consistency",
    "flow_index",
)


def fluid_reports(hole: Hole, name: str = "") -> tuple[FluidReport, ...]:
    """Return the fluids of a hole, or one of them.

    Raises
    ------
    InputErrors
        There is no fluid of that name.
    """
    fluids = hole.plan.fluids
    if name and name not in fluids:
        raise InputErrors.one(
            "fluid", f"'{name}'", f"one of {', '.join(fluids)}", nearest(name, fluids)
        )
    return tuple(_report(hole, one, fluids[one]) for one in ([name] if name else fluids))


def _report(hole: Hole, name: str, fluid: Fluid) -> FluidReport:
    top = hole.flow_line
    z = np.linspace(0.0, float(hole.z(hole.plan.target)), _ROWS)
    warmth = temperature(hole, z)
    column = pressure_under(hole, fluid, OPEN_TO_AIR, top, z)
    over = Value("temperature", warmth, "K", FromWalk("undisturbed"), -1)
    return FluidReport(
        name=name,
        fluid=fluid,
        constants=tuple(fluid.value(field) for field in _CONSTANTS),
        conditions=tuple(
            FittedReadings(one, one.laws, best_of(one.laws), _used(fluid, one))
            for one in fluid.measured_at
        ),
        z=z,
        temperature=warmth,
        pressure=np.asarray(column.si),
        density=np.asarray(fluid.density_in_place(column, over).si),
        by_coefficients=_by_constants(fluid, column, over),
        parts_density=_parts_density(fluid),
    )


def _used(fluid: Fluid, readings: Readings) -> Array:
    if not fluid.under_pressure:
        return readings.law.stress(readings.rates)
    where = readings.temperature, readings.pressure
    return fluid.conditions_law.stress(readings.rates, *where)


def _by_constants(fluid: Fluid, pressure: Value, warmth: Value) -> Array | None:
    if fluid.composition is None:
        return None
    density = work(
        density_at,
        density_at_surface_conditions=fluid.value("density"),
        pressure=pressure.named("pressure"),
        temperature=warmth,
        compressibility=fluid.value("compressibility"),
        fluid_thermal_expansion=fluid.value("thermal_expansion"),
        reference_temperature=fluid.value("reference_temperature"),
    )
    return np.asarray(density.si)


def _parts_density(fluid: Fluid) -> float | None:
    if fluid.composition is None:
        return None
    return float(fluid.composition.constants(fluid.value("reference_temperature"))["density"])
