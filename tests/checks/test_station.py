"""Station keeping: what is lost is lost with all that it fed, and the sea does not wait."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bathybore.checks.ledger import records_of
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.station import capability, station_checks
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.advance import initial_state
from bathybore.operations.sea_conditions import mean_density, surface_density
from bathybore.operations.state import HoleState
from bathybore.operations.station import station_load, thruster_thrust
from bathybore.operations.steps import Step, StepKind
from varied import changed

EXAMPLES = Path(__file__).parents[2] / "examples"

HOLD = ("hold-intact", "hold-after-thruster-loss", "hold-after-switchboard-loss")


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(EXAMPLES / "main")


def state_of(hole: Hole, kind: StepKind = StepKind.HOLD_STATION) -> HoleState:
    return replace(initial_state(hole), step=Step(kind.name.lower(), kind, "A step"))


def judged(hole: Hole) -> dict[str, CheckRecord]:
    return {record.name: record for record in station_checks(state_of(hole))}


def numbers(record: CheckRecord) -> tuple[float, float]:
    assert record.demand is not None
    assert record.capacity is not None
    return float(record.demand), float(record.capacity)


# ---- losses ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["main", "riserless", "frontier"])
def test_a_lost_thruster_lowers_and_a_lost_board_lowers_more(name: str) -> None:
    intact, thruster, board = capability(load_hole(EXAMPLES / name))
    assert 0.0 < board.capability_factor < thruster.capability_factor < intact


def test_the_reserve_is_kept_after_failures_too(hole: Hole) -> None:
    calm, reserved = judged(hole), judged(changed(hole, "design_basis/station_reserve", 0.9))
    for name in HOLD:
        assert numbers(calm[name])[0] == pytest.approx(1.25)
        assert numbers(reserved[name])[0] == pytest.approx(1.9)


def test_surviving_boards_carry_all_of_hotel_and_drilling(hole: Hole) -> None:
    """With 30 of 39 MW for hotel, two boards of 26 MW leave nothing for thrusters."""
    greedy = changed(hole, "vessel/hotel_and_drilling_power", 30e6)
    intact, _, board = capability(greedy)
    assert intact > 0.0
    assert board.capability_factor == 0.0
    assert judged(greedy)["hold-after-switchboard-loss"].status is Status.FAILS


def test_hotel_load_tells_on_a_lost_board_as_on_boards_as_small(hole: Hole) -> None:
    """Losing board C is what a vessel has that never had it: the same hotel load on two."""
    hungry = changed(hole, "vessel/hotel_and_drilling_power", 20e6)
    losses = capability(hungry)[2]
    document = hungry.document
    kept = tuple(t for t in document.vessel.thrusters if t.switchboard != losses.lost)
    boards = {n: p for n, p in document.vessel.switchboards.items() if n != losses.lost}
    vessel = document.vessel.model_copy(update={"thrusters": kept, "switchboards": boards})
    never = replace(hungry, document=document.model_copy(update={"vessel": vessel}))
    assert capability(never)[0] == pytest.approx(losses.capability_factor, rel=1e-5)


def test_a_single_switchboard_leaves_nothing_when_it_is_lost(hole: Hole) -> None:
    one = changed(hole, "vessel/switchboards", {"A": 39e6})
    thrusters = tuple(t.model_copy(update={"switchboard": "A"}) for t in one.vessel.thrusters)
    one = changed(one, "vessel/thrusters", thrusters)
    assert capability(one)[2].capability_factor == 0.0
    assert judged(one)["hold-after-switchboard-loss"].status is Status.FAILS


def test_the_worst_loss_is_named(hole: Hole) -> None:
    records, (_, thruster, board) = judged(hole), capability(hole)
    assert thruster.lost in records["hold-after-thruster-loss"].note
    assert board.lost in records["hold-after-switchboard-loss"].note
    assert all(name in records["hold-after-switchboard-loss"].note for name in board.stopped)


# ---- power -------------------------------------------------------------------------------


def test_more_hotel_than_power_is_judged_and_no_pass(hole: Hole) -> None:
    records = judged(changed(hole, "vessel/hotel_and_drilling_power", 50e6))
    assert set(records) == set(judged(hole))
    assert all(records[name].status is Status.FAILS for name in HOLD)
    assert records["power"].status is Status.NOT_JUDGED
    assert "hold-intact" in records["power"].reason


def test_a_storm_that_cannot_be_held_leaves_no_question_out(hole: Hole) -> None:
    records = judged(changed(hole, "site/environment/wind_speed", 70.0))
    assert set(records) == set(judged(hole))
    assert records["hold-intact"].status is Status.FAILS
    assert records["power"].status is Status.NOT_JUDGED


def test_power_kept_back_is_not_there_for_use(hole: Hole) -> None:
    assert judged(changed(hole, "design_basis/power_reserve", 0.8))["power"].status is Status.FAILS


# ---- sea ---------------------------------------------------------------------------------


def test_sea_density_is_that_of_the_table(hole: Hole) -> None:
    """Sea water of 34.6 at 19.5 degC: 1024.5; whole ocean of 2.5 km, compressed: about 1034."""
    assert float(surface_density(hole)) == pytest.approx(1024.5, abs=0.5)
    assert float(mean_density(hole)) == pytest.approx(1033.5, abs=2.0)
    fresh = {**hole.sea.numbers, "practical_salinity": 0.0 * hole.sea.depths}
    lake = replace(hole, sea=replace(hole.sea, numbers=fresh))
    assert float(surface_density(lake)) == pytest.approx(998.3, abs=0.3)  # water at 19.5 degC
    assert abs(float(station_load(lake).sway)) < abs(float(station_load(hole).sway))


def test_the_greater_surface_current_is_used_and_said(hole: Hole) -> None:
    speeds = hole.sea.numbers["current_speed"]
    table = replace(
        hole, sea=replace(hole.sea, numbers={**hole.sea.numbers, "current_speed": 2.0 * speeds})
    )
    planned = changed(hole, "site/environment/surface_current", 1.6)
    for stronger in (table, planned):
        assert abs(float(station_load(stronger).sway)) > abs(float(station_load(hole).sway))
        assert float(thruster_thrust(stronger, 0)) < float(thruster_thrust(hole, 0))
        assert capability(stronger)[0] < capability(hole)[0]
        assert "the greater is used" in judged(stronger)["hold-intact"].note
    assert float(station_load(table).sway) == pytest.approx(float(station_load(planned).sway))
    assert "the greater is used" not in judged(hole)["hold-intact"].note


def test_more_of_any_weather_leaves_less(hole: Hole) -> None:
    before = capability(hole)[0]
    for path, value in (
        ("wind_speed", 30.0),
        ("significant_wave_height", 8.0),
        ("surface_current", 1.8),
        ("heading_off_weather", np.radians(60.0)),
    ):
        assert capability(changed(hole, f"site/environment/{path}", value))[0] < before, path


# ---- when it is asked --------------------------------------------------------------------


def test_holding_is_asked_on_arrival_and_when_the_riser_is_on(hole: Hole) -> None:
    records = [
        record
        for kind in (StepKind.HOLD_STATION, StepKind.RUN_RISER)
        for record in records_of(state_of(hole, kind))
        if record.name in HOLD
    ]
    assert [record.name for record in records] == [*HOLD, *HOLD]
    assert len({record.id for record in records}) == 6


@pytest.mark.parametrize(
    ("path", "value", "name"),
    [
        ("vessel/hull/lateral_wind_area", 2e5, "hold-intact"),
        ("vessel/hull/frontal_wind_area", 5e4, "hold-intact"),
        ("site/target_radius", 1.0, "position"),
        ("site/fix_tolerance", 50.0, "position"),
        ("site/acoustic_tolerance", 50.0, "position"),
        ("site/lever_arm_error", 50.0, "position"),
    ],
)
def test_an_absurd_input_changes_the_verdict(
    hole: Hole, path: str, value: float, name: str
) -> None:
    assert judged(hole)[name].status is Status.HOLDS
    assert judged(changed(hole, path, value))[name].status is Status.FAILS
