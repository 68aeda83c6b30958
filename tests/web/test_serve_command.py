"""`bathybore serve` and `bathybore account` as processes of their own."""

from __future__ import annotations

import os
import signal
import socket
from pathlib import Path

import pytest
from click.testing import Result
from served import DENSITY, PASSWORD, PATIENCE, Visit, free_port, server
from typer.testing import CliRunner

from bathybore.cli.main import app


def here(*words: object, given: str | None = None) -> Result:
    """Run a command in this process that is soon done: should it begin to serve, it fails."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("uvicorn.Server.run", lambda *_, **__: pytest.fail("it serves"))
        return CliRunner().invoke(app, list(map(str, words)), input=given)


def test_it_prints_the_address_and_ctrl_c_leaves_all_in_the_files(folder: Path) -> None:
    port = free_port()
    with server(folder, port, "--open", "riserless") as process:
        visit = Visit(f"http://127.0.0.1:{port}")
        assert visit.set_density("1.21 sg", 1).status_code == 200
        process.send_signal(signal.SIGINT)
        told, _ = process.communicate(timeout=PATIENCE)
    assert process.returncode == 0
    assert f"http://127.0.0.1:{port}/#riserless" in told
    assert "Stopped. Every change is in the files." in told
    assert "Traceback" not in told
    assert "1.21 sg" in (folder / "riserless" / "hole.yaml").read_text(encoding="utf-8")


@pytest.mark.skipif(os.name == "nt", reason="there is no SIGKILL")
def test_a_killed_server_has_lost_nothing_it_accepted(folder: Path) -> None:
    port = free_port()
    address = f"http://127.0.0.1:{port}"
    with server(folder, port) as process:
        visit = Visit(address)
        accepted = [visit.set_density(f"1.{i} sg", 1).json()["revision"] for i in range(20, 30)]
        process.kill()
        process.wait()
    with server(folder, port):
        visit.go_on()  # the same browser, with its cookie and its token
        assert visit.revision() == accepted[-1]
        handles = visit.get("/holes/riserless/scene").json()["scene"]["handles"]
        assert [h["written"] for h in handles if h["key"] == DENSITY] == ["1.29 sg"]
        undone = visit.change("/holes/riserless/undo", base=accepted[-1])
        assert undone.status_code == 200
        assert visit.set_density("1.2 sg", undone.json()["revision"]).status_code == 200


def test_a_port_that_is_taken_is_told_or_the_next_one_used(folder: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = here("serve", folder, "--port", port, "--no-browser")
    assert done.exit_code == 2
    assert f"port {port}, in use" in done.stderr
    assert "--port" in done.stderr


def test_a_wide_host_without_accounts_is_refused_and_says_how(folder: Path) -> None:
    done = here("serve", folder, "--host", "0.0.0.0", "--no-browser")
    assert done.exit_code == 2
    assert "bathybore account add" in done.stderr


def test_a_second_server_on_the_same_holes_is_refused(folder: Path) -> None:
    with server(folder, free_port()):
        done = here("serve", folder, "--port", free_port(), "--no-browser")
    assert done.exit_code == 2
    assert "another server" in done.stderr


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["serve", "no-such-folder"], "no such folder"),
        (["serve", ".", "--host", "no.such.host.invalid"], "--host"),
        (["serve", ".", "--open", "no-such-hole"], "--open"),
    ],
)
def test_what_cannot_be_served_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], told: str
) -> None:
    monkeypatch.chdir(tmp_path)
    done = here(*words, "--no-browser")
    assert done.exit_code == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr


def test_accounts_are_added_listed_and_removed(folder: Path) -> None:
    added = here("account", "add", "Edda", "--role", "edit", "--in", folder, given=f"{PASSWORD}\n")
    assert added.exit_code == 0, added.stderr
    again = here("account", "add", "Edda", "--role", "sign", "--in", folder, given=f"{PASSWORD}\n")
    assert again.exit_code == 2
    assert here("account", "list", "--in", folder).stdout.split() == ["Edda", "edit"]
    assert here("account", "remove", "Edda", "--in", folder).exit_code == 0
    assert here("account", "remove", "Edda", "--in", folder).exit_code == 2
    assert here("account", "list", "--in", folder).stdout == ""


def test_a_weak_password_is_refused_and_not_repeated(folder: Path) -> None:
    added = here("account", "add", "Edda", "--role", "edit", "--in", folder, given="too short\n")
    assert added.exit_code == 2
    assert "12 to 1000 characters" in added.stderr
    assert "too short" not in added.stderr


def test_a_wide_server_with_accounts_serves_behind_a_login(folder: Path) -> None:
    here("account", "add", "Edda", "--role", "edit", "--in", folder, given=f"{PASSWORD}\n")
    port = free_port()
    with server(folder, port, "--host", "0.0.0.0") as process:
        visit = Visit(f"http://127.0.0.1:{port}")
        assert visit.get("/holes").status_code == 401
        visit.login("Edda")
        assert visit.get("/holes").status_code == 200
        process.send_signal(signal.SIGTERM)
        told, _ = process.communicate(timeout=PATIENCE)
    assert "not encrypted" in told
    assert "Traceback" not in told
