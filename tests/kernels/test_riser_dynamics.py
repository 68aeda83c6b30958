"""Riser as a beam, its modes, waves, vortices and hang-off, against closed forms and time."""

from __future__ import annotations

from dataclasses import replace
from math import inf, pi

import numpy as np
import pytest

from bathybore.base.errors import NotConverged
from bathybore.kernels.hang_off import hung_tension_response, recoil_rise, recoil_speed
from bathybore.kernels.lateral_pile import beam_elements
from bathybore.kernels.riser_modes import (
    axial_modes,
    bending_modes,
    hanging_string_frequency,
    tensioned_beam_frequency,
)
from bathybore.kernels.riser_shape import (
    hung_riser_axial_period,
    lower_flex_joint_angle,
    tensioned_beam_sag,
    tensioned_string_end_slope,
)
from bathybore.kernels.riser_waves import (
    InWater,
    Seaway,
    horizontal_response,
    linear_drag_velocity,
    mean_squared_flow,
    sway_in_waves,
)
from bathybore.kernels.tensioned_beam import (
    HUNG,
    Ends,
    bands_of,
    bent_beam,
    consistent_load,
    gathered,
    graded_nodes,
    mass_elements,
    times_bands,
    turned_by_springs,
)
from bathybore.kernels.vortex_vibration import cycles_to_failure, vibrate
from bathybore.kernels.waves import jonswap_spectral_density, pierson_moskowitz_spectral_density

HINGED = Ends()
LENGTH, TENSION, STIFFNESS, MASS = 1500.0, 3e6, 4e8, 2500.0


def _even(count: int = 300, length: float = LENGTH) -> np.ndarray:
    return np.linspace(0.0, length, count + 1)


# ---- the static shape ------------------------------------------------------------------------


def test_hinged_beam_in_tension_sags_as_the_tie_rod() -> None:
    shape = bent_beam(
        _even(), np.array([STIFFNESS]), np.array([TENSION]), np.array([300.0]), HINGED, "beam"
    )
    sag = tensioned_beam_sag(300.0, LENGTH, TENSION, STIFFNESS)
    assert shape.displacement[150] == pytest.approx(sag, rel=1e-6)


def test_beam_without_tension_sags_as_the_beam() -> None:
    shape = bent_beam(_even(20), np.array([1e9]), np.array([0.0]), np.array([5.0]), HINGED, "beam")
    assert shape.displacement[10] == pytest.approx(5.0 * 5.0 * LENGTH**4 / (384.0 * 1e9), rel=1e-9)


def test_offset_alone_leaves_a_straight_line_and_layers_at_upright_ends() -> None:
    ends = Ends(top=60.0, top_turning=inf, foot_turning=inf)
    nodes = graded_nodes(np.array([0.0, LENGTH]), 0.3, 10.0)
    shape = bent_beam(
        nodes, np.array([STIFFNESS]), np.array([TENSION]), np.array([0.0]), ends, "riser"
    )
    layer = np.sqrt(STIFFNESS / TENSION)  # the end straightens as exp(-z / layer)
    slope = -60.0 / (LENGTH - 2.0 * layer)
    assert shape.rotation[np.argmin(np.abs(nodes - 750.0))] == pytest.approx(slope, rel=1e-6)
    near = np.argmin(np.abs(nodes - layer))
    expected = slope * (1.0 - np.exp(-nodes[near] / layer))
    assert shape.rotation[near] == pytest.approx(expected, rel=1e-5)
    assert abs(shape.curvature[0, 0]) == pytest.approx(abs(slope) / layer, rel=1e-3)


def test_ends_turned_by_springs_keep_the_balance_of_moments() -> None:
    spring = 4e6
    ends = Ends(top=30.0, top_turning=spring, foot_turning=spring)
    nodes = graded_nodes(np.array([0.0, LENGTH]), 0.1, 10.0)
    shape = bent_beam(
        nodes, np.array([STIFFNESS]), np.array([TENSION]), np.array([0.0]), ends, "riser"
    )
    moment = STIFFNESS * shape.curvature[0, 0]
    assert moment == pytest.approx(spring * shape.rotation[0], rel=1e-4)
    layer = np.sqrt(STIFFNESS / TENSION)
    slope = -30.0 / (LENGTH - 2.0 * layer * (1.0 - 1.0 / (1.0 + spring * layer / STIFFNESS)))
    share = 1.0 / (1.0 + spring * layer / STIFFNESS)  # of the slope left at the joint
    assert shape.rotation[0] == pytest.approx(slope * share, rel=1e-3)


