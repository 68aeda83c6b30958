"""How the vessel answers regular waves: by her own table where one is given, else as a box.

Directions are those of hydrodynamics: surge ahead, sway to port, heave up; roll is positive with
starboard down, pitch with the bow down. All are of the vessel's reference point, which is taken
to lie at the well.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import FEW, kept
from bathybore.base.working import FromTable, FromWalk, Solved, Value, work
from bathybore.kernels.heave_surge import heave_zero_crossing_period
from bathybore.kernels.riser_waves import horizontal_response
from bathybore.kernels.vessel_motion import (
    Complex,
    box_angles,
    natural_roll_period,
    response_moments,
    roll_response,
)
from bathybore.kernels.waves import (
    heave_response,
    jonswap_spectral_density,
    most_probable_maximum,
    pitch_response,
    significant_heave_amplitude,
)
from bathybore.model.hole import HoleOrSetting, Setting
from bathybore.model.tables import ProfileTable
from bathybore.operations.columns import gravity_value
from bathybore.operations.sea_conditions import block_coefficient, peakedness, zero_crossing_period

STORM: Final = 3 * 3600.0  # s, a sea state is taken as steady for 3 h (common practice)
_STEADY: Final = Value(
    "duration", STORM, "s", FromWalk("a sea state, taken as steady for three hours")
)
_TURN: Final = 2.0 * np.pi
_LEFT_OUT: Final = 0.02  # of the energy of the sea that a table may lack
# of the peak frequency: the grid on which the closed forms are counted
SPAN: Final = np.linspace(0.2, 6.0, 1161)
_FIVE: Final = ("surge", "sway", "heave", "roll", "pitch")


@dataclass(frozen=True, eq=False)
class Motions:
    """Complex motions per wave amplitude at frequencies, crest at the well at time zero.

    Attributes
    ----------
    frequency : [rad/s]
    way, lean : [-], [rad/m] along the direction in which the waves go, and across it to the left
        *(2, frequency)*
    floor : way of the drill floor, which leans along *(2, frequency)*
    heave, pitch, roll : [-], [rad/m], [rad/m]; of a box pitch and roll with the waves, and heave
        by its size alone
    """

    frequency: Array
    way: Complex
    lean: Complex
    floor: Complex
    heave: Complex
    pitch: Complex
    roll: Complex


def motions_at(setting: Setting, frequency: Array) -> Motions:
    """Return the motions of the vessel at her planned heading."""
    if setting.motions is not None:
        return _tabled(setting, setting.motions, frequency)
    return _of_a_box(setting, frequency)


# ---- as a box ---------------------------------------------------------------------------------


def roll_period(setting: Setting) -> Value:
    """Return the natural period of roll: as written, else by the sizes of the hull."""
    hull = setting.vessel.hull
    if hull.roll_period is not None:
        return hull.value("roll_period", "natural_roll_period")
    return work(
        natural_roll_period,
        breadth=hull.value("beam", "breadth"),
        draught=hull.value("draught"),
        hull_length=hull.value("length", "hull_length"),
        metacentric_height=hull.value("metacentric_height"),
    )


def _of_a_box(setting: Setting, frequency: Array) -> Motions:
    """Return the closed forms of a box, phases by the equations that they solve."""
    hull, heading = setting.vessel.hull, setting.site.environment.heading_off_weather
    sizes, gravity = (hull.length, hull.beam, hull.draught), float(gravity_value(setting))
    full = float(block_coefficient(setting))
    angles = box_angles(frequency, heading, *sizes, full, gravity)
    way = angles[0] * horizontal_response(frequency, heading, *sizes, gravity)
    heave = np.asarray(heave_response(frequency, heading, *sizes, full, gravity))
    pitch = angles[1] * pitch_response(frequency, heading, *sizes, full, gravity)
    period, damping = float(roll_period(setting)), hull.roll_damping_ratio
    size = np.asarray(roll_response(frequency, heading, *sizes, period, damping, gravity))
    # driven by the slope of the water over the box, which leads its way by half a turn
    ratio = frequency * period / _TURN
    turned = -angles[0] / (1.0 - ratio**2 + 2.0j * damping * ratio)
    roll = size * turned / np.abs(turned)
    # either leans towards where the waves go along its own axis of the hull
    ahead, port = -np.cos(heading), np.sin(heading)
    pitched, rolled = pitch * np.sign(ahead), roll * np.sign(port)
    lean = _turned(pitched, rolled, ahead, port)
    ways = np.array([way, np.zeros_like(way)])
    floor = ways - float(setting.drill_floor) * lean
    return Motions(frequency, ways, lean, floor, heave + 0j, pitch, roll)


def hull_inputs(setting: Setting) -> tuple[Value, ...]:
    """Return what the motions follow from, the heading among it."""
    hull, sea = setting.vessel.hull, setting.site.environment
    heading = sea.value("heading_off_weather", "relative_wave_direction")
    if setting.motions is not None:
        return (heading, table_value(setting.motions))
    return (
        heading,
        *(hull.value(one) for one in ("length", "beam", "draught")),
        block_coefficient(setting),
        roll_period(setting),
        hull.value("roll_damping_ratio"),
    )


def table_value(table: ProfileTable) -> Value:
    """Return the number of waves of a table of motions, which names it in a working."""
    what = "headings and waves given; amplitudes linear between them, phases by the shorter way"
    return Value(
        "number_of_cycles", float(len(table.lines)), "-", FromTable(table.file, what, "given")
    )


# ---- by a table -------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Grid:
    """A table of motions as a grid.

    Attributes
    ----------
    heading, frequency : [rad], [rad/s], growing
    motions : complex by name *(heading, frequency)*; surge and sway where they are given
    """

    heading: Array
    frequency: Array
    motions: dict[str, Complex]

    @property
    def one_side(self) -> bool:
        """Whether it has the headings of starboard alone, to which port is alike."""
        return float(self.heading[-1]) <= np.pi + 1e-9


@kept(FEW)
def grid_of(table: ProfileTable) -> Grid:
    """Return a table of motions, whose rows stand in any order, as a grid."""
    numbers = table.numbers
    given = numbers.get("wave_frequency")
    frequency = _TURN / numbers["wave_period"] if given is None else given
    order = np.lexsort((frequency, table.depths))
    heading = np.unique(table.depths)
    shape = (len(heading), len(order) // len(heading))
    motions = dict[str, Complex]()
    for one in (name for name in _FIVE if f"{name}_response" in numbers):
        motion = numbers[f"{one}_response"] * np.exp(1j * numbers[f"{one}_phase"])
        motions[one] = motion[order].reshape(shape)
    return Grid(heading, frequency[order][: shape[1]], motions)


def _between(low: Complex, high: Complex, share: Array | float) -> Complex:
    """Return what lies between complex motions: size linearly, angle by the shorter way."""
    turned = np.angle(high * np.conj(low))
    size = (1.0 - share) * np.abs(low) + share * np.abs(high)
    # a motion of size nought has no angle: that of the other end is taken
    start = np.where(np.abs(low) > 0.0, np.angle(low), np.angle(high))
    found: Complex = size * np.exp(1j * (start + share * turned))
    return found


def _at_heading(grid: Grid, motion: Complex, heading: float) -> Complex:
    """Return a motion over the grid's frequencies at one heading."""
    given = grid.heading
    if grid.one_side:
        high = int(np.clip(np.searchsorted(given, heading), 1, max(len(given) - 1, 1)))
        if len(given) == 1:
            return np.array(motion[0])
        share = np.clip((heading - given[high - 1]) / (given[high] - given[high - 1]), 0.0, 1.0)
        return _between(motion[high - 1], motion[high], float(share))
    round_ = np.concatenate([given, [given[0] + _TURN]])
    asked = heading + _TURN if heading < given[0] else heading
    low = min(int(np.searchsorted(round_, asked, side="right")) - 1, len(given) - 1)
    share = (asked - round_[low]) / (round_[low + 1] - round_[low])
    return _between(motion[low], motion[(low + 1) % len(given)], float(share))


