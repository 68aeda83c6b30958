"""`bathybore reach`: what bites first, as page, as JSON, as a picture."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bathybore.cli.main import app
from varied import EXAMPLES

RISERLESS = str(EXAMPLES / "riserless")


@pytest.fixture(scope="module")
def weak(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The riserless hole with tools that bear little heat."""
    folder = tmp_path_factory.mktemp("weak") / "hole"
    shutil.copytree(EXAMPLES / "riserless", folder)
    text = (folder / "hole.yaml").read_text(encoding="utf-8")
    changed = text.replace("  endurance:", "  tool_temperature_limit: 30 degC\n  endurance:", 1)
    assert changed != text
    (folder / "hole.yaml").write_text(changed, encoding="utf-8")
    return folder


def test_a_hole_that_no_limit_stops_passes() -> None:
    result = CliRunner().invoke(app, ["reach", RISERLESS, "-n", "0"])
    assert result.exit_code == 0
    for part in ("Bites first", "no limit", "pressure window", "> 730 m", "reach/heat", "Cautions"):
        assert part in result.stdout
    assert "P50" not in result.stdout


def test_a_limit_above_the_target_fails_and_has_its_relief(weak: Path) -> None:
    result = CliRunner().invoke(app, ["reach", str(weak), "-n", "64"])
    assert result.exit_code == 1
    for part in ("heat, at", "above the target", "P50", "tools that bear", "gear to be hired"):
        assert part in " ".join(result.stdout.split())


def test_json_has_units_and_ids_that_explain_opens(weak: Path) -> None:
    result = CliRunner().invoke(app, ["reach", str(weak), "-n", "0", "--json"])
    assert result.exit_code == 1
    told = json.loads(result.stdout)
    assert told["schema"] == "bathybore.reach/1"
    bites = told["topics"][0]["numbers"]["bites"]
    first = bites[0]
    assert first["limit"] == "heat"
    assert first["above_target"] is True
    assert first["depth_below_sea_bed"]["unit"] == "m"
    assert 0.0 < first["depth_below_sea_bed"]["value"] < 700.0
    assert first["relief"]["changes"]
    assert first["relief"]["then_bites_at"]["value"] is None
    assert next(one["id"] for one in told["topics"][0]["records"]) == "reach/heat"
    opened = CliRunner().invoke(app, ["explain", str(weak), "reach/heat"])
    assert opened.exit_code == 0
    assert "reach/heat" in opened.stdout
    assert "temperature" in opened.stdout


def test_the_picture_is_written_and_the_same_twice(weak: Path, tmp_path: Path) -> None:
    for name in ("one", "two"):
        files = ["--svg", str(tmp_path / f"{name}.svg"), "--png", str(tmp_path / f"{name}.png")]
        result = CliRunner().invoke(
            app, ["reach", str(weak), "-n", "64", "--no-reliefs", "--units", "oilfield", *files]
        )
        assert result.exit_code == 1
        assert "Relief" not in result.stdout
    for kind in ("svg", "png"):
        one, two = ((tmp_path / f"{name}.{kind}").read_bytes() for name in ("one", "two"))
        assert one == two
    assert (tmp_path / "one.svg").read_text(encoding="utf-8").startswith("<?xml")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nowhere"], "nowhere"),
        ([RISERLESS, "-n", "-3"], "members"),
        ([RISERLESS, "--png", f"{RISERLESS}/sea.csv/a.png", "-n", "0", "--no-reliefs"], "sea.csv"),
    ],
)
def test_bad_input_is_told_and_exits_with_two(words: list[str], said: str) -> None:
    result = CliRunner().invoke(app, ["reach", *words])
    assert result.exit_code == 2
    assert said in result.output


def test_an_id_that_is_none_is_told_with_its_neighbours() -> None:
    result = CliRunner().invoke(app, ["explain", RISERLESS, "reach/haet"])
    assert result.exit_code == 2
    assert "reach/heat" in result.output
