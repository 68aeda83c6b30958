"""A vessel held at sea: gusts, slow drift of a run of waves, wave filter, control, thrusters.

Motion is followed as small about the place to be held, in axes of the ship. What is linear
(hull, observer with its wave filter, integral control) is stepped exactly, forces held over a
step; what is not (thrust and its rate are limited) is done thruster by thruster in between.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import InputErrors, NotConverged
from bathybore.base.registry import Limit, published
from bathybore.kernels.waves import jonswap_spectral_density

_N: Final = 0.468


@published(
    formula='S_u = 320 (U_h / (10 "m/s"))^2 (z_a / (10 "m"))^0.45 / (1 + tilde(f)^0.468)^3.561, \\ '
    'tilde(f) = 172 f_g (z_a / (10 "m"))^(2 / 3) (U_h / (10 "m/s"))^(-0.75)',
    source="dnv-rp-c205",
    where="spectrum of gusts measured at Frøya (also ISO 19901-1); from memory",
    valid={
        "gust_frequency": Limit(1.0 / 2400.0, 0.5, "gusts of 2 s to 40 min"),
        "hourly_wind_speed": Limit(5.0, 50.0),
        "height_above_sea": Limit(1.0, 150.0),
    },
    validity_note="strong winds over open sea, near-neutral air",
    example={
        "gust_frequency": "0.01 Hz",
        "hourly_wind_speed": "18 m/s",
        "height_above_sea": "10 m",
    },
)
def gust_spectral_density(
    gust_frequency: Real, hourly_wind_speed: Real, height_above_sea: Real
) -> Real:
    """Spectral density of the wind along its mean direction.

    Parameters
    ----------
    gust_frequency : [1/s]
        Frequency of the gusts, in turns.
    hourly_wind_speed : [m/s]
        One-hour mean at 10 m above the sea.
    height_above_sea : [m]
        Height.

    Returns
    -------
    gust_spectral_density : [m2/s]
        Variance of the wind speed per frequency.
    """
    height, wind = height_above_sea / 10.0, hourly_wind_speed / 10.0
    shape = 172.0 * gust_frequency * height ** (2.0 / 3.0) * wind**-0.75
    return 320.0 * wind**2 * height**0.45 / (1.0 + shape**_N) ** (5.0 / (3.0 * _N))


def gust_record(
    rng: np.random.Generator, wind: float, height: float, count: int, step: float
) -> Array:
    """Return the wind less its mean, in time [m/s]."""
    frequency: Array = np.fft.rfftfreq(count, step).astype(np.float64)
    density = np.zeros_like(frequency)
    known = frequency >= 1.0 / 2400.0
    density[known] = gust_spectral_density(frequency[known], wind, height)
    return np.asarray(_record(rng, density * frequency[1], count).real)


def wave_record(
    rng: np.random.Generator, sea: tuple[float, float, float], count: int, step: float
) -> Any:
    """Return the surface as a complex signal in time [m]: real part and envelope are its own.

    Parameters
    ----------
    sea : significant wave height [m], peak period [s], peak enhancement
    """
    omega: Array = 2.0 * np.pi * np.fft.rfftfreq(count, step).astype(np.float64)
    density = np.zeros_like(omega)
    density[1:] = jonswap_spectral_density(omega[1:], *sea)
    return _record(rng, density * omega[1], count)


def _record(rng: np.random.Generator, variance: Array, count: int) -> Any:
    """Return a Gaussian signal with a variance per frequency; the real part is the record."""
    size = len(variance)
    draw = rng.standard_normal(size) + 1j * rng.standard_normal(size)
    spectrum = np.zeros(count, dtype=complex)
    spectrum[:size] = np.sqrt(variance) * draw
    return np.fft.ifft(spectrum) * count


@dataclass(frozen=True, eq=False)
class Held:
    """A vessel under control; three axes are surge, sway, yaw.

    Attributes
    ----------
    mass : with the water that goes along (3,) [kg], [kg], [kg m2]
    damping : of slow motion (3,) [kg/s], [kg/s], [kg m2/s]
    load : mean load to be held (3,) [N], [N], [N m]
    x, y : places of the thrusters that run, forward and to port (n,) [m]
    thrust : greatest of each (n,) [N]
    response : time of a thruster to follow, and to come from none to full [s]
    period : of the vessel on its control [s]
    wave_period : that the wave filter is set to [s]
    """

    mass: Array
    damping: Array
    load: Array
    x: Array
    y: Array
    thrust: Array
    response: float
    period: float
    wave_period: float


@dataclass(frozen=True, eq=False)
class Keeping:
    """What came of it (step, axis or thruster, realisation).

    Attributes
    ----------
    place : surge, sway [m] and heading [rad] off the place to be held
    share : of the greatest thrust that the thruster most loaded gives (step, realisation)
    short : share of the steps in which not all was given that was asked for
    """

    step: float
    place: Array
    share: Array
    short: float

    @property
    def offset(self) -> Array:
        """Distance from the place to be held (step, realisation) [m]."""
        return np.hypot(self.place[:, 0], self.place[:, 1])


_RELATIVE_DAMPING: Final = 0.8
_INTEGRAL: Final = 0.1  # of the frequency of control (Fossen 2011)
_NOTCH, _NOTCH_DAMPING = 1.0, 0.1  # of the wave filter and of the model of the waves
_CUT: Final = 1.22  # cut-off of the wave filter over the peak frequency (Fossen 2011)
_STATES: Final = 8  # an axis: place, speed, two of the waves, place, speed and force seen, integral


def keep_station(held: Held, load: Array, waves: Array, step: float) -> Keeping:
    """Follow a vessel that begins at rest on its place with the mean load in its thrusters.

    The observer is the passive one of Fossen and Strand, axis by axis; control acts on what it
    sees with a proportional, a speed and an integral part. Thrust is shared by the
    pseudo-inverse, cut back by one factor for all where a thruster has no more, and follows with
    a lag and a greatest rate. Barred sectors are left out.

    Parameters
    ----------
    held : the vessel
    load : on the hull less its mean (step, axis, realisation)
    waves : motion with the waves that the position reference also sees (step, axis, realisation)
    step : [s]

    Raises
    ------
    InputErrors
        The thrusters that run cannot push along, across and turn.
    NotConverged
        The control is not stable, or the motion ran off.
    """
    effect, share_out = _sharing(held)
    turn = _transition(held, step)
    gain = _gains(held)
    steps, _, realisations = load.shape
    count = len(held.thrust)
    # what is driven from outside, for all steps at once
    driven = np.einsum("saj,tjr->tsar", turn.load, load) + np.einsum(
        "saj,tjr->tsar", turn.seen, waves
    )
    driven = driven.reshape(steps, 3 * _STATES, realisations)
    state = np.zeros((3 * _STATES, realisations))
    limit, follow = held.thrust[:, None], 1.0 - np.exp(-step / held.response)
    give = np.repeat((share_out @ -held.load)[:, None], realisations, axis=1)
    give = give * np.minimum(
        1.0, (limit / np.maximum(np.hypot(give[:count], give[count:]), 1e-9)).min(axis=0)
    )
    quickest = limit * step / held.response
    place = np.empty((steps, 3, realisations))
    used, short = np.empty((steps, realisations)), 0
    transition, applied = turn.state, turn.thrust
    mean = held.load[:, None]
    for number in range(steps):
        place[number] = state[::_STATES]
        want = share_out @ (gain @ state - mean)
        size = np.hypot(want[:count], want[count:])
        cut = np.minimum(1.0, (limit / np.maximum(size, 1e-9)).min(axis=0))
        change = follow * (cut * want - give)
        size = np.hypot(change[:count], change[count:])
        held_back = np.minimum(1.0, quickest / np.maximum(size, 1e-9))
        give = give + change * np.concatenate([held_back, held_back])
        used[number] = (np.hypot(give[:count], give[count:]) / limit).max(axis=0)
        short += int(np.count_nonzero(cut < 1.0))
        state = transition @ state + applied @ (effect @ give + mean) + driven[number]
    if not np.isfinite(state).all():
        raise NotConverged("station keeping in time: the motion ran off to what is no number")
    return Keeping(step, place, used, short / (steps * realisations))


def _sharing(held: Held) -> tuple[Array, Array]:
    """Return what thrusts give together, and how a demand is shared out; forward, then port."""
    count = len(held.thrust)
    effect = np.zeros((3, 2 * count))
    effect[0, :count] = effect[1, count:] = 1.0
    effect[2, :count], effect[2, count:] = -held.y, held.x
    if np.linalg.matrix_rank(effect) < 3:
        raise InputErrors.one(
            "thrusters", f"{count} that run", "thrusters that can push along, across and turn"
        )
    weight = np.concatenate([held.thrust, held.thrust]) ** 2
    scale = np.diag([1.0, 1.0, 1.0 / max(float(np.abs(held.x).max()), 1.0)])
    scaled = scale @ effect
    share_out = (weight[:, None] * scaled.T) @ np.linalg.inv((scaled * weight) @ scaled.T) @ scale
    return effect, share_out


def _gains(held: Held) -> Array:
    """Return the force of control from the state (3, 3 * states)."""
    omega = 2.0 * np.pi / held.period
    gain = np.zeros((3, 3 * _STATES))
    for axis in range(3):
        stiff = held.mass[axis] * omega**2
        speed = 2.0 * _RELATIVE_DAMPING * held.mass[axis] * omega - held.damping[axis]
        at = axis * _STATES
        gain[axis, at + 4] = -stiff
        gain[axis, at + 5] = -max(speed, 0.0)
        gain[axis, at + 7] = -_INTEGRAL * omega * stiff
    return gain


@dataclass(frozen=True, eq=False)
class _Transition:
    """One step of what is linear: of the state, and of thrust, load and waves seen.

    Attributes
    ----------
    state : (3 * states, 3 * states)
    thrust : (3 * states, 3): on the hull and known to the observer
    load, seen : (3, states, 3): axis, state of it, from which axis
    """

    state: Array
    thrust: Array
    load: Array
    seen: Array


def _transition(held: Held, step: float) -> _Transition:
    from scipy.linalg import expm

    size = 3 * _STATES
    rates, inputs = np.zeros((size, size)), np.zeros((size, 9))
    for axis in range(3):
        at = slice(axis * _STATES, (axis + 1) * _STATES)
        own, pushed, loaded, seen = _axis_rates(held, axis)
        rates[at, at] = own
        for column, block in ((axis, pushed), (3 + axis, loaded), (6 + axis, seen)):
            inputs[at, column] = block
    closed = rates + inputs[:, :3] @ _gains(held)
    if np.linalg.eigvals(closed).real.max() >= 0.0:
        raise NotConverged("station keeping in time: control and observer are not stable together")
    whole = np.zeros((size + 9, size + 9))
    whole[:size, :size], whole[:size, size:] = rates, inputs
    stepped = expm(whole * step)
    state, forced = stepped[:size, :size], stepped[:size, size:]
    return _Transition(
        state,
        forced[:, :3],
        forced[:, 3:6].reshape(3, _STATES, 3),
        forced[:, 6:].reshape(3, _STATES, 3),
    )


def _axis_rates(held: Held, axis: int) -> tuple[Array, Array, Array, Array]:
    """Return rates of one axis from its state, thrust, load and the waves that are seen."""
    mass, damping = float(held.mass[axis]), float(held.damping[axis])
    wave = 2.0 * np.pi / held.wave_period
    cut = _CUT * wave
    slow = 2.0 * np.pi / held.period
    k1 = -2.0 * (_NOTCH - _NOTCH_DAMPING) * cut / wave
    k2 = 2.0 * wave * (_NOTCH - _NOTCH_DAMPING)
    # the observer's slow motion: three times as quick as control, its force as control itself
    k3, k4 = cut, mass * (3.0 * slow) ** 2
    k5 = k4 * slow
    # error of what is seen: place + waves - (waves modelled + place estimated)
    error = np.array([1.0, 0.0, 0.0, -1.0, -1.0, 0.0, 0.0, 0.0])
    rates = np.zeros((_STATES, _STATES))
    rates[0, 1], rates[1, 1] = 1.0, -damping / mass
    # the modelled waves: an oscillator at their frequency, led by the error
    rates[2], rates[3] = k1 * error, k2 * error
    rates[2, 3] += 1.0
    rates[3, 2:4] -= wave**2, 2.0 * _NOTCH_DAMPING * wave
    rates[4] = k3 * error
    rates[4, 5] += 1.0
    rates[5] = k4 / mass * error
    rates[5, 5] -= damping / mass
    rates[5, 6] += 1.0 / mass
    rates[6] = k5 * error
    rates[7, 4] = 1.0
    pushed, loaded, seen = np.zeros(_STATES), np.zeros(_STATES), np.zeros(_STATES)
    pushed[1] = pushed[5] = 1.0 / mass
    loaded[1] = 1.0 / mass
    seen[2:7] = k1, k2, k3, k4 / mass, k5
    return rates, pushed, loaded, seen