def _at_frequencies(known: Array, motion: Complex, frequency: Array) -> Complex:
    """Return a motion at other frequencies; beyond the ends as at the end."""
    asked = np.clip(frequency, known[0], known[-1])
    high = np.clip(np.searchsorted(known, asked), 1, len(known) - 1)
    share = (asked - known[high - 1]) / (known[high] - known[high - 1])
    return _between(motion[high - 1], motion[high], share)


def tabled(table: ProfileTable, heading: float, frequency: Array) -> dict[str, Complex]:
    """Return the motions of a table by name, at a heading and at frequencies."""
    grid = grid_of(table)
    asked, mirrored = heading % _TURN, False
    if grid.one_side and asked > np.pi:
        asked, mirrored = _TURN - asked, True
    found = {
        one: _at_frequencies(grid.frequency, _at_heading(grid, motion, asked), frequency)
        for one, motion in grid.motions.items()
    }
    if mirrored:  # waves from port: what was to starboard is to port now
        found |= {one: -found[one] for one in ("roll", "sway") if one in found}
    return found


def _turned(forward: Complex, left: Complex, ahead: float, port: float) -> Complex:
    """Return parts along the way of the waves and to the left of it, from those of the hull."""
    return np.array([forward * ahead + left * port, left * ahead - forward * port])


