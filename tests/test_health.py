"""The signs of health must turn bad when the source is."""

from __future__ import annotations

import ast
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

import health
from bathybore.base.nomenclature import nomenclature
from bathybore.base.registry import equations
from bathybore.base.sources import bibliography
from bathybore.kernels import load_all
from health import Sign
from source_tree import Module, modules

load_all()
REAL = modules()
EVERY = equations()


def made(**texts: str) -> dict[str, Module]:
    return {
        f"bathybore.base.{name}": Module(f"bathybore.base.{name}", t) for name, t in texts.items()
    }


def function(lines: int) -> str:
    return "def f(x):\n" + "    x += 1\n" * (lines - 1)


SIGNS: dict[str, Callable[[], Sign]] = {  # asked by the tests, not by everyone who collects them
    "layers": lambda: health.layers(REAL),
    "circles": lambda: health.circles(REAL),
    "long modules": lambda: health.long_modules(REAL),
    "short functions": lambda: health.short_functions(REAL),
    "bracketed units": lambda: health.bracketed_units(EVERY),
    "equation sources": lambda: health.equation_sources(EVERY),
    "evidence": lambda: health.evidence(EVERY),
    "own expectations": health.own_expectations,
}


@pytest.mark.parametrize("name", SIGNS)
def test_the_source_is_healthy(name: str) -> None:
    sign = SIGNS[name]()
    assert sign.good, str(sign)


def test_a_sign_says_its_verdict_first() -> None:
    assert str(Sign("cycles", True, "0")) == "good cycles: 0"
    assert str(Sign("cycles", False, "2")) == "BAD  cycles: 2"
    assert str(Sign("rows", None, "12")) == "-    rows: 12"


def test_long_lists_are_cut_and_counted() -> None:
    assert health.listed(["a", "b"]) == "a, b"
    assert health.listed(["a", "b", "c"], 2) == "a, b, and 1 more"


def test_a_long_module_is_bad() -> None:
    limit = health.LONGEST_MODULE
    assert health.long_modules(made(a="x = 1\n" * limit)).good
    sign = health.long_modules(made(a="x = 1\n" * (limit + 1)))
    assert not sign.good
    assert f"bathybore.base.a {limit + 1}" in sign.found


def test_the_share_of_short_functions() -> None:
    limit = health.LONGEST_FUNCTION
    short, long = function(limit), function(limit + 1)
    assert health.short_functions(made(a=short * 20)).good
    assert health.short_functions(made(a=short * 19 + long)).good  # 95 % is enough
    sign = health.short_functions(made(a=short * 18 + long))
    assert not sign.good
    assert "bathybore.base.a.f 51" in sign.found


def test_an_equation_without_units_is_bad() -> None:
    def bare(outside_diameter: float) -> float:
        """Nothing is declared."""
        return outside_diameter

    def half(outside_diameter: float, wall: float) -> float:
        """One parameter is missing.

        Parameters
        ----------
        outside_diameter : [m]
            Outside diameter.

        Returns
        -------
        wall : [m]
            Wall.
        """
        return outside_diameter - wall

    one = next(iter(EVERY.values()))
    for function_ in (bare, half):
        spoilt = replace(one, name="spoilt", function=function_)
        assert health.bracketed_units({"spoilt": spoilt}).found == "1: spoilt"


def test_an_equation_without_source_or_evidence_is_bad() -> None:
    one = replace(next(iter(EVERY.values())), name="never_seen_before")
    assert not health.equation_sources({"a": replace(one, source_key="nobody-1900")}).good
    assert not health.equation_sources({"a": replace(one, where="")}).good
    sign = health.evidence({"never_seen_before": one})
    assert not sign.good
    assert sign.found.startswith("never_seen_before")


def test_a_variable_of_the_same_name_is_no_test() -> None:
    text = "from bathybore.kernels.heat import a_kernel\nwall = thing.b_kernel('c_kernel')\n"
    named = set(health._names_of_equations(ast.parse(text)))
    assert named == {"a_kernel", "b_kernel", "c_kernel"}


def test_expectations_of_our_own_are_found(tmp_path: Path) -> None:
    (tmp_path / "expected.json").write_text("{}")
    (tmp_path / "test_pressure.py").write_text("golden_values = {'p': 1.0}\n")
    sign = health.own_expectations(tmp_path)
    assert "expected.json" in sign.found
    assert "golden_values" in sign.found
    (tmp_path / "test_pressure.py").unlink()
    (tmp_path / "test_frozen_main.py").write_text("FILE = 'expected.json'\n")
    assert health.own_expectations(tmp_path).good


def test_rows_that_cite_ourselves_are_found() -> None:
    assert health._is_own({"source": "output of Bathybore 0.1"})
    assert not any(health._is_own(row) for row in health.published_rows())


@pytest.mark.parametrize(
    ("filters", "good"),
    [
        (["error"], True),
        ([], False),
        (["default"], False),
        (["error", "ignore::DeprecationWarning"], False),
    ],
)
def test_warnings(filters: list[str], good: bool) -> None:
    settings = {"tool": {"pytest": {"ini_options": {"filterwarnings": filters}}}}
    assert health.warnings_are_errors(settings).good is good


def test_uncited_sources_and_unused_terms_are_told() -> None:
    nothing = made(a="x = 1")
    assert not health.uncited_sources(nothing).good
    assert "wall_tolerance" not in health.unused_terms(nothing, EVERY).found
    assert not health.unused_terms(nothing, {}).good
    cited = made(a="\n".join(f"x = {key!r}" for key in bibliography()))
    assert health.uncited_sources(cited).good
    used = made(a="\n".join(f"x = {name!r}" for name in nomenclature()))
    assert health.unused_terms(used, {}).good


def test_rows_are_counted_by_kind_and_provenance() -> None:
    found = health.rows_by_kind().found
    assert found.startswith(f"{len(health.published_rows())}: ")
    assert "published read" in found


def test_no_two_test_files_have_one_name() -> None:
    """Test folders are no packages: of two files of one name only the first would be run."""
    names = [path.name for path in health.TESTS.rglob("test_*.py")]
    assert sorted(names) == sorted(set(names))
