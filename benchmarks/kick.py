"""A kick followed through 8 km of hole for 12 simulated hours.

    .venv/bin/python benchmarks/kick.py

The plain reference follows the same parcels one by one, as a loop would be written, and must
come to the same pressures, gains and gas: it is what the kernel is compared with.
"""

from __future__ import annotations

import time
from bisect import bisect_right
from math import ceil, exp

import numpy as np

from bathybore.kernels.gas import (
    METHANE_CRITICAL_PRESSURE,
    METHANE_CRITICAL_TEMPERATURE,
    METHANE_GRAVITY,
    gas_density,
    gas_z_factor,
)
from bathybore.kernels.kick_march import Channel, Followed, Influx, Phase, follow

TARGET = 2.0  # [s]
STEP, GRAVITY, MUD, SLOW = 60.0, 9.81, 1400.0, 600 / 60000
AIR = 101_325.0
DEPTH = np.array([8000.0, 7800.0, 6600.0, 2500.0, -28.0])
CHANNEL = Channel(
    depth=DEPTH,
    temperature=np.array([430.0, 425.0, 385.0, 276.0, 290.0]),
    area=np.array([0.0152, 0.0238, 0.0476, 0.0103]),
    length=-np.diff(DEPTH),
    friction=np.array([900.0, 500.0, 120.0, 330.0]),
    flow_rate=SLOW,
    bubbles=np.array([0.206, 0.206, 0.207, 0.212]),
    slugs=np.array([0.54, 0.52, 0.61, 0.34]),
)
STACK = 3
RISER = MUD * GRAVITY * 2528.0
HELD = (MUD + 25.0) * GRAVITY * 8028.0
INFLUX = Influx(mass=1200.0, duration=600.0, flow_rate=2000 / 60000)
# held so that gas is in the hole all the time: mud alone would be easy
PHASES = (
    Phase("closed in", 4 * 3600.0, 0.0, MUD),
    Phase("old mud", 8 * 3600.0, SLOW, MUD),
)
PLACES = np.array([7500.0, 6600.0, 4000.0])


def followed() -> Followed:
    return follow(
        CHANNEL, INFLUX, PHASES, mud_density=MUD, held=HELD, stack=STACK, riser_pressure=RISER,
        places=PLACES, step=STEP, gravity=GRAVITY,
    )  # fmt: skip


def line(x: float, xs: list[float], ys: list[float]) -> float:
    """Return a broken straight line at x, level beyond its ends."""
    if x <= xs[0]:
        return ys[0]
    if x >= xs[-1]:
        return ys[-1]
    i = bisect_right(xs, x) - 1
    return ys[i] + (ys[i + 1] - ys[i]) * (x - xs[i]) / (xs[i + 1] - xs[i])


_A = (0.3265, -1.0700, -0.5339, 0.01569, -0.05165, 0.5475, -0.7361, 0.1844, 0.1056, 0.6134, 0.7210)


def dense_near(pressure: float, warm: float, near: float) -> float:
    """Density of methane after Dranchuk & Abou-Kassem, by Newton's rule."""
    t, wanted = warm / METHANE_CRITICAL_TEMPERATURE, pressure / METHANE_CRITICAL_PRESSURE
    unit = 0.27 * 8.31446261815324 * METHANE_CRITICAL_TEMPERATURE
    unit /= METHANE_CRITICAL_PRESSURE * METHANE_GRAVITY * 0.0289647
    c1 = _A[0] + _A[1] / t + _A[2] / t**3 + _A[3] / t**4 + _A[4] / t**5
    pull = _A[6] / t + _A[7] / t**2
    c2, c3, c4, ideal = _A[5] + pull, _A[8] * pull, _A[9] / t**3, t / 0.27
    r = near * unit
    for _ in range(50):
        tail = c4 * exp(-_A[10] * r * r)
        damped = _A[10] * r * r
        z = 1.0 + c1 * r + c2 * r * r - c3 * r**5 + tail * (1.0 + damped) * r * r
        slope = c1 + 2 * c2 * r - 5 * c3 * r**4
        slope += 2 * r * tail * (1.0 + damped - damped * damped)
        step = (wanted - r * z * ideal) / ((z + r * slope) * ideal)
        r += step
        if abs(step) <= 1e-6 * r:
            return r / unit
    raise ArithmeticError("gas density")


