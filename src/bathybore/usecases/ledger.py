"""The ledger of a walk: every verdict by step, what bites first, what is tightest, what to mind.

Plain data for any face; nothing is judged here, only ordered and counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Final

from bathybore.base.errors import Fault, InputErrors, nearest
from bathybore.base.frozen import quickly_made
from bathybore.base.keeping import SOME, kept
from bathybore.base.units import UnitSystem, show
from bathybore.base.working import Origin, Working, origins_behind
from bathybore.checks.record import CheckRecord, Status
from bathybore.operations.diameter_budget import DiameterBudget, diameter_budget
from bathybore.operations.state import Consumed
from bathybore.usecases.showing import (
    ShownValue,
    in_words,
    percent,
    shown,
    significant_to_tell_apart,
    unique,
)

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

DAY: Final = 86400.0

# What the reader must see first: failures, then what nobody has judged, then what is close.
URGENCY: Final = (
    Status.FAILS,
    Status.NOT_JUDGED,
    Status.OUTSIDE_VALIDITY,
    Status.TIGHT,
    Status.HOLDS,
)
# By name: names are told apart faster than members of an Enum, and every edit counts them all.
URGENT_NAMES: Final = tuple(str(status) for status in URGENCY)
STATUS_NAMES: Final = tuple(str(status) for status in Status)
_RANK: Final = {name: rank for rank, name in enumerate(URGENT_NAMES)}
# Stores that a walk counts, with their SI unit.
STORES: Final = {
    "mud_built": "m3",
    "mud_to_sea_floor": "m3",
    "mud_discarded": "m3",
    "sea_water_pumped": "m3",
    "barite": "kg",
    "cement": "kg",
    "cement_water": "m3",
}
# Rows of several walks: of two edits most records are the same, and so are their rows.
MOST_ROWS: Final = 4096
PASSES: Final = frozenset({Status.HOLDS, Status.TIGHT})


@quickly_made
@dataclass(frozen=True)
class Row:
    """One check of one step.

    Attributes
    ----------
    margin : share of the capacity left
    depth_value, depth_datum : metres below the datum where it is closest; None if no place
    record : what the row tells of
    """

    id: str
    check: str
    discipline: str
    question: str
    status: str
    demand: ShownValue | None
    capacity: ShownValue | None
    margin: float | None
    margin_text: str
    depth_value: float | None
    depth_datum: str | None
    depth_text: str
    reason: str
    remedy: str
    caution: str
    note: str
    record: CheckRecord = field(repr=False, compare=False)

    @cached_property
    def sources(self) -> tuple[str, ...]:
        """Keys of every source behind demand and capacity, the nearest first."""
        return unique(origin.source_key for origin in _origins(self.record))

    @property
    def passes(self) -> bool:
        return self.record.status in PASSES


@dataclass(frozen=True)
class Amount:
    """An amount of a store, SI beside its unit, and as it is shown."""

    store: str
    value: float
    unit: str
    shown: str


@dataclass(frozen=True)
class StepRows:
    """The checks of one step, most urgent first; times in seconds, None if it has none.

    Attributes
    ----------
    uses : what the step uses up, each store with its amount
    barriers : names of those in force after it
    barriers_needed : something in the hole could flow
    asked : all that was asked of it, also where ``rows`` are a choice
    """

    name: str
    title: str
    duration: float | None
    elapsed: float | None
    rows: tuple[Row, ...]
    asked: Asked = field(repr=False, compare=False)
    uses: tuple[Amount, ...] = ()
    barriers: tuple[str, ...] = ()
    barriers_needed: bool = False


@dataclass(frozen=True)
class Caution:
    """Something to be said beside the numbers, and the checks it goes with."""

    text: str
    checks: tuple[str, ...]


@dataclass(frozen=True)
class Ledger:
    """A whole walk.

    Attributes
    ----------
    invented : the hole says of itself that its data are invented
    elapsed : [s] of the whole operation
    fails_first : id of the first failure in the order of the operation
    fails_most : id of the least margin among failures
    tightest : id of the least margin among the tight that have one left, else among what holds
    records : in the order of the operation
    """

    hole: str
    invented: bool
    elapsed: float
    steps: tuple[StepRows, ...]
    counts: dict[str, int]
    fails_first: str | None
    fails_most: str | None
    tightest: str | None
    cautions: tuple[Caution, ...]
    budget: DiameterBudget
    records: tuple[CheckRecord, ...] = field(repr=False, compare=False)

    @cached_property
    def equation_cautions(self) -> tuple[Caution, ...]:
        """What the equations used ask to be said."""
        return _equation_cautions(self.records)

    @property
    def rows(self) -> tuple[Row, ...]:
        return tuple(row for step in self.steps for row in step.rows)

    @property
    def passes(self) -> bool:
        """Whether everything was judged and holds; a hole without checks has not passed."""
        passing = self.count(Status.HOLDS) + self.count(Status.TIGHT)
        return 0 < passing == len(self.records)

    def count(self, status: Status) -> int:
        return self.counts[str(status)]


@dataclass(frozen=True, eq=False)  # one object a step's records: what is kept goes by it
class Asked:
    """What was asked of one step, ready to be put together with the other steps.

    Attributes
    ----------
    rows : most urgent first
    counts : how many records have each verdict
    fails_first : in the order they were asked
    fails_most, tight, left, holding : the least margin among failures, among the tight that
        have one left, among all that have one left, among all that holds
    cautions : each text with the checks that it goes with
    """

    rows: tuple[Row, ...]
    counts: dict[str, int]
    fails_first: CheckRecord | None
    fails_most: CheckRecord | None
    tight: CheckRecord | None
    left: CheckRecord | None
    holding: CheckRecord | None
    cautions: tuple[Caution, ...]


@kept(SOME)
def asked(records: tuple[CheckRecord, ...], system: UnitSystem) -> Asked:
    """Return what was asked of a step; of two edits most steps have the very same records."""
    urgent_first = sorted(records, key=lambda r: (_RANK[r.status.value], _margin(r)))
    failing = [record for record in records if record.status is Status.FAILS]
    holding = [r for r in records if r.status is Status.HOLDS or r.status is Status.TIGHT]
    # an exact fit, a count, a replaced margin: they hold with nothing over
    left = [record for record in holding if _margin(record) > 1e-9]
    found = [record.status.value for record in records]
    return Asked(
        rows=tuple([row_of(record, system) for record in urgent_first]),
        counts={name: found.count(name) for name in STATUS_NAMES},
        fails_first=failing[0] if failing else None,
        fails_most=_least(failing),
        tight=_least([record for record in left if record.status is Status.TIGHT]),
        left=_least(left),
        holding=_least(holding),
        cautions=_grouped((record.caution, record.id) for record in records),
    )


def ledger(walk: Walk, system: UnitSystem = "metric") -> Ledger:
    """Return the ledger of a walk, numbers shown in ``system``."""
    in_order = _in_order(walk)
    told = {name: asked(tuple(records), system) for name, records in in_order.items()}
    every = tuple(told.values())
    firsts = (one.fails_first.id for one in every if one.fails_first is not None)
    tightest = (
        _least_of(one.tight for one in every)
        or _least_of(one.left for one in every)
        or _least_of(one.holding for one in every)
    )
    return Ledger(
        hole=walk.hole.name,
        invented=walk.hole.document.invented,
        elapsed=max((state.elapsed for state in walk.states), default=0.0),
        steps=_steps(walk, told, system),
        counts={name: sum(one.counts[name] for one in every) for name in STATUS_NAMES},
        fails_first=next(firsts, None),
        fails_most=_least_of(one.fails_most for one in every),
        tightest=tightest,
        cautions=_grouped(
            (caution.text, check)
            for one in every
            for caution in one.cautions
            for check in caution.checks
        ),
        budget=diameter_budget(walk.hole),
        records=tuple(record for records in in_order.values() for record in records),
    )


def select(whole: Ledger, only: str = "", step: str = "") -> tuple[StepRows, ...]:
    """Return the steps of a ledger with the wanted verdicts and step alone.

    Parameters
    ----------
    only : verdicts between commas, 'not-judged' or 'not judged'; empty for all
    step : name of one step; empty for all

    Raises
    ------
    InputErrors
        No such verdict, or no such step in this hole.
    """
    names = [one.name for one in whole.steps]
    if step and step not in names:
        fix = nearest(step, names) or f"Steps: {', '.join(names)}."
        raise InputErrors.one("--step", f"'{step}'", f"a step of {whole.hole}", fix)
    wanted = _verdicts(only)
    chosen = (
        replace(one, rows=tuple(row for row in one.rows if Status(row.status) in wanted))
        for one in whole.steps
        if step in ("", one.name)
    )
    return tuple(one for one in chosen if one.rows or not only)


def _verdicts(only: str) -> frozenset[Status]:
    if not only:
        return frozenset(Status)
    known = {str(status): status for status in Status}
    words = [word.strip().lower().replace("-", " ") for word in only.split(",")]
    faults = [
        Fault("--only", f"'{word}'", f"one of {', '.join(known)}", nearest(word, known))
        for word in words
        if word not in known
    ]
    if faults:
        raise InputErrors(faults)
    return frozenset(known[word] for word in words)


def verdict(whole: Ledger) -> str:
    """Return the verdict on the whole hole in one sentence."""
    fails, tight = whole.count(Status.FAILS), whole.count(Status.TIGHT)
    total = len(whole.rows)
    if not total:
        return "Nothing was checked: that is not a pass."
    open_ = _phrases(
        (whole.count(Status.NOT_JUDGED), "not judged"),
        (whole.count(Status.OUTSIDE_VALIDITY), "outside validity"),
    )
    if fails:
        rest = f"; {open_}, which is no pass either" if open_ else ""
        return f"{_checks(fails, total)} FAIL{'S' if fails == 1 else ''}{rest}."
    if open_:
        return f"Nothing fails, but of {total} checks {open_}: that is not a pass."
    return f"All {total} checks hold" + (f", {tight} of them tightly." if tight else ".")


def _checks(some: int, total: int) -> str:
    return f"{some} of {total} checks"


def _phrases(*counts: tuple[int, str]) -> str:
    return " and ".join(f"{n} {'is' if n == 1 else 'are'} {what}" for n, what in counts if n)


def _in_order(walk: Walk) -> dict[str, list[CheckRecord]]:
    """Return the records by step in the order of the operation.

    A record of no step of the walk (of the hole as a whole) is kept, at the end.
    """
    by_step: dict[str, list[CheckRecord]] = {state.step.name: [] for state in walk.states}
    for record in walk.records:
        by_step.setdefault(record.step, []).append(record)
    return by_step


def _steps(walk: Walk, told: dict[str, Asked], system: UnitSystem) -> tuple[StepRows, ...]:
    states = {state.step.name: state for state in walk.states}
    before = dict(zip(states, [Consumed(), *(s.consumed for s in walk.states)], strict=False))
    result = []
    for name, one in told.items():
        state = states.get(name)
        duration = state.duration if state else None
        result.append(
            StepRows(
                name=name,
                title=state.step.title if state else name,
                duration=None if duration is None else float(duration),
                elapsed=state.elapsed if state else None,
                rows=one.rows,
                uses=amounts_used(before[name], state.consumed, system) if state else (),
                barriers=tuple(b.name for b in state.barriers) if state else (),
                barriers_needed=bool(state and state.barriers_needed),
                asked=one,
            )
        )
    return tuple(result)


@kept(SOME)
def amounts_used(before: Consumed, after: Consumed, system: UnitSystem) -> tuple[Amount, ...]:
    """Return what a step added to the running totals, stores it did not touch left out."""
    amounts = []
    for store, unit in STORES.items():
        more = getattr(after, store) - getattr(before, store)
        if more > 0.0:
            text = show(more, unit, system, significant=3)
            amounts.append(Amount(in_words(store), more, unit, text))
    return tuple(amounts)


@kept(MOST_ROWS)
def row_of(record: CheckRecord, system: UnitSystem) -> Row:
    """Return a record as a row of the ledger."""
    digits = significant_to_tell_apart(record)
    demand, capacity = (
        None if v is None else shown(v.name, v.si, v.unit, system, v.whence, digits)
        for v in (record.demand, record.capacity)
    )
    return Row(
        id=record.id,
        check=record.name,
        discipline=str(record.discipline),
        question=record.question,
        status=str(record.status),
        demand=demand,
        capacity=capacity,
        margin=record.margin,
        margin_text="" if record.margin is None else percent(record.margin),
        depth_value=record.depth.metres if record.depth else None,
        depth_datum=str(record.depth.datum) if record.depth else None,
        depth_text=record.depth.show(system) if record.depth else "",
        reason=record.reason,
        remedy=record.remedy,
        caution=record.caution,
        note=record.note,
        record=record,
    )


def _margin(record: CheckRecord) -> float:
    return 0.0 if record.margin is None else record.margin


def _least(records: Iterable[CheckRecord]) -> CheckRecord | None:
    return min(records, key=_margin, default=None)


def _least_of(records: Iterable[CheckRecord | None]) -> str | None:
    least = _least(record for record in records if record is not None)
    return None if least is None else least.id


def _origins(record: CheckRecord) -> Iterator[Origin]:
    """Yield the origins of everything behind a record, nearest first, each object once."""
    return origins_behind(*(v for v in (record.demand, record.capacity) if v is not None))


def _equation_cautions(records: Iterable[CheckRecord]) -> tuple[Caution, ...]:
    """Return what equations ask to be said; one line for those that ask for the same."""
    equations: dict[str, list[str]] = {}
    checks: dict[str, list[str]] = {}
    for record in records:
        for origin in _origins(record):
            if isinstance(origin, Working) and origin.equation.caution:
                text = origin.equation.caution
                equations.setdefault(text, []).append(in_words(origin.equation.name))
                checks.setdefault(text, []).append(record.id)
    return tuple(
        Caution(f"{', '.join(unique(equations[text]))}: {text}", unique(checks[text]))
        for text in equations
    )


def _grouped(cautions: Iterable[tuple[str, str]]) -> tuple[Caution, ...]:
    by_text: dict[str, list[str]] = {}
    for text, check in cautions:
        if text:
            by_text.setdefault(text, []).append(check)
    return tuple(Caution(text, unique(checks)) for text, checks in by_text.items())
