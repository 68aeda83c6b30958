"""Fatigue of a weld in a Gaussian sea, narrow or wide of band, on a curve of two slopes."""

from __future__ import annotations

from math import gamma
from typing import Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.registry import Limit, published
from bathybore.kernels.vortex_vibration import SHALLOW, STEEP

_KNEE: Final = 10.0 ** ((SHALLOW[0] - STEEP[0]) / (SHALLOW[1] - STEEP[1]))  # MPa


@published(
    formula="d_f = 1/T_c ((2 sqrt(2) sigma_s)^3/10^11.764 Gamma(5/2; x) + "
    "(2 sqrt(2) sigma_s)^5/10^15.606 gamma(7/2; x)), "
    "x = ((Delta sigma_1)/(2 sqrt(2) sigma_s))^2",
    source="dnv-rp-c203",
    where="appendix on closed forms, ranges by Rayleigh's law on a curve of two slopes, class D in "
    "sea water with cathodic protection; from memory",
    valid={"stress_deviation": Limit(0.0, 3e8)},
    validity_note="a narrow band of frequencies: a wider one does less damage at the same period",
    example={"stress_deviation": "20 MPa", "crossing_period": "10 s"},
)
def wave_fatigue_rate(stress_deviation: Real, crossing_period: Real) -> Real:
    """Share of the life of a girth weld that a stationary sea uses in a time.

    Every crossing is a cycle; its range is twice an amplitude of Rayleigh's law. Beyond the
    knee of the curve, at 83 MPa, the steeper slope counts.

    Parameters
    ----------
    stress_deviation : [Pa]
        Standard deviation of the stress at the weld, stress concentration counted in.
    crossing_period : [s]
        Mean period of the stress.

    Returns
    -------
    damage_rate : [1/s]
        Miner's sum per time.
    """
    range_scale = 2.0 * np.maximum(np.asarray(stress_deviation), 1e-3) / 1e6
    rate: Array = _by_rayleigh(range_scale) / crossing_period
    return rate


@published(
    formula="d_f = 1/T_4 integral p(S)/N(S) d S, quad p(S) = 1/(2 sigma_s) "
    "(D_1/Q e^(-Z/Q) + (D_2 Z)/R^2 e^(-Z^2/(2 R^2)) + D_3 Z e^(-Z^2/2)), \\ "
    "Z = S/(2 sigma_s), quad gamma = T_4/T_c, quad x_m = T_4/T_1, quad "
    "D_1 = (2 (x_m - gamma^2))/(1 + gamma^2), quad "
    "R = (gamma - x_m - D_1^2)/(1 - gamma - D_1 + D_1^2), \\ "
    "D_2 = (1 - gamma - D_1 + D_1^2)/(1 - R), quad D_3 = 1 - D_1 - D_2, quad "
    "Q = (5 (gamma - D_3 - D_2 R))/(4 D_1)",
    source="dirlik-1985",
    where="ranges counted by rainflow in a Gaussian process of any width; from memory",
    valid={"stress_deviation": Limit(0.0, 3e8)},
    validity_note="Gaussian stress; the same curve of two slopes as the narrow band",
    example={
        "stress_deviation": "20 MPa",
        "crossing_period": "10 s",
        "mean_stress_period": "11 s",
        "peak_stress_period": "7 s",
    },
)
def dirlik_fatigue_rate(
    stress_deviation: Real,
    crossing_period: Real,
    mean_stress_period: Real,
    peak_stress_period: Real,
) -> Real:
    """Share of the life of a girth weld that a stationary sea uses in a time, of any width.

    Parameters
    ----------
    stress_deviation : [Pa]
        Standard deviation of the stress at the weld, stress concentration counted in.
    crossing_period : [s]
        Mean period between upward crossings, 2 pi sqrt(m0/m2).
    mean_stress_period : [s]
        Mean period 2 pi m0/m1.
    peak_stress_period : [s]
        Mean period between peaks, 2 pi sqrt(m2/m4); no longer than the crossings'.

    Returns
    -------
    damage_rate : [1/s]
        Miner's sum per time.
    """
    peaks = np.asarray(peak_stress_period, dtype=float)
    width = np.clip(peaks / crossing_period, 1e-6, 1.0 - 1e-9)
    # between the square of the width and one for every spectrum (Cauchy and Schwarz)
    mean = np.clip(peaks / mean_stress_period, width**2, 1.0)
    first = np.maximum(2.0 * (mean - width**2) / (1.0 + width**2), 1e-12)
    left = 1.0 - width - first + first**2
    shape = (width - mean - first**2) / np.where(np.abs(left) > 1e-15, left, 1e-15)
    shape = np.clip(shape, 1e-6, 1.0 - 1e-9)
    second = left / (1.0 - shape)
    third = 1.0 - first - second
    reach = np.maximum(1.25 * (width - third - second * shape) / first, 1e-6)
    size = 2.0 * np.maximum(np.asarray(stress_deviation), 1e-3) / 1e6
    used = _spread_out(size * reach) * first
    used = used + second * _by_rayleigh(size * shape) + third * _by_rayleigh(size)
    rate: Array = np.asarray(used / peaks)
    return rate


def _spread_out(scale: Real) -> Array:
    """Return Miner's sum of a cycle whose range falls off as e^(-S/scale) [MPa]."""
    from scipy.special import gammainc, gammaincc  # here: costly to import, rarely needed

    knee, size = _KNEE / np.asarray(scale), np.asarray(scale)
    steep = size ** STEEP[1] / 10.0 ** STEEP[0] * gamma(4.0) * gammaincc(4.0, knee)
    shallow = size ** SHALLOW[1] / 10.0 ** SHALLOW[0] * gamma(6.0) * gammainc(6.0, knee)
    return np.asarray(steep + shallow)


def _by_rayleigh(deviation: Real) -> Array:
    """Return Miner's sum of a cycle whose range follows Rayleigh's law of a scale [MPa]."""
    from scipy.special import gammainc, gammaincc  # here: costly to import, rarely needed

    size = np.sqrt(2.0) * np.asarray(deviation)
    knee = (_KNEE / size) ** 2
    steep = size ** STEEP[1] / 10.0 ** STEEP[0] * gamma(2.5) * gammaincc(2.5, knee)
    shallow = size ** SHALLOW[1] / 10.0 ** SHALLOW[0] * gamma(3.5) * gammainc(3.5, knee)
    return np.asarray(steep + shallow)
