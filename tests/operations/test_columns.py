"""Fluids at rest: zero at the flow line, the sea at the sea bed, and stacked without a seam."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.working import FromWalk, Value
from bathybore.model.hole import Hole
from bathybore.model.plan import Fluid
from bathybore.operations.columns import (
    column_pressure,
    depth_nodes,
    depths_of,
    earth_value,
    gravity,
    mean_temperature,
    pressure_under,
    sea_bed_pressure,
    sea_pressure,
    static_pressure,
    temperature,
    top_of_column,
)
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import FluidLayer, HoleState
from bathybore.usecases.walking import Walk
from varied import by_step, changed

ZERO = Value("pressure_at_top", 0.0, "Pa", FromWalk("open to the air"))


def fluid(density: float, compressibility: float = 0.0, expansion: float = 0.0) -> Fluid:
    return Fluid(
        density=f"{density} kg/m3",  # type: ignore[arg-type]
        consistency="0.1 Pa s^n",  # type: ignore[arg-type]
        compressibility=f"{compressibility} 1/Pa",  # type: ignore[arg-type]
        thermal_expansion=f"{expansion} 1/K",  # type: ignore[arg-type]
    )


def under(hole: Hole, one: Fluid, z: float, top: float = 0.0, at_top: Value = ZERO) -> float:
    return float(pressure_under(hole, one, at_top, BelowSeaLevel(top), z))


def test_a_plain_column_is_rho_g_h(main_hole: Hole) -> None:
    got = under(main_hole, fluid(1200.0), 5000.0)
    assert got == pytest.approx(1200.0 * gravity(main_hole) * 5000.0, rel=1e-12)


@given(height=st.floats(1.0, 9000.0), density=st.floats(900.0, 2300.0))
def test_a_compressible_column_tends_to_rho_g_h(
    main_hole: Hole, height: float, density: float
) -> None:
    plain = density * gravity(main_hole) * height
    soft = under(main_hole, fluid(density, 1e-14), height)
    assert soft == pytest.approx(plain, rel=1e-5)


def test_a_compressible_column_is_the_integral(main_hole: Hole) -> None:
    """Against the differential equation dp/dz = rho exp(c p) g in small steps."""
    c, rho, g = 4.4e-10, 1300.0, gravity(main_hole)
    p, steps, height = 0.0, 20000, 8000.0
    for _ in range(steps):
        half = p + 0.5 * height / steps * rho * np.exp(c * p) * g
        p += height / steps * rho * np.exp(c * half) * g
    assert under(main_hole, fluid(rho, c), height) == pytest.approx(p, rel=1e-8)


def test_compression_adds_and_warmth_takes(main_hole: Hole) -> None:
    bottom = main_hole.sea_bed + 4900.0
    plain = under(main_hole, fluid(1300.0), bottom)
    assert under(main_hole, fluid(1300.0, 4.4e-10), bottom) > plain
    # 143 degC at the bottom, measured at 20 degC
    assert under(main_hole, fluid(1300.0, 0.0, 3.5e-4), bottom) < plain


@pytest.mark.parametrize(("expansion", "rel"), [(0.0, 1e-12), (3.5e-4, 2e-4)])
@given(cut=st.floats(0.05, 0.95))
def test_one_fluid_in_two_layers_is_one_fluid(
    main_hole: Hole, expansion: float, rel: float, cut: float
) -> None:
    """Density is worked at the mean temperature of each layer: a second-order difference.

    Its size is about (beta dT)^2 / 16, 1.5e-4 for 140 K of warming.
    """
    one = fluid(1300.0, 4.4e-10, expansion)
    bottom = main_hole.sea_bed + 4900.0
    middle = BelowSeaLevel(cut * bottom)
    z = np.linspace(1.0, bottom, 60)
    whole = column_pressure(main_hole, (_layer(one, 0.0, bottom),), ZERO, z)
    parts = (_layer(one, 0.0, middle), _layer(one, middle, bottom))
    cut_up = column_pressure(main_hole, parts, ZERO, z)
    np.testing.assert_allclose(np.asarray(cut_up.si), np.asarray(whole.si), rtol=rel)


def _layer(one: Fluid, top: float, bottom: float) -> FluidLayer:
    return FluidLayer("mud", one, BelowSeaLevel(top), BelowSeaLevel(bottom))


def test_a_stack_has_no_step_at_its_seams(main_hole: Hole) -> None:
    parts = (
        _layer(fluid(1030.0), 0.0, 2480.0),
        _layer(fluid(1300.0, 4.4e-10), 2480.0, 4000.0),
        _layer(fluid(1900.0), 4000.0, 5000.0),
    )
    for seam in (2480.0, 4000.0):
        z = np.array([seam - 1e-6, seam + 1e-6])
        above, below = np.asarray(column_pressure(main_hole, parts, ZERO, z).si)
        assert below == pytest.approx(above, abs=1.0)


def test_three_plain_layers_by_hand(main_hole: Hole) -> None:
    parts = (
        _layer(fluid(1000.0), 0.0, 1000.0),
        _layer(fluid(1200.0), 1000.0, 1500.0),
        _layer(fluid(1900.0), 1500.0, 1600.0),
    )
    got = np.asarray(column_pressure(main_hole, parts, ZERO, np.array([500.0, 1250.0, 1600.0])).si)
    g = gravity(main_hole)
    by_hand = [500e3 * g, (1000e3 + 1200.0 * 250.0) * g, (1000e3 + 600e3 + 190e3) * g]
    np.testing.assert_allclose(got, by_hand, rtol=1e-12)


def test_a_node_above_the_column_is_refused(main_hole: Hole) -> None:
    with pytest.raises(ValueError, match="above the top"):
        column_pressure(main_hole, (_layer(fluid(1000.0), 10.0, 20.0),), ZERO, np.array([5.0]))


@given(
    height=st.floats(1.0, 9000.0),
    density=st.floats(900.0, 2200.0),
    more=st.floats(0.0, 300.0),
    soft=st.floats(0.0, 1e-9),
)
def test_more_density_is_never_less_pressure(
    main_hole: Hole, height: float, density: float, more: float, soft: float
) -> None:
    light = under(main_hole, fluid(density, soft), height)
    assert under(main_hole, fluid(density + more, soft), height) >= light


@pytest.mark.parametrize("mud", ["mud-1", "mud-2", "mud-3", "mud-4"])
def test_a_denser_mud_presses_more_at_every_depth(main_walk: Walk, mud: str) -> None:
    hole = changed(main_walk.hole, f"plan/fluids/{mud}/density", lambda d: d + 20.0)
    denser = hole.plan.fluids[mud]
    for state in main_walk.states:
        if state.riser is None or not any(layer.name == mud for layer in state.layers):
            continue
        z = depth_nodes(hole, float(hole.flow_line), float(state.bottom))
        layers = tuple(
            replace(layer, fluid=denser) if layer.name == mud else layer for layer in state.layers
        )
        before = np.asarray(static_pressure(state, z).si)
        after = np.asarray(static_pressure(replace(state, layers=layers), z).si)
        assert np.all(after >= before)
        assert after[-1] > before[-1]


def test_the_riser_is_open_to_the_air_at_the_flow_line(example_walk: Walk) -> None:
    for state in example_walk.states:
        if state.riser is not None:
            top, pressure = top_of_column(state)
            assert top == state.hole.flow_line
            assert float(pressure) == 0.0
            at_top = np.asarray(static_pressure(state, np.array([float(top)])).si)
            assert at_top[0] == pytest.approx(0.0, abs=1e-6)


def test_without_the_riser_the_sea_stands_on_the_hole(example_walk: Walk) -> None:
    for state in example_walk.states:
        if state.riser is None and state.layers:
            hole = state.hole
            at_bed = np.asarray(static_pressure(state, np.array([float(hole.sea_bed)])).si)
            assert at_bed[0] == pytest.approx(float(sea_bed_pressure(hole)), rel=1e-12)


def test_pressure_grows_all_the_way_down(example_walk: Walk) -> None:
    for state in example_walk.states:
        if not state.layers or state.bottom <= state.hole.sea_bed:
            continue
        z = depth_nodes(state.hole, float(top_of_column(state)[0]), float(state.bottom))
        assert np.all(np.diff(np.asarray(static_pressure(state, z).si)) > 0.0)


def test_the_sea_is_gauge_and_close_to_a_plain_column(example_walk: Walk) -> None:
    """1025 to 1055 kg/m3 is all that open sea water is, down to 10 km."""
    hole = example_walk.hole
    z = np.linspace(0.0, float(hole.sea_bed), 40)
    got = np.asarray(sea_pressure(hole, z).si)
    assert got[0] == pytest.approx(0.0, abs=1.0)
    density = got[1:] / (gravity(hole) * z[1:])
    assert np.all((density > 1020.0) & (density < 1060.0))
    assert np.all(np.diff(density) > 0.0)


def test_the_sea_as_a_drilling_fluid_continues_the_sea(example_walk: Walk) -> None:
    """The bottom water's gradient just below the sea bed is that just above it."""
    hole = example_walk.hole
    bed = float(hole.sea_bed)
    above = float(sea_pressure(hole, bed)) - float(sea_pressure(hole, bed - 1.0))
    below = float(
        pressure_under(hole, sea_water(hole), sea_bed_pressure(hole), hole.sea_bed, bed + 1.0)
    ) - float(sea_bed_pressure(hole))
    assert below == pytest.approx(above, rel=2e-3)


