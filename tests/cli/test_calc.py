"""`bathybore calc`: the list, a description, a calculation."""

from __future__ import annotations

import json
import shlex
from typing import Any

import numpy as np
import pytest

from bathybore.base.registry import equations
from bathybore.base.units import parse_quantity
from bathybore.usecases.calculating import describe, list_equations

TOPICS = list_equations()
ONE_A_TOPIC = [topic.equations[0].name for topic in TOPICS]


def test_without_a_name_all_are_listed_by_topic(run: Any) -> None:
    text = run("calc").stdout
    for topic in TOPICS:
        assert f"\n{topic.name.capitalize()}\n" in "\n" + text
        for brief in topic.equations:
            assert brief.name in text
    listed = json.loads(run("calc", "--json").stdout)
    assert [topic["name"] for topic in listed["topics"]] == [topic.name for topic in TOPICS]


def test_a_name_alone_is_described(run: Any) -> None:
    result = run("calc", "internal_yield_pressure")
    assert result.exit_code == 0
    for part in ("p_iy = k_w (2 Y t) / D", "outside_diameter [m]", "Default 0.875.", "API TR 5C3"):
        assert part in result.stdout
    assert json.loads(run("calc", "internal_yield_pressure", "--json").stdout)["topic"] == (
        "tubular strength"
    )


@pytest.mark.parametrize("name", ONE_A_TOPIC)
def test_the_printed_example_runs_and_gives_what_the_kernel_gives(run: Any, name: str) -> None:
    words = shlex.split(describe(name).example)
    assert words[:2] == ["bathybore", "calc"]
    result = run(*words[1:], "--json")
    assert result.exit_code == 0, result.stderr
    shown = json.loads(result.stdout)
    equation = equations()[name]
    units = {q.name: q.unit for q in equation.parameters}
    inputs = {
        key: text if units[key] == "text" else parse_quantity(text, units[key])
        for key, text in equation.example.items()
    }
    np.testing.assert_allclose(shown["result"]["value"], equation.function(**inputs), rtol=1e-12)
    assert shown["result"]["unit"] == equation.result.unit


def test_a_printed_value(run: Any) -> None:
    # API Bulletin 5C2, 13 3/8 in 68 lb/ft K-55: internal yield 3,450 psi, printed to 10 psi
    words = ("outside_diameter=13 3/8 in", "wall=0.480 in", "yield_strength=55 ksi")
    result = run("calc", "internal_yield_pressure", *words, "--units", "oilfield")
    assert result.exit_code == 0
    (line,) = [x for x in result.stdout.splitlines() if x.strip().endswith("psi") and "(" not in x]
    number = float(line.split("=")[1].strip().removesuffix(" psi").replace("\u202f", ""))
    assert number == pytest.approx(3450.0, abs=10.0)


def test_outside_validity_is_loud_and_no_success(run: Any) -> None:
    words = ("outside_diameter=13 3/8 in", "wall=0.480 in", "yield_strength=55 ksi")
    result = run("calc", "internal_yield_pressure", *words, "wall_tolerance=0.3")
    assert result.exit_code == 1
    assert "OUTSIDE VALIDITY: holds for wall tolerance 0.5 to 1" in result.stdout


def test_all_faults_are_told(run: Any) -> None:
    result = run("calc", "internal_yield_pressure", "wal=1 mm", "yield_strength=55")
    assert (result.exit_code, result.stdout) == (2, "")
    lines = result.stderr.splitlines()
    assert len(lines) == 4
    assert all(line.startswith("error: ") for line in lines)
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize("words", [("no_such_equation",), ("internal_yield_pressure", "wall")])
def test_what_cannot_be_used_exits_2(run: Any, words: tuple[str, ...]) -> None:
    assert run("calc", *words).exit_code == 2
