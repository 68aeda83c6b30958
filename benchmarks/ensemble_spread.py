"""Time of the odds end to end: one process, two processes, two Dask workers on loopback.

    python benchmarks/ensemble_spread.py [MEMBERS] [HOLE]

What `bathybore odds` does once the ledger's tables are there: members drawn, made, asked, their
days, weather and goods worked out, chunks merged. By the clock, with the start of processes and
what they must learn anew counted in; what the start takes is told beside it: a chunk for each of
two workers, less the time of a chunk. Of Dask the workers run already, as on a cluster; in that
first run they import everything. Rounds interleaved, the least counts. All three must give the
same bytes. The most memory is that of this process and of the greatest of its workers. Run it on
a machine that does nothing else, where it takes some two minutes: two workers want two cores.
Targets are printed, not enforced.
"""

from __future__ import annotations

import math
import resource
import sys
import time
from collections.abc import Callable
from dataclasses import fields
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np

from bathybore.ensembles.drawing import CHUNK
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.running import run
from bathybore.ensembles.shapes import Outcome
from bathybore.usecases.odds import ensemble_at

EXAMPLE = Path(__file__).parents[1] / "examples" / "main"
MEMBERS, ROUNDS = 20_000, 2
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


Way = Callable[[int], Outcome]  # of running so many members


def beside_one(name: str, many: Way, ensemble: Ensemble, members: int) -> tuple[float, float]:
    """Return the times of one process and of another way, told beside what that takes to begin."""
    alone, _ = clock(lambda: ensemble.chunk(0, CHUNK))
    two, _ = clock(lambda: many(2 * CHUNK))
    print(f"{name} begin in {max(two - alone, 0.0):.2f} s", flush=True)
    one = partial(run, ensemble)
    best = [math.inf, math.inf]
    for _ in range(ROUNDS):
        (first, wanted), (other, found) = (clock(partial(way, members)) for way in (one, many))
        best = [min(best[0], first), min(best[1], other)]
        assert same_bytes(wanted, found), f"{name} give other numbers"
    times = best[0] / best[1]
    print(f"one process {best[0]:.1f} s, {name} {best[1]:.1f} s: {times:.2f} times", end="")
    print(f" (wanted {WANTED[name]})", flush=True)
    return best[0], best[1]


def main() -> None:
    members = int(sys.argv[1]) if len(sys.argv) > 1 else MEMBERS
    place = Path(sys.argv[2]) if len(sys.argv) > 2 else EXAMPLE
    start = time.process_time()
    ensemble = ensemble_at(place)
    print(f"tables of the ledger {time.process_time() - start:.1f} s of processor time", flush=True)
    ensemble.chunk(0, CHUNK)  # what a process learns of the plan
    print(f"{members:,} members, the least of {ROUNDS} rounds", flush=True)
    one, two = beside_one("two processes", partial(run, ensemble, workers=2), ensemble, members)
    most = two + one / members / 2 * (HUNDRED_THOUSAND - members)
    # after the processes: beside the threads of a cluster none is forked
    engine: Any = import_module("distributed")
    with engine.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        far = partial(run, ensemble, scheduler=cluster.scheduler_address)
        beside_one("two Dask workers", far, ensemble, members)
    print(f"100,000 members on two cores, from these: {most:.0f} s (wanted 120)")
    mine, theirs = (megabytes(w) for w in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    print(f"most memory {mine:.0f} MB here, {theirs:.0f} MB a worker (wanted below 2,000 in all)")


if __name__ == "__main__":
    main()