def test_a_weighty_riser_without_stiffness_turns_at_its_foot_as_the_string_does() -> None:
    length, foot, weight = 2500.0, 1.5e6, 1500.0
    nodes = graded_nodes(np.array([0.0, length]), 0.2, 10.0)
    up = length - 0.5 * (nodes[1:] + nodes[:-1])
    load = 20.0 + (300.0 - 20.0) * up / length
    shape = bent_beam(nodes, np.array([1e4]), foot + weight * up, load, Ends(top=50.0), "riser")
    angle = lower_flex_joint_angle(length, foot, weight, 300.0, 20.0, 50.0)
    assert -shape.rotation[-1] == pytest.approx(angle, rel=2e-4)


def test_realisations_side_by_side_are_as_each_alone() -> None:
    tension, offset = np.array([[2e6], [3e6]]), np.array([10.0, 40.0])
    both = bent_beam(
        _even(40), np.array([STIFFNESS]), tension, np.array([100.0]), Ends(top=offset), "riser"
    )
    for row in range(2):
        alone = bent_beam(
            _even(40), np.array([STIFFNESS]), tension[row], np.array([100.0]),
            Ends(top=float(offset[row])), "riser",
        )  # fmt: skip
        assert both.displacement[row] == pytest.approx(alone.displacement, rel=1e-12)


def test_what_buckles_is_refused() -> None:
    euler = pi**2 * STIFFNESS / LENGTH**2
    loads = np.array([STIFFNESS]), np.array([-1.01 * euler]), np.array([1.0])
    with pytest.raises(NotConverged, match="buckles"):
        bent_beam(_even(50), *loads, HINGED, "riser")
    bent_beam(_even(50), loads[0], 0.99 / 1.01 * loads[1], loads[2], HINGED, "riser")


# ---- modes -----------------------------------------------------------------------------------


def test_modes_of_the_hinged_beam_in_tension() -> None:
    modes = bending_modes(
        _even(), np.array([STIFFNESS]), np.array([TENSION]), np.array([MASS]), HINGED, 20
    )
    exact = tensioned_beam_frequency(np.arange(1.0, 21.0), LENGTH, TENSION, STIFFNESS, MASS)
    assert modes.frequency == pytest.approx(exact, rel=1e-6)
    assert modes.residual < 1e-6
    sine = np.sin(3.0 * pi * _even() / LENGTH)
    assert np.abs(modes.shape[2]) == pytest.approx(np.abs(sine), abs=1e-5)
    assert np.abs(modes.curvature[2]).max() == pytest.approx((3.0 * pi / LENGTH) ** 2, rel=1e-3)


def test_modes_of_a_hanging_string_follow_the_zeros_of_bessel() -> None:
    """Stiffness goes to nothing: a graded foot, where tension does."""
    length, weight, mass = 2000.0, 600.0, 120.0
    nodes = graded_nodes(np.array([0.0, length]), 0.5, 8.0)
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    ends = replace(HUNG, top_turning=0.0)
    modes = bending_modes(
        nodes, np.array([100.0]), weight * (length - middle), np.array([mass]), ends, 5
    )
    exact = hanging_string_frequency(np.arange(1.0, 6.0), length, weight, mass)
    assert modes.frequency == pytest.approx(exact, rel=2e-3)


def test_modes_are_orthogonal_in_mass() -> None:
    nodes = _even(200)
    mass = np.linspace(2000.0, 3000.0, 200)
    modes = bending_modes(nodes, np.array([STIFFNESS]), np.array([TENSION]), mass, HINGED, 6)
    at_nodes = np.interp(nodes, 0.5 * (nodes[1:] + nodes[:-1]), mass)
    product = np.trapezoid(modes.shape[:, None] * modes.shape[None] * at_nodes, nodes)
    size = np.sqrt(np.diag(product))
    assert np.abs(product / np.outer(size, size) - np.eye(6)).max() < 1e-3


