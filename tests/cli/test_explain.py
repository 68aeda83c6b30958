"""`bathybore explain`: one check, opened."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest


def test_the_whole_chain_is_on_the_page(run: Any) -> None:
    result = run("explain", "anywhere", "run-conductor/hook-load")
    assert result.exit_code == 0
    text = re.sub(r"[ \n]+", " ", result.stdout)
    for part in (
        "run-conductor/hook-load holds",
        "Does the hook load bear it?",
        "W_b = ∑ [250, 400, 1\u202f200] N/m · [2\u202f000, 900, 100] m",
        # 250*2000 + 400*900 + 1200*100 = 980 kN; times 1.1
        "Q_D = 1.1 · 980 kN",
        "Q_D = 1\u202f078 kN required capacity",
        "980 kN load, from working 1",
        "default of basis.hook_factor [Assumed by Bathybore",
        "3 found by a solver",
        "2e-09 of the largest load",
    ):
        assert part in text


def test_what_left_its_validity_says_so(run: Any) -> None:
    text = run("explain", "anywhere", "burst-of-casing").stdout
    assert "run-surface/burst-of-casing  outside validity" in text
    assert "OUTSIDE" in text
    assert "The connection has a rating of its own." in text


def test_a_failure_is_explained_with_exit_code_0(run: Any) -> None:
    result = run("explain", "anywhere", "run-surface/collapse", "--units", "oilfield")
    assert result.exit_code == 0
    assert "FAILS" in result.stdout
    assert "4\u202f351.1 psi" in result.stdout  # 30 MPa
    assert "Do first    Take a heavier wall." in result.stdout


def test_an_unknown_id_is_told_the_nearest(run: Any) -> None:
    result = run("explain", "anywhere", "run-surface/colapse")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "Nearest: run-surface/collapse" in result.stderr
    assert run("explain", "anywhere").exit_code == 2


def test_json(run: Any) -> None:
    shown = json.loads(run("explain", "anywhere", "run-conductor/hook-load", "--json").stdout)
    assert shown["schema"] == "bathybore.explain/1"
    assert [step["kind"] for step in shown["steps"]] == ["equation", "equation", "solution"]
    assert shown["steps"][0]["inputs"][1]["value"] == [2000.0, 900.0, 100.0]
    assert shown["demand"]["value"] == pytest.approx(1.1 * 980e3)
