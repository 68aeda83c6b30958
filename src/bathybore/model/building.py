"""From a tree to the validated document, with every part that did not change taken over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from bathybore.base.keeping import first
from bathybore.model.fields import Node
from bathybore.model.hole import HoleDocument
from bathybore.model.yaml_tree import Path, Tree


@dataclass(frozen=True)
class Built:
    """A valid document and the tree it was built from."""

    tree: Tree
    document: HoleDocument


def build(tree: Tree, before: Built | None) -> Built:
    """Return the document of a tree.

    A node whose content, key and lines are those of ``before`` is the same object as
    there; only what is around a change is validated again, and what then says the same as some
    document before, at the same place, is the node of that one.

    Raises
    ------
    pydantic.ValidationError
        The content does not fit the schema.
    """
    content: Any = tree.content
    if before is not None:
        content, _ = _Reuse(tree, before.tree).take(
            tree.content, before.tree.content, before.document, ()
        )
    document = HoleDocument.model_validate(content)
    return Built(tree, _placed(document, tree, tree.content, (), ""))


class _Reuse:
    """Walks down two trees and the document of the older one."""

    def __init__(self, tree: Tree, before: Tree) -> None:
        self.tree = tree
        self.before = before
        self.same_lines = tree.lines is before.lines

    def take(self, new: Any, old: Any, built: Any, path: Path) -> tuple[Any, bool]:
        """Return what to validate at a path, and whether nothing changed there."""
        if new is old and self.same_lines:
            return _taken_over(new, built), True
        stands = self.same_lines or self.tree.lines.get(path) == self.before.lines.get(path)
        if type(new) is not type(old):
            return new, False
        if isinstance(new, dict):
            taken, unchanged = self._mapping(new, old, built, path)
        elif isinstance(new, tuple):
            taken, unchanged = self._list(new, old, built, path)
        else:
            taken, unchanged = new, bool(new == old)
        unchanged = unchanged and stands
        return (built if unchanged and isinstance(built, Node) else taken), unchanged

    def _mapping(
        self, new: dict[str, Any], old: dict[str, Any], built: Any, path: Path
    ) -> tuple[Any, bool]:
        parts = built if isinstance(built, dict) else getattr(built, "__dict__", {})
        unchanged = list(new) == list(old)
        taken: dict[str, Any] = {}
        for key, value in new.items():
            if key in old:
                taken[key], same = self.take(value, old[key], parts.get(key), (*path, key))
                unchanged = unchanged and same
            else:
                taken[key] = value
        return taken, unchanged

    def _list(
        self, new: tuple[Any, ...], old: tuple[Any, ...], built: Any, path: Path
    ) -> tuple[Any, bool]:
        parts = built if isinstance(built, tuple) and len(built) == len(old) else (None,) * len(old)
        unchanged = len(new) == len(old)
        taken = []
        for index, value in enumerate(new):
            if index < len(old):
                one, same = self.take(value, old[index], parts[index], (*path, index))
                taken.append(one)
                unchanged = unchanged and same
            else:
                taken.append(value)
        return tuple(taken), unchanged


def _taken_over(content: Any, built: Any) -> Any:
    """Return content that did not change with the nodes that were built from it."""
    if isinstance(built, Node):
        return built
    if isinstance(built, dict) and isinstance(content, dict):
        return {key: _taken_over(value, built[key]) for key, value in content.items()}
    if isinstance(built, tuple) and isinstance(content, tuple):
        return tuple(map(_taken_over, content, built))
    return content  # a number has to pass the gate as it was written


def _placed(child: Any, tree: Tree, written: Any, path: Path, key: str) -> Any:
    """Tell the nodes that were built anew where they were written; return what to stand there."""
    if isinstance(child, Node):
        if isinstance(written, dict) and child.stands_at(tree.file, key):
            return child  # taken over
        keys = written if isinstance(written, dict) else {}
        child._file, child._key = tree.file, key
        child._lines = {name: tree.lines[(*path, name)] for name in keys}
        held = vars(child)
        for field in type(child).model_fields:
            under = f"{key}.{field}" if key else field
            held[field] = _placed(held[field], tree, keys.get(field), (*path, field), under)
        return _first(child)
    if isinstance(child, dict):
        for name, item in child.items():
            child[name] = _placed(item, tree, written[name], (*path, name), f"{key}[{name}]")
        return child
    if isinstance(child, tuple):
        return tuple(
            [
                _placed(item, tree, written[index], (*path, index), f"{key}[{index}]")
                for index, item in enumerate(child)
            ]
        )
    return child


def _first(node: Node) -> Node:
    """Return the first node that said the same at the same place.

    Hands go back and forth, and take back: what follows from a node is worked out once then.
    """
    held = vars(node)
    says = tuple([_told_by(held[field]) for field in type(node).model_fields])
    told = frozenset(node.model_fields_set)
    return first((type(node), node._file, node._key, (*node._lines.items(),), told, says), node)


def _told_by(field: Any) -> Any:
    """Tell what a field holds: nodes by identity, they are the first of their kind already."""
    if isinstance(field, Node):
        return (id(field),)
    if isinstance(field, dict):
        return tuple([(name, _told_by(item)) for name, item in field.items()])
    if isinstance(field, tuple):
        return tuple(map(_told_by, field))
    return type(field), field
