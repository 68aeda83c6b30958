"""The parts of the riser in the sea in the words and units of the reader."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from bathybore.base.units import UnitSystem, from_si, show
from bathybore.checks.record import CheckRecord
from bathybore.checks.riser_in_sea import (
    equivalent_stress,
    greatest_bending,
    lives,
    stress_ranges,
)
from bathybore.kernels.riser_modes import axial_modes
from bathybore.model.hole import Hole
from bathybore.operations.hung_riser import HungRiser
from bathybore.operations.open_water import InCurrent
from bathybore.operations.riser_in_waves import Swaying, Swinging
from bathybore.operations.riser_shape import Lying, SeaRiser
from bathybore.operations.riser_stack import StackUp
from bathybore.usecases.placing_told import ToldTable, Topic, number, spread_over

CAUTION: Final = (
    "A beam that sways about the vertical, weight even along it where no stack-up is told; the "
    "hull a box where no motions are given. A riser analysis replaces it; the licensed engineer "
    "decides."
)
_ROWS: Final = 12
_YEAR: Final = 365.25 * 86400.0

Fact = tuple[str, str]


def _angle(value: float, units: UnitSystem) -> str:
    return show(value, "rad", units, significant=3)


def _metres(value: float, units: UnitSystem) -> str:
    return show(value, "m", units, significant=3)


def _force(value: float, units: UnitSystem) -> str:
    return show(value, "N", units, significant=4)


def _per_stroke(value: float, units: UnitSystem) -> str:
    unit = "kN/m" if units == "metric" else "klbf/ft"
    return f"{from_si(value, 'N/m', unit):.3g} {unit}"


def _stress(value: float, units: UnitSystem) -> str:
    return show(value, "Pa", units, significant=3)


def _years(seconds: float) -> str:
    if seconds > 1e6 * _YEAR:
        return "more than a million years"
    years = seconds / _YEAR
    if years >= 1000.0:
        rounded = round(years, 1 - int(np.floor(np.log10(years))))
        return f"{rounded:_.0f} years".replace("_", "\N{NARROW NO-BREAK SPACE}")
    return f"{years:.3g} years" if years >= 1.0 else f"{seconds / 86400.0:.3g} days"


# ---- the parts ------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class RiserShape:
    """How the riser lies: under the current alone, with a tensioner lost, on the mean in waves.

    Attributes
    ----------
    after_loss : None where the riser then lies over
    """

    hole: Hole
    still: Lying
    after_loss: Lying | None
    sway: Swaying
    records: tuple[CheckRecord, ...]

    name = "shape"
    title = "Riser: how it lies"

    def topic(self, units: UnitSystem) -> Topic:
        return shape(self, units)


@dataclass(frozen=True, eq=False)
class RiserModes:
    """By which periods it sways and stretches by itself."""

    hole: Hole
    swing: Swinging
    hung: HungRiser
    records: tuple[CheckRecord, ...]

    name = "modes"
    title = "Riser: its own periods"

    def topic(self, units: UnitSystem) -> Topic:
        return modes(self, units)


@dataclass(frozen=True, eq=False)
class RiserWaves:
    """How it sways in the planned sea."""

    hole: Hole
    sway: Swaying
    records: tuple[CheckRecord, ...]

    name = "waves"
    title = "Riser: in the planned sea"

    def topic(self, units: UnitSystem) -> Topic:
        return waves(self, units)


@dataclass(frozen=True, eq=False)
class RiserVibration:
    """What vortices make of each of its modes."""

    hole: Hole
    swing: Swinging
    records: tuple[CheckRecord, ...]

    name = "vibration"
    title = "Riser: vibration by vortices"

    def topic(self, units: UnitSystem) -> Topic:
        return vibration(self, units)


@dataclass(frozen=True, eq=False)
class RiserHungOff:
    """How it hangs from the vessel once it is let go of the well."""

    hole: Hole
    hung: HungRiser
    soft: HungRiser
    records: tuple[CheckRecord, ...]

    name = "hang-off"
    title = "Riser: hung off"

    def topic(self, units: UnitSystem) -> Topic:
        return hang_off(self, units)


@dataclass(frozen=True, eq=False)
class OpenWater:
    """Pipe that hangs in open water while there is no riser.

    Attributes
    ----------
    hanging : title of the step, and the pipe bent by the current
    """

    hole: Hole
    hanging: tuple[tuple[str, InCurrent], ...]
    has_riser: bool
    records: tuple[CheckRecord, ...]

    name = "open-water"
    title = "Pipe in open water"

    def topic(self, units: UnitSystem) -> Topic:
        return open_water(self, units)


@dataclass(frozen=True, eq=False)
class NotFound:
    """A part that could not be worked out, and why."""

    hole: Hole
    name: str
    title: str
    reason: str
    records: tuple[CheckRecord, ...]

    def topic(self, units: UnitSystem) -> Topic:
        return not_found(self)


SeaPart = RiserShape | RiserModes | RiserWaves | RiserVibration | RiserHungOff | OpenWater
RiserPart = SeaPart | NotFound


# ---- shape ------------------------------------------------------------------------------------


def shape(one: RiserShape, units: UnitSystem) -> Topic:
    still, mean, lost = one.still, one.sway.mean, one.after_loss
    gear = still.riser.gear
    pull = gear.vertical_pull()

    def angles(lies: Lying) -> str:
        lower, upper = (
            _angle(float(lies.lower_angle), units),
            _angle(float(lies.upper_angle), units),
        )
        return f"lower joint {lower}, upper joint {upper}"

    facts = (
        ("Pull at the top", f"{_force(float(pull), units)}, vertical"),
        ("Left at the foot", _force(float(gear.foot_tension(pull)), units)),
        ("Offset", f"{_metres(float(still.offset), units)}, where drilling stops"),
        ("Current alone", angles(still)),
        ("Mean in waves", angles(mean)),
        ("A tensioner lost", "the riser lies over" if lost is None else angles(lost)),
        ("Stroke drawn out", f"{_metres(float(still.set_down), units)} by slope and sag"),
        (
            "Steepest",
            f"{_angle(still.steepest, units)}; at rest it may lean far, sway up to 10 deg",
        ),
    )
    joints = () if gear.stack_up is None else (_stack_up(still.riser, gear.stack_up, units),)
    return Topic(
        one.name, one.title, facts, (_along(one, units), *joints), one.records, CAUTION,
        {
            "depth_below_sea_level": number(still.riser.nodes, "m"),
            "displacement_down_current": number(mean.shape.displacement[0], "m"),
            "displacement_up_current": number(mean.shape.displacement[1], "m"),
            "effective_tension": number(still.riser.tension_at_nodes(pull).si, "N"),
            "equivalent_stress": number(equivalent_stress(one.sway).si, "Pa"),
            "lower_flex_joint_angle": number(float(mean.lower_angle), "rad"),
            "upper_flex_joint_angle": number(float(mean.upper_angle), "rad"),
        },
    )  # fmt: skip


def _stack_up(riser: SeaRiser, stack: StackUp, units: UnitSystem) -> ToldTable:
    gear = riser.gear
    feet = float(gear.vertical_pull()) - gear.weight_above(stack.edges[1:])
    rows = tuple(
        (
            f"{run.joints} {run.kind}",
            gear.setting.depth(float(stack.edges[n])).show(units),
            _metres(float(stack.lengths[n]), units),
            show(float(stack.mass_of(run)), "kg/m", units, significant=3),
            _force(run.buoyancy_lift, units),
            show(run.hydrodynamic_diameter, "m", units, significant=3),
            _force(float(feet[n]), units),
        )
        for n, run in enumerate(stack.runs)
    )
    columns = (
        "joints", "from", "length", "mass in air", "lift of a joint", "diameter in the water",
        "tension at its foot",
    )  # fmt: skip
    return ToldTable("Joint by joint, from the telescopic joint down", columns, rows)


def _along(one: RiserShape, units: UnitSystem) -> ToldTable:
    sway, riser = one.sway, one.still.riser
    tension = np.asarray(riser.tension_at_nodes(riser.gear.vertical_pull()).si)
    mean, stress = sway.mean.shape, np.asarray(equivalent_stress(sway).si)
    bending, setting = np.asarray(greatest_bending(sway).si), riser.gear.setting
    rows = tuple(
        (
            setting.depth(float(riser.nodes[at])).show(units),
            _metres(float(mean.displacement[0, at]), units),
            _metres(float(mean.displacement[1, at]), units),
            _force(float(tension[at]), units),
            _stress(float(bending[at]), units),
            _stress(float(stress[at]), units),
        )
        for at in spread_over(_ROWS, len(riser.nodes))
    )
    columns = (
        "place", "vessel down-current", "vessel up-current", "effective tension",
        "greatest bending", "greatest von Mises",
    )  # fmt: skip
    return ToldTable("Along the riser, waves counted in", columns, rows)


# ---- modes ------------------------------------------------------------------------------------


def modes(one: RiserModes, units: UnitSystem) -> Topic:
    periods = 2.0 * np.pi / one.swing.modes.frequency
    riser, hung = one.swing.riser, one.hung
    frequency, _ = axial_modes(
        np.linspace(0.0, float(riser.gear.length), 301),
        float(riser.axial_stiffness),
        float(hung.linear_mass),
        float(hung.package_mass),
        3,
    )
    axial = 2.0 * np.pi / frequency
    sea = one.hole.site.environment
    near = int(np.argmin(np.abs(periods - sea.peak_period)))
    facts = (
        ("Slowest sway", f"{periods[0]:.1f} s, connected and full of its heaviest mud"),
        (
            "Near the sea",
            f"mode {near + 1} at {periods[near]:.1f} s; peak period of the planned sea "
            f"{sea.peak_period:g} s",
        ),
        (
            "Hung off, axial",
            ", ".join(f"{one_:.2f} s" for one_ in axial) + ", with the lower package at its foot",
        ),
        (
            "Mass per length",
            f"{show(float(one.swing.mass[-1]), 'kg/m', units, significant=4)} with the water "
            "that moves along",
        ),
    )
    rows = tuple(
        (str(at + 1), f"{periods[at]:.2f} s", f"{1.0 / periods[at]:.4f} Hz")
        for at in range(len(periods))
    )
    table = ToldTable("Sway across", ("mode", "period", "frequency"), rows)
    numbers = {"sway_period": number(periods, "s"), "axial_period_hung": number(axial, "s")}
    return Topic(one.name, one.title, facts, (table,), one.records, CAUTION, numbers)


# ---- waves ------------------------------------------------------------------------------------


def waves(one: RiserWaves, units: UnitSystem) -> Topic:
    sway, sea = one.sway, one.hole.site.environment
    swayed, bending = sway.swayed, np.asarray(greatest_bending(sway).si)
    rows = tuple(
        (
            name,
            _angle(float(mean), units),
            _angle(2.0 * deviation, units),
            _angle(float(swing), units),
            _angle(float(mean) + float(swing), units),
        )
        for name, mean, deviation, swing in (
            ("lower joint", sway.mean.lower_angle, swayed.foot_angle, sway.lower_swing),
            ("upper joint", sway.mean.upper_angle, swayed.top_angle, sway.upper_swing),
        )
    )
    table = ToldTable(
        "Angles of the flex joints",
        ("joint", "mean", "significant swing", "greatest in 3 h", "mean and greatest"),
        rows,
    )
    widest = int(np.argmax(swayed.displacement))
    facts = (
        (
            "Sea",
            f"significant wave height {show(sea.significant_wave_height, 'm', units)}, peak "
            f"period {sea.peak_period:g} s, from the side the current comes from",
        ),
        ("Period", f"the lower joint swings every {swayed.crossing_period:.1f} s on the mean"),
        (
            "Widest sway",
            f"{_metres(2.0 * float(swayed.displacement[widest]), units)} significant, at "
            f"{one.hole.setting.depth(float(sway.riser.nodes[widest])).show(units)}",
        ),
        (
            "Greatest bending",
            f"{_stress(float(bending.max()), units)}, mean and greatest swing together",
        ),
        ("Drag", "made linear about the mean flow; the slow beat of wave groups is left out"),
    )
    return Topic(
        one.name, one.title, facts, (table,), one.records, CAUTION,
        {
            "depth_below_sea_level": number(sway.riser.nodes, "m"),
            "displacement_deviation": number(swayed.displacement, "m"),
            "greatest_bending_stress": number(bending, "Pa"),
            "lower_angle_deviation": number(swayed.foot_angle, "rad"),
            "upper_angle_deviation": number(swayed.top_angle, "rad"),
            "lower_angle_greatest_swing": number(float(sway.lower_swing), "rad"),
            "upper_angle_greatest_swing": number(float(sway.upper_swing), "rad"),
        },
    )  # fmt: skip


# ---- vortices ---------------------------------------------------------------------------------


def vibration(one: RiserVibration, units: UnitSystem) -> Topic:
    found, ranges, life = one.swing.vibration, stress_ranges(one.swing), lives(one.swing)
    driven = np.flatnonzero(found.share > 0.0)
    rows = tuple(
        (
            str(at + 1),
            f"{2.0 * np.pi / found.frequency[at]:.1f} s",
            f"{found.share[at]:.0%}",
            f"{found.damping[at]:.1%}",
            f"{found.amplitude[at]:.2f}",
            _stress(float(ranges[at]), units),
            _years(float(life[at])),
        )
        for at in driven
    )
    columns = (
        "mode", "period", "share driven", "damping", "amplitude over diameter",
        "stress range", "life",
    )  # fmt: skip
    facts: list[Fact] = [
        ("Strouhal number", f"{one.hole.setting.basis.riser_strouhal_number:g}"),
        ("Modes that lock in", "none of those looked at"),
    ]
    if len(driven):
        worst = int(np.argmin(life))
        facts[1] = ("Modes that lock in", f"{driven[0] + 1} to {driven[-1] + 1}")
        facts.append(
            (
                "Worst alone",
                f"mode {worst + 1}: {found.amplitude[worst]:.2f} diameters, stress range "
                f"{_stress(float(ranges[worst]), units)}, life {_years(float(life[worst]))}",
            )
        )
    caution = (
        "Screening by published fits, from memory: each mode as if it alone locked in, the planned "
        "current all the time. " + CAUTION
    )
    table = ToldTable("Modes driven by vortices", columns, rows)
    numbers = {
        "period": number(2.0 * np.pi / found.frequency, "s"),
        "share_driven": number(found.share, "-"),
        "damping_ratio": number(found.damping, "-"),
        "amplitude_ratio": number(found.amplitude, "-"),
        "stress_range": number(ranges, "Pa"),
        "life": number(life, "s"),
    }
    return Topic(one.name, one.title, tuple(facts), (table,), one.records, caution, numbers)


# ---- hung off ---------------------------------------------------------------------------------


def hang_off(one: RiserHungOff, units: UnitSystem) -> Topic:
    hung = one.hung
    tension, setting = np.asarray(hung.tension.si), one.hole.setting
    rows = tuple(
        (
            setting.depth(float(hung.places[at])).show(units),
            _force(float(tension[at]), units),
            _force(float(hung.swing[at]), units),
            _force(float(tension[at] - hung.swing[at]), units),
            _force(float(tension[at] + hung.swing[at]), units),
        )
        for at in spread_over(_ROWS, len(tension))
    )
    facts = (
        (
            "Planned",
            "on the tensioners" if one.hole.setting.basis.riser_hang_off == "soft" else "held hard",
        ),
        ("Static load", f"{_force(float(hung.load), units)} at the top, full of sea water"),
        ("Peak load, hard", f"{_force(float(hung.peak), units)} in three hours of the planned sea"),
        ("Axial period", f"{float(hung.axial_period):.2f} s"),
        ("Swing's period", f"{hung.crossing_period:.1f} s"),
        ("Mass", show(float(hung.hung_mass), "kg", units, significant=4)),
        ("Let go", f"{_force(float(hung.released), units)} more pull than it weighs"),
        ("Room to rise", _metres(float(hung.up_stroke), units)),
    )
    columns = ("place", "static", "swing", "least", "greatest")
    table = ToldTable("Effective tension along it, held hard", columns, rows)
    numbers = {
        "depth_below_sea_level": number(hung.places, "m"),
        "static_tension": number(tension, "N"),
        "greatest_swing": number(hung.swing, "N"),
        "peak_load": number(float(hung.peak), "N"),
        "soft_greatest_swing": number(one.soft.swing, "N"),
        "soft_peak_load": number(float(one.soft.peak), "N"),
        "soft_stroke_needed": number(float(one.soft.stroke_needed), "m"),
        "axial_period": number(float(hung.axial_period), "s"),
    }
    tables = (table, _ways(one, units))
    return Topic(one.name, one.title, facts, tables, one.records, CAUTION, numbers)


def _ways(one: RiserHungOff, units: UnitSystem) -> ToldTable:
    """Return both ways to hang it side by side."""
    rows = []
    for way, hung in (("held hard", one.hung), ("on the tensioners", one.soft)):
        left = np.asarray(hung.tension.si) - hung.swing
        rows.append(
            (
                way,
                _force(float(hung.peak), units),
                _force(float(left.min()), units),
                _metres(float(hung.stroke_needed), units) if hung.soft else "none",
                _per_stroke(float(hung.tensioner_stiffness), units) if hung.soft else "hard",
            )
        )
    columns = ("hung", "greatest load", "least tension", "stroke taken up", "stiffness at the top")
    return ToldTable("Both ways to hang it", columns, tuple(rows))


# ---- without a riser ----------------------------------------------------------------------------


def open_water(one: OpenWater, units: UnitSystem) -> Topic:
    rows = tuple(
        (
            title,
            "held at the sea bed" if bent.hanging.below is not None else "free",
            _metres(float(bent.foot_offset), units),
            _angle(float(np.abs(bent.shape.rotation).max()), units),
            _force(float(np.asarray(bent.hanging.tension.si).max()), units),
        )
        for title, bent in one.hanging
    )
    riser = (
        "run later; until then pipe hangs in open water"
        if one.has_riser
        else "none in this plan: pipe hangs in open water throughout"
    )
    facts = (("Riser", riser), ("Moments looked at", str(len(rows))))
    table = ToldTable(
        "Pipe bent by the current",
        ("step", "foot", "foot carried off", "steepest", "tension at the top"),
        rows,
    )
    numbers: dict[str, Any] = {
        "moments": [
            {
                "step": title,
                "moment": bent.hanging.moment,
                "depth_below_sea_level": number(bent.hanging.nodes, "m"),
                "displacement": number(np.ravel(bent.shape.displacement), "m"),
            }
            for title, bent in one.hanging
        ]
    }
    caution = (
        "Static, the current from one side at all depths: waves, the vessel's motion and vibration "
        "by vortices come on top. The licensed engineer decides."
    )
    return Topic(one.name, one.title, facts, (table,), one.records, caution, numbers)


def not_found(one: NotFound) -> Topic:
    return Topic(
        one.name, one.title, (("Not worked out", one.reason),), (), one.records, CAUTION,
        {"not_worked_out": one.reason},
    )  # fmt: skip
