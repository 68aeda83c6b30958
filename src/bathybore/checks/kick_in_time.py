"""A kick followed from its first bubble to the surface, and one found late, in the riser."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, Status, judge, unjudged
from bathybore.operations.columns import depths_of, gravity_value
from bathybore.operations.kick import WATER
from bathybore.operations.kick_in_time import (
    KickInTime,
    fracture_at,
    kick_followed,
    kick_in_time_of,
    standard_rate,
    why_not,
)
from bathybore.operations.kill_schedule import kill_sheet
from bathybore.operations.riser_gas import riser_gas
from bathybore.operations.state import HoleState

DECIDES = (
    "The vessel's well-control procedures and the licensed engineer decide; this is for planning."
)
OPEN_HOLE = Question(
    "kick-in-time",
    Discipline.WELL_CONTROL,
    "While the design kick is circulated out, does the weakest open rock hold all the time?",
    "Circulate slower, detect smaller kicks, set the casing above deeper.",
    "Driller's method, gas slipping through the mud. While the well is closed in, what the rising "
    "gas adds is taken as bled off at the choke: left shut, it adds pressure at every depth. "
    f"{DECIDES}",
)
CHOKE = Question(
    "kick-choke-pressure",
    Discipline.WELL_CONTROL,
    "Does the choke stay below the rating of the preventer and its lines meanwhile?",
    "Equipment of a higher rating, a smaller kick.",
    f"Choke and manifold are taken as rated like the preventer. {DECIDES}",
)
STACK = Question(
    "kick-stack-pressure",
    Discipline.WELL_CONTROL,
    "Do preventer and wellhead bear the pressure below the closed rams meanwhile?",
    "Equipment of a higher rating, a smaller kick, a lighter mud.",
    f"The pressure of the sea outside is not taken off. {DECIDES}",
)
PIT_GAIN = Question(
    "kick-pit-gain",
    Discipline.WELL_CONTROL,
    "Do the pits take up what the kick displaces on its way up?",
    "Empty pits before drilling on, detect smaller kicks.",
    DECIDES,
)
GAS_RATE = Question(
    "kick-gas-rate",
    Discipline.WELL_CONTROL,
    "Does the mud-gas separator take the gas when it comes?",
    "Circulate slower while gas is at the choke, a larger separator.",
    f"Standard volume, mean over five minutes: slugs come faster. {DECIDES}",
)
SHUT_IN = Question(
    "kick-shut-in",
    Discipline.WELL_CONTROL,
    "Is the choke pressure of the shut-in design kick below the greatest allowable?",
    "Set the casing above deeper, detect smaller kicks, weigh the mud up.",
    f"It counts only while mud, not gas, stands above the weak point. {DECIDES}",
)
RISER_GAS = Question(
    "riser-gas",
    Discipline.WELL_CONTROL,
    "If the design kick is found late, in the riser, does the diverter pass its gas?",
    "Close the preventer sooner, watch the return flow, circulate the riser slowly, a wider line.",
    "Mud thrown out ahead of the gas, its inertia and hail in the line are not in it: close the "
    f"diverter at the first sign and send all aboard away from the drill floor. {DECIDES}",
)
_MUCH = 0.01  # share of the gas in the riser from which it is told
_ALL = (OPEN_HOLE, CHOKE, STACK, PIT_GAIN, GAS_RATE, SHUT_IN, RISER_GAS)


def kick_in_time_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Follow the design kick of a section, at its deepest, from influx to surface."""
    step = state.step.name
    try:
        timed = kick_in_time_of(state)
        if timed is None or _goes_on(state):
            return
    except LookupError as error:
        yield from (unjudged(step, question, str(error)) for question in _ALL)
        return
    reason = why_not(timed)
    if reason:
        yield from (unjudged(step, question, reason) for question in _ALL)
        return
    yield from _judged(step, timed)


def _goes_on(state: HoleState) -> bool:
    """Whether the section is drilled or cored deeper in a later step, which is then followed."""
    section = state.activity.section
    return section is not None and state.bottom < state.hole.z(section.bottom) - 1.0


