"""The signs of health of the source, one line each: `make health`. Leaves with 1 if one is bad.

python tests/health.py
"""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from bathybore.base.nomenclature import nomenclature
from bathybore.base.registry import Equation, equations
from bathybore.base.sources import bibliography
from bathybore.kernels import load_all
from source_tree import (
    ROOT,
    SOURCE,
    Module,
    cycles,
    functions,
    layer_violations,
    modules,
    words_in,
)

TESTS: Final = ROOT / "tests"
LONGEST_MODULE: Final = 750
LONGEST_FUNCTION: Final = 50
SHARE_OF_SHORT: Final = 0.95
# The generic tests name no equation: they are no evidence for one.
_GENERIC: Final = frozenset({"test_every_kernel.py", "test_published_rows.py"})
# What an expectation is called that was written down by our own code.
_OWN: Final = ("golden", "snapshot", "regenerate")
_STORED: Final = frozenset({".json", ".npy", ".npz", ".pickle", ".pkl", ".parquet"})


@dataclass(frozen=True)
class Sign:
    """One sign: its verdict (None where there is nothing to judge) and what was found."""

    name: str
    good: bool | None
    found: str

    def __str__(self) -> str:
        verdict = {True: "good", False: "BAD", None: "-"}[self.good]
        return f"{verdict:4} {self.name}: {self.found}"


def listed(names: list[str], most: int = 12) -> str:
    """Return names for one line, the rest counted."""
    more = f", and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def none_of(name: str, found: list[str]) -> Sign:
    """Return the sign that is good when nothing was found."""
    return Sign(name, not found, "0" if not found else f"{len(found)}: {listed(found)}")


# -- structure ------------------------------------------------------------------------


def layers(known: Mapping[str, Module]) -> Sign:
    return none_of("imports against the layers", layer_violations(known))


def circles(known: Mapping[str, Module]) -> Sign:
    return none_of("cycles of modules", [" <-> ".join(names) for names in cycles(known)])


def long_modules(known: Mapping[str, Module]) -> Sign:
    name = f"modules over {LONGEST_MODULE} lines"
    long = [f"{m.name} {m.lines}" for m in known.values() if m.lines > LONGEST_MODULE]
    if long:
        return Sign(name, False, listed(long))
    longest = max(known.values(), key=lambda m: m.lines)
    return Sign(name, True, f"0 of {len(known)}; longest {longest.name}, {longest.lines}")


def short_functions(known: Mapping[str, Module]) -> Sign:
    every = functions(known)
    long = sorted(
        (f for f in every if f.code_lines > LONGEST_FUNCTION), key=lambda f: -f.code_lines
    )
    share = 1.0 - len(long) / len(every)
    told = listed([f"{f.module}.{f.name} {f.code_lines}" for f in long], 5)
    name = (
        f"functions of at most {LONGEST_FUNCTION} lines of code "
        "(docstring, comments and blank lines not counted)"
    )
    found = f"{share:.1%} of {len(every)}" + (f"; longer: {told}" if long else "")
    return Sign(name, share >= SHARE_OF_SHORT, found)


# -- equations ------------------------------------------------------------------------


@cache
def published_rows(folder: Path = TESTS / "published") -> tuple[dict[str, Any], ...]:
    return tuple(
        row
        for path in sorted(folder.glob("*.toml"))
        for row in tomllib.loads(path.read_text(encoding="utf-8"))["row"]
    )


@cache
def named_in_tests(folder: Path = TESTS) -> frozenset[str]:
    """Return what the tests of single equations import from the kernels or call by name."""
    found: set[str] = set()
    for part in ("kernels", "published"):
        for path in (folder / part).glob("test_*.py"):
            if path.name not in _GENERIC:
                found.update(_names_of_equations(ast.parse(path.read_text(encoding="utf-8"))))
    return frozenset(found)


