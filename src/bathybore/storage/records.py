"""The rows of the store as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

from bathybore.base.errors import BathyboreError

Kind: TypeAlias = Literal["opened", "edit", "undo", "redo", "restored", "outside"]
Role: TypeAlias = Literal["read", "edit", "sign"]
Place: TypeAlias = tuple[str, ...]


@dataclass(frozen=True)
class Revision:
    """One state of a hole's files, and how it came about.

    Attributes
    ----------
    number : grows by one with every revision of the hole, undo and redo included
    kind : opened (first seen), edit, undo, redo, restored (an earlier one counts again), or
        outside (changed outside the workspace)
    client : which browser of the author's it came from; empty when that is not told
    token : unique text of the change; a change that is sent again is not made again
    at : moment in UTC, ISO 8601
    gesture : edits of one gesture are undone together; empty for an edit by itself
    content : number of the revision that first had these files, its own unless undone or redone
    undo_to : revision whose state undo goes back to; None when there is nothing to undo
    redo_to : revision whose state redo goes on to; None when there is nothing to redo
    replayed : splices between ``content`` and the last full copy of the files
    digest : of the files
    faults : how many the document had in whole, by the rules of then
    places : what was changed, see ``places``
    """

    number: int
    kind: Kind
    author: str
    client: str
    token: str
    at: str
    gesture: str
    label: str
    content: int
    undo_to: int | None
    redo_to: int | None
    replayed: int
    digest: str
    faults: int
    places: tuple[Place, ...]


@dataclass(frozen=True)
class Made:
    """How the files of a revision come about; all None for undo and redo, which repeat others.

    Attributes
    ----------
    edits : as the author asked for them
    splices : by file, what became of the text: ``(start, end, text)`` in characters
    files : the whole text of every file
    """

    edits: list[dict[str, Any]] | None = None
    splices: dict[str, tuple[int, int, str]] | None = None
    files: dict[str, str] | None = None


@dataclass(frozen=True)
class FolderState:
    """Which revision the files of the folder hold.

    Attributes
    ----------
    written : the last that was written out, or read in
    pending : being written; files of this one and of ``written`` are both our own
    """

    written: int
    pending: int | None


@dataclass(frozen=True)
class Account:
    """Somebody who may log in; the password is known by its hash only."""

    name: str
    password_hash: str
    role: Role


@dataclass(frozen=True)
class Session:
    """A login; the token is known by its hash only."""

    token_hash: str
    account: Account
    expires: str


class Conflict(BathyboreError):
    """What is to be changed was changed by another since the author last saw it.

    Attributes
    ----------
    keys : that clash, as the author of the refused edit wrote them
    theirs : the newest revision they clash with
    """

    def __init__(self, keys: tuple[str, ...], theirs: Revision) -> None:
        self.keys = keys
        self.theirs = theirs
        what = ", ".join(keys)
        super().__init__(f"{what}: changed by {theirs.author} in revision {theirs.number}")
