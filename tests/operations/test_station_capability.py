"""Capability by direction: brute force, symmetry, no failure helps, the table row by row."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from bathybore.base.errors import InputErrors
from bathybore.kernels.allocation import (
    PlaneForce,
    Sector,
    Thruster,
    allocate,
    allocate_all,
    capability_factor,
    capability_factors,
)
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.capability import (
    Rose,
    failures,
    numbers_held,
    rose,
    table_weather,
)
from bathybore.operations.station import (
    boards_of,
    fleet,
    fleet_in,
    mean_loads,
    planned_weather,
    running,
    station_load,
)

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(EXAMPLES / "main")


@pytest.fixture(scope="module")
def found(hole: Hole) -> Rose:
    return rose(hole.setting, 24)


def test_loads_of_many_directions_are_those_of_the_plan_at_its_own(hole: Hole) -> None:
    planned = hole.site.environment.heading_off_weather
    loads = mean_loads(hole, planned_weather(hole), np.array([planned]))[0]
    force = station_load(hole).force
    assert loads == pytest.approx([force.surge, force.sway, force.yaw], rel=1e-12)


def test_the_rose_is_the_capability_of_each_direction_asked_alone(hole: Hole, found: Rose) -> None:
    left, power = running(hole.setting, boards_of(hole.setting))
    for index in (0, 5, 6, 17):
        alone = capability_factor(left, PlaneForce(*found.loads[index]), power)
        assert found.intact[index] == pytest.approx(alone, rel=1e-6)


def test_no_loss_helps_and_a_board_is_never_better_than_its_thrusters(
    hole: Hole, found: Rose
) -> None:
    assert (found.after_thruster <= found.intact * (1.0 + 1e-6)).all()
    for board, factors in zip(found.switchboards, found.after_switchboard, strict=True):
        for one in hole.vessel.thrusters:
            if one.switchboard == board:
                index = found.thrusters.index(one.name)
                assert (factors <= found.after_thruster[index] * (1.0 + 1e-6)).all()


def test_a_vessel_alike_on_both_sides_holds_alike_on_both_sides(found: Rose) -> None:
    assert found.intact[1:] == pytest.approx(found.intact[:0:-1], rel=1e-5)
    assert found.worst[1:] == pytest.approx(found.worst[:0:-1], rel=1e-5)


def test_power_is_known_where_the_load_is_held(found: Rose) -> None:
    assert (np.isfinite(found.power) == (found.intact >= 1.0)).all()


def test_the_angle_held_lies_where_the_factor_crosses(found: Rose) -> None:
    flat = np.full(24, 2.0)
    assert found.held_to(1.5, flat) == pytest.approx(np.pi)
    assert found.held_to(2.5, flat) == 0.0
    falling = 3.0 - np.abs(np.where(found.directions > np.pi, 2 * np.pi, 0) - found.directions)
    assert found.held_to(1.25, falling) == pytest.approx(1.75)
    one_side = np.where(found.directions > np.pi, falling, 3.0)
    assert found.held_to(1.25, one_side) == pytest.approx(1.75)


def test_numbers_held_are_those_of_every_row_tried(hole: Hole) -> None:
    """Row by row upwards until one is not held, against the search by halves."""
    numbers = numbers_held(hole.setting, 4)
    for column, direction in enumerate(numbers.directions):
        held = 0
        for number in range(1, 12):
            weather = table_weather(number)
            load = mean_loads(hole, weather, np.array([direction]))
            intact = failures(hole.setting, fleet_in(hole.setting, weather.current_speed))[0]
            if capability_factors(intact[0], load, intact[1])[0] < 1.0:
                break
            held = number
        assert numbers.intact[column] == held
    assert (numbers.after_thruster <= numbers.intact).all()
    assert (numbers.after_switchboard <= numbers.after_thruster).all()


def test_thrust_in_the_planned_current_is_the_thrust_of_the_plan(hole: Hole) -> None:
    current = planned_weather(hole).current_speed
    same = fleet_in(hole.setting, current)
    assert [one.max_thrust for one in same] == pytest.approx(
        [one.max_thrust for one in fleet(hole.setting)]
    )
    assert fleet_in(hole.setting, 2.0)[0].max_thrust < same[0].max_thrust


def test_loads_that_cannot_be_held_are_named() -> None:
    one = Thruster("one", 10.0, 0.0, 1e5, 1e6)
    with pytest.raises(InputErrors, match="not finite"):
        capability_factors([one], np.array([[1.0, np.nan, 0.0]]))
    with pytest.raises(InputErrors, match="no force at all"):
        capability_factors([one], np.zeros((1, 3)))
    assert capability_factors([], np.ones((2, 3))).tolist() == [0.0, 0.0]


def _by_many_directions(thrusters: list[Thruster], load: np.ndarray, count: int = 180) -> float:
    """Return the greatest share of a load when every thruster may only push in so many directions.

    A linear programme; it stays below the answer by no more than the directions are apart.
    """
    turned = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)
    c, s = np.cos(turned), np.sin(turned)
    pushes = [one.max_thrust * np.stack([c, s, one.x * s - one.y * c]) for one in thrusters]
    balance = np.hstack([*pushes, -load[:, None]]) / (4e5 * np.array([[1.0], [1.0], [50.0]]))
    most = np.kron(np.eye(len(thrusters)), np.ones(count))
    found = linprog(
        np.append(np.zeros(most.shape[1]), -1.0),
        np.hstack([most, np.zeros((len(thrusters), 1))]),
        np.ones(len(thrusters)),
        balance,
        np.zeros(3),
    )
    assert found.success
    return float(found.x[-1])


@settings(max_examples=15, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(20, 80), st.floats(-15, 15), st.floats(2e5, 8e5)),
        min_size=2,
        max_size=4,
    ),
    st.floats(0.0, 2.0 * np.pi),
    st.floats(-30.0, 30.0),
)
def test_capability_against_brute_force(
    places: list[tuple[float, float, float]], direction: float, arm: float
) -> None:
    thrusters = [Thruster(f"T{n}", x, y, t, 4e6) for n, (x, y, t) in enumerate(places)]
    load = 4e5 * np.array([np.cos(direction), np.sin(direction), arm])
    factor = capability_factors(thrusters, load[None])[0]
    below = _by_many_directions(thrusters, load)
    assert factor == pytest.approx(below, rel=1e-3, abs=1e-4)
    assert factor >= below - 1e-6


def test_many_demands_are_allocated_as_each_alone() -> None:
    barred = (Sector(0.3, 0.7),)
    ship = [
        Thruster("bow", 80.0, 0.0, 7e5, 4e6, "A", barred),
        Thruster("port", -60.0, 8.0, 7e5, 4e6, "A"),
        Thruster("starboard", -60.0, -8.0, 7e5, 4e6, "B"),
    ]
    demands = [PlaneForce(4e5 * np.cos(a), 4e5 * np.sin(a), 1e6) for a in np.arange(8) * 0.8]
    together = allocate_all(ship, demands, {"A": 5e6})
    for demand, one in zip(demands, together, strict=True):
        alone = allocate(ship, demand, {"A": 5e6})
        assert one.feasible == alone.feasible
        for use, same in zip(one.uses, alone.uses, strict=True):
            assert (use.forward, use.port) == pytest.approx((same.forward, same.port), abs=20.0)
