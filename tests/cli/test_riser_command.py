"""`bathybore riser`: pages, JSON, pictures, parts that a hole has not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bathybore.cli.main import app
from varied import EXAMPLES

MAIN = str(EXAMPLES / "main")
PARTS = ("shape", "modes", "waves", "vibration", "hang-off", "open-water")


def said(*words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(app, ["riser", *words])
    return result.exit_code, result.stdout, result.stderr


@pytest.mark.parametrize("hole", ["main", "riserless", "frontier"])
def test_every_example_is_told_whole(hole: str) -> None:
    code, page, _ = said(str(EXAMPLES / hole), "--units", "oilfield")
    assert code == (1 if hole == "frontier" else 0)
    assert "nan" not in page
    assert ("hung off" in page) == (hole != "riserless")
    assert "Pipe in open water" in page
    if hole == "riserless":
        assert "none in this plan" in page
    if hole == "frontier":
        assert "run-riser/hang-off-peak" in page


def test_json_has_numbers_with_units_and_ids_that_explain_opens() -> None:
    _, text, _ = said(MAIN, "--json")
    told = json.loads(text)
    assert told["schema"] == "bathybore.riser/1"
    assert [topic["name"] for topic in told["topics"]] == list(PARTS)
    by_name = {topic["name"]: topic for topic in told["topics"]}
    shape = by_name["shape"]["numbers"]
    assert len(shape["displacement_down_current"]["value"]) == len(
        shape["depth_below_sea_level"]["value"]
    )
    assert by_name["modes"]["numbers"]["sway_period"]["unit"] == "s"
    record = by_name["waves"]["records"][0]
    opened = CliRunner().invoke(app, ["explain", MAIN, record["id"]])
    assert opened.exit_code == 0
    assert "theta_m" in opened.stdout or "θ_m" in opened.stdout


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
    code, _, words = said(str(EXAMPLES / "riserless"), "waves")
    assert code == 2
    assert "open-water" in words
    code, _, words = said(MAIN, "--svg", str(tmp_path / "a.svg"))
    assert code == 2
    assert "riser-shape, riser-modes" in words
    code, _, words = said(MAIN, "everything")
    assert code == 2
    (tmp_path / "file").write_text("not a folder")
    code, _, words = said(MAIN, "modes", "--png", str(tmp_path / "file" / "a.png"))
    assert code == 2
    assert "file" in words


def test_a_riser_that_buckles_is_told_as_not_worked_out(tmp_path: Path) -> None:
    from bathybore.model.editing import Edit, read_draft
    from bathybore.usecases.riser_in_sea import parts_of
    from bathybore.usecases.walking import walk_loaded

    draft = read_draft(EXAMPLES / "main").edited([Edit("set", "plan.riser_top_tension", "5 MN")])
    told = {one.name: one.topic("metric") for one in parts_of(walk_loaded(draft.hole))}
    assert "buckles" in dict(told["shape"].facts)["Not worked out"]
    assert not told["shape"].passes
    assert dict(told["hang-off"].facts)["Static load"]
