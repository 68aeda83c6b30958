"""Does what is on board last, and does the time?"""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from bathybore.base.keeping import MANY, SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.coring import bits_needed
from bathybore.model.fields import Node
from bathybore.model.hole import Setting
from bathybore.model.vessel import Stores
from bathybore.operations.state import CasingInPlace, HoleState, StringInHole
from bathybore.operations.steps import StepKind
from bathybore.operations.stores import used, used_here, used_up, volume_inside

MUD = Question(
    "mud-stock",
    Discipline.STORES,
    "Is there mud enough for all that is built up to here, resupply counted in?",
    "Another supply boat, less mud pumped and dumped, a shorter riserless section.",
)
BARITE = Question(
    "barite-stock",
    Discipline.STORES,
    "Is there barite enough up to here, resupply counted in?",
    "Another supply boat, or less weighted mud dumped.",
)
CEMENT = Question(
    "cement-stock",
    Discipline.STORES,
    "Is there cement enough up to here, resupply counted in?",
    "Another supply boat, less excess, a lower top of cement.",
)
TANKS = Question(
    "mud-tanks",
    Discipline.STORES,
    "Do the tanks hold all the mud that stands in hole, riser and pits?",
    "More tanks, a smaller hole, or a smaller reserve.",
    "When the riser is let go on purpose its mud comes on board, and new mud is mixed beside the "
    "old.",
)
WATER = Question(
    "drill-water-stock",
    Discipline.STORES,
    "Is there fresh water enough for the cement up to here, resupply counted in?",
    "Another supply boat, a water maker, or slurry mixed with sea water.",
    "For cement alone: the muds are taken as built from sea water.",
)
BITS = Question(
    "bit-stock",
    Discipline.STORES,
    "Are there bits enough of this size for the rotating hours?",
    "More bits, or bits of longer life.",
)
PIPE = Question(
    "pipe-stock",
    Discipline.STORES,
    "Is there pipe enough of every kind in the string?",
    "More pipe of that kind, or another taper.",
)
CASING = Question(
    "casing-stock",
    Discipline.STORES,
    "Is there casing enough on board?",
    "More joints, or a liner instead of a full string.",
)
DAYS = Question(
    "days",
    Discipline.TIME,
    "Is the operation over within the days there are?",
    "Fewer sections, faster trips, a quieter season; or more days.",
    "Expected time, trouble and weather as factors: durations are skewed, trouble comes in lumps.",
)

DISCHARGE = Question(
    "mud-discharge",
    Discipline.STORES,
    "Does no more mud go into the sea, over the whole operation, than may?",
    "A riser sooner, better solids control, mud shipped ashore instead of dumped.",
    "What stands in a riserless hole counts as lost; the coastal state's rules say what counts.",
)

_MAKES_MUD = (
    StepKind.DRILL,
    StepKind.CORE,
    StepKind.TEST_SHOE,
    StepKind.CIRCULATE,
    StepKind.WIPER_TRIP,
)
_RUNS_STRING = (
    StepKind.RUN_CONDUCTOR,
    StepKind.SET_CONDUCTOR,
    StepKind.TEST_SHOE,
    StepKind.DRILL,
    StepKind.CORE,
    StepKind.RUN_CASING,
    StepKind.PLUG,
    StepKind.CIRCULATE,
    StepKind.WIPER_TRIP,
)


@kept(SOME)
def _stocked(stores: Stores, field: str, name: str) -> Value:
    one = stores.value(field)
    origin = Solved(f"one load, and {stores.resupplies} resupplies", "definition", (one,))
    return Value(name, float(one) * (1 + stores.resupplies), one.unit, origin)