def test_temperature_is_the_sea_above_and_the_earth_below(example_walk: Walk) -> None:
    hole = example_walk.hole
    bed = float(hole.sea_bed)
    assert float(temperature(hole, 0.0)) == pytest.approx(hole.sea.numbers["temperature"][0])
    assert float(temperature(hole, -20.0)) == float(temperature(hole, 0.0))
    deepest = bed + hole.earth.deepest
    assert float(temperature(hole, deepest)) == pytest.approx(hole.earth.numbers["temperature"][-1])
    assert float(temperature(hole, bed + 1e-6)) == pytest.approx(
        float(temperature(hole, bed - 1e-6)), abs=1.5
    )


def test_the_mean_temperature_is_the_integral(main_hole: Hole) -> None:
    top, bottom = 100.0, float(main_hole.sea_bed) + 3000.0
    z = np.linspace(top, bottom, 200001)
    t = temperature(main_hole, z)
    expected = float(np.sum(0.5 * (t[1:] + t[:-1]) * np.diff(z))) / (bottom - top)
    assert float(mean_temperature(main_hole, top, bottom)) == pytest.approx(expected, abs=1e-3)
    at_once = float(mean_temperature(main_hole, 300.0, 300.0))
    assert at_once == pytest.approx(float(temperature(main_hole, 300.0)))


