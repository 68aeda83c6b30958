"""Loads by a vessel's own coefficients: alike to the formulas they were made from, or refused."""

from __future__ import annotations

import io
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import h5netcdf
import numpy as np
import pytest

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.kernels.hull_loads import (
    current_surge_force,
    current_sway_force,
    current_yaw_moment,
    wind_surge_force,
    wind_sway_force,
    wind_yaw_moment,
)
from bathybore.model.coefficient_tables import coefficient_faults
from bathybore.model.csv_tables import parse_table
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.model.tables import COEFFICIENT_COLUMNS, ProfileTable
from bathybore.operations.footprint import held_vessel
from bathybore.operations.load_coefficients import coefficients_at
from bathybore.operations.station import (
    Weather,
    air_and_waves,
    current_load,
    mean_loads,
    planned_weather,
    station_load,
)
from bathybore.operations.watch_circles import free_hull
from bathybore.usecases.weather_import import bring_in
from varied import EXAMPLES, changed

MAIN = load_hole(EXAMPLES / "main")
HULL = MAIN.vessel.hull
HEAD = "relative_direction [deg],surge_coefficient [-],sway_coefficient [-],yaw_coefficient [-]"
SIDE = HULL.length * HULL.draught
ROUND = np.radians(np.arange(0.0, 360.0, 7.0))
Push = Callable[[Array], tuple[Array, Array, Array]]


def read(rows: list[tuple[float, ...]], file: str = "wind.csv") -> ProfileTable:
    lines = (",".join(f"{cell:.12g}" for cell in row) for row in rows)
    return parse_table("\n".join([HEAD, *lines]), file, COEFFICIENT_COLUMNS)


def made(push: Push, degrees: Array, file: str = "wind.csv") -> ProfileTable:
    found = [np.round(one, 12) for one in push(np.radians(degrees))]
    return read(list(zip(degrees, *found, strict=True)), file)


def of_wind(angle: Array) -> tuple[Array, Array, Array]:
    """Coefficients of the formulas of the wind: their forces with all that is not it at one."""
    surge = wind_surge_force(1.0, 1.0, angle, 2.0)
    sway = wind_sway_force(1.0, 1.0, angle, 2.0)
    return surge, sway, wind_yaw_moment(1.0, 1.0, 0.0, 1.0, angle, 2.0)


def of_current(angle: Array) -> tuple[Array, Array, Array]:
    surge = current_surge_force(1.0, HULL.beam / HULL.length, 1.0, angle, 2.0)
    sway = current_sway_force(1.0, 1.0, angle, 2.0)
    return surge, sway, current_yaw_moment(1.0, 1.0, 0.0, 1.0, angle, 2.0)


def tabled(degrees: Array) -> Hole:
    return replace(
        MAIN,
        wind_coefficients=made(of_wind, degrees),
        current_coefficients=made(of_current, degrees, "current.csv"),
    )


@pytest.mark.parametrize("degrees", [np.arange(0.0, 181.0, 1.0), np.arange(360.0, -1.0, -1.0)])
def test_a_table_of_the_formulas_pushes_as_they_do(degrees: Array) -> None:
    own, weather = tabled(degrees), planned_weather(MAIN)
    found, wanted = (mean_loads(one, weather, ROUND) for one in (own, MAIN))
    assert found == pytest.approx(wanted, rel=1e-9, abs=1e-9 * np.abs(wanted).max())
    for axis in ("surge", "sway", "yaw"):
        there, here = (float(getattr(station_load(one), axis)) for one in (MAIN, own))
        assert here == pytest.approx(there, rel=1e-9)


def test_capability_drift_off_and_footprint_go_by_the_same_table() -> None:
    """Twice the coefficients are twice the wind pressure, wherever loads are asked for."""
    weather, calm = planned_weather(MAIN), Weather(18.0, 0.0, 8.0, 0.0)
    table = made(lambda angle: tuple(2.0 * one for one in of_wind(angle)), np.arange(0, 181, 5.0))
    own = replace(MAIN, wind_coefficients=table).setting
    plain = made(of_wind, np.arange(0, 181, 5.0))
    one = replace(MAIN, wind_coefficients=plain).setting
    twice, once = (np.array(air_and_waves(each, calm, ROUND)) for each in (own, one))
    assert twice == pytest.approx(2.0 * once)
    # drift-off asks by direction and goes on turning: beyond a full turn, and below none
    for angle in (ROUND, ROUND - 2.0 * np.pi, ROUND + 2.0 * np.pi):
        drifting = free_hull(own, calm).air_and_waves(0.0 * angle, angle)
        assert np.array(drifting) == pytest.approx(twice, abs=1e-6 * np.abs(twice).max())
    held, other = (held_vessel(each, weather).load for each in (own, one))
    ahead = np.array([MAIN.site.environment.heading_off_weather])
    assert held - other == pytest.approx(np.array(air_and_waves(one, calm, ahead))[:, 0])


