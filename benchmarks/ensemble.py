"""Time of making and asking many members of a hole, beside plain loops with the same answers.

    python benchmarks/ensemble.py

The main example, some 200 depths: earth, mud, strings, circulation and kick of every member, and
what its casings bear of the hole below them. Chunks of 512 members against a loop from member to
member with Python's own floats (benchmarks/plain_holes.py, plain_casings.py), whose answers are
compared member by member. Processor time of one core, rounds interleaved, the least counts.
More workers are processes: `ensemble_spread.py` times those, and the odds from end to end. What
is worked out once a hole (friction of a planned flow, a planned cement job) is in neither.
Targets are printed, not enforced: machines differ.
"""

from __future__ import annotations

import math
import resource
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from plain_casings import PlainStrength, plain_casings
from plain_holes import plain_hole, plain_made, plain_rock

from bathybore.base.arrays import Array
from bathybore.ensembles.casings import CasingBites, casing_bites
from bathybore.ensembles.drawing import central, draw
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.making import made
from bathybore.ensembles.shapes import LIMITS, Drawn, Frame, Made, Policy
from bathybore.kernels.density_window import (
    density_of_column,
    greatest_mud_density_with_kick,
    kick_breaks_weak_point,
)
from bathybore.kernels.gas import gas_column_top_pressure, gas_z_factor
from bathybore.kernels.tubular_collapse import collapse_pressure_under_tension
from bathybore.kernels.tubular_stress import triaxial_equivalent_stress
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty

EXAMPLE = Path(__file__).parents[1] / "examples" / "main"
CHUNK, PLAIN, ROUNDS = 512, 8, 7
WANTED, TARGET = 50.0, 80.0
CLOSE = 1e-9


def seconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def compared(frame: Frame, policy: Policy, drawn: Drawn, holes: Made, bites: CasingBites) -> None:
    """Compare the first members with the plain loops; stop where they differ."""
    plain, casings = plain_hole(frame, policy), plain_casings(frame)
    for member in range(PLAIN):
        shoes, density, string, ends, why = plain_made(plain, drawn, member)
        np.testing.assert_allclose(holes.shoes[member], shoes, rtol=CLOSE)
        np.testing.assert_allclose(holes.density[member], density, rtol=CLOSE)
        np.testing.assert_array_equal(holes.string[member], string)
        assert holes.ends[member] == ends, "the plain loop ends elsewhere"
        assert holes.ends_by[member] == (-1 if why is None else LIMITS.index(why))
        strength = PlainStrength(plain, plain_rock(plain, drawn, member), drawn, member, density)
        borne = strength.bites(casings, shoes, string)
        np.testing.assert_allclose(bites.depth[member], borne, rtol=CLOSE)


def against_plain(frame: Frame, policy: Policy, drawn: Drawn) -> None:
    holes = made(frame, policy, drawn)
    compared(frame, policy, drawn, holes, casing_bites(frame, holes, drawn))
    plain, casings = plain_hole(frame, policy), plain_casings(frame)
    members = range(PLAIN)
    makings = [plain_made(plain, drawn, member) for member in members]

    def plain_makings() -> None:
        for member in members:
            plain_made(plain, drawn, member)

    def plain_bites() -> None:
        for member in members:
            shoes, density, string, _, _ = makings[member]
            rock = plain_rock(plain, drawn, member)
            PlainStrength(plain, rock, drawn, member, density).bites(casings, shoes, string)

    works: dict[str, tuple[Callable[[], object], Callable[[], object]]] = {
        "holes made": (lambda: made(frame, policy, drawn), plain_makings),
        "casings asked": (lambda: casing_bites(frame, holes, drawn), plain_bites),
    }
    best = {name: [math.inf, math.inf] for name in works}
    for _ in range(ROUNDS):
        for name, pair in works.items():
            for side, (work, count) in enumerate(zip(pair, (CHUNK, PLAIN), strict=True)):
                best[name][side] = min(best[name][side], seconds(work) / count)
    best["whole"] = [sum(one[side] for one in best.values()) for side in (0, 1)]
    print(f"{'one core, a member':24}{'chunk of 512':>14}{'plain loop':>14}{'times':>8}")
    for name, (fast, slow) in best.items():
        print(f"{name:24}{fast * 1e3:11.3f} ms{slow * 1e3:11.1f} ms{slow / fast:8.0f}")
    print(f"{'':24}wanted {WANTED:.0f} times, target {TARGET:.0f}")


