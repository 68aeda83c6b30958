"""The accounts of a served folder, from the command line."""

from __future__ import annotations

import getpass
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from bathybore.base.errors import InputErrors
from bathybore.storage.records import Role
from bathybore.storage.workspace import store_in
from bathybore.web.accounts import Accounts


def add(folder: Path, name: str, role: Role) -> None:
    """Add an account with a password that is typed twice, or is the first line of the input."""
    with closing(store_in(folder, serving=False)) as store:
        Accounts(store).add(name, role, _password())


def remove(folder: Path, name: str) -> None:
    with closing(store_in(folder, serving=False)) as store:
        Accounts(store).remove(name)


def listing(folder: Path) -> Iterator[str]:
    """Yield a line for each account."""
    with closing(store_in(folder, serving=False)) as store:
        accounts = Accounts(store).all()
    width = max((len(account.name) for account in accounts), default=0)
    for account in accounts:
        yield f"{account.name:<{width}}  {account.role}"


def _password() -> str:
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\n")
    first = getpass.getpass("Password: ")
    if getpass.getpass("Once more: ") != first:
        raise InputErrors.one("password", "two different ones", "the same one twice")
    return first
