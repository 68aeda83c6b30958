"""The vessel's motions: her own table, and the box where none is given."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from bathybore.base.errors import InputErrors
from bathybore.kernels.vessel_motion import (
    coupled_motions,
    natural_roll_period,
    roll_response,
    single_motion_response,
)
from bathybore.model.csv_tables import parse_table
from bathybore.model.hole import Setting
from bathybore.model.loading import load_hole
from bathybore.model.sea_tables import motion_faults
from bathybore.model.tables import MOTION_COLUMNS, ProfileTable
from bathybore.operations.hung_riser import hung_riser
from bathybore.operations.riser_in_waves import seaway, swaying
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import sea_riser
from bathybore.operations.vessel_motions import (
    greatest_heave,
    heave_period,
    motions_at,
    significant_heave,
    significant_pitch,
    significant_roll,
    tabled,
)
from varied import EXAMPLES

HEADER = (
    "relative_wave_direction [deg],wave_period [s],heave_response [-],heave_phase [deg],"
    "pitch_response [deg/m],pitch_phase [deg],roll_response [deg/m],roll_phase [deg]\n"
)
PERIODS = (3.0, 5.0, 8.0, 12.0, 20.0, 60.0)


def rows(headings: tuple[float, ...], numbers: str, periods: tuple[float, ...] = PERIODS) -> str:
    return "".join(f"{h},{p},{numbers}\n" for h in headings for p in periods)


HOLE = load_hole(EXAMPLES / "main")
MAIN = HOLE.setting


def read(text: str) -> ProfileTable:
    table = parse_table(text, "motions.csv", MOTION_COLUMNS)
    faults = list(motion_faults(table, MAIN.site.environment.heading_off_weather))
    if faults:
        raise InputErrors(faults)
    return table


def with_motions(text: str) -> Setting:
    return replace(MAIN, motions=read(text))


def test_a_vessel_that_follows_the_water_heaves_by_half_its_significant_height() -> None:
    setting = with_motions(HEADER + rows((0, 180), "1,0,0,0,0,0"))
    height = setting.site.environment.significant_wave_height
    # the spectrum reaches from 0.2 to 6 peak frequencies: all but a thousandth of its energy
    assert float(significant_heave(setting)) == pytest.approx(0.5 * height, rel=1e-3)
    assert float(significant_pitch(setting)) == 0.0
    greatest = float(significant_heave(setting)) * np.sqrt(
        0.5 * np.log(3 * 3600.0 / float(heave_period(setting)))
    )
    assert float(greatest_heave(setting)) == pytest.approx(greatest, rel=1e-9)


def test_a_table_of_the_box_gives_what_the_box_gives() -> None:
    """The closed forms written into a table, finely, give the same heave, hang-off and riser."""
    periods = np.geomspace(2.0, 80.0, 1500)
    found, heading = motions_at(MAIN, 2.0 * np.pi / periods), np.radians(15.0)
    # leans with waves from starboard of the bow: bow down is ahead, starboard down to starboard
    way = found.way[0]
    pairs = (found.heave, -found.pitch, -found.roll, -way * np.cos(heading))
    columns = [periods]
    for one in (*pairs, way * np.sin(heading)):
        columns += [np.abs(one), np.angle(one)]
    header = "relative_wave_direction [deg],wave_period [s]" + "".join(
        f",{name}_response [{unit}],{name}_phase [rad]"
        for name, unit in zip(
            ("heave", "pitch", "roll", "surge", "sway"),
            ["-", "rad/m", "rad/m", "-", "-"],
            strict=True,
        )
    )
    body = [",".join(f"{x:.17g}" for x in row) for row in np.column_stack(columns)]
    setting = with_motions("\n".join([header, *(f"15,{row}" for row in body)]))
    for ask in (significant_heave, significant_pitch, significant_roll, heave_period):
        assert float(ask(setting)) == pytest.approx(float(ask(MAIN)), rel=1e-3)
    gears = [RiserGear.of(one) for one in (replace(HOLE, motions=setting.motions), HOLE)]
    risers = [sea_riser(one) for one in gears if one is not None]
    hung = [hung_riser(one) for one in risers]
    assert hung[0].swing[0] == pytest.approx(hung[1].swing[0], rel=1e-3)
    told, boxed = (swaying(one).swayed for one in risers)
    assert told.displacement == pytest.approx(boxed.displacement, rel=5e-3)
    assert told.top_angle == pytest.approx(boxed.top_angle, rel=5e-3)


def test_the_box_leans_with_the_slope_of_long_waves_and_goes_with_the_water() -> None:
    frequency = np.array([0.08])
    found = motions_at(MAIN, frequency)
    slope = frequency**2 / 9.80665
    assert found.lean[0] == pytest.approx(1j * slope, rel=0.06)
    assert found.way[0] == pytest.approx(-1j * np.ones(1), rel=0.02)
    assert np.abs(found.floor[0]) == pytest.approx(1.0 - 28.0 * slope, rel=0.02)
    assert np.abs(found.floor[1]) == pytest.approx(28.0 * np.abs(found.lean[1]), rel=1e-9)


def test_what_leans_across_moves_the_floor_aside_and_never_holds_it_back() -> None:
    """A hull that rolls hard in waves off its bow: its floor goes along and across them.

    Counted as leaning along, the roll would take the floor's way away.
    """
    text = HEADER + rows((0, 90), "1,0,0,0,1.2,-90")
    setting, frequency = with_motions(text), np.array([0.5])
    found, towards = motions_at(setting, frequency), np.radians(15.0)
    high, roll = -float(setting.drill_floor), 1j * np.radians(1.2)
    along = found.way[0] + high * roll * np.sin(towards)
    assert found.floor[0] == pytest.approx(along, rel=1e-9)
    across = -high * roll * np.cos(towards)
    assert found.floor[1] == pytest.approx(across, rel=1e-9)
    assert np.linalg.norm(found.floor) > np.abs(found.way[0])


def test_long_waves_lean_the_vessel_with_their_slope_whatever_the_heading() -> None:
    """Pitch and roll of a raft: its mast stands square to the water at every heading."""
    number = (2.0 * np.pi / 20.0) ** 2 / 9.80665
    for heading in (0.0, 30.0, 90.0, 135.0):
        towards = float(np.radians(heading))
        pitch, roll = (float(number * f(towards)) for f in (np.cos, np.sin))
        text = HEADER.replace("deg/m", "rad/m") + "".join(
            f"{at},{p},1,0,{abs(pitch)!r},{-90 if pitch > 0 else 90},{roll!r},-90\n"
            for at in (heading, heading + 1e-3)
            for p in PERIODS
        )
        table = parse_table(text, "motions.csv", MOTION_COLUMNS)
        environment = MAIN.site.environment.model_copy(update={"heading_off_weather": towards})
        site = MAIN.site.model_copy(update={"environment": environment})
        setting = replace(MAIN, site=site, motions=table)
        lean = motions_at(setting, np.array([2.0 * np.pi / 20.0])).lean
        # eta = a cos(wt - ks): at the crest's quarter the mast leans along with the waves
        assert lean[:, 0] == pytest.approx(np.array([1j * number, 0.0]), abs=1e-5)


def test_waves_from_port_roll_the_other_way() -> None:
    text = HEADER + rows((0, 30, 180), "0.5,10,1,20,0.7,30")
    table = read(text)
    frequency = np.array([0.6, 0.9])
    starboard, port = (tabled(table, np.radians(one), frequency) for one in (30.0, 330.0))
    assert port["roll"] == pytest.approx(-starboard["roll"])
    assert port["heave"] == pytest.approx(starboard["heave"])


def test_sizes_between_rows_are_linear_and_phases_go_the_shorter_way() -> None:
    text = HEADER + rows((10,), "0.2,170,1,0,1,0") + rows((20,), "0.4,-170,3,0,1,0")
    table = read(text)
    found = tabled(table, np.radians(15.0), np.array([0.7]))
    assert np.abs(found["heave"]) == pytest.approx([0.3])
    assert np.degrees(np.angle(found["heave"])) % 360.0 == pytest.approx([180.0])
    assert np.degrees(np.abs(found["pitch"])) == pytest.approx([2.0])


def test_a_table_too_short_for_the_sea_is_outside_validity() -> None:
    short = rows((0, 180), "1,0,0,0,0,0", (3.0, 4.0, 5.0, 6.0, 7.0))
    setting = with_motions(HEADER + short)
    assert "beyond the waves of the table" in str(significant_heave(setting).outside_validity)
    assert seaway(setting).shift.shape == (2, len(seaway(setting).frequency))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (HEADER + rows((0, 90), "1,0,0,0,0,0") + "180,3,1,0,0,0,0,0\n", "no row for"),
        (HEADER + rows((0,), "1,0,0,0,0,0") + "0,3,1,0,0,0,0,0\n", "again"),
        (HEADER + rows((90, 180), "1,0,0,0,0,0"), "the planned 15"),
        (HEADER + rows((0, 180), "1,0,0,0,0,0", (3.0, 4.0)), "5 or more"),
        (HEADER + rows((0, 180), "1,0,0,0,0,0", (3.0, 4.0, 5.0, 6.0, 0.0)), "more than zero"),
        (HEADER.replace("wave_period [s],", "") + "0,1,0,0,0,0,0\n180,1,0,0,0,0,0\n", "neither"),
        (HEADER.replace("heave_phase [deg]", "surge_phase [deg]"), "heave_phase"),
        (HEADER + rows((0, 180), "-1,0,0,0,0,0"), "zero or more"),
        (HEADER + rows((0, 180), "1,nan,0,0,0,0"), "'nan'"),
    ],
)
def test_a_table_that_is_no_grid_is_refused(text: str, words: str) -> None:
    with pytest.raises(InputErrors) as caught:
        read(text)
    assert words in "\n".join(map(str, caught.value.faults))


def test_six_motions_apart_answer_as_each_alone() -> None:
    frequency = np.linspace(0.3, 1.5, 7)
    mass, added, damping = np.diag([3.0, 5.0]), np.diag([1.0, 2.0]), np.diag([0.4, 0.8])
    restoring = np.diag([2.0, 7.0])
    force = np.ones((7, 1, 2)).astype(complex) * np.array([1.0, 2.0j])
    found = coupled_motions(
        frequency, force, restoring, mass, np.tile(added, (7, 1, 1)), np.tile(damping, (7, 1, 1))
    )
    for n, size in enumerate((1.0, 2.0)):
        alone = single_motion_response(
            frequency, size, restoring[n, n], mass[n, n], added[n, n], damping[n, n]
        )
        assert np.abs(found[:, 0, n]) == pytest.approx(alone)


def test_coupled_motions_balance_their_forces_and_name_what_has_no_answer() -> None:
    rng = np.random.default_rng(5)
    frequency = np.array([0.4, 0.9])
    mass = np.eye(3) * [1.0, 10.0, 1000.0]
    added, damping = rng.normal(size=(2, 3, 3)) * 0.1, np.tile(np.eye(3), (2, 1, 1))
    restoring, force = np.diag([2.0, 5.0, 900.0]), rng.normal(size=(2, 4, 3)).astype(complex)
    found = coupled_motions(frequency, force, restoring, mass, added, damping)
    for n, omega in enumerate(frequency):
        system = restoring - omega**2 * (mass + added[n]) + 1j * omega * damping[n]
        assert found[n] @ system.T == pytest.approx(force[n])
    nothing = np.zeros((2, 3, 3))
    with pytest.raises(InputErrors, match="no mass, water or stiffness"):
        coupled_motions(frequency, force, np.zeros((3, 3)), np.zeros((3, 3)), nothing, nothing)
    with pytest.raises(InputErrors, match="singular"):
        coupled_motions(frequency, force, np.ones((3, 3)), np.zeros((3, 3)), nothing, nothing)


def test_roll_in_limits() -> None:
    ship = (210.0, 38.0, 9.5)
    period, beam_sea = 16.0, 0.5 * np.pi
    slow = 0.05
    assert roll_response(slow, beam_sea, *ship, period, 0.06) == pytest.approx(
        slow**2 / 9.80665, rel=0.03
    )
    assert roll_response(0.5, 0.0, *ship, period, 0.06) == 0.0
    at_peak = 2.0 * np.pi / period
    thinly = roll_response(at_peak, beam_sea, *ship, period, 0.03)
    assert thinly == pytest.approx(2.0 * roll_response(at_peak, beam_sea, *ship, period, 0.06))
    shallow, deep = (natural_roll_period(38.0, 9.5, 210.0, gm) for gm in (1.0, 4.0))
    assert shallow == pytest.approx(2.0 * deep)
