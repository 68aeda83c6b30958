"""The texts of a hole's files, and the way back to the disk: whole files or none, never half."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from bathybore.base.errors import Fault, InputErrors
from bathybore.model.files import refuse_halves, shown, shown_path, unreadable

HOLE_FILE: Final = "hole.yaml"
UNCERTAINTY_FILE: Final = "uncertainty.yaml"  # may stand beside it


@dataclass(frozen=True)
class HoleFiles:
    """The texts of a hole's files by name; that of the document is always hole.yaml.

    Tables that the document names belong to it, and what is said to be uncertain, if anything is.
    """

    texts: Mapping[str, str]


def stands_beside(file: str) -> bool:
    """Return whether a name is that of a file beside the document and not of a path."""
    return file not in ("", ".", "..") and not any(sign in file for sign in "/\\\x00")


def name_to_keep(folder: Path, name: str) -> str:
    """Return NAME.before, or the first NAME.before-2, -3 … that is free: nothing kept is lost."""
    wanted, number = f"{name}.before", 1
    while (folder / wanted).exists():
        number += 1
        wanted = f"{name}.before-{number}"
    return wanted


def write_files(folder: Path, files: HoleFiles, expected: HoleFiles) -> None:
    """Write what differs from the files on disk, each beside its place and then moved there.

    Parameters
    ----------
    expected : what the folder is to hold now; files it does not name are not to be there

    Raises
    ------
    InputErrors
        The folder holds something else, which would be lost, or cannot be written.
        Nothing is written then.
    """
    data = {name: _encoded(name, text) for name, text in files.texts.items()}
    held = {name: _encoded(name, text) for name, text in expected.texts.items()}
    changed = {name: new for name, new in data.items() if held.get(name) != new}
    # a table that is not named any more may stay; this file counts by being there
    gone = [UNCERTAINTY_FILE] if UNCERTAINTY_FILE in held.keys() - data.keys() else []
    moves: list[tuple[Path, Path]] = []
    try:
        _refuse_other(folder, held, [*held, *(name for name in data if name not in held)])
        for name, new in changed.items():
            moves.append((_written_beside(folder / name, new), folder / name))
        _refuse_other(folder, held, [*changed, *gone])  # writing took its time
        for draft, place in moves:
            draft.replace(place)
        for name in gone:
            (folder / name).unlink()
        _settle(folder)
    except (OSError, ValueError) as error:
        where = shown_path(folder)
        raise InputErrors([unreadable(where, "a folder that can be written", error)]) from error
    finally:
        for draft, _ in moves:
            draft.unlink(missing_ok=True)


def _encoded(name: str, text: str) -> bytes:
    if not stands_beside(name):
        expected = "the name of a file beside the hole document"
        raise InputErrors.one(shown(name), "a path", expected)
    return refuse_halves(text, shown(name)).encode("utf-8")


def _refuse_other(folder: Path, held: Mapping[str, bytes], names: list[str]) -> None:
    faults = []
    for name in names:
        try:
            found: bytes | None = (folder / name).read_bytes()
        except FileNotFoundError:
            found = None
        if found != held.get(name):
            told = "no such file" if found is None else "other content than it was left with"
            wanted = "the file as it was read" if name in held else "no such file yet"
            fix = "It was changed outside; read the folder again."
            faults.append(Fault(shown_path(folder / name), told, wanted, fix))
    if faults:
        raise InputErrors(faults)


def _written_beside(place: Path, data: bytes) -> Path:
    """Write a new file in the folder of ``place``, with its permissions, down to the disk."""
    draft = place.with_name(f".{place.name[:100]}-{secrets.token_hex(8)}")
    try:
        with draft.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if place.exists():
            shutil.copymode(place, draft)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise
    return draft


def _settle(folder: Path) -> None:
    """Ask the disk to keep the names as well, where the system can."""
    if hasattr(os, "O_DIRECTORY"):
        handle = os.open(folder, os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
