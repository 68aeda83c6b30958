"""Cuttings: what every law of slip says of every annulus, and what cleans the hole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.units import UnitSystem, show
from bathybore.checks.cuttings import cuttings_studies, spread
from bathybore.checks.record import CheckRecord
from bathybore.operations.circulation import (
    Circulation,
    annulus_velocity,
    of_drilling,
    string_fits,
)
from bathybore.operations.cuttings_carried import (
    OWN_LAW,
    Carried,
    Sweep,
    bottoms_up,
    carried_by_every_law,
    carried_by_sweep,
    carried_by_water,
    cleaned_by,
    coarse_annuli,
    pumped_while,
    strokes,
    sweep_of,
)
from bathybore.operations.geometry import Segments
from bathybore.operations.steps import StepKind
from bathybore.usecases.placing_told import (
    ToldTable,
    Topic,
    asked,
    known,
    minutes,
    number,
    small,
    volume,
)

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

CAUTION: Final = (
    "Hole near the vertical and of gauge, chips of one size. Laws of slip were fitted to "
    "different grains: their spread is how little is known. What comes over the shakers, and drag "
    "on the string, tell whether the hole is clean. The licensed engineer decides."
)
_ASKED: Final = ("lifting", "cuttings", "time-to-clean")


@dataclass(frozen=True, eq=False)
class Cleaning:
    """The cleaning of one section at its deepest, with what a picture needs.

    Attributes
    ----------
    carried : by every law in the mud, the walk's own last
    water : the same flow of sea water
    velocity : of the mud up each annulus [m/s]
    """

    section: str
    step: str
    flow: Circulation
    segments: Segments
    velocity: Array
    carried: tuple[Carried, ...]
    water: Carried
    by_sweep: Carried | None
    sweep: Sweep | None
    records: tuple[CheckRecord, ...]

    def topic(self, units: UnitSystem) -> Topic:
        """Return the cleaning in the reader's units."""
        return Topic(
            name=self.section,
            title=f"Cuttings of {self.section}",
            facts=_facts(self, units),
            tables=(
                _laws(self, units),
                _annuli(self, units, "Transport ratio by annulus", "ratio"),
                _annuli(self, units, "Cuttings by volume while drilling", "fraction"),
            ),
            records=self.records,
            caution=CAUTION,
            numbers=_numbers(self),
        )


def cleanings(walk: Walk, section: str = "") -> tuple[Cleaning, ...]:
    """Return the cleaning of every section of a walk, or of one.

    Raises
    ------
    InputErrors
        No section of that name is drilled with a string that fits.
    """
    found = {
        one.step.name if one.step.kind is StepKind.CORE else one.activity.section.name: one
        for one in walk.states
        if one.step.kind in (StepKind.DRILL, StepKind.CORE)
        and one.activity.section is not None
        and string_fits(one)
    }
    if section:
        known("section", section, list(found))
    return tuple(
        _cleaning(walk, name, state) for name, state in found.items() if section in ("", name)
    )


def _cleaning(walk: Walk, name: str, state: Any) -> Cleaning:
    flow = of_drilling(state)
    segments, planned = coarse_annuli(flow), state.activity.section
    return Cleaning(
        section=name,
        step=state.step.name,
        flow=flow,
        segments=segments,
        velocity=np.asarray(annulus_velocity(flow, segments).si),
        carried=carried_by_every_law(flow),
        water=carried_by_water(flow),
        by_sweep=carried_by_sweep(flow),
        sweep=sweep_of(flow, planned.sweep_fluid or ""),
        records=asked(walk, state, lambda one: one.name in _ASKED, cuttings_studies),
    )


