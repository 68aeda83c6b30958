"""`bathybore steel`: the strings chosen from the stock, as page, as JSON, as pictures."""

from __future__ import annotations

import json
from pathlib import Path

from typer.testing import CliRunner

from bathybore.cli.main import app
from varied import EXAMPLES

MAIN = str(EXAMPLES / "main")


def test_every_string_is_told_with_its_lengths_and_what_comes_closest() -> None:
    result = CliRunner().invoke(app, ["steel", MAIN, "casing-1338"])
    assert result.exit_code == 0
    for part in (
        "13 3/8 in 68 lb/ft N-80: 0 m below sea bed to",
        "13 3/8 in 72 lb/ft P-110:",
        "the planned pipe alone 204 t",
        "steel-casing-1338/burst-pressure-test",
        "The licensed engineer decides.",
    ):
        assert part in " ".join(result.stdout.split())
    assert "casing-958" not in result.stdout


def test_json_has_si_beside_every_unit_and_ids_that_explain_opens() -> None:
    result = CliRunner().invoke(app, ["steel", MAIN, "--json", "--units", "oilfield"])
    told = json.loads(result.stdout)
    assert told["schema"] == "bathybore.steel/1"
    assert told["passes"] is True
    string = next(one for one in told["strings"] if one["casing"] == "liner-7")
    assert sum(one["mass"]["value"] for one in string["lengths"]) == string["mass"]["value"]
    assert string["lengths"][0]["top"]["below"] == "sea bed"
    assert string["lengths"][0]["top"]["shown"].endswith("ft below sea bed")
    opened = CliRunner().invoke(app, ["explain", MAIN, string["records"][0]["id"]])
    assert opened.exit_code == 0
    assert string["records"][0]["id"] in opened.stdout


def test_pictures_are_written_for_every_string(tmp_path: Path) -> None:
    result = CliRunner().invoke(
        app, ["steel", MAIN, "liner-7", "--svg", str(tmp_path), "--png", str(tmp_path)]
    )
    assert result.exit_code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "steel-liner-7.png",
        "steel-liner-7.svg",
    ]


def test_one_picture_takes_a_file_and_several_a_folder(tmp_path: Path) -> None:
    one = CliRunner().invoke(app, ["steel", MAIN, "liner-7", "--svg", str(tmp_path / "one.svg")])
    assert one.exit_code == 0
    assert [path.name for path in tmp_path.iterdir()] == ["one.svg"]
    for name, said in (
        (("--svg", "all.svg"), "4 pictures: steel-casing-20, steel-casing-1338"),
        (("--png", "all.svg"), "a name that ends in .png"),
    ):
        result = CliRunner().invoke(app, ["steel", MAIN, name[0], str(tmp_path / name[1])])
        assert result.exit_code == 2
        assert said in " ".join(result.stderr.split())
    assert [path.name for path in tmp_path.iterdir()] == ["one.svg"]


def test_an_unknown_casing_is_bad_input() -> None:
    result = CliRunner().invoke(app, ["steel", MAIN, "casing-9"])
    assert result.exit_code == 2
    assert "casing-958" in result.stderr
