"""Fatigue of a weld in a Gaussian sea against sums over its cycles, and its limits."""

from __future__ import annotations

from math import gamma

import numpy as np
import pytest
from scipy.integrate import quad

from bathybore.kernels.vortex_vibration import cycles_to_failure
from bathybore.kernels.wave_fatigue import wave_fatigue_rate


@pytest.mark.parametrize("deviation", [2.0, 10.0, 25.0, 60.0, 150.0])
def test_the_sum_over_all_cycles(deviation: float) -> None:
    """Amplitudes by Rayleigh's law, each cycle a share of those the weld bears."""

    def used(amplitude: float) -> float:
        law = amplitude / deviation**2 * np.exp(-0.5 * (amplitude / deviation) ** 2)
        return float(law / cycles_to_failure(2e6 * amplitude))

    knee = 41.7
    most = 12.0 * deviation
    total, _ = quad(used, 1e-6, most, points=[min(knee, 0.9 * most)], limit=400)
    assert float(wave_fatigue_rate(1e6 * deviation, 8.0)) == pytest.approx(total / 8.0, rel=1e-4)


def test_far_above_and_far_below_the_knee_one_slope_counts() -> None:
    strong, weak = 280.0, 1.5
    width = 2.0 * np.sqrt(2.0)
    steep = (width * strong) ** 3 / 10**11.764 * gamma(2.5)
    shallow = (width * weak) ** 5 / 10**15.606 * gamma(3.5)
    assert float(wave_fatigue_rate(1e6 * strong, 1.0)) == pytest.approx(steep, rel=1e-3)
    assert float(wave_fatigue_rate(1e6 * weak, 1.0)) == pytest.approx(shallow, rel=1e-6)


def test_nothing_swings_nothing_is_used() -> None:
    assert float(wave_fatigue_rate(0.0, 10.0)) < 1e-40
    assert float(wave_fatigue_rate(1e7, np.inf)) == 0.0


def test_a_simulated_sea_uses_what_the_closed_form_says() -> None:
    """A narrow band of waves in time: each half wave from crest to trough is counted."""
    draw = np.random.default_rng(7)
    count, deviation = 400, 40.0
    frequency = np.linspace(0.58, 0.62, count)
    size = deviation * np.sqrt(2.0 / count) * np.ones(count)
    phase = draw.uniform(0.0, 2.0 * np.pi, count)
    time = np.arange(0.0, 60000.0, 0.5)
    stress = np.zeros_like(time)
    for w, a, p in zip(frequency, size, phase, strict=True):
        stress += a * np.cos(w * time + p)
    turns = np.flatnonzero(np.diff(np.sign(np.diff(stress))) != 0) + 1
    ranges = np.abs(np.diff(stress[turns]))
    counted = float(np.sum(0.5 / cycles_to_failure(1e6 * ranges))) / time[-1]
    told = float(wave_fatigue_rate(1e6 * stress.std(), 2.0 * np.pi / 0.6))
    assert counted == pytest.approx(told, rel=0.1)
