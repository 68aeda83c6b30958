"""Gas in the riser against the balance it is derived from; the ends of the schedule of a kill."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.kernels.gas import (
    gas_z_factor,
    hydrate_equilibrium_temperature,
    hydrate_stability_temperature,
    inhibitor_mass_fraction,
)
from bathybore.kernels.kill_sheet import (
    final_circulating_pressure,
    initial_circulating_pressure,
    kill_mud_density,
    kill_schedule_pressure,
    pump_strokes,
    shut_in_casing_pressure_of_kick,
    starting_choke_pressure,
)
from bathybore.kernels.mud import solids_dilution_volume
from bathybore.kernels.riser_gas import (
    diverter_gas_rate,
    gas_mass_rate,
    riser_unloaded_volume,
    riser_unloading_depth,
    riser_unloading_pressure,
    standard_gas_rate,
)

MASS, MUD, AREA, WARM, GAS, G = 1000.0, 1400.0, 0.165, 283.0, 0.6, 9.81
AIR = 101_325.0


def test_below_the_unloading_depth_the_bubble_can_stand_and_above_it_cannot() -> None:
    """Brute force: is there any length at which gas pressure carries mud and air above it?"""
    pressure = float(riser_unloading_pressure(MASS, MUD, AREA, WARM, GAS, gravity=G))
    depth = float(riser_unloading_depth(pressure, MUD, G))
    assert 100.0 < depth < 2000.0

    def stands(foot: float) -> bool:
        length = np.linspace(1.0, foot, 20_000)
        over = AIR + MUD * G * (foot - length)  # what mud and air ask of the gas
        z = gas_z_factor(pressure, WARM)
        gas = MASS * z * 8.31446261815324 * WARM / (GAS * 0.0289647 * AREA * length)
        return bool((gas <= over).any())

    assert stands(depth * 1.002)
    assert not stands(depth * 0.998)


def test_at_the_turning_point_as_much_gas_stands_as_mud_and_air() -> None:
    pressure = riser_unloading_pressure(MASS, MUD, AREA, WARM, GAS, gravity=G)
    depth = riser_unloading_depth(pressure, MUD, G)
    mud = riser_unloaded_volume(pressure, MUD, AREA, G) / AREA
    assert depth - mud == pytest.approx(mud + AIR / (MUD * G))


def test_more_gas_unloads_deeper_and_a_breath_of_it_never() -> None:
    masses = np.array([1e-9, 10.0, 100.0, 1000.0])
    depth = riser_unloading_depth(riser_unloading_pressure(masses, MUD, AREA, WARM), MUD)
    assert depth[0] == 0.0
    assert (np.diff(depth) > 0.0).all()


def test_a_diverter_passes_more_at_more_pressure_and_nothing_at_none() -> None:
    rates = diverter_gas_rate(np.array([AIR * 1.0001, 2 * AIR, 4 * AIR]), 0.3, 40.0, 283.0)
    assert rates[0] < 0.02 * rates[1]
    assert rates[2] > rates[1]
    assert diverter_gas_rate(3 * AIR, 0.3, 400.0, 283.0) < diverter_gas_rate(
        3 * AIR, 0.3, 40.0, 283.0
    )


def test_a_mole_of_gas_takes_its_standard_volume() -> None:
    assert standard_gas_rate(0.0289647, 1.0) == pytest.approx(0.0236448, rel=1e-4)
    assert gas_mass_rate(10.0, 0.5, 2.0) == 10.0


def test_the_schedule_begins_and_ends_with_the_pressures_of_the_sheet() -> None:
    shut_in, slow, height = 3e6, 2e6, 5000.0
    kill = kill_mud_density(1400.0, shut_in, height)
    ends = kill_schedule_pressure(
        shut_in, slow, kill, 1400.0, np.array([0.0, height]), np.array([0.0, 1.0])
    )
    assert ends[0] == pytest.approx(initial_circulating_pressure(slow, shut_in))
    assert ends[1] == pytest.approx(final_circulating_pressure(slow, kill, 1400.0))


def test_shut_in_pressures_differ_by_what_the_influx_weighs_less() -> None:
    formation, mud, height = 75e6, 1400.0, 5200.0
    drill_pipe = formation - mud * 9.80665 * height
    casing = shut_in_casing_pressure_of_kick(formation, mud, height, 250.0, 150.0)
    assert casing - drill_pipe == pytest.approx((mud - 250.0) * 9.80665 * 150.0)
    assert starting_choke_pressure(casing, 0.0) == casing


def test_strokes_and_dilution_are_what_they_say() -> None:
    assert pump_strokes(1.0, 0.02, 1.0) == pytest.approx(50.0)
    assert solids_dilution_volume(100.0, 1.0, 0.05) == 0.0
    # what is left behind is just the share allowed of the mud it is spread in
    assert 0.05 * solids_dilution_volume(100.0, 0.7, 0.05) == pytest.approx(30.0)


def test_both_hydrate_lines_agree_where_both_are_believed() -> None:
    pressure = np.linspace(3e6, 12e6, 10)
    wide, near = (
        hydrate_stability_temperature(pressure, 33.5),
        hydrate_equilibrium_temperature(pressure),
    )
    assert np.abs(wide - near).max() < 0.8
    assert (np.asarray(hydrate_stability_temperature(pressure[2:], 70.0)) < wide[2:]).all()
    assert inhibitor_mass_fraction(0.0) == 0.0
    assert 0.2 < inhibitor_mass_fraction(10.0) < 0.4
