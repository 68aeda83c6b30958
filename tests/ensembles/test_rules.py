"""The table of rules from members whose story is known."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import made_up
import numpy as np
import pytest

from bathybore.base.arrays import Array
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.rules import Rule, rules
from bathybore.ensembles.shapes import LIMITS, REACHED, Frame, Limit, Policy
from bathybore.model.loading import load_hole

# conductor, casing-20, spare-16, casing-1338, casing-958, liner-7, core-hole
PLANNED = np.array([85.0, 700.0, np.nan, 1900.0, 3400.0, 4600.0, 4950.0])


@pytest.fixture(scope="module")
def frame() -> Frame:
    return frame_of(load_hole(Path("examples/main")))


def told(frame: Frame, shoes: Array, readings: Array) -> dict[str, Rule]:
    count = len(shoes)
    outcome = replace(
        made_up.outcome(0, count),
        shoes=shoes,
        depth=np.full(count, 4950.0),
        ends_by=np.full(count, REACHED),
        unjudged={},
    )
    return {rule.shoe: rule for rule in rules(frame, planned_policy(frame), outcome, readings)}


def readings_at(column: int, values: Array) -> Array:
    readings = np.full((len(values), len(PLANNED)), np.nan)
    readings[:, column] = values
    return readings


def test_a_clear_rule_is_found(frame: Frame) -> None:
    """The section below casing-20 closes at 1,300 m, a spare set there, where it reads < 1,150."""
    rng = np.random.default_rng(2)
    reading = rng.normal(1200.0, 60.0, 1000)
    shoes = np.tile(PLANNED, (1000, 1))
    shoes[reading < 1150.0, 2] = 1300.0
    found = told(frame, shoes, readings_at(1, reading))
    assert list(found) == ["casing-20"]
    rule = found["casing-20"]
    assert rule.threshold == pytest.approx(1150.0, abs=1.0)
    assert (rule.section, rule.set_first) == ("casing-1338", "spare-16")
    assert rule.closes.p50 == 1300.0
    assert rule.early_below.share > 0.98
    assert rule.early_above.share < 0.02
    assert rule.early.count == int((reading < 1150.0).sum())


def test_a_casing_set_early_is_named(frame: Frame) -> None:
    reading = np.linspace(1200.0, 1400.0, 400)
    shoes = np.tile(PLANNED, (400, 1))
    shoes[reading < 1300.0, 4] = 3000.0
    rule = told(frame, shoes, readings_at(3, reading))["casing-1338"]
    assert (rule.set_first, rule.closes.p90) == ("casing-958", 3000.0)
    assert rule.threshold == pytest.approx(1300.0, abs=2.0)


@pytest.mark.parametrize(("by", "counts"), [(Limit.DIAMETER, True), (Limit.PUMPS, False)])
def test_a_hole_that_ended_there_names_no_string(frame: Frame, by: Limit, counts: bool) -> None:
    """What the window closed counts as early; what the pumps ended tells nothing of it."""
    reading = np.linspace(1200.0, 1400.0, 400)
    low = reading < 1300.0
    shoes = np.tile(PLANNED, (400, 1))
    shoes[low, 4], shoes[low, 5:] = 2500.0, np.nan
    outcome = replace(
        made_up.outcome(0, 400),
        shoes=shoes,
        depth=np.where(low, 2500.0, 4950.0),
        ends_by=np.where(low, LIMITS.index(by), REACHED),
        unjudged={},
    )
    [rule] = rules(frame, planned_policy(frame), outcome, readings_at(3, reading))
    assert rule.early.of == (400 if counts else int((~low).sum()))
    if counts:
        assert (rule.set_first, rule.closes.p50) == ("", 2500.0)


def test_a_reading_that_tells_nothing_gives_no_rule(frame: Frame) -> None:
    rng = np.random.default_rng(3)
    shoes = np.tile(PLANNED, (2000, 1))
    shoes[rng.uniform(size=2000) < 0.1, 2] = 1300.0
    rule = told(frame, shoes, readings_at(1, rng.normal(1200.0, 60.0, 2000)))["casing-20"]
    # noise alone may part a handful; a rule of it puts no more right than none
    assert np.isnan(rule.threshold) or rule.early_below.low < 0.5


def test_few_members_give_no_rule(frame: Frame) -> None:
    shoes = np.tile(PLANNED, (30, 1))
    shoes[:15, 2] = 1300.0
    rule = told(frame, shoes, readings_at(1, np.linspace(1100.0, 1300.0, 30)))["casing-20"]
    assert np.isnan(rule.threshold)


def test_another_policy_is_judged_by_its_own_bottoms(frame: Frame) -> None:
    """Shoes set higher on purpose are not early."""
    reading = np.linspace(1200.0, 1400.0, 400)
    shoes = np.tile(PLANNED, (400, 1))
    shoes[:, 4] = 3200.0
    outcome = replace(
        made_up.outcome(0, 400),
        shoes=shoes,
        depth=np.full(400, 4950.0),
        ends_by=np.full(400, REACHED),
        unjudged={},
    )
    higher = Policy((85.0, 700.0, 1900.0, 3200.0, 4600.0, 4950.0))
    [rule] = rules(frame, higher, outcome, readings_at(3, reading))
    assert (rule.bottom, rule.early.count) == (3200.0, 0)
