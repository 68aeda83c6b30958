"""Process time of an edit until every verdict is there again: new hole, walk, judging, ledger.

    python benchmarks/rewalk.py [EDITS]

Moves the handles of each example as a hand would, each move on top of the last one. A
plain reference then loads the edited files afresh with nothing kept from before: the
verdicts and every number in their workings must be the same to the last bit.

Process time leaves out waiting, but another process on the same core still slows the
caches: run it on a quiet machine.
"""

from __future__ import annotations

import gc
import random
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path
from typing import Any

import numpy as np

from bathybore.base.keeping import forget, stores
from bathybore.base.registry import Equation
from bathybore.model.editing import Draft, HoleFiles, read_draft
from bathybore.model.hole import Hole, Setting
from bathybore.usecases.handles import handle_edits, handles
from bathybore.usecases.ledger import ledger
from bathybore.usecases.walking import Walk, walk_as_far

EXAMPLES = Path(__file__).parents[1] / "examples"
EDITS = 200
COMPARED = 10  # of the edits
# how far a hand moves things from where the example has them, SI
REACH = {"m": 40.0, "kg/m3": 40.0, "m3/s": 500 / 60000.0}
# milliseconds that we want to stay under; printed, not enforced: machines differ
TARGET, LEDGER_TARGET = 45.0, 10.0


@dataclass(frozen=True)
class Times:
    """Process time of the parts of one edit [ms]."""

    edit: float
    walk: float
    ledger: float


def started(name: str) -> tuple[Draft, Hole]:
    draft = read_draft(EXAMPLES / name)
    if draft.hole is None:
        raise SystemExit(f"{name}: {draft.faults[0]}")
    return draft, draft.hole


def moves(name: str, count: int) -> Iterator[tuple[str, Draft, Times, Walk]]:
    """Yield every edit with what it took and gave."""
    draft, start = started(name)
    hole = start
    ledger(walk_as_far(hole))
    chance = random.Random(1)
    grips = handles(start)
    while count:
        grip = chance.choice(grips)
        value = grip.value + chance.uniform(-1.0, 1.0) * REACH[grip.unit]
        edits = handle_edits(hole, grip.id, min(max(value, grip.least), grip.most))
        begun = time.process_time()
        moved = draft.edited(edits)
        edited = time.process_time()
        if moved.hole is None:
            continue  # two moves of a hand that contradict each other
        draft, hole = moved, moved.hole
        walked = walk_as_far(hole)
        judged = time.process_time()
        ledger(walked)
        told = time.process_time()
        count -= 1
        parts = (edited - begun, judged - edited, told - judged)
        yield grip.id, draft, Times(*(1e3 * part for part in parts)), walked


def alike(one: Any, other: Any) -> bool:
    """Return whether two records say the same to the last bit, workings and all."""
    waiting, seen = [(one, other)], set[tuple[int, int]]()
    while waiting:
        a, b = waiting.pop()
        if (id(a), id(b)) in seen or isinstance(a, Setting):
            continue  # the setting is input, not result
        seen.add((id(a), id(b)))
        if isinstance(a, np.ndarray | float):
            if np.asarray(a, dtype=float).tobytes() != np.asarray(b, dtype=float).tobytes():
                return False
        elif isinstance(a, tuple):
            if len(a) != len(b):
                return False
            waiting += zip(a, b, strict=True)
        elif is_dataclass(a) and not isinstance(a, Equation):
            if type(a) is not type(b):
                return False
            waiting += [(getattr(a, f.name), getattr(b, f.name)) for f in fields(a)]
        elif a != b:
            return False
    return True


def same_as_afresh(draft: Draft, walked: Walk) -> bool:
    """Return whether the files, loaded with nothing kept, give the same records."""
    forget()
    hole = Draft.of(HoleFiles(dict(draft.files.texts))).hole
    return hole is not None and alike(walk_as_far(hole).records, walked.records)


def shares(values: list[float]) -> str:
    p50, p95 = np.percentile(values, [50, 95])
    return f"{p50:6.1f} {p95:6.1f}"


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else EDITS
    gc.set_threshold(200_000, 10, 10)  # as the server of the workspace does: walks leave no circles
    print(f"p50 and p95 of {count} edits, ms of process time")
    print(f"{'':10}  {'edit':>13}  {'walk, judge':>13}  {'ledger':>13}  {'all':>13}")
    for name in ("main", "riserless", "frontier"):
        every: list[Times] = []
        slowest: list[tuple[float, str]] = []
        compared: list[tuple[str, Draft, Walk]] = []
        for grip, draft, times, walked in moves(name, count):
            if len(every) % max(1, count // COMPARED) == 0:
                compared.append((grip, draft, walked))
            every.append(times)
            slowest = sorted([*slowest, (times.walk, grip)], reverse=True)[:3]
        columns = (
            [t.edit for t in every],
            [t.walk for t in every],
            [t.ledger for t in every],
            [t.edit + t.walk + t.ledger for t in every],
        )
        late = np.percentile(columns[1], 95) <= TARGET
        told = np.percentile(columns[2], 95) <= LEDGER_TARGET
        verdict = "ok" if late and told else f"SLOW, over {TARGET:g} and {LEDGER_TARGET:g} ms"
        print(f"{name:10}  " + "  ".join(shares(column) for column in columns) + f"  {verdict}")
        told_slow = ", ".join(f"{grip} {took:.0f}" for took, grip in slowest)
        print(f"{'':10}  slowest: {told_slow}")
        held = sum(len(store) for store in stores())
        differ = [grip for grip, draft, walked in compared if not same_as_afresh(draft, walked)]
        answer = f"DIFFER: {', '.join(differ)}" if differ else "the same as loaded afresh"
        print(f"{'':10}  {len(compared)} of them {answer}; {held} answers kept")


if __name__ == "__main__":
    main()