def test_axial_modes_of_a_bar_with_a_mass_at_its_foot() -> None:
    length, mass, elastic, foot = 3000.0, 1000.0, 6e9, 250e3
    found, _ = axial_modes(_even(400, length), elastic, mass, foot, 3)
    exact = 2.0 * pi / float(hung_riser_axial_period(length, mass, elastic, foot))
    assert found[0] == pytest.approx(exact, rel=1e-5)


# ---- waves -----------------------------------------------------------------------------------


def test_linear_drag_has_its_two_limits() -> None:
    assert linear_drag_velocity(0.0, 0.7) == pytest.approx(np.sqrt(8.0 / pi) * 0.7)
    assert linear_drag_velocity(1.5, 1e-6) == pytest.approx(3.0)
    assert mean_squared_flow(1.5, 1e-6) == pytest.approx(2.25)
    assert mean_squared_flow(0.0, 0.7) == 0.0


def test_linear_drag_by_brute_force() -> None:
    u = np.linspace(-8.0, 9.0, 400001)
    bell = np.exp(-0.5 * ((u - 0.5) / 0.8) ** 2)
    bell /= np.trapezoid(bell, u)
    mean = np.trapezoid(u * np.abs(u) * bell, u)
    slope = np.trapezoid(u * np.abs(u) * (u - 0.5) * bell, u) / 0.8**2
    assert mean_squared_flow(0.5, 0.8) == pytest.approx(mean, rel=1e-8)
    assert linear_drag_velocity(0.5, 0.8) == pytest.approx(slope, rel=1e-8)


def test_a_hull_goes_with_the_water_in_long_waves_and_stands_still_in_short_ones() -> None:
    ship = (0.3, 210.0, 38.0, 9.5)
    assert horizontal_response(0.05, *ship) == pytest.approx(1.0, abs=2e-3)
    assert horizontal_response(2.5, *ship) < 0.02


def _riser(current: float = 0.0) -> InWater:
    nodes = graded_nodes(np.array([-25.0, 0.0, 600.0]), 1.0, 12.0)
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    wet = middle > 0.0
    return InWater(
        depth=nodes,
        bending_stiffness=np.full(len(middle), STIFFNESS),
        tension=1.5e6 + 1200.0 * (600.0 - middle),
        linear_mass=np.full(len(middle), 1300.0),
        added_mass=np.where(wet, 1500.0, 0.0),
        pushed_mass=np.where(wet, 3000.0, 0.0),
        drag=np.where(wet, 0.5 * 1025.0 * 1.2 * 1.37, 0.0),
        current=np.where(nodes >= 0.0, current * np.exp(-np.maximum(nodes, 0.0) / 200.0), 0.0),
    )


def _seaway(height: float, count: int = 60) -> Seaway:
    frequency = np.linspace(0.3, 1.9, count)
    power = jonswap_spectral_density(frequency, height, 11.0, 1.5)
    return Seaway(
        frequency,
        np.asarray(power),
        np.array([[-1j], [0.0]]) * horizontal_response(frequency, 0.2, 210.0, 38.0, 9.5),
        np.zeros((2, count), dtype=complex),
    )


JOINTS = Ends(top_turning=1.5e6, foot_turning=4e6)


def test_waves_push_little_where_there_are_hardly_any() -> None:
    """With next to no water speed the drag is that of the current: all goes with the height."""
    small = sway_in_waves(_riser(0.8), JOINTS, _seaway(0.02))
    smaller = sway_in_waves(_riser(0.8), JOINTS, _seaway(0.01))
    assert small.foot_angle == pytest.approx(2.0 * smaller.foot_angle, rel=0.02)


