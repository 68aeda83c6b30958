"""Station kept and lost: capability by direction, watch circles; one shape for every face."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from math import degrees
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from bathybore.base.errors import InputErrors
from bathybore.base.units import UnitSystem, show
from bathybore.checks.footprint import footprint_studies
from bathybore.checks.offset_limits import OffsetLimits, offset_limits
from bathybore.checks.record import CheckRecord
from bathybore.checks.station import holding_checks, reserve_needed, station_studies
from bathybore.checks.vessel_motions import motion_studies
from bathybore.checks.watch_circles import (
    circles_of_drift,
    circles_of_drive,
    sequence_of,
    watch_circle_studies,
)
from bathybore.kernels.environment_table import (
    GREATEST_NUMBER,
    table_current_speed,
    table_peak_period,
    table_wave_height,
    table_wind_speed,
)
from bathybore.model.hole import Hole
from bathybore.operations.capability import Numbers, Rose, numbers_held, rose
from bathybore.operations.footprint import DURATION, REALISATIONS, Footprint, footprint
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.wash import barred_by_neighbours
from bathybore.operations.watch_circles import RULE_DISCONNECT, RULE_STOP, Circles, Sequence
from bathybore.usecases.placing_told import ToldTable, Topic, asked, number
from bathybore.usecases.vessel_motions import MEASURES, VesselMotions, vessel_motions
from bathybore.usecases.weather_windows import WeatherWindows, weather_windows

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

_ROWS: Final = 12  # directions told in a table
_HOLDING: Final = (
    "hold-intact",
    "hold-after-thruster-loss",
    "hold-after-switchboard-loss",
    "power",
    "heading-sector",
)
_LETTING_GO: Final = (
    "drift-off",
    "watch-circle-disconnect",
    "watch-circle-prepare",
    "drive-off",
    "watch-circle-drive-off",
)
CAPABILITY_CAUTION: Final = (
    "Mean loads of formulas from memory, wind, waves and current from one side: gusts, slow drift "
    "and crossing seas come on top. Model tests and trials of the vessel replace them; her "
    "failure analysis says what a single failure takes along."
)
FOOTPRINT_CAUTION: Final = (
    "Slow motion with a plain control and wave filter of its own, all thrusters running, loads by "
    "formulas from memory: the vessel's own system and its trials replace it. Errors of the "
    "position reference come on top."
)
CIRCLES_CAUTION: Final = (
    "Followed from rest above the well in mean loads. A gust or an offset at the start shortens "
    "the time; connector and fatigue are no limits here. The vessel's drift-off analysis, the "
    "well-specific guidelines and the crew decide, not a circle."
)


@dataclass(frozen=True, eq=False)
class Capability:
    """What the vessel holds from every direction.

    Attributes
    ----------
    needed : factor on the mean load, its reserve included
    numbers : of the environment table
    """

    hole: Hole
    rose: Rose
    numbers: Numbers
    needed: float
    records: tuple[CheckRecord, ...]

    name = "capability"

    def topic(self, units: UnitSystem) -> Topic:
        """Return the capability in the reader's units."""
        return Topic(
            name=self.name,
            title="Holding station",
            facts=_held_facts(self, units),
            tables=(
                _held_table(self, units),
                *_barred_table(self, units),
                _environments(self, units),
            ),
            records=self.records,
            caution=CAPABILITY_CAUTION,
            numbers=_held_numbers(self),
        )


