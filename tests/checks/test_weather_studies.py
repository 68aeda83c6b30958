"""Every step in its own weather: windows, waits and shares against plain counts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.base.units import show
from bathybore.checks.operability import (
    time_at_one_go,
    wait_of,
    waiting_steps,
    waiting_studies,
    weather_studies,
)
from bathybore.checks.record import CheckRecord, Status
from bathybore.model.csv_tables import parse_table
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.model.tables import SCATTER_COLUMNS, ProfileTable
from bathybore.operations.operability import windows
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.walk import walk_hole
from bathybore.operations.weather_limits import AT_ONE_GO, OPERATION_OF, Operation, limits_of
from bathybore.usecases.walking import walk_loaded
from bathybore.usecases.weather_windows import weather_windows
from varied import EXAMPLES, changed


@pytest.fixture(scope="module")
def main() -> Hole:
    return load_hole(EXAMPLES / "main")


@pytest.fixture(scope="module")
def states(main: Hole) -> dict[str, HoleState]:
    return {one.step.name: one for one in walk_hole(main)}


def asked(state: HoleState) -> dict[str, CheckRecord]:
    return {one.name: one for one in weather_studies(state)}


def good_rows(hole: Hole, operation: Operation) -> list[bool]:
    """Judge the rows of the series one by one."""
    table, limits = hole.weather, limits_of(hole.setting, operation).numbers
    assert table is not None
    pairs = zip(table.numbers["significant_wave_height"], table.numbers["wind_speed"], strict=True)
    return [h <= limits.significant_wave_height and w <= limits.wind_speed for h, w in pairs]


def test_every_kind_of_step_has_an_operation() -> None:
    assert set(OPERATION_OF) == set(StepKind)


def test_limits_are_the_lesser_of_its_own_and_of_the_plan(main: Hole) -> None:
    riser = limits_of(main.setting, Operation.RUNNING_RISER)
    assert float(riser.wave_height) == 3.5  # its own, assumed
    assert float(riser.current) == 0.8  # the plan's: the riser is judged in no more
    calm = changed(main, "site/environment/significant_wave_height", 2.0)
    assert float(limits_of(calm.setting, Operation.RUNNING_RISER).wave_height) == 2.0


def test_the_waits_for_a_riser_counted_minute_by_minute(
    main: Hole, states: dict[str, HoleState]
) -> None:
    """From every tenth minute of April to August on, look ahead for minutes that are all good."""
    good, state = good_rows(main, Operation.RUNNING_RISER), states["run-riser"]
    needed = float(time_at_one_go(state)) / 60.0
    goes = np.repeat(np.tile(good, 2), 360)  # a row is six hours
    minutes = np.arange(len(goes))
    stops = np.append(np.flatnonzero(~goes), len(goes))
    left = stops[np.searchsorted(stops, minutes)] - minutes  # none where it does not go on
    begins = np.flatnonzero(left >= needed)
    starts = np.arange(90 * 1440 + 360, 243 * 1440 + 360, 10) + 5  # the first row of 1 April on
    waits = (begins[np.searchsorted(begins, starts)] - starts) / 60.0
    step = next(one for one in waiting_steps(states["depart"]) if one[0] == "run-riser")
    assert main.weather is not None
    assert wait_of(main.setting, main.weather, step) / 3600.0 == pytest.approx(
        waits.mean(), abs=0.02
    )
    told = windows(main.weather, limits_of(main.setting, Operation.RUNNING_RISER).numbers)
    any_time = told.any_time(float(time_at_one_go(state))).of(told.rows_in(main.site.months))
    assert any_time.none == pytest.approx(np.mean(waits == 0.0), abs=1e-3)
    assert any_time.within(0.9) / 3600.0 == pytest.approx(np.quantile(waits, 0.9), abs=0.1)
    note = asked(state)["weather-window"].note
    assert show(any_time.mean, "s", significant=2) in note
    ninth = show(any_time.within(0.9), "s", significant=2)
    assert f"{ninth} or less in 9 of 10" in note


def test_a_step_longer_than_every_window_fails(states: dict[str, HoleState]) -> None:
    state = states["run-riser"]
    slow = replace(state, times=tuple(replace(one, si=50.0 * float(one)) for one in state.times))
    assert asked(state)["weather-window"].status is Status.HOLDS
    assert asked(slow)["weather-window"].status is Status.FAILS


def test_the_current_of_the_place_is_judged_where_no_series_tells_it(
    main: Hole, states: dict[str, HoleState]
) -> None:
    assert asked(states["run-riser"])["operation-current"].status is Status.HOLDS
    fast = changed(main, "site/environment/surface_current", 1.2)
    state = replace(states["run-riser"], hole=fast)
    assert asked(state)["operation-current"].status is Status.FAILS
    assert main.weather is not None
    numbers = {**main.weather.numbers, "current_speed": np.full(1460, 0.3)}
    told = replace(fast, weather=replace(main.weather, numbers=numbers))
    assert "operation-current" not in asked(replace(state, hole=told))


def test_all_steps_together_wait_for_the_sum_of_their_waits(
    main: Hole, states: dict[str, HoleState]
) -> None:
    (record,) = waiting_studies(states["depart"])
    assert main.weather is not None
    assert record.demand is not None
    assert record.capacity is not None
    steps = waiting_steps(states["depart"])
    waits = sum(wait_of(main.setting, main.weather, one) for one in steps)
    assert float(record.demand) == pytest.approx(waits)
    total = sum(float(one[3]) for one in steps)
    assert float(record.capacity) == pytest.approx(0.12 * total)
    assert record.status is Status.HOLDS
    all_year = changed(changed(main, "site/first_month", None), "site/last_month", None)
    (stormy,) = waiting_studies(replace(states["depart"], hole=all_year))
    assert stormy.demand is not None
    assert float(stormy.demand) > float(record.demand)


def test_a_weather_that_never_comes_is_no_wait(main: Hole, states: dict[str, HoleState]) -> None:
    hole = changed(main, "design_basis/running_riser_wave_height", 0.1)
    (record,) = waiting_studies(replace(states["depart"], hole=hole))
    assert record.status is Status.NOT_JUDGED
    assert "run-riser never comes" in record.reason


def test_months_without_a_row_are_not_judged(main: Hole, states: dict[str, HoleState]) -> None:
    assert main.weather is not None
    first = slice(0, 40)
    numbers = {name: column[first] for name, column in main.weather.numbers.items()}
    short = replace(main, weather=replace(main.weather, numbers=numbers))
    for name in ("hold-station", "run-riser"):
        found = asked(replace(states[name], hole=short))
        assert {one.status for one in found.values()} == {Status.NOT_JUDGED}
    told = weather_windows(walk_loaded(short)).topic("metric")
    assert "not known" in str(told.tables[0].rows)


def test_one_planned_month_without_a_row_is_not_judged_and_named(
    main: Hole, states: dict[str, HoleState]
) -> None:
    """The season is April to August; the series is cut after July."""
    assert main.weather is not None
    to_july = main.weather.numbers["time"] < 212.0 * 86400.0
    numbers = {name: column[to_july] for name, column in main.weather.numbers.items()}
    short = replace(main, weather=replace(main.weather, numbers=numbers))
    for name in ("hold-station", "run-riser"):
        found = asked(replace(states[name], hole=short)).values()
        assert {one.status for one in found} == {Status.NOT_JUDGED}
        assert all("no row in August, which the plan may meet" in one.reason for one in found)
    (waiting,) = waiting_studies(replace(states["depart"], hole=short))
    assert waiting.status is Status.NOT_JUDGED
    facts = dict(weather_windows(walk_loaded(short)).topic("metric").facts)
    assert "no row in August" in facts["Series"]
    assert "Share of time" not in facts
    sooner = changed(short, "site/last_month", 7)
    assert asked(replace(states["run-riser"], hole=sooner))["weather-window"].status is Status.HOLDS


def test_gaps_and_a_cut_are_told(main: Hole) -> None:
    assert main.weather is not None

    def told(time: np.ndarray) -> str:
        height = np.full(len(time), 1.0)
        numbers = dict.fromkeys(main.weather.numbers, height) | {"time": time}  # type: ignore[union-attr]
        hole = replace(main, weather=replace(main.weather, numbers=numbers))  # type: ignore[type-var]
        return dict(weather_windows(walk_loaded(hole)).topic("metric").facts)["Series"]

    hours = np.arange(0.0, 1.5 * 365.25 * 86400.0, 21600.0)
    assert "the odds go round in the first 365 days" in told(hours)
    assert "nothing is known: 1" in told(hours[(hours < 5e6) | (hours > 6e6)])
    assert "another time of the year than it begins" in told(hours[:1000])
    assert told(hours[:1460]) == "1460 rows over 365 days"


def by_scatter(hole: Hole, rows: str, month: str = "") -> Hole:
    header = f"significant_wave_height [m],peak_period [s],share_of_time [-]{month}\n"
    table: ProfileTable = parse_table(header + rows, "scatter.csv", SCATTER_COLUMNS)
    return replace(hole, weather=None, scatter=table)


def test_a_scatter_gives_shares_and_no_windows(main: Hole, states: dict[str, HoleState]) -> None:
    hole = by_scatter(main, "1,7,0.4\n3,9,0.5\n5,11,0.1\n")
    found = asked(replace(states["run-riser"], hole=hole))
    record = found["weather-downtime"]
    assert "weather-window" not in found
    assert record.demand is not None
    # classes reach from 2 to 4 m and from 4 to 6 m; running the riser stops at 3.5 m
    assert float(record.demand) == pytest.approx(0.1 + 0.25 * 0.5)
    assert "tells neither wind nor how long" in record.note
    assert list(waiting_studies(replace(states["depart"], hole=hole))) == []
    told = weather_windows(walk_loaded(hole))
    assert "cannot tell how long" in str(told.topic("metric").facts)
    station = next(one for one in told.operations if one.limits.operation is Operation.STATION)
    assert station.within == pytest.approx(0.9 + 0.25 * 0.1)


def test_a_scatter_without_a_planned_month_is_not_judged(
    main: Hole, states: dict[str, HoleState]
) -> None:
    months = {month: f"1,7,0.6,{month}\n5,11,0.4,{month}\n" for month in range(1, 13)}
    whole = by_scatter(main, "".join(months[month] for month in range(4, 9)), ",month [-]")
    record = asked(replace(states["run-riser"], hole=whole))["weather-downtime"]
    assert record.demand is not None
    part = by_scatter(main, "".join(months[month] for month in (1, 2, 4, 5, 6, 8)), ",month [-]")
    for hole, names in ((part, "July"), (by_scatter(main, months[1], ",month [-]"), "April, May")):
        record = asked(replace(states["run-riser"], hole=hole))["weather-downtime"]
        assert record.status is Status.NOT_JUDGED
        assert f"scatter.csv has no row in {names}" in record.reason
        told = weather_windows(walk_loaded(hole))
        assert all(one.within is None for one in told.operations)
        assert "not known" in str(told.topic("metric").tables)


def test_a_scatter_of_the_rows_tells_what_the_rows_tell(main: Hole) -> None:
    """Narrow classes of the series itself give its shares."""
    assert main.weather is not None
    height = np.round(main.weather.numbers["significant_wave_height"], 1)
    known, counts = np.unique(height, return_counts=True)
    rows = "".join(f"{h:.1f},9,{c / len(height):.9f}\n" for h, c in zip(known, counts, strict=True))
    told = weather_windows(walk_loaded(by_scatter(main, rows)))
    for one in told.operations:
        assert one.within is not None
        limit = float(one.limits.wave_height) + 0.05  # where the class ends
        part = float(np.mean(height <= limit))
        assert one.within == pytest.approx(part, abs=0.02)


def test_steps_at_one_go_are_told_month_by_month(main: Hole) -> None:
    told = weather_windows(walk_loaded(main)).topic("metric")
    titles = [table.title for table in told.tables]
    assert sum("by month" in title for title in titles) == 2
    steps = [one for one in walk_hole(main) if one.step.kind in AT_ONE_GO]
    by_month = next(table for table in told.tables if table.title.startswith("Mean wait"))
    assert len(by_month.rows) == len(steps)
    assert len(by_month.columns) == 13
