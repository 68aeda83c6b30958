"""What a vessel holds from 72 directions in 3 seas, intact and after every single failure.

    .venv/bin/python benchmarks/capability.py

Six azimuthing thrusters on three switchboards, four of them with a barred sector: 72 x 3 x 10
programmes. The plain reference sets each of them up anew, as a loop would be written, and must
find the same factors.
"""

from __future__ import annotations

import time
from math import radians

import numpy as np

from bathybore.kernels.allocation import (
    PlaneForce,
    Sector,
    Thruster,
    capability_factor,
    capability_factors,
)

TARGET = 0.6  # of a core [s]
RUNS = 3
LIMITS = {"A": 10e6, "B": 10e6, "C": 10e6}  # W
PLACES = (
    ("bow", 88.0, 0.0, "A", ()),
    ("bow-port", 70.0, 11.0, "B", (80.0, 100.0)),
    ("bow-starboard", 70.0, -11.0, "C", (-100.0, -80.0)),
    ("stern", -92.0, 0.0, "A", ()),
    ("stern-port", -72.0, 12.0, "B", (80.0, 100.0)),
    ("stern-starboard", -72.0, -12.0, "C", (-100.0, -80.0)),
)


def fleet() -> list[Thruster]:
    return [
        Thruster(
            name, x, y, 650e3, 4.2e6, board,
            tuple([Sector(*(radians(angle) for angle in barred))] if barred else []),
        )
        for name, x, y, board, barred in PLACES
    ]  # fmt: skip


def states() -> list[tuple[list[Thruster], dict[str, float]]]:
    """Return what runs intact, less each thruster, less each switchboard, with its power."""
    ship = fleet()
    found = [(ship, dict(LIMITS))]
    found += [([t for t in ship if t is not lost], dict(LIMITS)) for lost in ship]
    for board in LIMITS:
        left = [t for t in ship if t.switchboard != board]
        found.append((left, {name: p - 4.5e6 + 3e6 for name, p in LIMITS.items() if name != board}))
    return found


def loads() -> np.ndarray:
    angle = np.radians(np.arange(0.0, 360.0, 5.0))
    sea = np.stack([-8e5 * np.cos(angle), 2.4e6 * np.sin(angle), 5e7 * np.sin(2.0 * angle)], -1)
    return np.concatenate([sea, sea * [1.0, 0.5, 1.3], sea * [1.0, 0.5, 0.3]])


def together() -> np.ndarray:
    asked = loads()
    return np.array([capability_factors(left, asked, power) for left, power in states()])


def one_by_one() -> np.ndarray:
    asked = [PlaneForce(*row) for row in loads().tolist()]
    return np.array(
        [[capability_factor(left, one, power) for one in asked] for left, power in states()]
    )


def main() -> None:
    taken = []
    for _ in range(RUNS):
        start = time.process_time()
        found = together()
        taken.append(time.process_time() - start)
    start = time.process_time()
    plain = one_by_one()
    slow = time.process_time() - start
    apart = float(np.abs(found / plain - 1.0).max())
    print(f"{found.size} programmes: {min(taken):.2f} s, target {TARGET} s")
    print(f"plain loop: {slow:.2f} s, {slow / min(taken):.1f} times as long")
    print(f"greatest relative difference of the factors: {apart:.1e}")
    if apart > 1e-6:
        raise SystemExit("the two do not agree")


if __name__ == "__main__":
    main()
