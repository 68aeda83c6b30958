"""The workspace's server on the main hole: time and bytes of an edit, and memory.

    python benchmarks/workspace.py [EDITS]   (10000 to see whether memory is steady)

A process of its own serves a copy of the hole; a page's live connection moves every handle in
turn, 200 times in all, and waits after each move for the state that shows it. What is measured
is what a page would wait for, without its drawing. Then the same in turns, while what matters for
the odds is worked out in the background, and while that is paused.
"""

from __future__ import annotations

import json
import random
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx
from websockets.sync.client import ClientConnection, connect

ROOT = Path(__file__).parents[1]
COMMAND = Path(sys.executable).with_name("bathybore")
EDITS = 200
WARM = 10
TENTHS = 10
TURNS = 4  # with the background at work, and as many without
MEMBERS = 512
# printed, not enforced: machines differ
MOST_BYTES = 100_000
MOST_SECONDS = 0.1


@dataclass
class Measured:
    """Of every edit: seconds to its acknowledgement and to its state, bytes of the state."""

    acknowledged: list[float] = field(default_factory=list)
    shown: list[float] = field(default_factory=list)
    size: list[int] = field(default_factory=list)


@contextmanager
def serving() -> Iterator[tuple[str, int]]:
    """Serve a copy of the main hole; yield the address and the process's number."""
    with tempfile.TemporaryDirectory() as made, socket.socket() as one:
        shutil.copytree(ROOT / "examples" / "main", Path(made) / "main")
        one.bind(("127.0.0.1", 0))
        port = one.getsockname()[1]
        one.close()
        process = subprocess.Popen(
            [COMMAND, "serve", made, "--port", str(port), "--open", "main", "--no-browser"],
            stdout=subprocess.DEVNULL,
        )
        try:
            yield f"http://127.0.0.1:{port}", process.pid
        finally:
            process.terminate()
            process.wait()


def greeted(address: str) -> str:
    """Return the cookie of a new session, once the server is up."""
    for _ in range(600):
        try:
            answer = httpx.get(f"{address}/api/session")
        except httpx.ConnectError:
            time.sleep(0.05)
            continue
        return "; ".join(f"{name}={value}" for name, value in answer.cookies.items())
    sys.exit("the server did not start")


def state_of(socket_: ClientConnection, revision: int) -> tuple[dict[str, Any], int]:
    """Return the first state of a revision or a later one, and its size with its ledger's."""
    state, size = dict[str, Any](), 0
    while True:
        text = socket_.recv()
        message = json.loads(text)
        if message["type"] not in ("state", "ledger") or message["revision"] < revision:
            continue
        size += len(text)
        if message["type"] == "state":
            state = message
        elif state:
            return state, size


def move(socket_: ClientConnection, number: int, handle: dict[str, Any], at: float) -> Any:
    message = {
        "type": "handle",
        "id": number,
        "token": f"move {number}",
        "base": 1,
        "gesture": f"gesture {number // 5}",
        "handle": handle["id"],
        "value": at,
    }
    socket_.send(json.dumps(message))
    while True:
        answer = json.loads(socket_.recv())
        if answer.get("id") == number:
            return answer


@dataclass
class Hands:
    """Whoever moves the handles, and where these stand."""

    handles: dict[str, Any]
    chance: random.Random = field(default_factory=lambda: random.Random(8137))
    moved: int = 0


def measure(socket_: ClientConnection, hands: Hands, edits: int, warm: int) -> Measured:
    measured, chance, handles = Measured(), hands.chance, hands.handles
    for number in range(hands.moved, hands.moved + warm + edits):
        handle = handles[list(handles)[number % len(handles)]]
        reach = 0.2 * (handle["most"] - handle["least"])
        low = max(handle["least"], handle["value"] - reach)
        at = chance.uniform(low, min(handle["most"], handle["value"] + reach))
        started = time.perf_counter()
        answer = move(socket_, number, handle, at)
        acknowledged = time.perf_counter() - started
        if answer["type"] != "accepted":
            sys.exit(f"{handle['id']} to {at}: {answer}")
        state, size = state_of(socket_, answer["revision"])
        shown = time.perf_counter() - started
        handles |= {handle["id"]: handle for handle in (state["scene"] or {}).get("handles", ())}
        if number >= hands.moved + warm:
            measured.acknowledged.append(acknowledged)
            measured.shown.append(shown)
            measured.size.append(size)
    hands.moved += warm + edits
    return measured