def one_member(frame: Frame, policy: Policy, drawn: Drawn) -> None:
    def whole() -> None:
        holes = made(frame, policy, drawn)
        casing_bites(frame, holes, drawn)

    whole()
    best = min(seconds(whole) for _ in range(5 * ROUNDS))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    print(f"one member, warm: {best * 1e3:.1f} ms (wanted 3); most memory so far {peak:.0f} MB")


def nanoseconds(work: Callable[[], object], size: int) -> float:
    best = math.inf
    for _ in range(60):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best / size * 1e9


def machine(shape: tuple[int, int]) -> dict[str, float]:
    """Return what one element of an operation costs [ns] where all stays in the cache."""
    rng = np.random.default_rng(0)
    a, b, out = rng.uniform(0.5, 1.5, shape), rng.uniform(0.5, 1.5, shape), np.empty(shape)
    size = a.size
    return {
        "triad": nanoseconds(lambda: np.add(np.multiply(a, 3.0, out=out), b, out=out), size) / 2.0,
        "divide": nanoseconds(lambda: np.divide(a, b, out=out), size),
        "sqrt": nanoseconds(lambda: np.sqrt(a, out=out), size),
        "exp": nanoseconds(lambda: np.exp(a, out=out), size),
        "expm1": nanoseconds(lambda: np.expm1(a, out=out), size),
    }


def kernels() -> None:
    """Print what an element of each kernel costs, and what its operations would at the least."""
    shape = 64, 60
    rng, cost = np.random.default_rng(1), machine(shape)
    strong = rng.uniform(6e7, 9e7, shape)
    warm, gas = rng.uniform(300.0, 400.0, shape), rng.uniform(200.0, 300.0, shape)
    depth = np.linspace(4000.0, 7000.0, 60)
    inside, force = rng.uniform(1e7, 5e7, shape), rng.uniform(1e6, 3e6, shape)
    # operations of each as written: add and multiply, divisions, roots, exponentials
    asked: dict[str, tuple[Callable[[], Array | float], tuple[int, int, int, int, int]]] = {
        "density of a column": (
            lambda: density_of_column(strong, 0.0, 4.4e-10, 3.5e-4, warm, depth),
            (8, 1, 0, 1, 1),
        ),
        "kick": (
            lambda: greatest_mud_density_with_kick(
                strong, 0.0, depth, depth + 300.0, 1e6, 4.0, 0.015, gas
            ),
            (22, 3, 1, 0, 0),
        ),
        "kick, yes or no": (
            lambda: kick_breaks_weak_point(
                strong / gas, strong, 0.0, depth, depth + 300.0, 1e6, 4.0, 0.015, gas
            ),
            (16, 2, 0, 0, 0),
        ),
        # five looks at the equation of state, four of them steps of Newton's rule
        "z of gas": (lambda: gas_z_factor(strong, warm), (5 * 30 + 30, 5 + 8, 0, 5, 0)),
        "column of gas": (
            lambda: gas_column_top_pressure(strong, depth - 3900.0, warm),
            (5 * 36 + 40, 5 * 3 + 12, 0, 5 * 2 + 1, 0),
        ),
        "collapse": (
            lambda: collapse_pressure_under_tension(0.244, 0.012, 8e8, force / 0.008, inside),
            (90, 20, 2, 0, 0),
        ),
        "all stresses together": (
            lambda: triaxial_equivalent_stress(0.244, 0.012, force, inside, strong),
            (46, 3, 2, 0, 0),  # unbent: two points of the wall
        ),
    }
    told = ", ".join(f"{name} {one:.2f}" for name, one in cost.items())
    print(f"\nwhat the machine takes for an element in its cache [ns]: {told}")
    print(f"{'kernel':24}{'ns':>10}{'at least':>10}{'times':>8}")
    for name, (work, counts) in asked.items():
        least = sum(n * c for n, c in zip(counts, cost.values(), strict=True))
        got = nanoseconds(work, strong.size)
        print(f"{name:24}{got:10.1f}{least:10.1f}{got / least:8.1f}")


def main() -> None:
    hole = load_hole(EXAMPLE)
    frame = frame_of(hole)
    policy, uncertainty = planned_policy(frame), load_uncertainty(EXAMPLE, hole)
    drawn = draw(uncertainty, frame, 1, 0, CHUNK)
    print(f"{len(frame.depth)} depths, {len(frame.strings)} strings, {CHUNK} members a chunk")
    against_plain(frame, policy, drawn)
    one_member(frame, policy, central(uncertainty, frame))
    kernels()


if __name__ == "__main__":
    main()
