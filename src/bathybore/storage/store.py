"""The store: revisions, signatures, accounts and sessions in one SQLite file.

All SQL of Bathybore stands in this module, and it is plain enough for another engine to be
added by URL. One connection, one lock: a call either is durable when it returns or raises and
has changed nothing.

Every commit is synced to the disk before it returns (``synchronous=FULL`` with a write-ahead
log). That costs 0.3 to 4 ms on the disks it was measured on, little beside an edit, and it is
what lets a server be cut off at any moment without losing an edit it has acknowledged.
"""

from __future__ import annotations

import json
import os
import sqlite3
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import astuple
from pathlib import Path
from typing import Any, Final, cast

from bathybore.base.errors import InputErrors
from bathybore.model.files import shown, shown_path
from bathybore.storage.records import (
    Account,
    FolderState,
    Made,
    Revision,
    Role,
    Session,
)
from bathybore.usecases.signing import Signature

VERSION: Final = 1
_PREFIX: Final = "sqlite:///"
_PATIENCE: Final = 5.0  # [s] to wait for another process that is writing
_WHAT: Final = "a store of Bathybore"

_SCHEMA: Final = """
CREATE TABLE schema_version (version INTEGER NOT NULL);
CREATE TABLE revision (
    hole TEXT NOT NULL, number INTEGER NOT NULL, kind TEXT NOT NULL,
    author TEXT NOT NULL, client TEXT NOT NULL, token TEXT NOT NULL, at TEXT NOT NULL,
    gesture TEXT NOT NULL, label TEXT NOT NULL,
    content INTEGER NOT NULL, undo_to INTEGER, redo_to INTEGER,
    replayed INTEGER NOT NULL, digest TEXT NOT NULL, faults INTEGER NOT NULL,
    places TEXT NOT NULL, edits TEXT, splices TEXT, files TEXT,
    PRIMARY KEY (hole, number)
);
CREATE UNIQUE INDEX revision_token ON revision (hole, author, token) WHERE token <> '';
CREATE TABLE folder (
    hole TEXT PRIMARY KEY, written INTEGER NOT NULL, pending INTEGER,
    FOREIGN KEY (hole, written) REFERENCES revision (hole, number),
    FOREIGN KEY (hole, pending) REFERENCES revision (hole, number)
);
CREATE TABLE signature (
    hole TEXT NOT NULL, name TEXT NOT NULL, role TEXT NOT NULL, at TEXT NOT NULL,
    revision INTEGER NOT NULL, note TEXT NOT NULL, passes INTEGER NOT NULL, verdict TEXT NOT NULL,
    PRIMARY KEY (hole, revision, name),
    FOREIGN KEY (hole, revision) REFERENCES revision (hole, number)
);
CREATE TABLE account (
    name TEXT PRIMARY KEY, password_hash TEXT NOT NULL,
    role TEXT NOT NULL CHECK (role IN ('read', 'edit', 'sign'))
);
CREATE TABLE session (
    token_hash TEXT PRIMARY KEY,
    account TEXT NOT NULL REFERENCES account (name) ON DELETE CASCADE,
    expires TEXT NOT NULL
);
"""
_MADE: Final = "edits, splices, files"
_REVISION: Final = (
    "number, kind, author, client, token, at, gesture, label, content, undo_to, redo_to,"
    " replayed, digest, faults, places"
)


