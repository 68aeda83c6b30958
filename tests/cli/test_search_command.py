"""`bathybore search`: page, JSON, pictures, one section opened, a proposal adopted."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from bathybore.cli.main import app

EXAMPLES = Path(__file__).parents[2] / "examples"


def run(*words: str) -> Result:
    return CliRunner().invoke(app, ["search", *words])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a copy of the riserless example, to be written to."""
    return Path(shutil.copytree(EXAMPLES / "riserless", tmp_path / "hole"))


def closed(folder: Path) -> Path:
    """Return the folder with a basis under which nothing reaches the target."""
    document = folder / "hole.yaml"
    document.write_text(document.read_text() + "  fracture_margin: 400 kg/m3\n")
    return folder


def test_the_page_shows_proposals_their_walk_and_what_is_taken_for_granted() -> None:
    told = run(str(EXAMPLES / "riserless"))
    assert told.exit_code == 0
    for part in (
        "Proposal 1",
        "Proposal 2",
        "casing-1134",
        "9.875 in",
        "The walk",
        "Taken for",
        "Cautions",
        "invented",
        "In hand",
    ):
        assert part in told.stdout, part
    assert "licensed engineer" in told.stdout


def test_json_holds_the_same(folder: Path) -> None:
    told = run(str(folder), "--json", "--units", "oilfield")
    assert told.exit_code == 0
    content = json.loads(told.stdout)
    assert content["schema"] == "bathybore.search/1"
    assert content["reaches"] is True
    assert content["target"]["value"] == 700.0
    assert "ft" in content["target"]["shown"]
    first = content["proposals"][0]
    assert first["sections"][-1]["bottom"]["value"] == pytest.approx(700.0)
    section = first["sections"][0]
    least, most = section["least_density"]["value"], section["greatest_density"]["value"]
    assert least <= section["density"]["value"] <= most
    assert first["walk"]["counts"]["holds"] > 0
    assert set(content) >= {"closed", "opened", "systems", "assumptions", "cautions"}


def test_pictures_are_written(folder: Path, tmp_path: Path) -> None:
    svg, png = tmp_path / "a.svg", tmp_path / "a.png"
    told = run(str(folder), "--svg", str(svg), "--png", str(png))
    assert told.exit_code == 0
    assert "<svg" in svg.read_text()
    assert png.read_bytes().startswith(b"\x89PNG")


def test_a_section_is_opened() -> None:
    told = run(str(EXAMPLES / "riserless"), "--explain", "proposal-1/section-1")
    assert told.exit_code == 0
    assert "density of column" in told.stdout.lower().replace("_", " ")
    wrong = run(str(EXAMPLES / "riserless"), "--explain", "proposal-1/section-9")
    assert wrong.exit_code == 2
    assert "proposal-1/section-1" in wrong.stderr


def test_explain_opens_what_a_search_names_as_the_search_does() -> None:
    place, section = str(EXAMPLES / "riserless"), "proposal-1/section-1"
    opened = CliRunner().invoke(app, ["explain", place, section])
    assert opened.exit_code == 0
    assert opened.stdout == run(place, "--explain", section).stdout
    wrong = CliRunner().invoke(app, ["explain", place, "proposal-1/section-9"])
    assert wrong.exit_code == 2
    assert section in wrong.stderr


def test_explain_of_a_hole_with_faults_tells_them(folder: Path) -> None:
    document = folder / "hole.yaml"
    document.write_text(document.read_text().replace("water_depth:", "water_depht:"))
    told = CliRunner().invoke(app, ["explain", str(folder), "proposal-1/section-1"])
    assert told.exit_code == 2
    assert "water_depht" in told.stderr


def test_a_proposal_becomes_the_plan_and_can_be_checked(folder: Path) -> None:
    told = run(str(folder), "--write", "2")
    assert told.exit_code == 0
    assert "proposal 2" in told.stderr
    checked = CliRunner().invoke(app, ["check", str(folder), "--json"])
    assert checked.exit_code in (0, 1)
    content = json.loads(checked.stdout)
    assert any(step["name"] == "drill-search-1" for step in content["steps"])
    again = json.loads(run(str(folder), "--json").stdout)
    assert again["reaches"] is True


def test_a_proposal_that_is_not_there_writes_nothing(folder: Path) -> None:
    before = (folder / "hole.yaml").read_bytes()
    told = run(str(folder), "--write", "77")
    assert told.exit_code == 2
    assert "--write: found 77" in told.stderr
    assert (folder / "hole.yaml").read_bytes() == before


def test_what_closes_every_way_is_told_with_exit_code_one(folder: Path, tmp_path: Path) -> None:
    png = tmp_path / "closed.png"
    told = run(str(closed(folder)), "--png", str(png))
    assert told.exit_code == 1
    for part in ("Nothing reaches", "What closes each way", "smallest change", "bears", "needs"):
        assert part in told.stdout, part
    assert png.exists()
    content = json.loads(run(str(folder), "--json").stdout)
    assert content["reaches"] is False
    assert content["closed"][0]["deepest"]["value"] < 700.0
    assert content["opened"]
    assert run(str(folder), "--write", "1").exit_code == 2


def test_systems_are_compared(folder: Path) -> None:
    told = run(str(folder), "--circulation", "all")
    assert told.exit_code == 0
    assert "The same earth with each circulation system" in told.stdout
    assert "not to be had" in told.stdout


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (("--grid", "ten"), "--grid"),
        (("--grid", "0.1 m"), "1 to 500 m"),
        (("--grid", "10 kg"), "--grid"),
        (("--heaviest-mud", "2 m"), "--heaviest-mud"),
        (("--circulation", "rizer"), "Did you mean 'riser'"),
        (("--best", "money"), "without a price"),
        (("--price-of-day", "nan"), "zero or more"),
        (("--alternatives", "-1"), "0 to 12"),
    ],
)
def test_bad_orders_end_with_two(words: tuple[str, ...], part: str) -> None:
    told = run(str(EXAMPLES / "riserless"), *words)
    assert told.exit_code == 2
    assert part in told.stderr
    assert told.stdout == ""


def test_a_folder_that_is_none(tmp_path: Path) -> None:
    told = run(str(tmp_path / "none"))
    assert told.exit_code == 2


def test_the_document_itself_may_be_named(folder: Path) -> None:
    told = run(str(folder / "hole.yaml"), "--alternatives", "0", "--grid", "50m", "--write", "1")
    assert told.exit_code == 0
    assert "search-1" in (folder / "hole.yaml").read_text()
    (folder / "hole.yaml").rename(folder / "other.yaml")
    assert run(str(folder / "other.yaml")).exit_code == 2


def test_a_picture_that_cannot_be_written_is_told(folder: Path) -> None:
    place = folder / "hole.yaml" / "a.svg"
    told = run(str(folder), "--svg", str(place))
    assert told.exit_code == 2
    assert "a.svg" in told.stderr or "hole.yaml" in told.stderr
