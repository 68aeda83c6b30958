"""Two pages edit as fast as hands never would: nothing is lost, and memory stays as it is."""

from __future__ import annotations

import json
import signal
import threading
import time
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from served import PATIENCE, Visit, copied, free_port, server

RATE = 50  # edits a second, of each page
KEYS = ("plan.fluids[sea-water].density", "plan.sections[0].flow_rate")


class Hand(threading.Thread):
    """One page that edits one key at a steady rate and remembers every answer."""

    def __init__(self, visit: Visit, hole: str, texts: list[str], key: str, rate: float) -> None:
        super().__init__()
        self.visit, self.hole, self.key, self.texts, self.rate = visit, hole, key, texts, rate
        self.answers: dict[int, dict[str, Any]] = {}
        self.states: list[int] = []
        self.seen = visit.revision(hole)  # newest revision that was told to this page
        self.failed: BaseException | None = None

    def run(self) -> None:
        try:
            with self.visit.live(self.hole) as socket:
                listening = threading.Thread(target=self._listen, args=(socket,))
                listening.start()
                started = time.monotonic()
                for number, text in enumerate(self.texts):
                    time.sleep(max(0.0, started + number / self.rate - time.monotonic()))
                    socket.send(self._message(number, text))
                listening.join(PATIENCE * 2)
                assert not listening.is_alive(), f"{len(self.answers)} of {len(self.texts)}"
        except BaseException as error:
            self.failed = error

    def _message(self, number: int, text: str) -> str:
        edit = {"op": "set", "key": self.key, "text": text}
        message = {"type": "edits", "id": number, "token": uuid4().hex, "base": self.seen}
        return json.dumps({**message, "gesture": f"{number // 25}", "edits": [edit]})

    def _listen(self, socket: Any) -> None:
        last = 0
        while len(self.answers) < len(self.texts) or not self.states or self.states[-1] < last:
            message = json.loads(socket.recv(PATIENCE))
            if message["type"] == "state":
                self.states.append(message["revision"])
            elif "id" in message:
                self.answers[message["id"]] = message
                last = message.get("revision", last)
            self.seen = max(self.seen, message.get("revision", 0))


def hammer(folder: Path, hole: str, keys: tuple[str, str], seconds: float, texts: Any) -> None:
    port = free_port()
    address = f"http://127.0.0.1:{port}"
    with server(folder, port):
        count = int(seconds * RATE)
        hands = [
            Hand(Visit(address), hole, [texts(key, i) for i in range(count)], key, RATE)
            for key in keys
        ]
        for hand in hands:
            hand.start()
        for hand in hands:
            hand.join()
        for hand in hands:
            assert hand.failed is None, hand.failed
            kinds = {answer["type"] for answer in hand.answers.values()}
            assert kinds == {"accepted"}
            numbers = [hand.answers[i]["revision"] for i in range(count)]
            assert numbers == sorted(numbers)
            assert hand.states == sorted(hand.states)
        made = {a["revision"] for hand in hands for a in hand.answers.values()}
        assert len(made) == 2 * count  # no two edits became one, and none was dropped
        assert max(made) == hands[0].visit.revision(hole)
    # the process was killed: what it acknowledged is there all the same
    with server(folder, port) as process:
        assert Visit(address).revision(hole) == max(made)
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=PATIENCE)
    document = (folder / hole / "hole.yaml").read_text(encoding="utf-8")
    for hand in hands:
        assert hand.texts[-1] in document


def texts(key: str, number: int) -> str:
    if key.endswith("density"):
        return f"1.{2000 + number} sg"
    return f"{3001 + number} L/min"


@pytest.mark.soak
def test_five_seconds_of_fifty_edits_a_second_from_two_pages_lose_none(tmp_path: Path) -> None:
    hammer(copied(tmp_path, "riserless"), "riserless", KEYS, 5.0, texts)


@pytest.mark.soak
def test_a_minute_of_fifty_edits_a_second_from_two_pages_loses_none(tmp_path: Path) -> None:
    hammer(copied(tmp_path, "riserless"), "riserless", KEYS, 60.0, texts)


@pytest.mark.soak
def test_memory_is_steady_over_ten_thousand_edits(tmp_path: Path) -> None:
    sizes = []
    port = free_port()
    with server(copied(tmp_path, "riserless"), port) as process:
        visit = Visit(f"http://127.0.0.1:{port}")
        for thousand in range(10):
            names = [texts(KEYS[0], 1000 * thousand + i) for i in range(1000)]
            hand = Hand(visit, "riserless", names, KEYS[0], 1e6)
            hand.run()
            assert hand.failed is None
            sizes.append(resident(process.pid))
    told = [round(size / 2**20) for size in sizes]
    print("MB after each thousand edits:", told)
    # the first half fills what is kept on purpose; from then on nothing may grow
    assert max(sizes[5:]) < 1.1 * max(sizes[:5]), told


def resident(process: int) -> int:
    """Return the memory of a process [bytes]."""
    pages = Path(f"/proc/{process}/statm").read_text(encoding="ascii").split()[1]
    return int(pages) * 4096
