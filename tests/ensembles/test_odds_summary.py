"""Shares, quantiles and causes from outcomes that are known."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import made_up
import numpy as np
import pytest

from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.odds import odds_of, share_of, spread_of
from bathybore.ensembles.shapes import LIMITS, NOT_JUDGED, REACHED, Frame, Limit
from bathybore.model.loading import load_hole

MARKS = np.linspace(0.0, 4000.0, 5)
WINDOW, DAYS = LIMITS.index(Limit.WINDOW), LIMITS.index(Limit.DAYS)


@pytest.fixture(scope="module")
def frame() -> Frame:
    return frame_of(load_hole(Path("examples/main")))


def test_the_interval_of_a_share_is_wilsons() -> None:
    """E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209: closed form, z for 95 %."""
    n, k, z = 400, 37, 1.959963984540054
    p = k / n
    middle = (p + z * z / (2 * n)) / (1 + z * z / n)
    half = z * np.sqrt(p * (1 - p) / n + z * z / (4 * n * n)) / (1 + z * z / n)
    share = share_of(np.arange(n) < k)
    assert (share.low, share.high) == pytest.approx((middle - half, middle + half), rel=1e-12)


def test_the_interval_covers_the_truth_as_often_as_it_says() -> None:
    rng, truth, covered = np.random.default_rng(5), 0.12, 0
    for _ in range(600):
        share = share_of(rng.uniform(size=250) < truth)
        covered += share.low <= truth <= share.high
    assert 0.92 < covered / 600 < 0.98  # 0.95 within some 3 standard deviations and its steps


def test_no_members_tell_nothing() -> None:
    share = share_of(np.zeros(0, dtype=bool))
    assert (share.low, share.high) == (0.0, 1.0)
    assert np.isnan(share.share)
    assert np.isnan(spread_of(np.zeros(0)).p50)


def test_quantiles_are_members_and_may_be_beyond_what_is_known() -> None:
    spread = spread_of(np.array([3.0, np.inf, 1.0, 2.0, np.inf, np.inf, 4.0, 5.0, 6.0, 7.0]))
    assert (spread.p10, spread.p50) == (1.0, 5.0)
    assert spread.p90 == np.inf


def test_quantiles_come_nearer_with_more_members() -> None:
    """Of a lognormal, exp(z sigma); the error of a quantile falls as one over the root of n."""
    rng, exact = np.random.default_rng(11), np.exp(1.2815515655446004 * 0.7)
    errors = [
        np.sqrt(
            np.mean([(spread_of(rng.lognormal(0, 0.7, n)).p90 - exact) ** 2 for _ in range(60)])
        )
        for n in (200, 3200)
    ]
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.4)


def test_causes_hold_every_member_that_did_not_reach(frame: Frame) -> None:
    one = made_up.outcome(0, 2000)
    ends = one.ends_by.copy()
    ends[0] = NOT_JUDGED
    odds = odds_of(frame, replace(one, ends_by=ends), MARKS, ("a", "b", "c"))
    ended = sum(cause.share.count for cause in odds.causes)
    assert odds.reached.count + ended + len(odds.unjudged) == 2000
    assert [c.share.count for c in odds.causes] == sorted(
        (c.share.count for c in odds.causes), reverse=True
    )
    for cause in odds.causes:
        at = LIMITS.index(cause.limit)
        assert all(ends[member] == at for member in cause.members)
        assert sum(count for _, count in cause.checks) <= cause.share.count


def test_members_that_could_not_be_judged_count_neither_way(frame: Frame) -> None:
    one = made_up.outcome(0, 4)
    ends = np.array([REACHED, WINDOW, NOT_JUDGED, REACHED])
    depth = np.array([4950.0, 2000.0, np.nan, 4950.0])
    odds = odds_of(frame, replace(one, ends_by=ends, depth=depth, unjudged={2: "why"}), MARKS)
    assert (odds.reached.count, odds.reached.of, odds.count) == (2, 3, 4)
    assert odds.unjudged == ((2, "why"),)
    by_name = {section.name: section.share.count for section in odds.sections}
    assert by_name == {
        "conductor": 3,
        "casing-20": 3,
        "casing-1338": 3,
        "casing-958": 2,
        "liner-7": 2,
        "core-hole": 2,
    }


def test_days_at_depth_are_of_those_who_came_there(frame: Frame) -> None:
    one = made_up.outcome(0, 3)
    day_at = np.array([[1.0, 2.0, np.nan], [2.0, 4.0, np.nan], [3.0, np.nan, np.nan]])
    odds = odds_of(frame, replace(one, day_at=day_at, unjudged={}), MARKS[:3])
    assert odds.there.tolist() == [3, 2, 0]
    assert odds.days[:, 0].tolist() == [1.0, 2.0, 3.0]
    assert odds.days[:, 1].tolist() == [2.0, 2.0, 4.0]
    assert np.isnan(odds.days[:, 2]).all()