def test_a_riser_without_water_sways_alike_to_all_sides() -> None:
    """Nothing tells one side from another but the water: the sway turns with the vessel's."""
    dry, sea = replace(_riser(), drag=np.zeros_like(_riser().drag),
                       pushed_mass=np.zeros_like(_riser().drag)), _seaway(4.5)  # fmt: skip
    shift, lean = sea.shift[0], 0.01j * np.ones(len(sea.frequency))
    found = []
    for turn in (0.0, 0.7, 0.5 * pi):
        way = np.array([[np.cos(turn)], [np.sin(turn)]])
        found.append(sway_in_waves(dry, JOINTS, replace(sea, shift=way * shift, lean=way * lean)))
    for one in found[1:]:
        assert one.foot_angle == pytest.approx(found[0].foot_angle, rel=1e-9)
        assert one.top_angle == pytest.approx(found[0].top_angle, rel=1e-9)
        assert one.curvature == pytest.approx(found[0].curvature, rel=1e-9)


def test_what_goes_across_adds_and_is_braked_by_half_of_what_brakes_along() -> None:
    riser, sea = _riser(0.6), _seaway(4.5)
    aside = replace(sea, shift=sea.shift + np.array([[0.0], [0.5]]))
    plain, both = (sway_in_waves(riser, JOINTS, one) for one in (sea, aside))
    assert (both.displacement[1:-1] > plain.displacement[1:-1]).all()
    assert both.mean_flow == pytest.approx(plain.mean_flow, rel=1e-12)
    harder = sway_in_waves(replace(riser, drag=2.0 * riser.drag), JOINTS, aside)
    assert harder.displacement[20] < both.displacement[20]


def test_a_heavy_drag_spares_the_foot() -> None:
    riser, sea = _riser(), _seaway(4.5)
    plain = sway_in_waves(riser, JOINTS, sea)
    braked = sway_in_waves(replace(riser, drag=3.0 * riser.drag), JOINTS, sea)
    assert braked.foot_angle < plain.foot_angle


@pytest.mark.parametrize("current", [pytest.param(0.0, marks=pytest.mark.soak), 0.6])
def test_frequency_domain_agrees_with_the_march_in_time(current: float) -> None:
    """The same elements with the square of the flow, by Newmark's rule, without the slow beat.

    Waves in a current also push at the slow beat of their groups, which a linear drag leaves
    out: the sway has it, the angles hardly.
    """
    riser, sea = _riser(current), _seaway(4.5)
    linear = sway_in_waves(riser, JOINTS, sea)
    marched = _marched(riser, JOINTS, sea, 1500.0, 0.25)
    node = len(marched[0]) // 4
    foot, middle = marched[:, -1], marched[:, 2 * node]
    assert linear.foot_angle == pytest.approx(foot.std(), rel=0.12)
    assert linear.foot_angle == pytest.approx(_quick(foot, 0.25), rel=0.1)
    assert linear.displacement[node] == pytest.approx(_quick(middle, 0.25), rel=0.1)
    still = bent_beam(
        riser.depth, riser.bending_stiffness, riser.tension,
        riser.drag * 0.5 * (linear.mean_flow[1:] + linear.mean_flow[:-1]), JOINTS, "riser",
    )  # fmt: skip
    lean = np.abs(still.rotation[-1])
    assert lean == pytest.approx(abs(foot.mean()), abs=0.1 * foot.std() + 0.05 * lean)


def _quick(series: np.ndarray, step: float) -> float:
    """Return the standard deviation of what is quicker than 25 s."""
    part = np.fft.rfft(series - series.mean())
    part[2.0 * pi * np.fft.rfftfreq(len(series), step) < 0.25] = 0.0
    return float(np.fft.irfft(part, len(series)).std())


