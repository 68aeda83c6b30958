"""One flow law over readings at several temperatures and pressures.

Yield stress and consistency are exponential in pressure (Barus) and in the reciprocal of
temperature (Andrade), the flow index is straight in that reciprocal and knows no pressure.
Shares run from 0 at the coldest and least pressed readings to 1 at the warmest and most
pressed ones, so that every exponent is the logarithm of what the whole range makes of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import Limit, published
from bathybore.kernels.rheology_fit import fitted_herschel_bulkley

_LEAST_INDEX, _GREATEST_INDEX = 0.1, 1.0
_STEEPEST: Final = 5.0  # exponents beyond that are no mud's
_NO_YIELD: Final = 1e-6  # of the greatest stress: less is none
_MEASURED: Final = {
    "heat_share": Limit(0.0, 1.0, "between the coldest and the warmest readings"),
    "pressure_share": Limit(0.0, 1.0, "between the least and the most pressed readings"),
}


@published(
    formula="x_T = (1 \\/ T_1 - 1 \\/ T) / (1 \\/ T_1 - 1 \\/ T_2)",
    source="definition",
    where="place of a temperature between two, in its reciprocal",
    example={
        "temperature": "30 degC",
        "colder_temperature": "4 degC",
        "warmer_temperature": "80 degC",
    },
)
def heat_share(temperature: Real, colder_temperature: Real, warmer_temperature: Real) -> Real:
    """Place of a temperature between the coldest and the warmest readings.

    Parameters
    ----------
    temperature : [K]
        Temperature asked for.
    colder_temperature : [K]
        Temperature of the coldest readings.
    warmer_temperature : [K]
        Temperature of the warmest readings.

    Returns
    -------
    heat_share : [-]
        0 at the coldest, 1 at the warmest; beyond them outside.
    """
    whole = 1.0 / colder_temperature - 1.0 / warmer_temperature
    return (1.0 / colder_temperature - 1.0 / temperature) / whole


@published(
    formula="x_p = (p - p_1) / (p_2 - p_1)",
    source="definition",
    where="place of a pressure between two",
    example={"pressure": "30 MPa", "first_pressure": "0 MPa", "second_pressure": "60 MPa"},
)
def pressure_share(pressure: Real, first_pressure: Real, second_pressure: Real) -> Real:
    """Place of a pressure between the least and the most pressed readings.

    Parameters
    ----------
    pressure : [Pa]
        Pressure asked for.
    first_pressure : [Pa]
        Pressure of the least pressed readings.
    second_pressure : [Pa]
        Pressure of the most pressed readings.

    Returns
    -------
    pressure_share : [-]
        0 at the least, 1 at the greatest; beyond them outside.
    """
    return (pressure - first_pressure) / (second_pressure - first_pressure)


@published(
    formula="tau_y = tau_r exp(a_p x_p + a_T x_T)",
    source="barus-1893",
    where="exponential in pressure, and in 1/T after Andrade 1930; of mud an assumption that the "
    "misfit tests; from memory",
    valid=_MEASURED,
    example={
        "reference_yield_stress": "6 Pa",
        "pressure_exponent": "0.3",
        "heat_exponent": "-0.7",
        "pressure_share": "0.5",
        "heat_share": "0.4",
    },
)
def yield_stress_under(
    reference_yield_stress: Real,
    pressure_exponent: Real,
    heat_exponent: Real,
    pressure_share: Real,
    heat_share: Real,
) -> Real:
    """Yield stress of a mud under pressure and at a temperature.

    Parameters
    ----------
    reference_yield_stress : [Pa]
        At the coldest and least pressed readings.
    pressure_exponent : [-]
        Logarithm of the gain from the least to the most pressed readings.
    heat_exponent : [-]
        Logarithm of the gain from the coldest to the warmest readings.
    pressure_share : [-]
        Place between the pressures measured.
    heat_share : [-]
        Place between the temperatures measured.

    Returns
    -------
    yield_stress : [Pa]
        Yield stress.
    """
    grown = np.exp(pressure_exponent * pressure_share + heat_exponent * heat_share)
    return np.asarray(reference_yield_stress * grown)


@published(
    formula="K = K_r exp(a_p x_p + a_T x_T)",
    source="barus-1893",
    where="exponential in pressure, and in 1/T after Andrade 1930; of mud an assumption that the "
    "misfit tests; from memory",
    valid=_MEASURED,
    example={
        "reference_consistency": "0.6 Pa s^n",
        "pressure_exponent": "0.4",
        "heat_exponent": "-0.9",
        "pressure_share": "0.5",
        "heat_share": "0.4",
    },
)
def consistency_under(
    reference_consistency: Real,
    pressure_exponent: Real,
    heat_exponent: Real,
    pressure_share: Real,
    heat_share: Real,
) -> Real:
    """Consistency index of a mud under pressure and at a temperature.

    Parameters
    ----------
    reference_consistency : [Pa s^n]
        At the coldest and least pressed readings.
    pressure_exponent : [-]
        Logarithm of the gain from the least to the most pressed readings.
    heat_exponent : [-]
        Logarithm of the gain from the coldest to the warmest readings.
    pressure_share : [-]
        Place between the pressures measured.
    heat_share : [-]
        Place between the temperatures measured.

    Returns
    -------
    consistency_index : [Pa s^n]
        Consistency index K.
    """
    grown = np.exp(pressure_exponent * pressure_share + heat_exponent * heat_share)
    return np.asarray(reference_consistency * grown)


@published(
    formula="n = n_r + Delta n x_T",
    source="definition",
    where="straight line in 1/T, kept between 0.1 and 1; an assumption that the misfit tests",
    valid={"heat_share": _MEASURED["heat_share"]},
    example={
        "reference_flow_index": "0.70",
        "flow_index_change": "0.08",
        "heat_share": "0.4",
    },
)
def flow_index_under(reference_flow_index: Real, flow_index_change: Real, heat_share: Real) -> Real:
    """Flow index of a mud at a temperature; pressure does not change it.

    Parameters
    ----------
    reference_flow_index : [-]
        At the coldest readings.
    flow_index_change : [-]
        Gain from the coldest to the warmest readings.
    heat_share : [-]
        Place between the temperatures measured.

    Returns
    -------
    flow_index : [-]
        Flow index n.
    """
    index = reference_flow_index + flow_index_change * np.asarray(heat_share)
    return np.clip(index, _LEAST_INDEX, _GREATEST_INDEX)


# ---- the fit ------------------------------------------------------------------------------


@dataclass(frozen=True)
class ConditionsLaw:
    """A Herschel-Bulkley law over temperatures and pressures, fitted to all readings at once.

    Attributes
    ----------
    temperatures, pressures : coldest and warmest [K], least and most pressed [Pa]
    yield_stress, consistency, flow_index : at the coldest and least pressed
    yield_exponents, consistency_exponents : of pressure, of heat
    flow_index_change : from the coldest to the warmest
    share : root mean square of the misfit, each reading over the greatest of its condition
    """

    temperatures: tuple[float, float]
    pressures: tuple[float, float]
    yield_stress: float
    consistency: float
    flow_index: float
    yield_exponents: tuple[float, float]
    consistency_exponents: tuple[float, float]
    flow_index_change: float
    share: float

    def heat_share(self, temperature: Real) -> Real:
        cold, warm = self.temperatures
        return heat_share(temperature, cold, warm) if warm > cold else np.zeros_like(temperature)

    def constants(self, temperature: Real, pressure: Real) -> tuple[Real, Real, Real]:
        """Return yield stress, consistency and flow index at a condition."""
        warm, pressed = self.heat_share(temperature), pressure_share(pressure, *self.pressures)
        return (
            yield_stress_under(self.yield_stress, *self.yield_exponents, pressed, warm),
            consistency_under(self.consistency, *self.consistency_exponents, pressed, warm),
            flow_index_under(self.flow_index, self.flow_index_change, warm),
        )

    def stress(self, shear_rate: Array, temperature: float, pressure: float) -> Array:
        """Return the shear stress at one condition [Pa]."""
        rest, thick, index = self.constants(temperature, pressure)
        return np.asarray(rest + thick * shear_rate**index)


def told_apart(temperatures: Array, pressures: Array) -> bool:
    """Return whether conditions tell the effect of pressure from that of temperature.

    They do not where all lie on one line of reciprocal temperature against pressure, unless
    there is one temperature only.
    """
    warm, pressed = 1.0 / temperatures, pressures
    span = np.ptp(warm), np.ptp(pressed)
    if span[1] <= 0.0 or span[0] <= 1e-9 * warm[0]:
        return bool(span[1] > 0.0)
    places = np.stack([(warm - warm[0]) / span[0], (pressed - pressed[0]) / span[1]])
    return bool(np.linalg.matrix_rank(places, tol=1e-3) == 2)


def fitted_over_conditions(
    temperatures: Array, pressures: Array, rates: tuple[Array, ...], stresses: tuple[Array, ...]
) -> ConditionsLaw:
    """Return the law of least squares over readings of several conditions.

    Every reading counts by its stress over the greatest of its own condition, so that the
    warm, thin ones count like the cold ones.

    Parameters
    ----------
    temperatures, pressures : (condition) [K], [Pa]
        At least two different pressures, told apart from the temperatures.
    rates, stresses : (reading) [1/s], [Pa]
        Of each condition.

    Raises
    ------
    ValueError
        The conditions do not tell pressure from temperature.
    NotConverged
        The fit found no least.
    """
    from scipy.optimize import least_squares  # here: costly to import, rarely needed

    if not told_apart(temperatures, pressures):
        raise ValueError("readings do not tell the effect of pressure from that of temperature")
    fit = _Fit(temperatures, pressures, rates, stresses)
    found = least_squares(
        fit.misfit, fit.start(), bounds=fit.bounds(), x_scale="jac",
        xtol=1e-12, ftol=1e-12, gtol=1e-12, max_nfev=2000,
    )  # fmt: skip
    if found.status <= 0:
        raise NotConverged("flow law over temperatures and pressures: no least was found")
    return fit.law(found.x)


class _Fit:
    """Eight numbers against readings: those of heat stay zero at one temperature."""

    def __init__(
        self,
        warmths: Array,
        pressures: Array,
        rates: tuple[Array, ...],
        stresses: tuple[Array, ...],
    ) -> None:
        self.conditions = tuple(zip(rates, stresses, strict=True))
        counts = [len(one) for one in rates]
        self.rate, self.stress = np.concatenate(rates), np.concatenate(stresses)
        self.weight = 1.0 / np.repeat([np.max(one) for one in stresses], counts)
        self.cold, self.warm = float(np.min(warmths)), float(np.max(warmths))
        self.low, self.high = float(np.min(pressures)), float(np.max(pressures))
        self.heated = self.warm > self.cold
        each = (
            np.asarray(heat_share(warmths, self.cold, self.warm))
            if self.heated
            else np.zeros(len(warmths))
        )
        pressed = np.asarray(pressure_share(pressures, self.low, self.high))
        self.places = np.stack([np.ones(len(warmths)), pressed, each], axis=1)
        self.x_p, self.x_t = np.repeat(pressed, counts), np.repeat(each, counts)

    def start(self) -> Array:
        """Return where the search begins: straight lines through the fits of each condition."""
        laws = [fitted_herschel_bulkley(*one) for one in self.conditions]
        tops = np.array([np.max(stress) for _, stress in self.conditions])
        kept = self.places if self.heated else self.places[:, :2]

        def line(numbers: Array) -> Array:
            found = np.linalg.lstsq(kept, numbers, rcond=None)[0]
            return np.append(found, np.zeros(3 - len(found)))

        index = float(np.clip(np.mean([law.flow_index for law in laws]), 0.15, 0.95))
        # with one index for all, so that the consistencies compare
        thick = line(np.log([np.median(s / r**index) for r, s in self.conditions]))
        rest = line(np.log(np.maximum([law.yield_stress for law in laws], 1e-2 * tops)))
        steep = 0.9 * _STEEPEST
        (a, *of_rest), (b, *of_thick) = rest, thick
        of_rest, of_thick = np.clip(of_rest, -steep, steep), np.clip(of_thick, -steep, steep)
        free = np.array([np.exp(a), *of_rest, b, *of_thick, index, 0.0])
        return free if self.heated else free[[0, 1, 3, 4, 6]]

    def bounds(self) -> tuple[Array, Array]:
        steep = _STEEPEST
        low = np.array([0.0, -steep, -steep, -25.0, -steep, -steep, _LEAST_INDEX, -0.9])
        high = np.array([1e3, steep, steep, 25.0, steep, steep, _GREATEST_INDEX, 0.9])
        return (low, high) if self.heated else (low[[0, 1, 3, 4, 6]], high[[0, 1, 3, 4, 6]])

    def whole(self, free: Array) -> Array:
        if self.heated:
            return free
        return np.array([free[0], free[1], 0.0, free[2], free[3], 0.0, free[4], 0.0])

    def misfit(self, free: Array) -> Array:
        rest, rest_p, rest_t, thick, thick_p, thick_t, index, change = self.whole(free)
        n = np.clip(index + change * self.x_t, _LEAST_INDEX, _GREATEST_INDEX)
        stress = rest * np.exp(rest_p * self.x_p + rest_t * self.x_t)
        stress += np.exp(thick + thick_p * self.x_p + thick_t * self.x_t) * self.rate**n
        return np.asarray((stress - self.stress) * self.weight)

    def law(self, free: Array) -> ConditionsLaw:
        rest, rest_p, rest_t, thick, thick_p, thick_t, index, change = map(float, self.whole(free))
        if rest < _NO_YIELD * float(np.max(self.stress)):
            rest = rest_p = rest_t = 0.0
        return ConditionsLaw(
            (self.cold, self.warm),
            (self.low, self.high),
            rest,
            float(np.exp(thick)),
            index,
            (rest_p, rest_t),
            (thick_p, thick_t),
            change,
            float(np.sqrt(np.mean(self.misfit(free) ** 2))),
        )
