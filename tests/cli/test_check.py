"""`bathybore check`: exit codes a script can trust, a page for the night, JSON for machines."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

DOCUMENTED = Path(__file__).parents[2] / "docs" / "command-line.md"


@pytest.mark.parametrize(
    ("hole", "code"),
    [("anywhere", 1), ("holding", 0), ("open", 1), ("empty", 1), ("broken", 2), ("defect", 70)],
)
def test_exit_codes(run: Any, hole: str, code: int) -> None:
    for words in (("check", hole), ("check", hole, "--json")):
        assert run(*words).exit_code == code


def test_the_exit_code_is_that_of_the_whole_hole_whatever_is_shown(run: Any) -> None:
    assert run("check", "anywhere", "--only", "holds").exit_code == 1
    assert run("check", "anywhere", "--step", "hold-station").exit_code == 1


def test_failures_are_seen_first_and_the_verdict_last(run: Any) -> None:
    lines = run("check", "anywhere").stdout.splitlines()
    assert lines[0] == "Made 1"
    assert "invented" in lines[1]
    assert "FAIL" in lines[2]
    assert "drill-surface/fracture" in lines[3]
    assert "run-surface/collapse" in lines[4]
    assert lines[-1] == lines[2]


def test_a_row_holds_what_is_needed(run: Any) -> None:
    text = run("check", "anywhere").stdout
    (row,) = [x for x in text.splitlines() if re.match(r" +FAILS +fracture", x)]
    # rho g h of 1200 kg/m3 over 2000 m is 23.54 MPa
    for part in ("23.54 MPa", "-20 %", "1\u202f600 m below sea bed", "api-tr-5c3"):
        assert part in row
    assert "Why: no fracture pressure given" in text
    assert "Do first: Take a heavier wall." in text


def test_what_holds_is_counted_and_written_out_when_asked(run: Any) -> None:
    folded = run("check", "anywhere").stdout
    assert "2 hold, least margin 10 %: hook-load" in folded
    assert "slips" not in folded
    for words in (("--all",), ("--only", "holds"), ("--step", "run-conductor")):
        assert "slips" in run("check", "anywhere", *words).stdout


def test_only_some_verdicts(run: Any) -> None:
    text = run("check", "anywhere", "--only", "not-judged,tight").stdout
    ledger = text[: text.index("Summary")].split("\n\n", 1)[1]
    assert "losses" in ledger
    assert "burst " in ledger
    assert "FAILS" not in ledger


def test_the_summary(run: Any) -> None:
    text = run("check", "anywhere").stdout
    summary = text[text.index("Summary") :]
    assert re.search(r"Fails first +drill-surface/fracture, day 3\.25", summary)
    assert re.search(r"Fails most +run-surface/collapse", summary)
    assert re.search(r"Tightest that holds +run-conductor/burst.*3\.9 %", summary)
    assert "4.2 days" in summary
    assert "fails: 2, not judged: 1, outside validity: 1, tight: 1, holds: 4" in summary
    assert "The connection has a rating of its own. (run-surface/burst-of-casing)" in text


def test_what_is_no_pass_is_said_to_be_none(run: Any) -> None:
    assert "that is not a pass" in run("check", "open").stdout
    assert "that is not a pass" in run("check", "empty").stdout


def test_units(run: Any) -> None:
    text = run("check", "anywhere", "--units", "oilfield").stdout
    assert "3\u202f414 psi" in text  # 23.536 MPa
    assert "MPa" not in text
    assert "ft below sea bed" in text


def test_errors_are_lines_on_standard_error(run: Any) -> None:
    result = run("check", "broken")
    assert result.stdout == ""
    assert result.stderr == (
        "error: hole.yaml, line 3: found '12'; expected a depth. Write the unit beside it.\n"
    )
    result = run("check", "anywhere", "--step", "run-surfac")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "Did you mean 'run-surface'?" in result.stderr
    assert run("check", "anywhere", "--only", "hold").exit_code == 2
    assert run("check").exit_code == 2
    assert run("check", "anywhere", "--units", "imperial").exit_code == 2


def test_a_defect_says_that_it_is_one(run: Any) -> None:
    result = run("check", "defect")
    assert "a thing that cannot be" in result.stderr
    assert "made_walk.py" in result.stderr
    assert "defect in Bathybore, not in your input" in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize("width", [60, 80, 120, 160])
def test_every_width(run: Any, monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    text = run("check", "anywhere", "--all").stdout
    assert max(len(line) for line in text.splitlines()) <= width
    assert "…" not in text  # nothing is cut
    flat = re.sub(r"[ \n]+", " ", text)
    for part in (
        "23.54 MPa",
        "19.53 MPa",
        "1\u202f600 m below sea bed",
        "api-tr-5c3",
        "outside validity",
    ):
        assert part in flat


# --- JSON ---------------------------------------------------------------------------------


@pytest.fixture
def document(run: Any) -> dict[str, Any]:
    return json.loads(run("check", "anywhere", "--json").stdout)


def test_json_has_its_schema_and_the_whole_walk(document: dict[str, Any]) -> None:
    assert document["schema"] == "bathybore.check/1"
    assert document["hole"] == {"name": "Made 1", "invented": True}
    assert document["passes"] is False
    assert document["counts"] == {
        "holds": 4, "tight": 1, "fails": 2, "not judged": 1, "outside validity": 1,
    }  # fmt: skip
    assert document["elapsed"] == {"value": 4.25 * 86400.0, "unit": "s"}
    assert document["fails_first"] == "drill-surface/fracture"
    durations = [
        step["duration"] and step["duration"]["value"] / 3600 for step in document["steps"]
    ]
    assert durations == [6.0, 24.0, 48.0, 24.0, None]


def test_json_records_are_in_si_with_their_units(document: dict[str, Any]) -> None:
    records = {r["id"]: r for step in document["steps"] for r in step["records"]}
    fracture = records["drill-surface/fracture"]
    assert fracture["status"] == "fails"
    assert fracture["demand"]["value"] == pytest.approx(1200.0 * 9.80665 * 2000.0)
    assert fracture["demand"]["unit"] == "Pa"
    assert fracture["margin"] == pytest.approx(
        1.0 - fracture["demand"]["value"] / fracture["capacity"]["value"]
    )
    assert fracture["depth"]["value"] == 1600.0
    assert (fracture["depth"]["unit"], fracture["depth"]["below"]) == ("m", "sea bed")
    losses = records["drill-surface/losses"]
    assert losses["status"] == "not judged"
    assert losses["demand"] is losses["capacity"] is losses["margin"] is losses["depth"] is None


def test_json_does_not_depend_on_units_but_for_what_is_shown(run: Any) -> None:
    def numbers(thing: Any) -> Any:
        if isinstance(thing, dict):
            return {k: numbers(v) for k, v in thing.items() if k != "shown"}
        return [numbers(one) for one in thing] if isinstance(thing, list) else thing

    both = (
        json.loads(run("check", "anywhere", "--json", "--units", units).stdout)
        for units in ("metric", "oilfield")
    )
    metric, oilfield = (numbers(one) for one in both)
    assert metric == oilfield


def test_json_selects_records_and_keeps_the_verdict(run: Any) -> None:
    some = json.loads(run("check", "anywhere", "--json", "--only", "tight").stdout)
    assert [r["id"] for s in some["steps"] for r in s["records"]] == ["run-conductor/burst"]
    assert some["counts"]["fails"] == 2


def test_every_key_of_the_json_is_documented(run: Any) -> None:
    text = DOCUMENTED.read_text(encoding="utf-8")

    def keys(thing: Any) -> set[str]:
        if isinstance(thing, dict):
            below = [keys(value) for key, value in thing.items() if key != "counts"]
            return set(thing).union(*below)
        return set().union(*(keys(one) for one in thing)) if isinstance(thing, list) else set()

    documents = (
        ("check", "anywhere"),
        ("explain", "anywhere", "run-conductor/hook-load"),
        ("explain", "anywhere", "run-surface/burst-of-casing"),
        ("calc",),
        ("calc", "internal_yield_pressure"),
        ("calc", "worn_outside_diameter", "outside_diameter=5 in", "wall=9 mm", "remaining_wall=1"),
    )
    for words in documents:
        for key in keys(json.loads(run(*words, "--json").stdout)):
            assert f"`{key}`" in text, f"{key} of {words} is not in {DOCUMENTED.name}"
