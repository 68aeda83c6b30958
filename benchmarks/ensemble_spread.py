"""Time of the odds end to end: one process, two processes, two Dask workers on loopback.

    python benchmarks/ensemble_spread.py [MEMBERS] [HOLE]

What `bathybore odds` does once the ledger's tables are there: members drawn, made, asked, their
days, weather and goods worked out, chunks merged. By the clock, with the start of processes and
what they must learn anew counted in; of Dask the workers run already, as on a cluster, and have
imported nothing. Rounds interleaved, the least counts. All three must give the same bytes. The
most memory is that of this process and of the greatest of its workers. Run it on a machine that
does nothing else: two workers want two cores. Targets are printed, not enforced.
"""

from __future__ import annotations

import math
import resource
import sys
import time
from collections.abc import Callable
from dataclasses import fields
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np

from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.running import run
from bathybore.ensembles.shapes import Outcome
from bathybore.usecases.odds import ensemble_at

EXAMPLE = Path(__file__).parents[1] / "examples" / "main"
MEMBERS, ROUNDS = 10_000, 3
HUNDRED_THOUSAND = 100_000
WANTED = {"two processes": 1.8, "two Dask workers": 1.5}


def clock(work: Callable[[], Outcome]) -> tuple[float, Outcome]:
    start = time.perf_counter()
    outcome = work()
    return time.perf_counter() - start, outcome


def same_bytes(one: Outcome, other: Outcome) -> bool:
    arrays = [f.name for f in fields(Outcome) if isinstance(getattr(one, f.name), np.ndarray)]
    return all(getattr(one, name).tobytes() == getattr(other, name).tobytes() for name in arrays)


def megabytes(whose: int) -> float:
    return resource.getrusage(whose).ru_maxrss / 1024.0


def measure(ensemble: Ensemble, members: int, address: str) -> dict[str, float]:
    works: dict[str, Callable[[], Outcome]] = {
        "one process": lambda: run(ensemble, members),
        "two processes": lambda: run(ensemble, members, workers=2),
        "two Dask workers": lambda: run(ensemble, members, scheduler=address),
    }
    best = dict.fromkeys(works, math.inf)
    first: Outcome | None = None
    for _ in range(ROUNDS):
        for name, work in works.items():
            took, outcome = clock(work)
            best[name] = min(best[name], took)
            first = outcome if first is None else first
            assert same_bytes(first, outcome), f"{name} gives other numbers"
    return best


def main() -> None:
    members = int(sys.argv[1]) if len(sys.argv) > 1 else MEMBERS
    place = Path(sys.argv[2]) if len(sys.argv) > 2 else EXAMPLE
    start = time.perf_counter()
    ensemble = ensemble_at(place)
    print(f"tables of the ledger {time.perf_counter() - start:.1f} s", flush=True)
    print(f"{members:,} members, the least of {ROUNDS} rounds:", flush=True)
    engine: Any = import_module("distributed")
    with engine.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        best = measure(ensemble, members, cluster.scheduler_address)
    alone = best["one process"]
    for name, took in best.items():
        wanted = f" (wanted {WANTED[name]} times)" if name in WANTED else ""
        print(f"{name:18}{took:8.1f} s{alone / took:8.2f} times{wanted}")
    two, one = best["two processes"], alone / members
    most = two + one / 2 * (HUNDRED_THOUSAND - members)
    print(f"100,000 members on two cores, from these: {most:.0f} s (wanted 120)")
    mine, theirs = (megabytes(w) for w in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    print(f"most memory {mine:.0f} MB here, {theirs:.0f} MB a worker (wanted below 2,000 in all)")


if __name__ == "__main__":
    main()
