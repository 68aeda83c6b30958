"""What each key of a hole document is: its words, kind, unit, default and source.

Read from the schema, the nomenclature and the commented template; the template shows every
key, its meaning and its default as a user would write it, and tests hold it to the schema.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Final, Literal, TypeAlias, get_args, get_origin

from pydantic.fields import FieldInfo

from bathybore.base.depth import Depth
from bathybore.base.nomenclature import nomenclature
from bathybore.base.sources import ASSUMED
from bathybore.base.units import UnitSystem, example_unit, from_si, parse_quantity, shown_unit
from bathybore.model.fields import Node, Unit
from bathybore.model.hole import HoleDocument
from bathybore.model.references import declared_in
from bathybore.model.schema_faults import alternatives, step_down
from bathybore.model.yaml_tree import Path, Tree, parse_tree
from bathybore.usecases.showing import in_words

Kind: TypeAlias = Literal[
    "quantity", "depth", "text", "choice", "flag", "count", "reference", "unknown"
]

# lists of designations that catalogues hold, by the place of the field that takes them
_CATALOGUES: Final = {
    "inventory.casing.*.size": "casing",
    "inventory.casing.*.grade": "grades",
    "inventory.pipe.*.size": "pipe",
    "inventory.pipe.*.grade": "grades",
}
_STEPS: Final = frozenset(
    {"plan.step_edits.*.step", "plan.step_edits.*.move_after", "plan.step_edits.*.insert_after"}
)
# '#' and a key without a space between: an optional key of the template, switched off
_SWITCHED_OFF: Final = re.compile(r"(?m)^( *)#(?! \S)")
# '13 3/8 in', '7/8 in', '2.5 1/h', '4.4e-10 1/Pa'
_QUANTITY: Final = re.compile(
    r"^[-+]?(?:\d+[ -]\d+/\d+|\d+/\d+|\d+\.?\d*(?:[eE][-+]?\d+)?)\s+(?P<unit>\D.*|1/.*)$"
)
_LONGEST_EXAMPLE: Final = 60
_COMMENT: Final = re.compile(r"\s#\s+(?P<words>.*)$")


@dataclass(frozen=True)
class Shape:
    """What an annotation asks for, alternatives and optionality taken apart."""

    node: type[Node] | None = None
    item: Any = None  # annotation of the items of a list or dictionary
    of: Literal["field", "block", "list", "dictionary"] = "field"
    kind: Kind = "text"
    unit: str = ""
    choices: tuple[str, ...] = ()
    optional: bool = False


def shape(annotation: Any, metadata: tuple[Any, ...] = ()) -> Shape:
    """Return what an annotation asks for."""
    unit = next((m.si for m in _metadata(annotation, metadata) if isinstance(m, Unit)), "")
    choices: tuple[str, ...] = ()
    kind: Kind = "text"
    plain = list(alternatives(annotation))
    for one in plain:
        if isinstance(one, type) and issubclass(one, Node):
            return Shape(node=one, of="block", optional=type(None) in plain)
        if get_origin(one) in (tuple, dict):
            is_list = get_origin(one) is tuple
            item = get_args(one)[0 if is_list else 1]
            return Shape(item=item, of="list" if is_list else "dictionary")
        if get_origin(one) is Literal:
            choices += tuple(str(word) for word in get_args(one))
            kind = "choice" if kind == "text" else kind
        else:
            kind = _KINDS.get(one, kind)
    return Shape(kind=kind, unit=unit, choices=choices, optional=type(None) in plain)


_KINDS: Final[dict[Any, Kind]] = {Depth: "depth", bool: "flag", int: "count", float: "quantity"}


def _metadata(annotation: Any, metadata: tuple[Any, ...]) -> tuple[Any, ...]:
    found = (*metadata, *getattr(annotation, "__metadata__", ()))
    for one in get_args(annotation):
        found += getattr(one, "__metadata__", ())
    return found


@dataclass(frozen=True)
class FieldTerm:
    """What a field is, wherever it stands.

    Attributes
    ----------
    label : in the field's words
    unit : SI unit of a quantity, '-' of a pure number, empty otherwise
    example_unit : one that a user would naturally write
    example : a value as the template writes it
    default : as a user would write it; empty where there is none
    source : key of the default's source; empty where there is no default
    choices : the words allowed; of a depth, the words allowed instead of one
    choices_from : the list of the form that holds the names or designations to choose from
    """

    label: str
    description: str
    kind: Kind
    unit: str
    example_unit: str
    example: str
    default: str
    source: str
    note: str
    required: bool
    choices: tuple[str, ...]
    choices_from: str


@cache
def field_term(pattern: str, owner: type[Node], name: str, units: UnitSystem) -> FieldTerm:
    """Return what a field of a node is, at a place of the document ('*' is any item)."""
    info = owner.model_fields[name]
    what = shape(info.annotation, tuple(info.metadata))
    default = _default(pattern, name, info, what, units)
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    return FieldTerm(
        label=in_words(name),
        description=_description(pattern, owner, name),
        kind="reference" if names_from(pattern) else what.kind,
        unit="m" if what.kind == "depth" else what.unit,
        example_unit=_unit(pattern, name, what, units),
        example=_example(pattern),
        default=default,
        source=str(extra.get("source", ASSUMED)) if default else "",
        note=str(extra.get("note", "")),
        required=info.is_required(),
        choices=what.choices,
        choices_from=choices_from(pattern),
    )


@cache
def item_term(pattern: str, annotation: Any, units: UnitSystem) -> FieldTerm:
    """Return what a bare value in a list or dictionary is."""
    what = shape(annotation)
    holder = pattern.split(".")[-2]
    return FieldTerm(
        label=in_words(holder),
        description=comment_at(pattern.removesuffix(".*")),
        kind=what.kind,
        unit=what.unit,
        example_unit=_unit(pattern, holder, what, units),
        example=_example(pattern),
        default="",
        source="",
        note="",
        required=True,
        choices=what.choices,
        choices_from=choices_from(pattern),
    )


def _example(pattern: str) -> str:
    written = _written_in_template().get(pattern, "")
    return written if len(written) <= _LONGEST_EXAMPLE else ""


def choices_from(pattern: str) -> str:
    """Return which list of the form a place takes its word from; empty if from none."""
    return names_from(pattern) or _CATALOGUES.get(pattern, "")


def names_from(pattern: str) -> str:
    """Return the list of names that a place must name one of; empty if it names nothing."""
    return "steps" if pattern in _STEPS else declared_in(pattern)


def _description(pattern: str, owner: type[Node], name: str) -> str:
    """Return the template's words on a key, where it stands or where its kind is first met."""
    words = _comments().get(pattern)
    for kind in owner.__mro__:
        words = words or _comments_by_owner().get((kind, name))
    term = nomenclature().get(name)
    return words or owner.model_fields[name].description or (term.meaning if term else "")


