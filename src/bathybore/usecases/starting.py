"""Beginning a hole: a new folder with a commented document and its tables, or nothing at all."""

from __future__ import annotations

import os
import re
import secrets
import shutil
from importlib.resources import files
from pathlib import Path

from bathybore.base.errors import InputErrors
from bathybore.model.editing import read_draft
from bathybore.model.files import shown, shown_path, unreadable

# what may stand beside a document that does not name it: a prognosis and a neighbour's files
_BESIDE = frozenset({".yaml", ".csv", ".las"})
_FILES = ("hole.yaml", "earth.csv", "sea.csv")
_NAME = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 _-]{0,58}[A-Za-z0-9])?")
_TEMPLATE_NAME = re.compile(r"^name: template +", re.MULTILINE)
_COMMENT_COLUMN = 40
# names of devices, which one widespread file system refuses in any folder
_RESERVED = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)", re.IGNORECASE)


def start_hole(parent: Path, name: str) -> Path:
    """Write the folder of a new hole, with an invented plan to change, and return it.

    Raises
    ------
    InputErrors
        The name cannot be that of a folder, something of that name exists, or the
        folder cannot be written. Nothing is left behind then.
    """
    if not _NAME.fullmatch(name) or _RESERVED.fullmatch(name):
        raise InputErrors.one(
            "name",
            f"'{shown(name)}'",
            "letters, digits, spaces, hyphens and underscores, at most 60",
            f"For example '{_suggestion(name)}'.",
        )
    folder = parent / name
    where = shown_path(folder)
    if os.path.lexists(folder):
        raise InputErrors.one(where, "a file or folder of that name", "a new name")
    try:
        _write(parent, folder, _contents(name))
    except (OSError, ValueError) as error:  # ValueError: a zero character in the path
        raise InputErrors([unreadable(where, "a folder that can be written", error)]) from error
    return folder


def demonstration_holes() -> tuple[Path, ...]:
    """Return the folders of the invented demonstration holes, by name.

    An installed package brings them along; in the repository they stand beside the source.

    Raises
    ------
    InputErrors
        They are in neither place.
    """
    package = Path(str(files("bathybore")))
    for examples in (package / "examples", package.parents[1] / "examples"):
        found = tuple(sorted(file.parent for file in examples.glob(f"*/{_FILES[0]}")))
        if found:
            return found
    raise InputErrors.one(
        shown_path(package), "an installation without the demonstration holes", "their folders",
        "Install Bathybore again.",
    )  # fmt: skip


def copy_demonstration(parent: Path) -> tuple[Path, ...]:
    """Copy every demonstration hole whose name is free into a folder, and return the new ones.

    Raises
    ------
    InputErrors
        The folder cannot be written. A hole is there complete or not at all.
    """
    made = []
    for source in demonstration_holes():
        folder = parent / source.name
        if os.path.lexists(folder):
            continue
        try:
            beside = {one.name: one for one in source.iterdir() if one.suffix in _BESIDE}
            others = {name: one.read_text(encoding="utf-8") for name, one in beside.items()}
            _write(parent, folder, {**others, **read_draft(source).files.texts})
        except OSError as error:
            where = shown_path(folder)
            raise InputErrors([unreadable(where, "a folder that can be written", error)]) from error
        made.append(folder)
    return tuple(made)


def _suggestion(name: str) -> str:
    words = re.findall(r"[A-Za-z0-9]+", name)
    suggested = "-".join(words)[:40].strip("-")
    return "new-hole" if not suggested or _RESERVED.fullmatch(suggested) else suggested


def _contents(name: str) -> dict[str, str]:
    """Return the text of every file of the new hole."""
    template = files("bathybore.data").joinpath("template")
    texts = {file: template.joinpath(file).read_text(encoding="utf-8") for file in _FILES}
    # in quotes, for a hole called 1234 or true; padded, so that the comment beside it stays put
    named = f'name: "{name}"'.ljust(_COMMENT_COLUMN - 1) + " "
    texts["hole.yaml"] = _TEMPLATE_NAME.sub(named, texts["hole.yaml"], count=1)
    return texts


def _write(parent: Path, folder: Path, contents: dict[str, str]) -> None:
    """Write beside the place and move there in one go: a half-written hole never exists."""
    draft = parent / f".new-hole-{secrets.token_hex(8)}"
    draft.mkdir()
    try:
        for file, text in contents.items():
            (draft / file).write_text(text, encoding="utf-8", newline="\n")
        draft.rename(folder)
    except BaseException:
        shutil.rmtree(draft, ignore_errors=True)
        raise
