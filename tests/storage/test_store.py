"""The store gives back what was put into it, and says clearly when it cannot be used."""

from __future__ import annotations

import sqlite3
import stat
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from bathybore.base.errors import InputErrors
from bathybore.storage.records import Account, FolderState, Made, Revision
from bathybore.storage.store import VERSION, Store
from bathybore.usecases.signing import Signature

FIRST = Revision(
    number=1,
    kind="opened",
    author="Ada",
    client="tab 1",
    token="",
    at="2030-01-01T00:00:00.000+00:00",
    gesture="",
    label="as it was found",
    content=1,
    undo_to=None,
    redo_to=None,
    replayed=0,
    digest="d1",
    faults=0,
    places=(("hole.yaml", "plan", "target"), ("earth.csv",)),
)
FILES = {"hole.yaml": "name: α\r\n# end", "earth.csv": "x\x85y\u2028z\n"}


@pytest.fixture
def store(tmp_path: Path):
    opened = Store(tmp_path / "store.sqlite")
    yield opened
    opened.close()


def numbered(number: int) -> Revision:
    return replace(FIRST, number=number, kind="edit", content=number, undo_to=number - 1)


# -- revisions ------------------------------------------------------------------------------


def test_a_revision_comes_back_as_it_was(store: Store, tmp_path: Path) -> None:
    made = Made([{"op": "set", "key": "plan.target", "text": "5 km"}], None, FILES)
    store.append("one", FIRST, made, read_in=True)
    second = numbered(2)
    store.append("one", second, Made(splices={"hole.yaml": (0, 1, "N")}))
    store.close()
    again = Store(tmp_path / "store.sqlite")
    assert again.revision("one", 1) == FIRST
    assert again.head("one") == second
    assert again.made("one", 1) == made
    assert again.made("one", 2).splices == {"hole.yaml": [0, 1, "N"]}
    assert again.made("one", 2).files is None
    assert again.folder("one") == FolderState(1, None)
    again.close()


def test_holes_do_not_see_one_another(store: Store) -> None:
    store.append("one", FIRST, Made(files=FILES), read_in=True)
    assert store.head("two") is None
    assert store.revisions("two") == ()
    with pytest.raises(InputErrors, match="revision 1"):
        store.revision("two", 1)
    with pytest.raises(InputErrors, match="without its folder"):
        store.folder("two")


def test_pages_of_revisions(store: Store) -> None:
    store.append("one", FIRST, Made(files=FILES))
    for number in range(2, 12):
        store.append("one", numbered(number), Made())
    assert [r.number for r in store.revisions("one", 3)] == [11, 10, 9]
    assert [r.number for r in store.revisions("one", 3, before=9)] == [8, 7, 6]
    assert [r.number for r in store.revisions("one", 30, before=3)] == [2, 1]
    assert [r.number for r in store.revisions_after("one", 8)] == [9, 10, 11]


def test_the_newest_without_faults(store: Store) -> None:
    assert store.newest_whole("one") is None
    store.append("one", FIRST, Made(files=FILES))
    store.append("one", replace(numbered(2), faults=3), Made())
    assert store.newest_whole("one") == FIRST


def test_a_number_is_given_once(store: Store) -> None:
    store.append("one", FIRST, Made(files=FILES))
    with pytest.raises(InputErrors, match="a revision 1 of one already"):
        store.append("one", replace(FIRST, author="Ben"), Made(files=FILES))
    assert store.revision("one", 1).author == "Ada"


def test_nothing_is_half_kept(store: Store) -> None:
    """The folder of a revision that is refused is not noted either."""
    store.append("one", FIRST, Made(files=FILES), read_in=True)
    store.append("one", numbered(2), Made())
    with pytest.raises(InputErrors):
        store.append("one", numbered(2), Made(), read_in=True)
    assert store.folder("one") == FolderState(1, None)
    store.set_folder("one", 1, 2)
    assert store.folder("one") == FolderState(1, 2)