@given(top=st.floats(0.0, 6000.0), length=st.floats(0.5, 1000.0))
def test_depth_nodes_run_from_end_to_end(main_hole: Hole, top: float, length: float) -> None:
    z = depth_nodes(main_hole, top, top + length, top + 0.5 * length)
    assert z[0] == pytest.approx(top, abs=1e-3)
    assert z[-1] == pytest.approx(top + length, abs=1e-3)
    assert np.all(np.diff(z) > 0.0)
    assert np.max(np.diff(z)) <= 25.0 + 1e-3
    assert np.any(np.isclose(z, top + 0.5 * length, atol=1e-3))
    rows = main_hole.earth.depths + main_hole.sea_bed
    for row in rows[(rows > top + 0.01) & (rows < top + length - 0.01)]:
        assert np.any(np.isclose(z, row, atol=1e-3))


def test_depth_nodes_are_told_with_a_datum(main_hole: Hole) -> None:
    z = np.array([float(main_hole.sea_bed) + 10.0])
    assert [str(depth) for depth in depths_of(main_hole, z)] == ["10 m below sea bed"]


def test_the_earth_is_read_below_the_sea_bed(main_hole: Hole) -> None:
    rows = main_hole.earth.depths
    z = rows + float(main_hole.sea_bed)
    got = np.asarray(earth_value(main_hole, "pore_pressure", z).si)
    np.testing.assert_allclose(got, main_hole.earth.numbers["pore_pressure"], rtol=1e-9)


def test_plugs_leave_sea_water_above_and_mud_below(main_walk: Walk) -> None:
    state: HoleState = by_step(main_walk.states)["plug"]
    assert [layer.name for layer in state.layers] == ["sea water", "mud-4"]
