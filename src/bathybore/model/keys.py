"""Keys as people and origins spell them, 'plan.sections[2].casing.shoe', and paths."""

from __future__ import annotations

import re
from typing import Any, Final, Literal, get_args, get_origin

from bathybore.base.errors import InputErrors, nearest
from bathybore.model.fields import Node
from bathybore.model.files import shown
from bathybore.model.hole import HoleDocument
from bathybore.model.schema_faults import alternatives, step_down
from bathybore.model.yaml_tree import Path, Tree

_LONGEST: Final = 1000
_PART = re.compile(r"\.?(?P<word>[^.\[\]]+)|\[(?P<item>[^\[\]]*)\]")


def path_of(key: str, tree: Tree, document: type[Node] = HoleDocument) -> Path:
    """Return the path that a key names; its end need not be in the document yet.

    Raises
    ------
    InputErrors
        Nothing can stand there: below a single value, or outside a list.
    """
    if not key or len(key) > _LONGEST:
        raise _no_such(key, tree.file, "")
    path: Path = ()
    owner: Any = tree.content
    rest = key
    while rest:
        part, rest = _next(rest, owner, path, key, tree.file, document)
        if isinstance(owner, tuple) and not (isinstance(part, int) and 0 <= part <= len(owner)):
            raise _no_such(key, tree.file, f"a list of {len(owner)}")
        if not isinstance(owner, tuple | dict) and owner is not None:
            raise _no_such(key, tree.file, "a single value")
        owner = _below(owner, part)
        path = (*path, part)
    return path


def present(tree: Tree, path: Path, key: str) -> Any:
    """Return what stands at a path."""
    try:
        return tree.at(path)
    except KeyError:
        siblings = _siblings(tree, path)
        fix = nearest(str(path[-1])[:100], [str(name) for name in siblings])
        raise _no_such(key, tree.file, "", fix) from None


def _siblings(tree: Tree, path: Path) -> Any:
    try:
        owner = tree.at(path[:-1])
    except KeyError:
        return ()
    return owner if isinstance(owner, dict) else ()


def _below(owner: Any, part: str | int) -> Any:
    if isinstance(owner, tuple) and isinstance(part, int):
        return owner[part] if part < len(owner) else None
    return owner.get(part) if isinstance(owner, dict) else None


def _next(
    rest: str, owner: Any, path: Path, key: str, file: str, document: type[Node]
) -> tuple[str | int, str]:
    """Split the first part off; a name that stands in the document may hold any character."""
    if isinstance(owner, dict):
        name = _longest(rest, owner, first=rest == key)
        if name:
            return name, rest[len(name) + (0 if rest == key else 2 if rest[0] == "[" else 1) :]
    match = _PART.match(rest)
    if match is None:
        raise _no_such(key, file, "")
    word, item = match["word"], match["item"]
    is_list = isinstance(owner, tuple) or (owner is None and _takes_list(path, document))
    if item is not None and is_list and re.fullmatch(r"[0-9]{1,6}", item):
        return int(item), rest[match.end() :]
    if is_list or not (word or item):
        raise _no_such(key, file, "")
    return word or item, rest[match.end() :]


def _longest(rest: str, owner: dict[str, Any], *, first: bool) -> str:
    """Return the longest name of a mapping that a key can begin with."""
    bracket = rest[0] == "[" and not first
    if not first and rest[0] not in ".[":
        return ""
    begun = rest if first else rest[1:]
    longest = ""
    for name in owner:
        if begun.startswith(name) and len(name) > len(longest):
            behind = begun[len(name) :]
            if bracket and not behind.startswith("]"):
                continue
            behind = behind[1:] if bracket else behind
            if not behind or behind[0] in ".[":
                longest = name
    return longest


def _annotation(path: Path, document: type[Node]) -> Any:
    """Return what the schema has at a path."""
    annotation: Any = document
    for part in path:
        annotation, _ = step_down(annotation, part)
    return annotation


def _takes_list(path: Path, document: type[Node]) -> bool:
    return any(get_origin(one) is tuple for one in alternatives(_annotation(path, document)))


def _no_such(key: str, file: str, found: str, fix: str = "") -> InputErrors:
    expected = "a key of the document, such as 'plan.sections[0].bottom'"
    where = f"{file}, {shown(key)}" if key else file
    return InputErrors.one(where, f"{found or 'nothing'} at that key", expected, fix)


def holds_text(path: Path, document: type[Node] = HoleDocument) -> bool:
    """Return whether the schema has words at a path: then 1234 and true are meant as words."""
    kinds = [one for one in alternatives(_annotation(path, document)) if one is not type(None)]
    return bool(kinds) and all(one is str or _words(one) for one in kinds)


def _words(annotation: Any) -> bool:
    if get_origin(annotation) is not Literal:
        return False
    return all(isinstance(word, str) for word in get_args(annotation))


def is_field(path: Path, document: type[Node] = HoleDocument) -> bool:
    """Return whether the schema has a field of its own at a path: no item of a list or table."""
    owner = alternatives(_annotation(path[:-1], document))
    nodes = [one for one in owner if isinstance(one, type) and issubclass(one, Node)]
    return any(str(path[-1]) in node.model_fields for node in nodes)


def is_entry(path: Path, document: type[Node] = HoleDocument) -> bool:
    """Return whether the schema has a table of names at a path, to which a name may be added."""
    return any(get_origin(one) is dict for one in alternatives(_annotation(path[:-1], document)))
