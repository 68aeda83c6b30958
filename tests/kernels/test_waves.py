"""Sea states and responses: moments by quadrature, limits of long and short waves."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from bathybore.kernels import waves

PEAK = 10.0
HULL = {"hull_length": 210.0, "breadth": 36.0, "draught": 12.0, "block_coefficient": 0.75}
DIRECTIONS = st.floats(0.0, 2.0 * np.pi)


def moment(order: int, gamma: float, top: float = 30.0) -> float:
    """Spectral moment for Hs = 4 m, by adaptive quadrature."""

    def integrand(frequency: float) -> float:
        density = waves.jonswap_spectral_density(frequency, 4.0, PEAK, gamma)
        return float(frequency**order * density)

    peak = 2.0 * np.pi / PEAK
    return float(quad(integrand, 0.2 * peak, top * peak, points=[peak, 1.5 * peak], limit=400)[0])


def test_fully_grown_spectrum_holds_the_variance_of_its_height() -> None:
    assert moment(0, 1.0) == pytest.approx(1.0, rel=1e-5)


@pytest.mark.parametrize("gamma", [1.0, 2.0, 3.3, 5.0])
def test_growing_spectrum_holds_nearly_that_variance(gamma: float) -> None:
    # 1 - 0.287 ln gamma is itself a fit, good to about a per cent
    assert moment(0, gamma) == pytest.approx(1.0, rel=0.015)


def test_closed_form_periods_are_those_of_the_moments() -> None:
    turn = 2.0 * np.pi
    m0, m1, m2, below = moment(0, 1.0), moment(1, 1.0), moment(2, 1.0, 300.0), moment(-1, 1.0)
    assert waves.pierson_moskowitz_zero_crossing_period(PEAK) == pytest.approx(
        turn * np.sqrt(m0 / m2), rel=1e-4
    )
    assert waves.pierson_moskowitz_mean_period(PEAK) == pytest.approx(turn * m0 / m1, rel=1e-4)
    assert waves.pierson_moskowitz_energy_period(PEAK) == pytest.approx(turn * below / m0, rel=1e-4)


@pytest.mark.parametrize("gamma", [1.0, 3.3, 5.0])
def test_fitted_periods_are_near_those_of_the_moments(gamma: float) -> None:
    # the second moment depends weakly on the cut-off, hence the wide tolerance
    by_moments = 2.0 * np.pi * np.sqrt(moment(0, gamma) / moment(2, gamma, 100.0))
    assert waves.jonswap_zero_crossing_period(PEAK, gamma) == pytest.approx(by_moments, rel=0.015)
    first = 2.0 * np.pi * moment(0, gamma) / moment(1, gamma)
    assert waves.jonswap_mean_period(PEAK, gamma) == pytest.approx(first, rel=0.01)


def test_peak_enhancement_of_one_is_the_fully_grown_spectrum() -> None:
    frequency = np.linspace(0.3, 3.0, 40)
    np.testing.assert_allclose(
        waves.jonswap_spectral_density(frequency, 4.0, PEAK, 1.0),
        waves.pierson_moskowitz_spectral_density(frequency, 4.0, PEAK),
        rtol=1e-14,
    )


@given(st.floats(1.0, 16.0), st.floats(3.0, 20.0))
def test_peak_enhancement_stays_between_one_and_five(height: float, period: float) -> None:
    assert 1.0 <= waves.peak_enhancement(height, period) <= 5.0


@given(st.floats(0.1, 35.0))
def test_beaufort_law_and_its_inverse(speed: float) -> None:
    number = waves.beaufort_number(speed)
    assert waves.beaufort_wind_speed(number) == pytest.approx(speed, rel=1e-12)


@given(DIRECTIONS)
def test_a_hull_rides_long_waves_and_ignores_short_ones(direction: float) -> None:
    long = waves.heave_response(0.03, direction, **HULL)
    assert long == pytest.approx(1.0, abs=0.02)
    # where pitch follows the slope of the long wave along the hull
    slope = 0.03**2 / 9.80665 * abs(np.cos(direction))
    assert waves.pitch_response(0.03, direction, **HULL) == pytest.approx(slope, abs=2e-6)
    assert waves.heave_response(2.5, 0.0, **HULL) < 1e-3


@given(st.floats(0.1, 2.0), DIRECTIONS)
def test_response_mirrors_fore_and_aft_and_side_to_side(frequency: float, angle: float) -> None:
    for response in (waves.heave_response, waves.pitch_response):
        here = response(frequency, angle, **HULL)
        assert here >= 0.0
        assert response(frequency, -angle, **HULL) == pytest.approx(here, abs=1e-9)
        assert response(frequency, np.pi - angle, **HULL) == pytest.approx(here, abs=1e-9)


def test_heave_vanishes_when_a_whole_wave_fits_the_hull() -> None:
    frequency = np.sqrt(2.0 * np.pi * 9.80665 / HULL["hull_length"])
    assert waves.heave_response(frequency, 0.0, **HULL) == pytest.approx(0.0, abs=1e-12)


def test_pitch_has_no_step_where_the_series_hands_over() -> None:
    # k L / 2 = 0.01 there
    edge = np.sqrt(0.02 / 210.0 * 9.80665)
    below, above = (
        waves.pitch_response(edge * (1.0 + side), 0.0, **HULL) for side in (-1e-9, 1e-9)
    )
    assert above == pytest.approx(below, rel=1e-7)


def test_significant_heave_of_a_very_long_sea_is_half_its_height() -> None:
    amplitude = waves.significant_heave_amplitude(4.0, 60.0, 1.0, 0.0, **HULL)
    assert amplitude == pytest.approx(2.0, rel=0.03)


def test_significant_heave_by_adaptive_quadrature() -> None:
    def power(frequency: float) -> float:
        density = waves.jonswap_spectral_density(frequency, 4.0, 11.0, 2.0)
        return float(waves.heave_response(frequency, 0.4, **HULL) ** 2 * density)

    variance = quad(power, 0.05, 6.0, points=[2 * np.pi / 11.0], limit=500)[0]
    got = waves.significant_heave_amplitude(4.0, 11.0, 2.0, 0.4, **HULL)
    assert got == pytest.approx(2.0 * np.sqrt(variance), rel=1e-4)


def test_heave_is_proportional_to_wave_height() -> None:
    low, high = (
        waves.significant_heave_amplitude(height, 11.0, 2.0, 0.4, **HULL) for height in (1.0, 6.0)
    )
    assert high == pytest.approx(6.0 * low, rel=1e-12)


@pytest.mark.parametrize("cycles", [100, 1000, 10000])
def test_expected_maximum_by_integrating_the_distribution(cycles: int) -> None:
    # mean of the greatest of N Rayleigh amplitudes with significant amplitude 1; the
    # asymptotic form is nearly one per cent high at a hundred
    mean = quad(lambda x: 1.0 - (1.0 - np.exp(-2.0 * x**2)) ** cycles, 0.0, 6.0, limit=200)[0]
    assert waves.expected_maximum(1.0, float(cycles)) == pytest.approx(mean, rel=0.01)


@given(st.floats(10.0, 1e6))
def test_one_cycle_in_all_exceeds_the_most_probable_maximum(cycles: float) -> None:
    greatest = waves.most_probable_maximum(1.3, cycles)
    assert waves.exceedance_probability(greatest, 1.3) == pytest.approx(1.0 / cycles, rel=1e-9)


def test_certain_and_impossible_exceedance() -> None:
    assert waves.exceedance_probability_within(1.0, 5.0) == 1.0
    assert waves.exceedance_probability_within(0.0, 1e6) == 0.0