class Store:
    """The store at a path or ``sqlite:///path``; made when it is not there.

    Parameters
    ----------
    serving : take the lock that one server of these holes holds; without it revisions must not
        be written. Accounts may be changed beside a running server.

    Raises
    ------
    InputErrors
        Another URL, a file that is no store or a newer one, not writable, or served already.
    """

    def __init__(self, url: str | Path, *, serving: bool = True) -> None:
        self.path = _path(url)
        self._where = shown_path(self.path)
        self._lock = threading.RLock()
        self._served = _take(self.path) if serving else None
        try:
            with self._told():
                self._db = _connection(self.path)
            try:
                self._prepare()
            except BaseException:
                self._db.close()
                raise
        except BaseException:
            self._leave()
            raise

    def close(self) -> None:
        with self._lock:
            self._db.close()
            self._leave()

    def _leave(self) -> None:
        if self._served is not None:
            self._served.close()

    def _prepare(self) -> None:
        """Make the tables of a new store; refuse what is no store of this version."""
        with self._writing():
            names = {row[0] for row in self._all("SELECT name FROM sqlite_master")}
            if not names:
                for statement in _SCHEMA.split(";"):
                    self._db.execute(statement)
                self._db.execute("INSERT INTO schema_version VALUES (?)", (VERSION,))
                return
            if "schema_version" not in names:
                raise InputErrors.one(self._where, "the database of another program", _WHAT)
            (version,) = self._one("SELECT version FROM schema_version") or (0,)
            if version != VERSION:
                raise InputErrors.one(
                    self._where,
                    f"a store of version {version}",
                    f"version {VERSION}",
                    "It was written by a newer Bathybore: update this one.",
                )
            # only a real change shows that the file may be written
            self._db.execute("UPDATE schema_version SET version = ?", (VERSION,))

    # -- transactions ---------------------------------------------------------------------

    @contextmanager
    def _writing(self) -> Iterator[None]:
        """Do all or nothing, durably."""
        with self._lock, self._told():
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._db.execute("COMMIT")
            except BaseException:
                with suppress(sqlite3.Error):  # a failed commit may have rolled back by itself
                    self._db.execute("ROLLBACK")
                raise

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.IntegrityError:
            raise  # what was asked does not fit: each caller says what that means
        except (sqlite3.Error, OSError) as error:
            raise self._fault(error) from error

    def _fault(self, error: Exception) -> InputErrors:
        text = str(error).lower()
        if "not a database" in text or "malformed" in text:
            fix = "Move the file away to begin a new store, or restore it from a copy."
            return InputErrors.one(self._where, f"a file that is no store ({text})", _WHAT, fix)
        if any(word in text for word in ("readonly", "read-only", "permission denied")):
            fix = "Make the file and its folder writable."
            return InputErrors.one(self._where, "a store that is read-only", "a writable one", fix)
        if "locked" in text:
            fix = "Wait for the other program, or end it."
            return InputErrors.one(self._where, "a store in use by another", "one at rest", fix)
        return InputErrors.one(self._where, f"a store that cannot be used ({text})", _WHAT)

    def _one(self, sql: str, *values: Any) -> tuple[Any, ...] | None:
        with self._lock, self._told():
            return cast("tuple[Any, ...] | None", self._db.execute(sql, values).fetchone())

    def _all(self, sql: str, *values: Any) -> list[tuple[Any, ...]]:
        with self._lock, self._told():
            return self._db.execute(sql, values).fetchall()

    # -- revisions ------------------------------------------------------------------------

    def append(self, hole: str, revision: Revision, made: Made, *, read_in: bool = False) -> None:
        """Keep a revision; ``read_in``: the files of the folder are the revision's own."""
        *plain, places = astuple(revision)
        row = (hole, *plain, *map(_json, (places, made.edits, made.splices, made.files)))
        marks = ", ".join("?" * len(row))
        try:
            with self._writing():
                self._db.execute(
                    f"INSERT INTO revision (hole, {_REVISION}, {_MADE}) VALUES ({marks})", row
                )
                if read_in:
                    self._set_folder(hole, revision.number, None)
        except sqlite3.IntegrityError as error:
            found = f"a revision {revision.number} of {shown(hole)} already"
            fix = "Another program writes to this store: end it, then start again."
            raise InputErrors.one(self._where, found, "none yet", fix) from error

    def head(self, hole: str) -> Revision | None:
        """Return the newest revision; None when the hole has none."""
        found = self.revisions(hole, 1)
        return found[0] if found else None

    def revision(self, hole: str, number: int) -> Revision:
        found = self._one(
            f"SELECT {_REVISION} FROM revision WHERE hole = ? AND number = ?", hole, number
        )
        if found is None:
            raise InputErrors.one(shown(hole), f"revision {number}", "a revision that there is")
        return _revision(found)

    def revisions(
        self, hole: str, limit: int = 100, before: int | None = None
    ) -> tuple[Revision, ...]:
        """Return the newest revisions, newest first; only those below ``before``."""
        below = "" if before is None else " AND number < ?"
        values = (hole, limit) if before is None else (hole, before, limit)
        sql = f"SELECT {_REVISION} FROM revision WHERE hole = ?{below} ORDER BY number DESC LIMIT ?"
        return tuple(map(_revision, self._all(sql, *values)))

    def revision_of(self, hole: str, author: str, token: str) -> Revision | None:
        """Return what came of a change of an author's; None when nothing did yet."""
        sql = f"SELECT {_REVISION} FROM revision WHERE hole = ? AND author = ? AND token = ?"
        row = self._one(f"{sql} AND token <> ''", hole, author, token)
        return None if row is None else _revision(row)

    def revisions_after(self, hole: str, number: int) -> tuple[Revision, ...]:
        """Return what came after a revision, in order."""
        sql = f"SELECT {_REVISION} FROM revision WHERE hole = ? AND number > ? ORDER BY number"
        return tuple(map(_revision, self._all(sql, hole, number)))

    def newest_whole(self, hole: str) -> Revision | None:
        """Return the newest revision whose document had no faults."""
        sql = (
            f"SELECT {_REVISION} FROM revision WHERE hole = ? AND faults = 0"
            " ORDER BY number DESC LIMIT 1"
        )
        row = self._one(sql, hole)
        return None if row is None else _revision(row)

    def made(self, hole: str, number: int) -> Made:
        """Return how a revision's files came about."""
        sql = f"SELECT {_MADE} FROM revision WHERE hole = ? AND number = ?"
        row = self._one(sql, hole, number) or (None, None, None)
        return Made(*(None if text is None else json.loads(text) for text in row))

    # -- files of the folder --------------------------------------------------------------

    def folder(self, hole: str) -> FolderState:
        row = self._one("SELECT written, pending FROM folder WHERE hole = ?", hole)
        if row is None:
            raise InputErrors.one(
                self._where, f"revisions of {shown(hole)} without its folder", _WHAT
            )
        return FolderState(*row)

    def set_folder(self, hole: str, written: int, pending: int | None) -> None:
        with self._writing():
            self._set_folder(hole, written, pending)

    def _set_folder(self, hole: str, written: int, pending: int | None) -> None:
        self._db.execute(
            "INSERT INTO folder VALUES (?, ?, ?) ON CONFLICT (hole)"
            " DO UPDATE SET written = excluded.written, pending = excluded.pending",
            (hole, written, pending),
        )

    # -- signatures -----------------------------------------------------------------------

    def sign(self, hole: str, signature: Signature) -> None:
        """Keep a signature; nothing takes one away."""
        row = (hole, *astuple(signature))
        try:
            with self._writing():
                self._db.execute("INSERT INTO signature VALUES (?, ?, ?, ?, ?, ?, ?, ?)", row)
        except sqlite3.IntegrityError as error:
            where = f"{shown(hole)}, revision {signature.revision}"
            found = f"no such revision, or signed by {shown(signature.name)} already"
            raise InputErrors.one(where, found, "one signature each") from error

    def signatures(self, hole: str) -> tuple[Signature, ...]:
        """Return every signature under a hole, oldest first."""
        sql = (
            "SELECT name, role, at, revision, note, passes, verdict FROM signature"
            " WHERE hole = ? ORDER BY at, revision"
        )
        return tuple(
            Signature(name, role, at, revision, note, bool(passes), verdict)
            for name, role, at, revision, note, passes, verdict in self._all(sql, hole)
        )

    # -- accounts and sessions ------------------------------------------------------------

    def add_account(self, account: Account) -> None:
        try:
            with self._writing():
                row = (account.name, account.password_hash, account.role)
                self._db.execute("INSERT INTO account VALUES (?, ?, ?)", row)
        except sqlite3.IntegrityError as error:
            known = self.account(account.name) is not None
            found = "an account of that name" if known else f"the role '{shown(account.role)}'"
            expected = "a new name" if known else "read, edit or sign"
            raise InputErrors.one(f"account {shown(account.name)}", found, expected) from error

    def set_account(self, account: Account) -> None:
        """Change password and role of an account; whoever is logged in with it is logged out."""
        self._account_must_be(account.name)
        try:
            with self._writing():
                row = (account.password_hash, account.role, account.name)
                self._db.execute("UPDATE account SET password_hash=?, role=? WHERE name=?", row)
                self._db.execute("DELETE FROM session WHERE account = ?", (account.name,))
        except sqlite3.IntegrityError as error:
            found = f"the role '{shown(account.role)}'"
            where = f"account {shown(account.name)}"
            raise InputErrors.one(where, found, "read, edit or sign") from error

    def remove_account(self, name: str) -> None:
        """Take an account away, with its sessions; what it did and signed stays."""
        self._account_must_be(name)
        with self._writing():
            self._db.execute("DELETE FROM account WHERE name = ?", (name,))

    def _account_must_be(self, name: str) -> None:
        if self.account(name) is None:
            known = ", ".join(account.name for account in self.accounts()) or "none"
            raise InputErrors.one("account", f"'{shown(name)}'", f"one that there is: {known}")

    def account(self, name: str) -> Account | None:
        row = self._one("SELECT name, password_hash, role FROM account WHERE name = ?", name)
        return None if row is None else Account(*row)

    def accounts(self) -> tuple[Account, ...]:
        rows = self._all("SELECT name, password_hash, role FROM account ORDER BY name")
        return tuple(Account(*row) for row in rows)

    def add_session(self, token_hash: str, account: str, expires: str) -> None:
        """Keep a login until a moment in UTC, ISO 8601."""
        self._account_must_be(account)
        with self._writing():
            row = (token_hash, account, expires)
            self._db.execute("INSERT INTO session VALUES (?, ?, ?)", row)

    def session(self, token_hash: str, now: str) -> Session | None:
        """Return the login of a token, with the account as it is now; None once it expired."""
        row = self._one(
            "SELECT name, password_hash, role, expires FROM session"
            " JOIN account ON account.name = session.account"
            " WHERE token_hash = ? AND expires > ?",
            token_hash,
            now,
        )
        if row is None:
            return None
        name, password_hash, role, expires = row
        return Session(token_hash, Account(name, password_hash, cast("Role", role)), expires)

    def end_session(self, token_hash: str) -> None:
        with self._writing():
            self._db.execute("DELETE FROM session WHERE token_hash = ?", (token_hash,))

    def end_expired(self, now: str) -> None:
        with self._writing():
            self._db.execute("DELETE FROM session WHERE expires <= ?", (now,))


