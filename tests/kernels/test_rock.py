"""Rock stress, strength and the failing wall: limits, symmetry, equilibrium."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.kernels import rock_strength as strength
from bathybore.kernels import rock_stress as stress
from bathybore.kernels import wall_failure as wall

MPA = 1e6
mpa = st.floats(1.0, 80.0).map(lambda v: v * MPA)


def test_layers_and_compaction_agree() -> None:
    # The closed form against a column of many thin layers.
    z = np.linspace(0.0, 3000.0, 30001)
    middle = 0.5 * (z[1:] + z[:-1])
    density = stress.bulk_density(stress.athy_porosity(0.6, 1800.0, middle), 2700.0, 1030.0)
    summed = 3e7
    summed += np.sum(stress.overburden_gradient(density, 9.81) * np.diff(z))
    closed = stress.vertical_stress_compacting(3e7, 2700.0, 1030.0, 0.6, 1800.0, 3000.0, 9.81)
    assert closed == pytest.approx(summed, rel=1e-9)
    assert stress.vertical_stress_below_layer(3e7, 2000.0, 0.0, 9.81) == 3e7


def test_pure_pores_weigh_as_water_and_pure_grain_as_rock() -> None:
    assert stress.bulk_density(1.0, 2650.0, 1025.0) == 1025.0
    assert stress.bulk_density(0.0, 2650.0, 1025.0) == 2650.0


@given(mpa, mpa, st.floats(-20.0, 20.0), st.floats(0.0, 6.3), mpa)
def test_wall_carries_the_hole_pressure(
    x: float, y: float, shear: float, angle: float, pressure: float
) -> None:
    tau = shear * MPA
    radial = stress.kirsch_radial_stress(x, y, tau, angle, pressure)
    assert radial == pytest.approx(pressure, abs=1.0)
    assert stress.kirsch_shear_stress(x, y, tau, angle) == pytest.approx(0.0, abs=1.0)


def test_far_from_the_hole_nothing_is_changed() -> None:
    angle = np.linspace(0.0, np.pi, 7)
    x, y, tau, far = 50 * MPA, 40 * MPA, -5 * MPA, 1e-6
    c, s = np.cos(angle), np.sin(angle)
    np.testing.assert_allclose(
        stress.kirsch_radial_stress(x, y, tau, angle, 9e7, far),
        x * c**2 + y * s**2 + 2 * tau * s * c,
        rtol=1e-9,
    )
    np.testing.assert_allclose(
        stress.kirsch_hoop_stress(x, y, tau, angle, 9e7, far),
        x * s**2 + y * c**2 - 2 * tau * s * c,
        rtol=1e-9,
    )
    np.testing.assert_allclose(
        stress.kirsch_shear_stress(x, y, tau, angle, far),
        (y - x) * s * c + tau * (c**2 - s**2),
        rtol=1e-9,
        atol=1.0,
    )
    np.testing.assert_allclose(
        stress.kirsch_axial_stress(x, y, tau, 4e7, angle, 0.25, far), 4e7, rtol=1e-9
    )
    # one half of the shear on the wall is the far field turned, the other half the hole's
    turned = stress.kirsch_axial_shear_stress(2 * MPA, 1 * MPA, angle, far)
    np.testing.assert_allclose(turned, 1 * MPA * c - 2 * MPA * s, rtol=1e-9, atol=1e-3)
    at_wall = stress.kirsch_axial_shear_stress(2 * MPA, 1 * MPA, angle)
    np.testing.assert_allclose(at_wall, 2.0 * turned, rtol=1e-9, atol=1e-3)


def test_every_ring_is_in_equilibrium() -> None:
    # d(r s_r)/dr + d(tau)/dtheta = s_theta  and  d(r tau)/dr + d(s_theta)/dtheta + tau = 0
    field, pressure, step = (50 * MPA, 35 * MPA, 6 * MPA), 30 * MPA, 1e-5
    r, angle = np.meshgrid(np.linspace(1.1, 4.0, 6), np.linspace(0.1, 3.0, 6))

    def radial(r: np.ndarray, t: np.ndarray) -> np.ndarray:
        return np.asarray(stress.kirsch_radial_stress(*field, t, pressure, 1 / r))

    def hoop(r: np.ndarray, t: np.ndarray) -> np.ndarray:
        return np.asarray(stress.kirsch_hoop_stress(*field, t, pressure, 1 / r))

    def shear(r: np.ndarray, t: np.ndarray) -> np.ndarray:
        return np.asarray(stress.kirsch_shear_stress(*field, t, 1 / r))

    outwards = ((r + step) * radial(r + step, angle) - (r - step) * radial(r - step, angle)) / (
        2 * step
    ) + (shear(r, angle + step) - shear(r, angle - step)) / (2 * step)
    np.testing.assert_allclose(outwards, hoop(r, angle), atol=100.0)
    around = (
        ((r + step) * shear(r + step, angle) - (r - step) * shear(r - step, angle)) / (2 * step)
        + (hoop(r, angle + step) - hoop(r, angle - step)) / (2 * step)
        + shear(r, angle)
    )
    np.testing.assert_allclose(around, 0.0, atol=100.0)


def test_even_stress_gives_an_even_wall() -> None:
    angle = np.linspace(0.0, 6.0, 9)
    np.testing.assert_allclose(
        stress.kirsch_hoop_stress(4e7, 4e7, 0.0, angle, 3e7), 2 * 4e7 - 3e7, rtol=1e-12
    )


@given(st.floats(0.0, 6.3), st.floats(0.0, 1.5))
def test_turning_a_stress_keeps_its_invariants(azimuth: float, inclination: float) -> None:
    tensor = np.array([[50.0, -5.0, 2.0], [-5.0, 40.0, 1.0], [2.0, 1.0, 43.0]])
    turned = stress.rotate_to_hole(tensor, azimuth, inclination)
    np.testing.assert_allclose(
        stress.principal_stresses(turned), stress.principal_stresses(tensor), rtol=1e-12
    )
    np.testing.assert_allclose(turned, turned.T, atol=1e-12)


def test_a_vertical_hole_to_the_north_keeps_its_axes_and_stacks_turn_alike() -> None:
    tensor = np.array([[50.0, -5.0, 2.0], [-5.0, 40.0, 1.0], [2.0, 1.0, 43.0]])
    np.testing.assert_allclose(stress.rotate_to_hole(tensor, 0.0, 0.0), tensor)
    many = stress.rotate_to_hole(tensor, np.array([0.3, 0.6]), 0.2)
    np.testing.assert_allclose(many[1], stress.rotate_to_hole(tensor, 0.6, 0.2))


@given(mpa, mpa, st.floats(-30.0, 30.0))
def test_horizontal_principals_are_the_tensor_s(north: float, east: float, shear: float) -> None:
    tau = shear * MPA
    pair = (
        stress.major_horizontal_stress(north, east, tau),
        stress.minor_horizontal_stress(north, east, tau),
    )
    eigen = np.linalg.eigvalsh([[north, tau], [tau, east]])
    np.testing.assert_allclose(pair, eigen[::-1], atol=1.0)
    azimuth = stress.major_horizontal_stress_azimuth(north, east, tau)
    c, s = np.cos(azimuth), np.sin(azimuth)
    along = north * c**2 + east * s**2 + 2 * tau * s * c
    assert along == pytest.approx(pair[0], abs=1.0)


def test_a_fault_square_to_a_principal_stress_does_not_slip() -> None:
    for angle, normal in ((0.0, 30 * MPA), (np.pi / 2, 10 * MPA)):
        assert stress.fault_normal_stress(30 * MPA, 10 * MPA, angle) == pytest.approx(normal)
        assert stress.fault_shear_stress(30 * MPA, 10 * MPA, angle) == pytest.approx(0, abs=1e-6)


def test_the_worst_fault_reaches_the_frictional_limit() -> None:
    mu, pore = 0.6, 10 * MPA
    q = strength.frictional_stress_limit(mu)
    greatest = 60 * MPA
    least = strength.least_stress_at_frictional_limit(greatest, pore, q)
    angle = np.linspace(0.0, np.pi / 2, 20001)
    tendency = stress.slip_tendency(
        stress.fault_shear_stress(greatest, least, angle),
        stress.fault_normal_stress(greatest, least, angle),
        pore,
    )
    assert np.max(tendency) == pytest.approx(mu, rel=1e-7)


def test_friction_angle_and_ratio_undo_each_other() -> None:
    phi = np.radians(np.linspace(0.0, 75.0, 16))
    np.testing.assert_allclose(
        strength.friction_angle(strength.failure_stress_ratio(phi)), phi, atol=1e-12
    )


def test_effective_stress_without_pore_pressure_is_the_total() -> None:
    assert stress.effective_stress(5e7, 0.0) == 5e7
    assert stress.effective_stress(5e7, 2e7, 0.0) == 5e7
    assert stress.effective_stress(5e7, 2e7) == 3e7


# ---- the failing wall --------------------------------------------------------------------

SITE = st.fixed_dictionaries(
    {
        "minor_horizontal_stress": st.floats(30.0, 60.0),
        "difference": st.floats(0.0, 20.0),
        "vertical_stress": st.floats(30.0, 80.0),
        "pore_pressure": st.floats(10.0, 28.0),
        "poisson_ratio": st.floats(0.1, 0.4),
        "cohesion": st.floats(0.5, 20.0),
        "friction": st.floats(0.1, 0.9),
    }
)


def _field(site: dict[str, float]) -> dict[str, float]:
    return {
        "major_horizontal_stress": (site["minor_horizontal_stress"] + site["difference"]) * MPA,
        "minor_horizontal_stress": site["minor_horizontal_stress"] * MPA,
        "vertical_stress": site["vertical_stress"] * MPA,
        "pore_pressure": site["pore_pressure"] * MPA,
        "poisson_ratio": site["poisson_ratio"],
    }


def _wall_stresses(field: dict[str, float], pressure: float) -> np.ndarray:
    """Sorted effective wall stresses around a vertical hole, by the Kirsch equations."""
    angle = np.linspace(0.0, np.pi / 2, 91)
    pair = (field["major_horizontal_stress"], field["minor_horizontal_stress"], 0.0)
    hoop = stress.kirsch_hoop_stress(*pair, angle, pressure)
    axial = stress.kirsch_axial_stress(
        *pair, field["vertical_stress"], angle, field["poisson_ratio"]
    )
    rows = np.stack([hoop, axial, np.full_like(angle, pressure)], axis=-1)
    return np.sort(rows - field["pore_pressure"], axis=-1)


@given(SITE)
def test_coulomb_wall_just_holds_at_its_collapse_pressure(site: dict[str, float]) -> None:
    # Independent route: the Kirsch stresses all around the hole, sorted, into the criterion.
    field = _field(site)
    q = float(strength.failure_stress_ratio(site["friction"]))
    ucs = float(strength.unconfined_compressive_strength(site["cohesion"] * MPA, q))
    collapse = float(
        wall.collapse_pressure_mohr_coulomb(
            **field, unconfined_compressive_strength=ucs, failure_stress_ratio=q
        )
    )

    def worst(pressure: float) -> float:
        s = _wall_stresses(field, pressure)
        return float(np.max(s[:, 2] - q * s[:, 0] - ucs))

    assert worst(collapse - 0.01 * MPA) > 0.0
    # above it only another failure (a wall pressed open) may show, never a caving one
    s = _wall_stresses(field, collapse + 0.01 * MPA)
    radial_least = np.isclose(s[:, 0], collapse + 0.01 * MPA - field["pore_pressure"])
    assert np.all((s[:, 2] - q * s[:, 0] - ucs)[radial_least] <= 0.0)


@given(SITE)
def test_mogi_wall_just_holds_at_its_collapse_pressure(site: dict[str, float]) -> None:
    field = _field(site)
    a = float(strength.mogi_intercept(site["cohesion"] * MPA, site["friction"]))
    b = float(strength.mogi_slope(site["friction"]))
    collapse = float(wall.collapse_pressure_mogi_coulomb(**field, mogi_intercept=a, mogi_slope=b))

    def excess(pressure: float) -> float:
        low, middle, high = _wall_stresses(field, pressure)[-1]  # across the greater stress
        shear = strength.octahedral_shear_stress(high, middle, low)
        return float(shear - strength.mogi_coulomb_strength(a, b, high, low))

    # up to where the radial stress meets the hoop stress, the whole caving range
    even = 0.5 * (3 * field["major_horizontal_stress"] - field["minor_horizontal_stress"])
    if np.isinf(collapse):
        scan = even - np.linspace(0.0, 300.0, 601) * MPA
        assert min(excess(p) for p in scan) > -1.0
    else:
        assert excess(collapse) == pytest.approx(0.0, abs=1.0)
        assert excess(collapse - 0.01 * MPA) > 0.0


@given(SITE)
def test_the_intermediate_stress_never_weakens_the_wall(site: dict[str, float]) -> None:
    # Al-Ajmi and Zimmerman (2006): Mohr-Coulomb is the conservative one.
    field = _field(site)
    phi, c = site["friction"], site["cohesion"] * MPA
    q = strength.failure_stress_ratio(phi)
    mogi = wall.collapse_pressure_mogi_coulomb(
        **field, mogi_intercept=strength.mogi_intercept(c, phi), mogi_slope=strength.mogi_slope(phi)
    )
    mohr = wall.collapse_pressure_mohr_coulomb(
        **field,
        unconfined_compressive_strength=strength.unconfined_compressive_strength(c, q),
        failure_stress_ratio=q,
    )
    even = 0.5 * (3 * field["major_horizontal_stress"] - field["minor_horizontal_stress"])
    if mohr <= even:  # there Coulomb still has a pressure that holds
        assert mogi <= mohr + 1.0


def test_no_pressure_holds_a_wall_without_strength_between_far_stresses() -> None:
    got = wall.collapse_pressure_mogi_coulomb(3e7, 3e7, 9e7, 2.9e7, 0.25, 0.0, 0.1)
    assert np.isinf(got)


def test_stronger_rock_needs_less_pressure() -> None:
    ucs = np.linspace(0.0, 100.0, 21) * MPA
    got = wall.collapse_pressure_mohr_coulomb(4.5e7, 3.8e7, 5e7, 2.2e7, 0.25, ucs, 3.0)
    assert np.all(np.diff(got) < 0.0)


def test_breakdown_opens_the_least_pressed_side() -> None:
    # At breakdown the least effective hoop stress of Kirsch equals minus the tensile strength.
    p = wall.breakdown_pressure(4.5e7, 3.8e7, 2.2e7, 3e6)
    hoop = stress.kirsch_hoop_stress(4.5e7, 3.8e7, 0.0, 0.0, p)
    assert hoop - 2.2e7 == pytest.approx(-3e6)


def test_cooling_lowers_breakdown_by_what_it_pulls() -> None:
    warm = wall.breakdown_pressure(4.5e7, 3.8e7, 2.2e7, 3e6)
    assert wall.breakdown_pressure(4.5e7, 3.8e7, 2.2e7, 3e6, -8e6) == warm - 8e6


def test_a_wall_that_lets_fluid_in_breaks_sooner() -> None:
    sealed = wall.breakdown_pressure(4.5e7, 4e7, 2.2e7, 3e6)
    assert wall.breakdown_pressure_permeable(4.5e7, 4e7, 2.2e7, 3e6, 0.25) < sealed
    assert wall.loss_limit_pressure(sealed, 4e7) == min(sealed, 4e7)
    assert wall.loss_limit_pressure(3e7, 4e7) == 3e7


def test_crack_grows_wider_with_pressure_and_length() -> None:
    modulus = strength.plane_strain_modulus(2e10, 0.25)
    assert strength.fracture_opening(0.0, 5.0, modulus) == 0.0
    assert strength.fracture_opening(2e6, 5.0, modulus) == pytest.approx(
        2 * strength.fracture_opening(1e6, 5.0, modulus)
    )
    assert strength.stress_intensity(1e6, 4.0) == pytest.approx(
        2 * strength.stress_intensity(1e6, 1.0)
    )
    assert strength.plane_strain_modulus(2e10, 0.0) == 2e10
