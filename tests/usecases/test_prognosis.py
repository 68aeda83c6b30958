"""From a neighbour's files to an earth table: closed forms, faults, doubts, and what is written."""

from __future__ import annotations

import shutil
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from prognosis_folder import DEPTH, EXAMPLE, change, copied, smooth, write_log

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.base.registry import equations
from bathybore.kernels.drilling_exponent import drilling_exponent
from bathybore.kernels.pore_pressure import bowers_virgin_velocity
from bathybore.kernels.rock_stress import vertical_stress_compacting
from bathybore.model.csv_tables import parse_table
from bathybore.model.loading import load_hole
from bathybore.model.tables import EARTH_COLUMNS
from bathybore.operations.columns import sea_pressure
from bathybore.operations.prognosis import work_out
from bathybore.usecases.explaining import WorkingNote
from bathybore.usecases.prognosis import (
    SPREAD_FILE,
    WorkedPrognosis,
    earth_text,
    equivalent_density,
    leak_offs_shown,
    open_node,
    prognosis,
    trend_shown,
    write_prognosis,
)
from bathybore.usecases.walking import walk

MPA = 1e6


@lru_cache
def example() -> WorkedPrognosis:
    return prognosis(EXAMPLE)


def fault(folder: Path) -> str:
    with pytest.raises(InputErrors) as caught:
        prognosis(folder)
    return str(caught.value)


def said(worked: WorkedPrognosis, kind: str = "doubt") -> str:
    return "\n".join(str(one) for one in worked.findings if one.kind == kind)


def at(worked: WorkedPrognosis, curve: str, depth: float) -> float:
    return float(np.interp(depth, worked.z, worked.curves[curve].si))


# ---- the demonstration -------------------------------------------------------------------


def test_the_demonstration_comes_close_to_its_hand_made_table() -> None:
    """earth.csv was written by hand before; the neighbour's logs were made to lead to it."""
    worked, table = example(), load_hole(EXAMPLE).earth
    z = np.array([0.0, 150.0, 700.0, 1400.0, 2200.0, 3000.0, 3800.0, 4500.0])
    for curve, column, apart in (
        ("pore_pressure", "pore_pressure", 1.2 * MPA),
        ("fracture_pressure", "fracture_pressure", 0.6 * MPA),
        ("temperature", "temperature", 2.0),
    ):
        got = np.interp(z, worked.z, worked.curves[curve].si)
        np.testing.assert_allclose(got, table.at(column, z), atol=apart, rtol=0.0)


def test_the_curves_are_in_order_and_start_at_the_pressure_of_the_sea() -> None:
    worked = example()
    z, curves = worked.z, worked.curves
    sea = float(worked.ground.sea_bed_pressure)
    for name in ("vertical_stress", "pore_pressure", "fracture_pressure"):
        assert curves[name].si[0] == pytest.approx(sea)
        assert np.all(np.diff(curves[name].si) > 0.0), name
    rock = z > 0.0
    pore, fracture = curves["pore_pressure"].si, curves["fracture_pressure"].si
    assert np.all(pore[rock] < fracture[rock])
    assert np.all(fracture[rock] < curves["vertical_stress"].si[rock])
    major, minor = (curves[f"{n}_horizontal_stress"].si for n in ("major", "minor"))
    assert np.all(minor <= major)


def test_in_soft_mud_the_pore_pressure_stands_and_it_is_said() -> None:
    worked = example()
    soft = worked.z < 700.0
    collapse = worked.curves["hole_collapse_pressure"].si
    np.testing.assert_array_equal(collapse[soft], worked.curves["pore_pressure"].si[soft])
    assert "soft" in said(worked, "note")
    opened = open_node(worked, "hole_collapse_pressure", "300 m below sea bed")
    text = " ".join(getattr(step, "problem", "") for step in opened.opened.steps)
    assert "elastic wall theory does not hold" in text
    assert "Assumed" in opened.opened.steps[-1].source
    names = [getattr(step, "equation", "") for step in opened.opened.steps]
    assert "inclined_collapse_mogi_coulomb" not in names


def test_every_curve_opens_at_every_node_to_the_number_it_has() -> None:
    worked = example()
    for name, curve in worked.curves.items():
        for index in range(0, len(curve.si), 13):
            if np.isnan(curve.si[index]):
                with pytest.raises(InputErrors, match="the mud is soft there"):
                    open_node(worked, name, f"{worked.z[index]:.3f} m below sea bed")
                continue
            opened = open_node(worked, name, f"{worked.z[index]:.3f} m below sea bed")
            assert opened.opened.value.si == pytest.approx(curve.si[index], rel=1e-12, abs=1e-9)
            assert opened.depth.metres == pytest.approx(worked.z[index])


