"""Accounts: which names and passwords are taken, and what is kept of them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from served import PASSWORD

from bathybore.base.errors import InputErrors
from bathybore.storage.store import Store
from bathybore.web.accounts import Accounts


@pytest.fixture
def accounts(tmp_path: Path) -> Iterator[Accounts]:
    store = Store(tmp_path / "store.sqlite")
    yield Accounts(store)
    store.close()


@pytest.mark.parametrize(
    "password", ["", "short", "eleven char", "aaaaaaaaaaaaaaaa", "Edda of the deep", "x1y2z" * 300]
)
def test_a_password_that_could_be_guessed_is_refused(accounts: Accounts, password: str) -> None:
    with pytest.raises(InputErrors) as refused:
        accounts.add("Edda of the deep", "edit", password)
    assert not password or password not in str(refused.value)
    assert not accounts


@pytest.mark.parametrize("name", ["", " ", "local", "LOCAL", "a\nb", "x" * 61, "\x1b[31m"])
def test_a_name_that_could_mislead_is_refused(accounts: Accounts, name: str) -> None:
    with pytest.raises(InputErrors):
        accounts.add(name, "edit", PASSWORD)
    assert not accounts


def test_one_name_in_two_spellings_is_one_account(accounts: Accounts) -> None:
    accounts.add("Åsa", "edit", PASSWORD)  # one character
    found = accounts.verified("  A\N{COMBINING RING ABOVE}sa ", PASSWORD)  # two
    assert found is not None
    assert found.name == "Åsa"


def test_only_the_password_opens(accounts: Accounts) -> None:
    accounts.add("Edda", "edit", PASSWORD)
    for wrong in ("", PASSWORD.upper(), PASSWORD + " ", PASSWORD[:-1], "x" * 1000):
        assert accounts.verified("Edda", wrong) is None
    assert accounts.verified("Nobody", PASSWORD) is None
    account = accounts.verified("Edda", PASSWORD)
    assert account is not None
    assert account.role == "edit"
    assert PASSWORD not in account.password_hash
    assert account.password_hash.startswith("$argon2id$")


def test_two_accounts_with_one_password_have_different_hashes(accounts: Accounts) -> None:
    accounts.add("Edda", "edit", PASSWORD)
    accounts.add("Rhea", "read", PASSWORD)
    one, two = accounts.all()
    assert one.password_hash != two.password_hash
