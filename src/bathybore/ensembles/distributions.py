"""From normal scores to the values of a law, and back: functions that only rise, so ranks stay.

A law is cut off at its bounds by leaving out the probability beyond them: what is left keeps its
shape, and no value is pushed onto a bound.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

import numpy as np
from scipy.special import betainc, betaincinv, ndtr, ndtri

from bathybore.base.arrays import Array
from bathybore.model.laws import Law

_TENTH: Final = float(ndtri(0.9))  # normal scores between the median and p10 or p90


def values_of(law: Law, scores: Array) -> Array:
    """Return the values of a law at normal scores, of any shape."""
    below, above = _cut(law)
    if below == 0.0 and above == 1.0:
        if law.name == "normal":
            mean, deviation = normal_parameters(law)
            return mean + deviation * scores
        if law.name == "lognormal":
            mean, deviation = log_parameters(law)
            return np.exp(mean + deviation * scores)
    return quantile(law, np.asarray(ndtr(scores)))


def quantile(law: Law, probability: Array | float) -> Array:
    """Return the value that a share of all stays below."""
    below, above = _cut(law)
    inside = below + np.asarray(probability, dtype=float) * (above - below)
    values = _QUANTILES[law.name](law, inside)
    return np.clip(values, law.bounds.least, law.bounds.greatest)  # against the last binary digit


def probability_below(law: Law, value: Array | float) -> Array:
    """Return the share of all that stays at or below a value."""
    below, above = _cut(law)
    whole = _SHARES[law.name](law, np.asarray(value, dtype=float))
    return np.clip((whole - below) / (above - below), 0.0, 1.0)


def median(law: Law) -> float:
    return float(quantile(law, 0.5))


def normal_parameters(law: Law) -> tuple[float, float]:
    """Return mean and standard deviation of a normal law before it is cut off."""
    if law.has("mean"):
        return law["mean"], law["standard_deviation"]
    return _by_tenths(law["p10"], law["p90"])


def log_parameters(law: Law) -> tuple[float, float]:
    """Return mean and standard deviation of the logarithm of a lognormal law."""
    if law.has("mean"):
        variance = math.log1p((law["standard_deviation"] / law["mean"]) ** 2)
        return math.log(law["mean"]) - 0.5 * variance, math.sqrt(variance)
    return _by_tenths(math.log(law["p10"]), math.log(law["p90"]))


def _by_tenths(low: float, high: float) -> tuple[float, float]:
    return 0.5 * (low + high), 0.5 * (high - low) / _TENTH


def _cut(law: Law) -> tuple[float, float]:
    """Return the shares of the whole law below its bounds."""
    if law.name == "empirical":
        return 0.0, 1.0  # its values lie inside
    ends = (law.bounds.least, law.bounds.greatest)
    below, above = (float(_SHARES[law.name](law, np.asarray(end))) for end in ends)
    return below, above


def _normal_quantile(law: Law, probability: Array) -> Array:
    mean, deviation = normal_parameters(law)
    return np.asarray(mean + deviation * ndtri(probability))


def _normal_share(law: Law, value: Array) -> Array:
    mean, deviation = normal_parameters(law)
    return np.asarray(ndtr((value - mean) / deviation))


def _lognormal_quantile(law: Law, probability: Array) -> Array:
    mean, deviation = log_parameters(law)
    return np.exp(mean + deviation * ndtri(probability))


def _lognormal_share(law: Law, value: Array) -> Array:
    mean, deviation = log_parameters(law)
    positive = value > 0.0
    logarithm = np.log(np.where(positive, value, 1.0))
    return np.where(positive, ndtr((logarithm - mean) / deviation), 0.0)


def _uniform_quantile(law: Law, probability: Array) -> Array:
    return law["least"] + probability * (law["greatest"] - law["least"])


def _uniform_share(law: Law, value: Array) -> Array:
    return np.clip((value - law["least"]) / (law["greatest"] - law["least"]), 0.0, 1.0)


def _triangular_quantile(law: Law, probability: Array) -> Array:
    least, peak, greatest = law["least"], law["most_likely"], law["greatest"]
    width = greatest - least
    rising = least + np.sqrt(probability * width * (peak - least))
    falling = greatest - np.sqrt((1.0 - probability) * width * (greatest - peak))
    return np.where(probability < (peak - least) / width, rising, falling)


def _triangular_share(law: Law, value: Array) -> Array:
    least, peak, greatest = law["least"], law["most_likely"], law["greatest"]
    width, inside = greatest - least, np.clip(value, least, greatest)
    # a side of no width is never asked: the other one begins at the peak
    rising = (inside - least) ** 2 / (width * ((peak - least) or 1.0))
    falling = 1.0 - (greatest - inside) ** 2 / (width * ((greatest - peak) or 1.0))
    return np.where(inside < peak, rising, np.where(inside < greatest, falling, 1.0))


def _pert_shapes(law: Law) -> tuple[float, float]:
    """Return the two exponents of the beta law that PERT stands for, with the usual weight of 4."""
    width = law["greatest"] - law["least"]
    first = 1.0 + 4.0 * (law["most_likely"] - law["least"]) / width
    return first, 6.0 - first


def _pert_quantile(law: Law, probability: Array) -> Array:
    share = betaincinv(*_pert_shapes(law), probability)
    return np.asarray(law["least"] + (law["greatest"] - law["least"]) * share)


def _pert_share(law: Law, value: Array) -> Array:
    share = np.clip((value - law["least"]) / (law["greatest"] - law["least"]), 0.0, 1.0)
    return np.asarray(betainc(*_pert_shapes(law), share))


def _empirical_quantile(law: Law, probability: Array) -> Array:
    """Return the first value at which the weights so far reach a share."""
    reached = np.cumsum(law.weights)
    reached[-1] = 1.0  # against the last binary digit
    return np.asarray(law.values)[np.searchsorted(reached, probability, side="left")]


def _empirical_share(law: Law, value: Array) -> Array:
    reached = np.concatenate([[0.0], np.cumsum(law.weights)])
    return reached[np.searchsorted(law.values, value, side="right")]


_Function = Callable[[Law, Array], Array]
_QUANTILES: Final[dict[str, _Function]] = {
    "normal": _normal_quantile,
    "lognormal": _lognormal_quantile,
    "uniform": _uniform_quantile,
    "triangular": _triangular_quantile,
    "pert": _pert_quantile,
    "empirical": _empirical_quantile,
}
_SHARES: Final[dict[str, _Function]] = {
    "normal": _normal_share,
    "lognormal": _lognormal_share,
    "uniform": _uniform_share,
    "triangular": _triangular_share,
    "pert": _pert_share,
    "empirical": _empirical_share,
}
