"""Piles pushed sideways: closed forms of beams on elastic foundations, limits, balance."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.arrays import Array
from bathybore.base.errors import NotConverged
from bathybore.kernels.lateral_pile import (
    PileShape,
    bend_pile,
    cyclic_soft_clay_lateral_resistance,
    depth_of_full_resistance,
    pile_bending_stress,
    shaft_settlement,
)
from bathybore.kernels.soil import soft_clay_lateral_resistance, ultimate_lateral_resistance

EI = 1.7e9  # N m2, about a 36 in conductor
FOUNDATION = 1.0e6  # N/m2
LONG = np.linspace(0.0, 120.0, 241)
STRENGTH = 2e3 + 1.45e3 * LONG
DIAMETER, STRAIN = 0.9144, 0.02


def on_elastic_ground(
    shear: float,
    moment: float,
    compression: float = 0.0,
    depth: Array = LONG,
    k: float = FOUNDATION,
) -> PileShape:
    ones = np.ones(len(depth) - 1)
    load = np.zeros(len(depth))
    load[0] = shear
    return bend_pile(
        depth, EI * ones, compression * ones, load, moment, lambda y: FOUNDATION * y, 1e-9
    )


def in_clay(shear: float, moment: float = 0.0) -> PileShape:
    ones = np.ones(len(LONG) - 1)
    load = np.zeros(len(LONG))
    load[0] = shear
    return bend_pile(LONG, EI * ones, 0.0 * ones, load, moment, clay, 0.1 * 2.5 * STRAIN * DIAMETER)


def clay(y: Array) -> Array:
    most = ultimate_lateral_resistance(STRENGTH, DIAMETER, 5.3e3, LONG)
    return np.asarray(cyclic_soft_clay_lateral_resistance(most, y, STRAIN, DIAMETER, LONG, 5.7))


# ---- closed forms ------------------------------------------------------------------------


def test_a_long_beam_on_an_elastic_foundation() -> None:
    """Semi-infinite beam (Hetenyi 1946): y = 2 H b/k e^-bz cos bz, M = H/b e^-bz sin bz."""
    beta = (FOUNDATION / (4.0 * EI)) ** 0.25
    shape = on_elastic_ground(1e5, 0.0)
    fade = np.exp(-beta * LONG)
    y = 2.0 * 1e5 * beta / FOUNDATION * fade * np.cos(beta * LONG)
    moment = 1e5 / beta * fade * np.sin(beta * LONG)
    np.testing.assert_allclose(shape.displacement, y, atol=2e-3 * y.max())
    np.testing.assert_allclose(np.abs(shape.moment), np.abs(moment), atol=3e-3 * moment.max())
    assert shape.rotation[0] == pytest.approx(-2.0 * 1e5 * beta**2 / FOUNDATION, rel=2e-3)


def test_a_moment_at_the_end_of_a_long_beam() -> None:
    """Semi-infinite beam (Hetenyi 1946): y = 2 M b2/k e^-bz (cos bz - sin bz), reversed here."""
    beta = (FOUNDATION / (4.0 * EI)) ** 0.25
    shape = on_elastic_ground(0.0, -1e6)
    fade = np.exp(-beta * LONG)
    y = 2.0 * 1e6 * beta**2 / FOUNDATION * fade * (np.cos(beta * LONG) - np.sin(beta * LONG))
    moment = 1e6 * fade * (np.cos(beta * LONG) + np.sin(beta * LONG))
    np.testing.assert_allclose(shape.displacement, y, atol=3e-3 * y.max())
    np.testing.assert_allclose(np.abs(shape.moment), np.abs(moment), atol=3e-3 * moment.max())


@pytest.mark.parametrize("share", [-0.8, -0.3, 0.2, 0.4])
def test_axial_force_softens_or_stiffens_as_hetenyi_has_it(share: float) -> None:
    """End load H on a semi-infinite beam under compression P: y(0) = H 2a / (k (3a2 - b2) ...).

    From y = e^-az (C cos bz + D sin bz) with a2, b2 = sqrt(k/4EI) -+ P/4EI; EI y'' = 0 and
    EI y''' + P y' = H at the end, solved for C.
    """
    compression = share * 2.0 * np.sqrt(FOUNDATION * EI)
    middle, part = np.sqrt(FOUNDATION / (4.0 * EI)), compression / (4.0 * EI)
    a, b = np.sqrt(middle - part), np.sqrt(middle + part)
    # rows: no moment at the end; shear at the end. z grows downwards, H acts on the end face
    second = np.array([a**2 - b**2, -2.0 * a * b])
    third = np.array([-(a**3) + 3.0 * a * b**2, 3.0 * a**2 * b - b**3])
    first = np.array([-a, b])
    c, _ = np.linalg.solve(np.array([second, EI * third + compression * first]), [0.0, 1e5])
    shape = on_elastic_ground(1e5, 0.0, compression)
    assert shape.displacement[0] == pytest.approx(c, rel=1e-2)


def test_compression_softens_and_tension_stiffens() -> None:
    at_top = [float(on_elastic_ground(1e5, 0.0, p).displacement[0]) for p in (-2e7, 0.0, 1e7, 2e7)]
    assert at_top == sorted(at_top)


def test_a_free_end_buckles_at_half_of_what_a_long_beam_bears() -> None:
    """Semi-infinite beam with a free end: sqrt(k EI) (Hetenyi 1946), from the same shape."""
    most = np.sqrt(FOUNDATION * EI)
    assert np.isfinite(on_elastic_ground(1e5, 0.0, 0.97 * most).displacement).all()
    with pytest.raises(NotConverged, match="buckles"):
        on_elastic_ground(1e5, 0.0, 1.03 * most)


def test_euler_limit_of_a_free_standing_column() -> None:
    """A cantilever buckles at pi2 EI / (4 L2): below it stands, above it is refused."""
    depth = np.append(np.linspace(0.0, 20.0, 41), 20.1)
    euler = np.pi**2 * EI / (4.0 * 20.0**2)
    load = np.zeros(len(depth))
    load[0] = 1e3

    def clamp(y: Array) -> Array:
        stiff = np.zeros(len(depth))
        stiff[-2:] = 1e16
        return stiff * y

    def stand(share: float) -> PileShape:
        ones = np.ones(len(depth) - 1)
        return bend_pile(depth, EI * ones, share * euler * ones, load, 0.0, clamp, 1e-12)

    half = stand(0.5)
    # magnification of the end deflection, exact: 3 (tan u - u) / u3 with u = pi/2 sqrt(share)
    u = 0.5 * np.pi * np.sqrt(0.5)
    flexible = 1e3 * 20.0**3 / (3.0 * EI) * 3.0 * (np.tan(u) - u) / u**3
    assert half.displacement[0] == pytest.approx(flexible, rel=0.02)
    with pytest.raises(NotConverged, match="buckles"):
        stand(1.2)


# ---- balance and limits ------------------------------------------------------------------


def test_the_clay_pushes_back_as_much_as_the_load() -> None:
    shape = in_clay(3e5, 2e6)
    reach = np.gradient(LONG)
    reach[[0, -1]] = 0.25
    force = np.sign(shape.displacement) * clay(np.abs(shape.displacement))
    small = np.abs(shape.displacement) < 0.1 * 2.5 * STRAIN * DIAMETER
    first = clay(np.full(len(LONG), 0.1 * 2.5 * STRAIN * DIAMETER))
    force[small] = (first * shape.displacement / (0.1 * 2.5 * STRAIN * DIAMETER))[small]
    assert np.sum(force * reach) == pytest.approx(3e5, rel=1e-6)
    # the sign of the moment is that of forces below the top: a lever above it is negative
    assert np.sum(force * reach * LONG) == pytest.approx(2e6, rel=1e-5)


def test_opposite_loads_give_opposite_shapes() -> None:
    one, other = in_clay(2e5, 1e6), in_clay(-2e5, -1e6)
    np.testing.assert_allclose(one.displacement, -other.displacement, rtol=1e-9)
    np.testing.assert_allclose(one.moment, -other.moment, rtol=1e-9, atol=1e-3)


def test_softening_clay_moves_more_than_in_proportion() -> None:
    moved = [float(in_clay(h).displacement[0]) for h in (1e5, 2e5, 4e5)]
    assert moved[1] > 2.0 * moved[0]
    assert moved[2] > 2.0 * moved[1]


def test_a_stack_of_loads_gives_the_single_answers() -> None:
    ones = np.ones((3, len(LONG) - 1))
    load = np.zeros((3, len(LONG)))
    load[:, 0] = [1e5, 2e5, 3e5]
    floor = 0.1 * 2.5 * STRAIN * DIAMETER
    stacked = bend_pile(LONG, EI * ones, 0.0 * ones, load, np.zeros(3), clay, floor)
    for i, shear in enumerate((1e5, 2e5, 3e5)):
        np.testing.assert_allclose(stacked.moment[i], in_clay(shear).moment, rtol=1e-5, atol=10.0)


def test_finer_elements_do_not_change_the_answer() -> None:
    coarse, fine = np.linspace(0.0, 120.0, 121), np.linspace(0.0, 120.0, 481)
    a, b = (on_elastic_ground(1e5, -1e6, 5e6, depth) for depth in (coarse, fine))
    assert a.displacement[0] == pytest.approx(b.displacement[0], rel=1e-2)


def test_what_cannot_stand_is_refused() -> None:
    """A pile of 5 m in soft clay under 5 MN falls over: no answer, never a last guess."""
    depth = np.linspace(0.0, 5.0, 11)
    ones, load = np.ones(10), np.zeros(11)
    load[0] = 5e6
    most = ultimate_lateral_resistance(2e3 + 1.45e3 * depth, DIAMETER, 5.3e3, depth)

    def soft(y: Array) -> Array:
        return np.asarray(soft_clay_lateral_resistance(most, y, STRAIN, DIAMETER))

    with pytest.raises(NotConverged):
        bend_pile(depth, EI * ones, 0.0 * ones, load, 0.0, soft, 1e-3)


def test_no_load_is_no_question() -> None:
    with pytest.raises(ValueError, match="without lateral load"):
        on_elastic_ground(0.0, 0.0)


# ---- springs -----------------------------------------------------------------------------


@given(st.floats(0.0, 2.0), st.floats(0.1, 50.0))
def test_cyclic_clay_never_resists_more_than_static(y: float, z: float) -> None:
    static = float(soft_clay_lateral_resistance(1e5, y, STRAIN, DIAMETER))
    cyclic = float(cyclic_soft_clay_lateral_resistance(1e5, y, STRAIN, DIAMETER, z, 6.0))
    assert 0.0 <= cyclic <= min(static, 72e3) * (1.0 + 1e-12) + 1e-9


def test_cyclic_clay_follows_static_up_to_three_reference_displacements() -> None:
    y = np.linspace(0.0, 2.9, 30) * 2.5 * STRAIN * DIAMETER
    np.testing.assert_allclose(
        cyclic_soft_clay_lateral_resistance(1e5, y, STRAIN, DIAMETER, 1.0, 6.0),
        soft_clay_lateral_resistance(1e5, y, STRAIN, DIAMETER),
    )


def test_full_resistance_begins_where_the_two_curves_cross() -> None:
    """Even strength: X_R = 6 D / (gamma D / s + J), the closed form."""
    z = np.linspace(0.0, 20.0, 2001)
    most = np.asarray(ultimate_lateral_resistance(15e3, DIAMETER, 6e3, z))
    flow = np.full(len(z), 9.0 * 15e3 * DIAMETER)
    assert depth_of_full_resistance(z, most, flow, 0.0) == pytest.approx(6.337, abs=0.01)
    assert depth_of_full_resistance(z, most, flow, 8.0) == 8.0
    assert depth_of_full_resistance(z[:500], most[:500], flow[:500], 0.0) == z[499]


# ---- stress and settlement ---------------------------------------------------------------


def test_bending_stress_is_moment_over_section_modulus() -> None:
    d, t = 0.9144, 0.0381
    inertia = np.pi / 64.0 * (d**4 - (d - 2 * t) ** 4)
    assert pile_bending_stress(2e6, 2.06e11 * inertia, d, 2.06e11) == pytest.approx(
        2e6 / (inertia / (d / 2.0))
    )


def test_settlement_grows_with_load_and_has_no_end_beyond_capacity() -> None:
    load = np.array([0.0, 1e6, 5e6, 9e6, 10e6])
    moved = np.asarray(shaft_settlement(load, 10e6, DIAMETER))
    assert moved[0] == 0.0
    assert np.all(np.diff(moved) > 0.0)
    assert moved[-1] == pytest.approx(0.01 * DIAMETER)
    assert np.isinf(shaft_settlement(10.1e6, 10e6, DIAMETER))
