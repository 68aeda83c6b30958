"""Friction against its limits: Newton, Bingham, power law; creeping to turbulent."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bathybore.kernels.pipe_flow import (
    annulus_apparent_viscosity,
    annulus_friction_gradient,
    annulus_wall_shear_stress,
    friction_factor,
    mean_velocity_in_annulus,
    mean_velocity_in_pipe,
    pipe_friction_gradient,
    pipe_wall_shear_rate,
    pipe_wall_shear_stress,
    smooth_friction_factor,
)
from bathybore.kernels.pipe_flow_models import (
    annulus_gradient_bingham,
    annulus_gradient_newtonian,
    annulus_gradient_power_law,
    annulus_laminar_flow_rate_herschel_bulkley,
    annulus_wall_shear_stress_simplified,
    eccentricity_factor_laminar,
    pipe_gradient_bingham,
    pipe_gradient_blasius,
    pipe_gradient_power_law,
    pipe_laminar_flow_rate_herschel_bulkley,
    pipe_wall_shear_stress_simplified,
)
from varied import made_cases

RATES = st.floats(1e-6, 0.2)
YIELDS = st.floats(0.0, 30.0)
CONSISTENCIES = st.floats(1e-3, 5.0)
INDICES = st.floats(0.2, 1.0)
few = settings(max_examples=made_cases(0.8), deadline=None)


@few
@given(RATES, YIELDS, CONSISTENCIES, INDICES)
def test_pipe_wall_stress_inverts_the_exact_flow_rate(q: float, ty: float, k: float, n: float):
    stress = pipe_wall_shear_stress(q, 0.1, ty, k, n)
    back = pipe_laminar_flow_rate_herschel_bulkley(4.0 * stress / 0.1, 0.1, ty, k, n)
    # one minus the plug share loses digits when the plug fills the pipe
    plug = ty / float(stress)
    assert float(back) == pytest.approx(q, rel=1e-9 + 1e-14 / (1.0 - plug))


@few
@given(RATES, YIELDS, CONSISTENCIES, INDICES)
def test_annulus_wall_stress_inverts_the_exact_flow_rate(q: float, ty: float, k: float, n: float):
    stress = annulus_wall_shear_stress(q, 0.311, 0.127, ty, k, n)
    gradient = 4.0 * stress / (0.311 - 0.127)
    back = annulus_laminar_flow_rate_herschel_bulkley(gradient, 0.311, 0.127, ty, k, n)
    plug = ty / float(stress)
    assert float(back) == pytest.approx(q, rel=1e-9 + 1e-14 / (1.0 - plug))


def test_exact_flow_rate_agrees_with_integrating_the_velocity_profile() -> None:
    # independent of the closed form: shear rate integrated twice over the radius
    radius, gradient, ty, k, n = 0.05, 600.0, 5.0, 0.4, 0.65
    r = np.linspace(0.0, radius, 200_001)
    rate = (np.maximum(gradient * r / 2.0 - ty, 0.0) / k) ** (1.0 / n)
    middle = 0.5 * (r[1:] + r[:-1])
    flow = np.sum(np.pi * middle**2 * 0.5 * (rate[1:] + rate[:-1]) * np.diff(r))
    got = pipe_laminar_flow_rate_herschel_bulkley(gradient, 2 * radius, ty, k, n)
    assert float(got) == pytest.approx(flow, rel=1e-6)


def test_exact_slot_flow_rate_agrees_with_integrating_the_velocity_profile() -> None:
    outer, inner, gradient, ty, k, n = 0.30, 0.20, 600.0, 5.0, 0.4, 0.65
    half = (outer - inner) / 4.0
    width = np.pi * (outer + inner) / 2.0
    y = np.linspace(0.0, half, 200_001)
    rate = (np.maximum(gradient * y - ty, 0.0) / k) ** (1.0 / n)
    middle = 0.5 * (y[1:] + y[:-1])
    flow = 2.0 * width * np.sum(middle * 0.5 * (rate[1:] + rate[:-1]) * np.diff(y))
    got = annulus_laminar_flow_rate_herschel_bulkley(gradient, outer, inner, ty, k, n)
    assert float(got) == pytest.approx(flow, rel=1e-6)


def test_laminar_newtonian_pipe_is_poiseuille() -> None:
    v = mean_velocity_in_pipe(1e-4, 0.1)
    got = pipe_friction_gradient(1e-4, 0.1, 1000.0, 0.0, 0.05, 1.0)
    assert float(got) == pytest.approx(float(32.0 * 0.05 * v / 0.1**2), rel=1e-12)


def test_laminar_power_law_is_exact_in_pipe_and_slot() -> None:
    q = 2e-3
    got = pipe_friction_gradient(q, 0.1, 1200.0, 0.0, 0.8, 0.6)
    textbook = pipe_gradient_power_law(mean_velocity_in_pipe(q, 0.1), 0.1, 0.8, 0.6)
    assert float(got) == pytest.approx(float(textbook), rel=1e-12)
    got = annulus_friction_gradient(q, 0.3, 0.2, 1200.0, 0.0, 0.8, 0.6)
    velocity = mean_velocity_in_annulus(q, 0.3, 0.2)
    textbook = annulus_gradient_power_law(velocity, 0.3, 0.2, 0.8, 0.6)
    assert float(got) == pytest.approx(float(textbook), rel=1e-12)


def test_textbook_bingham_is_the_limit_of_fast_laminar_flow() -> None:
    # the textbook drops the fourth (third) power of yield over wall stress
    q, pv, yp = 3e-3, 0.5, 0.5
    got = pipe_friction_gradient(q, 0.1, 1.0, yp, pv, 1.0)
    textbook = pipe_gradient_bingham(mean_velocity_in_pipe(q, 0.1), 0.1, pv, yp)
    assert float(got) == pytest.approx(float(textbook), rel=1e-5)
    q, yp = 1e-2, 0.2
    got = annulus_friction_gradient(q, 0.3, 0.2, 1.0, yp, pv, 1.0)
    textbook = annulus_gradient_bingham(mean_velocity_in_annulus(q, 0.3, 0.2), 0.3, 0.2, pv, yp)
    assert float(got) == pytest.approx(float(textbook), rel=1e-3)


def test_buckingham_reiner_for_bingham_in_pipe() -> None:
    # 8v/d = (tau_w/mu) (1 - 4/3 x + x^4/3): Buckingham (1921), Reiner (1926)
    stress = pipe_wall_shear_stress(1e-3, 0.1, 6.0, 0.03, 1.0)
    x = 6.0 / stress
    rate = stress / 0.03 * (1.0 - 4.0 / 3.0 * x + x**4 / 3.0)
    assert float(rate) == pytest.approx(float(pipe_wall_shear_rate(1e-3, 0.1, 1.0)), rel=1e-11)


def test_a_vanishing_yield_changes_nothing() -> None:
    without = pipe_friction_gradient(0.03, 0.1, 1200.0, 0.0, 0.4, 0.7)
    almost = pipe_friction_gradient(0.03, 0.1, 1200.0, 1e-9, 0.4, 0.7)
    assert float(almost) == pytest.approx(float(without), rel=1e-8)


def test_creeping_flow_tends_to_the_yield_stress() -> None:
    stress = pipe_wall_shear_stress(1e-14, 0.1, 5.0, 0.4, 0.7)
    assert float(stress) == pytest.approx(5.0, rel=1e-3)
    assert float(pipe_wall_shear_stress(0.0, 0.1, 5.0, 0.4, 0.7)) == 5.0


def test_no_flow_loses_nothing_and_reversed_flow_the_opposite() -> None:
    for friction, size in (
        (pipe_friction_gradient, (0.1,)),
        (annulus_friction_gradient, (0.3, 0.2)),
    ):
        for ty in (0.0, 5.0):
            assert float(friction(0.0, *size, 1200.0, ty, 0.4, 0.7)) == 0.0
            there = friction(0.02, *size, 1200.0, ty, 0.4, 0.7)
            back = friction(-0.02, *size, 1200.0, ty, 0.4, 0.7)
            assert float(back) == -float(there) < 0.0


@few
@given(YIELDS, CONSISTENCIES, st.floats(0.3, 1.0))
def test_friction_grows_with_flow_and_never_jumps(ty: float, k: float, n: float) -> None:
    q = np.geomspace(1e-5, 0.3, 2000)
    for gradient in (
        pipe_friction_gradient(q, 0.1, 1300.0, ty, k, n),
        annulus_friction_gradient(q, 0.311, 0.127, 1300.0, ty, k, n),
    ):
        steps = np.diff(np.log(gradient))
        assert np.all(steps > 0.0)
        assert np.max(steps) < 0.04  # 0.5 % of flow a step: no slope steeper than about 8


@few
@given(YIELDS, CONSISTENCIES, INDICES)
def test_thicker_mud_loses_more_in_laminar_flow(ty: float, k: float, n: float) -> None:
    base = pipe_wall_shear_stress(0.01, 0.1, ty, k, n)
    assert pipe_wall_shear_stress(0.01, 0.1, ty + 1.0, k, n) > base
    assert pipe_wall_shear_stress(0.01, 0.1, ty, k * 1.1, n) > base


def test_turbulent_newtonian_flow_follows_blasius() -> None:
    q, d = 0.03, 0.1  # water at a Reynolds number of 380,000 is past Blasius; use a thicker fluid
    got = pipe_friction_gradient(q, d, 1000.0, 0.0, 0.01, 1.0)
    blasius = pipe_gradient_blasius(1000.0, mean_velocity_in_pipe(q, d), d, 0.01)
    assert float(got) == pytest.approx(float(blasius), rel=0.02)


def test_friction_factor_is_laminar_far_below_and_turbulent_far_above() -> None:
    assert float(friction_factor(100.0, 0.8)) == pytest.approx(0.16, rel=1e-12)
    assert float(friction_factor(4e4, 1.0)) == pytest.approx(0.0786 * 4e4**-0.25, rel=1e-4)
    # above 10^5 the power fit of the standard falls low: the smooth-pipe law takes over
    assert float(friction_factor(1e6, 1.0)) == pytest.approx(
        float(smooth_friction_factor(1e6, 1.0)), rel=1e-4
    )


def test_smooth_friction_factor_solves_prandtl_and_karman() -> None:
    reynolds = np.array([4e3, 1e5, 1e7])
    f = np.asarray(smooth_friction_factor(reynolds, 1.0))
    np.testing.assert_allclose(
        1.0 / np.sqrt(f), 4.0 * np.log10(reynolds * np.sqrt(f)) - 0.4, rtol=1e-10
    )


@few
@given(st.floats(1e-4, 0.05), YIELDS, CONSISTENCIES, INDICES)
def test_the_short_wall_stress_of_the_standard_never_lies_below(
    q: float, ty: float, k: float, n: float
) -> None:
    # the standard's form drops what the plug takes away: at most 4/3 (3/2) of the yield too much
    rate = pipe_wall_shear_rate(q, 0.1, n)
    short = float(pipe_wall_shear_stress_simplified(rate, ty, k, n))
    exact = float(pipe_wall_shear_stress(q, 0.1, ty, k, n))
    assert exact * 0.9 <= short <= exact + ty / 3.0 + 1e-9


def test_the_short_annulus_stress_is_exact_without_yield() -> None:
    short = annulus_wall_shear_stress_simplified(60.0, 0.0, 0.35, 0.7)
    assert float(short) == pytest.approx(0.35 * 60.0**0.7, rel=1e-12)


def test_apparent_viscosity_of_a_newtonian_fluid_is_its_viscosity() -> None:
    for q in (1e-4, 1e-2):
        got = annulus_apparent_viscosity(q, 0.3, 0.2, 0.0, 0.05, 1.0)
        assert float(got) == pytest.approx(0.05, rel=1e-12)


def test_the_slot_is_close_to_the_annulus_it_stands_for() -> None:
    for inner, off in ((0.09, 0.03), (0.15, 0.008), (0.27, 0.0005)):
        exact = annulus_gradient_newtonian(0.5, 0.3, inner, 0.02)
        slot = annulus_gradient_bingham(0.5, 0.3, inner, 0.02, 0.0)
        assert float(slot) == pytest.approx(float(exact), rel=off)


def test_an_eccentric_string_loses_less() -> None:
    e = np.linspace(0.0, 0.9, 10)
    assert np.all(np.diff(eccentricity_factor_laminar(e, 0.216, 0.127, 0.7)) < 0.0)


def test_one_way_of_splitting_a_flow_conserves_it() -> None:
    q = mean_velocity_in_annulus(0.05, 0.3, 0.2) * np.pi / 4 * (0.3**2 - 0.2**2)
    assert float(q) == pytest.approx(0.05, rel=1e-14)
