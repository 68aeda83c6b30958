"""Accounts: names, roles and passwords, which are kept as argon2 hashes alone."""

from __future__ import annotations

import threading
import unicodedata
from functools import cached_property
from typing import Final

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from bathybore.base.errors import InputErrors
from bathybore.storage.records import Account, Role
from bathybore.storage.store import Store

LEAST_PASSWORD: Final = 12
MOST_PASSWORD: Final = 1000
MOST_NAME: Final = 60
LOCAL: Final = "local"  # who edits where nobody logs in; no account may be called that
_AT_ONCE: Final = 2  # hashes worked out at one time: each takes 64 MiB


class Accounts:
    """The accounts of a store."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._hasher = PasswordHasher()
        self._gate = threading.BoundedSemaphore(_AT_ONCE)

    @cached_property
    def _nobody(self) -> str:
        """What is verified against for a name that there is not, so that both take as long."""
        return self._hasher.hash("a password that opens nothing")

    def __bool__(self) -> bool:
        return bool(self._store.accounts())

    def all(self) -> tuple[Account, ...]:
        return self._store.accounts()

    def add(self, name: str, role: Role, password: str) -> None:
        """Add an account.

        Raises
        ------
        InputErrors
            The name is taken or unusable, the role is none, the password too short.
        """
        name = _usable(name)
        _check_password(password, name)
        self._store.add_account(Account(name, self._hasher.hash(password), role))

    def remove(self, name: str) -> None:
        self._store.remove_account(_plain(name))

    def verified(self, name: str, password: str) -> Account | None:
        """Return the account if name and password are right."""
        account = self._store.account(_plain(name))
        with self._gate:
            right = self._right(account.password_hash if account else self._nobody, password)
        return account if right else None

    def _right(self, hash_: str, password: str) -> bool:
        try:
            return self._hasher.verify(hash_, password)
        except (VerificationError, InvalidHashError):
            return False


def _plain(name: str) -> str:
    return unicodedata.normalize("NFC", name).strip()


def _usable(name: str) -> str:
    plain = _plain(name)
    if not plain or len(plain) > MOST_NAME or not plain.isprintable() or plain.lower() == LOCAL:
        expected = f"1 to {MOST_NAME} printable characters, and not '{LOCAL}'"
        raise InputErrors.one("account", repr(name[:80]), expected)
    return plain


def _check_password(password: str, name: str) -> None:
    if not LEAST_PASSWORD <= len(password) <= MOST_PASSWORD:
        expected = f"{LEAST_PASSWORD} to {MOST_PASSWORD} characters"
        fix = "A sentence is easy to remember and long enough."
        raise InputErrors.one("password", f"{len(password)} characters", expected, fix)
    if len(set(password)) < 5 or password.lower() == name.lower():
        found = (
            "the account's name" if password.lower() == name.lower() else "hardly any characters"
        )
        raise InputErrors.one("password", found, "one that cannot be guessed")
