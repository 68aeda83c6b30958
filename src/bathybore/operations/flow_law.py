"""The flow law of a fluid in place: constants, or as measured at temperatures and pressures.

Readings at several temperatures and one pressure are joined by straight lines; readings at
several pressures by one law exponential in pressure and 1/T. Readings of one condition, and
constants, hold everywhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Origin, Solved, Value, work
from bathybore.kernels.rheology_conditions import (
    consistency_under,
    flow_index_under,
    heat_share,
    pressure_share,
    yield_stress_under,
)
from bathybore.kernels.rheology_fit import (
    consistency_between,
    flow_index_between,
    measured_share,
    yield_stress_between,
)
from bathybore.model.fluid_readings import FLOW_UNITS
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.columns import column_top, pressure_under, temperature

_ONE_WARMTH: Final = FromWalk("all readings at one temperature: held at every temperature")


@kept(SOME)
def rheology(fluid: Fluid) -> dict[str, Value]:
    """Return density and flow constants of a fluid, by the names the friction equations use."""
    return {
        "fluid_density": fluid.value("density"),
        "yield_stress": fluid.value("yield_stress"),
        "consistency_index": fluid.value("consistency"),
        "flow_index": fluid.value("flow_index"),
    }


def changes_in_place(fluid: Fluid) -> bool:
    """Return whether readings of more than one condition were given."""
    return len(fluid.readings) > 1


def rheology_at(fluid: Fluid, temperature: Value, pressure: Value | None) -> dict[str, Value]:
    """Return density and flow constants of a fluid at places along a channel.

    Parameters
    ----------
    temperature : there
    pressure : there; not asked for where all readings were taken at one pressure

    Raises
    ------
    NotConverged
        The law over several pressures could not be fitted.
    """
    if not changes_in_place(fluid):
        return rheology(fluid)
    if not fluid.under_pressure:
        return _between(fluid, temperature)
    if pressure is None:
        raise LookupError("readings at several pressures, and none told for the place")
    return _under(fluid, temperature, pressure)


@kept(SOME)
def resting_rheology(setting: Setting, on_riser: bool, fluid: Fluid, z: Array) -> dict[str, Value]:
    """Return the flow constants of a fluid that stood still: undisturbed, under its own column.

    Parameters
    ----------
    on_riser : whether the column begins at the flow line, or at the sea bed
    z : [m below mean sea level]
        Places, none above the top of the column.
    """
    if not changes_in_place(fluid):
        return rheology(fluid)
    warm = Value("temperature", temperature(setting, z), "K", FromWalk("undisturbed there"))
    begin, top = column_top(setting, on_riser)
    pressure = pressure_under(setting, fluid, top, begin, z)
    return rheology_at(fluid, warm, Value("pressure", pressure.si, "Pa", pressure.origin))


def resting_numbers(
    setting: Setting, on_riser: bool, fluid: Fluid, z: Array
) -> tuple[Array, Array, Array, Array]:
    """Return density, yield stress, consistency and flow index of a fluid that stood still.

    Parameters
    ----------
    z : [m below mean sea level]
        Places; those above the top of the column count as its top.
    """
    begin, _ = column_top(setting, on_riser)
    wet = np.maximum(z, float(begin))
    law = resting_rheology(setting, on_riser, fluid, wet)
    density, rest, thick, index = (
        np.broadcast_to(np.asarray(one.si, dtype=float), z.shape) for one in law.values()
    )
    return density, rest, thick, index


# ---- several pressures --------------------------------------------------------------------


def _under(fluid: Fluid, temperature: Value, pressure: Value) -> dict[str, Value]:
    """Return the constants by the one law over all conditions; beyond them it goes on."""
    law = fluid.conditions_law

    def told(name: str, number: float, unit: str = "-") -> Value:
        return fluid.over_conditions(name, number, unit)

    low, high = law.pressures
    pressed = work(
        pressure_share,
        pressure=pressure.named("pressure"),
        first_pressure=told("first_pressure", low, "Pa"),
        second_pressure=told("second_pressure", high, "Pa"),
    )
    warm = _heat_share(fluid, temperature)

    def exponents(of_pressure: float, of_heat: float) -> dict[str, Value]:
        return {
            "pressure_exponent": told("pressure_exponent", of_pressure),
            "heat_exponent": told("heat_exponent", of_heat),
            "pressure_share": pressed,
            "heat_share": warm,
        }

    return {
        "fluid_density": fluid.value("density"),
        "yield_stress": work(
            yield_stress_under,
            reference_yield_stress=told("reference_yield_stress", law.yield_stress, "Pa"),
            **exponents(*law.yield_exponents),
        ),
        "consistency_index": work(
            consistency_under,
            reference_consistency=told("reference_consistency", law.consistency, "Pa s^n"),
            **exponents(*law.consistency_exponents),
        ),
        "flow_index": work(
            flow_index_under,
            reference_flow_index=told("reference_flow_index", law.flow_index),
            flow_index_change=told("flow_index_change", law.flow_index_change),
            heat_share=warm,
        ),
    }


def _heat_share(fluid: Fluid, temperature: Value) -> Value:
    cold, warm = fluid.conditions_law.temperatures
    if not warm > cold:
        return Value("heat_share", np.zeros_like(temperature.si), "-", _ONE_WARMTH)
    return work(
        heat_share,
        temperature=temperature.named("temperature"),
        colder_temperature=fluid.over_conditions("colder_temperature", cold, "K"),
        warmer_temperature=fluid.over_conditions("warmer_temperature", warm, "K"),
    )


# ---- one pressure, several temperatures ---------------------------------------------------


@dataclass(frozen=True, eq=False)
class _Knots:
    """The fits of a fluid by temperature, each number with its origin, ready to be picked from.

    Attributes
    ----------
    warmth : of the readings, the coldest first [K]
    sides : name, unit, origin of each number
    numbers : a row for each, over the gaps between two readings
    """

    warmth: Array
    sides: tuple[tuple[str, str, Origin], ...]
    numbers: Array

    def picked(self, temperature: Value) -> dict[str, Value]:
        """Return the numbers of the colder and the warmer fit beside each temperature."""
        gap = np.searchsorted(self.warmth, np.asarray(temperature.si)) - 1
        which = np.minimum(np.maximum(gap, 0), len(self.warmth) - 2)
        return {
            name: Value(name, row, unit, origin)
            for (name, unit, origin), row in zip(self.sides, self.numbers[:, which], strict=True)
        }


@kept(SOME)
def _knots(fluid: Fluid) -> _Knots:
    measured = fluid.measured_at
    warmth = np.array([one.temperature for one in measured])
    sides, rows = list[tuple[str, str, Origin]](), list[Array]()

    def add(name: str, unit: str, numbers: Array, origin: Origin) -> None:
        for side, part in (("colder", numbers[:-1]), ("warmer", numbers[1:])):
            sides.append((f"{side}_{name}", unit, origin))
            rows.append(part)

    add("temperature", "K", warmth, FromWalk("temperatures of the readings next to it"))
    for field, unit in FLOW_UNITS.items():
        ends = tuple(one.fitted(field) for one in measured)
        origin = Solved("fitted readings next to the temperature", "definition", ends)
        add(field, unit, np.array([float(end) for end in ends]), origin)
    return _Knots(warmth, tuple(sides), np.array(rows))


def _between(fluid: Fluid, temperature: Value) -> dict[str, Value]:
    """Return the constants at temperatures, pressure without effect.

    Between measured temperatures the constants of the two fits are joined by straight lines
    (of the consistency in its logarithm); beyond them they stay, outside validity.
    """
    beside = _knots(fluid).picked(temperature)

    def sides(field: str) -> dict[str, Value]:
        return {name: beside[name] for name in (f"colder_{field}", f"warmer_{field}")}

    warm = temperature.named("temperature")
    share = work(measured_share, temperature=warm, **sides("temperature"))
    rest, thick = sides("yield_stress"), sides("consistency")
    return {
        "fluid_density": fluid.value("density"),
        "yield_stress": work(yield_stress_between, **rest, measured_share=share),
        "consistency_index": work(consistency_between, **thick, measured_share=share),
        "flow_index": work(flow_index_between, **sides("flow_index"), measured_share=share),
    }
