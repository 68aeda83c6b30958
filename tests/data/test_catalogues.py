"""The catalogues agree with themselves, with geometry and with the published strength tables."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.base.sources import bibliography
from bathybore.base.units import from_si, parse_quantity
from bathybore.data import catalogues
from bathybore.data.catalogues import HEADER_UNITS
from bathybore.kernels.drill_pipe_strength import torsional_yield
from bathybore.kernels.tubular_collapse import collapse_pressure
from bathybore.kernels.tubular_strength import (
    buttress_joint_strength,
    internal_yield_pressure,
    pipe_body_area,
    pipe_body_yield_force,
)

INCH = 0.0254
TABLES = {
    "casing": catalogues.casings(),
    "grades": catalogues.grades(),
    "drill_pipe": catalogues.drill_pipes(),
    "drill_collars": catalogues.drill_collars(),
    "heavy_wall": catalogues.heavy_wall_pipes(),
    "bits": catalogues.bits(),
    "core_bits": catalogues.core_bits(),
}
STEEL = 7850.0


def test_header_units_are_those_of_the_gate() -> None:
    for unit, factor in HEADER_UNITS.items():
        si = {"lb/ft": "kg/m", "ksi": "Pa", "ft-lbf": "N m"}.get(unit, "m")
        assert parse_quantity(f"1 {unit}", si) == pytest.approx(factor, rel=1e-12)


@pytest.mark.parametrize("table", TABLES)
def test_every_table_says_where_it_comes_from(table: str) -> None:
    block = catalogues.about(table)
    assert {"title", "source", "edition", "provenance", "licence"} <= set(block)
    for row in TABLES[table]:
        assert row.source_key in bibliography()
        assert row.provenance in {"read", "memory"}
        assert row.table == table


@pytest.mark.parametrize("table", TABLES)
def test_designations_are_unique(table: str) -> None:
    names = [row.designation for row in TABLES[table]]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("row", catalogues.casings(), ids=lambda row: row.designation)
def test_casing_weight_is_that_of_its_steel(row: catalogues.CasingRow) -> None:
    plain = pipe_body_area(row.outside_diameter, row.wall) * STEEL
    # nominal weight carries the coupling, and in API tables is a name as much as a weight
    assert 0.985 <= row.linear_mass / plain <= 1.06


@pytest.mark.parametrize("row", catalogues.casings(), ids=lambda row: row.designation)
def test_drift_passes_inside_and_coupling_stands_out(row: catalogues.CasingRow) -> None:
    allowance = (row.inside_diameter - row.drift_diameter) / INCH
    sizes = (9.6, 13.63)
    outside = row.outside_diameter / INCH
    rule = 1 / 8 if outside < sizes[0] else 5 / 32 if outside < sizes[1] else 3 / 16
    assert allowance == pytest.approx(rule, abs=6e-4)  # API 5CT drift mandrels
    if row.special_drift_diameter is not None:
        assert row.drift_diameter <= row.special_drift_diameter < row.inside_diameter
    assert row.coupling_outside_diameter > row.outside_diameter


def test_walls_grow_with_weight() -> None:
    for first, second in zip(catalogues.casings(), catalogues.casings()[1:], strict=False):
        if first.outside_diameter == second.outside_diameter and first.kind == second.kind:
            assert second.wall > first.wall
            assert second.linear_mass > first.linear_mass


@pytest.mark.parametrize("row", catalogues.grades(), ids=lambda row: row.designation)
def test_ultimate_exceeds_yield(row: catalogues.GradeRow) -> None:
    assert row.ultimate_strength > row.yield_strength
    number = row.designation.partition("-")[2]
    if number:  # the number of a grade is its yield in ksi
        assert from_si(row.yield_strength, "Pa", "ksi") == pytest.approx(float(number))


@pytest.mark.parametrize("row", catalogues.drill_pipes(), ids=lambda row: row.designation)
def test_drill_pipe_weighs_its_steel_and_its_tool_joint(row: catalogues.DrillPipeRow) -> None:
    """API RP 7G, weight of a joint: body 29.4 ft, tool joint by its cylinder and cone.

    The combined tongs length and 0.55 lb/ft of upset are ours, so 3 % is allowed.
    """
    lengths = {"NC": 17.0, "5 1/2 FH": 18.0, "6 5/8 FH": 19.0, "double": 25.0}
    tongs = next(value for key, value in lengths.items() if row.tool_joint.startswith(key))
    outside = row.tool_joint_outside_diameter / INCH
    bore = row.tool_joint_inside_diameter / INCH
    elevator = row.outside_diameter / INCH + 3 / 16
    joint = (
        0.222 * tongs * (outside**2 - bore**2)
        + 0.167 * (outside**3 - elevator**3)
        - 0.501 * bore**2 * (outside - elevator)
    )
    length = (tongs + 2.253 * (outside - elevator)) / 12.0
    body = from_si(pipe_body_area(row.outside_diameter, row.wall) * STEEL, "kg/m", "lb/ft")
    expected = ((body + 0.55) * 29.4 + joint) / (29.4 + length)
    assert from_si(row.linear_mass, "kg/m", "lb/ft") == pytest.approx(expected, rel=0.03)


@pytest.mark.parametrize("row", catalogues.drill_pipes(), ids=lambda row: row.designation)
def test_tool_joint_stands_outside_the_pipe(row: catalogues.DrillPipeRow) -> None:
    assert row.tool_joint_outside_diameter > row.outside_diameter
    assert row.tool_joint_inside_diameter < row.inside_diameter + 1e-3
    grade = catalogues.grade(row.grade)
    assert "drill pipe" in grade.use
    if row.tool_joint_torsional_yield is not None:
        body = float(torsional_yield(row.outside_diameter, row.wall, grade.yield_strength))
        assert 0.6 < row.tool_joint_torsional_yield / body < 1.3


@pytest.mark.parametrize("row", catalogues.drill_collars(), ids=lambda row: row.designation)
def test_collars_weigh_their_steel(row: catalogues.CollarRow) -> None:
    area = np.pi / 4 * (row.outside_diameter**2 - row.inside_diameter**2)
    assert row.linear_mass == pytest.approx(area * STEEL, rel=0.01)


@pytest.mark.parametrize("row", catalogues.heavy_wall_pipes(), ids=lambda row: row.designation)
def test_heavy_wall_pipe_weighs_its_steel_and_its_upsets(row: catalogues.CollarRow) -> None:
    area = np.pi / 4 * (row.outside_diameter**2 - row.inside_diameter**2)
    assert 1.08 < row.linear_mass / (area * STEEL) < 1.25


def test_cores_pass_their_bits() -> None:
    for row in catalogues.core_bits():
        assert row.core_diameter < 0.6 * row.bit_diameter


@pytest.mark.parametrize(
    ("name", "steel", "collapse", "burst", "body"),
    [
        # API Bulletin 5C2 (21st ed., 1999), from memory: psi, psi, 1000 lbf
        ("9 5/8 in 47 lb/ft", "P-110", 5300, 9440, 1493),
        ("9 5/8 in 53.5 lb/ft", "P-110", 7950, 10900, 1710),
        ("13 3/8 in 68 lb/ft", "K-55", 1950, 3450, 1069),
        ("20 in 133 lb/ft", "K-55", 1490, 3060, 2125),
        ("7 in 32 lb/ft", "P-110", 10780, 12460, 1025),
        ("16 in 75 lb/ft", "K-55", 1020, 2630, 1178),
    ],
)
def test_catalogue_and_equations_give_the_published_strength(
    name: str, steel: str, collapse: float, burst: float, body: float
) -> None:
    pipe, grade = catalogues.casing(name), catalogues.grade(steel)
    args = (pipe.outside_diameter, pipe.wall, grade.yield_strength)
    assert from_si(float(collapse_pressure(*args)), "Pa", "psi") == pytest.approx(collapse, abs=20)
    assert from_si(internal_yield_pressure(*args), "Pa", "psi") == pytest.approx(burst, abs=10)
    assert from_si(pipe_body_yield_force(*args), "N", "klbf") == pytest.approx(body, abs=1)


def test_catalogue_gives_the_published_buttress_joint() -> None:
    # API Bulletin 5C2, from memory: 9 5/8 in 53.5 lb/ft P-110, 1,718,000 lbf
    pipe, grade = catalogues.casing("9 5/8 in 53.5 lb/ft"), catalogues.grade("P-110")
    got = buttress_joint_strength(
        pipe.outside_diameter, pipe.wall, grade.yield_strength, grade.ultimate_strength
    )
    assert from_si(float(got), "N", "klbf") == pytest.approx(1718, abs=1.5)


@pytest.mark.parametrize(
    "written", ["13 3/8 in 72 lb/ft", "13-3/8 in 72 lb/ft", "13.375 in 72.0 lb/ft"]
)
def test_casing_is_found_however_its_size_is_written(written: str) -> None:
    row = catalogues.casing(written)
    assert row.designation == "13 3/8 in 72 lb/ft"
    assert row.inside_diameter == pytest.approx(12.347 * INCH)
    assert row.special_drift_diameter == pytest.approx(12.25 * INCH)


@pytest.mark.parametrize("table", ["casing", "drill_pipe", "grades"])
def test_every_row_is_found_by_its_own_designation(table: str) -> None:
    find = {
        "casing": catalogues.casing,
        "drill_pipe": catalogues.drill_pipe,
        "grades": catalogues.grade,
    }[table]
    for row in TABLES[table]:
        assert find(row.designation) is row


def test_collars_are_found_by_their_diameters() -> None:
    for row in catalogues.drill_collars():
        assert catalogues.drill_collar(row.designation) is row
    assert catalogues.heavy_wall_pipe("5 in x 3 in").tool_joint == "NC50"


def test_drill_pipe_of_several_grades_wants_the_grade() -> None:
    with pytest.raises(InputErrors, match="S-135"):
        catalogues.drill_pipe("5 in 19.5 lb/ft")
    assert catalogues.drill_pipe("5 in 19.5 lb/ft", "s135").grade == "S-135"
    assert catalogues.drill_pipe("5 7/8 in 23.4 lb/ft").grade == "S-135"


@pytest.mark.parametrize(
    ("find", "written", "hint"),
    [
        (catalogues.casing, "13 3/8 in 73 lb/ft", "13 3/8 in 72 lb/ft"),
        (catalogues.casing, "thirteen", "such as"),
        (catalogues.grade, "P-111", "P-110"),
        (catalogues.drill_pipe, "5 in 19.6 lb/ft S-135", "5 in 19.5 lb/ft S-135"),
        (catalogues.drill_collar, "8 in x 2 12/16 in", "8 in x 2 13/16 in"),
    ],
)
def test_unknown_designations_name_the_nearest(find, written: str, hint: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputErrors) as caught:
        find(written)
    assert hint in str(caught.value)


def test_the_largest_bit_that_passes_is_the_usual_one() -> None:
    # Common practice: 12 1/4 in through special-drift 13 3/8 in, 8 1/2 in through 9 5/8 in.
    usual = {
        "13 3/8 in 72 lb/ft": "12 1/4",
        "9 5/8 in 47 lb/ft": "8 1/2",
        "16 in 84 lb/ft": "14 3/4",
    }
    for name, bit in usual.items():
        row = catalogues.casing(name)
        found = catalogues.largest_bit_through(row.special_drift_diameter or row.drift_diameter)
        assert found is not None
        assert found.designation == f"{bit} in bit"
    assert catalogues.largest_bit_through(0.01) is None


def test_looking_up_pipe_needs_neither_scipy_nor_pint() -> None:
    code = (
        "import sys; from bathybore.data import catalogues; catalogues.casing('7 in 29 lb/ft'); "
        "sys.exit(bool({'scipy', 'pint', 'numpy'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
