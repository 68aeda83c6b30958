"""A made-up ensemble: outcomes that follow from their numbers alone, without any hole."""

from __future__ import annotations

import os
import signal
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from bathybore.ensembles.shapes import LIMITS, Outcome


def outcome(first: int, count: int, seed: int = 1) -> Outcome:
    rng = np.random.Generator(np.random.PCG64(np.random.SeedSequence(seed, spawn_key=(first,))))
    ends = rng.integers(-1, len(LIMITS), count)
    depth = np.where(ends < 0, 5000.0, rng.uniform(100.0, 4900.0, count))
    numbers = rng.lognormal(0.0, 0.5, (count, 7))
    return Outcome(
        first=first,
        bites=rng.uniform(1000.0, 9000.0, (count, len(LIMITS))),
        ends_by=ends,
        depth=depth,
        strings=rng.integers(3, 7, count),
        shoes=rng.uniform(0.0, 5000.0, (count, 4)),
        days=numbers[:, 0],
        cost=numbers[:, 1],
        mud=numbers[:, 2],
        barite=numbers[:, 3],
        cement=numbers[:, 4],
        steel=numbers[:, 5],
        waiting=numbers[:, 6],
        day_at=rng.uniform(0.0, 1.0, (count, 5)),
        asked_first=rng.integers(-1, 3, (count, len(LIMITS))),
        unjudged={first: "made up"},
    )


@dataclass(frozen=True)
class Recipe:
    """Attributes: deadly: a file; whoever finds it takes it away and is killed."""

    seed: int = 1
    deadly: str = ""
    broken: int = -1

    @property
    def stamp(self) -> str:
        return f"made up {self.seed}"

    def chunk(self, first: int, count: int) -> Outcome:
        if self.deadly and Path(self.deadly).exists():
            Path(self.deadly).unlink()
            os.kill(os.getpid(), signal.SIGKILL)
        if first == self.broken:
            raise KeyboardInterrupt
        return outcome(first, count, self.seed)
