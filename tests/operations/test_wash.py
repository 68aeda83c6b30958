"""Sectors that neighbours bar: as far as the wash takes too much, and only where that is told."""

from __future__ import annotations

from dataclasses import replace
from math import degrees, pi
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.checks.station import capability, holding_checks
from bathybore.kernels.thrust import (
    barred_half_angle,
    tandem_thrust_factor,
    turned_thrust_factor,
)
from bathybore.model.crosschecks import document_faults
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.model.vessel import Sector
from bathybore.operations.advance import initial_state
from bathybore.operations.station import fleet
from bathybore.operations.steps import Step, StepKind
from bathybore.operations.wash import barred_by_neighbours, barred_wash
from varied import changed

EXAMPLES = Path(__file__).parents[2] / "examples"
SHARE = "vessel/least_wash_thrust_share"


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(EXAMPLES / "main")


@pytest.fixture(scope="module")
def told(hole: Hole) -> Hole:
    """The main hole with what a neighbour keeps, and no sector written."""
    thrusters = tuple(t.model_copy(update={"excluded": ()}) for t in hole.vessel.thrusters)
    return changed(changed(hole, "vessel/thrusters", thrusters), SHARE, 0.9)


# ---- equation ------------------------------------------------------------------------------


@given(st.floats(1.0, 40.0), st.floats(0.5, 0.98))
def test_at_the_edge_the_neighbour_keeps_its_share(diameters: float, share: float) -> None:
    straight = tandem_thrust_factor(diameters, 1.0)
    half = barred_half_angle(straight, share)
    if straight >= share:
        assert half == 0.0
    elif half < pi / 2.0:
        assert turned_thrust_factor(straight, half) == pytest.approx(share, rel=1e-9)
    else:
        assert turned_thrust_factor(straight, half) <= share


def test_a_neighbour_farther_off_bars_less_until_it_bars_nothing() -> None:
    """0.8 ** n ** (2/3) = 0.1 at n = (ln 0.1 / ln 0.8) ** 1.5 = 33.15 diameters."""
    end = (np.log(0.1) / np.log(0.8)) ** 1.5
    halves = barred_half_angle(
        tandem_thrust_factor(np.array([2.0, 6.0, 20.0, 33.0, end * (1 - 1e-12), 34.0]), 1.0), 0.9
    )
    assert np.all(np.diff(halves) <= 0.0)
    assert 0.0 < np.degrees(halves[3]) < 3.0
    assert np.degrees(halves[4]) < 0.05
    assert halves[5] == 0.0


def test_propellers_that_nearly_touch_bar_no_more_than_a_right_angle() -> None:
    assert barred_half_angle(0.2, 0.99) == pi / 2.0


# ---- vessel --------------------------------------------------------------------------------


def test_a_pair_abeam_bars_alike_to_starboard_and_to_port(told: Hole) -> None:
    found = {(one.thruster, one.neighbour): one for one in barred_by_neighbours(told.setting)}
    there, back = found["bow-port", "bow-starboard"], found["bow-starboard", "bow-port"]
    assert degrees(there.bearing) == pytest.approx(90.0)
    assert degrees(back.bearing) == pytest.approx(270.0)
    # 22 m of 3.6 m: 1 - 0.8 ** 3.3426 = 0.52568; cbrt(130 / 0.14527 * 0.37432 / 0.1) = 14.963
    assert degrees(float(there.half_angle)) == pytest.approx(14.963, abs=0.002)
    assert float(back.half_angle) == float(there.half_angle)
    # bow and stern are 150 m apart and more: 40 diameters
    assert not any(one[:3] == "bow" and other[:5] == "stern" for one, other in found)


def test_the_push_is_barred_opposite_to_the_wash(told: Hole) -> None:
    """Wash to starboard pushes to port, which is 90 degrees in the axes of thrust."""
    port = next(one for one in fleet(told.setting) if one.name == "bow-port")
    assert any(sector.holds(pi / 2.0) for sector in port.excluded_sectors)
    assert not any(sector.holds(-pi / 2.0) for sector in port.excluded_sectors)