def _names_of_equations(tree: ast.Module) -> Iterator[str]:
    """Yield imported names, attributes and texts: a variable that is called alike is no test."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("bathybore"):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.Attribute):
            yield node.attr
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def bracketed_units(every: Mapping[str, Equation]) -> Sign:
    bare = [name for name, equation in every.items() if not _has_units(equation)]
    return none_of("equations without bracketed units", bare)


def _has_units(equation: Equation) -> bool:
    code = equation.function.__code__
    arguments = set(code.co_varnames[: code.co_argcount + code.co_kwonlyargcount])
    try:
        result = equation.result
    except ValueError:
        return False
    return {q.name for q in equation.parameters if q.unit} == arguments and bool(result.unit)


def equation_sources(every: Mapping[str, Equation]) -> Sign:
    known = bibliography()
    bad = [n for n, e in every.items() if e.source_key not in known or not e.where]
    return none_of("equations without a known source and a place in it", bad)


def evidence(every: Mapping[str, Equation]) -> Sign:
    """Every equation has a row of outside values or a test of its own."""
    rows = {row["equation"] for row in published_rows()}
    with_row = sorted(set(every) & rows)
    tested = sorted((set(every) - rows) & named_in_tests())
    without = sorted(set(every) - rows - named_in_tests())
    found = (
        f"{len(without)}; {len(with_row)} of {len(every)} have rows "
        f"({len(with_row) / len(every):.0%}), {len(tested)} only tests of limits or closed form"
        + (f" ({listed(tested, 5)})" if tested else "")
    )
    if without:
        found = f"{listed(without, 200)}. {found}"
    return Sign("equations without a published or closed-form row or test", not without, found)


def rows_by_kind() -> Sign:
    kinds = Counter((row.get("kind", "published"), row["provenance"]) for row in published_rows())
    parts = [f"{kind} {where} {count}" for (kind, where), count in sorted(kinds.items())]
    return Sign("rows of outside values", None, f"{len(published_rows())}: {', '.join(parts)}")


def topics(every: Mapping[str, Equation]) -> Sign:
    count = Counter(equation.topic for equation in every.values())
    return Sign("published equations", None, f"{len(every)} in {len(count)} topics")


# -- expectations ---------------------------------------------------------------------


def own_expectations(folder: Path = TESTS) -> Sign:
    """Expectations that our own code wrote stand in test_frozen_* only.

    Found by three traces: stored numbers that no test_frozen_* file names, the words such
    expectations go by, and rows of outside values that name Bathybore as their source.
    """
    bad = [f"{row['id']} cites Bathybore" for row in published_rows() if _is_own(row)]
    frozen = " ".join(p.read_text(encoding="utf-8") for p in folder.rglob("test_frozen_*.py"))
    bad += [
        f"{path.name} is stored and no test_frozen_* reads it"
        for path in sorted(folder.rglob("*"))
        if path.suffix in _STORED and path.name not in frozen
    ]
    for path in sorted(folder.rglob("test_*.py")):
        if path.name.startswith(("test_frozen_", "test_health")):
            continue
        names = words_in({path.name: Module(path.name, path.read_text(encoding="utf-8"))})
        bad += [f"{path.name} says {name}" for name in sorted(names) if _names_own(name)]
    return none_of("expectations of our own outside test_frozen_*", bad)


def _is_own(row: Mapping[str, Any]) -> bool:
    return "bathybore" in str(row["source"]).lower()


def _names_own(name: str) -> bool:
    return name.isidentifier() and any(word in name.lower() for word in _OWN)


def warnings_are_errors(settings: Mapping[str, Any]) -> Sign:
    filters = settings["tool"]["pytest"]["ini_options"].get("filterwarnings", [])
    good = filters[:1] == ["error"] and not any("ignore" in one for one in filters)
    return Sign("warnings are errors in tests", good, f"filterwarnings = {filters}")


def typing(settings: Mapping[str, Any]) -> Sign:
    strict = settings["tool"]["mypy"].get("strict") is True
    done = subprocess.run(
        [sys.executable, "-m", "mypy"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    told = (done.stdout or done.stderr).strip().splitlines() or ["mypy said nothing"]
    first = f" ({told[0]})" if done.returncode else ""
    return Sign("strict typing", strict and done.returncode == 0, told[-1] + first)


# -- lists ----------------------------------------------------------------------------


def _texts(folder: Path, *suffixes: str) -> Iterator[str]:
    for path in sorted(folder.rglob("*")):
        if path.suffix in suffixes and path.name != "nomenclature.csv":
            yield path.read_text(encoding="utf-8")


def uncited_sources(known: Mapping[str, Module]) -> Sign:
    """Sources that neither code, catalogue nor template cites by their key."""
    words = words_in(known)
    tables = "\n".join(_texts(SOURCE, ".csv", ".txt", ".yaml"))
    uncited = [key for key in bibliography() if key not in words and key not in tables]
    return none_of(f"sources of {len(bibliography())} that nothing cites", uncited)


def unused_terms(known: Mapping[str, Module], every: Mapping[str, Equation]) -> Sign:
    """Terms of the nomenclature that no equation and no value goes by."""
    used = {q.name for e in every.values() for q in (*e.parameters, e.result)} | words_in(known)
    unused = [name for name in nomenclature() if name not in used]
    return none_of(f"terms of {len(nomenclature())} that nothing uses", unused)


def signs() -> Iterator[Sign]:
    """Yield every sign, the slow one last."""
    load_all()
    known, every = modules(), equations()
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    asked: tuple[Callable[[], Sign], ...] = (
        lambda: layers(known),
        lambda: circles(known),
        lambda: long_modules(known),
        lambda: short_functions(known),
        lambda: topics(every),
        lambda: bracketed_units(every),
        lambda: equation_sources(every),
        lambda: evidence(every),
        rows_by_kind,
        own_expectations,
        lambda: uncited_sources(known),
        lambda: unused_terms(known, every),
        lambda: warnings_are_errors(settings),
        lambda: typing(settings),
    )
    for ask in asked:
        yield ask()


def main() -> int:
    bad = 0
    for sign in signs():
        print(sign, flush=True)
        bad += sign.good is False
    print(f"{bad} bad" if bad else "all good")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
