"""Windows and waits of a series of weather against counting row by row; faults of its file."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.errors import InputErrors
from bathybore.model.csv_tables import parse_table
from bathybore.model.loading import load_hole
from bathybore.model.tables import WEATHER_COLUMNS
from bathybore.operations.operability import WeatherLimits, Windows, scatter, windows
from bathybore.usecases.walking import walk
from bathybore.usecases.weather_windows import weather_windows
from varied import EXAMPLES

HEADER = "time [h],significant_wave_height [m],peak_period [s],wind_speed [m/s]\n"


def series(flags: list[bool], hours: float = 6.0) -> Windows:
    time = 3600.0 * hours * np.arange(len(flags))
    return Windows(time, np.full(len(flags), 3600.0 * hours), workable=np.array(flags))


def test_waits_of_a_series_counted_by_hand() -> None:
    """Rows of 6 h: two good, one bad, three good, one bad; round and round."""
    judged = series([True, True, False, True, True, True, False])
    assert judged.share == pytest.approx(5 / 7)
    assert (judged.left / 3600.0).tolist() == [12.0, 6.0, 0.0, 18.0, 12.0, 6.0, 0.0]
    assert (judged.waits(18 * 3600.0) / 3600.0).tolist() == [18, 12, 6, 0, 36, 30, 24]
    assert judged.waits(20 * 3600.0).tolist() == [np.inf] * 7
    assert judged.longest(True) == 18 * 3600.0
    assert judged.longest(False) == 6 * 3600.0


def test_calm_and_storm_without_end() -> None:
    assert series([True] * 4).waits(1e9).tolist() == [0.0] * 4
    assert series([False] * 4).waits(1.0).tolist() == [np.inf] * 4
    assert series([False] * 4).share == 0.0


def test_a_run_goes_on_over_the_turn_of_the_year() -> None:
    judged = series([True, False, False, True, True])
    assert judged.longest(True) == 18 * 3600.0
    assert judged.waits(18 * 3600.0)[3] == 0.0


@given(st.lists(st.booleans(), min_size=2, max_size=30), st.integers(1, 6))
def test_waits_against_a_plain_count(flags: list[bool], rows: int) -> None:
    judged, count = series(flags), len(flags)
    needed = rows * 6 * 3600.0
    for start in range(count):
        waited = next(
            (
                ahead
                for ahead in range(count)
                if all(flags[(start + ahead + n) % count] for n in range(min(rows, count)))
            ),
            None,
        )
        expected = np.inf if waited is None else waited * 6 * 3600.0
        # a window longer than the whole series is there only where all of it is good
        if rows > count and not all(flags):
            expected = np.inf
        assert judged.waits(needed)[start] == expected


def test_months_begin_where_the_calendar_has_them() -> None:
    days = np.array([0.0, 30.9, 31.0, 59.2, 59.3, 364.9, 365.3])
    judged = Windows(86400.0 * days, np.full(7, 86400.0), workable=np.full(7, True))
    assert judged.months.tolist() == [0, 0, 1, 1, 2, 11, 0]


def test_the_scatter_holds_all_of_the_time() -> None:
    hole = load_hole(EXAMPLES / "main")
    assert hole.weather is not None
    judged = windows(hole.weather, WeatherLimits(4.5, 18.0))
    found = scatter(hole.weather, judged)
    assert found.shares.sum() == pytest.approx(1.0)
    height = hole.weather.numbers["significant_wave_height"]
    low = float(np.mean(height < 2.0))
    assert found.shares[:2].sum() == pytest.approx(low)
    assert windows(hole.weather, WeatherLimits(9.9, 60.0)).share == 1.0


def test_more_weather_borne_is_never_less_time() -> None:
    table = load_hole(EXAMPLES / "main").weather
    assert table is not None
    shares = [windows(table, WeatherLimits(h, 20.0)).share for h in (1.0, 2.0, 3.0, 5.0)]
    assert shares == sorted(shares)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("0,2.0,0,8\n6,2,7,8\n", "more than zero"),
        ("0,2.0,7,8\n0,2,7,8\n", "times that grow"),
        ("0,-2.0,7,8\n6,2,7,8\n", "zero or more"),
        ("0,2.0,7,8\n6,,7,8\n", "complete"),
    ],
)
def test_a_series_that_cannot_be_is_named_with_its_line(rows: str, words: str) -> None:
    with pytest.raises(InputErrors, match=words) as caught:
        parse_table(HEADER + rows, "weather.csv", WEATHER_COLUMNS)
    assert "weather.csv, line" in caught.value.faults[0].where


def test_a_hole_without_a_series_tells_of_storms_alone(tmp_path: Path) -> None:
    folder = shutil.copytree(EXAMPLES / "main", tmp_path / "main")
    place = folder / "hole.yaml"
    lines = [
        line
        for line in place.read_text(encoding="utf-8").splitlines()
        if not line.startswith("  weather:")
    ]
    place.write_text("\n".join(lines), encoding="utf-8")
    told = weather_windows(walk(folder))
    assert told.judged is None
    assert {one.name for one in told.records} == {"storm-warning", "operation-current"}
    assert "none is given" in str(told.topic("metric").facts)
    assert "not known" in str(told.topic("metric").tables)
