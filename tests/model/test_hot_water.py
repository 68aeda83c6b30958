"""Salt water in place, up to where its laws end."""

from __future__ import annotations

import pytest

from bathybore.kernels.water import pure_water_density
from bathybore.model.fluid_composition import water_in_place, water_outside


@pytest.mark.parametrize("celsius", [40.0, 120.0, 180.0, 240.0, 320.0])
def test_water_without_salt_is_pure_water_however_hot(celsius: float) -> None:
    for pressure in (20e6, 60e6, 95e6):
        found = float(water_in_place(0.0, pressure, celsius + 273.15))
        assert found == pytest.approx(
            float(pure_water_density(pressure, celsius + 273.15)), rel=8e-4
        )


def test_there_is_no_step_where_one_law_hands_over_to_the_next() -> None:
    for celsius in (40.0, 180.0):
        beside = [water_in_place(35.0, 60e6, celsius + 273.15 + d) for d in (-1e-6, 1e-6)]
        assert float(beside[0]) == pytest.approx(float(beside[1]), rel=1e-8)


def test_beyond_its_laws_it_says_so() -> None:
    assert water_outside(90e6, 513.15) == ()
    assert "100 MPa" in water_outside(120e6, 513.15)[0]
    assert "in_situ_temperature" in water_outside(90e6, 650.0)[0]
