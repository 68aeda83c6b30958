"""Columns of a mud by its parts: balance kept, one with the closed form where they meet."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.base.working import Solved
from bathybore.kernels.mud import compressible_column_pressure, density_at
from bathybore.model.hole import Hole
from bathybore.model.plan import Fluid
from bathybore.operations.columns import (
    OPEN_TO_AIR,
    gravity,
    mean_temperature,
    pressure_under,
    temperature,
    warmth_of_parts,
)
from bathybore.operations.fluid_column import column_of_parts


def made(**parts: object) -> Fluid:
    return Fluid.model_validate({"composition": parts, "consistency": "0.3 Pa s^n"})


OIL_MUD = made(oil=0.55, low_gravity_solids=0.03, high_gravity_solids=0.15)
WATER_MUD = made(low_gravity_solids=0.04, high_gravity_solids=0.09)


@pytest.mark.parametrize("fluid", [OIL_MUD, WATER_MUD])
def test_the_column_weighs_what_its_parts_weigh_there(main_hole: Hole, fluid: Fluid) -> None:
    """Slope of the pressure is density times gravity at every depth, top to bottom."""
    z = np.arange(0.0, 7000.0, 20.0)
    pressure = np.asarray(pressure_under(main_hole, fluid, OPEN_TO_AIR, main_hole.flow_line, z).si)
    middle, warm = 0.5 * (z[1:] + z[:-1]), 0.5 * (pressure[1:] + pressure[:-1])
    density = fluid.density_under(warm, temperature(main_hole, middle))
    np.testing.assert_allclose(np.diff(pressure) / 20.0, gravity(main_hole) * density, rtol=2e-5)


def test_one_place_is_the_same_as_among_many(main_hole: Hole) -> None:
    z = np.linspace(100.0, 7000.0, 41)
    ask = (main_hole, OIL_MUD, OPEN_TO_AIR, main_hole.flow_line)
    many, one = pressure_under(*ask, z), pressure_under(*ask, 7000.0)
    assert np.ndim(one.si) == 0
    assert float(one) == pytest.approx(float(np.asarray(many.si)[-1]), rel=1e-6)
    assert isinstance(one.origin, Solved)
    assert [i.name for i in one.origin.inputs][1] == "density_in_place"


def test_constant_coefficients_by_layers_are_the_closed_form() -> None:
    fluid = Fluid.model_validate({"density": "1.3 sg", "consistency": "0.3 Pa s^n"})
    edges, warm = np.arange(0.0, 6001.0, 10.0), np.full(600, 330.0)
    found, residual = column_of_parts(fluid, 1e6, edges, 0, warm, 9.81)
    even = density_at(1300.0, 0.0, 330.0, fluid.compressibility, fluid.thermal_expansion)
    closed = compressible_column_pressure(1e6, even, fluid.compressibility, 6000.0, 9.81)
    assert found[-1] == pytest.approx(float(closed), rel=1e-9)
    assert residual < 1e-12
    # begun at its foot it comes back to its top
    back, _ = column_of_parts(fluid, float(closed), edges, 600, warm, 9.81)
    assert back[0] == pytest.approx(1e6, rel=1e-6)


def test_cold_mud_in_the_riser_is_heavier_than_mean_coefficients_of_hot_water_say(
    main_hole: Hole,
) -> None:
    """Water expands less when cold: mean coefficients of 5 to 80 degC make it too heavy there."""
    reference = WATER_MUD.reference_temperature
    cold = WATER_MUD.density_under(0.0, 277.15)
    mean = WATER_MUD.density * np.exp(-WATER_MUD.thermal_expansion * (277.15 - reference))
    assert WATER_MUD.density < cold < mean - 1.0


def test_shifted_warmth_turns_the_closed_form_into_the_column_of_parts(main_hole: Hole) -> None:
    z, top = np.linspace(500.0, 7000.0, 20), main_hole.flow_line
    mean = mean_temperature(main_hole, top, z)
    warm = warmth_of_parts(main_hole, OIL_MUD, OPEN_TO_AIR, float(top), z, mean)
    even = density_at(OIL_MUD.density, 0.0, warm.si, OIL_MUD.compressibility,
                      OIL_MUD.thermal_expansion, OIL_MUD.reference_temperature)  # fmt: skip
    closed = compressible_column_pressure(
        0.0, even, OIL_MUD.compressibility, z - float(top), gravity(main_hole)
    )
    parts = pressure_under(main_hole, OIL_MUD, OPEN_TO_AIR, top, z)
    np.testing.assert_allclose(np.asarray(closed), np.asarray(parts.si), rtol=1e-9)
    plain = Fluid.model_validate({"density": "1.3 sg", "consistency": "0.3 Pa s^n"})
    assert warmth_of_parts(main_hole, plain, OPEN_TO_AIR, float(top), z, mean) is mean
