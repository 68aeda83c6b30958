"""`bathybore kick` and `bathybore mud`: as page, as sheet, as JSON, as pictures."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bathybore.cli.main import app
from varied import EXAMPLES

MAIN = str(EXAMPLES / "main")


def test_the_page_tells_tolerance_story_riser_cold_and_sheet() -> None:
    result = CliRunner().invoke(app, ["kick", MAIN, "section-812"])
    assert result.exit_code == 0
    for part in (
        "Greatest kick", "Followed in time", "Riser unloads", "Hydrate at stack", "Kill sheet",
        "Initial pressure", "Cautions", "licensed engineer",
    ):  # fmt: skip
        assert part in result.stdout, part


def test_the_sheet_alone_can_be_printed() -> None:
    result = CliRunner().invoke(app, ["kick", MAIN, "section-1214", "--sheet"])
    assert result.exit_code == 0
    for part in ("at the bit", "choke line", "kill line", "riser, displaced after the kill"):
        assert part in result.stdout, part
    assert "Greatest kick" not in result.stdout
    assert "Driller's method" in result.stdout
    assert "Wait and weight" in result.stdout


def test_json_has_units_and_ids_that_explain_opens() -> None:
    told = json.loads(CliRunner().invoke(app, ["kick", MAIN, "core-hole", "--json"]).stdout)
    assert told["schema"] == "bathybore.kick/1"
    (section,) = told["sections"]
    sheet = section["sheet"]
    assert sheet["final_circulating_pressure"]["unit"] == "Pa"
    assert sheet["schedule"][-1]["drill_pipe_pressure"]["value"] == pytest.approx(
        sheet["final_circulating_pressure"]["value"]
    )
    assert section["in_time"]["driller"]["gas_unaccounted"] < 1e-9
    ids = [record["id"] for record in section["records"]]
    assert {"core/kick-in-time", "core/riser-gas", "core/hydrates-stopped"} <= set(ids)
    opened = CliRunner().invoke(app, ["explain", MAIN, "core/kick-in-time"])
    assert opened.exit_code == 0
    assert "followed in time" in opened.stdout


def test_pictures_of_kicks_are_written(tmp_path: Path) -> None:
    result = CliRunner().invoke(
        app, ["kick", MAIN, "section-812", "--svg", str(tmp_path), "--png", str(tmp_path)]
    )
    assert result.exit_code == 0
    names = sorted(path.name for path in tmp_path.glob("*.svg"))
    assert names == ["hydrates-section-812.svg", "kick-section-812.svg", "kick-tolerance.svg"]
    assert (tmp_path / "kick-tolerance.png").read_bytes().startswith(b"\x89PNG")


def test_an_unknown_section_and_a_hole_without_riser_are_bad_input() -> None:
    result = CliRunner().invoke(app, ["kick", MAIN, "section-813"])
    assert result.exit_code == 2
    assert "section-812" in result.stderr
    result = CliRunner().invoke(app, ["kick", str(EXAMPLES / "riserless")])
    assert result.exit_code == 2
    assert "no section that is drilled with a riser" in result.stderr


@pytest.mark.parametrize(
    ("written", "where", "found"),
    [
        ("kick_volume: 3000 m3", "design_basis.kick_volume", "which is more than the"),
        ("kick_volume: 0 m3", "design_basis.kick_volume", "a kick of nothing"),
        ("kick_volume: 4 m3\n  slow_circulating_rate: 0 L/min", "slow_circulating_rate", "nothing"),
    ],
)
def test_a_kick_that_cannot_be_is_named(
    tmp_path: Path, written: str, where: str, found: str
) -> None:
    folder = tmp_path / "hole"
    shutil.copytree(EXAMPLES / "main", folder)
    document = folder / "hole.yaml"
    text = document.read_text(encoding="utf-8")
    document.write_text(text.replace("kick_volume: 4 m3", written), encoding="utf-8")
    result = CliRunner().invoke(app, ["kick", str(folder), "section-812"])
    assert result.exit_code == 2
    assert where in result.stderr
    assert found in " ".join(result.stderr.split())


def test_the_mud_is_accounted_for_on_every_face(tmp_path: Path) -> None:
    page = CliRunner().invoke(
        app, ["mud", MAIN, "--units", "oilfield", "--svg", str(tmp_path), "--png", str(tmp_path)]
    )
    assert page.exit_code == 0
    assert "bbl" in page.stdout
    assert "not priced" in page.stdout or "for mud and barite" in page.stdout
    assert sorted(path.name for path in tmp_path.iterdir()) == ["mud.png", "mud.svg"]
    told = json.loads(CliRunner().invoke(app, ["mud", MAIN, "--json"]).stdout)
    assert told["schema"] == "bathybore.mud/1"
    gone = told["discharge_without_riser"]["value"] + told["discharge_with_riser"]["value"]
    built = told["built"]["value"]
    assert built == pytest.approx(gone + told["left"]["value"], rel=1e-9)
