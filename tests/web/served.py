"""A real server in a thread of the test, and visitors with sessions."""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlencode
from uuid import uuid4

import httpx
import uvicorn
from argon2 import PasswordHasher
from websockets.sync.client import ClientConnection, connect

from bathybore.storage.records import Account
from bathybore.storage.workspace import Workspace
from bathybore.web.app import create_app
from bathybore.web.serving import settings_of

EXAMPLES: Final = Path(__file__).parents[2] / "examples"
PASSWORD: Final = "seven invented words for one test"
DENSITY: Final = "plan.fluids[sea-water].density"
COMMAND: Final = str(Path(sys.executable).with_name("bathybore"))
PATIENCE: Final = 60.0  # [s] for a slow machine


@cache
def hash_of(password: str) -> str:
    """Return an argon2 hash; worked out once, for it is slow on purpose."""
    return PasswordHasher().hash(password)


def copied(parent: Path, *holes: str) -> Path:
    """Return a folder with copies of demonstration holes."""
    folder = parent / "holes"
    folder.mkdir()
    for hole in holes:
        shutil.copytree(EXAMPLES / hole, folder / hole)
    return folder


@contextmanager
def running(folder: Path, accounts: dict[str, Any] | None = None, **given: Any) -> Iterator[str]:
    """Serve a folder, with accounts by name and role, and yield its address."""
    workspace = Workspace(folder)
    for name, role in (accounts or {}).items():
        workspace.store.add_account(Account(name, hash_of(PASSWORD), role))
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        port = listening.getsockname()[1]
        app = create_app(workspace, port=port, **given)
        server = uvicorn.Server(settings_of(app, wide=False))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        try:
            while not server.started:
                assert thread.is_alive(), "the server did not start"
                time.sleep(0.01)
            yield f"http://127.0.0.1:{port}"
        finally:
            leave()
            server.should_exit = True
            thread.join(PATIENCE)
            assert not thread.is_alive(), "the server did not stop"


_VISITS: Final[list[httpx.Client]] = []


def leave() -> None:
    """End every visit, as browsers do that are closed."""
    while _VISITS:
        _VISITS.pop().close()


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@contextmanager
def server(folder: Path, port: int, *flags: str) -> Iterator[subprocess.Popen[str]]:
    process = subprocess.Popen(
        [COMMAND, "serve", str(folder), "--port", str(port), "--no-browser", *flags],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        deadline = time.monotonic() + PATIENCE
        while True:
            if process.poll() is not None:
                told = process.stdout.read() if process.stdout else ""
                raise AssertionError(f"the server ended with {process.returncode}: {told}")
            try:
                httpx.get(f"http://127.0.0.1:{port}/api/session")
                break
            except httpx.ConnectError:
                assert time.monotonic() < deadline
                time.sleep(0.05)
        yield process
    finally:
        leave()
        if process.poll() is None:
            process.kill()
        process.communicate()


class Visit:
    """One browser: keeps its cookie and sends the token it was told."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.go_on({})
        self.client = uuid4().hex
        self.told: dict[str, Any] = {}
        self.greet()

    def go_on(self, cookies: Mapping[str, str] | None = None) -> None:
        """Connect anew, as a browser does when the server was away; it keeps its cookies."""
        kept = dict(self.http.cookies) if cookies is None else cookies
        self.http = httpx.Client(
            base_url=self.address,
            timeout=PATIENCE,
            cookies=kept,
            verify=False,  # nothing is encrypted here, and reading the certificates takes longer
        )
        _VISITS.append(self.http)

    def greet(self) -> dict[str, Any]:
        self.told = self.http.get("/api/session").json()
        return self.told

    @property
    def headers(self) -> dict[str, str]:
        return {"Origin": self.address, "X-Bathybore-Token": self.told["csrf"]}

    def login(self, name: str, password: str = PASSWORD) -> httpx.Response:
        answer = self.post("/login", name=name, password=password)
        if answer.status_code == 200:
            self.told = answer.json()
        return answer

    def get(self, path: str, **query: Any) -> httpx.Response:
        return self.http.get(f"/api{path}", params=query)

    def post(self, path: str, **body: Any) -> httpx.Response:
        return self.http.post(f"/api{path}", json=body, headers=self.headers)

    def upload(self, path: str, name: str, data: bytes, **fields: Any) -> httpx.Response:
        """Send a file with a form, as a page does on which it was dropped."""
        return self.http.post(
            f"/api{path}", files={"file": (name, data)}, data=fields, headers=self.headers
        )

    def change(self, path: str, **body: Any) -> httpx.Response:
        """Post a change with what tells it from others."""
        return self.post(path, **{"client": self.client, "token": uuid4().hex, **body})

    def set_density(self, text: str, base: int, **more: Any) -> httpx.Response:
        edit = {"op": "set", "key": DENSITY, "text": text}
        return self.change("/holes/riserless/edits", base=base, edits=[edit], **more)

    def revision(self, hole: str = "riserless") -> int:
        return int(self.get(f"/holes/{hole}/revisions", limit=1).json()[0]["number"])

    def live(self, hole: str = "riserless", **query: str) -> ClientConnection:
        """Open the live connection as the page does."""
        asked = urlencode({"client": self.client, **query})
        cookies = "; ".join(f"{name}={value}" for name, value in self.http.cookies.items())
        return connect(
            f"{self.address.replace('http', 'ws')}/api/holes/{hole}/live?{asked}",
            origin=self.address,  # type: ignore[arg-type]
            additional_headers={"Cookie": cookies},
            max_size=None,
            compression=None,
            ping_interval=None,  # pages send none
            proxy=None,
        )
