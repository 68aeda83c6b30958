"""Sea water: what must hold whatever the numbers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels import seawater as sea

STANDARD = 35.16504  # g/kg, the salinity of the standard ocean
LATITUDE = np.radians(30.0)


@given(st.floats(1.0, 10500.0), st.floats(-80.0, 80.0))
def test_depth_and_pressure_undo_each_other(depth: float, degrees: float) -> None:
    latitude = np.radians(degrees)
    pressure = sea.sea_pressure_at_depth(depth, latitude)
    assert sea.depth_from_sea_pressure(pressure, latitude) == pytest.approx(depth, rel=1e-9)


def test_both_hemispheres_weigh_the_same() -> None:
    north = sea.sea_pressure_at_depth(4000.0, LATITUDE)
    assert sea.sea_pressure_at_depth(4000.0, -LATITUDE) == north
    assert sea.gravity_at_latitude(LATITUDE) == sea.gravity_at_latitude(-LATITUDE)


def test_the_old_depth_formula_agrees_with_the_new_within_metres() -> None:
    # The 1983 formula holds the equation of state of 1980; they differ by about a metre in 10 km.
    pressure = np.array([1e7, 5e7, 1e8])
    old = sea.depth_from_pressure_unesco(pressure, LATITUDE)
    np.testing.assert_allclose(sea.depth_from_sea_pressure(pressure, LATITUDE), old, rtol=3e-4)


def test_integrated_standard_ocean_is_the_standard_pressure() -> None:
    # Two independent routes: our layers, and the closed form of the standard ocean.
    depth = np.linspace(50.0, 6000.0, 120)
    ones = np.ones_like(depth)
    got = sea.sea_column_pressure(depth, STANDARD * ones, 273.15 * ones, LATITUDE)
    expected = sea.sea_pressure_at_depth(depth, LATITUDE)
    # the closed form lets gravity grow linearly with depth; that costs some parts in 1e7
    np.testing.assert_allclose(got, expected, rtol=2e-6)


def test_one_node_is_a_column_of_one_water() -> None:
    pressure = sea.sea_column_pressure(
        np.array([4000.0]), np.array([STANDARD]), np.array([273.15]), LATITUDE
    )
    top = sea.sea_water_density(STANDARD, 273.15, 0.0) * sea.gravity_at_latitude(LATITUDE)
    foot = sea.sea_water_density(STANDARD, 273.15, pressure[-1]) * sea.gravity_at_latitude(
        LATITUDE, pressure[-1]
    )
    assert top * 4000.0 < pressure[-1] < foot * 4000.0
    assert pressure[-1] == pytest.approx(0.5 * (top + foot) * 4000.0, rel=1e-12)


def test_a_layer_split_in_two_gives_the_same_pressure() -> None:
    state = (STANDARD, STANDARD, 275.0, 275.0, LATITUDE)
    whole = sea.sea_pressure_below_layer(1e6, 200.0, *state)
    half = sea.sea_pressure_below_layer(1e6, 100.0, *state)
    assert sea.sea_pressure_below_layer(half, 100.0, *state) == pytest.approx(whole, abs=1.0)
    assert sea.sea_pressure_below_layer(1e6, 0.0, *state) == 1e6


def test_warm_fresh_sea_presses_less() -> None:
    depth = np.array([0.0, 1000.0, 3000.0])
    salt, cold = np.full(3, 35.0), np.full(3, 275.0)
    heavy = sea.sea_column_pressure(depth, salt, cold, LATITUDE)
    light = sea.sea_column_pressure(depth, salt - 1.0, cold + 10.0, LATITUDE)
    assert heavy[0] == light[0] == 0.0
    assert np.all(light[1:] < heavy[1:])


def test_a_stack_of_profiles_gives_the_single_answers() -> None:
    depth = np.array([10.0, 500.0, 2500.0])
    salinity = np.array([[34.0, 34.5, 34.8], [35.0, 35.1, 35.2]])
    warmth = np.array([[300.0, 280.0, 275.0], [290.0, 279.0, 274.0]])
    stacked = sea.sea_column_pressure(depth, salinity, warmth, LATITUDE)
    for i in range(2):
        one = sea.sea_column_pressure(depth, salinity[i], warmth[i], LATITUDE)
        np.testing.assert_array_equal(stacked[i], one)


@pytest.mark.parametrize("depths", [[-1.0, 10.0], [10.0, 10.0], [20.0, 10.0]])
def test_a_profile_that_does_not_go_down_is_refused(depths: list[float]) -> None:
    with pytest.raises(ValueError, match="increase downwards"):
        sea.sea_column_pressure(np.array(depths), np.full(2, 35.0), np.full(2, 275.0), LATITUDE)


def test_the_old_north_pacific_is_saltier_than_its_practical_salinity_says() -> None:
    # Silica adds mass that conductivity does not see: up to about 0.027 g/kg there (TEOS-10).
    reference = 35.0 * 35.16504 / 35.0
    deep = sea.absolute_salinity(35.0, 2e7, np.radians(200.0), np.radians(45.0))
    assert 0.01 < deep - reference < 0.03


def test_temperatures_undo_each_other() -> None:
    t = np.linspace(272.0, 303.0, 9)
    warmth = sea.conservative_temperature(34.7, t, 3e7)
    np.testing.assert_allclose(sea.in_situ_temperature(34.7, warmth, 3e7), t, atol=1e-6)


def test_sea_water_gets_thinner_with_warmth_and_thicker_with_salt() -> None:
    t = np.linspace(273.15, 303.15, 7)
    assert np.all(np.diff(sea.sea_water_viscosity(35.0, t)) < 0.0)
    assert np.all(sea.sea_water_viscosity(35.0, t) > sea.sea_water_viscosity(0.0, t))


def test_pressure_and_salt_lower_the_freezing_point() -> None:
    assert sea.freezing_temperature(35.0, 1e7) < sea.freezing_temperature(35.0, 0.0)
    assert sea.freezing_temperature(35.0, 0.0) < sea.freezing_temperature(0.0, 0.0)
    # Pure water without air at one atmosphere: 273.152519 K (IAPWS-06, from memory); air takes
    # 2.4 mK off, which is the old ice point.
    assert sea.freezing_temperature(0.0, 0.0, 0.0) == pytest.approx(273.152519, abs=1e-5)
    assert sea.freezing_temperature(0.0, 0.0, 1.0) == pytest.approx(273.15, abs=3e-4)
