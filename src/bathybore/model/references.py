"""Names that must exist: every fluid, string, pipe and switchboard a document refers to.

Read from the plain tree rather than from the validated document, so that a wrong
name is told together with whatever else is wrong.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from bathybore.base.errors import Fault, nearest
from bathybore.base.keeping import SOME, kept
from bathybore.model.files import shown
from bathybore.model.schema_faults import where
from bathybore.model.yaml_tree import Path, Tree

_MOST_COMPARED: Final = 200
_FLUIDS: Final = ("plan", "fluids")
_SLURRIES: Final = ("plan", "slurries")
_STRINGS: Final = ("plan", "strings")
_PIPE: Final = ("inventory", "pipe")
_CASING: Final = ("inventory", "casing")
_SWITCHBOARDS: Final = ("vessel", "switchboards")

# where a name stands ('*' is any item below a block of the document) -> the block whose keys
# it must be one of
_REFERENCES: Final[dict[str, Path]] = {
    "vessel.thrusters.*.switchboard": _SWITCHBOARDS,
    "plan.strings.*.*.pipe": _PIPE,
    "plan.conductor.pipe": _CASING,
    "plan.conductor.run_on": _STRINGS,
    "plan.conductor.fluid": _FLUIDS,
    "plan.sections.*.fluid": _FLUIDS,
    "plan.sections.*.pad_fluid": _FLUIDS,
    "plan.sections.*.sweep_fluid": _FLUIDS,
    "plan.sections.*.string": _STRINGS,
    "plan.sections.*.casing.pipe": _CASING,
    "plan.sections.*.casing.run_on": _STRINGS,
    "plan.sections.*.casing.cement.slurry": _SLURRIES,
    "plan.sections.*.casing.cement.tail_slurry": _SLURRIES,
    "plan.sections.*.casing.cement.spacer": _FLUIDS,
    "plan.coring.fluid": _FLUIDS,
    "plan.coring.string": _STRINGS,
    "plan.leaving.plugs.*.slurry": _SLURRIES,
    "plan.leaving.string": _STRINGS,
}


def declared_in(pattern: str) -> str:
    """Return the block that declares the names at a place ('*' is any item), or nothing."""
    return ".".join(str(part) for part in _REFERENCES.get(pattern, ()))


def reference_faults(tree: Tree) -> Iterator[Fault]:
    """Yield a fault for every name that is not declared where it should be."""
    for pattern, declared_at in _REFERENCES.items():
        try:
            declared = tree.at(declared_at)
        except KeyError:
            continue  # the schema tells that the whole block is missing
        if not isinstance(declared, dict):
            continue
        for path, name in _names(tree, pattern):
            if isinstance(name, str) and name not in declared:
                yield _unknown(tree, path, name, declared_at, declared)


def _names(tree: Tree, pattern: str) -> tuple[tuple[Path, Any], ...]:
    """Return what a pattern fits, with its path."""
    part, block, below = pattern.split(".", 2)
    try:
        return _names_in(tree.at((part, block)), part, block, below)
    except KeyError:
        return ()  # nothing stands there


@kept(SOME)  # an edit leaves most blocks of the content the objects they were
def _names_in(content: Any, part: str, block: str, below: str) -> tuple[tuple[Path, Any], ...]:
    return tuple(_matches(content, tuple(below.split(".")), (part, block)))


def _matches(node: Any, pattern: tuple[str, ...], path: Path) -> Iterator[tuple[Path, Any]]:
    """Yield every (path, value) that a pattern of keys fits."""
    if not pattern:
        yield path, node
        return
    items: Iterator[tuple[str | int, Any]] = iter(())
    if isinstance(node, dict):
        keys = node if pattern[0] == "*" else [pattern[0]] if pattern[0] in node else []
        items = ((key, node[key]) for key in keys)
    elif isinstance(node, tuple) and pattern[0] == "*":
        items = iter(enumerate(node))
    for part, below in items:
        yield from _matches(below, pattern[1:], (*path, part))


def _unknown(tree: Tree, path: Path, name: str, declared_at: Path, declared: Any) -> Fault:
    block = ".".join(str(part) for part in declared_at)
    fix = nearest(name[:100], list(declared)[:_MOST_COMPARED])
    if not fix:
        known = ", ".join(shown(key) for key in list(declared)[:25])
        fix = f"Declared there: {known or 'nothing'}."
    return Fault(where(tree, path), f"'{shown(name)}'", f"a name declared in {block}", fix)
