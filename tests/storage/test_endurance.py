"""Many hands, sudden ends and long days: no accepted edit is lost, and nothing grows."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from kept_hole import document, opened, set_to

from bathybore.storage.desk import Desk

_EDITING = """
import sys
from pathlib import Path
from bathybore.model.editing import Edit
from bathybore.storage.desk import Desk
from bathybore.storage.store import Store

folder, quiet = Path(sys.argv[1]), float(sys.argv[2])
desk = Desk(Store(folder.parent / "store.sqlite"), folder, quiet=quiet)
step = desk.head.number
while True:
    step += 1
    text = f"1.{1000 + step} sg"
    done = desk.apply([Edit("set", "plan.fluids[pad-mud].density", text)], "Ada", step - 1)
    print(done.number, text, flush=True)
"""


def edit_at_rate(desk: Desk, key: str, author: str, rate: float, seconds: float) -> list[int]:
    """Edit one key so many times a second, without waiting for anybody; return the revisions."""
    made, base, began = [], desk.head.number, time.monotonic()
    for step in range(round(rate * seconds)):
        time.sleep(max(0.0, began + step / rate - time.monotonic()))
        edit = set_to(key, f"{20 + step * 0.01:.2f} m")
        made.append(desk.apply([edit], author, base, gesture=f"{author} drags").number)
        base = made[-1]
    return made


def two_hands(folder: Path, seconds: float) -> None:
    """Two threads edit, a third walks and a fourth looks after the files."""
    keys = {"Ada": "site.target_radius", "Ben": "site.fix_tolerance"}
    made: dict[str, list[int]] = {}
    with opened(folder, quiet=0.1) as desk:
        first, over = desk.head.number, threading.Event()

        def work(author: str) -> None:
            made[author] = edit_at_rate(desk, keys[author], author, 50.0, seconds)

        def look_on() -> None:
            while not over.wait(0.05):
                desk.walk_newest()
                desk.notice()

        hands = [threading.Thread(target=work, args=(author,)) for author in keys]
        onlooker = threading.Thread(target=look_on)
        for thread in (*hands, onlooker):
            thread.start()
        for thread in hands:
            thread.join()
        over.set()
        onlooker.join()
        # an edit a revision, each its author's, none twice, none missing
        count = round(50 * seconds)
        numbers = sorted(made["Ada"] + made["Ben"])
        assert numbers == list(range(first + 1, first + 1 + 2 * count))
        for author, mine in made.items():
            for step in (0, count // 2, count - 1):
                revision = desk.revision(mine[step])
                assert revision.author == author
                word = keys[author].rpartition(".")[2]
                text = desk.files_at(mine[step]).texts["hole.yaml"]
                assert f"{word}: {20 + step * 0.01:.2f} m" in text
        assert desk.notices == ()
        assert [r.kind for r in desk.revisions(10)] == ["edit"] * 10
        wanted = desk.draft.files.texts["hole.yaml"]
    assert document(folder) == wanted


def test_two_hands_at_once(folder: Path) -> None:
    two_hands(folder, 3.0)


@pytest.mark.soak
def test_two_hands_for_a_minute(folder: Path) -> None:
    two_hands(folder, 60.0)


@pytest.mark.parametrize("quiet", [60.0, 0.001])
def test_a_server_killed_in_the_middle_loses_no_edit(folder: Path, quiet: float) -> None:
    """With files never written, and with files written all the time."""
    chance = random.Random(7)
    for _ in range(2):
        running = subprocess.Popen(
            [sys.executable, "-c", _EDITING, str(folder), str(quiet)], stdout=subprocess.PIPE
        )
        assert running.stdout is not None
        lines = [running.stdout.readline()]  # it has begun
        killer = threading.Timer(chance.uniform(0.05, 0.5), os.kill, (running.pid, signal.SIGKILL))
        killer.start()
        lines += running.stdout.readlines()
        assert running.wait() == -signal.SIGKILL
        running.stdout.close()
        # a line that was cut short was not told
        number, _, text = [ln for ln in lines if ln.endswith(b"\n")][-1].decode().partition(" ")
        with opened(folder) as desk:
            assert desk.notices == ()  # no half-written file, no change by another hand
            assert desk.head.number >= int(number)
            kept = desk.files_at(int(number)).texts["hole.yaml"]
            assert f"pad-mud: {{density: {text.strip()}" in kept
            assert document(folder) == desk.draft.files.texts["hole.yaml"]
            assert sorted(path.name for path in folder.iterdir()) == [
                "earth.csv",
                "hole.yaml",
                "sea.csv",
            ]


_EDITING_FOR_LONG = """
import resource, sys
from pathlib import Path
from bathybore.model.editing import Edit
from bathybore.storage.desk import Desk
from bathybore.storage.store import Store

folder = Path(sys.argv[1])
desk = Desk(Store(folder.parent / "store.sqlite"), folder, quiet=0.5)
for step in range(10_001):
    edit = Edit("set", "plan.fluids[pad-mud].density", f"{1.1 + step % 500 / 1000:.3f} sg")
    desk.apply([edit], "Ada", desk.head.number, f"g{step // 5}")
    if step % 50 == 0:
        desk.undo("Ada")
        desk.redo("Ada")
        desk.walk_newest()
    if step in (2000, 10_000):
        print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
desk.close()
"""


@pytest.mark.soak
def test_memory_is_steady_over_ten_thousand_edits(folder: Path) -> None:
    """Nothing that an edit or a walk makes is kept for ever.

    A document that is not let go of costs tens of kilobytes, hundreds of megabytes in all; a
    walk hundreds of kilobytes. What walks keep to save work is bounded, but takes two hundred
    walks to fill and leaves gaps: that is the growth allowed for.
    """
    done = subprocess.run(
        [sys.executable, "-c", _EDITING_FOR_LONG, str(folder)],
        capture_output=True,
        text=True,
        check=True,
    )
    before, after = map(int, done.stdout.split())  # the most ever used, in kilobytes
    assert before > 1000
    assert after - before < 25_000
