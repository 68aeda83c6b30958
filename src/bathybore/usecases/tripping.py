"""Trips: how fast the string may go, what the heave does to it in slips, what fills the hole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from bathybore.base.units import UnitSystem, show
from bathybore.checks.heave_in_slips import heave_of_connection, heave_studies
from bathybore.checks.record import CheckRecord
from bathybore.checks.trips import speeds_of, trip_studies, usual_speed
from bathybore.model.hole import Setting
from bathybore.operations.circulation import string_fits
from bathybore.operations.geometry import bores
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.trips import (
    MOST_SPEED,
    MovedPipe,
    TripSheet,
    TripSpeeds,
    moved_pipe,
    trip_sheet,
)
from bathybore.usecases.placing_told import (
    ToldTable,
    Topic,
    asked,
    known,
    number,
    pressure,
    volume,
)

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

CAUTION: Final = (
    "Steady motion, hole of gauge and mud as planned: gelled mud, cavings and a balled bit swab "
    "far more. Compare fill volumes stand by stand: the trip tank tells first that the hole flows "
    "or takes. The licensed engineer decides."
)
_ASKED: Final = ("swab", "surge", "trip-speed", "fill-up", "heave-in-slips")


@dataclass(frozen=True, eq=False)
class Trip:
    """The trip out of one section, with what a picture needs.

    Attributes
    ----------
    speeds : None with returns to the sea floor, where no window is kept by the mud
    """

    section: str
    state: HoleState
    usual: float
    moved: MovedPipe
    speeds: TripSpeeds | None
    sheet: TripSheet
    records: tuple[CheckRecord, ...]

    def topic(self, units: UnitSystem) -> Topic:
        """Return the trip in the reader's units."""
        return Topic(
            name=self.section,
            title=f"Trip out of {self.section}",
            facts=_facts(self, units),
            tables=(
                *(() if self.speeds is None else (_speeds(self, self.speeds, units),)),
                _stands(self, units),
                _sheet(self, units),
            ),
            records=self.records,
            caution=CAUTION,
            numbers=_numbers(self),
        )


def trips(walk: Walk, section: str = "") -> tuple[Trip, ...]:
    """Return the trips of a walk, or that of one section.

    Raises
    ------
    InputErrors
        No section of that name is drilled with a string that fits.
    """
    found = dict(_drilled(walk))
    if section:
        known("section", section, list(found))
    return tuple(_trip(walk, name, state) for name, state in found.items() if section in ("", name))


def _drilled(walk: Walk) -> list[tuple[str, HoleState]]:
    return [
        (one.step.name if one.step.kind is StepKind.CORE else one.activity.section.name, one)
        for one in walk.states
        if one.step.kind in (StepKind.DRILL, StepKind.CORE)
        and one.activity.section is not None
        and string_fits(one)
    ]


def _trip(walk: Walk, name: str, state: HoleState) -> Trip:
    string, fluid, setting = state.activity.string, state.activity.fluid, state.hole.setting
    if string is None or fluid is None:
        raise LookupError(f"{state.step.name} has no string")
    usual = float(usual_speed(setting))
    return Trip(
        section=name,
        state=state,
        usual=usual,
        moved=moved_pipe(state.hole.setting, bores(state), string, fluid, usual),
        speeds=None if state.riser is None else speeds_of(state),
        sheet=trip_sheet(setting, string),
        records=asked(walk, state, lambda one: one.name in _ASKED, trip_studies, heave_studies),
    )


