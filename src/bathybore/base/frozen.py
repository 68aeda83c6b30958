"""Frozen dataclasses that are made by the thousand an edit."""

from __future__ import annotations

from dataclasses import MISSING, Field, fields
from functools import cache
from typing import TYPE_CHECKING, Any, Final, TypeVar

__all__ = ["changed", "quickly_made"]

T = TypeVar("T")

_POST_INIT: Final = "__post_init__"


def quickly_made(kind: type[T]) -> type[T]:
    """Give a frozen dataclass an ``__init__`` that writes its fields straight where they live.

    The one that `dataclasses` writes for a frozen class goes through ``object.__setattr__``,
    field by field: of an edit of a deep hole that was an eighth of the time. Signature, defaults
    and ``__post_init__`` stay as they were, and nobody can set a field afterwards.

    Raises
    ------
    TypeError
        A field has a factory, or does not go into ``__init__``; or the class has slots.
    """
    told = fields(kind)  # type: ignore[arg-type]
    odd = [one.name for one in told if not one.init or one.default_factory is not MISSING]
    if odd or "__slots__" in vars(kind):
        raise TypeError(f"{kind.__name__}: fields {odd or 'in slots'} cannot be written quickly")
    known = {f"_{one.name}": one.default for one in told if one.default is not MISSING}
    lines = [f"def __init__(self, {', '.join(map(_taken, told))}):", "    _to = self.__dict__"]
    lines += [f"    _to[{one.name!r}] = {one.name}" for one in told]
    if hasattr(kind, _POST_INIT):
        lines.append(f"    self.{_POST_INIT}()")
    made: dict[str, Any] = {}
    exec("\n".join(lines), known, made)  # of our own field names, as dataclasses does it
    init = made["__init__"]
    init.__qualname__ = f"{kind.__qualname__}.__init__"
    init.__annotations__ = kind.__init__.__annotations__
    kind.__init__ = init  # type: ignore[method-assign]
    return kind


def _taken(one: Field[Any]) -> str:
    """Return how a field stands among the parameters."""
    return one.name if one.default is MISSING else f"{one.name}=_{one.name}"


if TYPE_CHECKING:  # so that fields and their types are checked as those of the slow one are
    from dataclasses import replace as changed
else:

    def changed(thing: T, /, **fields: Any) -> T:
        """Return a frozen dataclass object with some fields changed, as `replace` does it.

        ``dataclasses.replace`` looks at every field of the class anew each time, and writes them
        one by one.
        """
        kind, known = type(thing), vars(thing)
        names = _names(kind)
        if len(known) > len(names):  # what it has worked out of its fields is not the other's
            known = {name: known[name] for name in names}
        made = known | fields
        if len(made) > len(names):
            raise TypeError(f"{kind.__name__} has no field {set(fields) - set(names)}")
        new = object.__new__(kind)
        vars(new).update(made)
        if hasattr(kind, _POST_INIT):
            new.__post_init__()
        return new


@cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(one.name for one in fields(kind))
