"""Choosing the steel of six strings against eight load cases at 10 m nodes.

    .venv/bin/python benchmarks/steel.py

The plain reference asks the same questions one node, one pipe, one case at a time, as a loop
would be written, and must find the same string: it is what the search is compared with.
"""

from __future__ import annotations

import time
from itertools import permutations

import numpy as np

from bathybore.kernels.segments import ballooning_force, factored_pressure_difference
from bathybore.kernels.string_mechanics import wall_tension
from bathybore.kernels.tubular_collapse import collapse_pressure_under_tension
from bathybore.kernels.tubular_strength import internal_yield_pressure
from bathybore.kernels.tubular_stress import axial_stress_of_force, triaxial_equivalent_stress
from bathybore.search.steel import Candidate, Factors, Length, Loads, lightest, tension_ranges

FACTORS = Factors(burst=1.1, collapse=1.125, triaxial=1.25, most_lengths=2)
TARGET = 0.5  # [s] for all strings
INCH = 0.0254
# (outside diameter [in], length [m], walls [in])
STRINGS = (
    (20.0, 900.0, (0.438, 0.500, 0.635)),
    (16.0, 1500.0, (0.438, 0.495, 0.575)),
    (13.375, 2200.0, (0.430, 0.480, 0.514)),
    (11.75, 2800.0, (0.435, 0.489, 0.534)),
    (9.625, 3600.0, (0.435, 0.472, 0.545)),
    (7.0, 4200.0, (0.362, 0.408, 0.453)),
)


def problem(
    size: float, length: float, walls: tuple[float, ...]
) -> tuple[np.ndarray, list[Candidate], list[Loads]]:
    z = np.arange(0.0, length + 1.0, 10.0)
    outside = size * INCH
    pipes = []
    for wall, grade in zip(walls, (552e6, 552e6, 758e6), strict=True):
        wall = wall * INCH
        area = np.pi * (outside - wall) * wall
        weight = area * (7850.0 - 1200.0) * 9.81
        strength = grade * (1.0 - 3e-4 * 0.03 * z)
        pipes.append(
            Candidate(
                "p", outside, outside - 2 * wall, wall, weight, strength, 0.5 * grade * area, 1e9
            )
        )
    deep = 25e6 + 11e3 * z
    share = min(1.0, 9.625 / size)  # large pipe sees shallow pressures
    cases = []
    for number in range(8):
        burst = number % 2 == 0
        more = share * (9e6 + 2.6e6 * number) * (0.7 + 0.6 * z / z[-1])
        inside = deep + more if burst else deep - 0.4 * more
        placed = number > 2
        cases.append(
            Loads(
                f"case-{number}",
                inside,
                deep,
                ("triaxial", "burst" if burst else "collapse"),
                deep if placed else None,
                deep if placed else None,
            )
        )
    return z, pipes, cases


def node_holds(pipe: Candidate, case: Loads, node: int, tension: float) -> bool:
    inside, outside = float(case.internal_pressure[node]), float(case.external_pressure[node])
    strength = float(pipe.yield_strength[node])
    if case.placed_internal is None or case.placed_external is None:
        force = wall_tension(tension, inside, outside, pipe.outside_diameter, pipe.inside_diameter)
    else:
        before, around = float(case.placed_internal[node]), float(case.placed_external[node])
        force = wall_tension(tension, before, around, pipe.outside_diameter, pipe.inside_diameter)
        force += ballooning_force(
            inside - before, outside - around, pipe.outside_diameter, pipe.inside_diameter
        )
    stress = triaxial_equivalent_stress(pipe.outside_diameter, pipe.wall, force, inside, outside)
    if stress * FACTORS.triaxial > strength:
        return False
    if "burst" in case.asks:
        need = factored_pressure_difference(inside, outside, FACTORS.burst)
        return bool(internal_yield_pressure(pipe.outside_diameter, pipe.wall, strength) >= need)
    need = factored_pressure_difference(outside, inside, FACTORS.collapse)
    axial = axial_stress_of_force(force, pipe.outside_diameter, pipe.wall)
    return bool(
        collapse_pressure_under_tension(pipe.outside_diameter, pipe.wall, strength, axial, inside)
        >= need
    )


def looped(z: np.ndarray, pipes: list[Candidate], cases: list[Loads]) -> float | None:
    """Return the weight of the lightest string: every order of pipes, every depth of the change."""
    best = None
    for order in (*((i,) for i in range(len(pipes))), *permutations(range(len(pipes)), 2)):
        lower, upper = pipes[order[-1]], pipes[order[0]]
        for cut in range(1, len(z) - 1) if len(order) == 2 else (0,):
            lengths = (z[-1] - z[cut], z[cut] - z[0])
            if len(order) == 2 and min(lengths) < FACTORS.shortest_length:
                continue
            weight = lower.weight_per_length * lengths[0] + upper.weight_per_length * lengths[1]
            if best is not None and weight >= best:
                continue
            if holds(z, pipes, cases, order, cut):
                best = weight
    return best


def holds(
    z: np.ndarray, pipes: list[Candidate], cases: list[Loads], order: tuple[int, ...], cut: int
) -> bool:
    lower, upper = pipes[order[-1]], pipes[order[0]]
    at_cut = lower.weight_per_length * (z[-1] - z[cut])
    for node in range(len(z) - 1, -1, -1):
        standing = [lower] if node > cut else [upper] if node < cut else [lower, upper]
        below = lower.weight_per_length * (z[-1] - z[node])
        if node < cut:
            below = at_cut + upper.weight_per_length * (z[cut] - z[node])
        for pipe in standing if len(order) == 2 else [lower]:
            if below > pipe.tension_limit or not all(
                node_holds(pipe, one, node, below) for one in cases
            ):
                return False
    return True


def weight_of(
    z: np.ndarray, pipes: list[Candidate], lengths: tuple[Length, ...] | None
) -> float | None:
    if lengths is None:
        return None
    return float(
        sum(pipes[one.pipe].weight_per_length * (z[one.bottom] - z[one.top]) for one in lengths)
    )


def main() -> None:
    whole, loop = 0.0, 0.0
    for size, length, walls in STRINGS:
        z, pipes, cases = problem(size, length, walls)
        times = []
        for _ in range(5):
            begun = time.perf_counter()
            found = lightest(z, pipes, tension_ranges(pipes, cases, FACTORS), FACTORS)
            times.append(time.perf_counter() - begun)
        begun = time.perf_counter()
        plain = looped(z, pipes, cases)
        loop_time = time.perf_counter() - begun
        ours = weight_of(z, pipes, found)
        same = (
            ours is plain
            if plain is None
            else ours is not None and abs(ours - plain) < 1e-6 * plain
        )
        told = "none" if ours is None else f"{ours / 1e3:8.1f} kN in {len(found or ())}"
        print(f"{size:7.3f} in {length:6.0f} m  {told:>20}  {min(times) * 1e3:7.1f} ms  "
              f"loop {loop_time:7.2f} s  {'same' if same else 'DIFFERENT'}")  # fmt: skip
        whole, loop = whole + min(times), loop + loop_time
    print(
        f"six strings, eight cases: {whole:.3f} s (wanted {TARGET} s), "
        f"{loop / whole:.0f} times as fast as the loop"
    )


if __name__ == "__main__":
    main()
