"""The way in for files: a hole folder becomes a Hole, or every fault in it is told at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import astuple
from itertools import islice
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from bathybore.base.errors import Fault, InputErrors
from bathybore.model.crosschecks import document_faults, table_faults
from bathybore.model.csv_tables import read_table
from bathybore.model.designations import designation_faults, fit_faults
from bathybore.model.fields import place
from bathybore.model.files import folder_exists, printable, read_text, shown, shown_path
from bathybore.model.hole import Hole, HoleDocument
from bathybore.model.references import reference_faults
from bathybore.model.schema_faults import schema_faults, where
from bathybore.model.tables import EARTH_COLUMNS, SEA_COLUMNS, ProfileTable
from bathybore.model.yaml_tree import MOST_BYTES, Tree, parse_tree

HOLE_FILE: Final = "hole.yaml"
_MOST_FAULTS: Final = 100
_TABLES: Final[dict[str, Mapping[str, tuple[str, bool]]]] = {
    "earth": EARTH_COLUMNS,
    "sea": SEA_COLUMNS,
}


def load_hole(path: Path) -> Hole:
    """Read a hole: a folder with hole.yaml in it, or such a file under another name.

    Raises
    ------
    InputErrors
        All that is wrong with the document, its tables and how they fit together,
        each with file, line and key. Whatever a user's files hold, nothing else is raised.
    """
    file = _document_file(path)
    tree = parse_tree(read_text(file, MOST_BYTES, "a hole document"), file.name)
    faults = _first(reference_faults(tree))
    document: HoleDocument | None = None
    try:
        document = HoleDocument.model_validate(tree.content)
    except ValidationError as error:
        faults += _first(schema_faults(error, tree))
    else:
        place(document, file.name, "", tree.lines)
    tables = {name: _table(name, tree, file.parent, faults) for name in _TABLES}
    earth, sea = tables["earth"], tables["sea"]
    if document is not None:
        faults += _first(document_faults(document))
        faults += _first(designation_faults(document))
        faults += _first(fit_faults(document))
    if document is not None and earth is not None and sea is not None:
        faults += _first(table_faults(document, earth, sea))
        if not faults:
            return Hole(document, earth, sea)
    faults.sort(key=lambda fault: _order(fault, tree.file))
    if len(faults) > _MOST_FAULTS:
        more = Fault(tree.file, f"more than {_MOST_FAULTS} faults", "none", "Mend these first.")
        faults = [*faults[:_MOST_FAULTS], more]
    raise InputErrors(Fault(*map(printable, astuple(fault))) for fault in faults)


def _first(faults: Iterator[Fault]) -> list[Fault]:
    """Take no more faults than are told: looking for likely spellings takes its time."""
    return list(islice(faults, _MOST_FAULTS + 1))


def _order(fault: Fault, document: str) -> tuple[bool, str, int]:
    """Sort faults as a user goes through the files: the document down its lines, then tables."""
    file, _, rest = fault.where.partition(", line ")
    line = rest.partition(",")[0]
    return file != document, file, int(line) if line.isdigit() else 0


def _document_file(path: Path) -> Path:
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


def _table(name: str, tree: Tree, folder: Path, faults: list[Fault]) -> ProfileTable | None:
    """Read one of the tables beside the document, adding to the faults what is wrong with it."""
    key = ("site", name)
    file = _field(tree, key, HoleDocument.model_fields["site"].annotation)
    if not isinstance(file, str):
        return None  # the schema tells
    if file in ("", ".", "..") or "/" in file or "\\" in file or "\x00" in file:
        expected = "the name of a file beside the hole document"
        faults.append(Fault(where(tree, key), f"'{shown(file)}'", expected))
        return None
    try:
        return read_table(folder / file, _TABLES[name])
    except InputErrors as error:
        faults += error.faults
        return None


def _field(tree: Tree, key: tuple[str, ...], owner: Any) -> Any:
    """Return what a key holds, or its default where it was left out."""
    try:
        return tree.at(key)
    except KeyError:
        return owner.model_fields[key[-1]].default
