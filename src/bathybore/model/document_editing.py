"""One edit of a document of a hole: its text and what it says, before and after."""

from __future__ import annotations

from functools import partial
from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.model import yaml_splicing
from bathybore.model.edits import Edit
from bathybore.model.fields import Node
from bathybore.model.files import shown
from bathybore.model.hole_files import UNCERTAINTY_FILE
from bathybore.model.keys import holds_text, is_entry, is_field, path_of, present
from bathybore.model.schema_faults import where
from bathybore.model.uncertainty_document import UncertaintyDocument
from bathybore.model.yaml_splicing import Written
from bathybore.model.yaml_tree import Path, Tree, parse_tree
from bathybore.model.yaml_writing import AsTyped, plain_content

_LONGEST_TEXT: Final = 10_000
# an uncertainty document that is begun
_BEGUN: Final = (
    "# What is uncertain of the hole; what is not named is so as everywhere.\ninvented: false\n"
)


def edited_uncertainty(text: str | None, edit: Edit) -> str:
    """Return the text of uncertainty.yaml after an edit; one that is not there is begun.

    Raises
    ------
    InputErrors
        The edit cannot be made. What the document then says is not judged.
    """
    text = _BEGUN if text is None else text
    tree = parse_tree(text, UNCERTAINTY_FILE)
    return edited_document(Written(text, tree), edit, UncertaintyDocument).text


def edited_document(written: Written, edit: Edit, document: type[Node]) -> Written:
    """Return a document after an edit.

    Raises
    ------
    InputErrors
        Nothing stands at the edit's key, or it cannot be made there.
    """
    tree = written.tree
    path = path_of(edit.key, tree, document)
    at = where(tree, path, document)
    if edit.op == "set":
        return _set(written, path, edit, document)
    if edit.op == "remove":
        present(tree, path, edit.key)
        return yaml_splicing.remove(written, path)
    content = plain_content(edit.content, at)
    if edit.op == "put":
        _refuse_beyond_list(tree, path, edit.key)
        return yaml_splicing.put(written, path, content)
    if edit.op == "insert":
        if not isinstance(path[-1], int):
            expected = "the list's key with the index of the new item, such as 'plugs[1]'"
            raise InputErrors.one(at, f"the key '{shown(edit.key)}'", expected)
        return yaml_splicing.insert(written, path, content)
    raise InputErrors.one(at, f"the edit '{shown(edit.op)}'", "set, remove, put, insert")


def _set(written: Written, path: Path, edit: Edit, document: type[Node]) -> Written:
    tree, typed = written.tree, AsTyped(edit.text, holds_text(path, document))
    at = where(tree, path, document)
    if len(edit.text) > _LONGEST_TEXT:
        found = f"{len(edit.text)} characters"
        raise InputErrors.one(at, found, f"at most {_LONGEST_TEXT}")
    try:
        standing = tree.at(path)
    except KeyError:
        missing = [path[:n] for n in range(1, len(path) + 1) if path[:n] not in tree.spans]
        fields = map(partial(is_field, document=document), missing)
        if not all(fields) and not (missing == [path] and is_entry(path, document)):
            present(tree, path, edit.key)
        return yaml_splicing.put(written, path, typed)
    if isinstance(standing, dict | tuple):
        found = "a list" if isinstance(standing, tuple) else "a block of keys"
        raise InputErrors.one(at, found, "a key with a single value")
    return yaml_splicing.set_scalar(written, path, typed)


def _refuse_beyond_list(tree: Tree, path: Path, key: str) -> None:
    """Refuse to put what only an insertion can add."""
    for depth, part in enumerate(path):
        if isinstance(part, int):
            present(tree, path[: depth + 1], key)
