"""The physics: pure functions of SI floats or arrays, one topic a file.

Every kernel broadcasts over leading axes (realisation, depth). No objects, no
files, no printing. ``load_all`` imports every topic so that the registry is full.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules


def load_all() -> None:
    """Import every topic, so that all published equations are registered."""
    for module in iter_modules(__path__):
        if not module.name.startswith("_"):
            import_module(f"{__name__}.{module.name}")
