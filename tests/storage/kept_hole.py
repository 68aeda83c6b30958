"""A hole on disk with its store, opened and opened again as a server would."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from bathybore.model.editing import Edit
from bathybore.storage.desk import Desk
from bathybore.storage.store import Store

EXAMPLES: Final = Path(__file__).parents[2] / "examples"
DENSITY: Final = "plan.fluids[pad-mud].density"
SHOE: Final = "plan.sections[0].casing.shoe"
CEMENT_TOP: Final = "plan.sections[0].casing.cement.top"
TARGET_RADIUS: Final = "site.target_radius"
LONG: Final = 3600.0  # [s] of quiet that no test waits for


def copied(parent: Path, example: str = "riserless") -> Path:
    """Return a copy of an example's folder."""
    return Path(shutil.copytree(EXAMPLES / example, parent / example))


@contextmanager
def opened(folder: Path, quiet: float = LONG) -> Iterator[Desk]:
    """Open a hole as a server does that starts, and close it as one that ends."""
    store = Store(folder.parent / "store.sqlite")
    try:
        desk = Desk(store, folder, quiet=quiet)
        try:
            yield desk
        finally:
            desk.close()
    finally:
        store.close()


def set_to(key: str, text: str) -> Edit:
    return Edit("set", key, text)


def density(sg: float) -> Edit:
    return set_to(DENSITY, f"{sg:.3f} sg")


def document(folder: Path) -> str:
    return (folder / "hole.yaml").read_bytes().decode()


def rewrite(folder: Path, old: str, new: str, file: str = "hole.yaml") -> None:
    """Change a file as another program would."""
    text = (folder / file).read_bytes().decode()
    assert text.count(old) == 1, old
    (folder / file).write_bytes(text.replace(old, new).encode())