def _default(pattern: str, name: str, info: FieldInfo, what: Shape, units: UnitSystem) -> str:
    value = info.default
    if info.is_required() or value is None or not isinstance(value, bool | int | float | str):
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if not isinstance(value, float):
        return str(value)
    in_template = _written_in_template().get(pattern)
    if in_template and units == "metric" and _is_default(in_template, value, what.unit):
        return in_template
    return gate_text(value, what.unit, _unit(pattern, name, what, units))


def _is_default(text: str, value: float, si: str) -> bool:
    """Return whether what the template writes is the default and no other example."""
    return math.isclose(parse_quantity(text, si), value, rel_tol=1e-4, abs_tol=1e-30)


def gate_text(value: float, si: str, unit: str) -> str:
    """Return an SI number as text that the gate reads back."""
    if si == "-":
        return f"{value:.6g}"
    if "^n" in si:
        return f"{value:.6g} {si}"
    return f"{from_si(value, si, unit):.6g} {unit.replace('**', '^')}"


def _unit(pattern: str, name: str, what: Shape, units: UnitSystem) -> str:
    """Return the unit a user would write: the template's, or that of the chosen system."""
    if what.kind == "depth":
        return "m" if units == "metric" else "ft"
    if what.unit in ("", "-"):
        return ""
    if units == "metric":
        written = _written_in_template().get(pattern, "")
        match = _QUANTITY.match(written)
        return (match["unit"] if match else "") or example_unit(what.unit).replace("**", "^")
    term = nomenclature().get(name)
    shown = term.shown_in(units) if term else shown_unit(what.unit, units)
    return shown.replace("**", "^")


# -- the template ------------------------------------------------------------------------------


@cache
def template_tree() -> Tree:
    """Return the template with all its optional keys switched on."""
    return parse_tree(_template_text(), "template")


@cache
def _template_text() -> str:
    text = files("bathybore.data").joinpath("template", "hole.yaml").read_text(encoding="utf-8")
    head, name, body = text.partition("\nname:")
    return head + name + _SWITCHED_OFF.sub(r"\1", body)


def pattern_of(path: Path) -> tuple[str, Any]:
    """Return a path with '*' for every item, and the node that holds its last part."""
    annotation: Any = HoleDocument
    parts, owner = [], None
    for part in path:
        plain = list(alternatives(annotation))
        owner = next((a for a in plain if isinstance(a, type) and issubclass(a, Node)), None)
        annotation, is_field = step_down(annotation, part)
        parts.append(str(part) if is_field else "*")
    return ".".join(parts), owner


@cache
def _written_in_template() -> dict[str, str]:
    """Return the first text that the template gives each place."""
    first: dict[str, str] = {}
    for path, written in template_tree().written.items():
        first.setdefault(pattern_of(path)[0], written)
    return first


@cache
def _comments() -> dict[str, str]:
    lines = _template_text().split("\n")
    found: dict[str, str] = {}
    for path, line in template_tree().lines.items():
        match = _COMMENT.search(lines[line - 1])
        if match and path and isinstance(path[-1], str):
            found.setdefault(pattern_of(path)[0], match["words"])
    return found


@cache
def _comments_by_owner() -> dict[tuple[type[Node], str], str]:
    found: dict[tuple[type[Node], str], str] = {}
    for path in template_tree().lines:
        pattern, owner = pattern_of(path)
        if owner is not None and pattern in _comments():
            found.setdefault((owner, str(path[-1])), _comments()[pattern])
    return found


def comment_at(pattern: str) -> str:
    """Return the template's words on a block, empty if it says nothing."""
    return _comments().get(pattern, "")