def test_signatures(store: Store) -> None:
    store.append("one", FIRST, Made(files=FILES))
    at = "2030-01-02T00:00:00.000+00:00"
    signature = Signature("Ada", "may sign", at, 1, "Seen.\nGood.", False, "fails")
    store.sign("one", signature)
    assert store.signatures("one") == (signature,)
    with pytest.raises(InputErrors, match="signed by Ada already"):
        store.sign("one", signature)
    with pytest.raises(InputErrors, match="no such revision"):
        store.sign("one", replace(signature, revision=2))
    assert store.signatures("one") == (signature,)


# -- accounts -------------------------------------------------------------------------------

ADA = Account("ada", "$argon2id$1", "edit")
NOON = "2030-01-01T12:00:00.000+00:00"
LATER = "2030-01-01T12:00:00.001+00:00"


def test_accounts(store: Store) -> None:
    assert store.accounts() == ()
    store.add_account(ADA)
    assert store.account("ada") == ADA
    assert store.account("ADA") is None
    with pytest.raises(InputErrors, match="an account of that name"):
        store.add_account(replace(ADA, role="sign"))
    changed = replace(ADA, role="read", password_hash="$argon2id$2")
    store.set_account(changed)
    assert store.accounts() == (changed,)
    store.remove_account("ada")
    assert store.accounts() == ()


def test_a_role_that_is_none(store: Store) -> None:
    with pytest.raises(InputErrors, match="read, edit or sign"):
        store.add_account(replace(ADA, role="owner"))  # type: ignore[arg-type]
    store.add_account(ADA)
    with pytest.raises(InputErrors, match="read, edit or sign"):
        store.set_account(replace(ADA, role="owner"))  # type: ignore[arg-type]
    assert store.account("ada") == ADA


@pytest.mark.parametrize("change", ["set_account", "remove_account", "add_session"])
def test_an_account_that_is_none(store: Store, change: str) -> None:
    asked = {
        "set_account": lambda: store.set_account(ADA),
        "remove_account": lambda: store.remove_account("ada"),
        "add_session": lambda: store.add_session("t", "ada", NOON),
    }
    with pytest.raises(InputErrors, match="'ada'; expected one that there is: none"):
        asked[change]()


def test_a_session_ends_at_its_moment(store: Store) -> None:
    store.add_account(ADA)
    store.add_session("hash", "ada", LATER)
    found = store.session("hash", NOON)
    assert found is not None
    assert (found.account, found.expires) == (ADA, LATER)
    assert store.session("hash", LATER) is None
    assert store.session("other", NOON) is None
    store.end_expired(NOON)
    assert store.session("hash", NOON) is not None
    store.end_expired(LATER)
    assert store.session("hash", NOON) is None


def test_logging_out_and_losing_the_account_end_sessions(store: Store) -> None:
    for end in (
        lambda: store.end_session("hash"),
        lambda: store.set_account(replace(ADA, role="read")),
        lambda: store.remove_account("ada"),
    ):
        if store.account("ada") is None:
            store.add_account(ADA)
        store.add_session("hash", "ada", LATER)
        end()
        assert store.session("hash", NOON) is None
        assert store._all("SELECT * FROM session") == []


def test_text_is_no_sql(store: Store) -> None:
    name = "x'); DROP TABLE account; --"
    store.add_account(replace(ADA, name=name))
    assert [account.name for account in store.accounts()] == [name]
    assert store.head("' OR 1=1 --") is None


# -- the file -------------------------------------------------------------------------------


def test_the_file_is_its_owners_and_synced(store: Store, tmp_path: Path) -> None:
    assert stat.S_IMODE((tmp_path / "store.sqlite").stat().st_mode) == 0o600
    assert store._one("PRAGMA journal_mode") == ("wal",)
    assert store._one("PRAGMA synchronous") == (2,)
    assert store._one("PRAGMA foreign_keys") == (1,)


def test_a_path_or_a_url(tmp_path: Path) -> None:
    Store(f"sqlite:///{tmp_path}/a.sqlite").close()
    assert (tmp_path / "a.sqlite").exists()