def test_constant_coefficients_are_closed_forms() -> None:
    """Sway of 0.9 from starboard and from port, 0 from ahead: 1/2 rho V2 A 0.9, times L for yaw."""
    table = read([(d, -0.5 * np.cos(np.radians(d)), 0.9 * np.sin(np.radians(d)), 0.25)
                  for d in range(0, 360, 15)], "current.csv")  # fmt: skip
    hole = replace(MAIN, current_coefficients=table)
    side = np.array([np.pi / 2.0, np.pi, 1.5 * np.pi])
    surge, sway, yaw = current_load(hole, np.array([1.0, 1.0, 2.0]), side)
    pressure = sway[0] / (0.9 * SIDE)
    assert 2.0 * pressure == pytest.approx(1024.6, abs=0.1)
    assert surge == pytest.approx([0.0, 0.5 * pressure * SIDE, 0.0], abs=1e-6 * sway[0])
    assert sway == pytest.approx([sway[0], 0.0, -4.0 * sway[0]], abs=1e-6 * sway[0])
    assert yaw == pytest.approx(0.25 * pressure * SIDE * HULL.length * np.array([1.0, 1.0, 4.0]))


def test_half_a_table_is_mirrored_and_a_whole_one_goes_round() -> None:
    half = made(of_wind, np.arange(0.0, 181.0, 30.0))
    starboard, port = (coefficients_at(half, sign * ROUND[:26]) for sign in (1.0, -1.0))
    assert port[0] == pytest.approx(starboard[0])
    assert port[1] == pytest.approx(-starboard[1], abs=1e-12)
    assert port[2] == pytest.approx(-starboard[2], abs=1e-12)
    rows = [(d, -np.cos(np.radians(d)), np.sin(np.radians(d)), d / 100) for d in range(10, 360, 20)]
    _, _, yaw = coefficients_at(read(rows), np.radians([350.0, 355.0, 360.0, 0.0, 5.0, 10.0]))
    assert yaw == pytest.approx([3.5, 2.65, 1.8, 1.8, 0.95, 0.1])


def test_explain_names_the_rows() -> None:
    hole = replace(MAIN, wind_coefficients=made(of_wind, np.arange(0.0, 181.0, 10.0)))
    port = changed(hole, "site/environment/heading_off_weather", np.radians(-15.0))
    for one, words in ((hole, "at 15 degrees"), (port, "at 345 degrees")):
        force = station_load(one).sway.origin.inputs[0]
        rows = str(force.origin.inputs[0].origin)
        assert words in rows
        assert "line 3 (10 degrees) and line 4 (20 degrees)" in rows
        assert ("port alike to starboard" in rows) is (one is port)


GOOD = [(float(d), *(round(float(one), 6) for one in of_wind(np.radians(float(d)))))
        for d in range(0, 181, 30)]  # fmt: skip
WHOLE = [*GOOD, *((360.0 - d, x, -y, -n) for d, x, y, n in GOOD[-2:0:-1])]


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([*GOOD[:2], *GOOD[3:]], "no row between"),
        (WHOLE[:-1], "no row between"),
        ([*GOOD, GOOD[2]], "the direction of line 4 again"),
        ([*WHOLE, (360.0, -0.6, 0.0, 0.0)], "-0.7, as in line 2"),
        (GOOD[:-1], "serves both sides, or all round"),
        ([(0.0, -0.7, 0.1, 0.0), *GOOD[1:]], "serves both sides, as hulls"),
        ([(d, -x, y, n) for d, x, y, n in GOOD], "a push towards where it comes from"),
        ([(d, x, -y, n) for d, x, y, n in GOOD], "a push towards where it comes from"),
        ([(d, x, y, -n) for d, x, y, n in GOOD], "turns into wind or current"),
        ([(d, x, y, -n) for d, x, y, n in WHOLE], "turns into wind or current"),
        ([(d, 0.0, y, n) for d, x, y, n in GOOD], "column surge_coefficient: found 0 from every"),
        ([(d, x, 0.0, n) for d, x, y, n in GOOD], "column sway_coefficient: found 0 from every"),
        ([(d, x, y, 0.0) for d, x, y, n in GOOD], "column yaw_coefficient: found 0 from every"),
    ],
)
def test_a_table_that_is_none_is_named(rows: list[tuple[float, ...]], words: str) -> None:
    faults = [*coefficient_faults(read(rows), 1500.0, 5200.0)]
    assert words in "\n".join(map(str, faults))
    assert all(one.where.startswith("wind.csv") for one in faults)


def test_sound_tables_have_no_fault() -> None:
    assert not [*coefficient_faults(read(GOOD), 1500.0, 5200.0)]
    assert not [*coefficient_faults(read(WHOLE[::-1]), 1500.0, 5200.0)]
    assert not [*coefficient_faults(read([*WHOLE, (360.0, *WHOLE[0][1:])]), 1500.0, 5200.0)]


@pytest.mark.parametrize("centre", [-0.2, -0.1, 0.1, 0.2])
def test_deckhouses_at_either_end_are_no_other_convention(centre: float) -> None:
    """All yaw of one sign, or nearly: the area's centre far off midships, in lengths."""
    for rows in (GOOD, WHOLE):
        shifted = [(d, x, y, n + centre * y) for d, x, y, n in rows]
        assert not [*coefficient_faults(read(shifted), 1500.0, 5200.0)]
        wrong = [(d, x, y, -n) for d, x, y, n in shifted]
        (fault,) = coefficient_faults(read(wrong), 1500.0, 5200.0)
        assert "yaw_coefficient" in fault.where


