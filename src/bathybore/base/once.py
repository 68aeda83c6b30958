"""Answers kept beside what they were asked of: several checks ask one state for the same."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

Asked = TypeVar("Asked", bound=Callable[..., Any])

_SHELF = "_answers_kept"


def once(function: Asked) -> Asked:
    """Keep a function's answers on its first argument, which must not change, while that lives.

    All arguments count by identity, not by value: they must be objects that the caller keeps, such
    as a state, a casing in place or an array of nodes, never numbers worked out on the spot.
    """

    @wraps(function)
    def kept(first: Any, *rest: Any) -> Any:
        shelf = first.__dict__.get(_SHELF)
        if shelf is None:
            shelf = {}
            object.__setattr__(first, _SHELF, shelf)  # beside the fields of a frozen dataclass
        key = (function, *map(id, rest))
        found = shelf.get(key)
        if found is None:
            # the arguments are kept too: an id means nothing once its object is gone
            found = shelf[key] = (rest, function(first, *rest))
        return found[1]

    return kept  # type: ignore[return-value]
