"""The search finds what trying everything finds, on hundreds of small made problems."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from made_problem import bound, every_way, kick, one_density_serves, price_by_hand, problems

from bathybore.search.blocked import blockers
from bathybore.search.intervals import Window, highest_tops, interval
from bathybore.search.paths import (
    DEEPEST_SHOES,
    FEWEST_DAYS,
    FEWEST_STRINGS,
    LEAST_STEEL,
    MOST_STRINGS,
    Goal,
    Problem,
    search,
)
from varied import made_cases

SLOW = (HealthCheck.too_slow, HealthCheck.data_too_large)
MANY = settings(max_examples=made_cases(2.0), suppress_health_check=SLOW)
SOME = settings(max_examples=made_cases(0.7), suppress_health_check=SLOW)
GOALS = (FEWEST_STRINGS, FEWEST_DAYS, LEAST_STEEL, MOST_STRINGS, DEEPEST_SHOES, Goal(3.0, 0.7, 0.4))


@MANY
@given(problems(), st.sampled_from(GOALS))
def test_the_best_is_the_best_of_all_there_are(problem: Problem, goal: Goal) -> None:
    every = list(every_way(problem))
    found = search(problem, goal)
    if not every:
        assert found is None
        return
    assert found is not None
    prices = {legs: price_by_hand(problem, legs, goal) for legs in every}
    assert found.legs in prices, "the search found a way that is none"
    assert prices[found.legs] == pytest.approx(min(prices.values()), rel=1e-12, abs=1e-9)
    assert found.price(goal) == pytest.approx(prices[found.legs], rel=1e-12, abs=1e-9)


@SOME
@given(problems(), st.data())
def test_a_string_left_on_board_is_in_no_way(problem: Problem, data: st.DataObject) -> None:
    names = [string.name for string in problem.strings[1:]]
    left = frozenset(data.draw(st.sets(st.sampled_from(names)))) if names else frozenset()
    found = search(problem, FEWEST_DAYS, left)
    without = [
        price_by_hand(problem, legs, FEWEST_DAYS)
        for legs in every_way(problem)
        if not left
        & {
            problem.strings[problem.runs[leg.run].string].name
            for leg in legs
            if leg.run is not None
        }
    ]
    assert (found is None) == (not without)
    if found is not None:
        assert found.days == pytest.approx(min(without), rel=1e-12, abs=1e-9)


@SOME
@given(problems())
def test_closed_ways_are_told_as_they_are(problem: Problem) -> None:
    """The hole goes as deep as is said and no deeper, and the bounds named do close it."""
    for one in blockers(problem):
        if one.closed_by is None:
            assert one.reason
            continue
        window = problem.drillings[one.drilling].window
        needed, borne = one.closed_by.needed, one.closed_by.borne
        assert needed.density + window.room > borne.density
        assert one.shoe <= needed.node <= one.deepest + 1
        assert one.shoe <= borne.node <= one.deepest + 1
        assert one.deepest == one.shoe or one_density_serves(window, one.shoe, one.deepest)
        assert not one_density_serves(window, one.shoe, one.deepest + 1)


@SOME
@given(problems())
def test_tops_are_those_of_looking_at_every_pair(problem: Problem) -> None:
    for drilling in problem.drillings:
        tops = highest_tops(drilling.window)
        for bottom in range(len(problem.depth)):
            serves = [one_density_serves(drilling.window, top, bottom) for top in range(bottom + 1)]
            first = serves.index(True) if True in serves else bottom + 1
            assert tops[bottom] == first or (True not in serves and tops[bottom] > bottom)


@SOME
@given(problems())
def test_a_weaker_rock_never_helps(problem: Problem) -> None:
    for drilling in problem.drillings:
        window = drilling.window
        weaker = Window(
            window.needed,
            (*window.borne, bound("weak", [20.0 + n for n in range(len(problem.depth))])),
            window.kick,
            window.room,
        )
        assert (highest_tops(weaker) >= highest_tops(window)).all()


def test_the_interval_names_the_bounds_that_decide() -> None:
    window = Window(
        (bound("pore", [10, 12, 15, 14]), bound("collapse", [9, 9, 9, 16])),
        (bound("fracture", [18, 20, 22, 24]),),
        kick([[17, 16, 15.5, 15.2], [0, 19, 18, 17], [0, 0, 21, 20], [0, 0, 0, 22]]),
    )
    whole = interval(window, 0, 2)
    assert (whole.needed.name, whole.needed.node, whole.needed.density) == ("pore", 2, 15.0)
    assert (whole.borne.name, whole.borne.node, whole.borne.bottom) == ("kick", 0, 2)
    assert whole.room == pytest.approx(0.5)
    closed = interval(window, 0, 3)
    assert (closed.needed.name, closed.borne.density) == ("collapse", 15.2)
    assert closed.room < 0.0
    # below the diagonal stand zeros that must never be read
    assert highest_tops(window).tolist() == [0, 0, 0, 1]
    assert np.all(np.diff(highest_tops(window)) >= 0)