def _facts(trip: Trip, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    setting = trip.state.hole.setting
    basis, heave = setting.basis, float(heave_of_connection(setting))
    fact = [
        ("Usual speed", f"{show(trip.usual, 'm/s', units, significant=3)}, peak of a stand"),
        ("Closed pipe", f"{pressure(trip.moved.closed, units)} at the bit at that speed, lost when "
         "pulled, gained when run"),
        ("Open pipe", f"{pressure(trip.moved.open, units)}, where mud passes freely into its bore"),
        ("Heave", f"{show(heave, 'm', units, significant=3)} amplitude, the greatest likely while "
         "one connection is made in the planned sea"),
    ]  # fmt: skip
    if trip.speeds is None:
        fact.append(("Speed", "not judged: returns go to the sea floor, no mud keeps a window"))
        fact.append(("Fill up", "the sea keeps the hole full; the sheet tells what steel leaves"))
        return tuple(fact)
    fact += [
        ("Fill up", f"at least every {basis.stands_between_fills} stands of drill pipe"),
        ("Trip tank", f"{volume(basis.trip_tank_volume, units)} in use, section "
         f"{show(basis.trip_tank_area, 'm2', units, significant=3)}"),
    ]  # fmt: skip
    return tuple(fact)


def _speed(value: float, units: UnitSystem) -> str:
    shown = show(value, "m/s", units, significant=3)
    return f"over {shown}" if value >= MOST_SPEED * (1.0 - 1e-6) else shown


def _least_time(setting: Setting, peak: float) -> str:
    """Return how long a stand is on its way, connection left out, if its peak speed is safe."""
    if peak <= 0.0:
        return "never"
    mean = peak / setting.basis.trip_speed_factor
    return f"{setting.vessel.handling.stand_length / mean:.0f} s"


def _speeds(trip: Trip, speeds: TripSpeeds, units: UnitSystem) -> ToldTable:
    setting = trip.state.hole.setting
    rows = tuple(
        (
            setting.depth(float(bit)).show(units),
            _speed(float(out), units),
            _speed(float(into), units),
            _least_time(setting, float(min(out, into))),
        )
        for bit, out, into in zip(speeds.bit, speeds.pulling, speeds.running, strict=True)
    )
    columns = ("bit at", "pulled no faster than", "run no faster than", "a stand moves for")
    return ToldTable("Greatest safe speed by depth of the bit", columns, rows)


def _stands(trip: Trip, units: UnitSystem) -> ToldTable:
    rows = tuple(
        (
            one.pipe,
            f"{one.stands:.1f}",
            show(float(one.dry), "m3", units, significant=3),
            show(float(one.wet), "m3", units, significant=3),
        )
        for one in trip.sheet.stands
    )
    columns = ("pipe", "stands", "a stand dry", "a stand wet")
    return ToldTable("What a stand displaces, uppermost part first", columns, rows)


def _sheet(trip: Trip, units: UnitSystem) -> ToldTable:
    setting, area = trip.state.hole.setting, "fall of the trip tank"
    rows = tuple(
        (
            f"{row.stands:.0f}" if row.stands == round(row.stands) else f"{row.stands:.1f}",
            setting.depth(max(row.bit, float(setting.drill_floor))).show(units),
            row.pipe,
            show(row.dry, "m3", units, significant=4),
            show(row.level_dry, "m", units, significant=3),
            show(row.wet, "m3", units, significant=4),
            show(row.level_wet, "m", units, significant=3),
        )
        for row in trip.sheet.rows
    )
    columns = ("stands", "bit at", "last out", "fill dry", area, "fill wet", f"{area}, wet")
    return ToldTable("Trip sheet, cumulative", columns, rows)


def sheet_csv(trip: Trip) -> str:
    """Return the trip sheet as CSV in SI, units in the heads."""
    heads = (
        "stands_pulled [-],bit_below_drill_floor [m],last_pipe,fill_dry [m3],fill_wet [m3],"
        "tank_fall_dry [m],tank_fall_wet [m],tank_fills_dry [-],tank_fills_wet [-]"
    )
    floor = float(trip.state.hole.drill_floor)
    lines = [
        f"{row.stands:.2f},{max(row.bit - floor, 0.0):.2f},{row.pipe},{row.dry:.4f},{row.wet:.4f},"
        f"{row.level_dry:.4f},{row.level_wet:.4f},{row.fills_dry},{row.fills_wet}"
        for row in trip.sheet.rows
    ]
    return "\n".join([heads, *lines]) + "\n"


def _numbers(trip: Trip) -> dict[str, Any]:
    told: dict[str, Any] = {
        "step": trip.state.step.name,
        "usual_speed": number(trip.usual, "m/s"),
        "closed_pipe": number(trip.moved.closed, "Pa"),
        "open_pipe": number(trip.moved.open, "Pa"),
        "sheet": {
            "stands": [row.stands for row in trip.sheet.rows],
            "fill_dry": number([row.dry for row in trip.sheet.rows], "m3"),
            "fill_wet": number([row.wet for row in trip.sheet.rows], "m3"),
            "tank_fall_dry": number([row.level_dry for row in trip.sheet.rows], "m"),
            "tank_fall_wet": number([row.level_wet for row in trip.sheet.rows], "m"),
        },
    }
    if trip.speeds is not None:
        told["bit_below_sea_level"] = number(trip.speeds.bit, "m")
        told["greatest_speed_pulling"] = number(trip.speeds.pulling, "m/s")
        told["greatest_speed_running"] = number(trip.speeds.running, "m/s")
    return told
