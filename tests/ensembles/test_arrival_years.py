"""Arrival in every year that a series of weather holds, and members in a series with gaps."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.ensembles.drawing import CHUNK, central, draw
from bathybore.ensembles.frame import frame_of
from bathybore.ensembles.shapes import Frame
from bathybore.ensembles.uncertain_alone import alone
from bathybore.ensembles.weather_of_members import Calm, calm_of, weather_clock
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import Uncertainty, load_uncertainty
from bathybore.operations.operability import WeatherLimits, Windows, windows
from bathybore.operations.weather_series import DAY, YEAR, series_of

EXAMPLES = Path(__file__).parents[2] / "examples"
HOUR = 3600.0
TOLD = "arrival: {earliest: 1 April, latest: 30 June}\n"


@pytest.fixture(scope="module")
def main() -> Hole:
    return load_hole(EXAMPLES / "main")


@pytest.fixture(scope="module")
def frame(main: Hole) -> Frame:
    return frame_of(main)


def in_series(frame: Frame, time: np.ndarray, height: np.ndarray | None = None) -> Frame:
    table = frame.hole.weather
    assert table is not None
    numbers = dict.fromkeys(table.numbers, np.full(len(time), 1.0)) | {"time": time}
    if height is not None:
        numbers["significant_wave_height"] = height
    hole = replace(frame.hole, weather=replace(table, numbers=numbers))
    return replace(frame, hole=hole)


def uncertain(folder: Path, frame: Frame, text: str = TOLD) -> Uncertainty:
    (folder / "uncertainty.yaml").write_text(text, encoding="utf-8")
    return load_uncertainty(folder, frame.hole)


def starts(told: Uncertainty, frame: Frame, chunks: int = 4) -> np.ndarray:
    drawn = [draw(told, frame, 1, n * CHUNK, CHUNK) for n in range(chunks)]
    return np.concatenate([one.start for one in drawn])


def seasons(years: int) -> np.ndarray:
    season = np.arange(90.0 * DAY, 243.0 * DAY, 6 * HOUR)
    return np.concatenate([season + year * YEAR for year in range(years)])


def test_every_year_is_met_as_often(frame: Frame, tmp_path: Path) -> None:
    many = in_series(frame, np.arange(0.0, 5 * YEAR, 6 * HOUR))
    found = starts(uncertain(tmp_path, many), many)
    year, day = np.divmod(found, YEAR)
    counts = np.bincount(year.astype(int))
    assert len(counts) == 5
    assert abs(counts - found.size / 5).max() < 5.0 * np.sqrt(found.size * 0.16)
    assert day.min() >= 90.0 * DAY - 1.0
    assert day.max() <= 181.0 * DAY + 1.0


def test_the_year_does_not_move_the_day(frame: Frame, tmp_path: Path) -> None:
    """The year has a stream of its own: in one year or five, the days are the same."""
    one, many = (in_series(frame, np.arange(0.0, n * YEAR, 6 * HOUR)) for n in (1, 5))
    told = uncertain(tmp_path, one)
    assert np.mod(starts(told, many, 1), YEAR) == pytest.approx(starts(told, one, 1), abs=1e-3)


def test_a_series_of_a_year_and_a_half_is_met_from_its_first_year_on(
    frame: Frame, tmp_path: Path
) -> None:
    half = in_series(frame, np.arange(0.0, 1.5 * YEAR, 6 * HOUR))
    assert starts(uncertain(tmp_path, half), half).max() <= 181.0 * DAY + 1.0


def test_seasons_of_several_years_are_all_met(frame: Frame, tmp_path: Path) -> None:
    many = in_series(frame, seasons(4))
    found = starts(uncertain(tmp_path, many), many)
    counts = np.bincount((found // YEAR).astype(int))
    assert len(counts) == 4
    assert counts.min() > 0.2 * found.size


def test_days_of_which_nothing_is_known_are_refused(frame: Frame, tmp_path: Path) -> None:
    early = in_series(frame, seasons(2))
    text = "arrival: {earliest: 15 March, latest: 30 April}\n"
    with pytest.raises(InputErrors) as caught:
        starts(uncertain(tmp_path, early, text), early)
    (fault,) = caught.value.faults
    assert "uncertainty.yaml, line 1" in fault.where
    assert "17 days of arrival, day 74 of the year the first" in fault.found


def test_any_time_is_any_that_is_known(frame: Frame, tmp_path: Path) -> None:
    some = in_series(frame, seasons(3))
    found = starts(uncertain(tmp_path, some, "trouble: {variation: 0}\n"), some)
    day = np.mod(found, YEAR)
    assert day.min() >= 90.0 * DAY - 1.0
    assert day.max() <= 243.0 * DAY + 1.0
    assert np.bincount((found // YEAR).astype(int)).min() > 0.28 * found.size


def test_alone_the_year_is_that_of_the_middle(frame: Frame, tmp_path: Path) -> None:
    many = in_series(frame, np.arange(0.0, 5 * YEAR, 6 * HOUR))
    told = uncertain(tmp_path, many)
    assert np.ptp(starts(alone(told, "trouble"), many, 1)) == 0.0
    assert np.ptp(starts(alone(told, "arrival"), many, 1)) > 3.0 * YEAR
    assert central(told, many).start[0] == pytest.approx(135.5 * DAY)


# ---- members in a series with gaps ----------------------------------------------------------


def calm_with_gaps() -> Calm:
    """Calm in hours 0 to 2, a gap, calm in 3 and 4, storm in 5; the last joins the first."""
    hours = np.array([0.0, 1, 2, 103, 104, 105]) * HOUR
    good = np.array([1, 1, 1, 1, 1, 0], dtype=bool)
    return calm_of(Windows(hours, np.full(6, HOUR), np.array([2]), workable=good))


def test_no_stretch_runs_over_a_gap_and_work_goes_on_behind_it() -> None:
    calm = calm_with_gaps()
    assert (calm.lengths / HOUR).tolist() == [3.0, 2.0]
    assert calm.share == pytest.approx(5 / 6)
    time = np.array([0.0, 1.0, 2.0, 2.0, 2.5])
    needed = np.array([3.0, 2.0, 1.0, 2.0, 3.0])
    waits = np.array([0.0, 0.0, 0.0, 1.0, 3.5])
    assert calm.wait(time * HOUR, needed * HOUR) / HOUR == pytest.approx(waits)
    assert calm.done(np.array([1.0]) * HOUR, np.array([4.0]) * HOUR) / HOUR == pytest.approx([5.0])
    assert np.isinf(calm.wait(np.zeros(1), np.full(1, 3.5 * HOUR)))[0]


def test_calm_that_ends_with_the_series_alone_is_not_without_end() -> None:
    flags = np.ones(4, dtype=bool)
    one = calm_of(Windows(HOUR * np.arange(4.0), np.full(4, HOUR), np.array([3]), workable=flags))
    assert not one.always
    waits = one.wait(np.array([0.0, 2.0]) * HOUR, np.array([4.0, 3.0]) * HOUR) / HOUR
    assert waits == pytest.approx([0.0, 2.0])
    assert one.share == 1.0


@pytest.mark.parametrize("seed", range(6))
def test_the_waits_of_members_are_those_of_the_windows(seed: int) -> None:
    rng = np.random.default_rng(seed)
    stands, gaps = rng.choice([1.0, 3.0, 6.0], 200) * HOUR, np.unique(rng.integers(0, 200, 6))
    time = np.append(0.0, np.cumsum(stands + 1e7 * np.isin(np.arange(200), gaps))[:-1])
    judged = Windows(time, stands, gaps, workable=rng.random(200) < 0.8)
    calm, clock = calm_of(judged), judged.clock(time)
    assert calm.lengths.sum() == pytest.approx(judged.share * judged.known)
    for needed in (HOUR, 7 * HOUR, 20 * HOUR):
        expected = judged.waits(needed)
        found = calm.wait(clock + 1e-4, np.full(200, needed - 1e-3))
        assert np.array_equal(np.isinf(found), np.isinf(expected))
        finite = np.isfinite(expected)
        assert found[finite] == pytest.approx(expected[finite], abs=1e-2)


def test_the_season_does_not_shift_where_the_series_begins_anew(frame: Frame) -> None:
    """Storms from October on, in a year and a half: each autumn has them, however long it takes."""
    time = np.arange(0.0, 1.5 * YEAR, 6 * HOUR)
    height = np.where(np.mod(time, YEAR) > 273.0 * DAY, 9.0, 1.0)
    rough = in_series(frame, time, height)
    assert rough.hole.weather is not None
    calm = calm_of(windows(rough.hole.weather, WeatherLimits(3.0, 20.0)).in_whole_years)
    for years in range(6):
        begun = weather_clock(rough.hole, np.array([272.0, 290.0]) * DAY + years * YEAR)
        waits = calm.wait(begun, np.full(2, 2.0 * DAY)) / DAY
        assert waits == pytest.approx([365.25 - 272.0, 365.25 - 290.0], abs=0.3)


def test_the_clock_of_a_whole_series_is_the_calendar(main: Hole) -> None:
    assert main.weather is not None
    time = np.linspace(0.0, 900.0, 31) * DAY
    assert weather_clock(main, time) == pytest.approx(time, abs=1e-3)
    assert series_of(main.weather).in_whole_years is series_of(main.weather)
    nothing = replace(main, weather=None)
    assert weather_clock(nothing, time) is time
