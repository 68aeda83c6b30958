"""Runs the server until it is stopped: address, port, browser."""

from __future__ import annotations

import errno
import gc
import ipaddress
import socket
import sys
import threading
import time
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final
from urllib.parse import quote

import uvicorn

from bathybore.base.errors import InputErrors
from bathybore.storage.workspace import UnknownHole, Workspace
from bathybore.web.app import DEFAULT_PORT, create_app
from bathybore.web.guard import LOOPBACK_NAMES, UPLOAD_LIMIT, Names
from bathybore.web.house import House
from bathybore.web.view import View

_PORTS_TRIED: Final = 20
# new objects, and rounds, before the collector looks in an edit; when all is calm it looks anyway
_COLLECTOR: Final = (1_000_000, 10, 10)
# [s] until a thread lets another go on. While a walk is worked out, an edit changes hands
# several times; at Python's usual 5 ms its acknowledgement took a second under fast dragging.
_TURN: Final = 0.001
# [s] a page may be silent: its answer waits behind the edits that it has sent already
_SILENCE: Final = 300.0
_GRACE: Final = 3  # [s] for open requests when stopping


@dataclass(frozen=True)
class Served:
    """What is served, and where.

    Attributes
    ----------
    port : None: the usual one, or the next that is free
    names : further host names under which the server may be asked
    hole : id of the hole that the address leads to; empty for the list of holes
    """

    folder: Path
    host: str
    port: int | None
    names: tuple[str, ...] = ()
    hole: str = ""

    @property
    def wide(self) -> bool:
        """Whether other computers can reach it."""
        return not _is_loopback(self.host)


def serve(wanted: Served, browser: bool, say: Callable[[str], None]) -> None:
    """Serve a folder of holes until interrupted; every change is in the files then.

    Parameters
    ----------
    browser : open the reader's browser
    say : told what the reader should know, line by line

    Raises
    ------
    InputErrors
        The folder, address or port cannot be used; or others could reach the server and
        there are no accounts.
    """
    workspace = Workspace(wanted.folder)
    try:
        if wanted.wide and not workspace.store.accounts():
            raise _no_accounts(wanted)
        if wanted.hole and all(one.id != wanted.hole for one in workspace.holes()):
            raise UnknownHole.one("--open", f"'{wanted.hole}'", "a hole of the folder")
        listening = _listen(wanted.host, wanted.port)
    except BaseException:
        workspace.close()
        raise
    sys.setswitchinterval(_TURN)
    with listening:
        port = listening.getsockname()[1]
        if wanted.port is None and port != DEFAULT_PORT:
            say(f"Port {DEFAULT_PORT} is in use, so {port} is taken.")
        app = create_app(
            workspace,
            port=port,
            names=_names(wanted),
            wide=wanted.wide,
            warm=partial(_warm_up, wanted.hole),
        )
        server = uvicorn.Server(settings_of(app, wanted.wide))
        address = f"http://{_shown_host(wanted.host)}:{port}/"
        if wanted.hole:
            address += f"#{quote(wanted.hole)}"
        say(f"The holes in {workspace.folder} are at {address}  (Ctrl-C ends it)")
        if wanted.wide:
            say(
                "Others can reach this address, and what is sent is not encrypted: names, "
                "passwords and holes can be read on the way. Put a proxy with TLS in front of it."
            )
        if browser:
            threading.Thread(target=_open_when_up, args=(server, address), daemon=True).start()
        # how it is meant to end; the server has stopped in order by then
        with suppress(KeyboardInterrupt):
            server.run(sockets=[listening])
    say("Stopped. Every change is in the files.")


def _warm_up(hole: str, house: House) -> None:
    """Make the first picture before it is asked for, and keep the collector out of the way.

    A walk leaves no circles behind: counting references frees all of it at once. Python's
    collector would look through everything that lives, some 0.2 s at a time, to find nothing.
    """
    if hole:
        room = house.room(hole)
        pictured = room.newest().pictured
        if pictured is not None:
            pictured.picture_parts(View())
            pictured.verdict_parts(View())
            pictured.judged(View().units)
            room.form(View().units)
    gc.collect()
    gc.freeze()
    gc.set_threshold(*_COLLECTOR)


def settings_of(app: object, wide: bool) -> uvicorn.Config:
    return uvicorn.Config(
        app,  # type: ignore[arg-type]
        log_level="warning",
        access_log=False,
        server_header=False,
        lifespan="on",
        ws="websockets-sansio",
        ws_max_size=UPLOAD_LIMIT,
        ws_ping_timeout=_SILENCE,
        # over a network it saves more than it costs; within one computer it only costs
        ws_per_message_deflate=wide,
        timeout_graceful_shutdown=_GRACE,
    )


def _is_loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _no_accounts(wanted: Served) -> InputErrors:
    return InputErrors.one(
        "--host",
        f"{wanted.host}, which other computers can reach, and no accounts",
        "accounts, so that only those let in can change holes",
        f"Add one: bathybore account add NAME --role sign --in {wanted.folder}",
    )


def _names(wanted: Served) -> Names:
    known = LOOPBACK_NAMES | {name.lower() for name in wanted.names}
    if wanted.wide:
        own = (socket.gethostname(), socket.getfqdn(), _shown_host(wanted.host))
        known |= {name.lower() for name in own}
    return Names(known, any_address=wanted.wide)


def _shown_host(host: str) -> str:
    if host in ("0.0.0.0", "::", ""):
        return socket.gethostname()
    return f"[{host}]" if ":" in host else host


def _listen(host: str, port: int | None) -> socket.socket:
    """Return a socket that listens; on the next free port when none was asked for."""
    wanted = [port] if port is not None else range(DEFAULT_PORT, DEFAULT_PORT + _PORTS_TRIED)
    for one in wanted:
        try:
            return _bound(host, one)
        except OSError as error:
            if error.errno != errno.EADDRINUSE:
                where, found = f"--host {host} --port {one}", error.strerror or str(error)
                raise InputErrors.one(where, found, "an address of this computer") from error
    last = wanted[-1]
    tried = f"port {last}" if port is not None else f"ports {DEFAULT_PORT} to {last}"
    fix = "Stop the program that uses it, or take another with --port."
    raise InputErrors.one("--port", f"{tried}, in use by another program", "a free port", fix)


def _bound(host: str, port: int) -> socket.socket:
    try:
        ((family, kind, protocol, _, address), *_) = socket.getaddrinfo(
            host or None, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )
    except socket.gaierror as error:
        expected = "a name or address of this computer"
        raise InputErrors.one("--host", f"'{host[:80]}'", expected) from error
    made = socket.socket(family, kind, protocol)
    try:
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind(address)
        made.listen(128)
    except BaseException:
        made.close()
        raise
    return made


def _open_when_up(server: uvicorn.Server, address: str) -> None:
    while not server.started:
        if server.should_exit:
            return
        time.sleep(0.05)
    webbrowser.open(address)
