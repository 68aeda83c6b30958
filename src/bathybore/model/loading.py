"""The way in for files: a hole folder becomes a Hole, or every fault in it is told at once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from bathybore.base.errors import Fault, InputErrors
from bathybore.base.keeping import FEW, kept
from bathybore.model import csv_tables
from bathybore.model.files import folder_exists, read_text, shown, shown_path
from bathybore.model.hole import Hole
from bathybore.model.hole_files import HOLE_FILE, stands_beside
from bathybore.model.reading import TABLES, read_hole, table_file
from bathybore.model.yaml_tree import MOST_BYTES, Tree, parse_tree


def load_hole(path: Path) -> Hole:
    """Read a hole: a folder with hole.yaml in it, or such a file under another name.

    Raises
    ------
    InputErrors
        All that is wrong with the document, its tables and how they fit together,
        each with file, line and key. Whatever a user's files hold, nothing else is raised.
    """
    file = document_file(path)
    text = read_text(file, MOST_BYTES, "a hole document")
    return _hole_of(file.name, text, tuple(_tables(file.parent, parse_tree(text, file.name))))


def _tables(folder: Path, tree: Tree) -> Iterator[tuple[str, str | tuple[Fault, ...]]]:
    """Yield each table's file and its text, or why it cannot be read."""
    for name in TABLES:
        file = table_file(name, tree)
        if isinstance(file, str) and stands_beside(file):
            try:
                yield file, read_table_text(folder, file)
            except InputErrors as error:
                yield file, error.faults


@kept(FEW)
def _hole_of(name: str, text: str, tables: tuple[tuple[str, str | tuple[Fault, ...]], ...]) -> Hole:
    """Return the hole of some texts: the same files are the same hole."""
    texts = dict(tables)

    def text_of(file: str) -> str:
        found = texts[file]
        if isinstance(found, str):
            return found
        raise InputErrors(found)

    reading = read_hole(parse_tree(text, name), text_of)
    if reading.hole is None:
        raise InputErrors(reading.faults)
    return reading.hole


def read_table_text(folder: Path, file: str) -> str:
    """Return the text of a table that stands beside the document."""
    return read_text(folder / file, csv_tables.MOST_BYTES, "a CSV table", file)


def document_file(path: Path) -> Path:
    """Return the file of the document in a folder, or of that name."""
    if folder_exists(path):
        file = path / HOLE_FILE
        if not _exists(file):
            raise InputErrors.one(
                shown_path(path),
                f"a folder without {HOLE_FILE}",
                "the folder of a hole",
                "Begin one with 'bathybore new'.",
            )
        return file
    if path.suffix not in (".yaml", ".yml"):
        missing = "" if _exists(path) else "no such file or folder, "
        raise InputErrors.one(
            shown_path(path), f"{missing}'{shown(path.name)}'", "a folder or a .yaml file"
        )
    return path


def _exists(path: Path) -> bool:
    """Return whether something stands at a path, even if it cannot be opened."""
    try:
        path.lstat()
    except FileNotFoundError:
        return False
    except (OSError, ValueError):
        return True
    return True
