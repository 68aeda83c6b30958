"""A vessel under control: spectra and records by closed forms, decay, balance, linear theory."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import beta

from bathybore.base.errors import InputErrors, NotConverged
from bathybore.kernels.slow_motion import (
    Held,
    _axis_rates,
    _gains,
    gust_record,
    gust_spectral_density,
    keep_station,
    wave_record,
)

MASS = np.array([64e6, 90e6, 2.5e11])
# thrusters that never come to their limits and follow at once: what is left is linear
STRONG = Held(
    mass=MASS,
    damping=0.005 * MASS,
    load=np.array([-6e5, 4e5, 1e7]),
    x=np.array([80.0, -80.0, 0.0]),
    y=np.array([0.0, 0.0, 10.0]),
    thrust=np.full(3, 1e9),
    response=1e-3,
    period=120.0,
    wave_period=11.0,
)


def quiet(steps: int, realisations: int = 1) -> np.ndarray:
    return np.zeros((steps, 3, realisations))


def test_the_gust_spectrum_sums_to_its_closed_form() -> None:
    """Over all frequencies the integral is a beta function: x = f 172 h v, n = 0.468."""
    wind, n = 20.0, 0.468
    frequency = np.geomspace(1e-12, 1e6, 400_001)
    total = np.trapezoid(gust_spectral_density(frequency, wind, 10.0), frequency)
    scale = 172.0 * (wind / 10.0) ** -0.75
    closed = 320.0 * (wind / 10.0) ** 2 / scale / n * beta(1.0 / n, 2.0 / (3.0 * n))
    assert total == pytest.approx(closed, rel=1e-3)


def test_records_have_the_variance_of_their_spectra() -> None:
    rng = np.random.default_rng(1)
    gusts = np.array([gust_record(rng, 18.0, 10.0, 7200, 1.0) for _ in range(40)])
    bins = np.fft.rfftfreq(7200, 1.0)
    density = np.where(
        bins >= 1 / 2400, gust_spectral_density(np.maximum(bins, 1e-9), 18.0, 10.0), 0
    )
    assert gusts.var() == pytest.approx(density.sum() * bins[1], rel=0.05)
    waves = np.array([wave_record(rng, (4.5, 11.0, 1.5), 7200, 0.5) for _ in range(20)])
    assert 4.0 * waves.real.std() == pytest.approx(4.5, rel=0.03)


def test_the_envelope_of_waves_squared_spreads_as_much_as_its_mean() -> None:
    """Of a Gaussian sea the square of the envelope is exponential: so is a slow drift force."""
    rng = np.random.default_rng(2)
    square = np.array(
        [np.abs(wave_record(rng, (4.5, 11.0, 1.5), 7200, 0.5)) ** 2 for _ in range(20)]
    )
    assert square.std() == pytest.approx(square.mean(), rel=0.05)
    assert np.mean(square > 2.0 * square.mean()) == pytest.approx(np.exp(-2.0), rel=0.05)


def test_in_calm_it_stays_and_the_thrust_balances_the_mean_load() -> None:
    found = keep_station(STRONG, quiet(600), quiet(600), 1.0)
    assert found.offset.max() == pytest.approx(0.0, abs=1e-9)
    assert found.short == 0.0


def test_a_load_that_comes_and_stays_is_held_at_the_place_in_the_end() -> None:
    load = quiet(6000)
    load[100:, 1] = 3e5
    found = keep_station(STRONG, load, quiet(6000), 1.0)
    assert found.place[:, 1].max() > 0.5
    assert abs(found.place[-1, 1, 0]) < 1e-3
    assert np.abs(found.place[:, [0, 2]]).max() < 1e-9


def test_a_push_dies_out() -> None:
    load = quiet(4000)
    load[:20, 0] = 2e6
    found = keep_station(STRONG, load, quiet(4000), 1.0)
    assert found.offset[:200].max() > 0.3
    assert found.offset[-500:].max() < 1e-3 * found.offset.max()


def test_without_control_a_push_gives_its_impulse_and_drag_takes_it() -> None:
    """Very soft control: speed is impulse over mass, and decays with the damping alone."""
    soft = replace(STRONG, period=1e6, load=np.zeros(3))
    load = quiet(400)
    load[:10, 0] = 2e6
    found = keep_station(soft, load, quiet(400), 1.0)
    rate = 0.005
    first = 2e6 / (rate * MASS[0]) * (1.0 - np.exp(-rate * 10.0))
    speed = np.diff(found.place[:, 0, 0])
    start = first * (1.0 - np.exp(-rate)) / rate
    assert speed[10] == pytest.approx(start, rel=2e-3)
    assert speed[300] / speed[10] == pytest.approx(np.exp(-rate * 290.0), rel=0.02)


def test_the_spread_is_that_of_linear_theory() -> None:
    """Variance of the slow motion in white gusts, by the response at every frequency."""
    steps, rng = 20_000, np.random.default_rng(3)
    load = quiet(steps, 8)
    load[:, 0] = 2e5 * rng.standard_normal((steps, 8))
    found = keep_station(STRONG, load, quiet(steps, 8), 1.0)
    own, pushed, loaded, _ = _axis_rates(STRONG, 0)
    closed = own + np.outer(pushed, _gains(STRONG)[0, : len(own)])
    omega = np.linspace(1e-5, np.pi, 40_000)
    response = np.array(
        [np.linalg.solve(1j * w * np.eye(len(own)) - closed, loaded)[0] for w in omega[::40]]
    )
    held = np.sinc(omega[::40] / (2.0 * np.pi)) ** 2  # a load is held over a step
    density = (2e5) ** 2 / np.pi * held * np.abs(response) ** 2
    expected = np.sqrt(np.trapezoid(density, omega[::40]))
    assert found.place[1000:, 0].std() == pytest.approx(expected, rel=0.06)


def test_the_wave_filter_keeps_the_thrusters_from_following_the_waves() -> None:
    """The same motion seen at the period of the waves and far from it."""
    time = np.arange(3000.0)

    def worked(period: float) -> float:
        waves = quiet(3000)
        waves[:, 0, 0] = np.sin(2.0 * np.pi / period * time)
        found = keep_station(replace(STRONG, load=np.zeros(3)), quiet(3000), waves, 1.0)
        return float(found.share[1000:].std())

    assert worked(11.0) < 0.2 * worked(40.0)


def test_thrust_keeps_its_limits_and_says_when_it_falls_short() -> None:
    weak = replace(STRONG, thrust=np.full(3, 6e5), response=15.0)
    load = quiet(3000)
    load[:, 0, 0] = 4e6 * np.sin(np.arange(3000) / 60.0)
    found = keep_station(weak, load, quiet(3000), 1.0)
    assert found.share.max() <= 1.0 + 1e-9
    assert 0.0 < found.short < 1.0
    assert np.isfinite(found.place).all()
    strong = keep_station(STRONG, load, quiet(3000), 1.0)
    assert strong.offset.max() < found.offset.max()


def test_realisations_do_not_touch_one_another() -> None:
    rng = np.random.default_rng(4)
    load = 1e5 * rng.standard_normal((500, 3, 3))
    waves = 0.1 * rng.standard_normal((500, 3, 3))
    together = keep_station(STRONG, load, waves, 1.0)
    alone = keep_station(STRONG, load[..., 1:2], waves[..., 1:2], 1.0)
    assert together.place[..., 1:2] == pytest.approx(alone.place, rel=1e-9, abs=1e-12)


def test_what_cannot_be_held_is_named() -> None:
    in_line = replace(STRONG, x=np.zeros(3), y=np.zeros(3))
    with pytest.raises(InputErrors, match="along, across and turn"):
        keep_station(in_line, quiet(3), quiet(3), 1.0)
    with pytest.raises(NotConverged, match="not stable"):
        keep_station(replace(STRONG, damping=-0.5 * MASS), quiet(3), quiet(3), 1.0)
