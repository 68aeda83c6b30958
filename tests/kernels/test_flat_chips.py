"""Flat chips: the printed units, no step between regimes, a mud that holds."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.flat_chips import slip_velocity_walker_mayes as slip

FT_MIN, INCH, PPG, STRESS = 0.00508, 0.0254, 119.826427, 0.4788026


def test_printed_form_in_turbulent_fall() -> None:
    """tau = 7.9 sqrt(h (8.34 s - rho)), v = 16.62 tau/sqrt(rho): 0.25 in, 21 in 9 ppg."""
    tau = 7.9 * np.sqrt(0.25 * 12.0)
    expected = 16.62 * tau / 3.0 * FT_MIN
    got = slip(0.3 * INCH, 0.25 * INCH, 21 * PPG, 9 * PPG, 0.0, 1e-3, 1.0)
    assert float(got) == pytest.approx(expected, rel=1e-9)


def test_printed_form_in_slow_fall() -> None:
    tau = 7.9 * np.sqrt(0.1 * 12.0)
    rate = tau * STRESS / 0.5  # Newtonian, 500 cP
    expected = 1.22 * tau * np.sqrt(0.1 * rate / 3.0) * FT_MIN
    got = slip(0.1 * INCH, 0.1 * INCH, 21 * PPG, 9 * PPG, 0.0, 0.5, 1.0)
    assert float(got) == pytest.approx(expected, rel=1e-9)


def test_regimes_meet() -> None:
    viscosity = np.geomspace(0.01, 2.0, 4000)
    speed = np.asarray(slip(0.006, 0.004, 2600.0, 1200.0, 0.0, viscosity, 1.0))
    assert np.abs(np.diff(speed) / speed[1:]).max() < 3e-3
    assert (np.diff(speed) <= 1e-12).all() or np.diff(speed).max() < 3e-3 * speed.max()


def test_light_or_held_chips_do_not_fall() -> None:
    assert slip(0.006, 0.004, 1200.0, 1200.0, 0.0, 0.1, 1.0) == 0.0
    assert slip(0.006, 0.004, 2600.0, 1200.0, 50.0, 0.1, 1.0) == 0.0
