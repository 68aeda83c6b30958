"""The hole document as a form: every key of the schema, whether written or left at its default.

Built from the document's plain tree and the schema, so that a document with faults can be
shown, and mended, like any other.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from dataclasses import field as dataclass_field
from typing import Any, Final, Literal, TypeAlias

from bathybore.base.errors import Fault
from bathybore.base.sources import bibliography
from bathybore.base.units import UnitSystem
from bathybore.data import catalogues
from bathybore.model.fields import Node
from bathybore.model.files import shown
from bathybore.model.fluid_readings import MeasuredFluid
from bathybore.model.hole import Hole, HoleDocument
from bathybore.model.yaml_tree import Path, Tree
from bathybore.operations.steps import derive_steps
from bathybore.usecases.form_items import Document, new_block, new_item, new_key
from bathybore.usecases.form_terms import (
    FieldTerm,
    Shape,
    comment_at,
    field_term,
    item_term,
    shape,
)
from bathybore.usecases.showing import in_words

GroupKind: TypeAlias = Literal["block", "list", "dictionary"]

# lists into which a new item goes at the front: the last part of a string has no length,
# and nothing can be hung above it
_AT_THE_FRONT: Final = frozenset({"plan.strings.*"})


@dataclass(frozen=True)
class Field:
    """One key that holds one value.

    Attributes
    ----------
    key : the document's own spelling: 'plan.sections[2].casing.shoe'
    term : key of what the field is in ``Form.terms``
    written : the text as it stands in the file, empty if the key is left out
    given : whether the key stands in the file
    line : line in the file, None if the key is left out
    fault : what is wrong with it, empty if nothing is
    block, first : key of the block that holds it, and what that has to be put as before this key
        is set; None where it may be set at once
    instead : of a choice with which all of the block changes, what the block is then
    """

    key: str
    term: str
    written: str
    given: bool
    line: int | None
    fault: str
    block: str = ""
    first: Any = None
    instead: dict[str, Any] = dataclass_field(default_factory=dict)


@dataclass(frozen=True)
class Group:
    """A block of keys, a list, or a dictionary of named items.

    Attributes
    ----------
    label : in the field's words
    title : what tells an item from its neighbours: its name, or its number
    present : whether it stands in the file
    required : whether the document must have it
    removable : whether it can be taken out and leave the rest valid by the schema
    least : fewest items that a list must have
    new : content to put there: of an absent block the block, of a list or dictionary one more
        item; None where there is nothing to add
    new_key : where that content goes: a key for 'put', or for 'insert' when it ends with an index
    new_from : list of the form from which an item of a dictionary takes its name; empty: any name
    """

    key: str
    kind: GroupKind
    label: str
    title: str
    description: str
    present: bool
    required: bool
    removable: bool
    least: int
    line: int | None
    fault: str
    fields: tuple[Field, ...]
    groups: tuple[Group, ...]
    new: Any
    new_key: str
    new_from: str = ""


@dataclass(frozen=True)
class Form:
    """The whole document.

    Attributes
    ----------
    root : the document; its groups are site, vessel, inventory, plan and design basis
    terms : what each field is, once for all items of a list
    lists : names and designations to choose from
    sources : citations by key
    """

    file: str
    root: Group
    terms: dict[str, FieldTerm]
    lists: dict[str, tuple[str, ...]]
    sources: dict[str, str]


def form(
    tree: Tree,
    faults: Iterable[Fault] = (),
    hole: Hole | None = None,
    units: UnitSystem = "metric",
) -> Form:
    """Return a document as a form.

    Parameters
    ----------
    tree : the document, which need not be sound
    faults : what is wrong with it, shown at the keys
    hole : the loaded hole, if there is one: its steps can be chosen from
    units : for defaults and example units
    """
    lists = _lists(tree, hole)
    builder = _Builder(Document(tree, lists), by_key(faults), units)
    root = builder.block(_Spot(), HoleDocument, tree.content)
    used = {term.source for term in builder.terms.values()} - {""}
    citations = {key: bibliography()[key].citation for key in sorted(used)}
    return Form(tree.file, root, builder.terms, lists, citations)


def by_key(faults: Iterable[Fault]) -> dict[str, str]:
    """Return what to say at each key; a fault that names no key is told elsewhere."""
    told: dict[str, str] = {}
    for fault in faults:
        _, _, after = fault.where.partition(", line ")
        _, _, key = after.partition(", ")
        if key:
            text = f"found {fault.found}; expected {fault.expected}. {fault.fix}".rstrip()
            told[key] = f"{told[key]} {text}" if key in told else text
    return told


@dataclass(frozen=True)
class _Spot:
    """A place of the document, and how the part of it that stands there is told.

    Attributes
    ----------
    key : as written
    pattern : the same with '*' for items
    path : the same in the tree
    """

    key: str = ""
    pattern: str = ""
    path: Path = ()
    label: str = "the hole"
    title: str = ""
    required: bool = True
    removable: bool = False

    def field(self, name: str, required: bool = True) -> _Spot:
        dot = "." if self.key else ""
        return _Spot(
            key=f"{self.key}{dot}{name}",
            pattern=f"{self.pattern}{dot}{name}",
            path=(*self.path, name),
            label=in_words(name),
            required=required,
            removable=not required,
        )

    def item(self, part: str | int, content: Any = None, removable: bool = True) -> _Spot:
        return _Spot(
            key=f"{self.key}[{part}]",
            pattern=f"{self.pattern}.*",
            path=(*self.path, part),
            label=self.label,
            title=_title(part, content),
            removable=removable,
        )


@dataclass
class _Parts:
    """What a group holds, while it is gathered."""

    fields: list[Field] = dataclass_field(default_factory=list)
    groups: list[Group] = dataclass_field(default_factory=list)


class _Builder:
    def __init__(self, document: Document, faults: dict[str, str], units: UnitSystem) -> None:
        self.document, self.faults, self.units = document, faults, units
        self.tree = document.tree
        self.terms: dict[str, FieldTerm] = {}

    def block(self, at: _Spot, node: type[Node], content: Any) -> Group:
        """Return a block of keys; an absent one shows its keys if all of them have defaults."""
        present = isinstance(content, dict)
        parts = _Parts()
        can_be_left_out = not any(info.is_required() for info in node.model_fields.values())
        if present or can_be_left_out:
            written = content if present else {}
            for name in node.model_fields:
                self._member(parts, at, node, name, written)
            self._unknown(parts, at, node, written)
        new = None
        if not present:
            new = {} if can_be_left_out else new_block(self.document, at.pattern)
        return self._group(at, "block", present, parts, new, at.key)

    def _group(
        self,
        at: _Spot,
        kind: GroupKind,
        present: bool,
        parts: _Parts,
        new: Any,
        new_key: str,
        least: int = 0,
    ) -> Group:
        return Group(
            key=at.key,
            kind=kind,
            label=at.label,
            title=at.title,
            description=comment_at(at.pattern),
            present=present,
            required=at.required,
            removable=at.removable and present,
            least=least,
            line=self.tree.lines.get(at.path),
            fault=self.faults.get(shown(at.key), ""),
            fields=tuple(parts.fields),
            groups=tuple(parts.groups),
            new=new,
            new_key=new_key,
        )

    def _member(
        self, parts: _Parts, of: _Spot, node: type[Node], name: str, written: dict[str, Any]
    ) -> None:
        """Add one key of a node to its fields or groups, unless it has no place there."""
        if name not in written and _has_no_place(node, name, written):
            return
        info = node.model_fields[name]
        at, content = of.field(name, info.is_required()), written.get(name)
        what = shape(info.annotation, tuple(info.metadata))
        if what.of == "field":
            term = field_term(at.pattern, node, name, self.units)
            parts.fields.append(self._field(at, term, content))
        elif what.node is not None:
            parts.groups.append(self.block(at, what.node, content))
        else:
            least = next((m.min_length for m in info.metadata if hasattr(m, "min_length")), 0)
            parts.groups.append(self._items(at, what, content, least or 0))

    def _items(self, at: _Spot, what: Shape, content: Any, least: int = 0) -> Group:
        """Return a list or dictionary with its items."""
        is_list = what.of == "list"
        present = isinstance(content, tuple if is_list else dict)
        items = dict(enumerate(content)) if present and is_list else content if present else {}
        inner, parts = shape(what.item), _Parts()
        for part, value in items.items():
            here = at.item(part, value, len(items) > least)
            if inner.of == "field":
                term = item_term(here.pattern, what.item, self.units)
                parts.fields.append(self._field(here, term, value))
            elif inner.node is not None:
                parts.groups.append(self.block(here, inner.node, value))
            else:
                parts.groups.append(self._items(here, inner, value, 1))
        front = at.pattern in _AT_THE_FRONT
        new = new_item(self.document, f"{at.pattern}.*", items, front)
        key = (0 if front else len(items)) if is_list else new_key(items)
        where = at.item(key).key
        if is_list and not present:  # the whole list is put, with the one item in it
            new, where = [new], at.key
        kind: GroupKind = "list" if is_list else "dictionary"
        return self._group(at, kind, present, parts, new, where, least)

    def _field(self, at: _Spot, term: FieldTerm, content: Any) -> Field:
        self.terms.setdefault(at.pattern, term)
        given = at.path in self.tree.lines
        written = self.tree.written.get(at.path, "")
        if isinstance(content, dict | tuple):
            written = "a block of keys" if isinstance(content, dict) else "a list"
        line = self.tree.lines.get(at.path)
        return Field(at.key, at.pattern, written, given, line, self.faults.get(shown(at.key), ""))

    def _unknown(self, parts: _Parts, of: _Spot, node: type[Node], written: dict[str, Any]) -> None:
        """Add the keys that the schema does not know: shown, so that they can be taken out."""
        for name, content in written.items():
            if name not in node.model_fields:
                parts.fields.append(self._field(of.field(str(name)), _unknown_term(name), content))


def _has_no_place(node: type[Node], name: str, written: dict[str, Any]) -> bool:
    """Whether a key needs another that is not written, or of a fluid stands otherwise."""
    if name in node.needs and node.needs[name] not in written:
        return True
    if not issubclass(node, MeasuredFluid):
        return False
    return any(
        any(constant in written for constant in constants)
        if name == measured
        else measured in written and name in constants
        for measured, constants in node.in_place_of.items()
    )


def _unknown_term(name: str) -> FieldTerm:
    said = "No key of this block; it has no meaning here."
    return FieldTerm(in_words(shown(name)), said, "unknown", "", "", "", "", "", "", False, (), "")


def _title(part: str | int, content: Any) -> str:
    """Return what tells an item from its neighbours."""
    if isinstance(part, str):
        return part
    for key in ("name", "pipe", "diameter", "step", "slurry"):
        if isinstance(content, dict) and isinstance(content.get(key), str):
            return f"{part + 1}. {content[key]}"
    return f"{part + 1}."


def _lists(tree: Tree, hole: Hole | None) -> dict[str, tuple[str, ...]]:
    """Return the names that the document declares and the designations the catalogues hold."""
    lists = dict(_catalogue_lists())
    blocks = (
        ("vessel", "switchboards"), ("inventory", "pipe"), ("inventory", "casing"),
        ("plan", "fluids"), ("plan", "slurries"), ("plan", "strings"),
    )  # fmt: skip
    for block in blocks:
        try:
            declared = tree.at(block)
        except KeyError:
            declared = {}
        lists[".".join(block)] = tuple(declared) if isinstance(declared, dict) else ()
    lists["steps"] = () if hole is None else tuple(s.name for s in derive_steps(hole.plan))
    return lists


def _catalogue_lists() -> dict[str, tuple[str, ...]]:
    drill_pipe = (row.designation.rsplit(" ", 1)[0] for row in catalogues.drill_pipes())
    heavier = (
        row.designation for row in (*catalogues.heavy_wall_pipes(), *catalogues.drill_collars())
    )
    return {
        "casing": tuple(row.designation for row in catalogues.casings()),
        "grades": tuple(row.designation for row in catalogues.grades()),
        "pipe": tuple(dict.fromkeys((*drill_pipe, *heavier))),
    }
