"""The source as a tree of modules: who imports whom, how long everything is.

Read by the test of the layers and by the signs of health. Imports inside functions
and under ``TYPE_CHECKING`` count like any other: a cycle is a cycle.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).parents[1]
PACKAGE: Final = "bathybore"
SOURCE: Final = ROOT / "src" / PACKAGE

# From the top down; packages on one line are siblings and do not import one another,
# save for the pairs in SIBLINGS.
LAYERS: Final[tuple[tuple[str, ...], ...]] = (
    ("base",),
    ("kernels",),
    ("data",),
    ("model",),
    ("operations",),
    ("checks",),
    ("search",),
    ("ensembles", "actuals"),
    ("usecases",),
    ("storage", "drawings", "reports"),
    ("web", "cli"),
)
SIBLINGS: Final = frozenset({("reports", "drawings"), ("cli", "web")})
RANK: Final = {name: rank for rank, names in enumerate(LAYERS) for name in names}


@dataclass(frozen=True)
class Module:
    """One file of the source."""

    name: str
    text: str
    is_package: bool = False

    @cached_property
    def tree(self) -> ast.Module:
        return ast.parse(self.text)

    @cached_property
    def nodes(self) -> tuple[ast.AST, ...]:
        """Every node of the tree; to walk it takes longer than all that is asked of it."""
        return tuple(ast.walk(self.tree))

    @cached_property
    def imported(self) -> frozenset[str]:
        """Every dotted name that is imported, wherever in the module."""
        return frozenset(_imported(self))

    @cached_property
    def split(self) -> list[str]:
        return self.text.splitlines()

    @property
    def layer(self) -> str:
        """Package directly below the root; empty for the root itself."""
        parts = self.name.split(".")
        return parts[1] if len(parts) > 1 else ""

    @property
    def lines(self) -> int:
        return len(self.split)


@dataclass(frozen=True)
class Function:
    """One function or method, and how many lines of code it has."""

    name: str
    module: str
    line: int
    code_lines: int


@cache
def modules(source: Path = SOURCE) -> dict[str, Module]:
    """Return every module of the package by its full name."""
    found = {}
    for path in sorted(source.rglob("*.py")):
        parts = path.relative_to(source.parent).with_suffix("").parts
        is_package = parts[-1] == "__init__"
        name = ".".join(parts[:-1] if is_package else parts)
        found[name] = Module(name, path.read_text(encoding="utf-8"), is_package)
    return found


def imports(module: Module, known: Mapping[str, Module]) -> frozenset[str]:
    """Return the modules of the package that a module imports, wherever in it."""
    names = {_longest_known(name, known) for name in module.imported}
    return frozenset(names - {"", module.name})


def _imported(module: Module) -> Iterator[str]:
    for node in module.nodes:
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = _absolute(node, module)
            yield from (f"{base}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Call) and _called(node) in ("import_module", "__import__"):
            yield from _texts(node)


def _absolute(node: ast.ImportFrom, module: Module) -> str:
    if node.level == 0:
        return node.module or ""
    parts = module.name.split(".")
    up = node.level - 1 if module.is_package else node.level
    parts = parts[: len(parts) - up]
    return ".".join([*parts, *([node.module] if node.module else [])])


def _called(node: ast.Call) -> str:
    return getattr(node.func, "id", getattr(node.func, "attr", ""))


def _texts(node: ast.Call) -> Iterator[str]:
    for argument in node.args:
        if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
            yield argument.value


def _longest_known(name: str, known: Mapping[str, Module]) -> str:
    """Return the module that a dotted name leads to; empty outside the package."""
    while name and name not in known:
        name = name.rpartition(".")[0]
    return name if name != PACKAGE else ""


def graph(known: Mapping[str, Module]) -> dict[str, frozenset[str]]:
    """Return what each module imports."""
    return {name: imports(module, known) for name, module in known.items()}


def layer_violations(known: Mapping[str, Module]) -> list[str]:
    """Return a sentence for every import that points down, sideways or out of the list."""
    told = []
    for name, targets in graph(known).items():
        for target in sorted(targets):
            why = _forbidden(known[name].layer, known[target].layer)
            if why:
                told.append(f"{name} imports {target}: {why}")
    return told


def _forbidden(importer: str, imported: str) -> str:
    if importer == imported or importer == "":
        return ""
    for layer in (importer, imported):
        if layer not in RANK:
            return f"'{layer}' stands in no layer"
    if RANK[imported] < RANK[importer] or (importer, imported) in SIBLINGS:
        return ""
    how = "beside" if RANK[imported] == RANK[importer] else "below"
    return f"{imported} stands {how} {importer}"


def cycles(known: Mapping[str, Module]) -> list[tuple[str, ...]]:
    """Return every group of modules that import one another round in a circle."""
    edges = graph(known)
    reach = {name: _reachable(name, edges) for name in edges}
    found = {
        tuple(sorted(other for other in reach[name] if name in reach[other]))
        for name in edges
        if name in reach[name]
    }
    return sorted(found)


def _reachable(start: str, edges: Mapping[str, frozenset[str]]) -> set[str]:
    """Return every module that can be reached from one by at least one import."""
    seen: set[str] = set()
    waiting = list(edges[start])
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            waiting.extend(edges[name])
    return seen


def functions(known: Mapping[str, Module]) -> list[Function]:
    """Return every function and method of the source, nested ones too."""
    return [
        Function(node.name, name, node.lineno, code_lines(node, module.split))
        for name, module in known.items()
        for node in module.nodes
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]


def code_lines(node: ast.FunctionDef | ast.AsyncFunctionDef, lines: list[str]) -> int:
    """Count a function's lines from ``def`` on, without docstring, comments and blank lines."""
    counted = set(range(node.lineno, (node.end_lineno or node.lineno) + 1))
    first = node.body[0]
    if (
        isinstance(first, ast.Expr)
        and isinstance(first.value, ast.Constant)
        and isinstance(first.value.value, str)
    ):
        counted -= set(range(first.lineno, (first.end_lineno or first.lineno) + 1))
    return sum(1 for n in counted if (line := lines[n - 1].strip()) and line[0] != "#")


def words_in(known: Mapping[str, Module]) -> frozenset[str]:
    """Return every identifier and every text that stands in the code, docstrings left out."""
    found: set[str] = set()
    for module in known.values():
        for node in module.nodes:
            if isinstance(node, ast.Name):
                found.add(node.id)
            elif isinstance(node, ast.Attribute):
                found.add(node.attr)
            elif isinstance(node, ast.arg | ast.keyword) and node.arg:
                found.add(node.arg)
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(node.value)
    return frozenset(found)
