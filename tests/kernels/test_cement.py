"""Slurries by mass balance, strength turned round."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels.cement import (
    CEMENT_DENSITY,
    WATER_DENSITY,
    additive_ratio_for_slurry_density,
    annular_volume,
    balanced_plug_length,
    cement_strength,
    equivalent_age,
    mix_water_requirement,
    pipe_volume,
    slurry_density,
    slurry_yield,
    steel_displacement,
    wait_on_cement_time,
)


@given(st.floats(0.3, 1.2), st.floats(0.0, 0.5), st.floats(1200.0, 5100.0))
def test_mass_in_is_mass_out(w: float, a: float, rho: float) -> None:
    mass = slurry_density(w, a, rho) * slurry_yield(w, a, rho)
    assert float(mass) == pytest.approx(1.0 + w + a, rel=1e-12)


def test_no_water_is_cement_and_much_water_is_water() -> None:
    assert float(slurry_density(0.0)) == pytest.approx(CEMENT_DENSITY, rel=1e-12)
    assert float(slurry_density(1e6)) == pytest.approx(WATER_DENSITY, rel=1e-5)


@given(st.floats(1900.0, 2300.0), st.floats(0.38, 0.5))
def test_weighted_slurry_has_the_density_asked_for(wanted: float, w: float) -> None:
    ratio = additive_ratio_for_slurry_density(wanted, w, 5020.0)
    assert float(slurry_density(w, ratio, 5020.0)) == pytest.approx(wanted, rel=1e-9)


def test_additive_water_counts() -> None:
    ratio = float(additive_ratio_for_slurry_density(2100.0, 0.44, 5020.0, 3e-5))
    water = 0.44 + WATER_DENSITY * 3e-5 * ratio
    assert float(slurry_density(water, ratio, 5020.0)) == pytest.approx(2100.0, rel=1e-9)


def test_mix_water_is_part_of_the_yield() -> None:
    dry = 1.0 / CEMENT_DENSITY
    assert float(slurry_yield(0.44)) == pytest.approx(dry + float(mix_water_requirement(0.44)))


def test_ring_bore_and_steel_fill_the_hole() -> None:
    parts = (
        annular_volume(0.66, 0.508, 100.0)
        + steel_displacement(0.508, 0.476, 100.0)
        + pipe_volume(0.476, 100.0)
    )
    assert float(parts) == pytest.approx(np.pi / 4 * 0.66**2 * 100.0, rel=1e-12)


def test_plug_without_stinger_fills_the_hole() -> None:
    length = balanced_plug_length(8.0, 0.31, 0.0, 0.0)
    assert float(pipe_volume(0.31, length)) == pytest.approx(8.0, rel=1e-12)


@given(st.floats(0.1e6, 19e6))
def test_waiting_gives_the_strength_waited_for(wanted: float) -> None:
    t = wait_on_cement_time(wanted, 20e6, 6 * 3600.0, 18 * 3600.0)
    got = cement_strength(t, 20e6, 6 * 3600.0, 18 * 3600.0)
    assert float(got) == pytest.approx(wanted, rel=1e-9)


def test_no_strength_before_the_set_and_never_more_than_the_final() -> None:
    assert float(cement_strength(6 * 3600.0, 20e6, 6 * 3600.0, 18 * 3600.0)) == 0.0
    assert float(cement_strength(1e9, 20e6, 6 * 3600.0, 18 * 3600.0)) == pytest.approx(20e6)
    assert float(wait_on_cement_time(20e6, 20e6, 6 * 3600.0, 18 * 3600.0)) == np.inf


def test_cold_cement_is_younger() -> None:
    ages = equivalent_age(86400.0, np.array([275.0, 285.0, 300.0, 320.0]), 300.0)
    assert np.all(np.diff(ages) > 0.0)
    assert ages[2] == pytest.approx(86400.0)
