"""Drawn numbers of the hole in the window: as planned nothing, near the plan as the search says."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from planned_members import as_planned

from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.members import member_hole
from bathybore.ensembles.numbers_of_members import one_moved
from bathybore.ensembles.open_hole import Open, open_section
from bathybore.ensembles.shapes import Drawn, Frame
from bathybore.ensembles.window_numbers import Strays, slope_of
from bathybore.ensembles.window_of_members import earths_of
from bathybore.model.hole_numbers import number_at
from bathybore.model.loading import load_hole

MAIN = Path(__file__).parents[2] / "examples" / "main"
SECTION = 2
FLOW = f"plan.sections[{SECTION}].flow_rate"
TIME = "vessel.handling.connection_time"


@cache
def frame() -> Frame:
    return frame_of(load_hole(MAIN))


def planned(key: str) -> float:
    return number_at(frame().hole.document, key, key).planned


def opened(drawn: Drawn, there: Frame) -> Open:
    first, last = int(there.nodes_at(np.array(2000.0))), there.target
    return open_section(earths_of(there, drawn), drawn, SECTION, first, last)


def members(**numbers: float) -> Drawn:
    _, drawn = as_planned(frame())
    mine = {key: np.full(1, planned(key) * share) for key, share in numbers.items()}
    return replace(drawn, numbers=drawn.numbers | mine)


def test_as_planned_nothing_moves_to_the_bit() -> None:
    mine = opened(members(**{FLOW: 1.0, TIME: 1.0}), frame())
    plan = opened(members(), frame())
    assert np.array_equal(mine.borne, plan.borne)
    assert np.array_equal(mine.pore, plan.pore)


@pytest.mark.parametrize("share", [0.9, 1.15])
def test_a_flow_changes_what_is_borne_as_the_search_says_of_the_hole_with_that_flow(
    share: float,
) -> None:
    hole = member_hole(frame(), one_moved(frame(), FLOW, planned(FLOW) * share), 0)
    there = opened(members(), replace(frame(), hole=hole)).borne
    plan = opened(members(), frame()).borne
    mine = opened(members(**{FLOW: share}), frame()).borne
    change = np.abs(there - plan).max()
    assert change > 0.5  # kg/m3
    assert np.abs(mine - there).max() < 0.2 * change  # what a straight line misses


def test_a_handling_time_changes_nothing_of_the_window() -> None:
    mine = opened(members(**{TIME: 2.0}), frame())
    assert np.array_equal(mine.borne, opened(members(), frame()).borne)


def test_a_slope_is_that_of_the_answer_and_none_where_nothing_changes() -> None:
    key = "vessel.hoist.hook_capacity"

    def squared(there: Frame) -> tuple[np.ndarray, ...]:
        return (np.array([there.hole.vessel.hoist.hook_capacity**2, np.inf]),)

    slope = slope_of(frame(), key, squared)
    assert slope is not None
    assert slope[0][0] == pytest.approx(2.0 * planned(key))  # between both sides, exactly
    assert slope[0][1] == 0.0
    assert slope_of(frame(), key, lambda there: (np.ones(2),)) is None


def test_terms_and_factors_are_no_strays() -> None:
    drawn = members(**{FLOW: 1.1, "design_basis.kick_volume": 1.1})
    drawn = replace(drawn, numbers=drawn.numbers | {"bit_life": np.full(1, 0.5)})
    assert [key for key, _ in Strays(frame(), drawn)] == [FLOW]