class Loop:
    """The same parcels, one by one: [mud, mud mass, gas, density, pressure, flux], bottom first."""

    def __init__(self) -> None:
        self.volumes = [float(v) for v in CHANNEL.volumes]
        self.depths, self.warmth = DEPTH.tolist(), CHANNEL.temperature.tolist()
        self.losses = [0.0] * len(self.volumes)
        self.rate = INFLUX.flow_rate
        self.room = self.volumes[STACK]
        self.parcels = self.full(0.0, self.room)
        self.choke: list[float] = []
        self.gain: list[float] = []
        self.gas_out = self.pumped = self.returned = self.entered = self.bottom = 0.0

    def full(self, low: float, high: float) -> list[list[float]]:
        size = (high - low) / 150
        height = [DEPTH[0] - d for d in self.depths]
        made = []
        for i in range(150):
            up = line(low + (i + 0.5) * size, self.volumes, height)
            pressure = max(HELD - MUD * GRAVITY * up + AIR, AIR)
            z = float(gas_z_factor(pressure, self.warmth[0]))
            dense = float(gas_density(pressure, self.warmth[0], z, METHANE_GRAVITY))
            made.append([size, size * MUD, 0.0, dense, pressure, 0.0])
        return made

    def take(self, volume: float, gas: float) -> None:
        dense, pressure, flux = self.parcels[0][3:]
        new = [[volume / 2, volume * MUD / 2, gas / 2, dense, pressure, flux] for _ in range(2)]
        self.parcels = new + self.parcels
        self.pumped += volume
        self.entered = volume + gas / dense

    def gassy(self) -> tuple[int, int]:
        there = [i for i, p in enumerate(self.parcels) if p[2] > 1e-9 * INFLUX.mass]
        return (there[0], there[-1] + 1) if there else (0, 0)

    def drift(self, dt: float) -> None:
        first, end = self.gassy()
        if not end:
            return
        top, rise, fastest = 0.0, [], 0.0
        for i, (mud, _, gas, dense, _, flux) in enumerate(self.parcels):
            volume = mud + gas / dense
            top += volume
            middle = min(top - 0.5 * volume, self.volumes[-1] * (1.0 - 1e-12))
            k = bisect_right(self.volumes, middle) - 1
            carried = 0.2 * max(flux, 0.0)
            area = CHANNEL.area[k]
            rise.append((carried, CHANNEL.bubbles[k], CHANNEL.slugs[k], area))
            if first <= i < end and volume > 1e-9:
                slow = gas / (dense * max(volume, 1e-12)) < 0.25
                quick = carried + (CHANNEL.bubbles[k] if slow else CHANNEL.slugs[k]) * area
                fastest = max(fastest, quick * dt / volume)
        rounds = ceil(fastest / 0.8)
        for number in range(rounds):
            stop = min(end + number, len(self.parcels) - 1)
            before = [p.copy() for p in self.parcels[first : stop + 1]]
            for i in range(first, stop):
                self.pass_up(i, before[i - first], before[i - first + 1], rise[i], dt / rounds)

    def pass_up(
        self, i: int, own: list[float], over: list[float], rise: tuple[float, ...], dt: float
    ) -> None:
        bubble = own[2] / own[3]
        share = bubble / max(own[0] + bubble, 1e-30)
        carried, bubbles, slugs, area = rise
        speed = carried + (bubbles if share < 0.25 else slugs) * area
        wanted = share * speed * min(1.0, (1.0 - share) / 0.3) * dt
        moved = min(wanted, bubble, over[0])
        if over[2] == 0.0:
            self.parcels[i + 1][3] = own[3]
        up, down = moved * own[3], moved * over[1] / max(over[0], 1e-30)
        for parcel, sign in ((self.parcels[i], 1.0), (self.parcels[i + 1], -1.0)):
            parcel[2] -= sign * up
            parcel[0] += sign * moved
            parcel[1] += sign * down

    def settle(self, dt: float, top: float | None, held: float | None) -> float:
        first, end = self.gassy()
        before, total = [], -self.entered
        for mud, _, gas, dense, _, _ in self.parcels:
            total += mud + gas / dense
            before.append(total)
        for _ in range(60):
            self.compress(first, end)
            tops, total = [], 0.0
            for mud, _, gas, dense, _, _ in self.parcels:
                total += mud + gas / dense
                tops.append(total)
            fallen, sunk = [0.0], 0.0
            z_low, loss_low = self.depths[0], 0.0
            for i, parcel in enumerate(self.parcels):
                high = min(tops[i], self.room)
                z = line(high, self.volumes, self.depths)
                loss = line(high, self.volumes, self.losses)
                volume = max(parcel[0] + parcel[2] / parcel[3], 1e-12)
                density = (parcel[1] + parcel[2]) / volume
                parcel[5] = (tops[i] - before[i]) / dt
                speed = max(parcel[5], 0.0) / self.rate
                sunk += (z_low - z) * density * GRAVITY
                sunk += (loss - loss_low) * (density / MUD) * speed**1.8
                fallen.append(sunk)
                z_low, loss_low = z, loss
            self.bottom = max(held, sunk) if held is not None else sunk + (top or 0.0)
            change = 0.0
            for i, parcel in enumerate(self.parcels):
                pressure = self.bottom - 0.5 * (fallen[i] + fallen[i + 1]) + AIR
                if first <= i < end:
                    change = max(change, abs(pressure - parcel[4]))
                parcel[4] = pressure
            if change <= 1e-6 * self.bottom:
                return self.bottom - sunk
        raise ArithmeticError("pressures")

    def compress(self, first: int, end: int) -> None:
        top = 0.0
        for i in range(end):
            parcel = self.parcels[i]
            volume = parcel[0] + parcel[2] / parcel[3]
            top += volume
            if i >= first:
                warm = line(top - 0.5 * volume, self.volumes, self.warmth)
                parcel[3] = dense_near(max(parcel[4], AIR), warm, parcel[3])

    def spill(self) -> float:
        top = gone = 0.0
        kept = []
        for parcel in self.parcels:
            volume = parcel[0] + parcel[2] / parcel[3]
            top += volume
            share = min(max((top - self.room) / max(volume, 1e-30), 0.0), 1.0)
            gone += parcel[2] * share
            self.returned += parcel[0] * share
            for k in (0, 1, 2):
                parcel[k] *= 1.0 - share
            if share < 1.0:
                kept.append(parcel)
        self.parcels = kept
        return gone

    def top_up(self) -> None:
        void = max(self.room - sum(p[0] + p[2] / p[3] for p in self.parcels), 0.0)
        self.parcels[-1][0] += void
        self.parcels[-1][1] += void * MUD
        self.pumped += void

    def run(self) -> None:
        count = ceil(INFLUX.duration / STEP)
        for _ in range(count):
            dt = INFLUX.duration / count
            self.take(INFLUX.flow_rate * dt, float(INFLUX.mass) / count)
            self.drift(dt)
            self.settle(dt, RISER, None)
            self.spill()
        self.parcels += self.full(self.room, self.volumes[-1])
        for parcel in self.parcels:
            parcel[5] = 0.0
        self.room, self.rate = self.volumes[-1], CHANNEL.flow_rate
        rubbed = CHANNEL.friction * CHANNEL.length
        self.losses = [0.0, *np.cumsum(rubbed).tolist()]
        self.feed()
        for phase in PHASES:
            left = phase.duration
            while left > 1e-9:
                left -= self.circulate(phase, left)

    def feed(self) -> None:
        self.entered, more = 0.0, 1.0
        while more > 1e-6 * float(INFLUX.mass):
            self.settle(1e6, None, HELD)
            void = max(self.room - sum(p[0] + p[2] / p[3] for p in self.parcels), 0.0)
            more = void * self.parcels[0][3]
            if more > 1e-6 * float(INFLUX.mass):
                self.parcels[0][2] += more
        for parcel in self.parcels:
            parcel[5] = 0.0

    def circulate(self, phase: Phase, left: float) -> float:
        gas_left = sum(p[2] for p in self.parcels) > 1e-6 * INFLUX.mass
        dt = min(left, STEP if gas_left else 4.0 * STEP)
        self.entered = 0.0
        if phase.flow_rate > 0.0:
            self.take(phase.flow_rate * dt, 0.0)
        self.drift(dt)
        self.choke.append(self.settle(dt, None, HELD))
        self.top_up()
        self.gas_out += self.spill()
        self.gain.append(self.returned - self.pumped)
        return dt


def main() -> int:
    best, fast = np.inf, followed()
    for _ in range(3):
        began = time.perf_counter()
        fast = followed()
        best = min(best, time.perf_counter() - began)
    slow, began = Loop(), time.perf_counter()
    slow.run()
    looped = time.perf_counter() - began
    closed = fast.phase > 0
    apart = max(
        np.max(np.abs(fast.choke[0, closed] - slow.choke)) / HELD,
        np.max(np.abs(fast.pit_gain[0, closed] - slow.gain)) / np.max(slow.gain),
        abs(float(fast.gas_out[0]) - slow.gas_out) / float(INFLUX.mass),
    )
    same = apart < 1e-6
    hours = fast.time[-1] / 3600.0
    print(f"a kick through 8 km of hole, {hours:.1f} simulated hours, {len(fast.time)} steps")
    print(f"  kernel {best:.2f} s (target {TARGET:.0f} s); plain loop {looped:.1f} s")
    print(f"  same answer within {apart:.1e}: {'yes' if same else 'NO'}")
    return 0 if same and best < TARGET else 1


if __name__ == "__main__":
    raise SystemExit(main())
