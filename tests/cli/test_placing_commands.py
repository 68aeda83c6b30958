"""`bathybore cement`, `trip` and `clean`: pages, JSON, pictures, the trip sheet, bad names."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bathybore.cli.main import app
from varied import EXAMPLES

MAIN = str(EXAMPLES / "main")
COMMANDS = (("cement", "casing-958"), ("trip", "section-812"), ("clean", "section-1214"))


def said(*words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(app, list(words), env={"COLUMNS": "140"})
    return result.exit_code, result.stdout, result.stderr


def test_cement_tells_fall_pressures_and_what_is_pumped() -> None:
    code, page, _ = said("cement", MAIN, "casing-958")
    assert code == 0
    for part in ("Free fall", "Lift pressure", "spacer", "sacks of 94 lb", "At minute", "Cautions"):
        assert part in page


def test_trip_tells_speeds_heave_and_fill_volumes() -> None:
    code, page, _ = said("trip", MAIN, "section-812")
    assert code == 0
    for part in ("pulled no faster than", "Trip sheet", "Heave", "heave-in-slips", "fill dry"):
        assert part in page


def test_clean_tells_every_law_beside_sea_water() -> None:
    code, page, _ = said("clean", MAIN, "section-1712")
    assert code == 0
    for part in ("Moore", "Walker and Mayes", "Chien", "Haider", "sea water", "packs off"):
        assert part in page
    code, page, _ = said("clean", MAIN, "top-hole")
    assert "one every" in page


@pytest.mark.parametrize("command", ["cement", "trip", "clean"])
@pytest.mark.parametrize("hole", ["main", "riserless", "frontier"])
def test_every_example_is_told_whole(command: str, hole: str) -> None:
    code, page, _ = said(command, str(EXAMPLES / hole), "--units", "oilfield")
    assert code in (0, 1)
    assert " ft" in page
    assert "nan" not in page


@pytest.mark.parametrize(("command", "name"), COMMANDS)
def test_json_has_numbers_with_units_and_ids_that_explain_opens(command: str, name: str) -> None:
    _, text, _ = said(command, MAIN, name, "--json")
    told = json.loads(text)
    assert told["schema"] == f"bathybore.{command}/1"
    (topic,) = told["topics"]
    assert topic["name"] == name
    assert topic["numbers"]
    for record in topic["records"]:
        code, opened, _ = said("explain", MAIN, record["id"])
        assert code == 0
        assert record["id"] in opened


def test_cement_json_keeps_its_volumes() -> None:
    _, text, _ = said("cement", MAIN, "casing-1338", "--json")
    numbers = json.loads(text)["topics"][0]["numbers"]
    pumped, out, void = (numbers[one]["value"] for one in ("pumped", "returned", "void"))
    for one, two, three in zip(pumped, out, void, strict=True):
        assert two - one == pytest.approx(three, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(("command", "name"), COMMANDS)
def test_pictures_are_written(command: str, name: str, tmp_path: Path) -> None:
    svg, png = tmp_path / "one.svg", tmp_path / "one.png"
    code, _, told = said(command, MAIN, name, "--svg", str(svg), "--png", str(png))
    assert code == 0
    assert str(svg) in told
    assert svg.read_text(encoding="utf-8").lstrip().startswith("<?xml")
    assert png.read_bytes()[:4] == b"\x89PNG"


def test_the_trip_sheet_is_a_table(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.csv"
    assert said("trip", MAIN, "section-812", "--csv", str(sheet))[0] == 0
    rows = list(csv.DictReader(sheet.read_text(encoding="utf-8").splitlines()))
    dry = [float(row["fill_dry [m3]"]) for row in rows]
    assert dry == sorted(dry)
    assert float(rows[0]["stands_pulled [-]"]) == 0.0
    assert float(rows[-1]["bit_below_drill_floor [m]"]) == pytest.approx(0.0, abs=1.0)


@pytest.mark.parametrize("command", ["cement", "trip", "clean"])
def test_an_unknown_name_and_several_for_one_file_are_bad_input(
    command: str, tmp_path: Path
) -> None:
    code, _, told = said(command, MAIN, "nothing")
    assert code == 2
    assert "section-812" in told or "casing-958" in told
    code, _, told = said(command, MAIN, "--svg", str(tmp_path / "all.svg"))
    assert code == 2
    assert "a folder" in told
    assert not list(tmp_path.iterdir())
