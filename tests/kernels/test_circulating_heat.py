"""Heat of a circulating hole: conservation, bounds, limits, and the closed form of one geotherm."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.kernels.circulating_heat import (
    GroundRings,
    HeatInTime,
    HeatPath,
    film_coefficient,
    ground_heat_conductance,
    ground_rings,
    heat_after,
    mud_heat_capacity,
    nusselt_number,
    prandtl_number,
    settled_heat,
    tube_heat_conductance,
    undisturbed,
)
from bathybore.kernels.heat import (
    circulating_annulus_temperature,
    circulating_pipe_temperature,
    fitted_transient_function,
)

DEPTH, FLOW, GROUND = 3000.0, 1.2e5, 0.04


def path(
    count: int = 120, flow: float = FLOW, inlet: float = 279.0, heated: bool = False
) -> HeatPath:
    z = (np.arange(count) + 0.5) * DEPTH / count
    full = np.full(count, 1.0)
    return HeatPath(
        length=full * DEPTH / count,
        pipe_flow=np.array([flow]),
        annulus_flow=full * flow,
        pipe_conductance=52.0 * full,
        wall_conductance=4.0 * full,
        surroundings=275.0 + GROUND * z,
        inlet=np.array([inlet]),
        booster=np.array([inlet]),
        pipe_heat=10.0 * full * heated,
        annulus_heat=5.0 * full * heated,
        bit_heat=np.array([1e5 * heated]),
    )


def rings(flow: HeatPath, in_sea: np.ndarray | None = None, film: float = 100.0) -> GroundRings:
    count = flow.length.shape[-1]
    full = np.full(count, 1.0)
    sea = np.zeros(count, dtype=bool) if in_sea is None else in_sea
    return ground_rings(0.15 * full, film * full, sea, 2.0, 1e-6, 4e4 * full, 1.2e5 * full)


@pytest.mark.parametrize("count", [50, 100, 200])
def test_cells_approach_the_closed_form_in_the_first_order(count: int) -> None:
    """Holmes and Swift: the error of the upwind cells falls with their length."""
    z = (np.arange(count) + 0.5) * DEPTH / count
    heat = settled_heat(path(count))
    form = (DEPTH, 279.0, 275.0, GROUND, FLOW / 52.0, 4.0 / 52.0)
    down = circulating_pipe_temperature(z, *form)
    up = circulating_annulus_temperature(z, *form)
    allowed = 5.0 / count
    assert np.max(np.abs(heat.pipe - down)) < allowed
    assert np.max(np.abs(heat.annulus - up)) < allowed


def test_settled_heat_is_conserved() -> None:
    flow = path(heated=True)
    heat = settled_heat(flow)
    made = float(np.sum((flow.pipe_heat + flow.annulus_heat) * flow.length)) + 1e5
    ground = float(np.sum(flow.wall_conductance * flow.length * (flow.surroundings - heat.annulus)))
    carried = FLOW * (float(heat.annulus[0]) - 279.0)
    assert carried == pytest.approx(made + ground, rel=1e-9)


def test_no_flow_takes_the_temperature_of_the_surroundings() -> None:
    still = path(flow=0.0)
    heat = settled_heat(still)
    np.testing.assert_allclose(heat.annulus, still.surroundings, rtol=1e-12)
    np.testing.assert_allclose(heat.pipe, still.surroundings, rtol=1e-12)


def test_mud_stays_between_what_acts_on_it() -> None:
    flow = path(inlet=330.0)
    heat = settled_heat(flow)
    lowest = min(float(flow.surroundings.min()), 330.0)
    highest = max(float(flow.surroundings.max()), 330.0)
    for numbers in (heat.pipe, heat.annulus):
        assert lowest <= numbers.min()
        assert numbers.max() <= highest


def test_a_very_fast_flow_leaves_as_it_came() -> None:
    heat = settled_heat(path(flow=1e12))
    np.testing.assert_allclose(heat.annulus, 279.0, atol=1e-5)


def test_booster_mixes_by_the_heat_it_carries() -> None:
    """Without any exchange a riser carries the mean of the two flows."""
    flow = path(4)
    none = np.zeros(4)
    riser = np.array([1.0, 1.0, 0.0, 0.0])
    mixed = replace(
        flow,
        annulus_flow=FLOW * (1.0 + 0.5 * riser),
        pipe_conductance=none,
        wall_conductance=none + 1e-12,
        booster=np.array([300.0]),
    )
    heat = settled_heat(mixed)
    assert heat.annulus[0] == pytest.approx((279.0 + 0.5 * 300.0) / 1.5, rel=1e-9)
    assert heat.annulus[3] == pytest.approx(279.0, rel=1e-9)


def test_open_sea_takes_what_comes_from_the_hole() -> None:
    """Riserless: the returns leave at the sea bed; above it the pipe meets the sea alone."""
    flow = path(4)
    open_pipe = replace(
        flow,
        annulus_flow=FLOW * np.array([0.0, 0.0, 1.0, 1.0]),
        wall_conductance=np.array([1e9, 1e9, 4.0, 4.0]),
        surroundings=np.array([275.0, 275.0, 300.0, 320.0]),
    )
    heat = settled_heat(open_pipe)
    np.testing.assert_allclose(heat.annulus[:2], 275.0, atol=1e-4)
    length = DEPTH / 4
    share = 52.0 * length / (FLOW + 52.0 * length)
    assert heat.pipe[0] == pytest.approx(279.0 + share * (275.0 - 279.0), abs=1e-4)


def stored(ground: GroundRings, flow: HeatPath, heat: HeatInTime) -> float:
    per_length = (
        ground.pipe_capacity * heat.mud.pipe
        + ground.annulus_capacity * heat.mud.annulus
        + np.sum(ground.capacity * heat.ground, axis=-1)
    )
    return float(np.sum(per_length * flow.length))


def test_every_time_step_conserves_energy() -> None:
    flow = path(heated=True)
    ground = rings(flow)
    before = undisturbed(flow, ground)
    for dt in (60.0, 3600.0, 86400.0):
        after = heat_after(flow, ground, before, dt, 1)
        made = float(np.sum((flow.pipe_heat + flow.annulus_heat) * flow.length)) + 1e5
        far = ground.outward * (flow.surroundings - after.ground[..., -1])
        entered = FLOW * (279.0 - float(after.mud.annulus[0])) + made
        entered += float(np.sum(far * flow.length))
        gained = stored(ground, flow, after) - stored(ground, flow, before)
        scale = stored(ground, flow, before)
        assert gained == pytest.approx(dt * entered, abs=1e-9 * scale)
        before = after


def test_long_circulation_becomes_the_settled_one() -> None:
    flow = path(heated=True)
    ground = rings(flow)
    late = heat_after(flow, ground, undisturbed(flow, ground), 1e13, 12)
    steady = 1.0 / (1.0 / 100.0 + np.log(20.0 / 0.15) / (2.0 * np.pi * 2.0))
    settled = settled_heat(replace(flow, wall_conductance=np.full(120, steady)))
    np.testing.assert_allclose(late.mud.annulus, settled.annulus, atol=1e-6)
    np.testing.assert_allclose(late.mud.pipe, settled.pipe, atol=1e-6)


def test_a_day_of_circulation_agrees_with_the_transient_function() -> None:
    """Rings draw less heat than the function of constant flux: their flux falls with time."""
    flow = path()
    ground = rings(flow, film=1e9)
    day = heat_after(flow, ground, undisturbed(flow, ground), 86400.0, 200)
    function = float(np.asarray(fitted_transient_function(0.15, 1e-6, 86400.0)))
    conductance = float(np.asarray(ground_heat_conductance(2.0, function)))
    settled = settled_heat(replace(flow, wall_conductance=np.full(120, conductance)))
    warming = float(np.max(settled.annulus)) - 279.0
    np.testing.assert_allclose(day.mud.annulus, settled.annulus, atol=0.15 * warming)
    assert np.all(day.mud.annulus < settled.annulus)


def test_a_hole_at_rest_warms_back_to_the_ground() -> None:
    flow = path()
    ground = rings(flow)
    cooled = heat_after(flow, ground, undisturbed(flow, ground), 86400.0, 40)
    assert float(cooled.mud.annulus[-1]) < float(flow.surroundings[-1]) - 50.0
    still = replace(flow, pipe_flow=np.zeros(1), annulus_flow=np.zeros(120))
    rested = heat_after(still, ground, cooled, 1e10, 300)
    np.testing.assert_allclose(rested.mud.annulus, flow.surroundings, atol=1e-3)


def test_undisturbed_stays_undisturbed() -> None:
    flow = path(flow=0.0)
    ground = rings(flow)
    same = heat_after(flow, ground, undisturbed(flow, ground), 1e6, 5)
    np.testing.assert_allclose(same.mud.annulus, flow.surroundings, rtol=1e-12)
    np.testing.assert_allclose(same.ground[..., 3], flow.surroundings, rtol=1e-12)


def test_realisations_together_are_what_each_is_alone() -> None:
    one = path(30)
    flows = np.array([[0.5e5], [1.0e5], [2.0e5]])
    together = replace(
        one, pipe_flow=flows, annulus_flow=flows * np.ones(30), inlet=np.full((3, 1), 279.0)
    )
    ground = rings(one)
    many = heat_after(together, ground, undisturbed(together, ground), 7200.0, 6)
    settled = settled_heat(together)
    for index, flow in enumerate(flows[:, 0]):
        alone = replace(one, pipe_flow=np.array([flow]), annulus_flow=np.full(30, flow))
        np.testing.assert_allclose(settled.annulus[index], settled_heat(alone).annulus, rtol=1e-12)
        later = heat_after(alone, ground, undisturbed(alone, ground), 7200.0, 6)
        np.testing.assert_allclose(many.mud.annulus[index], later.mud.annulus, rtol=1e-12)


def test_halving_the_time_step_halves_its_error() -> None:
    flow = path(40)
    ground = rings(flow)
    start = undisturbed(flow, ground)
    truth = heat_after(flow, ground, start, 36000.0, 3200).mud.annulus[-1]
    errors = [
        abs(heat_after(flow, ground, start, 36000.0, steps).mud.annulus[-1] - truth)
        for steps in (50, 100, 200)
    ]
    assert errors[0] / errors[1] == pytest.approx(2.0, rel=0.1)
    assert errors[1] / errors[2] == pytest.approx(2.0, rel=0.15)


# -- films ------------------------------------------------------------------------------


def test_nusselt_number_joins_its_two_ends() -> None:
    assert nusselt_number(1000.0, 10.0) == pytest.approx(4.36)
    assert nusselt_number(2300.0, 10.0) == pytest.approx(4.36)
    turbulent = 0.023 * 4000.0**0.8 * 10.0**0.4
    assert nusselt_number(4000.0, 10.0) == pytest.approx(turbulent)
    between = np.asarray(nusselt_number(np.linspace(500.0, 8000.0, 200), 10.0))
    assert np.all(np.diff(between) >= 0.0)


def test_tube_without_wall_is_its_two_films() -> None:
    """Two films of 100 W/m2/K in series on one radius let through half of one."""
    thin = tube_heat_conductance(0.1, 0.1 + 1e-12, 100.0, 100.0, 45.0)
    assert thin == pytest.approx(2.0 * np.pi * 0.1 * 50.0, rel=1e-6)
    bare = tube_heat_conductance(0.1, 0.2, 1e12, 1e12, 45.0)
    assert bare == pytest.approx(2.0 * np.pi * 45.0 / np.log(2.0), rel=1e-6)


def test_definitions_of_the_film() -> None:
    assert film_coefficient(10.0, 0.6, 0.1) == pytest.approx(60.0)
    assert prandtl_number(4180.0, 1.0e-3, 0.6) == pytest.approx(6.97, abs=0.01)


def test_heat_capacity_of_base_and_solids() -> None:
    assert mud_heat_capacity(1030.0) == pytest.approx(3990.0)
    assert mud_heat_capacity(4200.0) == pytest.approx(460.0)
    half = 0.5 * (1030.0 + 4200.0)
    mass = (1030.0 * 3990.0 + 4200.0 * 460.0) / (1030.0 + 4200.0)
    assert mud_heat_capacity(half) == pytest.approx(mass, rel=1e-12)