def _json(value: Any) -> str | None:
    return None if value is None else json.dumps(value)


def _revision(row: Iterable[Any]) -> Revision:
    values = dict(zip(_REVISION.split(", "), row, strict=True))
    values["places"] = tuple(map(tuple, json.loads(values["places"])))
    return Revision(**values)


def _path(url: str | Path) -> Path:
    """Return the file of a URL."""
    text = str(url)
    if text.startswith(_PREFIX):
        text = text.removeprefix(_PREFIX)
    elif "://" in text or text.startswith("sqlite:"):
        raise InputErrors.one(
            "store",
            f"'{shown(text)}'",
            f"a path or {_PREFIX}path",
            "Only SQLite is supported so far.",
        )
    if not text or "\x00" in text or text.startswith(":"):
        raise InputErrors.one("store", f"'{shown(text)}'", f"a path or {_PREFIX}path")
    return Path(text)


def _connection(path: Path) -> sqlite3.Connection:
    # the hashes of passwords are nobody else's to read
    os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
    database = sqlite3.connect(
        path, timeout=_PATIENCE, isolation_level=None, check_same_thread=False
    )
    try:
        database.execute("PRAGMA foreign_keys = ON")
        database.execute("PRAGMA journal_mode = WAL")
        database.execute("PRAGMA synchronous = FULL")
    except BaseException:
        database.close()
        raise
    return database


def _take(path: Path) -> sqlite3.Connection:
    """Take the lock of the one server; the system gives it back however the server ends.

    A transaction that is never ended, on an empty database beside the store, is a lock that
    works alike on every system and leaves the store itself free for accounts to be added.
    """
    beside = path.with_name(path.name + ".server")
    where = shown_path(path)
    try:
        lock = sqlite3.connect(beside, timeout=0, isolation_level=None, check_same_thread=False)
    except sqlite3.Error as error:
        found = f"a place where no store can be made ({error})"
        raise InputErrors.one(where, found, "a folder that can be written") from error
    try:
        lock.execute("BEGIN EXCLUSIVE")
    except sqlite3.Error as error:
        lock.close()
        if "locked" not in str(error):
            found = f"a place where no store can be made ({error})"
            raise InputErrors.one(where, found, "a folder that can be written") from error
        found = "another server of these holes"
        fix = "Use the workspace that is open already, or end its server."
        raise InputErrors.one(where, found, "one server", fix) from error
    return lock
