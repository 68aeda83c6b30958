"""Trips and heave: brute force, hand sums, tendencies, what is not asked."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.checks.heave_in_slips import heave_of_connection, heave_studies
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.trips import speeds_of, trip_checks, trip_studies
from bathybore.checks.window import at_rest, open_nodes
from bathybore.kernels.surge import surge_gradient_closed_end
from bathybore.model.hole import Hole
from bathybore.operations.columns import earth_value
from bathybore.operations.geometry import annuli_between, bores
from bathybore.operations.state import HoleState
from bathybore.operations.trips import moved_pipe, raised, trip_sheet
from bathybore.usecases.explaining import explain
from bathybore.usecases.walking import Walk
from varied import by_step, changed, state_of


@pytest.fixture(scope="module")
def drilling(main_walk: Walk) -> HoleState:
    """The deepest section with one flow law everywhere, so that plain arithmetic can follow it."""
    even = changed(main_walk.hole, "plan/fluids/mud-3/readings", ())
    return state_of(even, "drill-section-812")


def studied(state: HoleState) -> dict[str, CheckRecord]:
    return {one.name: one for one in (*trip_studies(state), *heave_studies(state))}


def capacity(record: CheckRecord) -> float:
    assert record.capacity is not None
    return float(record.capacity)


# ---- speed -------------------------------------------------------------------------------


def _margins(state: HoleState, bit: float, speed: float) -> tuple[float, float]:
    """Least room left of swab and of surge, node by node in a plain loop."""
    string, fluid = state.activity.string, state.activity.fluid
    assert string is not None
    assert fluid is not None
    segments = annuli_between(bores(state), raised(string, bit))
    z = open_nodes(state)
    rest = np.asarray(at_rest(state, z).si)
    pore = np.asarray(earth_value(state.hole, "pore_pressure", z).si)
    fracture = np.asarray(earth_value(state.hole, "fracture_pressure", z).si)
    swab, surge = np.inf, np.inf
    for node, depth in enumerate(z):
        change = 0.0
        for index in range(len(segments)):
            over = min(depth, float(segments.bottom[index])) - float(segments.top[index])
            if over > 0.0:
                change += over * float(
                    surge_gradient_closed_end(
                        speed, segments.outer_diameter[index], segments.inner_diameter[index],
                        fluid.density, fluid.yield_stress, fluid.consistency, fluid.flow_index,
                    )
                )  # fmt: skip
        swab = min(swab, rest[node] - change - pore[node])
        surge = min(surge, fracture[node] - rest[node] - change)
    return swab, surge


@pytest.mark.parametrize("place", [0, 7, 15])
def test_the_greatest_speed_leaves_nothing_and_a_little_less_leaves_something(
    drilling: HoleState, place: int
) -> None:
    speeds = speeds_of(drilling)
    bit = float(speeds.bit[place])
    for speed, which in ((speeds.pulling[place], 0), (speeds.running[place], 1)):
        assert abs(_margins(drilling, bit, float(speed))[which]) < 200.0
        assert _margins(drilling, bit, 0.98 * float(speed))[which] > 0.0
        assert _margins(drilling, bit, 1.02 * float(speed))[which] < 0.0


def test_it_agrees_with_the_quick_check_at_the_bottom(main_walk: Walk) -> None:
    for name in ("drill-section-1712", "drill-section-1214", "drill-section-812"):
        state = by_step(main_walk.states)[name]
        quick = {one.name: one for one in trip_checks(state)}
        usual = studied(state)["trip-speed"].demand
        assert usual is not None
        speeds = speeds_of(state)
        for side, check in ((speeds.pulling, "swab"), (speeds.running, "surge")):
            margin = quick[check].margin
            assert margin is not None
            assert (side[-1] >= float(usual)) == (margin >= 0.0)


def test_thicker_mud_and_a_narrower_window_slow_the_string(drilling: HoleState) -> None:
    plain = capacity(studied(drilling)["trip-speed"])
    thick = changed(drilling.hole, "plan/fluids/mud-3/consistency", 0.6)
    assert capacity(studied(state_of(thick, "drill-section-812"))["trip-speed"]) < plain
    light = changed(drilling.hole, "plan/fluids/mud-3/density", 1385.0)
    assert capacity(studied(state_of(light, "drill-section-812"))["trip-speed"]) < plain


def test_no_room_at_rest_is_no_speed_at_all(drilling: HoleState) -> None:
    light = changed(drilling.hole, "plan/fluids/mud-3/density", 1250.0)
    record = studied(state_of(light, "drill-section-812"))["trip-speed"]
    assert record.status is Status.FAILS
    assert capacity(record) == pytest.approx(0.0, abs=1e-6)


def test_records_open(drilling: HoleState) -> None:
    for name, record in studied(drilling).items():
        assert "static_pressure" in str(explain(record, "metric")) or name == "fill-up"


def test_returns_to_the_sea_floor_are_not_asked(main_walk: Walk) -> None:
    assert not studied(by_step(main_walk.states)["drill-top-hole"])


def test_open_pipe_moves_less_mud_than_closed(drilling: HoleState) -> None:
    string, fluid = drilling.activity.string, drilling.activity.fluid
    assert string is not None
    assert fluid is not None
    moved = moved_pipe(drilling.hole.setting, bores(drilling), string, fluid, 0.3)
    assert 0.0 < moved.open < moved.closed


# ---- filling -----------------------------------------------------------------------------


def test_the_trip_sheet_weighs_the_string(drilling: HoleState) -> None:
    string, setting = drilling.activity.string, drilling.hole.setting
    assert string is not None
    sheet = trip_sheet(setting, string)
    steel = sum(float(part.pipe.linear_mass) * part.length for part in string.parts) / 7850.0
    bore = sum(
        0.25 * np.pi * float(part.pipe.inside_diameter) ** 2 * part.length for part in string.parts
    )
    last = sheet.rows[-1]
    assert last.dry == pytest.approx(steel, rel=1e-9)
    assert last.wet == pytest.approx(steel + bore, rel=1e-9)
    assert last.bit == pytest.approx(float(setting.drill_floor), abs=1e-6)
    deepest = setting.basis.trip_tank_volume / setting.basis.trip_tank_area
    for row in sheet.rows:
        assert 0.0 <= row.level_dry <= deepest
        filled = row.fills_dry * sheet.tank + row.level_dry * setting.basis.trip_tank_area
        assert filled == pytest.approx(row.dry, rel=1e-9, abs=1e-9)


def test_fill_up_by_hand(drilling: HoleState) -> None:
    """Five stands of 66 kg/m pipe out of the 0.489 m bore of the riser, mud of 1.40."""
    record = studied(drilling)["fill-up"]
    assert record.demand is not None
    riser = bores(drilling)[0].diameter
    volume = 5 * 36.5 * 66.0 / 7850.0
    fall = volume / (0.25 * np.pi * riser**2 - 66.0 / 7850.0)
    assert float(record.demand) == pytest.approx(1400.0 * 9.79 * fall, rel=2e-3)


def test_a_string_pulled_up_keeps_its_foot_and_loses_its_top(drilling: HoleState) -> None:
    string = drilling.activity.string
    assert string is not None
    up = raised(string, float(string.bottom) - 1000.0)
    assert float(up.bottom) == pytest.approx(float(string.bottom) - 1000.0)
    assert sum(p.length for p in up.parts) == pytest.approx(
        sum(p.length for p in string.parts) - 1000.0
    )
    assert float(up.parts[-1].top) == float(string.parts[-1].top)


# ---- heave -------------------------------------------------------------------------------


def sea(hole: Hole, height: float) -> Hole:
    return changed(hole, "site/environment/significant_wave_height", height)


def test_a_rougher_sea_takes_more_of_the_heave_that_the_hole_bears(drilling: HoleState) -> None:
    calm, rough = (
        studied(state_of(sea(drilling.hole, height), "drill-section-812"))["heave-in-slips"]
        for height in (2.0, 8.0)
    )
    assert calm.demand is not None
    assert rough.demand is not None
    # four times the height, a little less by the change of the spectrum
    assert 3.2 * float(calm.demand) < float(rough.demand) < 4.0 * float(calm.demand)
    assert calm.margin is not None
    assert rough.margin is not None
    assert rough.margin < calm.margin


def test_a_hole_without_room_bears_no_heave(drilling: HoleState) -> None:
    light = changed(drilling.hole, "plan/fluids/mud-3/density", 1250.0)
    record = studied(state_of(light, "drill-section-812"))["heave-in-slips"]
    assert record.status is Status.FAILS
    assert capacity(record) == 0.0


def test_a_longer_connection_meets_a_higher_wave(drilling: HoleState) -> None:
    longer = changed(drilling.hole, "vessel/handling/connection_time", 3600.0)
    assert float(heave_of_connection(longer.setting)) > float(
        heave_of_connection(drilling.hole.setting)
    )
