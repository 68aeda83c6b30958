"""Kick tolerance by the pressures it promises, and balances turned round."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from bathybore.kernels.gas import METHANE_GRAVITY, gas_density, gas_z_factor
from bathybore.kernels.kill_sheet import (
    formation_pressure_from_shut_in,
    influx_density_from_shut_in,
    kill_mud_density,
)
from bathybore.kernels.mud import STANDARD_GRAVITY as G
from bathybore.kernels.mud import equivalent_density, hydrostatic_pressure
from bathybore.kernels.well_control import (
    annulus_area,
    formation_pressure_of_kick,
    kick_height_allowed,
    kick_tolerance_volume,
    kick_volume_circulated,
    kick_volume_shut_in,
    liquid_kick_tolerance_volume,
    maximum_allowable_annulus_pressure,
    maximum_kick_intensity,
    riser_margin_density,
    wellhead_pressure_full_of_gas,
)
from varied import made_cases

few = settings(max_examples=made_cases(0.8), deadline=None)
CASE = {
    "weak_point_fracture_pressure": 58e6,
    "formation_pressure": 62e6,
    "mud_density": 1200.0,
    "height_below_weak_point": 1000.0,
    "annulus_area_around_collars": 0.0436,
    "annulus_area_around_pipe": 0.0634,
    "collar_length": 150.0,
    "bottom_hole_temperature": 363.0,
    "weak_point_temperature": 333.0,
}


def tolerance(**changes: float) -> float:
    return float(kick_tolerance_volume(**{**CASE, **changes}))


@few
@given(st.floats(56e6, 60e6), st.floats(100.0, 400.0), st.floats(0.0, 2e6))
def test_the_allowed_height_brings_the_weak_point_just_to_its_limit(
    limit: float, influx: float, friction: float
) -> None:
    h = float(kick_height_allowed(limit, 62e6, 1200.0, influx, 1000.0, friction))
    weak_point = 62e6 - influx * G * h - 1200.0 * G * (1000.0 - h) + friction
    if 0.0 < h < 1000.0:
        assert weak_point == pytest.approx(limit, rel=1e-9)
    elif h == 0.0:
        assert weak_point >= limit - 1.0
    else:
        assert weak_point <= limit + 1.0


def test_annulus_area_by_the_field_constant() -> None:
    # 12 1/4 in hole, 8 in collars: 0.0836 bbl/ft by (D^2 - d^2)/1029.4
    area = annulus_area(12.25 * 0.0254, 8.0 * 0.0254)
    assert float(area) * 0.3048 / 0.158987294928 == pytest.approx(0.0836, abs=5e-5)


def test_volume_fills_collars_first() -> None:
    assert float(kick_volume_shut_in(100.0, 0.04, 0.06, 150.0)) == pytest.approx(4.0)
    assert float(kick_volume_shut_in(200.0, 0.04, 0.06, 150.0)) == pytest.approx(6.0 + 3.0)


def test_circulated_volume_conserves_the_amount_of_gas() -> None:
    v = kick_volume_circulated(200.0, 0.06, 40e6, 330.0, 1.1, 60e6, 370.0, 1.25)
    amount_below = 60e6 * v / (1.25 * 370.0)
    amount_above = 40e6 * 200.0 * 0.06 / (1.1 * 330.0)
    assert float(amount_below) == pytest.approx(amount_above, rel=1e-12)


def test_circulated_mass_is_the_same_by_density() -> None:
    z_above, z_below = gas_z_factor(40e6, 330.0), gas_z_factor(60e6, 370.0)
    v = kick_volume_circulated(200.0, 0.06, 40e6, 330.0, z_above, 60e6, 370.0, z_below)
    below = v * gas_density(60e6, 370.0, z_below, METHANE_GRAVITY)
    above = 12.0 * gas_density(40e6, 330.0, z_above, METHANE_GRAVITY)
    assert float(below) == pytest.approx(float(above), rel=1e-12)


def test_tolerance_is_the_smaller_of_the_two_conditions() -> None:
    # a wide annulus at the collars leaves circulation as the limit, a tight one shutting in
    wide = tolerance(annulus_area_around_collars=10.0)
    assert wide == tolerance(annulus_area_around_collars=20.0)
    assert tolerance(annulus_area_around_collars=0.001) < wide


def test_tolerance_falls_with_intensity_and_choke_friction_and_grows_with_the_shoe() -> None:
    pressures = np.linspace(60e6, 66e6, 30)
    volumes = kick_tolerance_volume(**{**CASE, "formation_pressure": pressures})
    assert np.all(np.diff(volumes) <= 0.0)
    assert volumes[0] > volumes[-1]
    assert tolerance(choke_line_friction=1.5e6) < tolerance()
    assert tolerance(weak_point_fracture_pressure=58.5e6) > tolerance()


def test_no_tolerance_where_the_kick_alone_breaks_the_weak_point() -> None:
    assert tolerance(formation_pressure=71e6) == 0.0


def test_tolerance_never_exceeds_the_hole_below_the_weak_point() -> None:
    hole = 150.0 * 0.0436 + 850.0 * 0.0634
    assert tolerance(weak_point_fracture_pressure=90e6) == pytest.approx(hole, rel=0.3)
    assert tolerance(weak_point_fracture_pressure=90e6) <= hole


def test_heavier_gas_leaves_more_room_for_influx_on_shutting_in() -> None:
    light = tolerance(annulus_area_around_collars=0.001)
    heavy = tolerance(annulus_area_around_collars=0.001, gas_gravity=0.8)
    assert heavy > light


@few
@given(st.floats(0.0, 900.0))
def test_intensity_and_height_are_two_views_of_one_balance(h: float) -> None:
    intensity = maximum_kick_intensity(58e6, 1200.0, 250.0, h, 1000.0, 5000.0)
    formation = formation_pressure_of_kick(1200.0, intensity, 5000.0)
    back = kick_height_allowed(58e6, formation, 1200.0, 250.0, 1000.0)
    assert float(back) == pytest.approx(h, abs=1e-6)


def test_no_influx_intensity_is_the_allowable_annulus_pressure_over_the_hole() -> None:
    allowed = maximum_allowable_annulus_pressure(58e6, 1200.0, 4000.0)
    intensity = maximum_kick_intensity(58e6, 1200.0, 250.0, 0.0, 1000.0, 5000.0)
    assert float(intensity) == pytest.approx(allowed / (G * 5000.0), rel=1e-9)


def test_kill_mud_balances_the_formation() -> None:
    formation = formation_pressure_from_shut_in(3e6, 1200.0, 4000.0)
    kill = kill_mud_density(1200.0, 3e6, 4000.0)
    assert hydrostatic_pressure(kill, 4000.0) == pytest.approx(formation, rel=1e-12)


def test_equal_shut_in_pressures_mean_an_influx_as_heavy_as_mud() -> None:
    assert influx_density_from_shut_in(1200.0, 3e6, 3e6, 200.0) == 1200.0


def test_riser_margin_density_with_sea_water_is_a_pressure_balance() -> None:
    density = riser_margin_density(62e6, 25e6, 3000.0)
    assert 25e6 + hydrostatic_pressure(density, 3000.0) == pytest.approx(62e6, rel=1e-12)
    # in the riser too the same density would be a greater pressure
    assert density > equivalent_density(62e6, 3000.0 + 25e6 / (1030.0 * G))


def test_gas_at_the_wellhead_presses_less_than_the_formation_and_more_than_mud_would() -> None:
    top = float(wellhead_pressure_full_of_gas(62e6, 3000.0, 330.0))
    assert 62e6 - 1200.0 * G * 3000.0 < top < 62e6
    assert float(wellhead_pressure_full_of_gas(62e6, 0.0, 330.0)) == pytest.approx(62e6)


def test_local_gravity_is_used_throughout() -> None:
    # what gravity scales, it scales here: a column of mud and gas alike
    weak = 62e6 - (62e6 - 58e6) * 0.9
    a = kick_height_allowed(58e6, 62e6, 1200.0, 250.0, 1000.0)
    b = kick_height_allowed(weak, 62e6, 1200.0, 250.0, 1000.0, gravity=0.9 * G)
    assert float(a) == pytest.approx(float(b), rel=1e-9)


def test_a_liquid_kick_is_as_high_as_the_weak_point_bears() -> None:
    """Shut in, and again below the weak point with the choke line's friction on top, by hand.

    Pressure at the weak point is that of the formation less influx and mud below it.
    """
    weak, formation, mud, influx, below = 58e6, 68.5e6, 1200.0, 1030.0, 1000.0
    around_collars, around_pipe, collars, friction = 0.0436, 0.0634, 150.0, 0.3e6
    given = (weak, formation, mud, influx, below, around_collars, around_pipe, collars)
    g = 9.80665

    def too_much(height: float, on_top: float) -> float:
        return formation - influx * g * height - mud * g * (below - height) + on_top - weak

    high = [brentq(too_much, 0.0, 1e4, args=(on_top,)) for on_top in (0.0, friction)]
    at_rest = around_collars * min(high[0], collars) + around_pipe * max(high[0] - collars, 0.0)
    assert 0.0 < high[1] < high[0] < below
    assert float(liquid_kick_tolerance_volume(*given)) == pytest.approx(
        min(at_rest, around_pipe * high[0]), rel=1e-9
    )
    assert float(liquid_kick_tolerance_volume(*given, friction)) == pytest.approx(
        min(at_rest, around_pipe * high[1]), rel=1e-9
    )


def test_an_influx_no_lighter_than_the_mud_is_borne_whole_or_not_at_all() -> None:
    """It presses most on the weak point before it is there, so that its height says nothing."""
    column = 1020.0 * G * 1000.0
    for spare, height in ((1e5, 1000.0), (-1e5, 0.0)):
        source = 60e6 + column - spare
        assert float(kick_height_allowed(60e6, source, 1020.0, 1027.0, 1000.0)) == height
