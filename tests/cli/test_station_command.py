"""`bathybore station`: pages, JSON, pictures, parts that a hole has not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bathybore.cli.main import app
from varied import EXAMPLES

MAIN = str(EXAMPLES / "main")
PARTS = ("capability", "footprint", "motions", "circles", "weather")


def said(*words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(app, ["station", *words])
    return result.exit_code, result.stdout, result.stderr


def test_the_page_tells_what_is_held_and_where_to_let_go() -> None:
    code, page, _ = said(MAIN)
    assert code == 0
    for part in (
        "Less a switchboard",
        "Beaufort number",
        "Rules of thumb",
        "Thrusters stuck",
        "watch-circle-disconnect",
        "Cautions",
    ):
        assert part in page


@pytest.mark.parametrize("hole", ["main", "riserless", "frontier"])
def test_every_example_is_told_whole(hole: str) -> None:
    code, page, _ = said(str(EXAMPLES / hole), "--units", "oilfield")
    assert code in (0, 1)
    assert "nan" not in page
    assert ("Losing station" in page) == (hole != "riserless")


@pytest.mark.parametrize("part", PARTS)
def test_json_has_numbers_with_units_and_ids_that_explain_opens(part: str) -> None:
    _, text, _ = said(MAIN, part, "--json")
    told = json.loads(text)
    assert told["schema"] == "bathybore.station/1"
    (topic,) = told["topics"]
    assert "unit" in str(topic["numbers"])
    assert topic["records"]
    for record in topic["records"]:
        opened = CliRunner().invoke(app, ["explain", MAIN, record["id"]])
        assert opened.exit_code == 0
        assert record["id"] in opened.stdout


@pytest.mark.parametrize("part", PARTS)
def test_pictures_are_written_and_the_same_every_time(part: str, tmp_path: Path) -> None:
    svg, png = tmp_path / "a.svg", tmp_path / "a.png"
    code, _, told = said(MAIN, part, "--svg", str(svg), "--png", str(png))
    assert code == 0
    assert str(svg) in told
    assert png.read_bytes()[:4] == b"\x89PNG"
    first = svg.read_bytes()
    said(MAIN, part, "--svg", str(svg))
    assert svg.read_bytes() == first


def test_what_cannot_be_told_or_drawn_is_said(tmp_path: Path) -> None:
    code, _, words = said(str(EXAMPLES / "riserless"), "circles")
    assert code == 2
    assert "riser" in words
    code, _, words = said(MAIN, "--svg", str(tmp_path / "a.svg"))
    assert code == 2
    assert "station-capability, station-footprint, station-motions, station-circles" in words
    (tmp_path / "file").write_text("not a folder")
    code, _, words = said(MAIN, "circles", "--png", str(tmp_path / "file" / "a.png"))
    assert code == 2
    assert "file" in words
