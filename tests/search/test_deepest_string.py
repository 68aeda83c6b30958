"""The deepest string, against every order of pipes solved as a linear programme."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations, product
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from bathybore.search.string_reach import Deepest, Offer, deepest, deepest_that_fits, without_end
from varied import made_cases

PIPES = st.lists(
    st.builds(
        Offer,
        name=st.just("pipe"),
        weight=st.floats(50.0, 900.0),
        bears=st.floats(1e5, 5e6),
        length=st.floats(100.0, 8000.0),
    ),
    min_size=1,
    max_size=3,
)


def by_every_order(offers: list[Offer], below: float, hoist: float) -> float:
    """Return the greatest length over all orders, each with the best lengths in that order."""
    best = 0.0
    for order in permutations(offers):
        weights = np.array([one.weight for one in order])
        sums = np.tril(np.ones((len(order), len(order)))) * weights
        room = np.array([min(one.bears, hoist) - below for one in order])
        # a pipe that is not used limits nothing: try every choice of those in use
        for used in product((False, True), repeat=len(order)):
            chosen = np.flatnonzero(used)
            if not chosen.size or (room[chosen] < 0.0).any():
                continue
            bounds = [
                (0.0, one.length if use else 0.0) for one, use in zip(order, used, strict=True)
            ]
            found = linprog(-np.ones(len(order)), sums[chosen], room[chosen], bounds=bounds)
            assert found.success
            best = max(best, -float(found.fun))
    return best


@settings(max_examples=made_cases(0.7))
@given(PIPES, st.floats(0.0, 4e5), st.floats(5e5, 6e6))
def test_no_order_and_no_lengths_reach_deeper(
    offers: list[Offer], below: float, hoist: float
) -> None:
    assert deepest(offers, below, hoist).length == pytest.approx(
        by_every_order(offers, below, hoist), rel=1e-6, abs=1e-3
    )


@given(PIPES, st.floats(0.0, 4e5), st.floats(5e5, 6e6))
def test_what_is_found_can_be_hung(offers: list[Offer], below: float, hoist: float) -> None:
    found = deepest(offers, below, hoist)
    tension = below
    for hung in found.pipes:
        tension += hung.offer.weight * hung.length
        assert hung.tension == pytest.approx(tension)
        assert tension <= min(hung.offer.bears, hoist) * (1.0 + 1e-9)
        assert hung.length <= hung.offer.length * (1.0 + 1e-9)
    assert found.tension == pytest.approx(tension)
    assert found.length == pytest.approx(sum(hung.length for hung in found.pipes))


@settings(max_examples=made_cases(0.3))
@given(PIPES, st.floats(0.0, 4e5), st.floats(0.05, 0.95))
def test_every_point_of_the_way_is_the_lightest_string_of_its_length(
    offers: list[Offer], below: float, share: float
) -> None:
    """Brute force: the least weight over all orders at a length on the way."""
    found = deepest(offers, below)
    if found.length <= 1.0:
        return
    wanted = share * found.length
    on_way = float(np.interp(wanted, *np.array(found.way).T))
    assert on_way - below == pytest.approx(lightest(offers, below, wanted), rel=1e-5, abs=1.0)


def lightest(offers: list[Offer], below: float, wanted: float) -> float:
    best = inf
    for order in permutations(offers):
        weights = np.array([one.weight for one in order])
        sums = np.tril(np.ones((len(order), len(order)))) * weights
        room = np.array([one.bears - below for one in order])
        for used in product((False, True), repeat=len(order)):
            chosen = np.flatnonzero(used)
            if not chosen.size or (room[chosen] < 0.0).any():
                continue
            bounds = [
                (0.0, one.length if use else 0.0) for one, use in zip(order, used, strict=True)
            ]
            found = linprog(
                weights, sums[chosen], room[chosen], np.ones((1, len(order))), [wanted], bounds
            )
            if found.success:
                best = min(best, float(found.fun))
    return best


def test_one_pipe_reaches_as_far_as_it_bears_itself() -> None:
    one = Offer("pipe", 300.0, 2.4e6)
    found = deepest([one], 0.0)
    assert found.length == pytest.approx(8000.0)
    assert [hung.offer for hung in found.pipes] == [one]


def test_a_taper_reaches_deeper_than_either_pipe() -> None:
    """Light and weak below, heavy and strong above: by hand."""
    light, heavy = Offer("light", 200.0, 1e6), Offer("heavy", 400.0, 3e6)
    found = deepest([heavy, light], 0.0)
    assert found.length == pytest.approx(1e6 / 200.0 + 2e6 / 400.0)
    assert [hung.offer.name for hung in found.pipes] == ["light", "heavy"]


def test_the_hoist_and_the_stock_end_it() -> None:
    light = Offer("light", 200.0, 1e6, 1000.0)
    assert deepest([light], 0.0).length == pytest.approx(1000.0)
    assert deepest(without_end([light]), 0.0).length == pytest.approx(5000.0)
    assert deepest(without_end([light]), 0.0, 6e5).length == pytest.approx(3000.0)


@given(PIPES, st.floats(0.0, 4e5))
def test_more_room_never_reaches_less(offers: list[Offer], below: float) -> None:
    lengths = [deepest(offers, below, hoist).length for hoist in (1e6, 2e6, inf)]
    assert lengths == sorted(lengths)
    assert deepest(without_end(offers), below).length >= lengths[-1] - 1e-6


def test_an_assembly_too_heavy_for_any_pipe_leaves_nothing() -> None:
    none: Deepest = deepest([Offer("pipe", 300.0, 1e6)], 2e6)
    assert none.pipes == ()
    assert none.length == 0.0


def test_a_pipe_that_floats_is_refused() -> None:
    with pytest.raises(ValueError, match="floats"):
        deepest([Offer("cork", -10.0, 1e6)], 0.0)


# ---- where a pipe fits -------------------------------------------------------------------


@settings(max_examples=made_cases(0.6))
@given(PIPES, st.floats(0.0, 4e5), st.floats(5e5, 6e6))
def test_where_all_pipes_fit_the_two_ways_agree(
    offers: list[Offer], below: float, hoist: float
) -> None:
    found = deepest_that_fits(offers, below, hoist)
    length = sum(hung.length for hung in found)
    assert length == pytest.approx(deepest(offers, below, hoist).length, rel=1e-6, abs=1e-3)


STANDS = st.lists(
    st.builds(
        Offer,
        name=st.just("pipe"),
        weight=st.sampled_from([100.0, 200.0, 300.0]),
        bears=st.sampled_from([200e3, 400e3, 600e3]),
        length=st.sampled_from([400.0, 800.0, 1200.0]),
        deepest=st.sampled_from([400.0, 800.0, 1200.0, inf]),
    ),
    min_size=1,
    max_size=3,
)


@settings(max_examples=made_cases(0.6))
@given(STANDS)
def test_no_string_of_whole_stands_reaches_deeper_where_it_fits(offers: list[Offer]) -> None:
    """Brute force over every order and every number of stands of 200 m of each pipe."""
    most = 0.0
    for order in permutations(offers):
        for counts in product(range(7), repeat=len(order)):
            lengths = [200.0 * count for count in counts]
            if stands_fit(order, lengths):
                most = max(most, sum(lengths))
    found = deepest_that_fits(offers, 0.0, 1e9)
    reach = sum(hung.length for hung in found)
    assert reach >= most - 1e-6
    assert stands_fit([h.offer for h in found], [h.length for h in found])


def stands_fit(order: Sequence[Offer], lengths: Sequence[float]) -> bool:
    tension = 0.0
    for i, (offer, length) in enumerate(zip(order, lengths, strict=True)):
        tension += offer.weight * length
        if length > offer.length + 1e-6:
            return False
        if length > 0.0 and tension > offer.bears * (1.0 + 1e-9):
            return False
        if length > 0.0 and sum(lengths[i:]) > offer.deepest + 1e-6:
            return False
    return True


def test_a_wide_pipe_waits_for_its_bore() -> None:
    """Strong and wide only in the upper 1,000 m; the slender one carries itself below."""
    slender = Offer("slender", 100.0, 3e5)
    wide = Offer("wide", 300.0, 1e6, deepest=1000.0)
    found = deepest_that_fits([wide, slender], 0.0, inf)
    assert [(h.offer.name, round(h.length)) for h in found] == [("slender", 3000), ("wide", 1000)]
