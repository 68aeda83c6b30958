"""Pore and fracture pressure, soil, heat, coring and durations: limits and consistency."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels import coring, durations, heat, soil
from bathybore.kernels import fracture_pressure as fracture
from bathybore.kernels import pore_pressure as pore

G = 9.80665
MILLION_YEARS = 31557600.0e6

# ---- pore pressure -----------------------------------------------------------------------


def test_on_the_normal_trend_the_pore_pressure_is_normal() -> None:
    assert pore.eaton_sonic(6e7, 3.5e7, 3e-4, 3e-4) == pytest.approx(3.5e7)
    assert pore.eaton_resistivity(6e7, 3.5e7, 1.0) == pytest.approx(3.5e7)


def test_a_rock_without_stress_carries_the_overburden_in_its_pores() -> None:
    assert pore.eaton_sonic(6e7, 3.5e7, 3e-4, 1.0) == pytest.approx(6e7)
    assert pore.pore_pressure_from_effective_stress(6e7, 0.0) == 6e7


@given(st.floats(1.0, 60.0), st.floats(3.0, 12.0), st.floats(0.6, 0.9))
def test_virgin_curve_undoes_itself(mpa: float, a: float, b: float) -> None:
    velocity = pore.bowers_virgin_velocity(mpa * 1e6, a, b)
    assert pore.bowers_virgin_effective_stress(velocity, a, b) == pytest.approx(mpa * 1e6)


def test_unloading_meets_the_virgin_curve_at_the_greatest_stress_and_is_faster_below() -> None:
    a, b, most = 4.4567, 0.8168, 3.5e7
    at_most = pore.bowers_unloading_velocity(most, most, a, b, 3.13)
    assert at_most == pytest.approx(pore.bowers_virgin_velocity(most, a, b))
    now = 2.0e7
    unloaded = pore.bowers_unloading_velocity(now, most, a, b, 3.13)
    assert unloaded > pore.bowers_virgin_velocity(now, a, b)
    back = pore.bowers_unloading_effective_stress(unloaded, most, a, b, 3.13)
    assert back == pytest.approx(now)
    # the same velocity read on the virgin curve would hide part of the pressure
    assert back < pore.bowers_virgin_effective_stress(unloaded, a, b)


def test_sound_slower_than_sea_bed_mud_means_no_effective_stress() -> None:
    assert pore.bowers_virgin_effective_stress(1400.0, 4.4567, 0.8168) == 0.0


def test_diffusion_takes_four_times_as_long_over_twice_the_way() -> None:
    args = (1e-3, 1e-19, 1e9)
    assert pore.pressure_diffusion_time(200.0, *args) == pytest.approx(
        4 * pore.pressure_diffusion_time(100.0, *args)
    )


@given(st.floats(10.0, 4000.0), st.floats(10.0, 6000.0), st.floats(1000.0, 2000.0))
def test_densities_to_three_datums_name_one_pressure(
    water: float, below_bed: float, density: float
) -> None:
    sea = 1030.0 * G * water
    pressure = pore.normal_pore_pressure(sea, density, below_bed, G)
    to_bed = pore.equivalent_density_below_sea_bed(pressure, sea, below_bed, G)
    to_level = pore.equivalent_density_below_sea_level(pressure, water + below_bed, G)
    to_floor = pore.equivalent_density_below_drill_floor(pressure, water + below_bed + 28.0, G)
    assert to_bed == pytest.approx(density)
    assert to_floor < to_level
    mixed = (1030.0 * water + density * below_bed) / (water + below_bed)
    assert to_level == pytest.approx(mixed)


def test_mean_gradient_of_a_standing_column_is_its_weight() -> None:
    pressure = pore.normal_pore_pressure(0.0, 1030.0, 700.0, G)
    assert pore.mean_pressure_gradient(pressure, 700.0) == pytest.approx(1030.0 * G)


# ---- fracture pressure -------------------------------------------------------------------


@given(st.floats(20.0, 80.0), st.floats(0.3, 0.99))
def test_all_fracture_laws_lie_between_pore_pressure_and_overburden(
    mpa: float, share: float
) -> None:
    overburden, pressure = mpa * 1e6, share * mpa * 1e6
    low = fracture.hubbert_willis_minimum(overburden, pressure)
    high = fracture.hubbert_willis_maximum(overburden, pressure)
    assert pressure < low < high < overburden
    assert fracture.eaton_1969(overburden, pressure, 0.25) == pytest.approx(low)  # 1/3
    assert fracture.eaton_1969(overburden, pressure, 1 / 3) == pytest.approx(high)  # 1/2
    assert fracture.eaton_1969(overburden, pressure, 0.5) == pytest.approx(overburden)
    assert fracture.matthews_kelly(overburden, pressure, 0.0) == pressure


def test_a_leak_off_test_gives_back_its_own_pressure() -> None:
    test = fracture.leak_off_pressure(5e6, 1200.0, 3500.0, G)
    ratio = fracture.leak_off_stress_ratio(test, 3.9e7, 6e7)
    assert fracture.matthews_kelly(6e7, 3.9e7, ratio) == pytest.approx(test)
    assert fracture.leak_off_pressure(0.0, 1200.0, 0.0, G) == 0.0


def test_normal_sediment_is_at_its_own_equivalent_depth() -> None:
    gradient = 6000.0
    assert fracture.equivalent_normal_depth(gradient * 850.0, gradient) == pytest.approx(850.0)


# ---- soil --------------------------------------------------------------------------------


def test_adhesion_is_one_half_where_strength_equals_overburden_and_never_above_one() -> None:
    psi = np.logspace(-4, 3, 200)
    alpha = soil.adhesion_factor(psi * 1e5, 1e5)
    assert np.all(alpha <= 1.0)
    assert np.all(np.diff(alpha) <= 0.0)
    just = soil.adhesion_factor(np.array([0.999999, 1.000001]) * 1e5, 1e5)
    np.testing.assert_allclose(just, 0.5, rtol=1e-5)


def test_no_strength_and_no_overburden_do_not_break_the_adhesion() -> None:
    assert soil.adhesion_factor(0.0, 1e5) == 1.0
    assert 0.0 < soil.adhesion_factor(1e4, 0.0) < 0.01


def test_closed_form_of_the_shaft_is_the_sum_of_layers() -> None:
    z = np.linspace(0.0, 75.0, 301)
    strength = soil.undrained_shear_strength(2e3, 1.5e3, 0.5 * (z[1:] + z[:-1]))
    friction = soil.unit_skin_friction(0.4, strength)
    layers = np.sum(soil.layer_shaft_resistance(0.9144, friction, np.diff(z)))
    assert soil.shaft_resistance(0.9144, 75.0, 2e3, 1.5e3, 0.4) == pytest.approx(layers)
    assert soil.shaft_resistance(0.9144, 0.0, 2e3, 1.5e3, 0.4) == 0.0


def test_set_up_starts_at_its_share_grows_with_the_logarithm_and_ends_at_one() -> None:
    hour = 3600.0
    times = np.array([0.0, 0.5, 1.0, 10.0, 100.0, 1e9]) * hour
    got = soil.set_up_share(times, 0.3, 0.15, hour)
    np.testing.assert_allclose(got, [0.3, 0.3, 0.3, 0.45, 0.6, 1.0], rtol=1e-12)


def test_capacity_of_a_jetted_conductor_without_tip_is_friction_alone() -> None:
    assert soil.axial_capacity(6e6, 0.5, 0.0) == 3e6
    assert soil.axial_capacity(6e6, 1.0, soil.end_bearing(1e5, 0.1)) == pytest.approx(6.09e6)


@given(st.integers(0, 2000), st.integers(0, 5000), st.floats(0.5, 3.0), st.floats(0.1, 1.0))
def test_a_pipe_sinks_until_the_clay_carries_it(
    weight: int, bed_pascals: int, gradient: float, adhesion: float
) -> None:
    bed = bed_pascals / 1e3
    clay = (bed * 1e3, gradient * 1e3, adhesion, 0.105)
    depth = soil.self_weight_penetration(weight * 1e3, 0.9144, 0.838, *clay)
    carried = soil.penetration_resistance(0.9144, 0.838, depth, *clay)
    if depth > 0.0:
        assert carried == pytest.approx(weight * 1e3, rel=1e-9)
    else:
        assert carried >= weight * 1e3


def test_clay_of_one_strength_has_a_closed_answer() -> None:
    depth = soil.self_weight_penetration(3e5, 0.9, 0.84, 1e4, 0.0, 0.5, 0.1)
    by_hand = (3e5 - 9 * 0.1 * 1e4) / (0.5 * np.pi * 1.74 * 1e4)
    assert depth == pytest.approx(by_hand)


def test_lateral_capacity_is_full_from_the_depth_of_reduced_resistance() -> None:
    clay = (15e3, 0.9144, 6e3)
    depth = soil.reduced_resistance_depth(*clay)
    full = 9.0 * 15e3 * 0.9144
    assert soil.ultimate_lateral_resistance(*clay, depth) == pytest.approx(full)
    assert soil.ultimate_lateral_resistance(*clay, 0.99 * depth) < full
    assert soil.ultimate_lateral_resistance(*clay, 2.0 * depth) == full
    assert soil.ultimate_lateral_resistance(*clay, 0.0) == pytest.approx(full / 3.0)


def test_consolidation_starts_at_zero_ends_at_one_and_its_two_forms_meet() -> None:
    assert soil.consolidation_degree(0.0) == 0.0
    assert soil.consolidation_degree(50.0) == pytest.approx(1.0)
    near = soil.consolidation_degree(np.array([0.03 - 1e-12, 0.03 + 1e-12]))
    assert near[1] == pytest.approx(near[0], abs=1e-10)
    assert np.all(np.diff(soil.consolidation_degree(np.linspace(0.0, 2.0, 400))) > 0.0)


def test_twice_the_drainage_way_takes_four_times_as_long() -> None:
    assert soil.consolidation_time_factor(1e-7, 4e6, 2.0) == pytest.approx(
        soil.consolidation_time_factor(1e-7, 1e6, 1.0)
    )


def test_wellhead_inclination_is_tight_before_it_fails() -> None:
    assert 0.0 < soil.WELLHEAD_INCLINATION_TIGHT < soil.WELLHEAD_INCLINATION_LIMIT
    assert np.degrees(soil.WELLHEAD_INCLINATION_LIMIT) == pytest.approx(1.5)


# ---- heat --------------------------------------------------------------------------------


def test_branches_of_the_plate_model_meet() -> None:
    flow = heat.sea_floor_heat_flow(np.array([55.0, 55.0 + 1e-9]) * MILLION_YEARS)
    assert flow[1] == pytest.approx(flow[0], abs=1e-4)
    depth = heat.sea_floor_depth(np.array([20.0 - 1e-9, 20.0]) * MILLION_YEARS)
    assert depth[1] == pytest.approx(depth[0], abs=3.0)
    young = np.array([1.0, 10.0, 50.0]) * MILLION_YEARS
    np.testing.assert_array_equal(heat.sea_floor_heat_flow(young), heat.half_space_heat_flow(young))


def test_layers_of_one_ground_are_one_straight_geotherm() -> None:
    resistance = 3 * heat.layer_thermal_resistance(100.0, 1.5)
    gradient = 0.06
    flow = heat.conductive_heat_flow(1.5, gradient)
    assert heat.temperature_from_heat_flow(275.0, flow, resistance) == pytest.approx(
        heat.temperature_at_depth(275.0, gradient, 300.0)
    )


def test_a_line_through_points_of_a_line_is_that_line() -> None:
    depth = np.array([0.0, 30.0, 70.0, 110.0])
    warmth = heat.temperature_at_depth(275.0, 0.04, depth)
    assert heat.fitted_geothermal_gradient(depth, warmth) == pytest.approx(0.04)
    assert heat.geothermal_gradient(warmth[0], warmth[-1], 0.0, 110.0) == pytest.approx(0.04)


def test_a_gradient_from_one_depth_is_refused() -> None:
    with pytest.raises(ValueError, match="two depths"):
        heat.fitted_geothermal_gradient(np.array([5.0, 5.0]), np.array([275.0, 276.0]))


def test_three_forms_of_the_transient_function_agree_late() -> None:
    late = 100.0 * 86400.0
    args = (0.16, heat.thermal_diffusivity(2.0, 2300.0, 900.0), late)
    line = heat.line_source_transient_function(*args)
    assert heat.ramey_transient_function(*args) == pytest.approx(line, abs=0.003)
    assert heat.fitted_transient_function(*args) == pytest.approx(line, rel=0.01)
    early = heat.fitted_transient_function(0.16, args[1], np.array([1e-3, 1.0, 60.0, 3600.0]))
    assert np.all(early > 0.0)
    assert np.all(np.diff(early) > 0.0)


COUNTERFLOW = (3000.0, 279.0, 275.0, 0.04, 2300.0)  # depth, inlet, sea bed, gradient, A


def test_circulation_meets_its_ends() -> None:
    at_top = heat.circulating_pipe_temperature(0.0, *COUNTERFLOW, 0.08)
    assert at_top == pytest.approx(279.0)
    pipe = heat.circulating_pipe_temperature(3000.0, *COUNTERFLOW, 0.08)
    assert heat.circulating_annulus_temperature(3000.0, *COUNTERFLOW, 0.08) == pytest.approx(pipe)


def test_without_exchange_with_the_ground_mud_keeps_its_temperature() -> None:
    z = np.linspace(0.0, 3000.0, 7)
    got = heat.circulating_annulus_temperature(z, *COUNTERFLOW, 1e-9)
    np.testing.assert_allclose(got, 279.0, atol=1e-3)


def test_with_free_exchange_the_annulus_takes_the_temperature_of_the_ground() -> None:
    z = np.linspace(100.0, 2900.0, 7)
    got = heat.circulating_annulus_temperature(z, *COUNTERFLOW, 1e4)
    np.testing.assert_allclose(got, 275.0 + 0.04 * z, atol=0.05)


def test_ground_without_gradient_at_inlet_temperature_changes_nothing() -> None:
    z = np.linspace(0.0, 3000.0, 7)
    for of in (heat.circulating_pipe_temperature, heat.circulating_annulus_temperature):
        np.testing.assert_allclose(of(z, 3000.0, 280.0, 280.0, 0.0, 2300.0, 0.08), 280.0)


def test_a_very_deep_hole_does_not_overflow() -> None:
    got = heat.circulating_pipe_temperature(12000.0, 12000.0, 279.0, 275.0, 0.03, 5.0, 2.0)
    assert 275.0 < got < 275.0 + 0.03 * 12000.0


def test_exchange_groups_combine_to_the_conduction_of_the_ground() -> None:
    # B / A = 2 pi k / (f W c): the pipe drops out.
    f, carried = 2.17, 1100.0 * 0.04 * 3800.0
    film = heat.formation_heat_transfer_coefficient(2.0, 0.16, f)
    a = heat.pipe_exchange_length(1100.0, 0.04, 3800.0, 0.07, 170.0)
    b = heat.exchange_ratio(0.16, film, 0.07, 170.0)
    assert b / a == pytest.approx(2.0 * np.pi * 2.0 / (f * carried))


def test_cooling_pulls_and_heating_presses() -> None:
    args = (5e10, 8e-6)
    assert heat.wall_thermal_stress(*args, -40.0, 0.25) < 0.0
    assert heat.wall_thermal_stress(*args, 0.0, 0.25) == 0.0
    assert heat.wall_thermal_stress(*args, 40.0, 0.0) == pytest.approx(5e10 * 8e-6 * 40.0)


# ---- coring and durations ----------------------------------------------------------------


def test_whole_numbers_are_not_rounded_up_by_rounding() -> None:
    assert coring.runs_needed(9.5 * 3, 9.5) == 3.0
    assert coring.runs_needed(0.1 * 3, 0.1) == 3.0  # 0.1 * 3 / 0.1 is 3.0000000000000004
    assert coring.runs_needed(9.5 * 3 + 0.01, 9.5) == 4.0
    assert coring.bits_needed(0.0, 1.0) == 0.0
    assert durations.joint_count(22.86 * 110, 22.86) == 110.0


def test_coring_time_is_the_sum_of_its_parts() -> None:
    hour = 3600.0
    wire = coring.wireline_round_trip_time(4500.0, 2.5, 1200.0)
    assert wire == 3600.0 + 1200.0
    got = coring.coring_time(9.5 * 10, 2.0 / hour, 10, wire, 1, 30 * hour)
    assert got == pytest.approx(47.5 * hour + 10 * wire + 30 * hour)
    assert coring.rotating_hours(95.0, 2.0 / hour) == pytest.approx(47.5 * hour)
    assert coring.bit_lives(95 * hour, 50 * hour) == pytest.approx(1.9)
    assert coring.core_recovery(0.0, 10.0) == 0.0


def test_a_trip_at_a_mean_speed_takes_the_time_that_gave_the_speed() -> None:
    trip = durations.trip_time(5000.0, 38.0, 180.0)
    speed = durations.mean_running_speed(5000.0, trip)
    assert durations.running_time(5000.0, speed) == pytest.approx(trip)
    assert durations.trip_time(0.0, 38.0, 180.0) == 0.0


def test_plain_times() -> None:
    hour = 3600.0
    assert durations.drilling_time(800.0, 20.0 / hour) == pytest.approx(40 * hour)
    assert durations.connection_time(380.0, 38.0, 900.0) == pytest.approx(2.5 * hour)
    assert durations.riser_running_time(110, 2.0 / hour) == pytest.approx(55 * hour)
    assert durations.casing_running_time(150, 15.0 / hour, 2000.0, 400.0 / hour) == pytest.approx(
        15 * hour
    )
    assert durations.wireline_time(3600.0, 1.0, 0.0) == 2 * hour
    assert durations.sailing_time(10 * 1852.0, 10 * 1852.0 / hour) == pytest.approx(hour)
    assert durations.circulation_time(150.0, 2.5 / 60.0) == pytest.approx(hour)


def test_a_short_operation_needs_no_second_test() -> None:
    day = 86400.0
    assert durations.tests_within(0.0, 14 * day) == 0.0
    assert durations.tests_within(14 * day, 14 * day) == 0.0
    assert durations.tests_within(43 * day, 14 * day) == 3.0
