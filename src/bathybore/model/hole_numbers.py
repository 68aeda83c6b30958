"""Any number of a hole document by its path, items of lists by their name or index."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import Any, Final, get_args

from pydantic.fields import FieldInfo

from bathybore.base.depth import Depth
from bathybore.base.errors import InputErrors, nearest
from bathybore.model.fields import Node, Unit
from bathybore.model.files import shown
from bathybore.model.hole import HoleDocument
from bathybore.model.laws import Bounds

_MOST_NAMES: Final = 25


@dataclass(frozen=True)
class HoleNumber:
    """A number of a hole document.

    Attributes
    ----------
    key : as origins spell it, 'plan.sections[1].flow_rate'
    unit : SI
    planned : as the document has it [SI]
    whole : a count
    """

    key: str
    unit: str
    planned: float
    bounds: Bounds
    whole: bool = False


def number_at(document: HoleDocument, path: str, where: str) -> HoleNumber:
    """Return the number at a path: 'plan.sections.section-1712.flow_rate'.

    Parameters
    ----------
    where : the path was written, for errors

    Raises
    ------
    InputErrors
        There is no number: the nearest names that there are.
    """
    owner: Any = document
    field: tuple[Node, str] = (document, "name")
    key, rest = "", path
    while rest:
        known = _known(owner)
        name = _longest(rest, known)
        if name is None:
            raise _no_such(rest, known, where, key)
        if isinstance(owner, Node):
            field = (owner, name)
            key += f".{name}" if key else name
        else:
            key += f"[{known[name]}]"
        owner = _below(owner, known[name])
        rest = _behind(rest, name)
    return _number(owner, *field, key, where)


def number_paths(document: HoleDocument) -> tuple[str, ...]:
    """Return the path of every number of a document, as `number_at` takes it."""
    return tuple(_paths(document, ""))


def _paths(owner: Any, path: str) -> Iterator[str]:
    if isinstance(owner, bool | str | Depth) or owner is None:
        return
    if isinstance(owner, int | float):
        yield path
        return
    known = _known(owner)
    named = {part: name for name, part in known.items()}  # an item by its name, if it has one
    for part, name in named.items():
        yield from _paths(_below(owner, part), f"{path}.{name}" if path else name)


def _known(owner: Any) -> dict[str, str | int]:
    """Return what may stand next in a path, and the field, key or index it means."""
    if isinstance(owner, Node):
        return {name: name for name in type(owner).model_fields}
    if isinstance(owner, dict):
        return {name: name for name in owner}
    if isinstance(owner, tuple):
        known: dict[str, str | int] = {str(index): index for index in range(len(owner))}
        names = [getattr(item, "name", None) for item in owner]
        known |= {n: i for i, n in enumerate(names) if isinstance(n, str) and names.count(n) == 1}
        return known
    return {}


def _below(owner: Any, part: str | int) -> Any:
    return getattr(owner, str(part)) if isinstance(owner, Node) else owner[part]


def _longest(rest: str, known: dict[str, str | int]) -> str | None:
    """Return the longest name that a path can begin with, whether after a dot or in brackets."""
    bracket = rest.startswith("[")
    begun = rest[1:] if bracket or rest.startswith(".") else rest
    fitting = [
        name
        for name in known
        if begun.startswith(name)
        and (begun[len(name) :][:1] == "]" if bracket else begun[len(name) :][:1] in ("", ".", "["))
    ]
    return max(fitting, key=len, default=None)


def _behind(rest: str, name: str) -> str:
    lead = 1 if rest[0] in ".[" else 0
    return rest[lead + len(name) + (1 if rest[0] == "[" else 0) :]


def _no_such(rest: str, known: dict[str, str | int], where: str, key: str) -> InputErrors:
    word = rest.lstrip(".[").partition(".")[0].partition("[")[0].rstrip("]")
    under = f"of {key}" if key else "of the hole document"
    fix = nearest(word[:100], known)
    if not fix and known:
        more = ", …" if len(known) > _MOST_NAMES else ""
        fix = f"There are: {', '.join(list(known)[:_MOST_NAMES])}{more}."
    found = f"'{shown(word)}', of which there is none"
    return InputErrors.one(where, found, f"a number {under}", fix)


def _number(value: Any, node: Node, field: str, key: str, where: str) -> HoleNumber:
    if isinstance(value, Depth):
        fix = "Depths are decided in the plan; how a crew moves them is what the odds follow."
        raise InputErrors.one(where, f"{key}, a depth", "a number of the hole document", fix)
    if value is None:
        fix = f"Write a number at {key} in hole.yaml first: that is what is planned."
        raise InputErrors.one(where, f"{key}, which is not given", "a number", fix)
    if isinstance(value, str | bool):
        raise InputErrors.one(where, f"{key}, no number", "a number of the hole document")
    if not isinstance(value, int | float):
        names = ", ".join(list(_known(value))[:_MOST_NAMES])
        found, fix = f"{key or 'nothing'}, a block of keys", f"Go on with one of: {names}."
        raise InputErrors.one(where, found, "a number of the hole document", fix if names else "")
    marks = list(_marks(type(node).model_fields[field]))
    unit = next((mark.si for mark in marks if isinstance(mark, Unit)), "-")
    return HoleNumber(key, unit, float(value), _bounds(marks), isinstance(value, int))


def _marks(info: FieldInfo) -> list[Any]:
    """Return unit and bounds of a field, those inside an optional or a table of names included."""
    marks: list[Any] = []
    parts = [info.metadata, *(getattr(a, "__metadata__", ()) for a in get_args(info.annotation))]
    for part in parts:
        for entry in part:
            marks += entry.metadata if isinstance(entry, FieldInfo) else [entry]
    return marks


def _bounds(marks: list[Any]) -> Bounds:
    ends = {
        name: float(getattr(mark, name))
        for mark in marks
        for name in ("gt", "ge", "lt", "le")
        if getattr(mark, name, None) is not None
    }
    return Bounds(
        ends.get("gt", ends.get("ge", -inf)),
        ends.get("lt", ends.get("le", inf)),
        open_below="gt" in ends,
        open_above="lt" in ends,
    )
