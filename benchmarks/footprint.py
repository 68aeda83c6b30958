"""Three hours of slow motion on station, against real time and against a plain loop.

    .venv/bin/python benchmarks/footprint.py

The plain reference steps the same equations number by number and must find the same places.
"""

from __future__ import annotations

import math
import time

import numpy as np

from bathybore.kernels import slow_motion
from bathybore.kernels.slow_motion import Held, Keeping, gust_record, keep_station, wave_record

TARGET = 2000.0  # times real time
HOURS = 3.0
STEP = 1.0
MASS = np.array([64e6, 90e6, 2.5e11])
HELD = Held(
    mass=MASS,
    damping=0.004 * MASS,
    load=np.array([-6.6e5, 5.7e5, 2.0e7]),
    x=np.array([88.0, 70.0, 70.0, -92.0, -72.0, -72.0]),
    y=np.array([0.0, 11.0, -11.0, 0.0, 12.0, -12.0]),
    thrust=np.full(6, 650e3),
    response=10.0,
    period=120.0,
    wave_period=11.0,
)


def environment(count: int) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(5)
    gust = gust_record(rng, 18.0, 10.0, count, STEP) / 18.0
    waves = wave_record(rng, (4.5, 11.0, 1.5), count, STEP)
    run = np.abs(waves) ** 2 / np.mean(np.abs(waves) ** 2) - 1.0
    load = np.outer(2.0 * gust, [-1.8e5, 2.4e5, 5e6]) + np.outer(run, [-4.4e5, 1.2e5, 2e6])
    seen = np.outer(waves.imag, [0.3, 0.1, 0.0])
    return load[..., None], seen[..., None]


def number_by_number(held: Held, load: np.ndarray, waves: np.ndarray, step: float) -> Keeping:
    """Step the same equations with plain numbers."""
    effect, share_out = (one.tolist() for one in slow_motion._sharing(held))
    turn, gain = slow_motion._transition(held, step), slow_motion._gains(held).tolist()
    size, count, steps = len(turn.state), len(held.thrust), len(load)
    state_of, thrust_of = turn.state.tolist(), turn.thrust.tolist()
    load_of, seen_of = (one.reshape(size, 3).tolist() for one in (turn.load, turn.seen))
    mean, limit = held.load.tolist(), held.thrust.tolist()
    follow = 1.0 - math.exp(-step / held.response)
    state = [0.0] * size
    give = [sum(row[a] * -mean[a] for a in range(3)) for row in share_out]
    places, used, short = [], [], 0
    for number in range(steps):
        places.append(state[::8])
        wanted = [
            sum(g * s for g, s in zip(gain[a], state, strict=True)) - mean[a] for a in range(3)
        ]
        want = [sum(row[a] * wanted[a] for a in range(3)) for row in share_out]
        cut = 1.0
        for n in range(count):
            cut = min(cut, limit[n] / max(math.hypot(want[n], want[count + n]), 1e-9))
        short += cut < 1.0
        for n in range(count):
            x = follow * (cut * want[n] - give[n])
            y = follow * (cut * want[count + n] - give[count + n])
            held_back = min(1.0, limit[n] * step / held.response / max(math.hypot(x, y), 1e-9))
            give[n], give[count + n] = give[n] + x * held_back, give[count + n] + y * held_back
        used.append(max(math.hypot(give[n], give[count + n]) / limit[n] for n in range(count)))
        pushed = [sum(effect[a][n] * give[n] for n in range(2 * count)) + mean[a] for a in range(3)]
        outside, seen = load[number, :, 0].tolist(), waves[number, :, 0].tolist()
        state = [
            sum(m * s for m, s in zip(state_of[i], state, strict=True))
            + sum(
                thrust_of[i][a] * pushed[a] + load_of[i][a] * outside[a] + seen_of[i][a] * seen[a]
                for a in range(3)
            )
            for i in range(size)
        ]
    place = np.array(places)[..., None]
    return Keeping(step, place, np.array(used)[:, None], short / steps)


def main() -> None:
    count = int(HOURS * 3600.0 / STEP)
    load, waves = environment(count)
    keep_station(HELD, load[:10], waves[:10], STEP)  # imports are not counted
    start = time.perf_counter()
    found = keep_station(HELD, load, waves, STEP)
    taken = time.perf_counter() - start
    start = time.perf_counter()
    plain = number_by_number(HELD, load, waves, STEP)
    slow = time.perf_counter() - start
    apart = float(np.abs(found.place - plain.place).max())
    times = HOURS * 3600.0 / taken
    print(f"{HOURS:g} h in {taken:.3f} s: {times:,.0f} times real time, target {TARGET:,.0f}")
    print(f"plain loop: {slow:.2f} s, {slow / taken:.1f} times as long")
    print(f"greatest offset {found.offset.max():.2f} m; greatest difference of place {apart:.1e} m")
    if apart > 1e-6:
        raise SystemExit("the two do not agree")


if __name__ == "__main__":
    main()