def _tabled(setting: Setting, table: ProfileTable, frequency: Array) -> Motions:
    heading = setting.site.environment.heading_off_weather
    found = tabled(table, heading, frequency)
    # waves from the bow go aft, waves from starboard go to port
    ahead, port = -np.cos(heading), np.sin(heading)
    if "surge" in found and "sway" in found:
        way = _turned(found["surge"], found["sway"], ahead, port)
    else:
        way = _of_a_box(setting, frequency).way
    # the mast goes ahead with the bow down, and to starboard with starboard down
    pitch, roll = found["pitch"], found["roll"]
    lean = _turned(pitch, -roll, ahead, port)
    floor = way - float(setting.drill_floor) * lean
    return Motions(frequency, way, lean, floor, found["heave"], pitch, roll)


# ---- in the planned sea -----------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class InSea:
    """The motions in the planned sea.

    Attributes
    ----------
    power : [m2 s/rad] of the surface
    variance, period : of heave [m2], [s], pitch and roll [rad2]
    left_out : share of the sea's energy outside the table's waves; 0 for a box
    """

    motions: Motions
    power: Array
    variance: dict[str, float]
    period: dict[str, float]
    left_out: float

    def significant(self, name: str) -> float:
        """Return the significant amplitude of a motion."""
        return 2.0 * float(np.sqrt(self.variance[name]))

    def beyond(self) -> tuple[str, ...]:
        """Say where the table does not reach over the planned sea."""
        if self.left_out <= _LEFT_OUT:
            return ()
        return (
            f"{self.left_out:.0%} of the planned sea's energy lies beyond the waves of the table, "
            f"at most {_LEFT_OUT:.0%} may",
        )


@kept(FEW)
def in_planned_sea(setting: Setting) -> InSea:
    """Return the motions of the vessel over the spectrum of the planned sea."""
    sea = setting.site.environment
    frequency = _TURN / sea.peak_period * SPAN
    power = np.asarray(
        jonswap_spectral_density(
            frequency, sea.significant_wave_height, sea.peak_period, float(peakedness(setting))
        )
    )
    found = motions_at(setting, frequency)
    moments = {
        name: response_moments(frequency, power, np.abs(motion))
        for name, motion in (("heave", found.heave), ("pitch", found.pitch), ("roll", found.roll))
    }
    left_out = 0.0
    if setting.motions is not None:
        known = grid_of(setting.motions).frequency
        outside = (frequency < known[0]) | (frequency > known[-1])
        left_out = float(np.sum(power[outside]) / np.sum(power))
    return InSea(
        found,
        power,
        {name: one[0] for name, one in moments.items()},
        {name: one[1] for name, one in moments.items()},
        left_out,
    )


def greatest_heave(hole: HoleOrSetting) -> Value:
    """Return the most probable greatest heave amplitude in three hours of the planned sea."""
    return _greatest_heave(hole.setting)


@kept(FEW)
def _greatest_heave(setting: Setting) -> Value:
    return heave_within(setting, _STEADY)


