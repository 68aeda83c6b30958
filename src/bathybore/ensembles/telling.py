"""Telling how far long work is: what is done now, how much of it is done, of how much."""

from __future__ import annotations

from collections.abc import Callable

Told = Callable[[str, int, int], None]  # of how much: 0 where nobody knows


def silent(what: str, done: int, of: int) -> None:
    """Tell nobody."""