def test_every_equation_shown_gives_the_number_beside_it() -> None:
    """What is shown as inputs of a node is what the node was worked from."""
    worked, seen = example(), set()
    for name in worked.curves:
        opened = open_node(worked, name, "3600 m below sea bed" if name not in SHALLOW else
                           "100 m below sea bed")  # fmt: skip
        for step in opened.opened.steps:
            if isinstance(step, WorkingNote):
                inputs = {one.name: one.si for one in step.inputs}
                again = equations()[step.equation].function(**inputs)
                assert float(np.asarray(again)) == pytest.approx(step.result.si, rel=1e-9)
                seen.add(step.equation)
    assert {"eaton_sonic", "inclined_collapse_mogi_coulomb", "leak_off_stress_ratio"} <= seen


SHALLOW = ("undrained_shear_strength", "submerged_unit_weight")


def test_spikes_gaps_and_missing_values_are_told_with_their_depth() -> None:
    text = said(example())
    assert "bulk_density: 1.31 g/cm³ at 1\u202f350 m below the sea bed, 2.93 g/cm³" in text
    assert "transit_time: 187 us/ft at 2\u202f250 m" in text
    assert "no readings from 2\u202f440 m below the sea bed to 2\u202f520 m" in text
    assert "7 of 496 rows hold no value" in said(example(), "note")


def test_the_height_of_the_drill_floor_in_the_log_is_compared(tmp_path: Path) -> None:
    assert "EDF" not in "".join(map(str, example().findings))
    folder = copied(tmp_path, {"drill_floor_height: 26 m": "drill_floor_height: 31 m"})
    assert "drill_floor_height says 31 m" in said(prognosis(folder))


# ---- closed forms ------------------------------------------------------------------------


@pytest.mark.parametrize("method", ["bulk density", "compaction"])
def test_overburden_is_the_closed_form_of_its_density(tmp_path: Path, method: str) -> None:
    folder = copied(tmp_path, {"method: bulk density": f"method: {method}"})
    write_log(folder, DEPTH, smooth(DEPTH))
    worked = prognosis(folder)
    sea, gravity = float(worked.ground.sea_bed_pressure), float(worked.ground.gravity)
    closed = vertical_stress_compacting(sea, 2680.0, 1030.0, 0.642, 3250.0, worked.z, gravity)
    np.testing.assert_allclose(worked.curves["vertical_stress"].si, closed, rtol=2e-6)


