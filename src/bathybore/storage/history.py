"""The files of a hole at every revision: full copies now and then, and what changed between.

Between two full copies a revision keeps which characters of which file were replaced by what.
That, and not the edits, is what files are made from again: it does not depend on how a later
Bathybore places an edit in a text. The edits are kept beside it, to tell what was asked for.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.model.editing import HoleFiles
from bathybore.model.files import shown
from bathybore.storage.records import Made
from bathybore.storage.store import Store

COPY_EVERY: Final = 50  # revisions between full copies of the files

Splice = tuple[int, int, str]


def digest_of(files: HoleFiles) -> str:
    """Return a digest of the names and texts of the files.

    Raises
    ------
    InputErrors
        A text that cannot be written as UTF-8.
    """
    told = hashlib.sha256()
    for name, text in sorted(files.texts.items()):
        try:
            data = text.encode()
        except UnicodeEncodeError as error:
            line = text[: error.start].count("\n") + 1
            found = f"half of a character, {text[error.start]!a}"
            raise InputErrors.one(f"{name}, line {line}", found, "whole characters") from error
        told.update(f"{len(name)} {name} {len(data)} ".encode())
        told.update(data)
    return told.hexdigest()


def splices_between(before: HoleFiles, after: HoleFiles) -> dict[str, Splice] | None:
    """Return what to replace in each changed file; None when a file came or went."""
    if before.texts.keys() != after.texts.keys():
        return None
    return {
        name: _splice(old, after.texts[name])
        for name, old in before.texts.items()
        if old != after.texts[name]
    }


def spliced(files: HoleFiles, splices: Mapping[str, Splice]) -> HoleFiles:
    """Return files with a part of some replaced."""
    texts = dict(files.texts)
    for name, (start, end, text) in splices.items():
        texts[name] = texts[name][:start] + text + texts[name][end:]
    return HoleFiles(texts)


def _splice(old: str, new: str) -> Splice:
    start = _same(old, new)
    # reversed only behind the common beginning: 'aa' to 'aaa' must not count an 'a' twice
    end = _same(old[start:][::-1], new[start:][::-1])
    return start, len(old) - end, new[start : len(new) - end]


def _same(one: str, other: str) -> int:
    """Return the length of the common beginning, by halving: comparing slices is fast."""
    low, high = 0, min(len(one), len(other))
    while low < high:
        middle = (low + high + 1) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low


def files_at(store: Store, hole: str, number: int) -> HoleFiles:
    """Return the files of a revision, made again and checked against their digest.

    Raises
    ------
    InputErrors
        There is no such revision, or the store does not give back what was put into it.
    """
    wanted = store.revision(hole, number)
    chain: list[Mapping[str, Splice]] = []
    at = wanted.content
    made = store.made(hole, at)
    while made.files is None:
        if made.splices is None or at <= 1:
            raise _spoilt(hole, at)
        chain.append(made.splices)
        at = store.revision(hole, at - 1).content
        made = store.made(hole, at)
    files = HoleFiles(made.files)
    for splices in reversed(chain):
        files = spliced(files, splices)
    if digest_of(files) != wanted.digest:
        raise _spoilt(hole, number)
    return files


def made_by(
    before: HoleFiles, after: HoleFiles, replayed: int, edits: list[dict[str, object]] | None
) -> tuple[Made, int]:
    """Return what to keep of new files, and how many splices they are from a full copy."""
    splices = splices_between(before, after)
    if splices is None or replayed + 1 >= COPY_EVERY:
        return Made(edits, None, dict(after.texts)), 0
    return Made(edits, splices), replayed + 1


def _spoilt(hole: str, number: int) -> InputErrors:
    return InputErrors.one(
        f"{shown(hole)}, revision {number}",
        "files in the store that are not those that were put into it",
        "the same bytes",
        "Restore the store from a copy, or move it away to begin anew with the folder's files.",
    )
