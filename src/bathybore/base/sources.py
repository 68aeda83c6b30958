"""The one bibliography: every source a number or an equation may name."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

ASSUMED: Final = "assumed"
COMMON_PRACTICE: Final = "common-practice"


@dataclass(frozen=True)
class Source:
    """A published work, or one of the two honest stand-ins: assumed, common practice."""

    key: str
    citation: str
    year: int | None = None
    note: str = ""


@cache
def bibliography() -> dict[str, Source]:
    """Return all sources by key, read from sources.toml beside this file."""
    text = files("bathybore.base").joinpath("sources.toml").read_text(encoding="utf-8")
    return {
        key: Source(key, row["citation"], row.get("year"), row.get("note", ""))
        for key, row in tomllib.loads(text).items()
    }


def source(key: str) -> Source:
    """Return the source with this key; an unknown key is a programming error (KeyError)."""
    return bibliography()[key]
