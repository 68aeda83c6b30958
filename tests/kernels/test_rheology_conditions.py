"""One law over temperatures and pressures: what was put in comes out, confounded data do not."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.rheology import SHEAR_RATE_PER_RPM
from bathybore.kernels.rheology_conditions import (
    ConditionsLaw,
    consistency_under,
    fitted_over_conditions,
    flow_index_under,
    heat_share,
    pressure_share,
    told_apart,
    yield_stress_under,
)
from bathybore.kernels.rheology_fit import fitted_herschel_bulkley

RATES = np.array([600.0, 300.0, 200.0, 100.0, 6.0, 3.0]) * SHEAR_RATE_PER_RPM
COLD, WARM, DEEP = 277.15, 373.15, 80e6
WARMTHS = np.array([COLD, 323.15, 323.15, WARM])
PRESSURES = np.array([0.0, 0.0, 40e6, DEEP])


def made(
    warmth: float, pressure: float, yield_stress: float = 6.0, index: float = 0.68
) -> np.ndarray:
    """Return stresses of a mud that obeys the law, written out in pascals and kelvins."""
    x = (1.0 / COLD - 1.0 / warmth) / (1.0 / COLD - 1.0 / WARM)
    rest = yield_stress * np.exp(0.25 * pressure / DEEP - 0.6 * x)
    thick = 0.6 * np.exp(0.7 * pressure / DEEP - 1.1 * x)
    return rest + thick * RATES ** (index + 0.05 * x)


def fitted(warmths: np.ndarray, pressures: np.ndarray, **kind: float) -> ConditionsLaw:
    stresses = tuple(
        made(float(t), float(p), **kind) for t, p in zip(warmths, pressures, strict=True)
    )
    return fitted_over_conditions(warmths, pressures, (RATES,) * len(warmths), stresses)


def test_a_mud_that_obeys_the_law_is_found_again() -> None:
    law = fitted(WARMTHS, PRESSURES)
    assert (law.yield_stress, law.consistency, law.flow_index) == pytest.approx((6.0, 0.6, 0.68))
    assert law.yield_exponents == pytest.approx((0.25, -0.6))
    assert law.consistency_exponents == pytest.approx((0.7, -1.1))
    assert law.flow_index_change == pytest.approx(0.05)
    assert law.share < 1e-9
    # and beyond what was measured it is the same mud
    np.testing.assert_allclose(law.stress(RATES, 300.0, 100e6), made(300.0, 100e6), rtol=1e-6)


def test_without_yield_it_is_a_power_law_and_with_index_one_bingham() -> None:
    power = fitted(WARMTHS, PRESSURES, yield_stress=0.0)
    assert power.yield_stress == 0.0
    assert power.consistency_exponents == pytest.approx((0.7, -1.1), rel=1e-5)
    stresses = tuple(4.0 * np.exp(p / DEEP) + 0.03 * RATES for p in PRESSURES)
    bingham = fitted_over_conditions(WARMTHS, PRESSURES, (RATES,) * 4, stresses)
    assert bingham.flow_index == pytest.approx(1.0, abs=1e-6)
    assert bingham.yield_exponents == pytest.approx((1.0, 0.0), abs=1e-5)


def test_at_one_temperature_heat_has_no_effect() -> None:
    law = fitted(WARMTHS[1:3], PRESSURES[1:3])
    here, there = (law.stress(RATES, t, 20e6) for t in (280.0, 370.0))
    np.testing.assert_allclose(here, there, rtol=1e-12)
    own = fitted_herschel_bulkley(RATES, made(323.15, 40e6))
    np.testing.assert_allclose(law.stress(RATES, 323.15, 40e6), own.stress(RATES), rtol=1e-5)


def test_errors_of_reading_are_the_residual() -> None:
    """Scatter of 2 % of each condition's greatest stress leaves about that, none left out."""
    rng = np.random.default_rng(3)
    stresses = tuple(
        np.maximum(s + 0.02 * s.max() * rng.standard_normal(6), 1e-3)
        for s in (made(float(t), float(p)) for t, p in zip(WARMTHS, PRESSURES, strict=True))
    )
    law = fitted_over_conditions(WARMTHS, PRESSURES, (RATES,) * 4, stresses)
    apart = np.concatenate([
        (law.stress(RATES, float(t), float(p)) - s) / s.max()
        for t, p, s in zip(WARMTHS, PRESSURES, stresses, strict=True)
    ])  # fmt: skip
    assert law.share == pytest.approx(float(np.sqrt(np.mean(apart**2))), rel=1e-9)
    assert 0.002 < law.share < 0.03


def test_pressure_has_to_be_told_from_heat() -> None:
    line = np.array([280.0, 320.0]), np.array([0.0, 50e6])
    assert not told_apart(*line)
    with pytest.raises(ValueError, match="do not tell"):
        fitted(*line)
    assert not told_apart(np.array([280.0, 320.0]), np.zeros(2))
    assert told_apart(np.array([320.0, 320.0]), np.array([0.0, 50e6]))
    assert told_apart(WARMTHS, PRESSURES)


def test_shares_and_constants_at_the_ends() -> None:
    assert heat_share(COLD, COLD, WARM) == 0.0
    assert heat_share(WARM, COLD, WARM) == pytest.approx(1.0)
    assert pressure_share(30e6, 10e6, 50e6) == pytest.approx(0.5)
    for under in (yield_stress_under, consistency_under):
        assert under(2.0, np.log(3.0), np.log(0.5), 0.0, 0.0) == pytest.approx(2.0)
        assert under(2.0, np.log(3.0), np.log(0.5), 1.0, 1.0) == pytest.approx(3.0)
    assert flow_index_under(0.7, 0.1, 0.5) == pytest.approx(0.75)
    assert flow_index_under(0.9, 0.3, 1.0) == 1.0
