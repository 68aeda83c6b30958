"""`bathybore circulate` and `bathybore fluid`: pages, JSON, pictures, bad input."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bathybore.cli.main import app
from varied import EXAMPLES

MAIN, RISERLESS = str(EXAMPLES / "main"), str(EXAMPLES / "riserless")


def test_the_page_tells_the_whole_circulation() -> None:
    result = CliRunner().invoke(app, ["circulate", RISERLESS])
    assert result.exit_code == 0
    for part in ("Up the annulus", "Down the string", "Nozzles", "Cleans from", "Undisturbed",
                 "core/flow-window-low", "Cautions"):  # fmt: skip
        assert part in result.stdout


def test_json_has_units_and_ids_that_explain_opens() -> None:
    result = CliRunner().invoke(app, ["circulate", RISERLESS, "core", "--json"])
    told = json.loads(result.stdout)
    assert told["schema"] == "bathybore.circulation/1"
    annulus = told["annulus"]
    assert annulus["pressure"]["unit"] == "Pa"
    assert len(annulus["pressure"]["value"]) == len(annulus["names"])
    inside = told["pipe"]["pressure"]["value"][-1]
    lost = told["bit_pressure_drop"]["value"]
    assert inside - lost == pytest.approx(annulus["pressure"]["value"][-1])
    opened = CliRunner().invoke(app, ["explain", RISERLESS, told["records"][-1]["id"]])
    assert opened.exit_code == 0


def test_pictures_are_written(tmp_path: Path) -> None:
    result = CliRunner().invoke(
        app, ["circulate", RISERLESS, "--svg", str(tmp_path), "--png", str(tmp_path)]
    )
    assert result.exit_code == 0
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == [
        f"{what}-core.{kind}"
        for what in ("circulation", "flow-window", "heat")
        for kind in ("png", "svg")
    ]


def test_an_unknown_section_is_bad_input() -> None:
    result = CliRunner().invoke(app, ["circulate", RISERLESS, "core-hol"])
    assert result.exit_code == 2
    assert "core-hole" in result.stderr


def test_feet_and_pounds() -> None:
    result = CliRunner().invoke(app, ["circulate", RISERLESS, "--units", "oilfield"])
    for part in (" gpm", " psi", " ppg", "°F"):
        assert part in result.stdout


def test_constants_are_told_with_where_they_come_from() -> None:
    result = CliRunner().invoke(app, ["fluid", MAIN, "mud-3"])
    assert result.exit_code == 0
    assert "plan.fluids[mud-3].density (hole.yaml, line" in result.stdout
    assert "density against depth" in result.stdout


def test_readings_are_shown_with_their_fits(tmp_path: Path) -> None:
    hole = tmp_path / "hole"
    shutil.copytree(EXAMPLES / "riserless", hole)
    text = (hole / "hole.yaml").read_text(encoding="utf-8")
    line = next(one for one in text.split("\n") if one.strip().startswith("gel-sweep:"))
    measured = """    gel-sweep:
      density: 1.08 sg
      readings:
        - {temperature: 20 degC, dial_600: 85, dial_300: 62, dial_100: 40, dial_3: 21}"""
    assert line.rstrip().endswith("}")  # the whole fluid on one line
    (hole / "hole.yaml").write_text(text.replace(line, measured), encoding="utf-8")
    page = CliRunner().invoke(app, ["fluid", str(hole), "gel-sweep"])
    assert page.exit_code == 0, page.output
    for part in ("Bingham", "power law", "Herschel-Bulkley", "600 rpm", "best by"):
        assert part in page.stdout
    told = json.loads(CliRunner().invoke(app, ["fluid", str(hole), "gel-sweep", "--json"]).stdout)
    (fluid,) = told["fluids"]
    shares = [fit["residual_share"]["value"] for fit in fluid["readings"][0]["fits"]]
    assert shares[2] == min(shares)


def test_an_unknown_fluid_is_bad_input() -> None:
    result = CliRunner().invoke(app, ["fluid", MAIN, "mud-33"])
    assert result.exit_code == 2
    assert "mud-3" in result.stderr