def test_a_hole_names_its_tables(tmp_path: Path) -> None:
    for file in (EXAMPLES / "riserless").iterdir():
        text = file.read_text(encoding="utf-8")
        if file.name == "hole.yaml":
            text = text.replace("  switchboards:", "  wind_coefficients: wind.csv\n  switchboards:")
        (tmp_path / file.name).write_text(text, encoding="utf-8")
    rows = "\n".join(",".join(map(str, row)) for row in GOOD)
    (tmp_path / "wind.csv").write_text(f"{HEAD}\n{rows}\n", encoding="utf-8")
    found = load_hole(tmp_path)
    assert found.setting.wind_coefficients is not None
    assert found.setting.current_coefficients is None


# ---- from netCDF ---------------------------------------------------------------------------


def as_netcdf(
    rows: list[tuple[float, ...]],
    direction: str,
    unit: str = "degrees",
    of_sway: str = "1",
    kind: str = "f8",
) -> bytes:
    target = io.BytesIO()
    names = (direction, "surge_coefficient", "sway_coefficient", "yaw_coefficient")
    with h5netcdf.File(target, "w") as source:
        source.dimensions = {"direction": len(rows)}
        for name, column in zip(names, zip(*rows, strict=True), strict=True):
            source.create_variable(name, ("direction",), data=np.array(column, dtype=kind))
        source.variables[direction].attrs["units"] = unit
        source.variables["sway_coefficient"].attrs["units"] = of_sway
    return target.getvalue()


def test_coefficients_in_netcdf_join_a_hole(tmp_path: Path) -> None:
    folder, file = tmp_path / "hole", tmp_path / "tank.nc"
    shutil.copytree(EXAMPLES / "riserless", folder)
    turned = [(float(np.radians(d)), *rest) for d, *rest in WHOLE]
    for rows, direction, unit in (
        (GOOD, "relative_wind_direction", "degrees"),
        (turned, "relative_current_direction", "radians"),
    ):
        file.write_bytes(as_netcdf(rows, direction, unit))
        assert bring_in(folder, file, False).rows == len(rows)
    found = load_hole(folder)
    for table in (found.wind_coefficients, found.current_coefficients):
        assert table is not None
        sway, wanted = (coefficients_at(one, ROUND)[1] for one in (table, read(WHOLE)))
        assert sway == pytest.approx(wanted, abs=1e-7)


@pytest.mark.parametrize(
    ("rows", "direction", "unit", "words"),
    [
        (GOOD, "wind_direction", "degrees", "0 of the directions"),
        (GOOD, "relative_wind_direction", "m", "the unit 'm'"),
        ([(d, x, float("nan"), n) for d, x, _, n in GOOD], "relative_wind_direction", "degrees",
         "numbers that are missing"),
        ([(d, -x, y, n) for d, x, y, n in GOOD], "relative_wind_direction", "degrees",
         "a push towards where it comes from"),
    ],
)  # fmt: skip
def test_a_file_that_does_not_tell_them_is_refused_and_nothing_is_written(
    tmp_path: Path, rows: Any, direction: str, unit: str, words: str
) -> None:
    folder, file = tmp_path / "hole", tmp_path / "tank.nc"
    shutil.copytree(EXAMPLES / "riserless", folder)
    file.write_bytes(as_netcdf(rows, direction, unit))
    before = (folder / "hole.yaml").read_text(encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        bring_in(folder, file, False)
    assert words in "\n".join(map(str, caught.value.faults))
    assert (folder / "hole.yaml").read_text(encoding="utf-8") == before
    assert not (folder / "wind_coefficients.csv").exists()


def test_a_force_over_the_square_of_a_speed_is_no_coefficient(tmp_path: Path) -> None:
    folder, file = tmp_path / "hole", tmp_path / "tank.nc"
    shutil.copytree(EXAMPLES / "riserless", folder)
    file.write_bytes(as_netcdf(GOOD, "relative_wind_direction", of_sway="kN s2/m2"))
    with pytest.raises(InputErrors, match="sway_coefficient: found the unit 'kN s2/m2'"):
        bring_in(folder, file, False)
    file.write_bytes(as_netcdf(GOOD, "relative_wind_direction", of_sway=""))
    assert bring_in(folder, file, False).rows == len(GOOD)


@pytest.mark.parametrize("rows", [GOOD, [*WHOLE, (360.0, *WHOLE[0][1:])]])
def test_a_turn_in_single_precision_is_one(tmp_path: Path, rows: list[tuple[float, ...]]) -> None:
    folder, file = tmp_path / "hole", tmp_path / "tank.nc"
    shutil.copytree(EXAMPLES / "riserless", folder)
    turned = [(float(np.radians(d)), *rest) for d, *rest in rows]
    file.write_bytes(as_netcdf(turned, "relative_wind_direction", "radians", kind="f4"))
    assert bring_in(folder, file, False).rows == len(rows)
