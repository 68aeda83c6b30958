"""Faults of the schema in a user's words: every validation error with its line and key."""

from __future__ import annotations

import types
from collections.abc import Iterator
from itertools import islice
from typing import Any, Union, get_args, get_origin

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from bathybore.base.errors import Fault, nearest
from bathybore.model.fields import GateError, Node
from bathybore.model.files import shown
from bathybore.model.hole import HoleDocument
from bathybore.model.yaml_tree import Path, Tree

_MOST_KEYS_LISTED = 25
_MOST_GUESSES = 100


def step_down(annotation: Any, part: str | int) -> tuple[Any, bool]:
    """Return the annotation one part further down, and whether that part names a field."""
    for candidate in alternatives(annotation):
        if isinstance(candidate, type) and issubclass(candidate, Node):
            info = candidate.model_fields.get(str(part))
            return (info.annotation if info else None), True
        if get_origin(candidate) in (dict, tuple):
            arguments = get_args(candidate)
            return arguments[1 if get_origin(candidate) is dict else 0], False
    return None, True


def alternatives(annotation: Any) -> Iterator[Any]:
    """Yield the plain types that an annotation allows, units and unions taken off."""
    origin = get_origin(annotation)
    if origin in (Union, types.UnionType):
        for argument in get_args(annotation):
            yield from alternatives(argument)
    elif hasattr(annotation, "__metadata__"):
        yield from alternatives(annotation.__origin__)
    else:
        yield annotation


def key_of(path: Path, document: type[Node] = HoleDocument) -> str:
    """Write a path as origins do: a field after a dot, an item of a list or table in brackets.

    Each part is kept short, not the whole: forms find their fields by it.
    """
    annotation: Any = document
    text = ""
    for part in path:
        annotation, is_field = step_down(annotation, part)
        name = shown(str(part))
        text += (f".{name}" if text else name) if is_field else f"[{name}]"
    return text


def _node_at(path: Path, document: type[Node]) -> type[Node] | None:
    annotation: Any = document
    for part in path:
        annotation, _ = step_down(annotation, part)
    nodes = (a for a in alternatives(annotation) if isinstance(a, type) and issubclass(a, Node))
    return next(nodes, None)


def where(tree: Tree, path: Path, document: type[Node] = HoleDocument) -> str:
    """Return 'hole.yaml, line 42, plan.sections[2].fluid'."""
    place = f"{tree.file}, line {tree.line(path)}"
    return f"{place}, {key_of(path, document)}" if path else place


def found_at(tree: Tree, path: Path) -> str:
    """Say what stands at a path, as the user wrote it."""
    try:
        value = tree.at(path)
    except KeyError:
        return "nothing"
    if isinstance(value, dict):
        return "a block of keys"
    if isinstance(value, tuple):
        return f"a list of {len(value)}" if value else "an empty list"
    written = tree.written.get(path, "")
    return f"'{shown(written)}'" if value is not None else "no value"


def schema_faults(
    error: ValidationError, tree: Tree, document: type[Node] = HoleDocument
) -> Iterator[Fault]:
    """Yield one fault for every place that the schema of a document refuses."""
    by_path: dict[Path, list[ErrorDetails]] = {}
    for details in error.errors(include_url=False):
        by_path.setdefault(error_path(tree, details), []).append(details)
    guessed = set(islice(_guessed_keys(by_path, tree, document), _MOST_GUESSES))
    for path, together in by_path.items():
        if not (together[0]["type"] == "missing" and path in guessed):
            yield _fault(tree, path, together, document)


def error_path(tree: Tree, details: ErrorDetails) -> Path:
    """Return where an error belongs; names of alternatives in its location are left out."""
    path: Path = ()
    location = details["loc"]
    for number, part in enumerate(location):
        try:
            tree.at((*path, part))
        except KeyError:
            if number < len(location) - 1 or details["type"] != "missing":
                continue
        path = (*path, part)
    return path


