"""Where stores and days would bite had nothing else ended the holes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.ensembles.drawing import planned_curves
from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.shapes import Drawn, Frame, Limit, Made
from bathybore.ensembles.spending import asked_names, spent
from bathybore.ensembles.spent_alone import made_as_planned, with_bites_alone
from bathybore.model.loading import load_hole

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def frontier() -> Frame:
    return frame_of(load_hole(EXAMPLES / "frontier"))


def _drawn(frame: Frame, slower: float, count: int) -> Drawn:
    curves = planned_curves(frame)
    curves["rate_of_penetration"] = curves["rate_of_penetration"] / slower
    trouble = np.full((count, len(frame.states)), frame.hole.basis.trouble_factor - 1.0)
    none = np.zeros(count, dtype=np.intp)
    return Drawn(0, count, curves, {}, none - 1, trouble, np.zeros(count), none)


def _members(frame: Frame, count: int) -> Made:
    one = made_as_planned(frame)
    arrays = {name: np.repeat(getattr(one, name), count, axis=0) for name in ("shoes", "density")}
    return replace(one, **arrays, string=np.repeat(one.string, count, axis=0))


def test_a_hole_that_ends_early_is_asked_about_the_days_as_if_it_went_on(frontier: Frame) -> None:
    """300 days, and a plan of more than 400: they end the hole deep, whatever ends it before."""
    made, drawn = _members(frontier, 3), _drawn(frontier, 1.0, 3)
    target = float(frontier.depth[frontier.target])
    whole = spent(frontier, made, np.full(3, target), drawn)
    end = np.array([450.0, 2000.0, target])
    took = with_bites_alone(frontier, spent(frontier, made, end, drawn), end, drawn)
    days = took.bites[Limit.DAYS]
    assert np.isfinite(whole.bites[Limit.DAYS]).all()
    assert days == pytest.approx(whole.bites[Limit.DAYS])
    name = asked_names(frontier)[took.asked[Limit.DAYS][0]]
    assert name.endswith("/days")
    # what is spent is what the short holes spend
    assert took.days[0] < took.days[1] < took.days[2]


def test_what_never_bites_the_plan_bites_no_hole(frontier: Frame) -> None:
    made, drawn = _members(frontier, 1), _drawn(frontier, 1.0, 1)
    end = np.array([450.0])
    took = with_bites_alone(frontier, spent(frontier, made, end, drawn), end, drawn)
    assert np.isinf(took.bites[Limit.WEATHER][0])
    assert took.asked[Limit.WEATHER][0] == -1


def test_what_did_not_bite_a_hole_bites_below_its_end(frontier: Frame) -> None:
    """The plan's way of making it runs out of bits above where this hole came without."""
    slow = _drawn(frontier, 3.0, 1)
    plan = spent(frontier, _members(frontier, 1), np.array([np.inf]), slow)
    deep = plan.bites[Limit.STOCK][0]
    assert np.isfinite(deep)
    end = np.array([deep + 50.0])
    came = replace(plan, bites={**plan.bites, Limit.STOCK: np.array([np.inf])})
    took = with_bites_alone(frontier, came, end, slow)
    assert took.bites[Limit.STOCK][0] == pytest.approx(end[0], abs=0.01)
    assert took.bites[Limit.STOCK][0] > end[0]