@dataclass(frozen=True, eq=False)
class WatchCircles:
    """Where disconnection must begin, beside what is planned.

    Attributes
    ----------
    limits : of the offset, the least of which decides
    drift, drive : after a blackout, after thrusters are stuck
    """

    hole: Hole
    gear: RiserGear
    limits: OffsetLimits
    sequence: Sequence
    drift: Circles
    drive: Circles
    records: tuple[CheckRecord, ...]

    name = "circles"

    @property
    def planned(self) -> float:
        return float(self.gear.watch_offset)

    @property
    def limit(self) -> float:
        return float(self.limits.least.offset)

    @property
    def which(self) -> str:
        return self.limits.least.words

    def rule(self, shares: tuple[float, float]) -> tuple[float, float]:
        """Return a rule of thumb as offsets [m]."""
        depth = self.hole.site.water_depth
        return shares[0] * depth, shares[1] * depth

    def topic(self, units: UnitSystem) -> Topic:
        """Return the circles in the reader's units."""
        return Topic(
            name=self.name,
            title="Losing station",
            facts=_circle_facts(self, units),
            tables=(_limit_table(self, units), _circle_table(self, units)),
            records=self.records,
            caution=CIRCLES_CAUTION,
            numbers=_circle_numbers(self),
        )


@dataclass(frozen=True, eq=False)
class FootprintAtSea:
    """Where the vessel is while it is held in the planned weather.

    Attributes
    ----------
    planned : offset at which drilling stops [m]
    """

    hole: Hole
    found: Footprint
    planned: float
    records: tuple[CheckRecord, ...]

    name = "footprint"

    def topic(self, units: UnitSystem) -> Topic:
        """Return the footprint in the reader's units."""
        return Topic(
            name=self.name,
            title="Footprint at sea",
            facts=_footprint_facts(self, units),
            tables=(_footprint_table(self, units),),
            records=self.records,
            caution=FOOTPRINT_CAUTION,
            numbers=_footprint_numbers(self),
        )


Kept = Capability | WatchCircles | FootprintAtSea | VesselMotions | WeatherWindows


def capability(walk: Walk) -> Capability:
    """Return what the vessel of a walk holds from every direction."""
    setting = walk.hole.setting
    return Capability(
        hole=walk.hole,
        rose=rose(setting),
        numbers=numbers_held(setting),
        needed=float(reserve_needed(setting)),
        records=_asked_at(walk, StepKind.HOLD_STATION, _HOLDING, holding_checks, station_studies),
    )


def watch_circles(walk: Walk) -> WatchCircles | None:
    """Return the watch circles of a walk; None where no riser is described."""
    gear = RiserGear.of(walk.hole)
    landed = _first(walk, StepKind.RUN_RISER)
    if gear is None or landed is None:
        return None
    limits = offset_limits(landed, gear)
    return WatchCircles(
        hole=walk.hole,
        gear=gear,
        limits=limits,
        sequence=sequence_of(gear),
        drift=circles_of_drift(gear, limits.least),
        drive=circles_of_drive(gear, limits.least),
        records=_asked_at(walk, StepKind.RUN_RISER, _LETTING_GO, watch_circle_studies),
    )


def footprint_at_sea(walk: Walk) -> FootprintAtSea:
    """Return where the vessel of a walk is while it is held in the planned weather."""
    hole = walk.hole
    return FootprintAtSea(
        hole=hole,
        found=footprint(hole.setting),
        planned=hole.basis.watch_offset_share * hole.site.water_depth,
        records=_asked_at(walk, StepKind.HOLD_STATION, ("footprint",), footprint_studies),
    )


def motions_of(walk: Walk) -> VesselMotions:
    """Return how the vessel of a walk moves in the waves."""
    asked_of = _asked_at(walk, StepKind.HOLD_STATION, MEASURES, motion_studies)
    return vessel_motions(walk.hole, asked_of)


_MADE: Final[dict[str, Callable[[Walk], Kept | None]]] = {
    Capability.name: capability,
    FootprintAtSea.name: footprint_at_sea,
    VesselMotions.name: motions_of,
    WatchCircles.name: watch_circles,
    WeatherWindows.name: weather_windows,
}


def part_of(walk: Walk, part: str) -> Kept | None:
    """Return a part of station keeping by its name; None where the hole has none of it."""
    return _MADE[part](walk)


