"""Columns and volumes by conservation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels.mud import (
    STANDARD_GRAVITY,
    barite_mass_in_mud,
    barite_mass_to_weight_up,
    compressible_column_pressure,
    density_at,
    dilution_volume,
    equivalent_density,
    hydrostatic_pressure,
    mixture_density,
    mud_lost_on_cuttings,
    starting_volume_to_weight_up,
    volume_for_blend,
    volume_gain_by_barite,
)

DENSITIES = st.floats(1000.0, 1900.0)


@given(DENSITIES, st.floats(1.0, 9000.0))
def test_equivalent_density_undoes_the_column(density: float, height: float) -> None:
    back = equivalent_density(hydrostatic_pressure(density, height), height)
    assert back == pytest.approx(density, rel=1e-12)


@given(st.floats(0.0, 60e6), DENSITIES, st.floats(1e-12, 8e-10), st.floats(0.0, 4000.0))
def test_a_compressible_column_stacks(top: float, rho: float, c: float, height: float) -> None:
    whole = compressible_column_pressure(top, rho, c, 2.0 * height)
    middle = compressible_column_pressure(top, rho, c, height)
    again = compressible_column_pressure(middle, rho, c, height)
    assert float(again) == pytest.approx(float(whole), rel=1e-9)


def test_compressible_column_agrees_with_marching_down() -> None:
    pressure, steps = 20e6, 20_000
    for _ in range(steps):
        middle = pressure + 0.5 * 1200.0 * STANDARD_GRAVITY * 5000.0 / steps
        density = density_at(1200.0, middle, 293.15, 4.4e-10, 0.0)
        pressure += density * STANDARD_GRAVITY * 5000.0 / steps
    got = compressible_column_pressure(20e6, 1200.0, 4.4e-10, 5000.0)
    assert float(got) == pytest.approx(float(pressure), rel=1e-7)


def test_stiff_fluid_is_the_plain_column() -> None:
    plain = 1e6 + 1200.0 * STANDARD_GRAVITY * 3000.0
    for c in (0.0, 1e-17, 1e-15):
        got = compressible_column_pressure(1e6, 1200.0, c, 3000.0)
        assert float(got) == pytest.approx(plain, rel=1e-7)


def test_upwards_undoes_downwards() -> None:
    down = compressible_column_pressure(1e6, 1200.0, 4.4e-10, 3000.0)
    up = compressible_column_pressure(down, 1200.0, 4.4e-10, -3000.0)
    assert float(up) == pytest.approx(1e6, rel=1e-9)


def test_density_as_weighed() -> None:
    assert density_at(1200.0, 0.0, 293.15, 4.4e-10, 3.5e-4) == 1200.0
    assert density_at(1200.0, 50e6, 293.15, 4.4e-10, 3.5e-4) > 1200.0
    assert density_at(1200.0, 0.0, 333.15, 4.4e-10, 3.5e-4) < 1200.0


@given(st.floats(1.0, 1000.0), st.floats(1000.0, 1500.0), st.floats(1000.0, 2000.0))
def test_barite_and_mud_make_the_mud_wanted(volume: float, have: float, want: float) -> None:
    barite = barite_mass_to_weight_up(volume, have, want)
    gain = volume_gain_by_barite(volume, have, want)
    assert (volume * have + barite) / (volume + gain) == pytest.approx(want, rel=1e-9)
    assert barite == pytest.approx(gain * 4200.0, rel=1e-9, abs=1e-9)


@given(st.floats(1.0, 1000.0), st.floats(1000.0, 1500.0), st.floats(1000.0, 2000.0))
def test_starting_volume_ends_at_the_volume_wanted(volume: float, have: float, want: float) -> None:
    start = starting_volume_to_weight_up(volume, have, want)
    assert start + volume_gain_by_barite(start, have, want) == pytest.approx(volume, rel=1e-9)
    inside = barite_mass_in_mud(volume, want, have)
    assert inside == pytest.approx(barite_mass_to_weight_up(start, have, want), rel=1e-9, abs=1e-6)


def test_dilution_reaches_its_target() -> None:
    water = dilution_volume(100.0, 1600.0, 1400.0, 1030.0)
    assert mixture_density(100.0, 1600.0, water, 1030.0) == pytest.approx(1400.0, rel=1e-12)


def test_blend_reaches_its_target() -> None:
    first = volume_for_blend(100.0, 1300.0, 1600.0, 1100.0)
    assert mixture_density(first, 1600.0, 100.0 - first, 1100.0) == pytest.approx(1300.0, rel=1e-12)


def test_mixing_does_not_care_for_order() -> None:
    assert mixture_density(3.0, 1100.0, 5.0, 1500.0) == mixture_density(5.0, 1500.0, 3.0, 1100.0)


def test_no_rock_no_mud_on_it() -> None:
    assert mud_lost_on_cuttings(0.0, 0.4, 3600.0, 1.0) == 0.0
    assert np.isclose(mud_lost_on_cuttings(0.01, 0.4, 3600.0, 1.0, 0.4), 0.0)
