"""Fatigue of a weld in a Gaussian sea against sums over its cycles, and its limits."""

from __future__ import annotations

import itertools
from math import gamma

import numpy as np
import pytest
from scipy.integrate import quad

from bathybore.kernels.vortex_vibration import cycles_to_failure
from bathybore.kernels.wave_fatigue import dirlik_fatigue_rate, wave_fatigue_rate


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


def _moments(frequency: np.ndarray, power: np.ndarray) -> tuple[float, float, float, float]:
    """Return deviation and the three periods of a spectrum in even steps."""
    m0, m1, m2, m4 = (float(np.sum(power * frequency**k)) for k in (0, 1, 2, 4))
    turn = 2.0 * np.pi
    return np.sqrt(m0), turn * np.sqrt(m0 / m2), turn * m0 / m1, turn * np.sqrt(m2 / m4)


def _rainflow(turns: np.ndarray) -> list[tuple[float, float]]:
    """Return (range, cycles) by counting closed loops; what is left over are half cycles."""
    stack: list[float] = []
    counted: list[tuple[float, float]] = []
    for value in turns.tolist():
        stack.append(value)
        while len(stack) >= 3:
            inner, outer = abs(stack[-2] - stack[-3]), abs(stack[-1] - stack[-2])
            if outer < inner:
                break
            if len(stack) == 3:
                counted.append((inner, 0.5))
                stack.pop(0)
            else:
                counted.append((inner, 1.0))
                del stack[-3:-1]
    counted += [(abs(b - a), 0.5) for a, b in itertools.pairwise(stack)]
    return counted


def test_two_bands_in_time_counted_by_rainflow_use_what_dirlik_says() -> None:
    """A slow and a quick band together: too wide for Rayleigh's law, which counts too much."""
    draw = np.random.default_rng(11)
    frequency = np.linspace(0.3, 2.5, 300)
    power = np.exp(-0.5 * ((frequency - 0.55) / 0.06) ** 2)
    power += 0.4 * np.exp(-0.5 * ((frequency - 1.6) / 0.2) ** 2)
    power *= 25.0**2 / power.sum()
    deviation, crossings, mean, peaks = _moments(frequency, power)
    time = np.arange(0.0, 30000.0, 0.25)
    # phases on a grid of frequencies would repeat: each is moved a little
    moved = frequency + draw.uniform(-0.5, 0.5, 300) * (frequency[1] - frequency[0])
    phase, size = draw.uniform(0.0, 2.0 * np.pi, 300), np.sqrt(2.0 * power)
    stress = np.zeros(len(time))
    for a, w, p in zip(size, moved, phase, strict=True):
        stress += a * np.cos(w * time + p)
    change = np.diff(np.sign(np.diff(stress)))
    turns = stress[1:-1][change != 0]
    used = sum(n / float(cycles_to_failure(1e6 * r)) for r, n in _rainflow(turns) if r > 1e-6)
    rate = float(dirlik_fatigue_rate(1e6 * deviation, crossings, mean, peaks))
    assert rate == pytest.approx(used / time[-1], rel=0.12)
    assert float(wave_fatigue_rate(1e6 * deviation, crossings)) > 1.15 * rate


def test_one_narrow_band_is_rayleighs_and_widths_out_of_reach_are_brought_back() -> None:
    for deviation in (3e6, 40e6, 200e6):
        narrow = dirlik_fatigue_rate(deviation, 8.0, 8.0, 8.0)
        assert float(narrow) == pytest.approx(float(wave_fatigue_rate(deviation, 8.0)), rel=1e-3)
    wide = np.linspace(0.2, 1.0, 41) * 8.0
    found = np.asarray(dirlik_fatigue_rate(40e6, 8.0, 9.0, wide))
    assert np.isfinite(found).all()
    assert (found > 0.0).all()
