"""The folder of holes that a server serves: which there are, opening and beginning them."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TypeAlias

from bathybore.base.errors import InputErrors
from bathybore.model.editing import Draft, read_draft
from bathybore.model.files import folder_exists, shown, shown_path
from bathybore.model.hole_files import HOLE_FILE
from bathybore.storage.desk import Desk
from bathybore.storage.store import Store
from bathybore.usecases.starting import copy_demonstration, start_hole

STORE_FOLDER: Final = ".bathybore"
STORE_FILE: Final = "store.sqlite"


Stamp: TypeAlias = tuple[tuple[str, int, int], ...]


class UnknownHole(InputErrors):
    """No hole of that name is in the workspace."""


@dataclass(frozen=True)
class HoleEntry:
    """One hole in the list.

    Attributes
    ----------
    id : name of its folder
    name : as the document says; the folder's while that cannot be read
    fault : the first thing wrong with it, empty when nothing is
    """

    id: str
    name: str
    invented: bool
    fault: str


class Workspace:
    """The holes in a folder, or the one hole that the folder is.

    Nothing outside the folder is ever read or written: an id counts only when it is the name
    of a hole's folder that was found by looking, and links that lead out are refused.

    Parameters
    ----------
    store : the one in the folder when left out

    Raises
    ------
    InputErrors
        The folder is none, or its store cannot be used; see ``Store``.
    """

    def __init__(self, folder: Path, store: Store | None = None) -> None:
        _must_be_folder(folder)
        self.folder = folder.resolve()
        self.single = _is_hole(self.folder)
        self.store = store or store_in(self.folder)
        self._desks: dict[str, Desk] = {}
        self._entries: dict[str, tuple[Stamp, HoleEntry]] = {}
        self._lock = threading.Lock()

    def holes(self) -> tuple[HoleEntry, ...]:
        """Return every hole, by name of its folder."""
        return tuple(self._entry(folder) for folder in self._folders())

    def open(self, hole: str) -> Desk:
        """Return the desk of a hole, always the same one.

        Raises
        ------
        UnknownHole
            No hole of the workspace has that id.
        InputErrors
            Its files cannot be read.
        """
        with self._lock:
            if hole not in self._desks:
                folder = self._folder_of(hole)
                _refuse_ways_out(folder)
                self._desks[hole] = Desk(self.store, folder)
            return self._desks[hole]

    def create(self, name: str) -> str:
        """Begin a hole with an invented plan to change, and return its id."""
        self._must_hold_holes()
        return start_hole(self.folder, name).name

    def add_demonstration(self) -> tuple[str, ...]:
        """Copy the invented demonstration holes here, over nothing; return the ids of the new."""
        self._must_hold_holes()
        return tuple(folder.name for folder in copy_demonstration(self.folder))

    def close(self) -> None:
        """Write the files of every open hole and close the store."""
        with self._lock:
            for desk in self._desks.values():
                desk.close()
            self._desks.clear()
            self.store.close()

    def _must_hold_holes(self) -> None:
        if self.single:
            found = "the folder of one hole"
            fix = "Start the workspace with the folder above it."
            raise InputErrors.one(shown_path(self.folder), found, "a folder of holes", fix)

    def _folders(self) -> Iterator[Path]:
        if self.single:
            yield self.folder
            return
        for folder in sorted(self.folder.iterdir()):
            # a link would give one hole two ids, or lead out
            if not folder.name.startswith(".") and not folder.is_symlink() and _is_hole(folder):
                yield folder

    def _folder_of(self, hole: str) -> Path:
        folders = {folder.name: folder for folder in self._folders()}
        if hole not in folders:
            known = ", ".join(folders) or "none yet"
            raise UnknownHole.one("hole", f"'{shown(hole)}'", f"one in the workspace: {known}")
        return folders[hole]

    def _entry(self, folder: Path) -> HoleEntry:
        desk = self._desks.get(folder.name)
        if desk is not None:
            return _entry_of(folder.name, desk.draft)
        stamp = _stamp(folder)
        known = self._entries.get(folder.name)
        if known is None or known[0] != stamp:
            known = self._entries[folder.name] = (stamp, _read_entry(folder))
        return known[1]


def _read_entry(folder: Path) -> HoleEntry:
    try:
        _refuse_ways_out(folder)
        draft = read_draft(folder)
    except InputErrors as error:
        return HoleEntry(folder.name, folder.name, False, str(error.faults[0]))
    return _entry_of(folder.name, draft)


def _stamp(folder: Path) -> Stamp:
    """Return what changes when a file of the folder does: reading a whole hole takes its time."""
    looks = []
    for path in folder.iterdir():
        with suppress(FileNotFoundError):  # a file that was there a moment ago
            look = path.lstat()
            looks.append((path.name, look.st_mtime_ns, look.st_size))
    return tuple(sorted(looks))


def _entry_of(hole: str, draft: Draft) -> HoleEntry:
    if draft.hole is None:
        return HoleEntry(hole, hole, False, str(draft.faults[0]))
    document = draft.hole.document
    return HoleEntry(hole, document.name, document.invented, "")


def _is_hole(folder: Path) -> bool:
    return folder_exists(folder) and (folder / HOLE_FILE).is_file()


def _refuse_ways_out(folder: Path) -> None:
    """Refuse a hole with a file that is a link to somewhere outside its folder."""
    for path in folder.iterdir():
        if path.is_symlink() and not path.resolve().is_relative_to(folder.resolve()):
            raise InputErrors.one(
                f"{folder.name}/{shown(path.name)}",
                "a link that leads out of the hole's folder",
                "a file",
                "Put a copy of the file in its place.",
            )


def store_in(folder: Path, *, serving: bool = True) -> Store:
    """Open the store of a folder of holes, and make it when there is none yet.

    What it holds is neither for other people nor for version control.

    Parameters
    ----------
    serving : see ``Store``

    Raises
    ------
    InputErrors
        The folder is none, or cannot be written; see ``Store``.
    """
    _must_be_folder(folder)
    kept = folder / STORE_FOLDER
    if kept.is_symlink():
        raise InputErrors.one(shown_path(kept), "a link", "a folder")
    try:
        kept.mkdir(mode=0o700, exist_ok=True)
        ignored = kept / ".gitignore"
        if not ignored.exists():
            ignored.write_text("*\n", encoding="utf-8")
    except OSError as error:
        where, found = shown_path(kept), f"a folder that cannot be written ({error.strerror})"
        fix = "Check who may write there."
        raise InputErrors.one(where, found, "a place for the store", fix) from error
    return Store(kept / STORE_FILE, serving=serving)


def _must_be_folder(folder: Path) -> None:
    if not folder_exists(folder):
        raise InputErrors.one(shown_path(folder), "no such folder", "the folder of your holes")
