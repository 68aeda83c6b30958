"""Pressure in a closed annulus: limits, and the balance of volumes written out once more."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.trapped_annulus import trapped_annulus_pressure
from bathybore.kernels.tubular_stress import lame_hoop_stress, lame_radial_stress

INCH = 0.0254
USUAL = {
    "annulus_warming": 40.0,
    "fluid_thermal_expansion": 3.5e-4,
    "compressibility": 4.4e-10,
    "outside_diameter": 9.625 * INCH,
    "wall": 0.545 * INCH,
    "hole_diameter": 12.347 * INCH,
}


def test_in_a_rigid_annulus_it_is_expansion_over_compressibility() -> None:
    rigid = {**USUAL, "young_modulus": 1e20, "thermal_expansion_coefficient": 0.0}
    assert trapped_annulus_pressure(**rigid) == pytest.approx(3.5e-4 * 40.0 / 4.4e-10)


def test_pipe_that_gives_way_relieves_it_and_pipe_that_warms_adds_to_it() -> None:
    cold = trapped_annulus_pressure(**USUAL, thermal_expansion_coefficient=0.0)
    assert 0.0 < cold < 3.5e-4 * 40.0 / 4.4e-10
    assert trapped_annulus_pressure(**USUAL) > cold
    thinner = trapped_annulus_pressure(**{**USUAL, "wall": 0.3 * INCH})
    assert thinner < trapped_annulus_pressure(**USUAL)


def test_without_warming_there_is_none() -> None:
    warming = np.array([0.0, 10.0, 20.0])
    gained = trapped_annulus_pressure(**{**USUAL, "annulus_warming": warming})
    assert gained[0] == 0.0
    assert gained[2] == pytest.approx(2.0 * gained[1])


def test_the_volumes_balance_with_the_displacement_from_hookes_law() -> None:
    """The pipe's outer wall moves by r/E (hoop - nu radial): once more, from the stresses."""
    p = float(trapped_annulus_pressure(**USUAL))
    outside, wall, hole = (USUAL[k] for k in ("outside_diameter", "wall", "hole_diameter"))
    radius = 0.5 * outside
    hoop = lame_hoop_stress(outside, wall, 0.0, p, radius)
    radial = lame_radial_stress(outside, wall, 0.0, p, radius)
    moved = radius / 206.8427e9 * (hoop - 0.3 * radial) + radius * 1.2e-5 * 40.0
    before = np.pi / 4 * (hole**2 - outside**2)
    after = before - 2.0 * np.pi * radius * moved
    liquid = before * (1.0 + 3.5e-4 * 40.0 - 4.4e-10 * p)
    assert after == pytest.approx(liquid, rel=2e-4)  # squares of small strains are left out


def test_water_gains_most_of_a_megapascal_for_every_degree() -> None:
    """Common practice: some 100 psi a degree Fahrenheit (1.2 MPa/K) at most, in closed annuli."""
    assert 0.5e6 < trapped_annulus_pressure(**{**USUAL, "annulus_warming": 1.0}) < 1.3e6
