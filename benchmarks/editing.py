"""Process time of one edit of the main example: what a drag costs before the hole is walked.

    python benchmarks/editing.py

Best of twenty; the best, because whatever else the machine does can only make a run slower.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from bathybore.model.editing import Draft, Edit, HoleFiles, read_draft
from bathybore.usecases.handles import handle_edits, handles

FOLDER = Path(__file__).parents[1] / "examples" / "main"
RUNS = 20
BIT = {"diameter": "5 in", "count": 2, "life": "40 h"}


def milliseconds(work: Callable[[], object]) -> float:
    best = float("inf")
    for _ in range(RUNS):
        started = time.process_time()
        work()
        best = min(best, time.process_time() - started)
    return best * 1e3


def main() -> None:
    draft = read_draft(FOLDER)
    hole = draft.hole
    if hole is None:
        raise SystemExit(f"{FOLDER}: {draft.faults[0]}")
    shoe = handle_edits(hole, "shoe:casing-958", 5800.0)
    target = Edit("set", "plan.target", "4940 m below sea bed")
    key = Edit("set", "site.lever_arm_error", "0.4 m")
    item = Edit("insert", "inventory.bits[2]", content=BIT)
    cell = Edit("cell", file="earth.csv", row=9, column="temperature", text="15.5")
    # work, and the milliseconds that we want to stay under; printed, not enforced
    works: tuple[tuple[str, Callable[[], object], float], ...] = (
        ("one scalar", lambda: draft.edited([target]), 6),
        ("a shoe, three scalars", lambda: draft.edited(shoe), 6),
        ("a new key", lambda: draft.edited([key]), 250),
        ("a new item", lambda: draft.edited([item]), 250),
        ("a cell of a table", lambda: draft.edited([cell]), 10),
        ("all handles", lambda: handles(hole), 6),
        ("all files anew", lambda: Draft.of(HoleFiles(draft.files.texts)), 250),
    )
    for name, work, most in works:
        best = milliseconds(work)
        verdict = "ok" if best < most else "SLOW"
        print(f"{name:24} {best:7.2f} ms   under {most:g} ms: {verdict}")


if __name__ == "__main__":
    main()