def steadily(socket_: ClientConnection, hands: Hands, process: int, edits: int) -> Measured:
    """Measure edits in ten parts, and say what memory the server has after each."""
    measured, has = Measured(), [memory(process)]
    for part in range(TENTHS):
        more = measure(socket_, hands, edits // TENTHS, WARM if part == 0 else 0)
        measured.acknowledged += more.acknowledged
        measured.shown += more.shown
        measured.size += more.size
        has.append(memory(process))
    told = " ".join(f"{one:.0f}" for one in has)
    print(f"memory of the server before and after each tenth of {edits} edits [MB]: {told}")
    return measured


def at_rest(socket_: ClientConnection, hands: Hands) -> None:
    """Move every handle once, and count all bytes until its longer questions are answered too."""
    sizes = list[int]()
    for name, handle in hands.handles.items():
        hands.moved += 1
        at = handle["value"] + handle["step"] * hands.chance.uniform(1.0, 10.0)
        revision = move(socket_, hands.moved, handle, min(at, handle["most"]))["revision"]
        size, studied = 0, False
        while not studied:
            text = socket_.recv()
            message = json.loads(text)
            mine = message.get("revision", 0) >= revision
            size += len(text) if mine else 0
            head = message.get("ledger", {}).get("head", {})
            studied = mine and head.get("studied", False)
        sizes.append(size)
        if size > MOST_BYTES:
            print(f"  {name:28} {size / 1000:6.1f} kB")
    half, most = share(sizes, 0.5) / 1000, max(sizes) / 1000
    print(f"bytes of an edit with its longer questions   p50 {half:6.1f} kB   most {most:6.1f} kB")


class Background:
    """What matters for the odds, worked out by the server while somebody moves handles."""

    def __init__(self, address: str) -> None:
        self.http = httpx.Client(base_url=f"{address}/api")
        token = self.http.get("/session").json()["csrf"]
        self.headers = {"Origin": address, "X-Bathybore-Token": token}

    def post(self, word: str, **body: Any) -> None:
        path = f"/holes/main/odds/matters/{word}"
        answer = self.http.post(path, headers=self.headers, json=body, timeout=60.0)
        answer.raise_for_status()

    def until(self, state: str) -> None:
        """Have it in a state: begun anew where it came to its end."""
        while True:
            parts = self.http.get("/holes/main/odds/progress").json()["parts"]
            now = parts[0]["state"] if parts else ""
            if now == state:
                return
            if not parts:
                self.post("begin", members=MEMBERS)
            elif now in ("working", "paused"):
                self.post("pause" if now == "working" else "resume")
            time.sleep(0.05)


def in_turns(socket_: ClientConnection, hands: Hands, background: Background, edits: int) -> None:
    """Measure edits while the background works and while it is paused, one after the other."""
    found: dict[str, list[float]] = {"paused": [], "working": []}
    for _ in range(TURNS):
        for state, shown in found.items():
            background.until(state)
            shown += measure(socket_, hands, edits // TURNS, 2).shown
    background.post("cancel")
    for state, shown in found.items():
        half, most = 1000 * share(shown, 0.5), 1000 * share(shown, 0.95)
        print(f"shown, odds {state:10}  p50 {half:8.1f} ms   p95 {most:8.1f} ms")


def share(values: list[float] | list[int], part: float) -> float:
    return sorted(values)[min(len(values) - 1, int(part * len(values)))]


def report(measured: Measured) -> None:
    for name, values in (("acknowledged", measured.acknowledged), ("shown", measured.shown)):
        half, most = 1000 * share(values, 0.5), 1000 * share(values, 0.95)
        print(f"edit {name:14} p50 {half:8.1f} ms   p95 {most:8.1f} ms")
    half, usual = (share(measured.size, part) / 1000 for part in (0.5, 0.95))
    most = max(measured.size) / 1000
    print(f"bytes of an edit    p50 {half:8.1f} kB   p95 {usual:8.1f} kB   most {most:7.1f} kB")
    slow = share(measured.shown, 0.95) > MOST_SECONDS
    print(f"shown p95 under {1000 * MOST_SECONDS:.0f} ms: {'SLOW' if slow else 'ok'}")
    large = share(measured.size, 0.95) > MOST_BYTES
    print(f"bytes p95 under {MOST_BYTES / 1000:.0f} kB: {'LARGE' if large else 'ok'}")


def memory(process: int) -> float:
    """Return the memory of a process [MB]."""
    pages = Path(f"/proc/{process}/statm").read_text(encoding="ascii").split()[1]
    return int(pages) * 4096 / 1e6


def main() -> None:
    edits = int(sys.argv[1]) if len(sys.argv) > 1 else EDITS
    with serving() as (address, process):
        where = f"{address.replace('http', 'ws')}/api/holes/main/live?client=benchmark"
        headers = {"Cookie": greeted(address)}
        with connect(
            where,
            origin=address,  # type: ignore[arg-type]
            additional_headers=headers,
            max_size=None,
            compression=None,
            proxy=None,
        ) as socket_:
            first, size = state_of(socket_, 1)
            print(f"first state                      {size / 1000:8.1f} kB")
            hands = Hands({handle["id"]: handle for handle in first["scene"]["handles"]})
            report(steadily(socket_, hands, process, edits))
            at_rest(socket_, hands)
            in_turns(socket_, hands, Background(address), min(edits, EDITS))


if __name__ == "__main__":
    main()
