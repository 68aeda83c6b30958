"""The files in a hole's folder as the store last knew them: ours, or changed by another hand."""

from __future__ import annotations

import os
import re
import time
from pathlib import Path
from typing import Final, TypeAlias

from bathybore.base.errors import InputErrors
from bathybore.model.editing import Draft, HoleFiles, read_draft, write_files
from bathybore.model.loading import read_table_text
from bathybore.storage.history import files_at
from bathybore.storage.store import Store

_SETTLED: Final = 0.3  # [s] an editor may take to write a file that was found changed

_SUFFIXES: Final = (".yaml", ".csv")
# what is left of a file that was being written beside its place
_HALF_WRITTEN: Final = re.compile(r"\.((hole|uncertainty)\.yaml|.+\.csv)-[0-9a-f]{16}")
_Look: TypeAlias = tuple[tuple[str, int, int, int], ...]


class Mirror:
    """Knows which files the folder holds; not safe for use from several threads at once.

    Attributes
    ----------
    files : in the folder, as they were last read or written
    """

    files: HoleFiles

    def __init__(self, store: Store, hole: str, folder: Path) -> None:
        self._store = store
        self._hole = hole
        self._folder = folder
        self._look: _Look = ()
        self._own: tuple[HoleFiles, ...] = ()
        self._written = 0

    def load(self) -> None:
        """Take from the store what the folder should hold; clear up after a sudden end."""
        for path in self._folder.iterdir():
            if _HALF_WRITTEN.fullmatch(path.name):
                path.unlink()
        state = self._store.folder(self._hole)
        numbers = (state.written, *(() if state.pending is None else (state.pending,)))
        self._own = tuple(files_at(self._store, self._hole, number) for number in numbers)
        self._written = state.written
        self.files = self._own[0]

    def read(self) -> Draft:
        """Return what stands in the folder.

        Raises
        ------
        InputErrors
            A file is missing or cannot be read.
        """
        self._see()  # before reading: a change right after it is seen the next time
        return read_draft(self._folder)

    def is_own(self, files: HoleFiles) -> bool:
        """Return whether files found in the folder were all written from here.

        A server cut off while writing leaves some files new and some old: both are ours.
        """
        texts = dict(files.texts)
        for name in self._own[0].texts.keys() - texts.keys():
            text = self._unasked(name)
            if text is not None:
                texts[name] = text
            elif len(self._own) == 1:
                return False  # taken away; while being written it may not be there yet
        own = all(
            any(mine.texts.get(name) == text for mine in self._own) for name, text in texts.items()
        )
        if own:
            self.files = HoleFiles(texts)
        return own

    def _unasked(self, name: str) -> str | None:
        """Return the text of a file that the document does not name any more."""
        try:
            return read_table_text(self._folder, name)
        except InputErrors:
            return None

    def holds(self, number: int, files: HoleFiles, *, told: bool = False) -> None:
        """Note that the folder holds a revision; ``told``: the store knows already."""
        if not told:
            self._store.set_folder(self._hole, number, None)
        self._written, self.files, self._own = number, files, (files,)

    def write(self, number: int, files: HoleFiles) -> None:
        """Write the files of a revision, unless they are there.

        Raises
        ------
        InputErrors
            The folder does not hold what it should, or cannot be written.
        """
        if files == self.files:
            return
        # said before it is done, so that half of it is known for ours after a crash
        self._store.set_folder(self._hole, self._written, number)
        self._own = (self._own[0], files)
        write_files(self._folder, files, self.files)
        self.holds(number, files)
        self._see()

    def stirred(self) -> bool:
        """Return whether a file was touched since it was read or written, and is at rest now."""
        look = _look_at(self._folder)
        if look == self._look:
            return False
        touched = max((changed for _, changed, _, _ in look), default=0)
        # a time ahead of our clock comes from another machine: there is no waiting for it
        return not 0 <= time.time() - touched / 1e9 < _SETTLED

    def look_again(self) -> None:
        """Take the files for touched, whatever they look like."""
        self._look = ()

    def _see(self) -> None:
        self._look = _look_at(self._folder)


def _look_at(folder: Path) -> _Look:
    """Return what changes when a file of a hole is written, added or taken away."""
    try:
        with os.scandir(folder) as entries:
            return tuple(sorted(_stat_of(e) for e in entries if e.name.endswith(_SUFFIXES)))
    except OSError:
        return ()


def _stat_of(entry: os.DirEntry[str]) -> tuple[str, int, int, int]:
    try:
        status = entry.stat()
    except OSError:  # gone again, or a link that leads nowhere
        return entry.name, 0, 0, 0
    return entry.name, status.st_mtime_ns, status.st_size, status.st_ino
