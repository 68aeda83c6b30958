"""prognosis.yaml: what it holds, and what is told of one that cannot be used."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from bathybore.base.depth import Datum, Depth
from bathybore.base.errors import InputErrors
from bathybore.base.working import Default, Given
from bathybore.model.loading import load_hole
from bathybore.model.prognosis import CURVES, CurveName, read_prognosis

EXAMPLE = Path(__file__).parents[2] / "examples" / "main"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(EXAMPLE, tmp_path / "hole"))


def told(folder: Path, old: str, new: str) -> str:
    file = folder / "prognosis.yaml"
    text = file.read_text(encoding="utf-8")
    assert old in text, old
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        read_prognosis(folder)
    return str(caught.value)


def line_of(folder: Path, part: str) -> int:
    lines = (folder / "prognosis.yaml").read_text(encoding="utf-8").splitlines()
    return next(n for n, line in enumerate(lines, start=1) if part in line)


def test_the_demonstration_is_read_with_units_and_datums() -> None:
    document = read_prognosis(EXAMPLE)
    assert document.invented
    assert document.neighbour.water_depth == 2395.0
    assert document.deepest == Depth(5100.0, Datum.SEA_BED)
    assert document.pore_pressure.normal_above == Depth(1400.0, Datum.SEA_BED)
    assert document.wall.breakout_width == pytest.approx(0.5235987755982988)
    assert document.heat.heat_flow == pytest.approx(0.050)
    assert document.soft_mud is not None
    assert document.soft_mud.strength_gradient == pytest.approx(1450.0)


def test_numbers_know_their_line_and_defaults_their_source(folder: Path) -> None:
    document = read_prognosis(folder)
    origin = document.value("pore_fluid_density").origin
    assert isinstance(origin, Given)
    assert origin.line == line_of(folder, "pore_fluid_density")
    assumed = document.horizontal.value("stress_azimuth").origin
    assert isinstance(assumed, Default)
    assert assumed.source_key == "assumed"


def test_every_curve_that_can_be_named_has_a_unit_and_a_range() -> None:
    assert set(CurveName.__args__) == set(CURVES)  # type: ignore[attr-defined]
    assert all(low < high for unit, low, high in CURVES.values() if unit != "text")


@pytest.mark.parametrize(
    ("old", "new", "wanted"),
    [
        ("water_depth: 2395 m", "water_depth: 2395", "the bare number 2395"),
        ("water_depth: 2395 m", "water_depth: 2395 kg", "unit 'kg'"),
        ("deepest: 5100 m below sea bed", "deepest: 5100 m", "a depth with unit and datum"),
        ("true_vertical: true", "true_vertical: false", "found measured depths"),
        ("spacing: 50 m", "spaceing: 50 m", "Did you mean 'spacing'?"),
        ("method: eaton sonic", "method: eaton sonics", "eaton sonic"),
        ("unit: us/ft", "unit: us/fot", "of transit_time"),
        ("unit: us/ft", "unit: kg/m3", "of transit_time"),
        ("file: neighbour-logs.las", "file: ../logs.las", "a file beside the document"),
        ("resistivity: {column: RES", "lithology: {column: RES", "expected each curve once"),
        ("bulk_density: {column", "bulk_densty: {column", "bulk_density"),
        ("  trend_top: 200 m below sea bed ", "  # ", "found no normal trend"),
        ("  trend_top: 200 m", "  compaction_rate: 0.0003 1/m\n  trend_top: 200 m",
         "found half of a given trend"),
        ("  normal_above: 1400 m below sea bed", "  #", "found no normal_above"),
        ("method: eaton sonic", "method: bowers", "found no coefficients"),
        ("method: eaton sonic",
         "method: bowers\n  bowers_coefficient: 4\n  bowers_exponent: 0.8\n"
         "  greatest_velocity: 3 km/s", "found unloading half told"),
        ("method: eaton sonic", "method: eaton drilling exponent", "no curve weight_on_bit"),
        ("heat_flow: 50 mW/m2", "crust_age: 20 Ma", "found no heat_flow"),
        ("method: heat flow", "method: table", "no curve temperature"),
        ("  criterion: mogi-coulomb", "  poisson_ratio: 0.3\n  criterion: mogi-coulomb",
         "poisson_ratio here and as a curve"),
        ("      friction_angle: {column: friction angle}\n", "", "no friction_angle"),
        ("leak_off_pressure: {column", "surface_pressure: {column", "without test_mud_density"),
        ("breakout_width: 30 deg", "breakout_width: 30 deg\n  circulated_temperature: 20 degC",
         "without young_modulus"),
        ("breakout_width: 30 deg", "breakout_width: 130 deg", "or less"),
        ("beyond_data: stop", "beyond_data: guess", "'stop' or 'hold'"),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_told_with_line_and_key(
    folder: Path, old: str, new: str, wanted: str
) -> None:
    text = told(folder, old, new)
    assert wanted in text
    assert "prognosis.yaml, " in text


def test_a_fault_names_the_line_it_stands_on(folder: Path) -> None:
    line = line_of(folder, "water_depth")
    text = told(folder, "water_depth: 2395 m", "water_depth: deep")
    assert text.startswith(f"prognosis.yaml, line {line}, neighbour.water_depth: found 'deep'")


def test_no_document_is_told(folder: Path) -> None:
    (folder / "prognosis.yaml").unlink()
    with pytest.raises(InputErrors, match="no such file; expected a prognosis document"):
        read_prognosis(folder)


def test_a_hole_loads_whatever_else_stands_in_its_folder(folder: Path) -> None:
    (folder / "prognosis.yaml").write_text("no document at all: [", encoding="utf-8")
    assert load_hole(folder).name == "Tern Basin deep hole"