def _marched(riser: InWater, ends: Ends, sea: Seaway, span: float, step: float) -> np.ndarray:
    """Return displacement and rotation of the nodes in time, drag as the square of the flow."""
    from scipy.linalg import solve_banded

    length = np.diff(riser.depth)
    stiff = _full(turned_by_springs(
        bands_of(beam_elements(length, riser.bending_stiffness, -riser.tension)), ends
    ))  # fmt: skip
    heavy = _full(bands_of(mass_elements(length, riser.linear_mass + riser.added_mass)))
    chance = np.random.default_rng(7)
    phase = chance.uniform(0.0, 2.0 * pi, len(sea.frequency))
    width = np.gradient(sea.frequency)
    # a grid of even steps repeats itself: shake it
    omega = sea.frequency + width * chance.uniform(-0.4, 0.4, len(phase))
    size = np.sqrt(2.0 * sea.power * width)
    below = np.maximum(riser.depth, 0.0)
    fall = np.where(riser.depth >= 0.0, np.exp(-(omega[:, None] ** 2) / 9.80665 * below), 0.0)
    beta, gamma = 0.25, 0.5
    free = np.r_[1 : 2 * len(riser.depth) - 2, 2 * len(riser.depth) - 1]
    effective = stiff + heavy / (beta * step**2)
    inner = effective[np.ix_(free, free)]
    bands = np.zeros((7, len(free)))
    for off in range(-3, 4):
        bands[3 - off, max(off, 0) : len(free) + min(off, 0)] = np.diagonal(inner, off)
    y, v, a = (np.zeros(stiff.shape[0]) for _ in range(3))
    kept = []
    for index in range(int(span / step)):
        time = (index + 1) * step
        turn = size * np.exp(1j * (omega * time + phase))
        ramp = min(time / 60.0, 1.0)
        flow = ramp * (np.real(turn * omega) @ fall) + riser.current
        spurt = ramp * (np.real(1j * turn * omega**2) @ fall)
        shift = ramp * float(np.real(turn @ sea.shift[0]))
        velocity = v[0::2]
        for _ in range(3):
            past = np.where(riser.depth >= 0.0, flow - velocity, 0.0)
            pull = past * np.abs(past)
            push = riser.drag * 0.5 * (pull[1:] + pull[:-1])
            push = push + riser.pushed_mass * 0.5 * (spurt[1:] + spurt[:-1])
            force = gathered(consistent_load(push, length))
            right = force + heavy @ (
                y / (beta * step**2) + v / (beta * step) + (0.5 / beta - 1.0) * a
            )
            found = np.zeros_like(y)
            found[0] = shift
            found[free] = solve_banded((3, 3), bands, right[free] - effective[free, 0] * shift)
            swift = gamma / (beta * step) * (found - y) + (1.0 - gamma / beta) * v
            swift = swift + step * (1.0 - 0.5 * gamma / beta) * a
            velocity = swift[0::2]
        quick = (found - y) / (beta * step**2) - v / (beta * step) - (0.5 / beta - 1.0) * a
        y, v, a = found, swift, quick
        if time > 300.0:
            kept.append(y)
    return np.array(kept)


def _full(bands: np.ndarray) -> np.ndarray:
    size = bands.shape[-1]
    return np.array([times_bands(bands, row) for row in np.eye(size)])


# ---- vortices --------------------------------------------------------------------------------


def test_a_whole_mode_that_locks_in_swings_as_griffin_says_and_none_in_still_water() -> None:
    nodes = _even(200)
    modes = bending_modes(
        nodes, np.array([STIFFNESS]), np.array([TENSION]), np.array([MASS]), HINGED, 4
    )
    speed = float(modes.frequency[1]) / (2.0 * pi) * 1.3 / 0.2
    whole = vibrate(modes, nodes, np.full(201, MASS), np.full(201, speed), 1.3, 1025.0, 0.2)
    assert whole.share[1] == pytest.approx(1.0)
    assert whole.damping[1] == pytest.approx(0.003)
    # half waves of a string: the factor is sqrt(4/3), and little damping hardly tells
    factor = 1.29 * np.sqrt(4.0 / 3.0)
    assert 0.9 * factor < whole.amplitude[1] < factor
    still = vibrate(modes, nodes, np.full(201, MASS), np.zeros(201), 1.3, 1025.0, 0.2)
    assert (still.amplitude == 0.0).all()
    assert (still.bending == 0.0).all()


