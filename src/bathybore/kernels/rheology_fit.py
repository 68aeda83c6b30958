"""Flow laws fitted to viscometer readings, and their constants between measured conditions.

Fits are least squares in shear stress over all readings of one condition, so that every
speed counts by the stress it shows; the field equations through two or three readings are
in ``rheology``. All three laws have a yield stress that is not negative.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published

MODELS: Final = ("Bingham", "power law", "Herschel-Bulkley")
_GOLDEN: Final = 0.6180339887498949
_LEAST_INDEX, _GREATEST_INDEX = 0.1, 1.0
_MEASURED: Final = {"measured_share": Limit(0.0, 1.0, "between the measured conditions")}


@dataclass(frozen=True)
class FlowLaw:
    """A law tau = tau_y + K rate^n fitted to readings.

    Attributes
    ----------
    model : 'Bingham', 'power law' or 'Herschel-Bulkley'
    yield_stress, consistency, flow_index : [Pa], [Pa s^n], [-]
    residual : root of the mean square of the misfit in stress [Pa]
    share : the same over the greatest stress measured
    """

    model: str
    yield_stress: float
    consistency: float
    flow_index: float
    residual: float
    share: float

    def stress(self, shear_rate: Array) -> Array:
        return self.yield_stress + self.consistency * shear_rate**self.flow_index


def fitted_bingham(shear_rate: Array, shear_stress: Array) -> FlowLaw:
    """Return the Bingham law of least squares: a straight line, never below zero at rest."""
    return _law("Bingham", shear_rate, shear_stress, 1.0, with_yield=True)


def fitted_power_law(shear_rate: Array, shear_stress: Array) -> FlowLaw:
    """Return the power law of least squares in stress."""
    index = _best_index(shear_rate, shear_stress, with_yield=False)
    return _law("power law", shear_rate, shear_stress, index, with_yield=False)


def fitted_herschel_bulkley(shear_rate: Array, shear_stress: Array) -> FlowLaw:
    """Return the Herschel-Bulkley law of least squares in stress.

    For a given flow index the law is linear in yield stress and consistency: one number is
    left to search, between 0.1 and 1. The better of this and the other two laws is never
    worse than they are, for it holds both.
    """
    index = _best_index(shear_rate, shear_stress, with_yield=True)
    return _law("Herschel-Bulkley", shear_rate, shear_stress, index, with_yield=True)


def fits(shear_rate: Array, shear_stress: Array) -> tuple[FlowLaw, FlowLaw, FlowLaw]:
    """Return the three laws fitted to readings of one condition.

    Parameters
    ----------
    shear_rate : (reading) [1/s]
        Above zero, at least three different ones.
    shear_stress : (reading) [Pa]
        At those rates.

    Returns
    -------
    laws : Bingham, power law, Herschel-Bulkley

    Raises
    ------
    ValueError
        Fewer than three different shear rates, or a stress that is not above zero.
    """
    if len(np.unique(shear_rate)) < 3:
        raise ValueError("a fit of three constants needs readings at three speeds at least")
    if not ((shear_rate > 0.0).all() and (shear_stress > 0.0).all()):
        raise ValueError("shear rates and stresses have to be above zero")
    return (
        fitted_bingham(shear_rate, shear_stress),
        fitted_power_law(shear_rate, shear_stress),
        fitted_herschel_bulkley(shear_rate, shear_stress),
    )


def best_of(laws: tuple[FlowLaw, ...]) -> FlowLaw:
    """Return the law of least misfit; of laws alike to a part in a thousand the simplest.

    The laws come in order, the simplest first.
    """
    least = min(law.share for law in laws)
    return next(law for law in laws if law.share <= least + 1e-3)


def _law(model: str, rate: Array, stress: Array, index: float, with_yield: bool) -> FlowLaw:
    start, slope = _line(rate**index, stress, with_yield)
    misfit = stress - start - slope * rate**index
    residual = float(np.sqrt(np.mean(misfit**2)))
    share = residual / float(np.max(stress))
    return FlowLaw(model, start, slope, index, residual, share)


def _line(x: Array, y: Array, with_yield: bool) -> tuple[float, float]:
    """Return start and slope of the least-squares line, neither below zero."""
    through_zero = float(np.dot(x, y) / np.dot(x, x))
    if not with_yield:
        return 0.0, through_zero
    spread = x - np.mean(x)
    slope = float(np.dot(spread, y) / np.dot(spread, spread))
    start = float(np.mean(y) - slope * np.mean(x))
    if start < 0.0:
        return 0.0, through_zero
    return (start, slope) if slope > 0.0 else (float(np.mean(y)), 0.0)


def _best_index(rate: Array, stress: Array, with_yield: bool) -> float:
    """Return the flow index of least squares: a coarse look, then golden sections."""

    def misfit(index: float) -> float:
        start, slope = _line(rate**index, stress, with_yield)
        return float(np.sum((stress - start - slope * rate**index) ** 2))

    grid = np.linspace(_LEAST_INDEX, _GREATEST_INDEX, 91)
    worst = [misfit(float(index)) for index in grid]
    near = int(np.argmin(worst))
    low, high = float(grid[max(near - 1, 0)]), float(grid[min(near + 1, len(grid) - 1)])
    a, b = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_a, at_b = misfit(a), misfit(b)
    while high - low > 1e-10:
        if at_a <= at_b:
            high, b, at_b = b, a, at_a
            a = high - _GOLDEN * (high - low)
            at_a = misfit(a)
        else:
            low, a, at_a = a, b, at_b
            b = low + _GOLDEN * (high - low)
            at_b = misfit(b)
    middle = 0.5 * (low + high)
    ends = (middle, _GREATEST_INDEX, _LEAST_INDEX)
    return min(ends, key=misfit)  # the least may lie at an end of the range


# ---- between measured conditions ----------------------------------------------------------


@published(
    formula="x = (T - T_1) / (T_2 - T_1)",
    source="definition",
    where="place of a temperature between two",
    example={
        "temperature": "30 degC",
        "colder_temperature": "4 degC",
        "warmer_temperature": "50 degC",
    },
)
def measured_share(temperature: Real, colder_temperature: Real, warmer_temperature: Real) -> Real:
    """Place of a temperature between two at which readings were taken.

    Parameters
    ----------
    temperature : [K]
        Temperature asked for.
    colder_temperature : [K]
        Temperature of the colder readings.
    warmer_temperature : [K]
        Temperature of the warmer readings.

    Returns
    -------
    measured_share : [-]
        0 at the colder, 1 at the warmer one; beyond them outside.
    """
    return (temperature - colder_temperature) / (warmer_temperature - colder_temperature)


@published(
    formula="tau_y = (1 - x) tau_1 + x tau_2",
    source="definition",
    where="straight line between measured conditions, an assumption",
    valid=_MEASURED,
    example={
        "colder_yield_stress": "5 Pa",
        "warmer_yield_stress": "3 Pa",
        "measured_share": "0.4",
    },
)
def yield_stress_between(
    colder_yield_stress: Real, warmer_yield_stress: Real, measured_share: Real
) -> Real:
    """Yield stress between two measured conditions, held at the nearer one beyond them.

    Parameters
    ----------
    colder_yield_stress : [Pa]
        At the colder condition.
    warmer_yield_stress : [Pa]
        At the warmer condition.
    measured_share : [-]
        Place between the two.

    Returns
    -------
    yield_stress : [Pa]
        Yield stress.
    """
    x = np.clip(measured_share, 0.0, 1.0)
    return (1.0 - x) * colder_yield_stress + x * warmer_yield_stress


@published(
    formula="K = K_1^(1 - x) K_2^x",
    source="definition",
    where="straight line in the logarithm between measured conditions, an assumption",
    valid=_MEASURED,
    example={
        "colder_consistency": "0.6 Pa s^n",
        "warmer_consistency": "0.3 Pa s^n",
        "measured_share": "0.4",
    },
)
def consistency_between(
    colder_consistency: Real, warmer_consistency: Real, measured_share: Real
) -> Real:
    """Consistency index between two measured conditions, held at the nearer one beyond them.

    Parameters
    ----------
    colder_consistency : [Pa s^n]
        At the colder condition.
    warmer_consistency : [Pa s^n]
        At the warmer condition.
    measured_share : [-]
        Place between the two.

    Returns
    -------
    consistency_index : [Pa s^n]
        Consistency index K.
    """
    x = np.clip(measured_share, 0.0, 1.0)
    logarithm = (1.0 - x) * np.log(colder_consistency) + x * np.log(warmer_consistency)
    return np.asarray(np.exp(logarithm))


@published(
    formula="n = (1 - x) n_1 + x n_2",
    source="definition",
    where="straight line between measured conditions, an assumption",
    valid=_MEASURED,
    example={"colder_flow_index": "0.72", "warmer_flow_index": "0.78", "measured_share": "0.4"},
)
def flow_index_between(
    colder_flow_index: Real, warmer_flow_index: Real, measured_share: Real
) -> Real:
    """Flow index between two measured conditions, held at the nearer one beyond them.

    Parameters
    ----------
    colder_flow_index : [-]
        At the colder condition.
    warmer_flow_index : [-]
        At the warmer condition.
    measured_share : [-]
        Place between the two.

    Returns
    -------
    flow_index : [-]
        Flow index n.
    """
    x = np.clip(measured_share, 0.0, 1.0)
    return (1.0 - x) * colder_flow_index + x * warmer_flow_index