@pytest.mark.parametrize(
    "url", ["postgresql://host/holes", "mysql://x", "sqlite://x", "sqlite:x", "https://x/a.sqlite"]
)
def test_another_engine_is_refused(url: str) -> None:
    with pytest.raises(InputErrors, match="Only SQLite is supported so far"):
        Store(url)


@pytest.mark.parametrize("url", ["", "sqlite:///", ":memory:", "sqlite:///:memory:", "a\0b"])
def test_what_is_no_file_is_refused(url: str) -> None:
    with pytest.raises(InputErrors, match="a path or sqlite:///path"):
        Store(url)


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    for serving in (True, False):
        with pytest.raises(InputErrors, match=r"store\.sqlite"):
            Store(tmp_path / "none" / "store.sqlite", serving=serving)
    assert list(tmp_path.iterdir()) == []


def refused(path: Path, match: str) -> None:
    """The store is refused, the file stays as it was, and its lock is free again."""
    before = path.read_bytes()
    for _ in range(2):
        with pytest.raises(InputErrors, match=match):
            Store(path)
    assert path.read_bytes() == before


def test_a_file_that_is_no_store(tmp_path: Path) -> None:
    path = tmp_path / "store.sqlite"
    path.write_text("depth,density\n" * 1000)
    refused(path, "a file that is no store")


def test_the_database_of_another_program(tmp_path: Path) -> None:
    path = tmp_path / "store.sqlite"
    with sqlite3.connect(path) as database:
        database.execute("CREATE TABLE songs (title TEXT)")
    database.close()
    with pytest.raises(InputErrors, match="the database of another program"):
        Store(path)
    database = sqlite3.connect(path)
    assert database.execute("SELECT name FROM sqlite_master").fetchall() == [("songs",)]
    database.close()


def test_a_newer_store(tmp_path: Path) -> None:
    path = tmp_path / "store.sqlite"
    Store(path).close()
    database = sqlite3.connect(path, isolation_level=None)
    database.execute("UPDATE schema_version SET version = ?", (VERSION + 1,))
    database.close()
    refused(path, f"a store of version {VERSION + 1}; expected version {VERSION}.*update this one")


def test_a_store_that_is_read_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "store.sqlite"
    Store(path).close()
    real = sqlite3.connect

    def read_only(database: Path, **options: object) -> sqlite3.Connection:
        if Path(database) == path:  # as the system opens a file that may only be read
            return real(f"file:{path}?mode=ro", uri=True, **options)  # type: ignore[call-overload]
        return real(database, **options)  # type: ignore[call-overload]

    monkeypatch.setattr(sqlite3, "connect", read_only)
    refused(path, "a store that is read-only; expected a writable one")


def test_one_server_only(store: Store, tmp_path: Path) -> None:
    path = tmp_path / "store.sqlite"
    with pytest.raises(InputErrors, match="another server of these holes"):
        Store(path)
    code = f"from bathybore.storage.store import Store; Store({str(path)!r})"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False, timeout=60
    )
    assert "another server of these holes" in done.stderr
    store.close()
    Store(path).close()


def test_accounts_may_be_added_beside_a_server(store: Store, tmp_path: Path) -> None:
    beside = Store(tmp_path / "store.sqlite", serving=False)
    beside.add_account(ADA)
    beside.close()
    assert store.account("ada") == ADA


def test_a_disk_that_is_full_loses_nothing_and_says_so(store: Store) -> None:
    store.append("one", FIRST, Made(files=FILES))
    (pages,) = store._one("PRAGMA page_count") or (0,)
    store._db.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(InputErrors, match="disk is full"):
        store.append("one", numbered(2), Made(files={"hole.yaml": "x" * 100_000}))
    assert store.head("one") == FIRST
    store._db.execute(f"PRAGMA max_page_count = {pages + 1000}")
    store.append("one", numbered(2), Made(files={"hole.yaml": "x" * 100_000}))
    assert store.head("one") == numbered(2)
