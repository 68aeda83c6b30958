"""Fatigue of a weld in a Gaussian sea: peaks that follow Rayleigh's law, a curve of two slopes."""

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
    from scipy.special import gammainc, gammaincc  # here: costly to import, rarely needed

    scale = 2.0 * np.sqrt(2.0) * np.maximum(np.asarray(stress_deviation), 1e-3) / 1e6
    knee = (_KNEE / scale) ** 2
    steep = scale ** STEEP[1] / 10.0 ** STEEP[0] * gamma(2.5) * gammaincc(2.5, knee)
    shallow = scale ** SHALLOW[1] / 10.0 ** SHALLOW[0] * gamma(3.5) * gammainc(3.5, knee)
    rate: Array = (steep + shallow) / crossing_period
    return rate
