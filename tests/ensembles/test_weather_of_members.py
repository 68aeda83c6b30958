"""Work and waiting in a series of weather: by hand, by stepping through it, and in the long run."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.ensembles.weather_of_members import Calm, calm_of
from bathybore.operations.operability import Windows

HOUR = 3600.0


def _calm(workable: list[int], stands: list[float] | None = None, first: float = 0.0) -> Calm:
    hours = np.array(stands or [1.0] * len(workable)) * HOUR
    time = first + np.concatenate([[0.0], np.cumsum(hours)[:-1]])
    return calm_of(Windows(time, hours, workable=np.array(workable, dtype=bool)))


def test_work_stops_where_the_weather_does() -> None:
    # goes on in hours 0, 1 and 3 of a day of five hours
    calm = _calm([1, 1, 0, 1, 0])
    time = np.array([0.0, 0.0, 0.5, 2.0, 4.0, 0.0, 3.5, 1.0])
    work = np.array([1.0, 2.0, 2.0, 1.0, 1.0, 3.0, 0.75, 7.0])
    ends = np.array([1.0, 2.0, 3.5, 4.0, 6.0, 4.0, 5.25, 12.0])
    assert calm.done(time * HOUR, work * HOUR) / HOUR == pytest.approx(ends, rel=1e-12)


def test_a_step_at_one_go_waits_for_a_long_enough_stretch() -> None:
    calm = _calm([1, 1, 0, 1, 0])  # the stretches are two hours and one, none over the end
    time = np.array([0.0, 0.0, 0.5, 0.5, 2.0, 2.5, 3.5, 4.5, 0.0])
    needed = np.array([2.0, 1.0, 1.5, 1.6, 1.0, 2.0, 1.0, 2.0, 2.5])
    waits = np.array([0.0, 0.0, 0.0, 4.5, 1.0, 2.5, 1.5, 0.5, np.inf])
    found = calm.wait(time * HOUR, needed * HOUR) / HOUR
    assert np.isinf(found[-1])
    assert found[:-1] == pytest.approx(waits[:-1], abs=1e-9)


def test_a_stretch_runs_over_the_end_of_the_series() -> None:
    calm = _calm([1, 0, 0, 1, 1], first=100.0 * HOUR)
    assert len(calm.lengths) == 1
    found = calm.wait(np.array([100.5, 103.0, 101.0]) * HOUR, np.full(3, 3.0 * HOUR)) / HOUR
    assert found == pytest.approx([2.5, 0.0, 2.0])


def test_the_waits_are_those_of_the_windows_themselves() -> None:
    rng = np.random.default_rng(7)
    for share in (0.3, 0.6, 0.9):
        stands = rng.choice([1.0, 3.0, 6.0], 300) * HOUR
        time = 5.0 + np.concatenate([[0.0], np.cumsum(stands)[:-1]])
        judged = Windows(time, stands, workable=rng.random(300) < share)
        calm = calm_of(judged)
        assert calm.share == pytest.approx(judged.share)
        for needed in (HOUR, 7 * HOUR, 40 * HOUR, 1000 * HOUR):
            each = calm.wait(time, np.full(300, needed))
            expected = judged.waits(needed)
            assert np.array_equal(np.isinf(each), np.isinf(expected))
            finite = np.isfinite(expected)
            assert each[finite] == pytest.approx(expected[finite], abs=1e-3)


def _stepped(workable: list[int], begun: int, work: int, one_go: bool) -> tuple[int, int]:
    """Return when a step begins and is done, minute by minute; rows are ten minutes."""
    goes = [flag for flag in workable for _ in range(10)]
    minute = begun
    while one_go and not all(goes[(minute + k) % len(goes)] for k in range(work)):
        minute += 1
    begins, left = minute, work
    while left:
        left -= goes[minute % len(goes)]
        minute += 1
    return begins, minute


@pytest.mark.parametrize("case", range(20))
def test_stepping_through_the_minutes_says_the_same(case: int) -> None:
    rng = np.random.default_rng(case)
    workable = [*(rng.random(rng.integers(3, 25)) < 0.6).astype(int).tolist(), 1, 1, 1, 0]
    calm = _calm(workable, [1 / 6] * len(workable))
    begun = rng.integers(0, 10 * len(workable), 40)
    work = rng.integers(1, 31, 40)  # the last three rows are a stretch of thirty minutes
    waits = calm.wait(begun * 60.0, work * 60.0)
    plain, at_one_go = (
        calm.done(begun * 60.0, work * 60.0),
        calm.done(begun * 60.0 + waits, work * 60.0),
    )
    for member in range(40):
        minutes = int(begun[member]), int(work[member])
        assert plain[member] / 60.0 == pytest.approx(_stepped(workable, *minutes, False)[1])
        begins, ends = _stepped(workable, *minutes, True)
        assert begun[member] + waits[member] / 60.0 == pytest.approx(begins)
        assert at_one_go[member] / 60.0 == pytest.approx(ends)


def test_weather_that_always_allows_it_never_waits() -> None:
    calm = _calm([1, 1, 1])
    time, work = np.array([0.0, 5e3, 9e7]), np.array([1e3, 1e5, 1e8])
    assert calm.done(time, work) == pytest.approx(time + work, rel=1e-14)
    assert np.all(calm.wait(time, work) == 0.0)
    assert calm.share == 1.0


def test_weather_that_never_allows_it_has_no_end() -> None:
    calm = _calm([0, 0])
    time = np.array([0.0, 1.0])
    assert np.all(np.isinf(calm.wait(time, np.array([0.0, HOUR]))))
    assert calm.done(time, np.array([0.0, HOUR])).tolist() == [0.0, np.inf]


def test_what_never_begins_is_never_done() -> None:
    calm = _calm([1, 0])
    never = np.array([np.inf, 0.0])
    assert calm.done(never, np.full(2, 60.0)).tolist() == [np.inf, 60.0]
    assert calm.wait(never, np.full(2, 60.0)).tolist() == [np.inf, 0.0]


def test_in_the_long_run_the_clock_goes_by_the_share() -> None:
    rng = np.random.default_rng(3)
    calm = _calm((rng.random(500) < 0.7).astype(int).tolist())
    work = np.full(1, 400.5 * calm.cycle)
    took = calm.done(np.array([1234.0]), work)[0] - 1234.0
    assert work[0] / took == pytest.approx(calm.share, abs=1.0 / 400.0)
