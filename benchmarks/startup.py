"""Wall time of the command from the shell: `bathybore --help` and a check of the example.

    python benchmarks/startup.py

Best of five after one run to warm the file cache; the best, because whatever else the
machine does can only make a run slower.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[1]
COMMAND = Path(sys.executable).with_name("bathybore")
RUNS = 5
# seconds that we want to stay under; printed, not enforced: machines differ
TARGETS = {("--help",): 0.4, ("check", "examples/main"): 2.0}


def seconds(words: tuple[str, ...]) -> float:
    started = time.perf_counter()
    result = subprocess.run([COMMAND, *words], cwd=ROOT, capture_output=True, check=False)
    taken = time.perf_counter() - started
    if result.returncode not in (0, 1):  # 1: something in the hole fails, which is an answer
        sys.exit(f"bathybore {' '.join(words)}: {result.stderr.decode()}")
    return taken


def main() -> None:
    for words, target in TARGETS.items():
        seconds(words)
        best = min(seconds(words) for _ in range(RUNS))
        verdict = "ok" if best < target else "SLOW"
        print(f"bathybore {' '.join(words):22} {best:6.3f} s   under {target} s: {verdict}")


if __name__ == "__main__":
    main()
