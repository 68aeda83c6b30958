"""Does what is on board last, and does the time?"""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.coring import bits_needed
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.volumes import cement_masses, plug_masses

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


def _used(name: str, amount: float, unit: str) -> Value:
    return Value(name, amount, unit, FromWalk("running total of the walk, from arrival to here"))


def _stocked(state: HoleState, field: str, name: str) -> Value:
    stores = state.hole.vessel.stores
    one = stores.value(field)
    origin = Solved(f"one load, and {stores.resupplies} resupplies", "definition", (one,))
    return Value(name, float(one) * (1 + stores.resupplies), one.unit, origin)


def stores_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the stores that this step has drawn on."""
    step, used, band = state.step.name, state.consumed, state.hole.basis.tight_band
    kind = state.step.kind
    if kind in (StepKind.DRILL, StepKind.CORE):
        demand = _used("mud_volume", used.mud_built, "m3")
        yield judge(step, MUD, demand, _stocked(state, "mud_volume", "mud_volume"), band)
        demand = _used("barite_mass", used.barite, "kg")
        yield judge(step, BARITE, demand, _stocked(state, "barite", "barite_mass"), band)
        yield _bits(state)
        yield _pipe(state)
    if kind in (StepKind.CEMENT, StepKind.PLUG):
        demand = _cement_used(state)
        yield judge(step, CEMENT, demand, _stocked(state, "cement", "cement_mass"), band)
    if kind is StepKind.RUN_CASING:
        yield _casing(state)


def _cement_used(state: HoleState) -> Value:
    """Return the cement used so far, this step's jobs opened."""
    casing = state.activity.casing
    jobs = plug_masses(state) if casing is None else cement_masses(state, casing)
    total = state.consumed.cement
    before = Value(
        "cement_mass",
        total - sum(float(job) for job in jobs),
        "kg",
        FromWalk("used in the steps before this one"),
    )
    origin = Solved("steps before, and the jobs of this step", "definition", (before, *jobs))
    return Value("cement_mass", total, "kg", origin)


def _bits(state: HoleState) -> CheckRecord:
    hole, step, section = state.hole, state.step.name, state.activity.section
    cutting = next((t for t in state.times if t.name in ("drill", "cut")), None)
    if section is None or cutting is None:
        return unjudged(step, BITS, "the step's duration is fixed, so rotating hours are not known")
    barrel = hole.inventory.core_barrel
    if state.step.kind is StepKind.CORE and barrel is not None:
        life = barrel.value("bit_life")
        stock = Value("bit_count", float(barrel.bits), "-", barrel.origin("bits"))
    else:
        wanted = section.pilot_bit or section.hole_diameter
        bit = next((b for b in hole.inventory.bits if abs(b.diameter - wanted) < 1e-4), None)
        if bit is None:
            return unjudged(step, BITS, f"no bit of {wanted / 0.0254:.3f} in is in the inventory")
        life = bit.value("life", "bit_life")
        stock = Value("bit_count", float(bit.count), "-", bit.origin("count"))
    demand = work(bits_needed, rotating_time=cutting.named("rotating_time"), bit_life=life)
    return judge(step, BITS, demand, stock, 0.0)


def _pipe(state: HoleState) -> CheckRecord:
    string = state.activity.string
    if string is None:
        return unjudged(state.step.name, PIPE, "the step has no string")
    lengths: dict[str, float] = {}
    for part in string.parts:
        lengths[part.pipe.name] = lengths.get(part.pipe.name, 0.0) + part.length
    stock = state.hole.inventory.pipe
    worst = max(lengths, key=lambda name: lengths[name] / stock[name].length)
    return judge(
        state.step.name,
        PIPE,
        Value("length", lengths[worst], "m", FromWalk(f"{worst} in the string")),
        stock[worst].value("length"),
        0.02,
        note=f"Scarcest: {worst}.",
    )


def _casing(state: HoleState) -> CheckRecord:
    casing = state.hanging_casing
    if casing is None:
        return unjudged(state.step.name, CASING, "no casing hangs in the hole")
    length = Value(
        "length", casing.shoe - casing.top, "m", FromWalk(f"length of {casing.name}, top to shoe")
    )
    return judge(state.step.name, CASING, length, casing.pipe.stock.value("length"), 0.02)


def time_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the time of the whole operation at its end."""
    hole = state.hole
    elapsed = Value("duration", state.elapsed, "s", FromWalk("sum of all steps"))
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
