"""A real browser on a real server: Debian's Chromium, driven by Playwright, everything local."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from acts import WAIT, judged
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
ARTEFACTS = ROOT / "out" / "browser"
CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

expect.set_options(timeout=WAIT)


@dataclass
class Server:
    """`bathybore serve` on a folder, as a process of its own."""

    folder: Path
    port: int
    process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        command = [str(Path(sys.executable).with_name("bathybore")), "serve", str(self.folder)]
        command += ["--port", str(self.port), "--no-browser"]
        log = (self.folder.parent / "server.log").open("ab")
        self.process = subprocess.Popen(command, stdout=log, stderr=log, cwd=self.folder.parent)
        log.close()
        self._wait()

    def _wait(self) -> None:
        deadline = time.monotonic() + 90.0
        while time.monotonic() < deadline:
            assert self.process is not None
            if self.process.poll() is not None:
                break
            try:
                with urllib.request.urlopen(f"{self.address}/api/session", timeout=2.0):
                    return
            except OSError:
                time.sleep(0.1)
        log = (self.folder.parent / "server.log").read_text(encoding="utf-8", errors="replace")
        raise RuntimeError(f"the server did not start:\n{log[-3000:]}")

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(how)
            self.process.wait(timeout=30.0)
        self.process = None


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@contextmanager
def serving(folder: Path) -> Iterator[Server]:
    server = Server(folder, free_port())
    server.start()
    try:
        yield server
    finally:
        server.stop()


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The server that all tests share; each puts its own copy of a hole on it."""
    folder = tmp_path_factory.mktemp("shared") / "holes"
    folder.mkdir()
    with serving(folder) as server:
        yield server


def put(server: Server, name: str) -> str:
    """Put a fresh copy of a demonstration hole on a server and return its address there."""
    identity = f"{name}-{sum(1 for _ in server.folder.iterdir())}"
    shutil.copytree(EXAMPLES / name, server.folder / identity)
    return f"#{identity}"


@pytest.fixture
def served_alone(tmp_path: Path) -> Iterator[Server]:
    """A server of this test alone, on a copy of the demonstration holes."""
    folder = tmp_path / "holes"
    shutil.copytree(EXAMPLES, folder)
    with serving(folder) as server:
        yield server


@pytest.fixture
def served_empty(tmp_path: Path) -> Iterator[Server]:
    folder = tmp_path / "holes"
    folder.mkdir()
    with serving(folder) as server:
        yield server


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if not Path(CHROMIUM).exists():
        pytest.fail(f"{CHROMIUM} is missing: install Debian's package chromium", pytrace=False)
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(
            executable_path=CHROMIUM, headless=False, args=FLAGS, ignore_default_args=False
        )
        yield chromium
        chromium.close()


@dataclass
class Watch:
    """Everything a page asked for and complained about."""

    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def foreign(self) -> list[str]:
        local = {"127.0.0.1", "localhost"}
        schemes = {"data", "blob", "about"}
        parts = [(url, urlsplit(url)) for url in self.requests]
        return [u for u, p in parts if p.scheme not in schemes and p.hostname not in local]


@pytest.fixture
def visit(browser: Browser) -> Iterator[Callable[..., Page]]:
    """Open a page in a fresh profile; at the end nothing foreign was asked, nothing complained."""
    contexts: list[BrowserContext] = []
    watches: list[Watch] = []

    def open_page(server: Server, path: str = "", guided: bool = True, **context: Any) -> Page:
        settings = {"viewport": {"width": 1280, "height": 720}, "accept_downloads": True}
        one = browser.new_context(**{**settings, **context})
        contexts.append(one)
        watch = Watch()
        watches.append(watch)
        one.on("request", lambda request: watch.requests.append(request.url))
        if guided:  # the guided look was seen before
            one.add_init_script(
                "if (!localStorage.getItem('bathybore.view'))"
                " localStorage.setItem('bathybore.view', JSON.stringify({guided: true}))"
            )
        page = one.new_page()
        page.set_default_timeout(WAIT)
        page.on("pageerror", lambda error: watch.complaints.append(str(error)))
        page.on(
            "console",
            lambda line: watch.complaints.append(line.text) if _matters(line) else None,
        )
        page.goto(f"{server.address}/{path}")
        return page

    yield open_page
    for one in contexts:
        one.close()
    for watch in watches:
        assert watch.foreign() == []
        assert watch.complaints == []


@pytest.fixture
def opened(served: Server, visit: Callable[..., Page]) -> Callable[..., Page]:
    """Open a fresh copy of a demonstration hole on the shared server and wait for its verdicts."""

    def open_hole(name: str, **context: Any) -> Page:
        page = visit(served, put(served, name), **context)
        judged(page)
        return page

    return open_hole


def _matters(line: Any) -> bool:
    """A refused answer or a server that is being restarted is the test's own doing."""
    ours = ("Failed to load resource", "WebSocket connection", "net::ERR_CONNECTION_REFUSED")
    return line.type in ("error", "warning") and not any(text in line.text for text in ours)


@pytest.fixture
def keep() -> Callable[[Page, str], Path]:
    """Keep a screenshot as an artefact to be looked at."""

    def shoot(page: Page, name: str) -> Path:
        ARTEFACTS.mkdir(parents=True, exist_ok=True)
        path = ARTEFACTS / f"{name}.png"
        page.screenshot(path=str(path))
        return path

    return shoot


def pytest_configure() -> None:
    # Playwright's own pipe must not inherit a debugging wish from outside
    os.environ.pop("PWDEBUG", None)