def test_less_of_a_mode_driven_swings_less() -> None:
    nodes = _even(200)
    modes = bending_modes(
        nodes, np.array([STIFFNESS]), np.array([TENSION]), np.array([MASS]), HINGED, 4
    )
    speed = float(modes.frequency[3]) / (2.0 * pi) * 1.3 / 0.2
    shares, swings = [], []
    for reach in (1500.0, 700.0, 200.0):
        current = np.where(nodes <= reach, speed, 0.1 * speed)
        found = vibrate(modes, nodes, np.full(201, MASS), current, 1.3, 1025.0, 0.2)
        shares.append(found.share[3])
        swings.append(found.amplitude[3])
    assert shares == sorted(shares, reverse=True)
    assert swings == sorted(swings, reverse=True)


def test_the_two_slopes_of_the_weld_meet_at_a_million_cycles() -> None:
    at_knee = 10.0 ** ((11.764 - 6.0) / 3.0) * 1e6
    assert cycles_to_failure(at_knee) == pytest.approx(1e6, rel=1e-2)
    assert cycles_to_failure(2.0 * at_knee) == pytest.approx(1e6 / 8.0, rel=1e-2)
    assert cycles_to_failure(0.5 * at_knee) == pytest.approx(32e6, rel=1e-2)


# ---- hang-off and recoil -----------------------------------------------------------------------

HUNG_RISER = (2500.0, 1500.0, 7e9, 150e3)


def test_a_slow_heave_lifts_the_whole_mass_and_shares_it_down_the_riser() -> None:
    omega = 0.02
    top = hung_tension_response(0.0, omega, *HUNG_RISER, 1e-4)
    foot = hung_tension_response(2500.0, omega, *HUNG_RISER, 1e-4)
    assert top == pytest.approx(omega**2 * (150e3 + 1500.0 * 2500.0), rel=1e-3)
    assert foot == pytest.approx(omega**2 * 150e3, rel=1e-3)


def test_hung_riser_resonates_at_its_axial_period() -> None:
    period = float(hung_riser_axial_period(*HUNG_RISER))
    omega = 2.0 * pi / period * np.array([0.9, 1.0, 1.1])
    response = hung_tension_response(0.0, omega, *HUNG_RISER, 0.01)
    assert response[1] > 5.0 * max(response[0], response[2])


def test_hung_riser_driven_at_its_top_agrees_with_its_elements() -> None:
    """The same bar in a thousand lumps, solved as linear equations."""
    length, mass, elastic, foot = HUNG_RISER
    omega, damping, count = 0.8, 0.02, 1000
    spring = elastic * (1.0 + 2.0j * damping) / (length / count)
    lumps = np.full(count, mass * length / count)
    lumps[-1] = 0.5 * lumps[-1] + foot
    middle = 2.0 * spring - omega**2 * lumps
    middle[-1] = spring - omega**2 * lumps[-1]
    from scipy.linalg import solve_banded

    bands = np.zeros((3, count), dtype=complex)
    bands[0, 1:], bands[1], bands[2, :-1] = -spring, middle, -spring
    moved = solve_banded((1, 1), bands, np.r_[spring, np.zeros(count - 1)])
    tension = np.abs(spring * (moved[500] - moved[499]))
    there = 499.5 * length / count + 0.5 * length / count
    assert hung_tension_response(there, omega, *HUNG_RISER, damping) == pytest.approx(
        tension, rel=1e-3
    )


def test_recoil_is_an_impulse_and_then_a_throw() -> None:
    force, time, mass, weight = 4e6, 1.0, 3.5e6, 4e6
    speed = force * time / mass
    height = 0.5 * speed * time + 0.5 * speed**2 * mass / weight
    assert recoil_rise(force, time, mass, weight) == pytest.approx(height, rel=1e-12)
    assert recoil_speed(force, 1500.0, 7e9) == pytest.approx(force / np.sqrt(1500.0 * 7e9))


def test_spectrum_and_string_of_these_tests_are_the_textbook_ones() -> None:
    frequency = np.linspace(0.2, 6.0, 20001)
    variance = np.trapezoid(pierson_moskowitz_spectral_density(frequency, 4.0, 10.0), frequency)
    assert 4.0 * np.sqrt(variance) == pytest.approx(4.0, rel=1e-3)
    assert tensioned_string_end_slope(300.0, LENGTH, TENSION) == pytest.approx(0.075)