@kept(FEW)
def heave_within(setting: Setting, duration: Value) -> Value:
    """Return the most probable greatest heave amplitude of the planned sea within a time."""
    significant = significant_heave(setting).named("significant_amplitude")
    period = zero_crossing_period(setting)
    if setting.motions is not None:
        period = heave_period(setting)
    cycles = Value(
        "number_of_cycles",
        max(float(duration) / float(period), 1.0),
        "-",
        Solved("time over the zero-crossing period", "common-practice", (duration, period)),
    )
    return work(
        most_probable_maximum, significant_amplitude=significant, number_of_cycles=cycles
    ).named("max_heave_amplitude")


@kept(FEW)
def heave_period(setting: Setting) -> Value:
    """Return the zero-crossing period of the vessel's heave in the planned sea."""
    if setting.motions is None:
        return work(heave_zero_crossing_period, **_sea_and_hull(setting))
    found = in_planned_sea(setting)
    problem = "zero-crossing period of the heave over the sea's spectrum: $2 pi sqrt(m_0 / m_2)$"
    return Value("heave_period", found.period["heave"], "s", _over_the_sea(setting, problem))


@kept(FEW)
def significant_heave(setting: Setting) -> Value:
    """Return the significant heave amplitude in the planned sea."""
    if setting.motions is None:
        return work(significant_heave_amplitude, **_sea_and_hull(setting))
    return _significant(setting, "heave", "significant_heave_amplitude", "m")


@kept(FEW)
def significant_pitch(setting: Setting) -> Value:
    """Return the significant pitch amplitude in the planned sea."""
    return _significant(setting, "pitch", "significant_pitch_amplitude", "rad")


@kept(FEW)
def significant_roll(setting: Setting) -> Value:
    """Return the significant roll amplitude in the planned sea."""
    return _significant(setting, "roll", "significant_roll_amplitude", "rad")


@kept(FEW)
def greatest_tilt(setting: Setting, motion: str) -> Value:
    """Return the most probable greatest pitch or roll in three hours of the planned sea."""
    significant = significant_pitch(setting) if motion == "pitch" else significant_roll(setting)
    period = in_planned_sea(setting).period[motion]
    mean = Value("wave_period", period, "s", significant.origin)
    cycles = max(STORM / period, 2.0)
    problem = "most probable greatest in three hours: $x_s sqrt(ln(N_c) / 2)$"
    origin = Solved(problem, "faltinsen-1990", (significant, _STEADY, mean))
    return Value("vessel_tilt", float(significant) * float(np.sqrt(np.log(cycles) / 2.0)), "rad",
                 origin)  # fmt: skip


def _significant(setting: Setting, motion: str, name: str, unit: str) -> Value:
    problem = (
        f"significant amplitude of {motion} over the sea's spectrum: "
        "$2 sqrt(integral abs(H(omega))^2 S(omega) dif omega)$"
    )
    number = in_planned_sea(setting).significant(motion)
    return Value(name, number, unit, _over_the_sea(setting, problem))


def sea_inputs(setting: Setting) -> tuple[Value, ...]:
    """Return what motions in the planned sea follow from: the sea, and then the vessel."""
    sea = setting.site.environment
    return (
        sea.value("significant_wave_height"),
        sea.value("peak_period"),
        peakedness(setting),
        *hull_inputs(setting),
    )


def _over_the_sea(setting: Setting, problem: str) -> Solved:
    outside = in_planned_sea(setting).beyond()
    return Solved(problem, "faltinsen-1990", sea_inputs(setting), outside=outside)


def _sea_and_hull(setting: Setting) -> dict[str, Value]:
    hull, sea = setting.vessel.hull, setting.site.environment
    return {
        "significant_wave_height": sea.value("significant_wave_height"),
        "peak_period": sea.value("peak_period"),
        "peak_enhancement": peakedness(setting),
        "relative_wave_direction": sea.value("heading_off_weather", "relative_wave_direction"),
        "hull_length": hull.value("length", "hull_length"),
        "breadth": hull.value("beam", "breadth"),
        "draught": hull.value("draught"),
        "block_coefficient": block_coefficient(setting),
        "gravity": gravity_value(setting),
    }