def stores_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the stores that this step has drawn on."""
    kind = state.step.kind
    if kind in _MAKES_MUD:
        yield _store(state, MUD, "mud_built", "mud_volume", "mud_volume")
        yield _store(state, BARITE, "barite", "barite", "barite_mass")
        if state.riser is not None:
            yield _tanks(state)
    if kind in (StepKind.DRILL, StepKind.CORE):
        yield _bits(state)
    if kind in _RUNS_STRING:
        yield _pipe(state)
    if kind in (StepKind.CEMENT, StepKind.PLUG):
        yield _store(state, CEMENT, "cement", "cement", "cement_mass")
        yield _store(state, WATER, "cement_water", "drill_water", "volume")
    if kind in (StepKind.RUN_CONDUCTOR, StepKind.RUN_CASING):
        yield _casing(state)


def _store(state: HoleState, question: Question, store: str, field: str, name: str) -> CheckRecord:
    """Judge a running total against all that is and will be brought on board."""
    setting, total = state.hole.setting, getattr(state.consumed, store)
    return _lasts(state.step.name, setting, question, field, name, total, used_here(state, store))


@kept(MANY)
def _lasts(
    step: str,
    setting: Setting,
    question: Question,
    field: str,
    name: str,
    total: float,
    here: tuple[Value, ...],
) -> CheckRecord:
    capacity = _stocked(setting.vessel.stores, field, name)
    demand = used_up(total, here, name, capacity.unit)
    return judge(step, question, demand, capacity, setting.basis.tight_band)


@kept(MANY)
def _enough(
    step: str, question: Question, demand: Value, capacity: Value, band: float
) -> CheckRecord:
    return judge(step, question, demand, capacity, band)


def _tanks(state: HoleState) -> CheckRecord:
    """Judge the mud in use, which must all come on board when the riser is let go."""
    hole, demand = state.hole, _mud_on_board(volume_inside(state), state.mud_volume)
    capacity = hole.vessel.stores.value("mud_volume")
    return _enough(state.step.name, TANKS, demand, capacity, hole.basis.tight_band)


@kept(SOME)
def _mud_on_board(inside: Value, volume: float) -> Value:
    left = volume - float(inside)
    pits = Value("mud_volume", left, "m3", FromWalk("in the pits, as reserve"))
    origin = Solved("hole, riser and pits", "definition", (inside, pits))
    return Value("mud_volume", volume, "m3", origin)


def _bits(state: HoleState) -> CheckRecord:
    hole, step, section = state.hole, state.step.name, state.activity.section
    cutting = next((t for t in state.times if t.name in ("drill", "cut")), None)
    if section is None or cutting is None:
        return unjudged(step, BITS, "the step has no time on bottom")
    barrel = hole.inventory.core_barrel
    if state.step.kind is StepKind.CORE and barrel is not None:
        life = barrel.value("bit_life")
        stock = _count(barrel, "bits")
    else:
        wanted = section.pilot_bit or section.hole_diameter
        bit = next((b for b in hole.inventory.bits if abs(b.diameter - wanted) < 1e-4), None)
        if bit is None:
            return unjudged(step, BITS, f"no bit of {wanted / 0.0254:.3f} in is in the inventory")
        life = bit.value("life", "bit_life")
        stock = _count(bit, "count")
    return _enough(step, BITS, _bits_needed(cutting, life), stock, 0.0)


@kept(SOME)
def _count(node: Node, field: str) -> Value:
    return Value("bit_count", float(getattr(node, field)), "-", node.origin(field))


@kept(SOME)
def _bits_needed(cutting: Value, life: Value) -> Value:
    return work(bits_needed, rotating_time=cutting.named("rotating_time"), bit_life=life)


def _pipe(state: HoleState) -> CheckRecord:
    string = state.activity.string
    if string is None:
        return unjudged(state.step.name, PIPE, "the step has no string")
    return _pipe_of(state.step.name, state.hole.setting, string)


@kept(SOME)
def _pipe_of(step: str, setting: Setting, string: StringInHole) -> CheckRecord:
    lengths: dict[str, list[Value]] = {}
    for number, part in enumerate(string.parts, start=1):
        name, how = part.pipe.name, FromWalk(f"part {number} of {string.name}, from the bottom")
        lengths.setdefault(name, []).append(Value("length", part.length, "m", how))
    totals = {name: _length(f"{name} in the string", *parts) for name, parts in lengths.items()}
    stock = setting.inventory.pipe
    worst = max(totals, key=lambda name: float(totals[name]) / stock[name].length)
    return judge(
        step,
        PIPE,
        totals[worst],
        stock[worst].value("length"),
        0.02,
        note=f"Scarcest: {worst}.",
    )


def _casing(state: HoleState) -> CheckRecord:
    casing = state.hanging_casing
    if casing is None:
        return unjudged(state.step.name, CASING, "no casing hangs in the hole")
    alike = tuple(c for c in (*state.casings, casing) if c.plan.pipe == casing.plan.pipe)
    return _casing_of(state.step.name, casing, alike)


@kept(SOME)
def _casing_of(step: str, casing: CasingInPlace, alike: tuple[CasingInPlace, ...]) -> CheckRecord:
    parts = (
        Value("length", c.shoe - c.top, "m", FromWalk(f"{c.name}, from its top to its shoe"))
        for c in alike
    )
    length = _length(f"all casing from the stock {casing.plan.pipe}", *parts)
    return judge(step, CASING, length, casing.pipe.stock.value("length"), 0.02)


def _length(what: str, *parts: Value) -> Value:
    origin = Solved(f"sum: {what}", "definition", parts)
    return Value("length", sum(float(part) for part in parts), "m", origin)


def time_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the time of the whole operation at its end."""
    hole = state.hole
    origin = Solved("sum of the steps", "definition", state.durations)
    elapsed = Value("duration", state.elapsed, "s", origin)
    if not isfinite(state.elapsed):
        yield unjudged(state.step.name, DAYS, "a step has no finite duration")
        return
    given = hole.basis.days_available is not None
    limit = (
        hole.basis.value("days_available", "duration")
        if given
        else hole.vessel.value("endurance", "duration")
    )
    note = "" if given else "No days_available is given: the vessel's endurance is used."
    yield judge(state.step.name, DAYS, elapsed, limit, hole.basis.tight_band, note=note)


def discharge_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge all mud that went into the sea, where the design basis says how much may."""
    basis = state.hole.basis
    if basis.greatest_discharge is not None:
        allowed = basis.value("greatest_discharge", "discharge")
        lost = used(state, "mud_to_sea_floor", "mud_volume", "m3")
        dumped = used(state, "mud_discarded", "mud_volume", "m3")
        yield _enough(state.step.name, DISCHARGE, _gone(lost, dumped), allowed, basis.tight_band)


@kept(SOME)
def _gone(lost: Value, dumped: Value) -> Value:
    return summed("discharge", "m3", "to the sea floor, and dumped from the vessel", (lost, dumped))
