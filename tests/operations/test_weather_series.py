"""Gaps, seasons and whole years of a series of weather, against minutes counted one by one."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.model.tables import ProfileTable
from bathybore.operations.operability import WeatherLimits, Windows, windows
from bathybore.operations.weather_series import DAY, YEAR, Series, series_of

HOUR = 3600.0
CALM = WeatherLimits(2.0, 20.0)


def table(time: np.ndarray, height: np.ndarray | None = None) -> ProfileTable:
    height = np.ones(len(time)) if height is None else height
    numbers = {
        "time": time,
        "significant_wave_height": height,
        "peak_period": np.full(len(time), 8.0),
        "wind_speed": np.full(len(time), 5.0),
    }
    lines = tuple(range(2, len(time) + 2))
    return ProfileTable("weather.csv", "time", numbers, {}, dict.fromkeys(numbers, "-"), lines)


def seasons(years: int, first: float = 90.0, last: float = 243.0) -> np.ndarray:
    """Return six-hourly times from one day of the year to another, in several years."""
    season = np.arange(first * DAY, last * DAY, 6 * HOUR)
    return np.concatenate([season + year * YEAR for year in range(years)])


def test_a_row_before_a_gap_stands_for_a_usual_step_alone() -> None:
    time = np.array([0.0, 6.0, 12.0, 24.0, 30.0, 54.0, 60.0]) * HOUR  # 12 h: late; 24 h: a gap
    found = series_of(table(time))
    assert (found.stands / HOUR).tolist() == [6, 6, 12, 6, 6, 6, 6]
    assert found.gaps.tolist() == [4, 6]  # it is no whole year: the last does not join the first
    assert found.known == 48 * HOUR
    assert found.span == 66 * HOUR


def test_shares_are_of_the_known_time() -> None:
    height = np.where(np.arange(612 * 5) % 4 == 0, 5.0, 1.0)
    judged = windows(table(seasons(5), height), CALM)
    assert judged.known == pytest.approx(5 * 153 * DAY)
    assert judged.share == pytest.approx(0.75)
    assert judged.within(judged.rows_in((3,))) == pytest.approx(0.75, abs=0.01)
    # by the mean calendar a season from day 90 begins on the last of March
    assert judged.lacks(tuple(range(12))) == (0, 1, 8, 9, 10, 11)


def test_nothing_goes_on_over_a_gap() -> None:
    """Calm seasons of 153 days: no window is longer, and one begun late waits for the next."""
    judged = windows(table(seasons(3)), CALM)
    assert judged.gaps.tolist() == [611, 1223, 1835]
    assert judged.longest(True) == 153 * DAY
    assert judged.longest(False) == 0.0
    assert judged.left.max() == 153 * DAY
    assert np.isinf(judged.waits(154 * DAY)).all()
    assert judged.waits(10 * DAY)[600] == 12 * 6 * HOUR  # until the next season, gap left out
    stormy = windows(table(seasons(3), np.full(1836, 5.0)), CALM)
    assert stormy.longest(False) == 153 * DAY


@pytest.mark.parametrize(
    ("days", "years", "rows", "joined"),
    [
        (365.0, 1, 1460, True),
        (366.0, 1, 1464, True),
        (364.5, 1, 1458, True),  # a row or two are missing at the end
        (1461.0, 4, 5844, True),
        (30 * 365.0, 30, 43800, True),  # a calendar without leap days
        (547.0, 1, 1461, False),  # a year and a half: cut to one
        (912.0, 2, 2922, False),
        (200.0, 0, 800, False),
    ],
)
def test_whole_years(days: float, years: int, rows: int, joined: bool) -> None:
    found = series_of(table(np.arange(0.0, days * DAY, 6 * HOUR)))
    assert (found.years, found.rows, bool(found.joined[-1])) == (years, rows, joined)
    cut = found.in_whole_years
    assert len(cut.time) == rows
    assert bool(cut.joined[-1]) == (years > 0)


def test_a_season_is_not_cut_where_nothing_is_known_on_both_sides() -> None:
    found = series_of(table(seasons(5)))
    assert found.rows == 5 * 612
    assert found.cycle == pytest.approx(5 * YEAR)
    assert len(found.each_turn(0.0)) == 5


def test_the_clock_stands_still_over_a_gap_and_goes_on_for_ever() -> None:
    found = series_of(table(seasons(2)))
    first, long = 90.0 * DAY, 153.0 * DAY
    days = np.array([90.0, 100.5, 243.0, 300.0, 365.25 + 90.0, 365.25 + 91.0]) * DAY
    clock = np.array([0.0, 10.5, 153.0, 153.0, 153.0, 154.0]) * DAY + first
    assert found.clock(days) == pytest.approx(clock)
    assert found.clock(days + 2 * YEAR) == pytest.approx(clock + 2 * long)
    assert found.clock(days - 2 * YEAR) == pytest.approx(clock - 2 * long)
    shown = first + np.linspace(0.0, 600.0, 77) * DAY
    assert found.clock(found.calendar(shown)) == pytest.approx(shown)


def test_without_a_gap_the_clock_is_the_calendar() -> None:
    found = series_of(table(5.0 * DAY + np.arange(0.0, 365.0 * DAY, 6 * HOUR)))
    time = np.linspace(5.0, 900.0, 55) * DAY
    assert found.clock(time) == pytest.approx(time)
    assert found.calendar(time) == pytest.approx(time)


# ---- waits at any time, against minutes ----------------------------------------------------


def uneven(seed: int) -> Windows:
    rng = np.random.default_rng(seed)
    stands = rng.choice([10.0, 30.0, 70.0, 120.0], 40) * 60.0
    gaps = np.unique(rng.integers(0, 40, rng.integers(0, 4)))
    time = np.append(0.0, np.cumsum(stands + 1e6 * np.isin(np.arange(40), gaps))[:-1])
    return Windows(time, stands, gaps, workable=rng.random(40) < 0.6)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("needed", [7, 60, 95, 400])
def test_waits_of_an_uneven_series_counted_minute_by_minute(seed: int, needed: int) -> None:
    judged = uneven(seed)
    lasts = (judged.stands / 60.0).astype(int)
    goes = np.repeat(judged.workable, lasts)
    breaks = np.repeat(~judged.joined, lasts)
    last = np.zeros(len(goes), dtype=bool)
    last[np.cumsum(lasts) - 1] = True
    breaks &= last  # nothing goes on past this minute
    count = len(goes)

    def goes_on(minute: int, long: int) -> bool:
        minutes = [(minute + ahead) % count for ahead in range(long)]
        return all(goes[at] for at in minutes) and not any(breaks[at] for at in minutes[:-1])

    fits = np.flatnonzero([goes_on(minute, needed) for minute in range(count)])
    rows = np.arange(len(lasts)) % 3 > 0
    found = judged.any_time(needed * 60.0).of(rows)
    if not len(fits):
        assert np.isinf(found.mean)
        assert np.isinf(found.within(0.9))
        return
    # begun in the middle of a minute, it takes a half of one minute more
    minutes, twice = np.flatnonzero(np.repeat(rows, lasts)), np.append(fits, fits + count)
    at_once = np.array([goes_on(minute, needed + 1) for minute in minutes.tolist()])
    later = twice[np.searchsorted(twice, minutes, side="right")] - (minutes + 0.5)
    waits = np.where(at_once, 0.0, later)
    assert found.time == len(minutes) * 60.0
    assert found.none == pytest.approx(at_once.mean())
    assert found.mean / 60.0 == pytest.approx(waits.mean())
    for share in (0.3, 0.5, 0.9, 0.99, 1.0):
        low, high = np.quantile(waits, [max(share - 0.003, 0.0), min(share + 0.003, 1.0)])
        assert low - 0.51 <= found.within(share) / 60.0 <= high + 0.51
    # a beginning at the first second of a row is that row's own wait
    starts = np.append(0, np.cumsum(lasts)[:-1])
    own = twice[np.searchsorted(twice, starts)] - starts
    assert judged.waits(needed * 60.0) / 60.0 == pytest.approx(own)


def test_long_rows_count_by_how_long_they_stand() -> None:
    """A day of calm in one row, six hours of storm in six: an hour's work waits little."""
    stands = np.array([24.0, 1, 1, 1, 1, 1, 1]) * HOUR
    time = np.append(0.0, np.cumsum(stands)[:-1])
    judged = Windows(time, stands, workable=np.arange(7) == 0)
    found = judged.any_time(HOUR)
    assert found.none == pytest.approx(23 / 30)
    # the last hour of calm is too short: from there on it waits seven hours, less and less
    assert found.mean == pytest.approx(7.0 * HOUR * 3.5 / 30.0)
    assert found.within(23 / 30 + 0.1) == pytest.approx(3.0 * HOUR)
    assert found.within(1.0) == pytest.approx(7.0 * HOUR)
    assert found.within(0.7) == 0.0


def test_weather_that_always_or_never_lets_it_begin() -> None:
    flat = Series(HOUR * np.arange(4.0), np.full(4, HOUR))
    always = Windows(flat.time, flat.stands, workable=np.full(4, True)).any_time(1e9)
    assert (always.none, always.mean, always.within(0.9)) == (1.0, 0.0, 0.0)
    never = Windows(flat.time, flat.stands, workable=np.full(4, False)).any_time(1.0)
    assert (never.none, never.mean, never.within(0.9)) == (0.0, np.inf, np.inf)