def test_a_sector_that_is_written_rules(told: Hole) -> None:
    mine = (Sector.model_construct(start=1.0, end=1.2),)
    one = changed(told, "vessel/thrusters/1/excluded", mine)
    assert barred_wash(one.setting, one.vessel.thrusters[1]) == ((1.0, 1.2),)
    assert one.vessel.thrusters[1].name not in {
        each.thruster for each in barred_by_neighbours(one.setting)
    }


def test_nothing_is_barred_unless_it_is_told(told: Hole) -> None:
    untold = changed(told, SHARE, None)
    assert barred_by_neighbours(untold.setting) == ()
    assert not any(one.excluded_sectors for one in fleet(untold.setting))


def test_barred_sectors_never_help_and_stand_in_the_working(told: Hole) -> None:
    untold = changed(told, SHARE, None)
    assert capability(told)[0] <= capability(untold)[0] * (1.0 + 1e-6)
    step = Step("hold", StepKind.HOLD_STATION, "A step")
    record = next(iter(holding_checks(replace(initial_state(told), step=step))))
    assert record.capacity is not None
    names = [value.name for value in record.capacity.origin.inputs]
    assert names.count("barred_half_angle") == len(barred_by_neighbours(told.setting))


def test_propellers_within_each_other_are_a_fault(told: Hole) -> None:
    near = changed(told, "vessel/thrusters/2/starboard", -10.0)
    (fault,) = [one for one in document_faults(near.document) if "from 'bow-port'" in one.found]
    assert "3.6 m" in fault.expected
    assert not [one for one in document_faults(told.document) if "propeller" in one.expected]


def _at(hole: Hole, places: dict[str, tuple[float, float]]) -> Hole:
    like = hole.vessel.thrusters[0]
    found = tuple(
        like.model_copy(update={"name": name, "forward": x, "starboard": y, "excluded": ()})
        for name, (x, y) in places.items()
    )
    return changed(hole, "vessel/thrusters", found)


def test_a_thruster_that_neighbours_bar_all_round_is_a_fault(told: Hole) -> None:
    cross = {"mid": (80.0, 0.0), "fore": (84.0, 0.0), "aft": (76.0, 0.0)}
    sides = {"port": (80.0, -4.0), "starboard": (80.0, 4.0)}
    (fault,) = document_faults(_at(told, cross | sides).document)
    assert "'mid'" in fault.found
    assert "every direction barred" in fault.found
    assert not [*document_faults(_at(told, cross).document)]  # abeam is left to it
    assert not [*document_faults(changed(_at(told, cross | sides), SHARE, None).document)]


@pytest.mark.parametrize(
    ("sectors", "words"),
    [
        ([(-10.0, 370.0)], "less than a full turn apart"),  # else read as 20 degrees
        ([(0.0, 360.0)], "less than a full turn apart"),
        ([(10.0, 10.0)], "less than a full turn apart"),
        ([(0.0, 180.0), (170.0, 10.0)], "some direction"),
        ([(0.0, 180.0), (180.0, 360.0)], "some direction"),
        ([(350.0, 10.0)], ""),
        ([(0.0, 180.0), (190.0, 10.0)], ""),
    ],
)
def test_written_sectors_leave_some_direction(
    told: Hole, sectors: list[tuple[float, float]], words: str
) -> None:
    mine = tuple(
        Sector.model_construct(start=start * pi / 180.0, end=end * pi / 180.0)
        for start, end in sectors
    )
    one = changed(told, "vessel/thrusters/1/excluded", mine)
    faults = [*document_faults(one.document)]
    assert [words in fault.expected for fault in faults] == ([True] if words else [])
    if not words:
        assert all(thruster.max_thrust > 0.0 for thruster in fleet(one.setting))
        assert capability(one)[0] > 0.0
