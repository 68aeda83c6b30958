"""`bathybore odds`: pages, JSON, pictures, members written out, runs kept, bad input."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bathybore.base.errors import InputErrors
from bathybore.cli.main import app
from bathybore.usecases import odds_architectures
from bathybore.usecases.finding import record_at
from varied import EXAMPLES

HOLE = str(EXAMPLES / "riserless")
FEW = ("-n", "64")


def said(*words: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(app, ["odds", *words])
    return result.exit_code, result.stdout, result.stderr


def test_the_page_tells_the_chance_what_ends_holes_and_what_was_assumed() -> None:
    code, page, _ = said(HOLE, *FEW)
    assert code in (0, 1)
    for part in (
        "Target reached",
        "of 64 members",
        "Chance of each section",
        "What ends the holes",
        "Where each limit bites first",
        "What is uncertain",
        "assumed",
        "odds/target",
        "Odds count what was drawn",
    ):
        assert part in page
    assert "nan" not in page
    assert page.splitlines()[0].endswith("fails") == (code == 1)


def test_the_same_seed_is_the_same_json_and_another_is_not() -> None:
    _, first, _ = said(HOLE, *FEW, "--json")
    _, again, _ = said(HOLE, *FEW, "--json", "--workers", "2")
    _, other, _ = said(HOLE, *FEW, "--json", "--seed", "2")
    assert first == again
    assert first != other
    told = json.loads(first)
    assert told["schema"] == "bathybore.odds/1"
    (topic,) = told["topics"]
    numbers = topic["numbers"]
    assert numbers["members"] == 64
    ended = sum(cause["count"] for cause in numbers["causes"])
    assert numbers["reached"]["count"] + ended + len(numbers["not_judged"]) == 64
    assert numbers["spent"]["days"]["p50"]["unit"] == "s"
    assert numbers["spent"]["cost"]["p50"]["value"] is None  # no price is told: not a zero


@pytest.mark.parametrize("part", ["matters", "knowing", "robust"])
def test_every_part_is_told_and_drawn(part: str, tmp_path: Path) -> None:
    svg, png = tmp_path / "a.svg", tmp_path / "a.png"
    members = "160" if part == "knowing" else "32"
    code, text, told = said(
        HOLE, part, "-n", members, "--json", "--svg", str(svg), "--png", str(png)
    )
    assert code == 0
    assert json.loads(text)["schema"] == f"bathybore.{part}/1"
    assert str(svg) in told
    assert svg.read_bytes().startswith(b"<?xml")
    assert png.read_bytes()[:4] == b"\x89PNG"


def test_the_picture_of_the_odds_is_the_same_every_time(tmp_path: Path) -> None:
    one, two = tmp_path / "a.svg", tmp_path / "b.svg"
    for place in (one, two):
        said(HOLE, *FEW, "--units", "oilfield", "--svg", str(place))
    assert one.read_bytes() == two.read_bytes()


def test_the_chance_is_explained_as_the_command_tells_it() -> None:
    _, text, _ = said(HOLE, "--json")
    (topic,) = json.loads(text)["topics"]
    result = CliRunner().invoke(app, ["explain", HOLE, "odds/target", "--json"])
    assert result.exit_code == 0
    opened = json.loads(result.stdout)
    assert opened["id"] == "odds/target"
    reached = topic["numbers"]["reached"]
    assert opened["capacity"]["value"] == pytest.approx(reached["count"] / reached["of"])
    inputs = {one["value"] for step in opened["steps"] for one in step["inputs"]}
    assert {reached["count"], reached["of"]} <= inputs


def test_an_id_that_nothing_was_judged_under_is_refused() -> None:
    with pytest.raises(InputErrors, match="Nearest: odds/target"):
        record_at(Path(HOLE), "odds/targets")


def test_a_member_becomes_a_hole_that_is_walked(tmp_path: Path) -> None:
    to = tmp_path / "member"
    code, out, _ = said(HOLE, "--member", "3", "--to", str(to))
    assert code == 0
    assert out.strip() == str(to)
    walked = CliRunner().invoke(app, ["check", str(to), "--json"])
    assert walked.exit_code in (0, 1)
    told = json.loads(walked.stdout)
    assert told["hole"]["invented"]
    assert len(told["steps"]) > 5


def test_a_run_goes_on_and_no_other_run_is_mixed_in(tmp_path: Path) -> None:
    keep = tmp_path / "kept"
    _, first, _ = said(HOLE, *FEW, "--json", "--keep", str(keep))
    chunks = {one: one.stat().st_mtime_ns for one in keep.glob("members-*.npz")}
    assert chunks
    _, again, _ = said(HOLE, *FEW, "--json", "--keep", str(keep))
    assert again == first
    assert {one: one.stat().st_mtime_ns for one in keep.glob("members-*.npz")} == chunks
    code, _, words = said(HOLE, *FEW, "--seed", "5", "--keep", str(keep))
    assert code == 2
    assert "another seed" in words
    assert {one: one.stat().st_mtime_ns for one in keep.glob("members-*.npz")} == chunks


@pytest.mark.parametrize(
    ("options", "expected"),
    [
        (("-n", "0"), "members"),
        (("-n", "-5"), "members"),
        (("-n", "3000000"), "2,000,000"),
        (("--workers", "0"), "workers"),
        (("robust", "-n", "32", "--level", "2"), "a share between 0 and 1"),
        (("robust", "-n", "32", "--goal", "cost"), "day_rate"),
        (("knowing", "-n", "20"), "160 or more"),
        (("matters", "-n", "1"), "2 or more"),
        (("robust", "-n", "0"), "2 or more"),
        (("--member", "3"), "--to"),
        (("--member", "-1", "--to", "nowhere-at-all"), "0 to"),
        (("--scheduler", "nowhere"), "--scheduler"),
    ],
)
def test_bad_input_is_told_and_is_exit_code_two(options: tuple[str, ...], expected: str) -> None:
    code, out, words = said(HOLE, *options)
    assert code == 2
    assert expected in words
    assert out == ""
    assert "Traceback" not in words


def test_what_cannot_be_written_is_told(tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("no folder")
    for options in (
        ("--keep", str(taken)),
        ("--png", str(taken / "a.png")),
        ("--member", "0", "--to", str(taken)),
    ):
        code, _, words = said(HOLE, *FEW, *options)
        assert code == 2, options
        assert "taken" in words
    assert taken.read_text() == "no folder"


def test_a_document_that_cannot_be_used_says_where(tmp_path: Path) -> None:
    for name in ("hole.yaml", "earth.csv", "sea.csv"):
        source = EXAMPLES / "riserless" / name
        (tmp_path / name).write_bytes(source.read_bytes())
    text = "curves:\n  pore_pressure: {spread: 20 bar}\n"
    (tmp_path / "uncertainty.yaml").write_text(text)
    code, _, words = said(str(tmp_path), *FEW)
    assert code == 2
    assert "uncertainty.yaml" in words
    assert "line 2" in words


def test_members_are_walked_told_and_drawn(tmp_path: Path) -> None:
    png = tmp_path / "a.png"
    code, text, told = said(HOLE, "walked", "-n", "2", "--json", "--png", str(png))
    assert code == 0
    (topic,) = json.loads(text)["topics"]
    assert topic["numbers"]["stand"]["of"] == 2
    assert len(topic["numbers"]["walked"]) == 2
    assert str(png) in told
    assert png.read_bytes()[:4] == b"\x89PNG"


def test_architectures_are_told_and_drawn(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every proposal is taken for the plan itself here: their ledgers take their time."""
    monkeypatch.setattr(odds_architectures, "_asked", lambda plan, *given: (plan, ()))
    png = tmp_path / "a.png"
    code, text, told = said(HOLE, "architectures", *FEW, "--json", "--png", str(png))
    assert code == 0
    (topic,) = json.loads(text)["topics"]
    assert [one["gain"]["value"] for one in topic["numbers"]["tried"]] == [0.0, 0.0]
    assert topic["numbers"]["best"] == 0
    assert str(png) in told
    assert png.read_bytes()[:4] == b"\x89PNG"
