"""Studies of station keeping on every example: asked, opened, and moved the right way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bathybore.checks.footprint import footprint_studies
from bathybore.checks.operability import storm_studies, weather_studies
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.station import station_studies
from bathybore.checks.watch_circles import watch_circle_studies
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.advance import initial_state
from bathybore.operations.state import HoleState
from bathybore.operations.steps import Step, StepKind
from varied import EXAMPLES, changed

ASKERS = {
    StepKind.HOLD_STATION: (station_studies, footprint_studies, weather_studies),
    StepKind.RUN_RISER: (watch_circle_studies, storm_studies),
}
AT_STATION = ("heading-sector", "footprint")
AT_RISER = ("watch-circle-disconnect", "watch-circle-prepare", "drive-off", "storm-warning")


@pytest.fixture(scope="module")
def main() -> Hole:
    return load_hole(EXAMPLES / "main")


def asked(hole: Hole, kind: StepKind) -> dict[str, CheckRecord]:
    state: HoleState = replace(initial_state(hole), step=Step("step", kind, "A step"))
    return {one.name: one for ask in ASKERS[kind] for one in ask(state)}


@pytest.mark.parametrize("name", ["main", "riserless", "frontier"])
def test_every_example_is_judged(name: str) -> None:
    hole = load_hole(EXAMPLES / name)
    station = asked(hole, StepKind.HOLD_STATION)
    for question in AT_STATION:
        assert station[question].status in (Status.HOLDS, Status.TIGHT)
    assert ("weather-downtime" in station) == (hole.weather is not None)


def test_the_storm_leaves_time_in_shallower_water_alone(main: Hole) -> None:
    assert asked(main, StepKind.RUN_RISER)["storm-warning"].status is Status.HOLDS
    frontier = load_hole(EXAMPLES / "frontier")
    assert asked(frontier, StepKind.RUN_RISER)["storm-warning"].status is Status.FAILS


def test_a_hole_without_a_riser_is_not_judged(main: Hole) -> None:
    bare = changed(main, "inventory/riser", None)
    state = replace(initial_state(bare), step=Step("step", StepKind.RUN_RISER, "A step"))
    found = list(watch_circle_studies(state))
    assert len(found) == 5
    assert {one.status for one in found} == {Status.NOT_JUDGED}


def margins(hole: Hole, kind: StepKind, names: tuple[str, ...]) -> dict[str, float]:
    found = asked(hole, kind)
    return {name: found[name].margin or 0.0 for name in names}


def test_more_weather_leaves_less_of_everything(main: Hole) -> None:
    sea = main.site.environment.model_copy(
        update={"wind_speed": 22.0, "significant_wave_height": 6.0}
    )
    rough = changed(main, "site/environment", sea)
    for kind, names in (
        (StepKind.HOLD_STATION, (*AT_STATION, "weather-downtime")),
        (StepKind.RUN_RISER, AT_RISER[:3]),
    ):
        calm, worse = margins(main, kind, names), margins(rough, kind, names)
        for name in names:
            better_known = name == "weather-downtime"  # of a sea borne more of the time
            assert (worse[name] > calm[name]) == better_known, name


def test_time_given_up_is_offset_given_up(main: Hole) -> None:
    slow = changed(main, "design_basis/disconnect_reaction_time", 60.0)
    names = AT_RISER[:3]
    quick, late = (margins(one, StepKind.RUN_RISER, names) for one in (main, slow))
    assert all(late[name] < quick[name] for name in names)


def test_wind_kept_in_the_workings(main: Hole) -> None:
    record = asked(main, StepKind.RUN_RISER)["watch-circle-disconnect"]
    assert record.capacity is not None
    names = {one.equation.name for one in record.capacity.workings()}
    # without a conductor in this state the stroke decides, of which heave takes its part
    assert {"wind_surge_force", "sway_added_mass", "most_probable_maximum"} <= names
