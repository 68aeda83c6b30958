"""The command on a walk made by hand, in this process or in one of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

MADE = Path(__file__).parents[1] / "usecases" / "made_walk.py"
sys.path.insert(0, str(MADE.parent))

Run = Callable[..., Any]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch) -> Callable[..., Result]:
    """Run the command in this process: run('check', 'x')."""
    from made_walk import no_files, walking

    from bathybore.cli.main import app

    monkeypatch.setitem(sys.modules, "bathybore.usecases.walking", walking())
    monkeypatch.setattr("bathybore.model.editing.read_draft", no_files)
    monkeypatch.delenv("COLUMNS", raising=False)
    return lambda *words: CliRunner().invoke(app, list(words))


@pytest.fixture
def spawn() -> Run:
    """Run the command in a process of its own: spawn('check', 'x', COLUMNS='80')."""

    def run_it(*words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
        clean = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "NO_COLOR")}
        return subprocess.run(
            [sys.executable, str(MADE), *words],
            env={**clean, **environment},
            capture_output=True,
            check=False,
            timeout=120,
        )

    return run_it
