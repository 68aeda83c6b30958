"""Time of the riser's shape and modes with 300 elements, beside plain loops with the same answers.

    OMP_NUM_THREADS=1 python benchmarks/riser.py

The riser of the main example, its elements alike in length. Processor time, so one core, warm:
imports are done. The plain reference fills the same matrices element by element and eliminates
row by row; its modes come one after the other by inverse iteration on that elimination, each
made orthogonal to those before it. The study of the riser in the planned sea is timed as well.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from bathybore.kernels.riser_modes import bending_modes
from bathybore.kernels.tensioned_beam import Ends, bent_beam
from bathybore.model.editing import read_draft
from bathybore.operations.riser_in_waves import swaying
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import sea_riser

EXAMPLE = Path(__file__).parents[1] / "examples" / "main"
ELEMENTS, MODES, ROUNDS = 300, 20, 20
PLAIN_MODES = 5  # as many as the plain loop is asked for
SHAPE_TARGET, MODES_TARGET = 5.0, 20.0  # ms; printed, not enforced: machines differ


def plain_matrices(
    length: float, stiffness: float, tension: list[float], mass: float, ends: Ends
) -> tuple[list[list[float]], list[list[float]]]:
    """Return stiffness and mass as rows of seven diagonals, element by element."""
    size = 2 * len(tension) + 2
    stiff, heavy = ([[0.0] * 7 for _ in range(size)] for _ in range(2))
    h = length
    bend = ((12, 6 * h, -12, 6 * h), (6 * h, 4 * h * h, -6 * h, 2 * h * h),
            (-12, -6 * h, 12, -6 * h), (6 * h, 2 * h * h, -6 * h, 4 * h * h))  # fmt: skip
    pull = ((36, 3 * h, -36, 3 * h), (3 * h, 4 * h * h, -3 * h, -h * h),
            (-36, -3 * h, 36, -3 * h), (3 * h, -h * h, -3 * h, 4 * h * h))  # fmt: skip
    lump = ((156, 22 * h, 54, -13 * h), (22 * h, 4 * h * h, 13 * h, -3 * h * h),
            (54, 13 * h, 156, -22 * h), (-13 * h, -3 * h * h, -22 * h, 4 * h * h))  # fmt: skip
    for element, force in enumerate(tension):
        for i in range(4):
            for j in range(4):
                row, off = 2 * element + i, 3 + j - i
                stiff[row][off] += stiffness / h**3 * bend[i][j] + force / (30 * h) * pull[i][j]
                heavy[row][off] += mass * h / 420 * lump[i][j]
    stiff[1][3] += ends.top_turning
    stiff[-1][3] += ends.foot_turning
    return stiff, heavy


def plain_solve(rows: list[list[float]], right: list[float]) -> list[float]:
    """Solve by elimination, row by row, the displacements of both ends held at what is given."""
    size = len(right)
    a, b = [row[:] for row in rows], right[:]
    for held in (0, size - 2):
        value = b[held]
        for off in range(-3, 4):
            other = held + off
            if off and 0 <= other < size:
                b[other] -= a[other][3 - off] * value
                a[other][3 - off] = 0.0
        a[held] = [0.0] * 7
        a[held][3], b[held] = 1.0, value
    for k in range(size):
        for i in range(k + 1, min(k + 4, size)):
            factor = a[i][3 + k - i] / a[k][3]
            if factor:
                for j in range(k, min(k + 4, size)):
                    a[i][3 + j - i] -= factor * a[k][3 + j - k]
                b[i] -= factor * b[k]
    x = [0.0] * size
    for k in range(size - 1, -1, -1):
        total = b[k] - sum(a[k][3 + j - k] * x[j] for j in range(k + 1, min(k + 4, size)))
        x[k] = total / a[k][3]
    return x


def plain_product(rows: list[list[float]], x: list[float]) -> list[float]:
    size = len(x)
    return [
        sum(rows[i][3 + j - i] * x[j] for j in range(max(i - 3, 0), min(i + 4, size)))
        for i in range(size)
    ]


def plain_shape(
    stiff: list[list[float]], length: float, load: list[float], offset: float
) -> list[float]:
    force = [0.0] * len(stiff)
    for element, q in enumerate(load):
        for end, part in enumerate((length / 2, length**2 / 12, length / 2, -(length**2) / 12)):
            force[2 * element + end] += q * part
    force[0], force[-2] = offset, 0.0
    return plain_solve(stiff, force)


def plain_modes(stiff: list[list[float]], heavy: list[list[float]], count: int) -> list[float]:
    """Return the least angular frequencies by inverse iteration, one after the other."""
    found: list[tuple[list[float], list[float]]] = []
    frequencies = []
    for number in range(count):
        x = [math.sin((number + 1) * (i + 1.0)) for i in range(len(stiff))]
        x[0] = x[-2] = 0.0
        before = 0.0
        for _ in range(2000):
            for vector, weight in found:
                share = sum(p * q for p, q in zip(x, weight, strict=True))
                x = [p - share * q for p, q in zip(x, vector, strict=True)]
            weight = plain_product(heavy, x)
            norm = math.sqrt(sum(p * q for p, q in zip(x, weight, strict=True)))
            x, weight = [p / norm for p in x], [p / norm for p in weight]
            squared = sum(p * q for p, q in zip(x, plain_product(stiff, x), strict=True))
            if abs(squared - before) < 1e-10 * squared:
                break
            before = squared
            right = weight[:]
            right[0] = right[-2] = 0.0
            x = plain_solve(stiff, right)
        found.append((x, weight))
        frequencies.append(math.sqrt(squared))
    return frequencies


def timed(work: Callable[[], object], rounds: int) -> float:
    """Return the median processor time of some rounds [ms]."""
    times = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        times.append(1000.0 * (time.process_time() - start))
    return float(np.median(times))


def main() -> None:
    hole = read_draft(EXAMPLE).hole
    assert hole is not None
    gear = RiserGear.of(hole)
    assert gear is not None
    riser = sea_riser(gear)
    nodes = np.linspace(float(riser.nodes[0]), float(riser.nodes[-1]), ELEMENTS + 1)
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    length = float(nodes[1] - nodes[0])
    tension = np.interp(middle, riser.middle, riser.tension(gear.vertical_pull()))
    load = np.interp(middle, riser.middle, riser.push(np.asarray(riser.current.si) ** 2))
    mass = float(riser.linear_mass(riser.mud_density)) + float(riser.added_mass)
    stiffness, ends = float(riser.bending_stiffness), riser.ends(float(gear.watch_offset))
    bending, masses = np.array([stiffness]), np.array([mass])

    def shape() -> object:
        return bent_beam(nodes, bending, tension, load, ends, "riser")

    def modes() -> object:
        return bending_modes(nodes, bending, tension, masses, ends, MODES)

    quick = bent_beam(nodes, bending, tension, load, ends, "riser")
    rows, heavy = plain_matrices(length, stiffness, tension.tolist(), mass, ends)
    plain = plain_shape(rows, length, load.tolist(), float(gear.watch_offset))
    off = float(np.abs(np.array(plain[0::2]) - quick.displacement).max())
    found = bending_modes(nodes, bending, tension, masses, ends, MODES).frequency[:PLAIN_MODES]
    slow = np.array(plain_modes(rows, heavy, PLAIN_MODES))
    apart = float(np.abs(slow / found - 1.0).max())
    assert off < 1e-5, off
    assert apart < 1e-5, apart
    own = timed(shape, ROUNDS)
    loop = timed(lambda: plain_shape(rows, length, load.tolist(), float(gear.watch_offset)), 3)
    print(
        f"shape, {ELEMENTS} elements: {own:.2f} ms (target {SHAPE_TARGET:g} ms); plain loop "
        f"{loop:.0f} ms; displacements agree within {off:.1e} m"
    )
    own = timed(modes, ROUNDS)
    loop = timed(lambda: plain_modes(rows, heavy, PLAIN_MODES), 1)
    print(
        f"{MODES} modes: {own:.1f} ms (target {MODES_TARGET:g} ms); plain loop for "
        f"{PLAIN_MODES} of them {loop:.0f} ms; they agree within {apart:.1e}"
    )
    sea = timed(lambda: swaying.__wrapped__(riser), 3)  # type: ignore[attr-defined]
    print(f"riser in the planned sea: {sea:.0f} ms")


if __name__ == "__main__":
    main()
