"""What an added part of a hole document begins as: filled in, and sound by the schema."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from bathybore.model.yaml_tree import Tree
from bathybore.usecases.form_terms import names_from, template_tree

# parts that answers are called by, and which of them must differ from one another
_NAMED: Final = re.compile(r"^(?:.*\.)?name$")
# readings of one fluid differ in their temperature
_READ_AT: Final = re.compile(r"readings\.\*\.temperature$")
_NUMBERED: Final = re.compile(r"^(?P<stem>.*[^\d/.])(?P<number>\d{1,2})$")


@dataclass(frozen=True)
class Document:
    """A document and the names in it that can be chosen from."""

    tree: Tree
    lists: Mapping[str, tuple[str, ...]]


def new_item(document: Document, pattern: str, present: Any, front: bool = False) -> Any:
    """Return the content of one more item of a list or dictionary.

    Parameters
    ----------
    pattern : the place of the item, '*' for any item of a list or dictionary
    present : the items that stand there already
    front : copy the first rather than the last
    """
    items = list(present.values() if isinstance(present, dict) else present or ())
    content = items[0 if front else -1] if items else example(pattern)
    return _fitted(document, pattern, _plain(content))


def new_block(document: Document, pattern: str) -> Any:
    """Return the content of an optional block that is not there yet, from the template."""
    return _fitted(document, pattern, _plain(example(pattern)))


def new_key(present: Any) -> str:
    """Return a key that a dictionary does not have yet, after the last it has."""
    keys = [str(key) for key in present] if isinstance(present, dict) else []
    return unused(keys[-1], set(keys)) if keys else "new"


def unused(name: str, taken: set[str]) -> str:
    """Return a name like another, counted on, that is not taken."""
    if name not in taken:
        return name
    match = _NUMBERED.match(name)
    stem, number = (match["stem"], int(match["number"])) if match else (f"{name}-", 1)
    while number < 2 or f"{stem}{number}" in taken:
        number += 1
    return f"{stem}{number}"


def example(pattern: str) -> Any:
    """Return what the template shows at the first place of this kind; None if nothing."""
    return next(_matches(template_tree().content, pattern.split(".")), None)


def _matches(node: Any, parts: list[str]) -> Iterator[Any]:
    if not parts:
        yield node
    elif parts[0] == "*":
        below = node.values() if isinstance(node, dict) else node
        for one in below if isinstance(node, dict | tuple) else ():
            yield from _matches(one, parts[1:])
    elif isinstance(node, dict) and parts[0] in node:
        yield from _matches(node[parts[0]], parts[1:])


def _plain(content: Any) -> Any:
    """Return content as JSON has it: lists for tuples, nothing shared with the document."""
    if isinstance(content, dict):
        return {str(key): _plain(value) for key, value in content.items()}
    return [_plain(one) for one in content] if isinstance(content, tuple | list) else content


def _fitted(document: Document, pattern: str, content: Any) -> Any:
    """Give new names where names must differ, and names that exist where names are referred to."""
    if isinstance(content, dict):
        return {key: _fitted(document, f"{pattern}.{key}", value) for key, value in content.items()}
    if isinstance(content, list):
        return [_fitted(document, f"{pattern}.*", value) for value in content]
    if not isinstance(content, str):
        return content
    if _NAMED.match(pattern):
        return unused(content, set(_names(document.tree.content, pattern)))
    if _READ_AT.search(pattern):
        return _warmer(content, set(_names(document.tree.content, pattern)))
    known = document.lists.get(names_from(pattern), ())
    return known[0] if known and content not in known else content


def _warmer(written: str, taken: set[str]) -> str:
    """Return a temperature some degrees warmer than those that are taken."""
    number, _, unit = written.partition(" ")
    while written in taken:
        number = f"{float(number) + 10.0:g}"
        written = f"{number} {unit}"
    return written


def _names(content: dict[str, Any], pattern: str) -> Iterator[str]:
    """Yield the names that the document uses already for things of this kind."""
    # a casing is also not called as the conductor is
    others = ["plan.conductor.name"] if pattern.endswith("casing.name") else []
    for place in (pattern, *others):
        yield from (str(name) for name in _matches(content, place.split(".")))
    if others:
        yield "conductor"
