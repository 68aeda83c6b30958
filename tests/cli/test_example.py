"""The example hole through the command as it is installed: it agrees with the walk."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from bathybore.usecases.ledger import ledger
from bathybore.usecases.walking import Walk

EXAMPLE = Path(__file__).parents[2] / "examples" / "main"
COMMAND = Path(sys.executable).with_name("bathybore")


def command(*words: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([COMMAND, *words], capture_output=True, text=True, check=False)


def test_the_command_agrees_with_the_walk(main_walk: Walk) -> None:
    result = command("check", EXAMPLE, "--json")
    whole = ledger(main_walk)
    assert result.returncode == (0 if whole.passes else 1), result.stderr
    document = json.loads(result.stdout)
    shown = {r["id"]: r["status"] for step in document["steps"] for r in step["records"]}
    assert shown == {record.id: str(record.status) for record in main_walk.records}
    assert [step["name"] for step in document["steps"]] == [s.step.name for s in main_walk.states]


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
