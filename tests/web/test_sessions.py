"""Login, logout, roles, and what an attacker tries with them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from served import PASSWORD, Visit, copied, running

from bathybore.storage.workspace import STORE_FOLDER, store_in
from bathybore.web.accounts import Accounts


def test_on_this_computer_nobody_logs_in_and_all_is_allowed(visit: Visit) -> None:
    assert visit.told["login_needed"] is False
    assert (visit.told["user"], visit.told["role"]) == ("local", "sign")
    assert visit.told["folder"] == "holes"


def test_with_accounts_nothing_is_told_before_the_login(guarded: str) -> None:
    visit = Visit(guarded)
    assert visit.told["login_needed"] is True
    assert (visit.told["user"], visit.told["role"]) == ("", "")
    assert visit.get("/holes").status_code == 401
    assert visit.post("/holes", name="theirs").status_code == 401


def test_a_login_begins_a_session_and_a_logout_ends_it(guarded: str) -> None:
    visit = Visit(guarded)
    assert visit.login("Edda").json()["role"] == "edit"
    assert visit.greet()["user"] == "Edda"
    assert visit.get("/holes").status_code == 200
    kept = dict(visit.http.cookies)
    visit.told = visit.post("/logout").json()
    assert visit.told["user"] == ""
    visit.http.cookies.clear()
    visit.http.cookies.update(kept)  # the old cookie opens nothing any more
    assert visit.get("/holes").status_code == 401


def test_a_wrong_password_and_an_unknown_name_are_told_alike(guarded: str) -> None:
    visit = Visit(guarded)
    wrong = visit.login("Edda", "not the password at all")
    unknown = visit.login("Nobody", "not the password at all")
    assert wrong.status_code == unknown.status_code == 403
    assert wrong.json() == unknown.json()


def test_a_session_planted_before_the_login_is_worth_nothing_after_it(guarded: str) -> None:
    victim = Visit(guarded)
    planted = dict(victim.http.cookies)
    victim.login("Sigrid")
    assert dict(victim.http.cookies) != planted
    attacker = Visit(guarded)
    attacker.http.cookies.clear()
    attacker.http.cookies.update(planted)
    assert attacker.get("/holes").status_code == 401


def test_a_cookie_made_up_by_somebody_is_not_taken_over(guarded: str) -> None:
    (name,) = Visit(guarded).http.cookies.keys()
    answer = httpx.get(f"{guarded}/api/session", cookies={name: "chosen-by-an-attacker"})
    assert answer.cookies[name] != "chosen-by-an-attacker"


def test_a_login_needs_the_token_too(guarded: str) -> None:
    visit = Visit(guarded)
    visit.told["csrf"] = ""
    assert visit.login("Edda").status_code == 403


def test_guessing_is_slowed_down_and_says_for_how_long(guarded: str) -> None:
    visit = Visit(guarded)
    codes = [visit.login("Edda", f"guess number {i}").status_code for i in range(6)]
    assert codes == [403] * 5 + [429]
    answer = visit.login("Edda")  # nor does the right password help now
    assert answer.status_code == 429
    assert int(answer.headers["retry-after"]) >= 1


ROLES = ("read", "edit", "sign")


@pytest.fixture(scope="module")
def visitors(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Visit]]:
    """One visitor of each role, logged in once: to look at a password is slow on purpose."""
    accounts = {"Rhea": "read", "Edda": "edit", "Sigrid": "sign"}
    with running(copied(tmp_path_factory.mktemp("roles"), "riserless"), accounts) as address:
        visits = {role: Visit(address) for role in ROLES}
        for name, role in accounts.items():
            visits[role].login(name)
        yield visits


@pytest.mark.parametrize(
    ("path", "body", "least"),
    [
        ("/holes", {"name": "new"}, "edit"),
        ("/holes/demonstration", {}, "edit"),
        ("/holes/riserless/edits", {"base": 1, "edits": [{"op": "remove", "key": "x"}]}, "edit"),
        ("/holes/riserless/handle", {"base": 1, "handle": "none"}, "edit"),
        ("/holes/riserless/undo", {"base": 1}, "edit"),
        ("/holes/riserless/redo", {"base": 1}, "edit"),
        ("/holes/riserless/restore", {"number": 1, "base": 1}, "edit"),
        ("/holes/riserless/validate", {"edits": [{"op": "remove", "key": "x"}]}, "edit"),
        ("/holes/riserless/sign", {"revision": 1, "note": ""}, "sign"),
    ],
)
def test_every_change_asks_for_its_role(
    visitors: dict[str, Visit], path: str, body: dict[str, object], least: str
) -> None:
    for role, visit in visitors.items():
        allowed = ROLES.index(role) >= ROLES.index(least)
        assert (visit.change(path, **body).status_code != 403) == allowed, role


def test_a_role_cannot_be_claimed(guarded: str) -> None:
    visit = Visit(guarded)
    visit.post("/login", name="Rhea", password=PASSWORD, role="sign")
    visit.greet()
    assert visit.told["role"] == "read"
    assert visit.post("/holes", name="theirs", role="sign").status_code == 403


def test_an_account_taken_away_is_out_at_once(guarded: str, folder: Path) -> None:
    visit = Visit(guarded)
    visit.login("Edda")
    assert visit.get("/holes").status_code == 200
    store = store_in(folder, serving=False)
    Accounts(store).remove("Edda")
    store.close()
    assert visit.get("/holes").status_code == 401
    assert visit.login("Edda").status_code == 403


def test_the_first_account_closes_a_server_that_runs(visit: Visit, folder: Path) -> None:
    assert visit.get("/holes").status_code == 200
    store = store_in(folder, serving=False)
    Accounts(store).add("Edda", "edit", PASSWORD)
    store.close()
    assert visit.get("/holes").status_code == 401


def test_a_wide_server_without_accounts_lets_nobody_in(folder: Path) -> None:
    with running(folder, wide=True) as address:
        visit = Visit(address)
        assert visit.told["login_needed"] is True
        assert visit.get("/holes").status_code == 401
        assert visit.login("local").status_code == 403


def test_behind_a_proxy_with_tls_the_cookie_is_for_tls_alone(guarded: str) -> None:
    answer = httpx.get(f"{guarded}/api/session", headers={"X-Forwarded-Proto": "https"})
    assert "secure" in answer.headers["set-cookie"].lower()


def test_passwords_are_not_kept(folder: Path, guarded: str) -> None:
    del guarded
    found = list((folder / STORE_FOLDER).iterdir())
    assert found
    assert not any(PASSWORD.encode() in file.read_bytes() for file in found)