def test_logs_on_their_normal_trend_mean_normal_pressure(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    write_log(folder, DEPTH, smooth(DEPTH))
    worked = prognosis(folder)
    normal = worked.curves["normal_pore_pressure"].si
    np.testing.assert_allclose(worked.curves["pore_pressure"].si, normal, rtol=1e-4)


def wanted_pressure(worked: WorkedPrognosis, z: Array) -> Array:
    """A pore pressure to be found again: a growing share of the effective stress is gone."""
    vertical = np.interp(z, worked.z, worked.curves["vertical_stress"].si)
    normal = np.interp(z, worked.z, worked.curves["normal_pore_pressure"].si)
    return np.asarray(normal + (vertical - normal) * np.clip((z - 1500.0) / 7000.0, 0.0, 0.5))


def check_found(worked: WorkedPrognosis, wanted: Array) -> None:
    """Compare where the readings are smooth: away from where the method sets in."""
    deep = (worked.z > 1750.0) & (worked.z < 4500.0)
    np.testing.assert_allclose(worked.curves["pore_pressure"].si[deep], wanted[deep], rtol=1.5e-3)


TREND = "trend_top: 200 m below sea bed      # the normal trend is fitted between these depths"


def test_eaton_finds_the_pressure_that_slowed_the_sound(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    write_log(folder, DEPTH, smooth(DEPTH))
    base = prognosis(folder)
    curves = smooth(DEPTH)
    wanted = wanted_pressure(base, DEPTH)
    share = effective_share(base, wanted)
    curves["DT"] = ("US/F", curves["DT"][1] * share ** (-1.0 / 3.0))
    write_log(folder, DEPTH, curves)
    check_found(prognosis(folder), wanted_pressure(base, base.z))


def effective_share(worked: WorkedPrognosis, pressure: Array) -> Array:
    vertical = np.interp(DEPTH, worked.z, worked.curves["vertical_stress"].si)
    normal = np.interp(DEPTH, worked.z, worked.curves["normal_pore_pressure"].si)
    grains = np.maximum(vertical - normal, 1.0)
    return np.where(vertical - normal > 1.0, (vertical - pressure) / grains, 1.0)


def test_eaton_finds_the_pressure_that_lowered_the_resistivity(tmp_path: Path) -> None:
    folder = copied(tmp_path, {"method: eaton sonic": "method: eaton resistivity"})
    write_log(folder, DEPTH, smooth(DEPTH))
    base = prognosis(folder)
    curves = smooth(DEPTH)
    share = effective_share(base, wanted_pressure(base, DEPTH))
    curves["RES"] = ("OHMM", curves["RES"][1] * share ** (1.0 / 1.2))
    write_log(folder, DEPTH, curves)
    check_found(prognosis(folder), wanted_pressure(base, base.z))


DRILLED = {
    "method: eaton sonic": "method: eaton drilling exponent\n  mud_density_datum: sea bed",
    "      rate_of_penetration: {column: ROP, unit: m/h}": """
      rate_of_penetration: {column: ROP, unit: m/h}
      weight_on_bit: {column: WOB, unit: kN}
      bit_speed: {column: RPM, unit: rpm}
      hole_diameter: {column: BIT, unit: in}
      mud_density: {column: MUD, unit: g/cm3}""",
}


def drilled(exponent: Array, mud: float) -> dict[str, tuple[str, Array]]:
    """A log drilled with one weight, speed and mud so that the corrected exponent is given."""
    curves, many = smooth(DEPTH), np.ones(len(DEPTH))
    one = float(np.asarray(drilling_exponent(25.0 / 3600.0, 2.0, 1.5e5, 0.3111)))
    uncorrected = exponent * mud / 1.030
    # R = 60 N (12 W / 10^6 d)^d_x: rates against the one that is known
    base = np.log(25.0 / 0.3048 / (60.0 * 120.0)) / one
    rate = 60.0 * 120.0 * np.exp(base * uncorrected) * 0.3048
    curves["ROP"] = ("M/HR", rate)
    curves["WOB"] = ("KN", 150.0 * many)
    curves["RPM"] = ("RPM", 120.0 * many)
    curves["BIT"] = ("IN", 0.3111 / 0.0254 * many)
    curves["MUD"] = ("G/CC", mud * many)
    return curves


def test_eaton_finds_the_pressure_that_hastened_the_bit(tmp_path: Path) -> None:
    folder = copied(tmp_path, DRILLED)
    normal = 0.9 + 1.2e-4 * DEPTH
    write_log(folder, DEPTH, drilled(normal, 1.2))
    base = prognosis(folder)
    np.testing.assert_allclose(
        base.curves["pore_pressure"].si, base.curves["normal_pore_pressure"].si, rtol=1e-4
    )
    share = effective_share(base, wanted_pressure(base, DEPTH))
    write_log(folder, DEPTH, drilled(normal * share ** (1.0 / 1.2), 1.2))
    check_found(prognosis(folder), wanted_pressure(base, base.z))


def test_mud_told_to_the_drill_floor_is_compared_at_the_drill_floor(tmp_path: Path) -> None:
    """The neighbour's normal pressure under 2.4 km of sea is a light mud seen from the floor."""
    folder = copied(tmp_path, DRILLED)
    write_log(folder, DEPTH, drilled(0.9 + 1.2e-4 * DEPTH, 1.2))
    sea_bed = prognosis(folder)
    change(folder, {"mud_density_datum: sea bed": "mud_density_datum: drill floor"})
    floor = prognosis(folder)
    density = [
        next(
            one.si
            for step in open_node(w, "pore_pressure", "3000 m below sea bed").opened.steps
            for one in step.inputs
            if one.name == "normal_pressure_density"
        )
        for w in (sea_bed, floor)
    ]
    assert density[0] == pytest.approx(1030.0)
    assert density[1] < density[0]


BOWERS = {
    "method: eaton sonic": (
        "method: bowers\n  bowers_coefficient: 4.4567\n  bowers_exponent: 0.8168"
    )
}


def test_bowers_finds_the_effective_stress_behind_a_velocity(tmp_path: Path) -> None:
    folder = copied(tmp_path, BOWERS)
    write_log(folder, DEPTH, smooth(DEPTH))
    base = prognosis(folder)
    curves = smooth(DEPTH)
    vertical = np.interp(DEPTH, base.z, base.curves["vertical_stress"].si)
    stress = np.maximum(vertical - wanted_pressure(base, DEPTH), 1e4)
    velocity = bowers_virgin_velocity(stress, 4.4567, 0.8168)
    curves["DT"] = ("US/F", 0.3048e6 / np.asarray(velocity))
    write_log(folder, DEPTH, curves)
    check_found(prognosis(folder), wanted_pressure(base, base.z))


def test_unloading_raises_the_pressure_below_where_it_begins(tmp_path: Path) -> None:
    folder = copied(tmp_path, BOWERS)
    plain = prognosis(folder)
    change(folder, {
        "  bowers_coefficient": "  unloading_below: 3000 m below sea bed\n"
        "  bowers_unloading_exponent: 3\n  greatest_velocity: 2900 m/s\n  bowers_coefficient"
    })  # fmt: skip
    unloaded = prognosis(folder)
    difference = unloaded.curves["pore_pressure"].si - plain.curves["pore_pressure"].si
    assert np.all(difference[plain.z <= 3000.0] == 0.0)
    assert np.all(difference[plain.z > 3000.0] > 0.0)


def test_the_neighbour_s_sea_is_taken_off_its_leak_off_tests(tmp_path: Path) -> None:
    """The same rock under another depth of water: what counts is pressure above the sea's."""
    folder = copied(tmp_path, {"water_depth: 2395 m": "water_depth: 2480 m"})
    write_log(folder, DEPTH, smooth(DEPTH), floor=2480.0 + 26.0)
    (tmp_path / "a").mkdir()
    here = floored_tests(folder, 2480.0)
    shallow = copied(tmp_path / "a", {"water_depth: 2395 m": "water_depth: 1240 m"})
    write_log(shallow, DEPTH, smooth(DEPTH), floor=1240.0 + 26.0)
    there = floored_tests(shallow, 1240.0)
    np.testing.assert_allclose(
        there.curves["fracture_pressure"].si, here.curves["fracture_pressure"].si, rtol=1e-4
    )


def floored_tests(folder: Path, water: float) -> WorkedPrognosis:
    """Work out with leak-off tests whose rock is the same but under other seas."""
    sea = float(sea_pressure(load_hole(EXAMPLE), water)) / MPA
    rows = [f"{z + water + 26.0:.0f},{sea + 0.0135 * z:.4f}" for z in (300.0, 1500.0, 4000.0)]
    write_tests(folder, rows)
    return prognosis(folder)


def write_tests(folder: Path, rows: list[str]) -> None:
    text = "# invented\ndepth [m],pressure at shoe [MPa]\n" + "\n".join(rows) + "\n"
    (folder / "neighbour-leak-off.csv").write_text(text, encoding="utf-8")


def test_a_neighbour_in_deeper_water_than_the_sea_table_reaches(tmp_path: Path) -> None:
    folder = copied(tmp_path, {"water_depth: 2395 m": "water_depth: 3300 m"})
    write_log(folder, DEPTH, smooth(DEPTH), floor=3326.0)
    write_tests(folder, ["3700,38.5", "7000,100"])
    text = fault(folder)
    assert "neighbour.water_depth: found 3\u202f300 m of water over the neighbour" in text
    assert "Add a row to sea.csv" in text
    with (folder / "sea.csv").open("a", encoding="utf-8") as stream:
        stream.write("3300,2.1,34.65,0.10\n")
    worked = prognosis(folder)
    sea = float(worked.ground.neighbour_sea_pressure)
    assert sea > float(worked.ground.sea_bed_pressure) + 1025.0 * 9.79 * (3300.0 - 2480.0)


def test_layers_that_lie_deeper_here_bring_their_ratio_along(tmp_path: Path) -> None:
    """The test's ratio is that of the neighbour's own depth, and holds 200 m deeper here."""
    folder = copied(tmp_path, {"method: eaton sonic": "method: normal",
                               "method: bulk density": "method: compaction"})  # fmt: skip
    still = prognosis(folder)
    change(folder, {"depth_shift: 0 m": "depth_shift: 200 m", "beyond_data: stop":
                    "beyond_data: hold"})  # fmt: skip
    moved = prognosis(folder)

    def ratio(worked: WorkedPrognosis, depths: Array) -> Array:
        pore, fracture, vertical = (
            np.interp(depths, worked.z, worked.curves[name].si)
            for name in ("pore_pressure", "fracture_pressure", "vertical_stress")
        )
        return np.asarray((fracture - pore) / (vertical - pore))

    tests = leak_offs_shown(still)[0]
    np.testing.assert_allclose(leak_offs_shown(moved)[0], tests + 200.0)
    np.testing.assert_allclose(ratio(moved, tests + 200.0), ratio(still, tests), rtol=1.5e-2)


def test_a_pump_pressure_on_a_column_of_mud_is_the_pressure_at_the_shoe(tmp_path: Path) -> None:
    direct = prognosis(copied(tmp_path))
    (tmp_path / "b").mkdir()
    folder = copied(
        tmp_path / "b",
        {
            "leak_off_pressure: {column: pressure at shoe}": (
                "surface_pressure: {column: pump}\n      test_mud_density: {column: mud}"
            )
        },
    )
    text = (EXAMPLE / "neighbour-leak-off.csv").read_text(encoding="utf-8").splitlines()
    gravity = float(direct.ground.gravity)
    rows = []
    for line in text[3:]:
        depth, pressure = map(float, line.split(","))
        rows.append(f"{depth},{pressure - 1050.0 * gravity * depth / 1e6:.6f},1050")
    head = "# invented\ndepth [m],pump [MPa],mud [kg/m3]\n"
    (folder / "neighbour-leak-off.csv").write_text(head + "\n".join(rows) + "\n")
    np.testing.assert_allclose(
        prognosis(folder).curves["fracture_pressure"].si,
        direct.curves["fracture_pressure"].si,
        rtol=1e-6,
    )


def test_the_fracture_pressure_goes_through_its_leak_off_tests() -> None:
    worked = example()
    depths, pressures = leak_offs_shown(worked)
    got = np.interp(depths, worked.z, worked.curves["fracture_pressure"].si)
    np.testing.assert_allclose(got, pressures, rtol=3e-3)


@pytest.mark.parametrize("method", ["eaton", "matthews-kelly"])
def test_one_ratio_from_the_tests_is_one_share_of_the_effective_stress(
    tmp_path: Path, method: str
) -> None:
    worked = prognosis(copied(tmp_path, {"method: leak-off ratio": f"method: {method}"}))
    rock = worked.z > 0.0
    pore, fracture, vertical = (
        worked.curves[name].si[rock]
        for name in ("pore_pressure", "fracture_pressure", "vertical_stress")
    )
    ratio = (fracture - pore) / (vertical - pore)
    np.testing.assert_allclose(ratio, ratio[0], rtol=1e-9)
    assert 0.6 < ratio[0] < 1.0


def test_even_conduction_is_a_straight_line(tmp_path: Path) -> None:
    folder = copied(tmp_path, {
        "heat_flow: 50 mW/m2": "heat_flow: 60 mW/m2\n  thermal_conductivity: 2 W/m/K",
        "      thermal_conductivity: {column: heat conductivity}\n": "",
    })  # fmt: skip
    worked = prognosis(folder)
    rise = worked.curves["temperature"].si - worked.curves["temperature"].si[0]
    np.testing.assert_allclose(rise, 0.030 * worked.z, rtol=1e-9, atol=1e-9)


def test_old_crust_is_colder_than_young_crust(tmp_path: Path) -> None:
    change(folder := copied(tmp_path), {"method: heat flow": "method: crust age",
                                        "heat_flow: 50 mW/m2": "crust_age: 20 Ma"})  # fmt: skip
    young = at(prognosis(folder), "temperature", 3000.0)
    change(folder, {"crust_age: 20 Ma": "crust_age: 120 Ma"})
    assert at(prognosis(folder), "temperature", 3000.0) < young


def test_circulation_that_cools_the_wall_eases_caving_and_hastens_opening(tmp_path: Path) -> None:
    still = prognosis(folder := copied(tmp_path))
    change(folder, {"  breakout_width": "  circulated_temperature: 30 degC\n"
                    "  young_modulus: 20 GPa\n  breakout_width"})  # fmt: skip
    cooled = prognosis(folder)
    for curve in ("hole_collapse_pressure", "breakdown_pressure"):
        assert at(cooled, curve, 4000.0) < at(still, curve, 4000.0)


def test_leaning_costs_density_and_a_breakout_spares_it(tmp_path: Path) -> None:
    folder = copied(tmp_path, {"breakout_width: 30 deg": "breakout_width: 0 deg"})
    none = at(prognosis(folder), "hole_collapse_pressure", 2500.0)
    change(folder, {"breakout_width: 0 deg": "breakout_width: 60 deg"})
    assert at(prognosis(folder), "hole_collapse_pressure", 2500.0) < none
    change(folder, {"breakout_width: 60 deg": "inclination: 60 deg"})
    # normal faulting: the overburden presses on the side of a leaning hole
    assert at(prognosis(folder), "hole_collapse_pressure", 2500.0) > none


def window_width(worked: WorkedPrognosis, depth: float) -> tuple[float, float]:
    """Room between pore and fracture pressure: to the drill floor [kg/m3], and in pressure."""
    z = np.array([depth])
    pore, fracture = (
        np.array([at(worked, name, depth)]) for name in ("pore_pressure", "fracture_pressure")
    )
    floor = equivalent_density(worked, z, fracture) - equivalent_density(worked, z, pore)
    return float(floor[0]), float(fracture[0] - pore[0])


def test_seen_from_the_drill_floor_the_window_is_narrower_than_from_the_sea_bed() -> None:
    floor, pressure = window_width(example(), 1000.0)
    bed = pressure / (float(example().ground.gravity) * 1000.0)
    assert 0.0 < floor < 0.5 * bed


def test_the_same_rock_under_deeper_water_leaves_less_room_in_density(tmp_path: Path) -> None:
    here = prognosis(folder := copied(tmp_path))
    change(folder, {"water_depth: 2480 m": "water_depth: 3480 m"}, "hole.yaml")
    with (folder / "sea.csv").open("a", encoding="utf-8") as stream:
        stream.write("3480,2.1,34.65,0.10\n")
    deep = prognosis(folder)
    for depth in (500.0, 1000.0, 3000.0):
        floor, pressure = window_width(here, depth)
        deeper_floor, deeper_pressure = window_width(deep, depth)
        assert deeper_pressure == pytest.approx(pressure, rel=2e-3)  # the sea presses on all alike
        assert deeper_floor < floor


# ---- spread ------------------------------------------------------------------------------


def test_without_uncertain_inputs_nothing_is_uncertain(tmp_path: Path) -> None:
    zero = """
spread:
  bulk_density: 0 kg/m3
  pore_fluid_density: 0 kg/m3
  trend: 0
  exponent: 0
  stress_ratio: 0
  major_stress_share: 0
  rock_strength: 0
  heat: 0
  temperature: 0 K
"""
    folder = copied(tmp_path)
    write_log(folder, DEPTH, smooth(DEPTH))  # nothing scatters about its trend
    with (folder / "prognosis.yaml").open("a", encoding="utf-8") as stream:
        stream.write(zero)
    for curve in prognosis(folder).curves.values():
        np.testing.assert_allclose(curve.spread, 0.0, atol=2e-3 * 1e6 * 1e-3)


def test_spread_of_one_input_alone_is_its_own_change(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    worked = prognosis(folder)
    rock = worked.z > 0.0
    # overburden: density 30 kg/m3 off all the way down
    wanted = 30.0 * float(worked.ground.gravity) * worked.z
    np.testing.assert_allclose(
        worked.curves["vertical_stress"].spread[rock], wanted[rock], rtol=1e-9
    )
    # temperature: a tenth of the rise
    rise = worked.curves["temperature"].si - worked.curves["temperature"].si[0]
    np.testing.assert_allclose(
        worked.curves["temperature"].spread[rock], 0.1 * rise[rock], rtol=1e-9
    )


def test_no_two_runs_differ() -> None:
    worked = example()
    again = {curve.name: curve for curve in work_out(replace(worked.ground))}
    for name, curve in worked.curves.items():
        np.testing.assert_array_equal(again[name].si, curve.si)
        np.testing.assert_array_equal(again[name].spread, curve.spread)


# ---- bad input ---------------------------------------------------------------------------


def test_a_wrong_unit_is_refused_and_the_one_that_fits_is_named(tmp_path: Path) -> None:
    folder = copied(tmp_path, {"{column: DT, unit: us/ft}": "{column: DT, unit: us/m}"})
    text = fault(folder)
    assert "neighbour-logs.las, column 'DT', transit_time" in text
    assert "In us/ft they would be" in text
    change(folder, {"{column: DT, unit: us/m}": "{column: DT, unit: us/ft}",
                    "{column: RHOB, unit: g/cm3}": "{column: RHOB, unit: kg/m3}"})  # fmt: skip
    assert "In g/cm3 they would be" in fault(folder)


def test_a_unit_against_the_file_s_own_is_told(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    change(folder, {"RES.OHMM": "RES.MM"}, "neighbour-logs.las")  # no unit of resistivity
    assert "the file says" not in said(prognosis(folder))
    change(folder, {"ROP.M/HR": "ROP.FT/HR"}, "neighbour-logs.las")
    assert "rate_of_penetration: the file says [ft/h], prognosis.yaml says [m/h]" in said(
        prognosis(folder)
    )


def test_the_file_s_own_unit_is_read_and_an_unknown_one_asked_for(tmp_path: Path) -> None:
    folder = copied(tmp_path, {"{column: DT, unit: us/ft}": "{column: DT}"})
    np.testing.assert_array_equal(
        prognosis(folder).curves["pore_pressure"].si,
        prognosis(copied(tmp_path / "plain")).curves["pore_pressure"].si,
    )
    change(folder, {"DT.US/F": "DT.FURLONG"}, "neighbour-logs.las")
    assert "column 'DT'" in (text := fault(folder))
    assert "the unit 'FURLONG'" in text


@pytest.mark.parametrize(
    ("place", "value", "told"),
    [(2, 0.0, "resistivity above zero"), (2, -3.0, "resistivity above zero"),
     (0, -1.2, "bulk_density above zero")],
)  # fmt: skip
def test_zero_and_negative_readings_are_refused_with_their_depth(
    tmp_path: Path, place: int, value: float, told: str
) -> None:
    folder = copied(tmp_path)
    curves = smooth(DEPTH)
    name = list(curves)[place]
    curves[name][1][100] = value
    write_log(folder, DEPTH, curves)
    text = fault(folder)
    assert told in text
    assert "at 1\u202f000 m below the sea bed" in text
    assert "line 114" in text


@pytest.mark.parametrize(("step", "told"), [(0.0, "again"), (-40.0, "less than the row before")])
def test_depths_that_stand_twice_or_turn_back_are_refused(
    tmp_path: Path, step: float, told: str
) -> None:
    folder = copied(tmp_path)
    depth = DEPTH.copy()
    depth[200] = depth[199] + step
    write_log(folder, depth, smooth(DEPTH))
    text = fault(folder)
    assert told in text
    assert "line 214, depth" in text


def test_a_log_run_upwards_is_the_same_log(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    write_log(folder, DEPTH, smooth(DEPTH))
    down = prognosis(folder)
    up = {name: (unit, values[::-1]) for name, (unit, values) in smooth(DEPTH).items()}
    write_log(folder, DEPTH[::-1], up)
    for name, curve in prognosis(folder).curves.items():
        np.testing.assert_array_equal(curve.si, down.curves[name].si)


def test_depths_from_another_datum_are_noticed(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    write_log(folder, DEPTH[:200], smooth(DEPTH[:200]), floor=0.0)
    assert "all above the neighbour's sea bed" in fault(folder)
    write_log(folder, DEPTH, smooth(DEPTH))
    change(folder, {"datum: drill floor                # of the neighbour": "datum: sea bed",
                    "deepest: 5100 m": "deepest: 4900 m",
                    "trend_bottom: 1400 m": "trend_bottom: 3500 m",
                    "trend_top: 200 m": "trend_top: 2500 m",
                    "normal_above: 1400 m": "normal_above: 3500 m"})  # fmt: skip
    assert "counted from the sea bed?" in said(prognosis(folder))


def test_nothing_is_carried_on_below_its_data_without_a_word(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    short = DEPTH[DEPTH <= 3000.0]
    write_log(folder, short, smooth(short))
    text = fault(folder)
    assert "bulk_density ends at 3\u202f000 m below the sea bed" in text
    assert "transit_time ends at" in text
    change(folder, {"beyond_data: stop": "beyond_data: hold"})
    assert "bulk_density: ends at 3\u202f000 m below the sea bed and is held" in said(
        prognosis(folder)
    )


def test_a_window_that_closes_is_told_with_curve_and_depth(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    text = "# invented\ndepth [m],pressure at shoe [MPa]\n4311,30\n6811,60\n"
    (folder / "neighbour-leak-off.csv").write_text(text, encoding="utf-8")
    told = fault(folder)
    assert "the window closes" in told
    assert "pore_pressure at" in told
    assert "below the sea bed" in told


def test_rock_that_no_pressure_holds_is_told(tmp_path: Path) -> None:
    folder = copied(tmp_path, {
        "      unconfined_compressive_strength: {column: unconfined strength}\n": "",
        "      friction_angle: {column: friction angle}\n": "",
        "breakout_width: 30 deg": "breakout_width: 0 deg\n  friction_angle: 2 deg\n"
        "  unconfined_compressive_strength: 0.05 MPa\n  inclination: 80 deg",
        "major_stress_share: 0.3": "major_stress_share: 0",
    })  # fmt: skip
    assert "no pressure that holds the wall" in fault(folder)


def test_a_trend_that_shows_no_compaction_is_refused(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    curves = smooth(DEPTH)
    curves["DT"] = ("US/F", 100.0 + 0.01 * DEPTH)
    write_log(folder, DEPTH, curves)
    assert "whose trend does not show compaction" in fault(folder)


def test_no_clay_no_method(tmp_path: Path) -> None:
    folder = copied(tmp_path, {"clays: [clay, mudstone]": "clays: [salt]"})
    text = fault(folder)
    assert "no clay with readings of transit_time" in text
    assert "Words that mean clay: salt" in text


def test_missing_files_and_columns_are_all_told_at_once(tmp_path: Path) -> None:
    folder = copied(tmp_path, {"{column: DT, unit: us/ft}": "{column: DTC, unit: us/ft}"})
    (folder / "neighbour-rock.csv").unlink()
    text = fault(folder)
    assert "no column 'DTC'" in text
    assert "neighbour-rock.csv: found no such file" in text


def test_a_curve_or_depth_that_is_not_there_is_told() -> None:
    with pytest.raises(InputErrors, match="Did you mean 'pore_pressure'"):
        open_node(example(), "pore_presure", "2000 m below sea bed")
    with pytest.raises(InputErrors, match="a depth from 0 to"):
        open_node(example(), "pore_pressure", "9000 m below sea bed")
    with pytest.raises(InputErrors, match="datum"):
        open_node(example(), "pore_pressure", "2000 m")


# ---- what is written ---------------------------------------------------------------------


def test_the_walk_takes_the_table(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(EXAMPLE, tmp_path / "hole"))
    worked = prognosis(folder)
    write_prognosis(worked, None, force=True)
    records = walk(folder).records
    assert len(records) > 100
    table = load_hole(folder).earth
    for column in ("pore_pressure", "fracture_pressure", "collapse_pressure"):
        curve = "hole_" * (column == "collapse_pressure") + column
        np.testing.assert_allclose(table.at(column, worked.z), worked.curves[curve].si, atol=600.0)


def test_a_table_that_stands_there_is_kept(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    before = (folder / "earth.csv").read_bytes()
    worked = prognosis(folder)
    with pytest.raises(InputErrors, match="--force"):
        write_prognosis(worked, None, force=False)
    assert (folder / "earth.csv").read_bytes() == before
    assert not (folder / SPREAD_FILE).exists()
    write_prognosis(worked, None, force=True)
    assert (folder / "earth.csv.before").read_bytes() == before
    first = (folder / "earth.csv").read_bytes()
    write_prognosis(worked, None, force=False)  # the same again changes nothing
    assert not (folder / "earth.csv.before-2").exists()
    change(folder, {"heat_flow: 50 mW/m2": "heat_flow: 55 mW/m2"})
    write_prognosis(prognosis(folder), None, force=True)
    assert (folder / "earth.csv.before").read_bytes() == before
    assert (folder / "earth.csv.before-2").read_bytes() == first


def test_the_table_can_be_read_back_and_tells_its_doubts(tmp_path: Path) -> None:
    worked = example()
    text = earth_text(worked)
    assert "# doubt: transit_time: 187 us/ft" in text
    assert "invented" in text.splitlines()[0]
    table = parse_table(text, "earth.csv", EARTH_COLUMNS)
    assert table.deepest == 5100.0
    assert set(table.words["lithology"]) >= {"clay", "mudstone", "limestone with mudstone"}
    rows = np.isfinite(table.numbers["undrained_shear_strength"])
    assert table.depths[rows].max() == 200.0
    write_prognosis(worked, tmp_path / "out.csv", force=False)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out.csv", SPREAD_FILE]


def test_a_change_of_rock_is_a_row_of_its_own() -> None:
    """A word holds until the next row: layers must not begin late."""
    assert set(example().ground.readings["lithology"].depths) <= set(example().z)


def test_what_the_method_reads_stands_on_its_trend_where_it_was_fitted() -> None:
    shown = trend_shown(example())
    assert shown is not None
    assert shown.normal is not None
    depths, read = shown.readings
    inside = (depths >= 200.0) & (depths <= 1400.0)
    trend = np.interp(depths[inside], example().z, shown.normal)
    assert np.mean(np.abs(read[inside] / trend - 1.0)) < 0.02


# ---- what is told of the curves ----------------------------------------------------------


def test_excess_that_is_held_or_taken_across_is_told() -> None:
    text = said(example())
    assert "pore_pressure: no clay is read below 4550 m below the sea bed" in text
    assert "is held to the bottom" in text


def test_less_than_normal_pressure_is_told_and_not_written(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    curves = smooth(DEPTH)
    fast = np.where((DEPTH > 2000.0) & (DEPTH < 3000.0), 0.85, 1.0)
    curves["DT"] = ("US/F", curves["DT"][1] * fast)
    write_log(folder, DEPTH, curves)
    worked = prognosis(folder)
    assert "less than normal pressure in clay at" in said(worked)
    normal, pore = (worked.curves[f"{name}pore_pressure"].si for name in ("normal_", ""))
    assert np.all(pore >= normal)


def test_a_prognosis_that_ends_above_the_target_is_told(tmp_path: Path) -> None:
    folder = copied(tmp_path, {"deepest: 5100 m": "deepest: 4000 m"})
    assert "deepest: ends at 4\u202f000 m below the sea bed, above the target" in said(
        prognosis(folder)
    )


def test_a_window_that_leaves_no_room_for_the_wall_is_told(tmp_path: Path) -> None:
    """Weak rock at 15 degrees bears 1.7 times its side: 0.45 of the overburden is too little."""
    folder = copied(tmp_path, {
        "      unconfined_compressive_strength: {column: unconfined strength}\n": "",
        "      friction_angle: {column: friction angle}\n": "",
        "breakout_width: 30 deg": "breakout_width: 0 deg\n  friction_angle: 15 deg\n"
        "  unconfined_compressive_strength: 0.2 MPa",
        "method: leak-off ratio": "method: matthews-kelly\n  stress_ratio: 0.45",
        "major_stress_share: 0.3": "major_stress_share: 0",
    })  # fmt: skip
    assert "no mud density serves there" in said(prognosis(folder))


def test_a_workbook_is_read_like_a_text(tmp_path: Path) -> None:
    from openpyxl import Workbook

    folder = copied(tmp_path)
    plain = prognosis(folder)
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for line in (folder / "neighbour-rock.csv").read_text(encoding="utf-8").splitlines():
        if not line.startswith("#"):
            cells = line.split(",")
            sheet.append([float(c) if c[0].isdigit() else c for c in cells])
    book.save(folder / "rock.xlsx")
    change(folder, {"file: neighbour-rock.csv": "file: rock.xlsx"})
    for name, curve in prognosis(folder).curves.items():
        np.testing.assert_allclose(curve.si, plain.curves[name].si, rtol=1e-12)


def test_rows_that_the_earth_table_would_refuse_are_refused(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    change(folder, {"shallow water flow": "shallow gass"}, "neighbour-lithology.csv")
    text = fault(folder)
    assert "neighbour-lithology.csv, line 5, column 'danger'" in text
    assert "Did you mean 'shallow gas'" in text