def _facts(one: Cleaning, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    flow, by = one.flow, cleaned_by(one.flow)
    once, count = float(bottoms_up(flow)), flow.setting.basis.bottoms_up_before_trip
    pumped = float(pumped_while(flow, by.time)) if np.isfinite(float(by.time)) else np.inf
    amount = "without end"
    if np.isfinite(pumped):
        amount = f"{volume(pumped, units)}, {strokes(flow, pumped):,.0f} strokes"
    rows = [
        ("Flow", f"{show(float(flow.flow_rate), 'm3/s', units, significant=3)} down the string, "
         f"{show(float(flow.booster_flow_rate), 'm3/s', units, significant=3)} into the riser"),
        ("Chips", f"{small(float(flow.cuttings_diameter), units)} of "
         f"{show(float(flow.cuttings_density), 'kg/m3', units, significant=4)}"),
        ("Bottoms up", f"{minutes(once)}; {count:g} of them are pumped before a trip"),
        ("Clean after", f"{minutes(float(by.time))} in {by.fluid} ({amount}), by the slowest law "
         "that applies"),
        ("Spread", spread(flow)),
    ]  # fmt: skip
    if one.sweep is not None:
        sweep = one.sweep
        rows.append(
            (
                "Sweeps",
                f"{volume(float(sweep.volume), units)} of {sweep.fluid} ({sweep.strokes:,.0f} "
                f"strokes) fill {show(float(sweep.height), 'm', units, significant=3)} of the "
                f"widest open annulus; one every {minutes(float(sweep.spacing))}, about "
                f"{show(float(sweep.drilled), 'm', units, significant=3)} drilled",
            )
        )
    return tuple(rows)


def _all(one: Cleaning) -> tuple[Carried, ...]:
    return (*one.carried, *(() if one.by_sweep is None else (one.by_sweep,)), one.water)


def _label(carried: Carried) -> str:
    if carried.fluid == "mud":
        own = ", as the walk judges" if carried.law == OWN_LAW else ""
        return f"{carried.law}{own}"
    return f"{carried.fluid}, same flow"


def _laws(one: Cleaning, units: UnitSystem) -> ToldTable:
    rows = tuple(
        (
            _label(carried),
            f"{carried.least_ratio:.2f}",
            f"{100.0 * carried.greatest_fraction:.1f} %",
            minutes(float(carried.time)),
        )
        for carried in _all(one)
    )
    columns = ("law of slip", "least transport ratio", "most cuttings by volume", "time to clean")
    return ToldTable("Every law side by side", columns, rows)


def _annuli(one: Cleaning, units: UnitSystem, title: str, what: str) -> ToldTable:
    segments = one.segments
    rows = tuple(
        (
            segments.names[index],
            one.flow.setting.depth(float(segments.bottom[index])).show(units),
            show(float(one.velocity[index]), "m/s", units, significant=3),
            *(_cell(carried, what, index) for carried in _all(one)),
        )
        for index in range(len(segments))
    )
    columns = ("annulus", "down to", "velocity", *(_short(carried) for carried in _all(one)))
    return ToldTable(title, columns, rows)


def _short(carried: Carried) -> str:
    if carried.fluid != "mud":
        return carried.fluid
    return "walk's own" if carried.law == OWN_LAW else carried.law.split(",")[0]


def _cell(carried: Carried, what: str, index: int) -> str:
    if what == "ratio":
        value = float(np.asarray(carried.ratio.si)[index])
        return f"{value:.2f}" if value > 0.0 else "falls back"
    value = float(np.asarray(carried.fraction.si)[index])
    return f"{100.0 * value:.1f} %" if value < 1.0 else "packs off"


def _numbers(one: Cleaning) -> dict[str, Any]:
    return {
        "step": one.step,
        "flow_rate": number(float(one.flow.flow_rate), "m3/s"),
        "bottoms_up": number(float(bottoms_up(one.flow)), "s"),
        "annuli": list(one.segments.names),
        "annulus_velocity": number(one.velocity, "m/s"),
        "carried": [
            {
                "law": carried.law,
                "fluid": carried.fluid,
                "slip_velocity": number(carried.slip.si, "m/s"),
                "transport_ratio": number(carried.ratio.si, "-"),
                "cuttings_volume_fraction": number(carried.fraction.si, "-"),
                "time_to_clean": number(float(carried.time), "s"),
            }
            for carried in _all(one)
        ],
        "sweep": None
        if one.sweep is None
        else {
            "fluid": one.sweep.fluid,
            "volume": number(float(one.sweep.volume), "m3"),
            "spacing": number(float(one.sweep.spacing), "s"),
        },
    }