@kept(SOME)
def _judged(step: str, timed: KickInTime) -> tuple[CheckRecord, ...]:
    told, setting = kick_followed(timed), timed.kick.setting
    basis, window = setting.basis, setting.basis.tight_band_window
    open_hole = judge(
        step,
        OPEN_HOLE,
        told.pressure,
        fracture_at(timed, told.places).named("static_pressure"),
        window,
        depths_of(setting, told.places),
    )
    gas = timed.kick.is_gas
    records = [
        _with_riser_gas(open_hole, told.share_in_riser) if gas else replace(open_hole, note=WATER)
    ]
    preventer = setting.inventory.preventer
    if preventer is None:
        reason = "no preventer is in the inventory"
        records += [unjudged(step, question, reason) for question in (CHOKE, STACK)]
    else:
        rating = preventer.value("pressure_rating", "choke_pressure")
        records.append(judge(step, CHOKE, told.greatest_choke_pressure, rating, basis.tight_band))
        records.append(_below_rams(step, timed))
    allowed = basis.value("greatest_pit_gain", "pit_gain")
    records.append(judge(step, PIT_GAIN, told.greatest_pit_gain, allowed, basis.tight_band))
    if not gas:
        return (*records, _shut_in(step, timed))
    rate = standard_rate(told.gas_rate, basis.value("gas_gravity"))
    capacity = basis.value("separator_capacity", "standard_gas_rate")
    records.append(judge(step, GAS_RATE, rate, capacity, basis.tight_band))
    return (*records, _shut_in(step, timed), _in_riser(step, timed))


def _with_riser_gas(record: CheckRecord, share: float) -> CheckRecord:
    """Say how much gas is above the preventer before it is closed: then the pass is no easy one."""
    if share < _MUCH:
        return record
    note = (
        f"{100.0 * share:.0f} % of the gas is above the preventer before it is closed: it burdens "
        "the open hole no more, but the riser (riser-gas)."
    )
    status = Status.TIGHT if record.status is Status.HOLDS else record.status
    return replace(record, status=status, note=note)


def _below_rams(step: str, timed: KickInTime) -> CheckRecord:
    setting, told = timed.kick.setting, kick_followed(timed)
    assert setting.inventory.preventer is not None
    preventer, wellhead = (
        one.value("pressure_rating", "wellhead_pressure")
        for one in (setting.inventory.preventer, setting.inventory.wellhead)
    )
    weaker = float(wellhead) < float(preventer)
    capacity, which = (wellhead, "wellhead") if weaker else (preventer, "preventer")
    place, band = setting.depth(setting.sea_bed), setting.basis.tight_band
    note = f"Least rating: the {which}'s."
    return judge(step, STACK, told.greatest_stack_pressure, capacity, band, place, note=note)


def _shut_in(step: str, timed: KickInTime) -> CheckRecord:
    """Judge the shut-in pressure; the allowable is told as a density too."""
    sheet, setting = kill_sheet(timed), timed.kick.setting
    weak, fracture = timed.kick.weak_point
    height = weak - setting.drill_floor
    density = float(fracture) / (float(gravity_value(setting)) * height)
    place = setting.depth(weak)
    return judge(
        step,
        SHUT_IN,
        sheet.shut_in_casing_pressure,
        sheet.greatest_annulus_pressure.named("shut_in_casing_pressure"),
        setting.basis.tight_band,
        place,
        note=f"The weak point bears {density:.0f} kg/m3 from the drill floor.",
    )


def _in_riser(step: str, timed: KickInTime) -> CheckRecord:
    gas, setting = riser_gas(timed), timed.kick.setting
    depth, mud = float(gas.depth), float(gas.unloaded)
    length = setting.sea_bed - setting.flow_line
    if depth >= length:
        note = "It unloads the riser at once, as soon as it is above the preventer."
    elif depth <= 0.0:
        note = "It is too little to unload the riser."
    else:
        note = (
            f"Risen to {depth:.0f} m below the flow line it unloads the riser and throws some "
            f"{mud:.0f} m3 of mud out. From there on nothing holds it back, and the share left "
            "says nothing."
        )
    origin = Solved(
        "gas arriving, in the riser whose unloading the pressure tells", "definition",
        (gas.rate, gas.depth, gas.unloaded),
    )  # fmt: skip
    demand = Value("standard_gas_rate", float(gas.rate), "m3/s", origin)
    record = judge(step, RISER_GAS, demand, gas.passed, setting.basis.tight_band, note=note)
    if record.status is Status.HOLDS and depth > 0.0:
        return replace(record, status=Status.TIGHT)  # a riser that unloads is never easy
    return record
