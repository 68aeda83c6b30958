"""`bathybore string`: the string that reaches deepest, as page, as JSON, as a picture."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bathybore.cli.main import app
from varied import EXAMPLES

MAIN = str(EXAMPLES / "main")


def test_the_page_tells_the_string_and_what_ends_it() -> None:
    result = CliRunner().invoke(app, ["string", MAIN])
    assert result.exit_code == 0
    for part in ("landing-658", "Ended by", "fits no deeper", "string-reach/target", "Cautions"):
        assert part in result.stdout


def test_json_has_units_and_ids_that_explain_opens() -> None:
    result = CliRunner().invoke(app, ["string", MAIN, "--json"])
    told = json.loads(result.stdout)
    assert told["schema"] == "bathybore.string/1"
    lengths = [one["length"]["value"] for one in (*told["pipes"], *told["assembly"])]
    assert sum(lengths) == pytest.approx(told["reach"]["value"])
    assert told["reach"]["unit"] == "m"
    for record in told["records"]:
        opened = CliRunner().invoke(app, ["explain", MAIN, record["id"]])
        assert opened.exit_code == 0
        assert record["id"] in opened.stdout


def test_another_bottom_assembly_gives_another_reach() -> None:
    plain, other = (
        json.loads(CliRunner().invoke(app, ["string", MAIN, *name, "--json"]).stdout)
        for name in ([], ["drilling-26"])
    )
    assert other["string"] == "drilling-26"
    assert other["assembly"] != plain["assembly"]


def test_pictures_are_written(tmp_path: Path) -> None:
    result = CliRunner().invoke(
        app, ["string", MAIN, "--svg", str(tmp_path), "--png", str(tmp_path)]
    )
    assert result.exit_code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["string.png", "string.svg"]
    svg = (tmp_path / "string.svg").read_text(encoding="utf-8")
    assert svg.lstrip().startswith("<?xml")


def test_an_unknown_string_is_bad_input() -> None:
    result = CliRunner().invoke(app, ["string", MAIN, "drilling-27"])
    assert result.exit_code == 2
    assert "drilling-26" in result.stderr


def test_feet_and_pounds() -> None:
    result = CliRunner().invoke(app, ["string", MAIN, "--units", "oilfield"])
    assert " ft below the drill floor" in result.stdout
    assert "klbf" in result.stdout or "lbf" in result.stdout