def parts_of(walk: Walk, part: str = "") -> tuple[Kept, ...]:
    """Return all that is told of station keeping in order, or one part.

    Raises
    ------
    InputErrors
        The part wants a riser and the hole has none.
    """
    found = [part_of(walk, name) for name in _MADE if part in ("", name)]
    told = tuple(one for one in found if one is not None)
    if part and not told:
        raise InputErrors.one(
            part, "no riser, preventer or tensioners", "a hole that is drilled with a riser"
        )
    return told


def _asked_at(
    walk: Walk, kind: StepKind, names: Collection[str], *askers: Any
) -> tuple[CheckRecord, ...]:
    state = _first(walk, kind)
    if state is None:
        return ()
    return asked(walk, state, lambda one: one.name in names, *askers)


def _first(walk: Walk, kind: StepKind) -> HoleState | None:
    return next((one for one in walk.states if one.step.kind is kind), None)


# ---- holding --------------------------------------------------------------------------------


def _held_facts(one: Capability, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    found, weather = one.rose, one.rose.weather
    thruster, board = found.after_thruster.min(axis=0), found.after_switchboard.min(axis=0)
    numbers = one.numbers
    return (
        (
            "Weather",
            f"wind {show(weather.wind_speed, 'm/s', units)}, significant wave height "
            f"{show(weather.significant_wave_height, 'm', units)}, current "
            f"{show(weather.current_speed, 'm/s', units)}, all from one side",
        ),
        ("Loads", _loads_by(one.hole)),
        ("Intact", _least(found, found.intact)),
        ("Less a thruster", _least(found, thruster, found.thrusters, found.after_thruster)),
        (
            "Less a switchboard",
            _least(found, board, found.switchboards, found.after_switchboard),
        ),
        ("Heading", _sector(one)),
        ("Power", _power(one, units)),
        (
            "Environments held",
            f"Beaufort number {numbers.intact.min()} from every side intact, "
            f"{numbers.after_thruster.min()} after the worst thruster, "
            f"{numbers.after_switchboard.min()} after the worst switchboard; from ahead "
            f"{numbers.intact[0]}, {numbers.after_thruster[0]} and {numbers.after_switchboard[0]}",
        ),
    )


def _loads_by(hole: Hole) -> str:
    """Say where wind and current loads come from."""
    tables = {"wind": hole.wind_coefficients, "current": hole.current_coefficients}
    by = (
        f"{what} by {'areas and a formula' if table is None else f'coefficients of {table.file}'}"
        for what, table in tables.items()
    )
    return ", ".join([*by, "waves by a formula"])


def _least(
    found: Rose, factors: np.ndarray, names: tuple[str, ...] = (), each: np.ndarray | None = None
) -> str:
    worst = int(np.argmin(factors))
    lost = "" if each is None else f", {names[int(np.argmin(each[:, worst]))]} lost"
    angle = degrees(float(found.directions[worst]))
    return f"{factors[worst]:.2f} times the mean load at least, from {angle:.0f} degrees{lost}"


def _sector(one: Capability) -> str:
    angle = degrees(one.rose.held_to(one.needed, one.rose.worst))
    planned = degrees(one.hole.site.environment.heading_off_weather)
    held = "from every side" if angle >= 180.0 else f"up to {angle:.0f} degrees off the bow"
    return (
        f"the weather with its reserve is held {held} after any single failure; planned are "
        f"{planned:.0f} degrees"
    )


def _power(one: Capability, units: UnitSystem) -> str:
    known = np.isfinite(one.rose.power)
    if not known.any():
        return "no direction is held with the power there is"
    most = int(np.nanargmax(one.rose.power))
    hotel = one.hole.vessel.hotel_and_drilling_power
    text = (
        f"at most {show(float(one.rose.power[most]), 'W', units)} for thrust, from "
        f"{degrees(float(one.rose.directions[most])):.0f} degrees, beside "
        f"{show(hotel, 'W', units)} for drilling and living"
    )
    return text if known.all() else f"{text}; some directions are not held"


def _held_table(one: Capability, units: UnitSystem) -> ToldTable:
    found = one.rose
    rows = []
    for index in range(0, len(found.directions), len(found.directions) // _ROWS):
        thruster, board = found.after_thruster[:, index], found.after_switchboard[:, index]
        angle = float(found.directions[index])
        which = int(np.argmin(np.abs(one.numbers.directions - angle)))
        power = float(found.power[index])
        rows.append(
            (
                f"{degrees(angle):.0f}°",
                f"{found.intact[index]:.2f}",
                f"{thruster.min():.2f} {found.thrusters[int(thruster.argmin())]}",
                f"{board.min():.2f} {found.switchboards[int(board.argmin())]}",
                show(power, "W", units, significant=3) if np.isfinite(power) else "not held",
                str(one.numbers.intact[which]),
                str(one.numbers.after_thruster[which]),
                str(one.numbers.after_switchboard[which]),
            )
        )
    columns = (
        "weather from",
        "intact",
        "less worst thruster",
        "less worst switchboard",
        "thrust power",
        "number intact",
        "less thruster",
        "less switchboard",
    )
    return ToldTable("Times the mean load that is held, and Beaufort number", columns, tuple(rows))


def _barred_table(one: Capability, units: UnitSystem) -> tuple[ToldTable, ...]:
    """Return where no wash may point, and who says so; none where nothing is barred."""
    setting = one.hole.setting
    written = [
        (one.name, _bearing(sector.start), _bearing(sector.end), "", "", "as written")
        for one in setting.vessel.thrusters
        for sector in one.excluded
    ]
    worked_out = [
        (
            each.thruster,
            *map(_bearing, each.edges),
            f"{each.neighbour}, {show(each.spacing, 'm', units, significant=3)} off",
            f"{float(each.straight):.0%}",
            "worked out",
        )
        for each in barred_by_neighbours(setting)
    ]
    title = (
        "Directions barred to the wash, clockwise from the bow (worked out: Dang and Laheij, from "
        "memory); what neighbours lose outside of them is not taken off"
    )
    columns = ("thruster", "from", "to", "neighbour", "left to it straight in the wash", "told by")
    rows = (*written, *worked_out)
    return (ToldTable(title, columns, rows),) if rows else ()


def _bearing(angle: float) -> str:
    return f"{degrees(angle) % 360.0:.0f}°"


def _environments(one: Capability, units: UnitSystem) -> ToldTable:
    rows = tuple(
        (
            str(n),
            show(float(table_wind_speed(n)), "m/s", units),
            show(float(table_wave_height(n)), "m", units),
            f"{float(table_peak_period(n)):g} s",
            show(float(table_current_speed(n)), "m/s", units),
            _share(one.numbers.intact, n),
            _share(one.numbers.after_thruster, n),
            _share(one.numbers.after_switchboard, n),
        )
        for n in range(1, GREATEST_NUMBER + 1)
    )
    columns = (
        "Beaufort number",
        "wind",
        "significant wave height",
        "peak period",
        "current",
        "held intact",
        "less thruster",
        "less switchboard",
    )
    title = (
        "Environments by number (DNV-ST-0111, from memory) and the share of directions from which "
        "each is held, mean loads"
    )
    return ToldTable(title, columns, rows)


def _share(held: np.ndarray, number_: int) -> str:
    return f"{float(np.mean(held >= number_)):.0%}"


def _held_numbers(one: Capability) -> dict[str, Any]:
    found, numbers = one.rose, one.numbers
    weather = found.weather
    return {
        "weather": {
            "wind_speed": number(weather.wind_speed, "m/s"),
            "significant_wave_height": number(weather.significant_wave_height, "m"),
            "zero_crossing_period": number(weather.zero_crossing_period, "s"),
            "current_speed": number(weather.current_speed, "m/s"),
        },
        "direction": number(found.directions, "rad"),
        "needed": number(one.needed, "-"),
        "intact": number(found.intact, "-"),
        "after_thruster": {
            name: number(row, "-")
            for name, row in zip(found.thrusters, found.after_thruster, strict=True)
        },
        "after_switchboard": {
            name: number(row, "-")
            for name, row in zip(found.switchboards, found.after_switchboard, strict=True)
        },
        "thrust_power": number(found.power, "W"),
        "barred_by_neighbours": [
            {
                "thruster": each.thruster,
                "neighbour": each.neighbour,
                "start": number(each.edges[0], "rad"),
                "end": number(each.edges[1], "rad"),
            }
            for each in barred_by_neighbours(one.hole.setting)
        ],
        "beaufort": {
            "direction": number(numbers.directions, "rad"),
            "intact": numbers.intact.tolist(),
            "after_thruster": numbers.after_thruster.tolist(),
            "after_switchboard": numbers.after_switchboard.tolist(),
        },
    }


# ---- losing ---------------------------------------------------------------------------------


def _circle_facts(one: WatchCircles, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    depth, sequence = one.hole.site.water_depth, one.sequence

    def metres(value: float) -> str:
        return show(value, "m", units, significant=3)

    def least(values: np.ndarray) -> str:
        return f"{metres(float(values.min()))} ({float(values.min()) / depth:.1%} of water depth)"

    stop, leave = one.rule(RULE_STOP), one.rule(RULE_DISCONNECT)
    return (
        ("Riser off by", f"{metres(one.limit)}: {one.which}"),
        ("Drilling stops", f"{metres(one.planned)}, as planned"),
        ("Disconnect from", f"{least(one.drift.disconnect)}, the least of all directions"),
        ("Prepare from", least(one.drift.prepare)),
        ("Advise from", least(one.drift.advise)),
        (
            "Sequence",
            f"{sequence.advise:.0f} s to advise, {sequence.prepare:.0f} s to prepare, "
            f"{sequence.reaction:.0f} s to the button, {sequence.release:.0f} s to the open "
            "connector",
        ),
        (
            "Blackout",
            f"the limit is reached after {one.drift.time.min():.0f} s at the soonest, at "
            f"{show(float(one.drift.speed.max()), 'm/s', units, significant=2)} at most",
        ),
        (
            "Thrusters stuck",
            f"after {one.drive.time.min():.0f} s at the soonest; disconnect from "
            f"{metres(float(one.drive.disconnect.min()))}",
        ),
        (
            "Rules of thumb",
            f"stop at {metres(stop[0])} to {metres(stop[1])} (2 to 3 % of water depth), "
            f"disconnect by {metres(leave[0])} to {metres(leave[1])} (5 to 6 %)",
        ),
    )


def _limit_table(one: WatchCircles, units: UnitSystem) -> ToldTable:
    depth = one.hole.site.water_depth
    rows = [
        (each.words, show(float(each.offset), "m", units, significant=3),
         f"{float(each.offset) / depth:.1%}", "decides" if each is one.limits.least else "")
        for each in sorted(one.limits.found, key=lambda each: float(each.offset))
    ]  # fmt: skip
    rows += [(words, "", "", "") for words in one.limits.left_out]
    columns = ("what is reached", "offset", "of water depth", "")
    return ToldTable("Offsets at which the riser must be off", columns, tuple(rows))


def _circle_table(one: WatchCircles, units: UnitSystem) -> ToldTable:
    drift, drive = one.drift, one.drive

    def metres(value: float) -> str:
        return show(float(value), "m", units, significant=3)

    def seconds(value: float) -> str:
        return f"{value:.0f} s" if np.isfinite(value) else "never"

    rows = tuple(
        (
            f"{degrees(float(drift.directions[n])):.0f}°",
            seconds(float(drift.time[n])),
            show(float(drift.speed[n]), "m/s", units, significant=2),
            metres(drift.disconnect[n]),
            metres(drift.prepare[n]),
            metres(drift.advise[n]),
            seconds(float(drive.time[n])),
            metres(drive.disconnect[n]),
        )
        for n in range(0, len(drift.directions), len(drift.directions) // _ROWS)
    )
    columns = (
        "weather from",
        "blackout to limit",
        "speed there",
        "disconnect",
        "prepare",
        "advise",
        "stuck to limit",
        "disconnect, stuck",
    )
    return ToldTable("Circles by direction of the weather off the bow", columns, rows)


def _circle_numbers(one: WatchCircles) -> dict[str, Any]:
    told: dict[str, Any] = {
        "limit": number(one.limit, "m"),
        "limit_by": one.which,
        "limits": {each.words: number(float(each.offset), "m") for each in one.limits.found},
        "not_limited": list(one.limits.left_out),
        "planned": number(one.planned, "m"),
        "sequence": {
            name: number(getattr(one.sequence, name), "s")
            for name in ("advise", "prepare", "reaction", "release")
        },
        "direction": number(one.drift.directions, "rad"),
    }
    for name, circles in (("drift_off", one.drift), ("drive_off", one.drive)):
        told[name] = {
            "time": number(circles.time, "s"),
            "speed": number(circles.speed, "m/s"),
            "disconnect": number(circles.disconnect, "m"),
            "prepare": number(circles.prepare, "m"),
            "advise": number(circles.advise, "m"),
        }
    return told


# ---- where it is while it is held -----------------------------------------------------------


def _footprint_facts(one: FootprintAtSea, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    found, basis = one.found, one.hole.basis

    def metres(value: float) -> str:
        return show(value, "m", units, significant=3)

    return (
        (
            "Simulated",
            f"{REALISATIONS} times {DURATION / 60.0:.0f} min of gusts and waves at the planned "
            "heading",
        ),
        ("Greatest offset", f"{metres(found.greatest)}; drilling stops at {metres(one.planned)}"),
        (
            "Kept within",
            f"{metres(found.offset_within(0.5))} half of the time, "
            f"{metres(found.offset_within(0.95))} for 95 % of it",
        ),
        ("Heading", f"within {degrees(float(np.abs(found.heading).max())):.1f} degrees"),
        (
            "Thrust",
            f"the thruster most loaded gives {found.share.mean():.0%} on the mean, "
            f"{found.share.max():.0%} at most; short of what is asked for {found.short:.1%} of "
            "the time",
        ),
        (
            "Control",
            f"period {basis.station_control_period:.0f} s, thrusters follow in "
            f"{basis.thruster_response_time:.0f} s",
        ),
    )


def _footprint_table(one: FootprintAtSea, units: UnitSystem) -> ToldTable:
    offset = one.found.offset
    rows = tuple(
        (
            str(n + 1),
            *(
                show(float(value), "m", units, significant=3)
                for value in (
                    np.quantile(offset[:, n], 0.5),
                    np.quantile(offset[:, n], 0.95),
                    offset[:, n].max(),
                )
            ),
            f"{one.found.share[:, n].max():.0%}",
        )
        for n in range(offset.shape[1])
    )
    columns = ("realisation", "half of the time", "95 % of it", "greatest", "greatest thrust")
    return ToldTable("Offset in each realisation", columns, rows)


def _footprint_numbers(one: FootprintAtSea) -> dict[str, Any]:
    found, shares = one.found, (0.5, 0.9, 0.95, 0.99, 0.999)
    return {
        "planned": number(one.planned, "m"),
        "greatest": number(found.greatest, "m"),
        "share_of_time": number(shares, "-"),
        "offset_within": number([found.offset_within(share) for share in shares], "m"),
        "greatest_heading": number(float(np.abs(found.heading).max()), "rad"),
        "thrust_share_mean": number(float(found.share.mean()), "-"),
        "thrust_share_greatest": number(float(found.share.max()), "-"),
        "short_of_thrust": number(found.short, "-"),
    }