def _guessed_keys(
    by_path: dict[Path, list[ErrorDetails]], tree: Tree, document: type[Node]
) -> Iterator[Path]:
    """Yield the keys that unknown keys were most likely meant to be: not missing as well."""
    for path, details in by_path.items():
        if details[0]["type"] == "extra_forbidden":
            guess = nearest(str(path[-1]), _known_keys(path[:-1], tree, document))
            if guess:
                yield (*path[:-1], guess.split("'")[1])


def _known_keys(path: Path, tree: Tree, document: type[Node]) -> tuple[str, ...]:
    """Return the keys that may still stand in the node at a path."""
    node = _node_at(path, document)
    present = tree.at(path)
    fields = node.model_fields if node else {}
    return tuple(name for name in fields if name not in present)


def _fault(tree: Tree, path: Path, all_details: list[ErrorDetails], document: type[Node]) -> Fault:
    place = where(tree, path, document)
    if all_details[0]["type"] == "extra_forbidden":
        return _unknown_key(tree, path, document)
    if all_details[0]["type"] == "missing":
        return Fault(place, "nothing", f"the key '{shown(str(path[-1]))}'")
    told = [_told(tree, path, details) for details in all_details]
    founds, expectations, fixes = zip(*told, strict=True)
    return Fault(
        place,
        founds[-1],
        " or ".join(dict.fromkeys(expectations)),
        next((fix for fix in fixes if fix), ""),
    )


def _unknown_key(tree: Tree, path: Path, document: type[Node]) -> Fault:
    owner = key_of(path[:-1], document) or "the document"
    known = _known_keys(path[:-1], tree, document)
    fix = nearest(str(path[-1]), known)
    if not fix and known:
        listed = ", ".join(known[:_MOST_KEYS_LISTED])
        fix = f"Keys not used yet: {listed}{', …' if len(known) > _MOST_KEYS_LISTED else ''}."
    found = f"the unknown key '{shown(str(path[-1]))}'"
    return Fault(where(tree, path, document), found, f"a key of {owner}", fix)


def _told(tree: Tree, path: Path, details: ErrorDetails) -> tuple[str, str, str]:
    """Return found, expected and fix of one validation error."""
    found, kind, context = found_at(tree, path), details["type"], details.get("ctx", {})
    cause = context.get("error")
    if isinstance(cause, GateError):
        return (shown(cause.found) if found.startswith("'") else found), cause.expected, cause.fix
    if isinstance(cause, ValueError):
        return _sentence(str(cause), found)
    if kind == "literal_error":
        words = str(context["expected"])
        fix = nearest(found.strip("'"), words.replace(" or ", ", ").replace("'", "").split(", "))
        return found, words, fix
    expected, fix = _EXPECTED.get(kind, (details["msg"], ""))
    return found, expected.format(**context), fix


def _sentence(text: str, found: str) -> tuple[str, str, str]:
    """Take apart the sentence of a validator: 'found …; expected …'."""
    if text.startswith("found ") and "; expected " in text:
        found, expected = text.removeprefix("found ").split("; expected ", 1)
        return found, expected, ""
    return found, text, ""


_QUOTE = "Put a number that is meant as a word in quotes."
# kind of validation error -> what was expected, the likely fix
_EXPECTED: dict[str, tuple[str, str]] = {
    "string_type": ("text", _QUOTE),
    "int_type": ("a whole number", ""),
    "int_from_float": ("a whole number", ""),
    "bool_type": ("true or false", "Yes, no, on and off are words in YAML 1.2."),
    "greater_than": ("more than {gt:g}", ""),
    "greater_than_equal": ("{ge:g} or more", ""),
    "less_than": ("less than {lt:g}", ""),
    "less_than_equal": ("{le:g} or less", ""),
    "string_pattern_mismatch": ("small letters, digits and hyphens, such as 'top-hole'", ""),
    "string_too_long": ("at most {max_length} characters", ""),
    "too_short": ("at least {min_length} in the list", ""),
    "tuple_type": ("a list", "Begin each item on its own line with '- '."),
    "dict_type": ("a block of keys", ""),
    "model_type": ("a block of keys", ""),
    "model_attributes_type": ("a block of keys", ""),
}
