"""`bathybore prognosis`: findings before curves, one node opened, files written or kept."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from bathybore.cli.main import app

EXAMPLE = Path(__file__).parents[2] / "examples" / "main"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    target = Path(shutil.copytree(EXAMPLE, tmp_path / "hole"))
    file = target / "prognosis.yaml"
    text = file.read_text(encoding="utf-8").replace("spacing: 50 m", "spacing: 250 m")
    file.write_text(text.replace("criterion: mogi-coulomb", "criterion: mohr-coulomb"))
    return target


@pytest.fixture
def ask(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Result]:
    monkeypatch.delenv("COLUMNS", raising=False)
    return lambda *words: CliRunner().invoke(app, ["prognosis", str(folder), *words])


def flat(text: str) -> str:
    return re.sub(r"[ \n]+", " ", text)


def test_findings_come_before_curves_and_the_table_last(
    ask: Callable[..., Result], folder: Path
) -> None:
    result = ask("--to", str(folder / "made.csv"))
    assert result.exit_code == 0
    text = flat(result.stdout)
    order = [
        text.index(part)
        for part in ("Doubts", "Taken for granted", "Methods", "Density needed", "Cautions")
    ]
    assert order == sorted(order)
    assert "transit time: 187 us/ft at 2\u202f250 m below the sea bed stand far off" in text
    assert "The licensed engineer" in text
    assert (folder / "made.csv").exists()
    assert str(folder / "made.csv") in result.stderr


def test_a_table_is_never_replaced_without_being_asked(
    ask: Callable[..., Result], folder: Path
) -> None:
    before = (folder / "earth.csv").read_bytes()
    result = ask()
    assert result.exit_code == 2
    assert "Write --force to replace it" in result.stderr
    assert (folder / "earth.csv").read_bytes() == before
    assert ask("--force").exit_code == 0
    assert (folder / "earth.csv.before").read_bytes() == before
    assert (folder / "earth.csv").read_bytes() != before


def test_one_curve_at_one_depth_is_opened_and_nothing_written(
    ask: Callable[..., Result], folder: Path
) -> None:
    names = sorted(path.name for path in folder.iterdir())
    result = ask("--explain", "pore_pressure", "--at", "4480 m below sea level")
    assert result.exit_code == 0
    text = flat(result.stdout)
    assert "pore pressure at 2\u202f000 m below sea bed" in text
    assert "p_p = S_v - (S_v - p_n) (Δt_n / Δt_o)^n_E" in text
    assert "least squares of ln(Δt - Δt_m)" in text
    assert "one standard deviation" in text
    assert sorted(path.name for path in folder.iterdir()) == names


def test_a_curve_without_depth_or_one_unknown_is_told(ask: Callable[..., Result]) -> None:
    assert ask("--explain", "pore_pressure").exit_code == 2
    assert ask("--at", "2000 m below sea bed").exit_code == 2
    result = ask("--explain", "poor_pressure", "--at", "2000 m below sea bed")
    assert result.exit_code == 2
    assert "Did you mean 'pore_pressure'" in result.stderr


def test_json_holds_what_the_page_shows(ask: Callable[..., Result], folder: Path) -> None:
    result = ask("--json", "--to", str(folder / "made.csv"), "--units", "oilfield")
    shown = json.loads(result.stdout)
    assert shown["schema"] == "bathybore.prognosis/1"
    curves = {curve["name"]: curve for curve in shown["curves"]}
    assert curves["pore_pressure"]["unit"] == "Pa"
    assert curves["pore_pressure"]["values"][0] == pytest.approx(25.1e6, rel=1e-3)
    assert len(curves["pore_pressure"]["standard_deviation"]) == len(shown["depth"]["values"])
    assert curves["breakdown_pressure"]["values"][0] is None  # soft mud has none
    density = curves["pore_pressure"]["equivalent_density"]
    assert (density["to"], density["unit"]) == ("drill floor", "kg/m3")
    # 2,480 m of sea and 28 m of air: p / (g h)
    assert density["values"][0] == pytest.approx(25.1e6 / (9.795 * 2508.0), rel=1e-3)
    assert {one["kind"] for one in shown["findings"]} == {"doubt", "note"}
    assert [Path(path).name for path in shown["written"]] == ["made.csv", "prognosis_spread.csv"]
    node = ask("--explain", "fracture_pressure", "--at", "1000 m below sea bed", "--json")
    opened = json.loads(node.stdout)
    assert opened["schema"] == "bathybore.prognosis-node/1"
    assert {step["kind"] for step in opened["steps"]} == {"equation", "solution"}
    row = shown["depth"]["values"].index(opened["depth"]["value"])
    assert opened["value"]["value"] == pytest.approx(curves["fracture_pressure"]["values"][row])


def test_pictures_are_written_where_they_are_asked_for(
    ask: Callable[..., Result], folder: Path
) -> None:
    png, svg = folder / "p.png", folder / "p.svg"
    result = ask("--to", str(folder / "made.csv"), "--png", str(png), "--svg", str(svg))
    assert result.exit_code == 0
    assert png.read_bytes().startswith(b"\x89PNG")
    assert "</svg>" in svg.read_text(encoding="utf-8")


def test_a_curve_outside_its_equation_s_validity_is_no_pass(
    ask: Callable[..., Result], folder: Path
) -> None:
    file = folder / "prognosis.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("trend_top", "exponent: 9\n  trend_top"), encoding="utf-8")
    result = ask("--to", str(folder / "made.csv"))
    assert result.exit_code == 1
    assert "OUTSIDE VALIDITY" in result.stdout


def test_bad_input_ends_with_2_and_no_half_table(ask: Callable[..., Result], folder: Path) -> None:
    (folder / "neighbour-rock.csv").unlink()
    result = ask("--to", str(folder / "made.csv"))
    assert result.exit_code == 2
    assert "error: neighbour-rock.csv: found no such file" in result.stderr
    assert "Traceback" not in result.stderr
    assert not (folder / "made.csv").exists()


def test_a_folder_that_is_not_there_is_told(ask: Callable[..., Result], folder: Path) -> None:
    assert ask("--to", str(folder / "none" / "made.csv")).exit_code == 2
