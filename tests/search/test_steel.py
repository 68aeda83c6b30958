"""The lightest string: its ranges against the criteria, the search against every string."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise, permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bathybore.base.arrays import Array
from bathybore.kernels.tubular_collapse import collapse_pressure_under_tension
from bathybore.kernels.tubular_stress import axial_stress_of_force, triaxial_equivalent_stress
from bathybore.search.steel import (
    Candidate,
    Factors,
    Length,
    Loads,
    Ranges,
    lightest,
    tension_ranges,
    why_none,
)
from varied import made_cases

FACTORS = Factors(burst=1.1, collapse=1.1, triaxial=1.25)
BURST = ("triaxial", "burst")


def pipe(
    name: str, wall: float, strength: float, nodes: int = 2, weight: float = 800.0
) -> Candidate:
    outside = 0.3397
    return Candidate(
        name=name,
        outside_diameter=outside,
        inside_diameter=outside - 2 * wall,
        wall=wall,
        weight_per_length=weight,
        yield_strength=np.full(nodes, strength),
        tension_limit=9e6,
        stock=1e5,
    )


def over(value: float, nodes: int = 2) -> Array:
    return np.full(nodes, value)


@pytest.mark.parametrize(("inside", "outside"), [(60e6, 20e6), (20e6, 45e6), (30e6, 30e6)])
def test_at_the_ends_of_a_range_the_stress_is_all_that_is_allowed(
    inside: float, outside: float
) -> None:
    one = pipe("p", 0.0122, 758e6)
    case = Loads(
        "some",
        over(inside),
        over(outside),
        ("triaxial", "burst" if inside > outside else "collapse"),
    )
    ranges = tension_ranges([one], [case], FACTORS)
    at = ranges.cases.index("triaxial-some")
    for end in (ranges.low[at, 0, 0], ranges.high[at, 0, 0]):
        # the definition of effective tension, once more and by hand
        force = end + np.pi / 4 * (
            inside * one.inside_diameter**2 - outside * one.outside_diameter**2
        )
        stress = triaxial_equivalent_stress(one.outside_diameter, one.wall, force, inside, outside)
        assert stress == pytest.approx(
            758e6 / 1.25, rel=1e-3
        )  # mean area of one, true of the other


@pytest.mark.parametrize("change", [-40.0, 0.0, 60.0])
def test_at_the_ends_of_its_range_a_warmed_or_cooled_joint_bears_just_its_strength(
    change: float,
) -> None:
    one = replace(
        pipe("p", 0.0122, 700e6), cold_yield=758e6, joint_tension=5e6, joint_compression=3e6
    )
    case = Loads(
        "warmed",
        over(30e6),
        over(25e6),
        ("axial",),
        over(28e6),
        over(26e6),
        over(change),
        over(0.9),
    )
    ranges = tension_ranges([one], [case], FACTORS)
    at = ranges.cases.index("axial-warmed")
    area = np.pi / 4 * (one.outside_diameter**2 - one.inside_diameter**2)
    bore, around = (np.pi / 4 * d**2 for d in (one.inside_diameter, one.outside_diameter))
    keeps = 0.9 * 700e6 / 758e6
    for end, bears in ((ranges.high, 5e6), (ranges.low, -3e6)):
        # once more and by hand: placed force, ballooning, heat
        force = end[at, 0, 0] + 28e6 * bore - 26e6 * around
        force += 0.6 * (2e6 * bore + 1e6 * around)
        force -= 30e6 * 6894.757293168361 * 1.245e-5 * change * area
        assert force == pytest.approx(bears * keeps, rel=1e-9)


def test_a_weak_connection_asks_as_much_more_of_the_body() -> None:
    weak = replace(pipe("p", 0.0122, 552e6), burst_efficiency=0.8, collapse_efficiency=0.8)
    full = pipe("p", 0.0122, 552e6)
    for inside, outside, kind in ((40e6, 20e6, "burst"), (20e6, 30e6, "collapse")):
        more = 1.0 / 0.8
        case = Loads("c", over(inside), over(outside), (kind,))
        factors = replace(FACTORS, burst=more * FACTORS.burst, collapse=more * FACTORS.collapse)
        one = tension_ranges([weak], [case], FACTORS)
        other = tension_ranges([full], [case], factors)
        assert np.array_equal(one.high, other.high)


def test_collapse_holds_up_to_the_end_of_its_range_and_not_beyond() -> None:
    one = pipe("p", 0.0122, 552e6)
    inside, outside = 20e6, 33e6
    ranges = tension_ranges(
        [one], [Loads("lost", over(inside), over(outside), ("collapse",))], FACTORS
    )
    end = ranges.high[ranges.cases.index("collapse-lost"), 0, 0]
    assert np.isfinite(end)
    pressure = np.pi / 4 * (inside * one.inside_diameter**2 - outside * one.outside_diameter**2)
    for change, holds in ((-1e3, True), (1e3, False)):
        stress = axial_stress_of_force(end + pressure + change, one.outside_diameter, one.wall)
        resists = collapse_pressure_under_tension(
            one.outside_diameter, one.wall, 552e6, stress, inside
        )
        assert (resists >= 1.1 * (outside - inside)) is np.bool_(holds)


def test_burst_takes_all_tensions_or_none() -> None:
    weak, strong = pipe("weak", 0.0109, 379e6), pipe("strong", 0.0140, 862e6)
    case = Loads("kick", over(60e6), over(25e6), BURST)
    ranges = tension_ranges([weak, strong], [case], FACTORS)
    at = ranges.cases.index("burst-kick")
    assert ranges.low[at, 0, 0] > ranges.high[at, 0, 0]
    assert (ranges.low[at, 1, 0], ranges.high[at, 1, 0]) == (-np.inf, np.inf)


def test_once_held_pressure_inside_balloons_the_pipe_into_tension() -> None:
    one = pipe("p", 0.0122, 758e6)
    free = Loads("free", over(60e6), over(20e6), BURST)
    held = Loads("held", over(60e6), over(20e6), BURST, over(20e6), over(20e6))
    both = tension_ranges([one], [free, held], FACTORS)
    high = dict(zip(both.cases, both.high[:, 0, 0], strict=True))
    added = 40e6 * np.pi / 4 * one.inside_diameter**2
    # hanging free takes all of the end force, held ends 2 nu of it (Poisson's ratio 0.3)
    assert high["triaxial-held"] - high["triaxial-free"] == pytest.approx((1 - 0.6) * added)


def every_string(
    z: Array, pipes: list[Candidate], ranges: Ranges, factors: Factors
) -> float | None:
    """Return the weight of the lightest string by trying them all, node by node."""
    nodes, best = len(z), None
    shortest = min(factors.shortest_length, float(z[-1] - z[0]))
    for count in range(1, factors.most_lengths + 1):
        for cuts in combinations(range(1, nodes - 1), count - 1):
            ends = [0, *cuts, nodes - 1]
            for order in permutations(range(len(pipes)), count):
                tension, good = 0.0, True
                for length in reversed(range(count)):
                    one, top, foot = pipes[order[length]], ends[length], ends[length + 1]
                    long = float(z[foot] - z[top])
                    good &= shortest <= long <= one.stock
                    for node in range(foot, top - 1, -1):
                        t = tension + one.weight_per_length * (z[foot] - z[node])
                        low, high = (
                            ranges.low[:, order[length], node],
                            ranges.high[:, order[length], node],
                        )
                        good &= bool(np.all((low <= t) & (t <= high)))
                    tension += one.weight_per_length * long
                if good and (best is None or tension < best):
                    best = tension
    return best


def weight(z: Array, pipes: list[Candidate], lengths: tuple[Length, ...]) -> float:
    return sum(
        pipes[one.pipe].weight_per_length * float(z[one.bottom] - z[one.top]) for one in lengths
    )


@st.composite
def small_cases(draw: st.DrawFn) -> tuple[Array, list[Candidate], Ranges, Factors]:
    nodes, count = draw(st.integers(2, 6)), draw(st.integers(1, 3))
    steps = draw(st.lists(st.integers(30, 120), min_size=nodes - 1, max_size=nodes - 1))
    z = np.concatenate([[0.0], np.cumsum(steps)]).astype(float)
    pipes = [
        Candidate(str(i), 0.3, 0.28, 0.01, float(draw(st.integers(5, 12))), z, 1.0, stock)
        for i, stock in enumerate(
            draw(st.lists(st.sampled_from([150.0, 300.0, 1e4]), min_size=count, max_size=count))
        )
    ]
    high = draw(
        st.lists(
            st.sampled_from([-1.0, 400.0, 1000.0, 2500.0, 1e5]),
            min_size=2 * count * nodes,
            max_size=2 * count * nodes,
        )
    )
    most = np.array(high).reshape(2, count, nodes)
    ranges = Ranges(("one", "other"), np.full_like(most, -1.0), most)
    return z, pipes, ranges, Factors(1, 1, 1, shortest_length=50.0, most_lengths=3)


@settings(max_examples=made_cases(2.0))
@given(small_cases())
def test_no_string_is_lighter_and_none_is_missed(
    case: tuple[Array, list[Candidate], Ranges, Factors],
) -> None:
    z, pipes, ranges, factors = case
    best = every_string(z, pipes, ranges, factors)
    found = lightest(z, pipes, ranges, factors)
    if best is None:
        assert found is None
    else:
        assert found is not None
        assert weight(z, pipes, found) == pytest.approx(best)
        assert found[0].top == 0
        assert found[-1].bottom == len(z) - 1
        assert all(a.bottom == b.top for a, b in pairwise(found))


def test_where_every_pipe_fails_is_told_with_its_case() -> None:
    z = np.array([0.0, 500.0, 1000.0])
    pipes = [pipe("a", 0.0122, 552e6, 3), pipe("b", 0.0122, 758e6, 3)]
    high = np.full((2, 2, 3), 1e7)
    high[1, :, 1] = 100.0  # in the second case nothing holds at 500 m
    ranges = Ranges(("running", "collapse-lost"), np.full_like(high, -np.inf), high)
    assert lightest(z, pipes, ranges, FACTORS) is None
    closed = why_none(z, pipes, ranges, FACTORS)
    assert (closed.node, closed.reasons) == (1, ("collapse-lost", "collapse-lost"))
