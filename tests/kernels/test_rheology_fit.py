"""Fits of flow laws: what was put in comes out; the general law is never worse."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.rheology import SHEAR_RATE_PER_RPM
from bathybore.kernels.rheology_fit import (
    best_of,
    consistency_between,
    fits,
    fitted_bingham,
    fitted_herschel_bulkley,
    fitted_power_law,
    flow_index_between,
    measured_share,
    yield_stress_between,
)

RATES = np.array([600.0, 300.0, 200.0, 100.0, 6.0, 3.0]) * SHEAR_RATE_PER_RPM


@pytest.mark.parametrize(
    ("yield_stress", "consistency", "index"), [(3.0, 0.3, 0.7), (0.5, 0.05, 0.95), (8.0, 1.2, 0.4)]
)
def test_a_law_without_error_is_found_again(
    yield_stress: float, consistency: float, index: float
) -> None:
    law = fitted_herschel_bulkley(RATES, yield_stress + consistency * RATES**index)
    assert law.yield_stress == pytest.approx(yield_stress, rel=1e-4)
    assert law.consistency == pytest.approx(consistency, rel=1e-4)
    assert law.flow_index == pytest.approx(index, rel=1e-5)
    assert law.share < 1e-6


def test_limits_are_the_simpler_laws() -> None:
    """A Bingham fluid has index 1, a power-law fluid no yield stress, water neither."""
    bingham = fitted_herschel_bulkley(RATES, 4.0 + 0.03 * RATES)
    assert (bingham.flow_index, bingham.yield_stress) == pytest.approx((1.0, 4.0), rel=1e-6)
    power = fitted_herschel_bulkley(RATES, 0.5 * RATES**0.6)
    assert power.yield_stress == pytest.approx(0.0, abs=1e-4)
    assert power.flow_index == pytest.approx(0.6, rel=1e-5)
    water = fits(RATES, 0.001 * RATES)
    for law in water:
        assert law.stress(RATES) == pytest.approx(0.001 * RATES, rel=1e-6)


def test_bingham_is_the_line_of_least_squares() -> None:
    stress = np.array([30.0, 19.0, 15.2, 10.1, 4.4, 4.1])
    slope, start = np.polyfit(RATES, stress, 1)
    law = fitted_bingham(RATES, stress)
    assert (law.consistency, law.yield_stress) == pytest.approx((slope, start), rel=1e-9)


def test_power_law_leaves_no_better_neighbour() -> None:
    stress = np.array([30.0, 19.0, 15.2, 10.1, 2.4, 1.6])
    law = fitted_power_law(RATES, stress)

    def misfit(consistency: float, index: float) -> float:
        return float(np.sum((stress - consistency * RATES**index) ** 2))

    least = misfit(law.consistency, law.flow_index)
    for dk in (0.999, 1.001):
        for dn in (0.999, 1.0, 1.001):
            assert misfit(law.consistency * dk, law.flow_index * dn) >= least
    for dn in (0.999, 1.001):
        assert misfit(law.consistency, law.flow_index * dn) >= least


def test_the_general_law_is_never_worse() -> None:
    rng = np.random.default_rng(7)
    for _ in range(40):
        stress = np.sort(rng.uniform(1.0, 60.0, 6))[::-1]
        bingham, power, general = fits(RATES, stress)
        assert general.share <= min(bingham.share, power.share) + 1e-9
        assert min(general.yield_stress, bingham.yield_stress, general.consistency) >= 0.0
        assert best_of((bingham, power, general)).share <= general.share + 1e-3


def test_of_laws_alike_the_simplest_is_named() -> None:
    assert best_of(fits(RATES, 4.0 + 0.03 * RATES)).model == "Bingham"
    assert best_of(fits(RATES, 3.0 + 0.3 * RATES**0.6)).model == "Herschel-Bulkley"


def test_too_little_to_fit_is_refused() -> None:
    with pytest.raises(ValueError, match="three speeds"):
        fits(RATES[:2], np.array([30.0, 20.0]))
    with pytest.raises(ValueError, match="above zero"):
        fits(RATES, np.array([30.0, 20.0, 15.0, 10.0, 1.0, 0.0]))


def test_between_measured_conditions() -> None:
    assert measured_share(300.0, 290.0, 310.0) == pytest.approx(0.5)
    for between in (yield_stress_between, flow_index_between, consistency_between):
        assert between(2.0, 8.0, 0.0) == pytest.approx(2.0)
        assert between(2.0, 8.0, 1.0) == pytest.approx(8.0)
        assert between(2.0, 8.0, 1.7) == pytest.approx(8.0)  # held, and outside validity
        assert between(2.0, 8.0, -0.3) == pytest.approx(2.0)
    assert yield_stress_between(2.0, 8.0, 0.5) == pytest.approx(5.0)
    assert consistency_between(2.0, 8.0, 0.5) == pytest.approx(4.0)
