"""The ledger of a walk: every verdict by step, what bites first, what is tightest, what to mind.

Plain data for any face; nothing is judged here, only ordered and counted.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import chain
from operator import attrgetter
from typing import TYPE_CHECKING, Final

from bathybore.base.errors import Fault, InputErrors, nearest
from bathybore.base.frozen import quickly_made
from bathybore.base.keeping import SOME, kept
from bathybore.base.units import UnitSystem, show
from bathybore.base.working import Origin, Value, Working, origins_behind
from bathybore.checks.record import CheckRecord, Status
from bathybore.operations.diameter_budget import DiameterBudget, diameter_budget
from bathybore.operations.state import Consumed
from bathybore.usecases.showing import (
    ShownValue,
    in_units,
    in_words,
    percent,
    shown_as,
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
_FAILS: Final = str(Status.FAILS)
_TIGHT: Final = str(Status.TIGHT)
_PASSING: Final = frozenset({str(Status.HOLDS), _TIGHT})
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
_in_all: Final = attrgetter(*STORES)
# Rows of several walks: of two edits most records are the same, and so are their rows.
MOST_ROWS: Final = 4096
PASSES: Final = frozenset({Status.HOLDS, Status.TIGHT})


@quickly_made
@dataclass(frozen=True)
class Row:
    """One check of one step.

    Attributes
    ----------
    demand_text, capacity_text : as they are shown; empty where the check could not be judged
    margin : share of the capacity left
    depth_value, depth_datum : metres below the datum where it is closest; None if no place
    record : what the row tells of
    """

    id: str
    check: str
    discipline: str
    question: str
    status: str
    demand_text: str
    capacity_text: str
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

    @property
    def demand(self) -> ShownValue | None:
        return _shown(self.record.demand, self.demand_text)

    @property
    def capacity(self) -> ShownValue | None:
        return _shown(self.record.capacity, self.capacity_text)

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
class Overall:
    """What is said of all checks together.

    Attributes
    ----------
    counts : how many records have each verdict
    fails_first : id of the first failure in the order of the operation
    fails_most : id of the least margin among failures
    tightest : id of the least margin among the tight that have one left, else among what holds
    """

    counts: dict[str, int]
    fails_first: str | None
    fails_most: str | None
    tightest: str | None
    cautions: tuple[Caution, ...]

    @property
    def passes(self) -> bool:
        """Whether everything was judged and holds; a hole without checks has not passed."""
        passing = self.count(Status.HOLDS) + self.count(Status.TIGHT)
        return 0 < passing == self.total

    @property
    def total(self) -> int:
        return sum(self.counts.values())

    def count(self, status: Status) -> int:
        return self.counts[str(status)]


@dataclass(frozen=True)
class Ledger(Overall):
    """A whole walk.

    Attributes
    ----------
    invented : the hole says of itself that its data are invented
    elapsed : [s] of the whole operation
    records : in the order of the operation
    """

    hole: str
    invented: bool
    elapsed: float
    steps: tuple[StepRows, ...]
    budget: DiameterBudget
    records: tuple[CheckRecord, ...] = field(repr=False, compare=False)

    @cached_property
    def equation_cautions(self) -> tuple[Caution, ...]:
        """What the equations used ask to be said."""
        return _equation_cautions(self.records)

    @property
    def rows(self) -> tuple[Row, ...]:
        return tuple(row for step in self.steps for row in step.rows)


@dataclass(frozen=True, eq=False)  # one object a step's records: what is kept goes by it
class Asked:
    """What was asked of one step, ready to be put together with the other steps.

    Attributes
    ----------
    rows : most urgent first
    counts : how many of them have each verdict
    fails_first : in the order they were asked
    fails_most, tight, left, holding : the least margin among failures, among the tight that
        have one left, among all that have one left, among all that holds
    cautions : each text with the checks that it goes with
    """

    rows: tuple[Row, ...]
    counts: dict[str, int]
    fails_first: Row | None
    fails_most: Row | None
    tight: Row | None
    left: Row | None
    holding: Row | None
    cautions: tuple[Caution, ...]

    @property
    def worst(self) -> str:
        """The most urgent verdict; empty where nothing was asked."""
        return self.rows[0].status if self.rows else ""


@kept(SOME)
def asked(records: tuple[CheckRecord, ...], system: UnitSystem) -> Asked:
    """Return what was asked of a step; of two edits most steps have the very same records."""
    rows = [row_of(record, system) for record in records]
    by_verdict: dict[str, list[Row]] = {name: [] for name in STATUS_NAMES}
    for row in rows:
        by_verdict[row.status].append(row)
    failing, tight = by_verdict[_FAILS], by_verdict[_TIGHT]
    holding = [row for row in rows if row.status in _PASSING]
    return Asked(
        rows=tuple([row for name in URGENT_NAMES for row in sorted(by_verdict[name], key=_margin)]),
        counts={name: len(found) for name, found in by_verdict.items()},
        fails_first=failing[0] if failing else None,
        fails_most=_least(failing),
        tight=_least(filter(_left, tight)),
        left=_least(filter(_left, holding)),
        holding=_least(holding),
        cautions=_grouped((row.caution, (row.id,)) for row in rows),
    )


def asked_by_step(walk: Walk, system: UnitSystem) -> dict[str, Asked]:
    """Return what was asked of every step, in the order of the operation."""
    return {name: asked(records, system) for name, records in walk.by_step.items()}


def overall(every: Collection[Asked]) -> Overall:
    """Return what is said of all steps together."""
    tightest = (
        _least_of(one.tight for one in every)
        or _least_of(one.left for one in every)
        or _least_of(one.holding for one in every)
    )
    return Overall(
        counts={name: sum([one.counts[name] for one in every]) for name in STATUS_NAMES},
        fails_first=next((one.fails_first.id for one in every if one.fails_first), None),
        fails_most=_least_of(one.fails_most for one in every),
        tightest=tightest,
        cautions=_grouped((told.text, told.checks) for one in every for told in one.cautions),
    )


def ledger(walk: Walk, system: UnitSystem = "metric") -> Ledger:
    """Return the ledger of a walk, numbers shown in ``system``."""
    told = asked_by_step(walk, system)
    return Ledger(
        **vars(overall(told.values())),
        hole=walk.hole.name,
        invented=walk.hole.document.invented,
        elapsed=max((state.elapsed for state in walk.states), default=0.0),
        steps=_steps(walk, told, system),
        budget=diameter_budget(walk.hole),
        records=tuple(chain.from_iterable(walk.by_step.values())),
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


def verdict(whole: Overall) -> str:
    """Return the verdict on the whole hole in one sentence."""
    fails, tight = whole.count(Status.FAILS), whole.count(Status.TIGHT)
    total = whole.total
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
    for (store, unit), had, has in zip(
        STORES.items(), _in_all(before), _in_all(after), strict=True
    ):
        more = has - had
        if more > 0.0:
            text = show(more, unit, system, significant=3)
            amounts.append(Amount(in_words(store), more, unit, text))
    return tuple(amounts)


@kept(MOST_ROWS)
def row_of(record: CheckRecord, system: UnitSystem) -> Row:
    """Return a record as a row of the ledger."""
    digits = significant_to_tell_apart(record)
    depth = record.depth
    return Row(
        id=record.id,
        check=record.name,
        discipline=str(record.discipline),
        question=record.question,
        status=str(record.status),
        demand_text=_text(record.demand, system, digits),
        capacity_text=_text(record.capacity, system, digits),
        margin=record.margin,
        margin_text="" if record.margin is None else percent(record.margin),
        depth_value=depth.metres if depth else None,
        depth_datum=str(depth.datum) if depth else None,
        depth_text=depth.show(system) if depth else "",
        reason=record.reason,
        remedy=record.remedy,
        caution=record.caution,
        note=record.note,
        record=record,
    )


def _text(value: Value | None, system: UnitSystem, digits: int) -> str:
    return "" if value is None else in_units(value.name, value.si, value.unit, system, digits)


def _shown(value: Value | None, text: str) -> ShownValue | None:
    return None if value is None else shown_as(value.name, value.si, value.unit, text, value.whence)


def _margin(row: Row) -> float:
    return 0.0 if row.margin is None else row.margin


def _left(row: Row) -> bool:
    """Whether anything is left: an exact fit, a count, a replaced margin hold with nothing over."""
    return _margin(row) > 1e-9


def _least(rows: Iterable[Row]) -> Row | None:
    return min(rows, key=_margin, default=None)


def _least_of(rows: Iterable[Row | None]) -> str | None:
    least = _least(row for row in rows if row is not None)
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


def _grouped(cautions: Iterable[tuple[str, tuple[str, ...]]]) -> tuple[Caution, ...]:
    """Return each text once, with all the checks that it goes with."""
    by_text: dict[str, list[str]] = {}
    for text, checks in cautions:
        if text:
            by_text.setdefault(text, []).extend(checks)
    return tuple(Caution(text, unique(checks)) for text, checks in by_text.items())
