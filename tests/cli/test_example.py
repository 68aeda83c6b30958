"""The example hole through the faces: every verdict can be opened, and they all agree."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import asdict
from pathlib import Path

import pytest

from bathybore.usecases.explaining import WorkingNote, explain, find
from bathybore.usecases.ledger import ledger
from bathybore.usecases.walking import Walk, walk

EXAMPLE = Path(__file__).parents[2] / "examples" / "main"
COMMAND = Path(sys.executable).with_name("bathybore")


@pytest.fixture(scope="module")
def walked() -> Walk:
    return walk(EXAMPLE)


def test_ids_are_unique(walked: Walk) -> None:
    ids = [record.id for record in walked.records]
    assert len(ids) == len(set(ids))


def test_every_check_can_be_opened_in_both_unit_systems(walked: Walk) -> None:
    for record in walked.records:
        for system in ("metric", "oilfield"):
            opened = explain(find(walked.records, record.id), system)
            json.dumps(asdict(opened), allow_nan=False)
            assert opened.verdict == str(record.status)
            if record.demand is None or record.capacity is None:
                assert opened.reason
                continue
            assert opened.demand is not None
            assert opened.demand.si == pytest.approx(float(record.demand))
            for note in opened.steps:
                if isinstance(note, WorkingNote):
                    assert note.source
                    assert note.where


def command(*words: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([COMMAND, *words], capture_output=True, text=True, check=False)


def test_the_command_agrees_with_the_walk(walked: Walk) -> None:
    result = command("check", EXAMPLE, "--json")
    whole = ledger(walked)
    assert result.returncode == (0 if whole.passes else 1), result.stderr
    document = json.loads(result.stdout)
    shown = {r["id"]: r["status"] for step in document["steps"] for r in step["records"]}
    assert shown == {record.id: str(record.status) for record in walked.records}
    assert [step["name"] for step in document["steps"]] == [s.step.name for s in walked.states]


def test_a_started_hole_can_be_checked_at_once(tmp_path: Path) -> None:
    made = command("new", "first-hole", "--in", tmp_path)
    assert made.returncode == 0, made.stderr
    folder = Path(made.stdout.strip())
    assert folder == tmp_path / "first-hole"
    checked = command("check", folder)
    assert checked.returncode in (0, 1), checked.stderr
    assert checked.stdout.startswith("first-hole\n")
    again = command("new", "first-hole", "--in", tmp_path)
    assert again.returncode == 2
    assert "Traceback" not in again.stderr


def test_a_hole_that_is_not_there(tmp_path: Path) -> None:
    result = command("check", tmp_path / "nowhere")
    assert (result.returncode, result.stdout) == (2, "")
    assert result.stderr.startswith("error: ")
    assert "Traceback" not in result.stderr
