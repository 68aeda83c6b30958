"""Processor time of a whole programme: its document with all pictures, the page, the paper.

    python benchmarks/programme.py [examples/main ...]

The chapters that search and ask the odds are left out: `benchmarks/search.py` and
`benchmarks/ensemble.py` time those.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from bathybore.reports.page import page
from bathybore.reports.programme import programme
from bathybore.reports.typeset import pdf
from bathybore.usecases.walking import walk

T = TypeVar("T")
EXAMPLES = Path(__file__).parents[1] / "examples"


def timed(what: str, make: Callable[[], T]) -> T:
    start = time.process_time()
    made = make()
    print(f"  {what:22}{time.process_time() - start:6.1f} s", flush=True)
    return made


def time_all(folder: Path) -> None:
    walked = timed("walk and its checks", lambda: walk(folder))
    document = timed("document, pictures", lambda: programme(walked))
    timed("page", lambda: page(document))
    paper = timed("paper", lambda: pdf(document))
    print(f"  {len(walked.records)} checks, {len(paper) / 1e6:.1f} MB of paper")


def main() -> None:
    named = [Path(one) for one in sys.argv[1:]]
    for folder in named or [EXAMPLES / "riserless", EXAMPLES / "main"]:
        print(folder.name)
        time_all(folder)


if __name__ == "__main__":
    main()
