"""The plain loop of the benchmark, one node after another, gives the same prices."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_problem import problems
from test_architecture_search import GOALS, MANY

from bathybore.model.editing import read_draft
from bathybore.search.bounds import usual_terms
from bathybore.search.circulation import usual_system
from bathybore.search.paths import Goal, Problem, search
from bathybore.search.problems import prepare

ROOT = Path(__file__).parents[2]


def _benchmark() -> ModuleType:
    spec = importlib.util.spec_from_file_location("plain", ROOT / "benchmarks" / "search.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["plain"] = module
    spec.loader.exec_module(module)
    return module


plain_search = _benchmark().plain_search


@MANY
@given(problems(), st.sampled_from(GOALS))
def test_made_problems(problem: Problem, goal: Goal) -> None:
    found, price = search(problem, goal), plain_search(problem, goal)
    assert (found is None) == (price is None)
    if found is not None:
        assert found.price(goal) == pytest.approx(price, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize("name", ["main", "frontier", "riserless"])
def test_real_holes_on_a_coarse_grid(name: str) -> None:
    hole = read_draft(ROOT / "examples" / name).hole
    assert hole is not None
    problem = prepare(hole, usual_system(hole), 100.0).problem(usual_terms(hole))
    for goal in GOALS:
        found, price = search(problem, goal), plain_search(problem, goal)
        assert found is not None
        assert found.price(goal) == pytest.approx(price, rel=1e-12)
