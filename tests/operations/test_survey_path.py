"""The path of a surveyed hole: circles by hand, symmetry, bad tables."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bathybore.base.errors import InputErrors
from bathybore.checks.ledger import records_of
from bathybore.checks.record import CheckRecord, Status
from bathybore.model.csv_tables import parse_table
from bathybore.model.loading import load_hole
from bathybore.model.tables import SURVEY_COLUMNS
from bathybore.operations.survey_path import SurveyPath, survey_path
from bathybore.usecases.walking import Walk
from varied import EXAMPLES, by_step

HEADER = "measured_depth_below_sea_bed [m],inclination [deg],azimuth [deg]\n"
QUARTER = "0,0,0\n500,0,0\n1000,45,30\n1500,90,30\n"  # radius 500 / (pi/4)


def path(rows: str) -> SurveyPath:
    return SurveyPath(parse_table(HEADER + rows, "survey.csv", SURVEY_COLUMNS))


# ---- geometry ----------------------------------------------------------------------------


def test_a_vertical_hole_goes_straight_down() -> None:
    straight = path("0,0,0\n1000,0,0\n3000,0,0\n")
    way = straight.position(np.array([0.0, 700.0, 3500.0]))
    assert np.all(way[:, :2] == 0.0)
    assert way[:, 2].tolist() == [0.0, 700.0, 3500.0]
    assert straight.along(1234.5) == pytest.approx(1234.5)


def test_a_quarter_of_a_circle() -> None:
    """From vertical at 500 m to level at 1500 m in the plane N30E: a circle of 2000/pi."""
    arc, radius = path(QUARTER), 2000.0 / np.pi
    for s in (600.0, 750.0, 1000.0, 1250.0, 1500.0):
        turned = (s - 500.0) / radius
        out, down = radius * (1.0 - np.cos(turned)), 500.0 + radius * np.sin(turned)
        expected = [out * np.cos(np.pi / 6), out * np.sin(np.pi / 6), down]
        np.testing.assert_allclose(arc.position(s), expected, atol=1e-9)
        assert arc.inclination(s) == pytest.approx(turned)
        assert arc.severity(s - 1e-6) == pytest.approx(1.0 / radius)


def test_below_the_last_station_it_goes_straight_on() -> None:
    slant = path("0,0,0\n100,30,90\n200,30,90\n")
    start, deep = slant.position(200.0), slant.position(700.0)
    np.testing.assert_allclose(deep - start, [0.0, 250.0, 500.0 * np.cos(np.pi / 6)], atol=1e-9)
    assert slant.severity(700.0) == 0.0
    depth = float(deep[2])
    assert slant.along(depth) == pytest.approx(700.0)


@given(
    st.lists(st.tuples(st.floats(0.0, 60.0), st.floats(0.0, 360.0)), min_size=2, max_size=8),
    st.floats(0.0, 1.0),
)
def test_depth_and_length_are_two_names_of_one_place(
    angles: list[tuple[float, float]], share: float
) -> None:
    rows = "".join(f"{100 * i},{a:.9f},{b:.9f}\n" for i, (a, b) in enumerate(angles))
    crooked = path(rows)
    s = share * crooked.measured[-1]
    depth = float(crooked.position(s)[2])
    assert float(crooked.along(depth)) == pytest.approx(s, abs=1e-6)
    assert depth <= s + 1e-9  # no hole is deeper than it is long


def test_turning_the_compass_turns_the_path_and_nothing_else() -> None:
    rows = [(0, 1, 10), (300, 3, 60), (700, 5, 200), (1200, 2, 300)]
    one, other = (
        path("".join(f"{s},{i},{(a + turn) % 360}\n" for s, i, a in rows)) for turn in (0, 45)
    )
    np.testing.assert_allclose(one.stations[2], other.stations[2])
    np.testing.assert_allclose(
        np.hypot(*one.stations[:2]), np.hypot(*other.stations[:2]), atol=1e-9
    )


# ---- checks ------------------------------------------------------------------------------


def judged(walk: Walk, rows: str) -> dict[str, CheckRecord]:
    """Return the records of every drilling and coring step of the main hole on this path."""
    table = parse_table(HEADER + rows, "survey.csv", SURVEY_COLUMNS)
    hole = replace(walk.hole, survey=table)
    names = ("hole-inclination", "dogleg", "target-displacement", "depth-shortfall")
    states = by_step(walk.states)
    found = {}
    for step in states:
        if step.startswith(("drill-", "core")):
            for record in records_of(replace(states[step], hole=hole)):
                if record.name in names:
                    found[record.id] = record
    return found


def test_a_hole_without_a_survey_is_vertical_and_says_nothing(main_walk: Walk) -> None:
    hole = replace(main_walk.hole, survey=None)
    assert survey_path(hole.setting) is None
    state = by_step(main_walk.states)["drill-core-hole"]
    names = {record.name for record in records_of(replace(state, hole=hole))}
    assert not names & {"hole-inclination", "dogleg", "target-displacement"}


def test_what_a_slant_of_two_degrees_costs(main_walk: Walk) -> None:
    """Straight at 2 degrees from the sea bed: sine and cosine by hand."""
    records = judged(main_walk, "0,2,90\n3000,2,90\n6000,2,90\n")
    slant, depth = np.radians(2.0), 4950.0
    off = records["core/target-displacement"]
    short = records["core/depth-shortfall"]
    assert float(off.demand) == pytest.approx(depth * np.tan(slant))  # type: ignore[arg-type]
    assert float(short.demand) == pytest.approx(depth / np.cos(slant) - depth, rel=1e-6)  # type: ignore[arg-type]
    assert off.status is Status.FAILS  # 173 m against 25 m
    assert short.status is Status.HOLDS
    for id_, record in records.items():
        if record.name == "hole-inclination":
            assert float(record.demand) == pytest.approx(slant), id_  # type: ignore[arg-type]
        elif record.name == "dogleg":
            assert float(record.demand) == pytest.approx(0.0, abs=1e-12), id_  # type: ignore[arg-type]


def test_a_bend_is_judged_in_the_step_that_drills_it(main_walk: Walk) -> None:
    """Ten degrees in 50 m at about 2.5 km: only the section through it fails."""
    records = judged(main_walk, "0,0,0\n2450,0,0\n2500,10,0\n2550,0,0\n6000,0,0\n")
    failing = [id_ for id_, r in records.items() if r.status is Status.FAILS]
    assert failing == ["drill-section-1214/hole-inclination", "drill-section-1214/dogleg"]
    bend = records["drill-section-1214/dogleg"]
    assert float(bend.demand) == pytest.approx(np.radians(10.0) / 50.0)  # type: ignore[arg-type]
    assert bend.profile is not None
    off = records["core/target-displacement"]
    turn = np.radians(10.0)
    aside = 2.0 * 50.0 / turn * (1.0 - np.cos(turn))  # two arcs, there and back
    assert float(off.demand) == pytest.approx(aside, rel=1e-6)  # type: ignore[arg-type]


def test_below_the_last_station_a_record_says_so(main_walk: Walk) -> None:
    records = judged(main_walk, "0,0,0\n1000,1,0\n")
    assert "last station" not in records["drill-top-hole/hole-inclination"].note
    assert "last station" in records["drill-section-1214/hole-inclination"].note
    assert "drill-section-1214/dogleg" not in records  # nothing was measured there


# ---- bad tables --------------------------------------------------------------------------

BAD = {
    "0,0,0\n500,1,0\n400,1,0\n": ("line 4", "depths that grow from row to row"),
    "0,0,0\n500,1,0\n500,1,0\n": ("line 4", "depths that grow from row to row"),
    "100,0,0\n500,1,0\n": ("line 2", "0, the sea bed itself"),
    "0,0,0\n500,91,0\n": ("inclination", "0 deg to 90 deg"),
    "0,0,0\n500,-1,0\n": ("inclination", "0 deg to 90 deg"),
    "0,0,0\n500,1,361\n": ("azimuth", "0 deg to 360 deg"),
    "0,0,0\n500,,0\n": ("inclination", "a number in deg"),
    "0,0,0\n": ("survey.csv", "at least two rows"),
}


@pytest.mark.parametrize("rows", list(BAD))
def test_every_fault_is_named_with_its_line(rows: str) -> None:
    with pytest.raises(InputErrors) as caught:
        path(rows)
    told = " ".join(str(fault) for fault in caught.value.faults)
    assert "survey.csv" in told
    assert all(word in told for word in BAD[rows]), told


def test_a_hole_folder_with_a_survey_loads_and_a_missing_one_is_a_fault(tmp_path: Path) -> None:
    folder = tmp_path / "hole"
    shutil.copytree(EXAMPLES / "riserless", folder)
    file = folder / "hole.yaml"
    file.write_text(file.read_text().replace("\nsite:\n", "\nsite:\n  survey: way.csv\n"))
    with pytest.raises(InputErrors, match=r"way\.csv"):
        load_hole(folder)
    (folder / "way.csv").write_text(HEADER + "0,0,0\n800,1.5,40\n")
    hole = load_hole(folder)
    assert hole.survey is not None
    assert survey_path(hole.setting) is not None
    (folder / "way.csv").write_text(HEADER + "0,0,0\n800,70,40\n")
    with pytest.raises(InputErrors, match=r"line 3, column inclination.*at most 60 deg"):
        load_hole(folder)
    (folder / "way.csv").write_text(HEADER + "0,0,0\n90000,0,40\n")
    with pytest.raises(InputErrors, match=r"at most 50.000 m along the hole"):
        load_hole(folder)
    (folder / "way.csv").write_text(HEADER + "0,0,0\n800,oblique,40\n")
    with pytest.raises(InputErrors, match=r"way\.csv, line 3"):
        load_hole(folder)
