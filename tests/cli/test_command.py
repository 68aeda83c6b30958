"""The command as a process: locale, pipes, colours, what it imports."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from bathybore import __version__

MADE = Path(__file__).parents[1] / "usecases" / "made_walk.py"
ASCII_LOCALE = {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"}


def test_the_installed_command_answers() -> None:
    command = Path(sys.executable).with_name("bathybore")
    result = subprocess.run([command, "--version"], capture_output=True, text=True, check=True)
    assert result.stdout == f"bathybore {__version__}\n"


def test_help_names_every_command(spawn: Any) -> None:
    result = spawn("--help")
    assert result.returncode == 0
    for verb in (b"check", b"explain", b"calc", b"programme", b"new", b"Exit codes"):
        assert verb in result.stdout


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys, bathybore.cli.main; "
        "print(sorted({'numpy', 'scipy', 'pint', 'pydantic', 'rich', 'matplotlib', 'typst'}"
        " & set(sys.modules)))"
    )
    result = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert result.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("check", "anywhere"), 1),
        (("check", "holding"), 0),
        (("check", "broken"), 2),
        (("check", "defect"), 70),
        (("nothing-like-it",), 2),
    ],
)
def test_exit_codes(spawn: Any, words: tuple[str, ...], code: int) -> None:
    result = spawn(*words)
    assert result.returncode == code
    assert (b"Traceback" in result.stderr) == (code == 70)
    assert bool(result.stdout) == (code in (0, 1))


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("calc", "internal_yield_pressure"), 0),
        (("calc", "nothing_like_it"), 2),
        (("check",), 2),
    ],
)
def test_exit_codes_within_a_process(run: Any, words: tuple[str, ...], code: int) -> None:
    result = run(*words)
    assert result.exit_code == code
    assert bool(result.stdout) == (code == 0)
    assert bool(result.stderr) == (code != 0)


def test_utf8_under_an_ascii_locale(spawn: Any) -> None:
    result = spawn("explain", "anywhere", "run-conductor/hook-load", **ASCII_LOCALE)
    assert result.returncode == 0
    assert "∑" in result.stdout.decode("utf-8")
    shown = spawn("explain", "anywhere", "run-conductor/hook-load", "--json", **ASCII_LOCALE)
    assert "∑" in json.loads(shown.stdout.decode("utf-8"))["steps"][0]["formula"]


def test_no_colour_in_a_pipe(spawn: Any) -> None:
    assert b"\x1b" not in spawn("check", "anywhere").stdout


@pytest.mark.parametrize("no_colour", [False, True])
def test_colour_on_a_terminal_unless_refused(no_colour: bool) -> None:
    text = on_terminal("check", "anywhere", NO_COLOR="1" if no_colour else "")
    assert "FAILS" in text
    assert "not judged" in text
    # 30 to 37 set a foreground colour; bold and dim are no colours
    coloured = any(f"\x1b[{style}{n}m" in text for style in ("", "1;") for n in range(30, 38))
    assert coloured is not no_colour


def test_a_reader_that_goes_away_is_no_error() -> None:
    """The page is larger than a pipe holds, and nobody reads it."""
    process = subprocess.Popen(
        [sys.executable, str(MADE), "check", "large", "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.read(10)
    process.stdout.close()
    errors = process.stderr.read()
    process.stderr.close()
    assert process.wait(60) == 141
    assert errors == b""


def on_terminal(*words: str, **environment: str) -> str:
    """Run the command with a terminal of 80 columns for output."""
    clean = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "NO_COLOR", "TERM")}
    controller, terminal = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, str(MADE), *words],
        stdout=terminal,
        stdin=terminal,
        env={**clean, "TERM": "xterm-256color", "COLUMNS": "80"}
        | {k: v for k, v in environment.items() if v},
    )
    os.close(terminal)
    parts = []
    while True:
        try:
            part = os.read(controller, 4096)
        except OSError:  # Linux ends a terminal that nobody writes to any more this way
            break
        if not part:
            break
        parts.append(part)
    os.close(controller)
    process.wait(60)
    return b"".join(parts).decode("utf-8")
