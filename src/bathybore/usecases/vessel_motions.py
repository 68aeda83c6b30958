"""How the vessel moves in regular waves and in the planned sea, told for every face."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, from_si, show
from bathybore.checks.record import CheckRecord
from bathybore.model.hole import Hole
from bathybore.operations.vessel_motions import (
    InSea,
    Motions,
    greatest_heave,
    greatest_tilt,
    heave_period,
    in_planned_sea,
    motions_at,
    roll_period,
)
from bathybore.usecases.placing_told import ToldTable, Topic, number

CAUTION: Final = (
    "Regular waves of one direction at the planned heading, the well at the vessel's reference "
    "point. Without a table of motions the hull is a box whose roll is one pendulum: moonpool, "
    "tanks and coupling are left out. The vessel's own motion analysis replaces it."
)
PERIODS: Final[Array] = np.linspace(3.0, 25.0, 221)  # s, of the picture
_TOLD: Final = (4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 14.0, 16.0, 18.0, 20.0, 25.0)
MEASURES: Final = ("compensator-stroke", "vessel-pitch", "vessel-roll")


@dataclass(frozen=True, eq=False)
class VesselMotions:
    """How the vessel moves.

    Attributes
    ----------
    responses : at PERIODS
    """

    hole: Hole
    responses: Motions
    in_sea: InSea
    records: tuple[CheckRecord, ...]

    name = "motions"

    def topic(self, units: UnitSystem) -> Topic:
        """Return the motions in the reader's units."""
        return Topic(
            name=self.name,
            title="How the vessel moves",
            facts=_facts(self, units),
            tables=(_in_sea(self, units), _responses(self, units)),
            records=self.records,
            caution=CAUTION,
            numbers=_numbers(self),
        )


def vessel_motions(hole: Hole, records: tuple[CheckRecord, ...]) -> VesselMotions:
    """Return how the vessel of a hole moves, with what is asked of it."""
    setting = hole.setting
    responses = motions_at(setting, 2.0 * np.pi / PERIODS)
    return VesselMotions(hole, responses, in_planned_sea(setting), records)


def per_length(units: UnitSystem) -> str:
    """Return the unit in which angles per wave amplitude are told."""
    return "deg/m" if units == "metric" else "deg/ft"


def _turned(value: float, units: UnitSystem) -> str:
    unit = per_length(units)
    return f"{from_si(value, 'rad/m', unit):.3f} {unit}"


def _facts(one: VesselMotions, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    setting, sea, table = one.hole.setting, one.hole.site.environment, one.hole.motions
    heading = show(sea.heading_off_weather, "rad", units)
    how = (
        f"{len(table.lines)} rows of {table.file}"
        if table is not None
        else "closed forms of a box of her sizes (vessel: motions)"
    )
    facts = [
        ("By", how),
        (
            "Sea",
            f"significant wave height {show(sea.significant_wave_height, 'm', units)}, peak period "
            f"{sea.peak_period:g} s, {heading} off the bow",
        ),
        ("Heave", f"every {float(heave_period(setting)):.1f} s on the mean"),
    ]
    if table is None:
        facts.append(("Rolls by herself", f"every {float(roll_period(setting)):.1f} s"))
    facts += [("Beyond the table", words) for words in one.in_sea.beyond()]
    return tuple(facts)


def _in_sea(one: VesselMotions, units: UnitSystem) -> ToldTable:
    setting, sea = one.hole.setting, one.in_sea
    greatest = {
        "heave": float(greatest_heave(setting)),
        "pitch": float(greatest_tilt(setting, "pitch")),
        "roll": float(greatest_tilt(setting, "roll")),
    }
    rows = tuple(
        (
            name,
            show(sea.significant(name), unit, units, significant=3),
            show(greatest[name], unit, units, significant=3),
            f"{sea.period[name]:.1f} s",
        )
        for name, unit in (("heave", "m"), ("pitch", "rad"), ("roll", "rad"))
    )
    columns = ("motion", "significant amplitude", "greatest in 3 h", "mean period")
    return ToldTable("In the planned sea", columns, rows)


def _responses(one: VesselMotions, units: UnitSystem) -> ToldTable:
    found = motions_at(one.hole.setting, 2.0 * np.pi / np.array(_TOLD))
    way = np.linalg.norm(found.way, axis=0)
    rows = tuple(
        (
            f"{period:g} s",
            f"{abs(found.heave[n]):.3f}",
            _turned(abs(found.pitch[n]), units),
            _turned(abs(found.roll[n]), units),
            f"{way[n]:.3f}",
        )
        for n, period in enumerate(_TOLD)
    )
    columns = ("wave period", "heave", "pitch", "roll", "to and fro")
    return ToldTable("Amplitude per amplitude of the wave", columns, rows)


def _numbers(one: VesselMotions) -> dict[str, Any]:
    found = one.responses
    return {
        "wave_period": number(PERIODS, "s"),
        "heave_response": number(np.abs(found.heave), "-"),
        "pitch_response": number(np.abs(found.pitch), "rad/m"),
        "roll_response": number(np.abs(found.roll), "rad/m"),
        "horizontal_response": number(np.linalg.norm(found.way, axis=0), "-"),
        "significant_heave_amplitude": number(one.in_sea.significant("heave"), "m"),
        "significant_pitch_amplitude": number(one.in_sea.significant("pitch"), "rad"),
        "significant_roll_amplitude": number(one.in_sea.significant("roll"), "rad"),
    }
