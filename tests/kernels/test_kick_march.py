"""A kick in time: nothing is lost, and the simple cases come out as their closed forms."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from bathybore.base.errors import NotConverged
from bathybore.kernels.gas import density_near, gas_density, gas_z_factor
from bathybore.kernels.kick_march import (
    ATMOSPHERE,
    Channel,
    Followed,
    Influx,
    Phase,
    bubble_rise_velocity,
    follow,
    gas_velocity_by_drift,
    greatest_mean_rate,
    slug_rise_velocity,
)

G, MUD, SLOW = 9.81, 1400.0, 500 / 60000
DEPTH = np.array([7100.0, 5900.0, 2480.0, -24.0])
STILL = Channel(
    depth=DEPTH,
    temperature=np.array([390.0, 360.0, 277.0, 290.0]),
    area=np.array([0.019, 0.05, 0.0103]),
    length=-np.diff(DEPTH),
    friction=np.zeros(3),
    flow_rate=SLOW,
    bubbles=np.zeros(3),
    slugs=np.zeros(3),
    profile_coefficient=1.0,
)
RISING = replace(STILL, bubbles=np.full(3, 0.25), slugs=np.full(3, 0.5), profile_coefficient=1.2)
HELD = (MUD + 20.0) * G * 7124.0
RISER = MUD * G * 2504.0
WEAK = np.array([6000.0, 5900.0, 4000.0])
UP = (
    Phase("closed", 900.0, 0.0, MUD),
    Phase("old mud", 1.2 * float(STILL.volumes[-1]) / SLOW, SLOW, MUD, ends_without_gas=True),
)


def kick(
    channel: Channel,
    influx: Influx,
    phases: tuple[Phase, ...] = UP,
    step: float = 60.0,
    held: float | np.ndarray = HELD,
) -> Followed:
    return follow(
        channel, influx, phases, mud_density=MUD, held=held, stack=2, riser_pressure=RISER,
        places=WEAK, step=step, gravity=G,
    )  # fmt: skip


GAS = Influx(mass=1200.0, duration=600.0, flow_rate=1900 / 60000)


def test_what_is_held_on_top_is_on_the_choke() -> None:
    phases = (Phase("a", 600.0, SLOW, MUD), Phase("b", 600.0, SLOW, MUD, over=2e5))
    told = kick(STILL, Influx(0.0, 0.0, 0.0), phases)
    assert told.choke[0, -1] - told.choke[0, 0] == pytest.approx(2e5)


@pytest.mark.parametrize("step", [60.0, 240.0])
def test_gas_and_mud_are_neither_made_nor_lost(step: float) -> None:
    three = np.array([0.5, 1.0, 2.0])
    told = kick(RISING, replace(GAS, mass=1200.0 * three), step=step, held=HELD * np.ones(3))
    assert (told.gas_in >= 1200.0 * three * (1.0 - 1e-12)).all()  # and what is fed on closing
    assert told.gas_in == pytest.approx(1200.0 * three, rel=0.05)
    left = told.gas_out + told.gas_left + told.into_riser
    assert left == pytest.approx(told.gas_in, rel=1e-9)
    assert told.mud_out + told.mud_left == pytest.approx(told.mud_in, rel=1e-9)
    assert (told.gas_left < 1e-5 * told.gas_in).all()


def test_gas_before_it_is_out_is_all_in_the_hole() -> None:
    told = kick(RISING, GAS, UP[:1])
    assert told.gas_left == pytest.approx(told.gas_in, rel=1e-9)


def test_realisations_side_by_side_are_as_one_by_one() -> None:
    both = kick(RISING, replace(GAS, mass=np.array([600.0, 1200.0])), step=240.0)
    one = kick(RISING, GAS, step=240.0)
    count = min(both.choke.shape[1], one.choke.shape[1])
    # they share the number of short steps in which gas rises, no more
    assert both.choke[1, :count] == pytest.approx(one.choke[0, :count], rel=0.01, nan_ok=True)


def test_one_bubble_without_slip_is_the_closed_form() -> None:
    """A pure bubble of known mass on a foot of known pressure: its length by the gas law."""
    cold = replace(STILL, temperature=np.full(4, 330.0))
    influx = Influx(mass=300.0, duration=600.0, flow_rate=0.0)
    told = kick(cold, influx, step=60.0)
    pumped = np.maximum(told.time - 600.0 - 900.0, 0.0) * SLOW
    for index in (20, 80, 150, 190):
        bottom = 7100.0 - np.interp(pumped[index], cold.volumes, 7100.0 - DEPTH)
        foot = HELD - MUD * G * (7100.0 - bottom)
        assert told.choke[0, index] == pytest.approx(
            _single(cold, foot, bottom, float(told.gas_in[0])), rel=2e-3
        )


def _single(channel: Channel, foot: float, bottom: float, mass: float) -> float:
    """Choke pressure over one bubble: its weight is known, its mean density from mid pressure."""

    def dense(pressure: float) -> float:
        z = float(gas_z_factor(pressure + ATMOSPHERE, 330.0))
        return float(gas_density(pressure + ATMOSPHERE, 330.0, z, 0.0160428 / 0.0289647))

    def top_of(volume: float) -> float:
        below = float(np.interp(-bottom, -DEPTH, channel.volumes))
        return float(np.interp(below + volume, channel.volumes, DEPTH))

    def missing(volume: float) -> float:
        density = mass / volume
        middle = foot - 0.5 * density * G * (bottom - top_of(volume))
        return density - dense(middle)

    volume = brentq(missing, 0.3, 60.0)
    top = top_of(volume)
    return foot - mass / volume * G * (bottom - top) - MUD * G * (top + 24.0)


def test_without_influx_the_gauges_stand_still_as_the_kill_sheet_says() -> None:
    rubbing = replace(STILL, friction=np.array([300.0, 60.0, 200.0]))
    told = kick(rubbing, Influx(0.0, 0.0, 0.0), (Phase("old", 7200.0, SLOW, MUD),))
    lost = 300.0 * 1200.0 + 60.0 * 3420.0 + 200.0 * 2504.0
    expected = HELD - MUD * G * 7124.0 - lost
    assert told.choke == pytest.approx(np.full_like(told.choke, expected), rel=1e-6)
    assert told.bottom == pytest.approx(np.full_like(told.bottom, HELD))
    assert told.pit_gain == pytest.approx(np.zeros_like(told.pit_gain), abs=1e-9)


def test_kill_mud_all_the_way_up_leaves_no_pressure_on_the_choke() -> None:
    kill = HELD / (G * 7124.0)
    phase = Phase("kill", 1.05 * float(STILL.volumes[-1]) / SLOW, SLOW, kill)
    told = kick(STILL, Influx(0.0, 0.0, 0.0), (phase,))
    assert told.choke[0, 0] == pytest.approx(HELD - MUD * G * 7124.0, rel=0.02)
    assert told.choke[0, -1] == pytest.approx(0.0, abs=1.0)


def test_a_choke_cannot_pull() -> None:
    """With more friction than shut-in pressure the bottom pressure rises by what is missing."""
    rubbing = replace(STILL, friction=np.array([0.0, 0.0, 2000.0]))
    told = kick(rubbing, Influx(0.0, 0.0, 0.0), (Phase("old", 3600.0, SLOW, MUD),))
    assert told.choke == pytest.approx(np.zeros_like(told.choke), abs=1.0)
    expected = MUD * G * 7124.0 + 2000.0 * 2504.0
    assert told.bottom == pytest.approx(np.full_like(told.bottom, expected), rel=1e-9)


def test_a_liquid_influx_adds_its_volume_and_no_more() -> None:
    told = kick(RISING, Influx(4000.0, 600.0, 1900 / 60000, density=1000.0))
    inside = told.gas_left == 0.0
    assert not inside.any() or told.pit_gain.max() == pytest.approx(4.0)
    while_it_stays = told.pit_gain[0, told.time < 6000.0]
    assert while_it_stays[told.time[: len(while_it_stays)] >= 600.0] == pytest.approx(4.0)


def test_gas_that_rises_by_itself_rises_at_its_speed() -> None:
    slow = replace(STILL, bubbles=np.full(3, 0.25), slugs=np.full(3, 0.25))
    influx = Influx(mass=30.0, duration=60.0, flow_rate=0.05)
    told = kick(slow, influx, (Phase("closed", 3600.0, 0.0, MUD),), step=30.0)
    risen = told.gas_top[0, 2] - told.gas_top[0, -1]
    # the front runs ahead of the middle, but not far
    assert 0.25 * 3600.0 < risen < 1.6 * 0.25 * 3600.0


def test_a_coarse_step_says_nearly_the_same_as_a_fine_one() -> None:
    fine, coarse = kick(RISING, GAS, step=30.0), kick(RISING, GAS, step=240.0)
    most = [np.nanmax(one.choke) for one in (fine, coarse)]
    assert most[1] == pytest.approx(most[0], rel=0.04)
    weak = [one.at_places[0, :, 1].max() for one in (fine, coarse)]
    assert weak[1] == pytest.approx(weak[0], rel=3e-3)
    gain = [one.pit_gain.max() for one in (fine, coarse)]
    assert gain[1] == pytest.approx(gain[0], rel=0.04)
    rate = [greatest_mean_rate(one.time, one.gas_rate, 300.0)[0] for one in (fine, coarse)]
    assert rate[1] == pytest.approx(rate[0], rel=0.08)


def test_a_bigger_kick_asks_more_of_everything() -> None:
    small, big = kick(RISING, GAS, step=240.0), kick(RISING, replace(GAS, mass=2400.0), step=240.0)
    assert np.nanmax(big.choke) > np.nanmax(small.choke)
    assert big.pit_gain.max() > small.pit_gain.max()
    assert big.gas_rate.max() > small.gas_rate.max()


def test_a_column_that_is_no_number_is_no_answer() -> None:
    with pytest.raises(NotConverged):
        kick(replace(RISING, temperature=np.full(4, np.nan)), GAS)


def test_a_kick_without_time_is_refused_and_not_forgotten() -> None:
    with pytest.raises(ValueError, match="time"):
        kick(RISING, replace(GAS, duration=0.0))


def test_density_near_is_that_of_the_published_equation() -> None:
    pressure, warm = np.array([2e5, 5e6, 4e7, 1e8]), np.array([280.0, 300.0, 330.0, 400.0])
    expected = gas_density(pressure, warm, gas_z_factor(pressure, warm), 0.6)
    for near in (0.5, 1.5):
        got = density_near(pressure, warm, 0.6, 190.564, 4.5992e6, near * np.asarray(expected))
        assert got == pytest.approx(np.asarray(expected), rel=1e-9)


def test_rise_velocities_have_their_known_limits() -> None:
    # air in water: some 0.25 m/s by Harmathy; a slug in a pipe by Dumitrescu 0.35 sqrt(g d)
    assert bubble_rise_velocity(998.0, 1.2, 0.0728, 9.81) == pytest.approx(0.25, abs=0.003)
    assert slug_rise_velocity(0.1, 0.0, 1000.0, 0.0) == pytest.approx(
        0.345 * np.sqrt(9.80665 * 0.1), rel=1e-9
    )
    assert bubble_rise_velocity(1000.0, 1000.0, 0.07) == 0.0
    assert gas_velocity_by_drift(0.0, 1.2, 0.3) == 0.3


def test_the_mean_of_an_even_rate_is_the_rate() -> None:
    time, rate = np.arange(1.0, 11.0) * 60.0, np.full((2, 10), 0.4)
    assert greatest_mean_rate(time, rate, 300.0) == pytest.approx([0.4, 0.4])
