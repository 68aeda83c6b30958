"""Thrust allocation: closed forms, brute force, symmetry, faults of the input."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from bathybore.base.errors import InputErrors
from bathybore.kernels import allocation
from bathybore.kernels.allocation import (
    PlaneForce,
    Sector,
    Thruster,
    allocate,
    capability_factor,
    switchboard_losses,
    thruster_losses,
    worst_single_loss,
)

PLACES = [(90, 0, "A"), (75, -8, "B"), (75, 8, "C"), (-90, 0, "A"), (-75, -8, "B"), (-75, 8, "C")]


def ship(*sectors: Sector) -> list[Thruster]:
    """Six thrusters on three boards; the sectors bar the first thruster."""
    return [
        Thruster(f"T{n}", x, y, 750e3, 4.5e6, board, sectors if n == 1 else ())
        for n, (x, y, board) in enumerate(PLACES, start=1)
    ]


def assert_balanced(answer: allocation.Allocation, demand: PlaneForce) -> None:
    assert answer.feasible
    assert answer.total.surge == pytest.approx(demand.surge, abs=1.0)
    assert answer.total.sway == pytest.approx(demand.sway, abs=1.0)
    assert answer.total.yaw == pytest.approx(demand.yaw, abs=100.0)
    assert all(use.share <= 1.0 + 1e-6 for use in answer.uses)


def test_fixed_thrusters_against_the_weighted_pseudo_inverse() -> None:
    """Fossen, Handbook of Marine Craft Hydrodynamics and Motion Control (2011), sec. 12.3.

    f = W^-1 T' (T W^-1 T')^-1 tau; two main screws 8 m off the centre line, two tunnels
    45 m ahead and abaft. The numbers (kN) were worked outside this project.
    """
    limit = {"max_thrust": 1e3, "max_power": 1e3}
    thrusters = [
        Thruster("starboard", 0.0, -8.0, **limit, fixed_axis=0.0, weight=1.0),
        Thruster("port", 0.0, 8.0, **limit, fixed_axis=0.0, weight=1.0),
        Thruster("bow", 45.0, 0.0, **limit, fixed_axis=math.pi / 2, weight=2.0),
        Thruster("stern", -45.0, 0.0, **limit, fixed_axis=math.pi / 2, weight=2.0),
    ]
    answer = allocate(thrusters, PlaneForce(100.0, 80.0, 900.0))
    got = [use.forward if n < 2 else use.port for n, use in enumerate(answer.uses)]
    expected = [53.34417092429169, 46.65582907570831, 49.40548072457037, 30.59451927542963]
    assert got == pytest.approx(expected, rel=1e-4, abs=0.002)


@pytest.mark.parametrize("seed", range(8))
def test_turning_thrusters_within_their_limits_against_the_pseudo_inverse(seed: int) -> None:
    rng = np.random.default_rng(seed)
    thrusters = [
        Thruster(f"T{n}", *rng.uniform(-90, 90, 2), 5e6, 4.5e6, weight=rng.uniform(0.5, 2.0))
        for n in range(5)
    ]
    demand = rng.normal(size=3) * [5e5, 5e5, 1e7]
    effect = np.zeros((3, 10))
    for n, one in enumerate(thrusters):
        effect[:, 2 * n] = [1.0, 0.0, -one.y]
        effect[:, 2 * n + 1] = [0.0, 1.0, one.x]
    inverse = np.diag(np.repeat([1.0 / one.weight for one in thrusters], 2))
    expected = inverse @ effect.T @ np.linalg.solve(effect @ inverse @ effect.T, demand)
    answer = allocate(thrusters, PlaneForce(*demand))
    got = np.array([[use.forward, use.port] for use in answer.uses]).ravel()
    np.testing.assert_allclose(got, expected, atol=20.0)


def test_one_thruster_on_the_axis_does_it_alone() -> None:
    one = [Thruster("T", 0.0, 0.0, 1e6, 5e6)]
    answer = allocate(one, PlaneForce(3e5, -4e5, 0.0))
    assert answer.uses[0].thrust == pytest.approx(5e5, rel=1e-6)
    assert answer.uses[0].direction == pytest.approx(math.atan2(-4.0, 3.0), abs=1e-6)
    assert answer.uses[0].power == pytest.approx(5e6 * 0.5**1.5, rel=1e-5)
    assert capability_factor(one, PlaneForce(-3e5, 4e5, 0.0)) == pytest.approx(2.0, rel=1e-6)


def test_symmetric_ship_shares_alike() -> None:
    answer = allocate(ship(), PlaneForce(1.2e6, 0.0, 0.0))
    assert_balanced(answer, PlaneForce(1.2e6, 0.0, 0.0))
    assert [use.forward for use in answer.uses] == pytest.approx([2e5] * 6, abs=5.0)


@settings(max_examples=25, deadline=None)
@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6), st.floats(-3e7, 3e7))
def test_mirrored_load_has_the_same_capability(surge: float, sway: float, yaw: float) -> None:
    load = PlaneForce(surge - 1e5, sway, yaw)
    mirrored = PlaneForce(surge - 1e5, -sway, -yaw)
    here = capability_factor(ship(), load)
    assert capability_factor(ship(), mirrored) == pytest.approx(here, rel=1e-5)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.booleans())
@example(810, True)  # stalls just before the end with the longest steps
def test_capability_is_the_edge_of_what_can_be_allocated(seed: int, limited: bool) -> None:
    rng = np.random.default_rng(seed)
    load = PlaneForce(*(rng.normal(size=3) * [1e6, 1e6, 3e7]))
    power = {"A": float(rng.uniform(1e6, 9e6)), "B": 5e6} if limited else None
    thrusters = ship(Sector(*rng.uniform(0.0, 2.0 * np.pi, 2)))
    factor = capability_factor(thrusters, load, power)
    inside = load.times(-0.999 * factor)
    answer = allocate(thrusters, inside, power)
    assert_balanced(answer, inside)
    for board, drawn in answer.power_by_switchboard().items():
        assert drawn <= (power or {}).get(board, math.inf) * (1.0 + 1e-5)
    assert not allocate(thrusters, load.times(-1.001 * factor), power).feasible


def test_just_at_the_edge_an_answer_is_given_either_way() -> None:
    load = PlaneForce(-5e5, 3e5, 5e6)
    factor = capability_factor(ship(), load)
    for nearness in (-1e-6, -1e-8, 0.0):
        demand = load.times(-factor * (1.0 + nearness))
        answer = allocate(ship(), demand)
        assert not answer.feasible or answer.total.surge == pytest.approx(demand.surge, rel=1e-5)
    assert not allocate(ship(), load.times(-factor * (1.0 + 1e-5))).feasible


def brute_capability(thrusters: list[Thruster], load: PlaneForce, directions: int) -> float:
    """Largest factor by linear programming over many allowed directions of each thruster."""
    from scipy.optimize import linprog

    columns, owners = [], []
    for owner, one in enumerate(thrusters):
        for angle in np.linspace(0.0, 2.0 * np.pi, directions, endpoint=False):
            if any(sector.holds(float(angle), 1e-9) for sector in one.excluded_sectors):
                continue
            forward, port = one.max_thrust * np.cos(angle), one.max_thrust * np.sin(angle)
            columns.append([forward, port, one.x * port - one.y * forward])
            owners.append(owner)
    matrix = np.column_stack([np.array(columns).T, [load.surge, load.sway, load.yaw]])
    rows = np.zeros((len(thrusters), len(columns) + 1))
    rows[owners, np.arange(len(columns))] = 1.0
    cost = np.zeros(len(columns) + 1)
    cost[-1] = -1.0
    scale = np.array([1e6, 1e6, 1e8])[:, None]
    solved = linprog(cost, rows, np.ones(len(thrusters)), matrix / scale, np.zeros(3))
    assert solved.success
    return float(solved.x[-1])


@pytest.mark.parametrize("seed", range(6))
def test_capability_against_many_directions(seed: int) -> None:
    rng = np.random.default_rng(seed)
    load = PlaneForce(*(rng.normal(size=3) * [1e6, 1e6, 3e7]))
    assert capability_factor(ship(), load) == pytest.approx(
        brute_capability(ship(), load, 720), rel=1e-4
    )


@pytest.mark.parametrize("seed", range(10))
def test_barred_sectors_against_every_combination_of_directions(seed: int) -> None:
    """Two thrusters with barred sectors and one free: a grid of directions, cost by cost."""
    rng = np.random.default_rng(seed)
    starts, widths = rng.uniform(0, 6, 2), rng.uniform(1, 3.5, 2)
    barred = [Sector(starts[n], starts[n] + widths[n]) for n in range(2)]
    thrusters = [
        Thruster("A", 40.0, 0.0, 1e6, 5e6, excluded_sectors=(barred[0],)),
        Thruster("B", -40.0, 0.0, 1e6, 5e6, excluded_sectors=(barred[1],)),
        Thruster("C", 0.0, 10.0, 1e6, 5e6),
    ]
    demand = PlaneForce(*(rng.normal(size=2) * 2e5), float(rng.normal()) * 5e6)
    best = math.inf
    angles = np.radians(np.arange(0.0, 360.0, 1.0))
    allowed = [[a for a in angles if not sector.holds(float(a), 1e-9)] for sector in barred]
    shares = np.linspace(0.0, 1.0, 201) ** 2  # finer where small thrusts matter
    # A freely on the grid, B by direction only: the moment then fixes B's thrust, C the rest
    a_angle, a_share = np.meshgrid(allowed[0], shares)
    a_forward, a_port = 1e6 * a_share * np.cos(a_angle), 1e6 * a_share * np.sin(a_angle)
    for angle in allowed[1]:
        cos, sin = math.cos(angle), math.sin(angle)
        # yaw: 40 Ay - 40 By - 10 Cx = N with Cx = X - Ax - Bx
        arm = -40.0 * sin + 10.0 * cos
        if abs(arm) < 1e-3:
            continue
        needed = demand.yaw - 40.0 * a_port + 10.0 * (demand.surge - a_forward)
        b = needed / arm
        c_forward = demand.surge - a_forward - b * cos
        c_port = demand.sway - a_port - b * sin
        fits = (b >= 0.0) & (b <= 1e6) & (np.hypot(c_forward, c_port) <= 1e6)
        if np.any(fits):
            cost = a_forward**2 + a_port**2 + b**2 + c_forward**2 + c_port**2
            best = min(best, float(np.min(cost[fits])))
    answer = allocate(thrusters, demand)
    if not answer.feasible:
        assert best == math.inf
        return
    assert_balanced(answer, demand)
    for use, sector in zip(answer.uses[:2], barred, strict=True):
        assert use.thrust < 2.0 or not sector.holds(use.direction, 2.0 / use.thrust)
    cost = sum(use.thrust**2 for use in answer.uses)
    # the grid can only be worse, and not by much
    assert cost <= best * (1.0 + 1e-6)
    assert cost >= best * 0.97


@pytest.mark.parametrize("limit", [7e6, 12e6])
def test_barred_sectors_on_a_board_that_gives_out_against_every_choice_of_pieces(
    limit: float,
) -> None:
    """Each choice of pieces is one convex problem: the best of all of them is the answer."""
    barred = [Sector(1.2, 2.2), Sector(4.0, 6.8), Sector(0.3, 0.9)]
    thrusters = [
        Thruster(f"T{n}", x, y, 750e3, 4.5e6, "A", (sector,))
        for n, (sector, (x, y)) in enumerate(
            zip(barred, ((80.0, 0.0), (-70.0, 9.0), (-70.0, -9.0)), strict=True)
        )
    ]
    program = allocation._Program(thrusters, {"A": limit})
    choices = [dict(enumerate(pieces)) for pieces in itertools.product(*program.pieces)]
    rng = np.random.default_rng(5)
    for load in rng.normal(size=(12, 3)) * [1e6, 1e6, 3e7]:
        force = PlaneForce(*load.tolist())
        found = [program.solve(force.times(-1.0), one, True) for one in choices]
        best = max(float(one[1][-1]) for one in found if one is not None)
        factor = capability_factor(thrusters, force, {"A": limit})
        assert factor == pytest.approx(best / program.load_scale(force), rel=1e-6, abs=1e-6)


def test_a_barred_sector_never_helps_and_the_opposite_one_does_not_matter() -> None:
    load = PlaneForce(-2e6, 0.0, 0.0)
    free = capability_factor(ship(), load)
    ahead, astern = Sector(-0.5, 0.5), Sector(math.pi - 0.5, math.pi + 0.5)
    assert capability_factor(ship(ahead), load) < free * (1.0 - 1e-3)
    assert capability_factor(ship(astern), load) == pytest.approx(free, rel=1e-6)


def test_sectors_that_meet_or_overlap_are_one() -> None:
    whole = Sector(-0.6, 0.9)
    parts = (Sector(-0.6, 0.2), Sector(0.2, 0.7), Sector(0.1, 0.9))
    load = PlaneForce(-1e6, 3e5, 2e6)
    assert capability_factor(ship(*parts), load) == pytest.approx(
        capability_factor(ship(whole), load), rel=1e-6
    )


def test_power_limit_bites_by_the_three_halves_law() -> None:
    one = [Thruster("T", 0.0, 0.0, 1e6, 8e6, "A")]
    load = PlaneForce(-1e6, 0.0, 0.0)
    # an eighth of the power gives a quarter of the thrust
    assert capability_factor(one, load, {"A": 1e6}) == pytest.approx(0.25, rel=1e-5)
    assert capability_factor(one, load, {"A": 9e6}) == pytest.approx(1.0, rel=1e-6)


def test_losses_worst_first_and_never_better_than_the_whole_ship() -> None:
    load = PlaneForce(-8e5, 6e5, 1e7)
    whole = capability_factor(ship(), load)
    single, boards = thruster_losses(ship(), load), switchboard_losses(ship(), load)
    for losses in (single, boards):
        left = [loss.capability_factor for loss in losses]
        assert left == sorted(left)
        assert all(factor <= whole * (1.0 + 1e-6) for factor in left)
    assert {loss.stopped for loss in boards} == {("T1", "T4"), ("T2", "T5"), ("T3", "T6")}
    worst = worst_single_loss(ship(), load)
    # a board takes two thrusters, so it is worse than either of them alone
    assert worst == boards[0]
    assert worst.capability_factor <= single[0].capability_factor
    assert capability_factor([t for t in ship() if t.name not in worst.stopped], load) == (
        pytest.approx(worst.capability_factor, rel=1e-9)
    )


def test_nothing_left_holds_nothing() -> None:
    assert capability_factor([], PlaneForce(1.0, 0.0, 0.0)) == 0.0
    assert not allocate([], PlaneForce(1.0, 0.0, 0.0)).feasible
    assert allocate([], PlaneForce(0.0, 0.0, 0.0)).feasible
    # one thruster off the axis cannot hold a force without turning the ship
    lone = [Thruster("T", 50.0, 0.0, 1e6, 5e6)]
    assert capability_factor(lone, PlaneForce(0.0, 1e5, 0.0)) == pytest.approx(0.0, abs=1e-5)
    assert not allocate(lone, PlaneForce(0.0, 1e5, 0.0)).feasible


def test_no_demand_no_thrust() -> None:
    answer = allocate(ship(), PlaneForce(0.0, 0.0, 0.0))
    assert all(use.thrust < 1.0 for use in answer.uses)
    assert PlaneForce(1.0, 2.0, 3.0).plus(PlaneForce(1.0, 1.0, 1.0)) == PlaneForce(2.0, 3.0, 4.0)


@pytest.mark.parametrize(
    ("thruster", "words"),
    [
        (Thruster("T", 0, 0, 0.0, 1e6), "not above zero"),
        (Thruster("T", 0, 0, 1e6, 1e6, weight=-1.0), "weight above zero"),
        (Thruster("T", 0, 0, 1e6, 1e6, "", (Sector(0, 1),), 0.0), "one or the other"),
        (Thruster("T", 0, 0, 1e6, 1e6, "", (Sector(1, 1),)), "two different angles"),
        (Thruster("T", 0, 0, 1e6, 1e6, "", (Sector(0, 4), Sector(3.9, 0.1))), "every direction"),
    ],
)
def test_thrusters_that_cannot_be(thruster: Thruster, words: str) -> None:
    with pytest.raises(InputErrors, match=words):
        allocate([thruster], PlaneForce(1.0, 0.0, 0.0))


def test_faults_of_ship_load_and_power_are_all_named() -> None:
    load = PlaneForce(1e5, 0.0, 0.0)
    with pytest.raises(InputErrors) as caught:
        thruster_losses([*ship(), ship()[0]], load, {"Z": 1e6, "A": 0.0})
    assert len(caught.value.faults) == 3
    with pytest.raises(InputErrors, match="no force at all"):
        capability_factor(ship(), PlaneForce(0.0, 0.0, 0.0))


def test_a_solver_that_gives_up_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    def lazy(*_: object) -> None:
        raise allocation.NotConverged("gave up")

    monkeypatch.setattr(allocation._Problem, "solve", lazy)
    with pytest.raises(allocation.NotConverged):
        allocate(ship(), PlaneForce(1e5, 0.0, 0.0))
