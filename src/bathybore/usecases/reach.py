"""How deep a hole could go before each limit bites, and the cheapest relief of each.

The hole is one member of an ensemble with everything as planned: what a spread of members
is judged by judges it. A relief is a real change of the hole; it counts only once the real
questions, asked of the changed hole, say so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, Final

import numpy as np

from bathybore.base.depth import Datum, Depth
from bathybore.base.errors import InputErrors, NotConverged, OrderError
from bathybore.base.keeping import kept
from bathybore.base.units import UnitSystem
from bathybore.base.working import FromWalk, Solved, Value
from bathybore.checks.ledger import answers, records_of
from bathybore.checks.record import CheckRecord, Discipline, Question, Status, judge
from bathybore.checks.riser import riser_checks
from bathybore.checks.steel import casing_strength_checks
from bathybore.ensembles.bites import each_bite
from bathybore.ensembles.cut_holes import asked_again, cut, heaviest_on_riser, made_to
from bathybore.ensembles.drawing import central
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.ledger_depths import (
    LedgerDepths,
    Moment,
    Table,
    Which,
    asked_of,
    ledger_depths,
)
from bathybore.ensembles.limits_of_checks import ELSEWHERE
from bathybore.ensembles.making import ALONE, made
from bathybore.ensembles.shapes import LIMITS, RUNS_OUT, Drawn, Frame, Limit, Made
from bathybore.ensembles.spending import asked_names, spent
from bathybore.ensembles.telling import Told, silent
from bathybore.model.hole import Hole
from bathybore.model.uncertain import Uncertainty
from bathybore.operations.state import HoleState
from bathybore.usecases.reliefs import Bitten, Change, Effort, Ladder, ladders

if TYPE_CHECKING:
    from bathybore.ensembles.odds import Odds, Spread

REACH: Final = "reach"  # begins the ids of these records
CAUTION: Final = (
    "Quick questions of the ledger, and whether the riser is on board before a storm, at the "
    "planned depths of the strings above: other longer questions are in `bathybore check`. A "
    "relief is told for its own limit; what else it costs is for those who know. The licensed "
    "engineer decides."
)
_MOST_LINKS: Final = 4  # changes that are put together
_LOOKED_AT: Final = 3  # of the best changes, for what they bring to fail
_DEEPER: Final = 1.0  # m; less is no relief


@dataclass(frozen=True)
class Relief:
    """Changes that let a hole go deeper before a limit bites.

    Attributes
    ----------
    changes : in words, each made on top of the one before
    effort : the greatest of theirs
    reaches : where the limit bites then; None where it does not within the earth table
    enough : it bites no more above the target (or, where it bit below, not within the table)
    cost : more money by the hole's prices than as planned; None where they tell nothing of it
    days : more time than as planned [s]; NaN where it is not known
    then_fails : ids of quick questions that hold as planned and fail then
    """

    changes: tuple[str, ...]
    effort: Effort
    reaches: Depth | None
    enough: bool
    cost: Value | None
    days: float
    then_fails: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Bite:
    """Where one limit first bites.

    Attributes
    ----------
    depth : None where it does not bite as far as it was asked
    asked_to : the deepest depth at which it was: the end of the earth table; of stores, weather
        and days the target, where the hole is left
    short : it bites above the target
    check : id of the question that bites first; empty where the search of muds and strings,
        which asks by node, says so
    judged : that question there, as the ledger answers it; None where no step asks it
    relief : None where the limit does not bite, or nothing that was tried helps
    record : by which `explain` opens it
    spread : of the members of an ensemble, where one was run [m below sea bed]
    """

    limit: Limit
    depth: Depth | None
    asked_to: Depth
    short: bool
    check: str
    judged: CheckRecord | None
    relief: Relief | None
    record: CheckRecord
    spread: Spread | None = None


@dataclass(frozen=True, eq=False)
class Reach:
    """The reach of a hole.

    Attributes
    ----------
    bites : of every limit, the first to bite first
    deepest : end of the earth table, below which nothing is said
    members : of the ensemble that the spreads are from; 0 where there are none
    sought : reliefs were looked for
    """

    hole: Hole
    target: Depth
    deepest: Depth
    bites: tuple[Bite, ...]
    members: int = 0
    sought: bool = True

    @property
    def passes(self) -> bool:
        return not any(bite.short for bite in self.bites)

    @property
    def records(self) -> tuple[CheckRecord, ...]:
        return tuple(bite.record for bite in self.bites)


def slug(limit: Limit) -> str:
    """Return the name of a limit as it stands in ids."""
    return limit.name.lower()


def reach(
    hole: Hole,
    uncertainty: Uncertainty,
    units: UnitSystem = "metric",
    told: Told = silent,
    reliefs: bool = True,
    ledger: LedgerDepths | None = None,
) -> Reach:
    """Return how deep each limit lets a hole go, and what would relieve those that bite.

    Parameters
    ----------
    told : called with what is being done, how much is done and how much there is
    reliefs : look for them
    ledger : of the hole, where it is at hand

    Raises
    ------
    InputErrors
        The earth table ends above the target.
    OrderError
        The plan cannot be walked.
    """
    asked = Asked.of(hole, uncertainty)
    found = asked.all_bites(ledger or ledger_depths(asked.frame, told))
    bites = []
    for number, limit in enumerate(LIMITS):
        tell = partial(told, str(limit), number, len(LIMITS))
        tell()
        mine = tuple(one for one in found if one.limit is limit)
        bites.append(_bite(replace(asked, trying=tell), limit, mine, units, reliefs))
    told("", len(LIMITS), len(LIMITS))
    order = sorted(bites, key=lambda one: np.inf if one.depth is None else one.depth.metres)
    frame = asked.frame
    target, deepest = (_below(float(frame.depth[i])) for i in (frame.target, -1))
    return Reach(hole, target, deepest, tuple(order), sought=reliefs)


def with_spreads(reach: Reach, spreads: dict[Limit, Spread], members: int) -> Reach:
    """Return a reach with what the members of an ensemble say of each limit."""
    bites = tuple(replace(one, spread=spreads.get(one.limit)) for one in reach.bites)
    return replace(reach, bites=bites, members=members)


def with_odds(reach: Reach, odds: Odds) -> Reach:
    """Return a reach with where each limit bites the members that odds are from."""
    return with_spreads(reach, {one.limit: one.depth for one in odds.bites}, odds.count)


def _below(depth: float) -> Depth:
    return Depth(depth, Datum.SEA_BED)


# ---- asking one hole ---------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Found:
    """One question that bites.

    Attributes
    ----------
    depth : where [m below sea bed]
    check : its id; empty where it has none
    table : of the ledger that says so; None where none does
    """

    limit: Limit
    depth: float
    check: str
    table: Table | None = None


def _go_on() -> None:
    """Nobody waits."""


@dataclass(frozen=True, eq=False)
class Asked:
    """One hole as it is planned, ready to be asked where its limits bite.

    Attributes
    ----------
    uncertainty : of the hole as it stands; only its time of arrival is used
    trying : called before every change of it that is tried: who waits may give up
    """

    uncertainty: Uncertainty
    frame: Frame
    drawn: Drawn
    made: Made
    trying: Callable[[], None] = _go_on

    @classmethod
    def of(cls, hole: Hole, uncertainty: Uncertainty, later: float = 0.0) -> Asked:
        frame = frame_of(hole)
        # the hole's own numbers count: a change of them is what is looked at
        planned = replace(central(uncertainty, frame), numbers={})
        drawn = replace(planned, start=planned.start + later)
        return cls(uncertainty, frame, drawn, made(frame, planned_policy(frame), drawn))

    @property
    def muds(self) -> tuple[float, ...]:
        """The mud that each section of the plan ends with; the planned one where it is not made."""
        found = []
        for index, section in enumerate(self.frame.hole.plan.sections):
            mine = [n for n, one in enumerate(self.frame.strings) if one.section == index]
            here = np.flatnonzero(np.isin(self.made.string[0], mine))
            planned = self.frame.hole.plan.fluids[section.fluid].density
            found.append(float(self.made.density[0, here[-1]]) if len(here) else planned)
        return tuple(found)

    def all_bites(self, ledger: LedgerDepths) -> tuple[Found, ...]:
        """Return every question that bites, the first to bite first."""
        found = list(self._tabulated(ledger))
        found += self._of_making()
        found += self._of_spending()
        return tuple(sorted(found, key=lambda one: one.depth))

    def bites_of(self, limit: Limit) -> tuple[Found, ...]:
        """Return every question of one limit that bites."""
        found: list[Found] = []
        if limit not in ELSEWHERE:
            muds = self.muds
            found += self._tabulated(ledger_depths(self.frame, None, Which((limit,)), muds))
        if limit in ALONE:
            found += [one for one in self._of_making() if one.limit is limit]
        if limit in RUNS_OUT:
            found += [one for one in self._of_spending() if one.limit is limit]
        return tuple(sorted(found, key=lambda one: one.depth))

    def _tabulated(self, ledger: LedgerDepths) -> Iterator[Found]:
        every = each_bite(ledger, self.frame, self.made, self.drawn, slowest=1.0)
        for table, depth in zip(ledger.tables, every, strict=True):
            if np.isfinite(depth[0]):
                yield Found(table.limit, float(depth[0]), table.id, table)

    def _of_making(self) -> Iterator[Found]:
        for limit, depth in zip(ALONE, self.made.alone[0], strict=True):
            if np.isfinite(depth):
                yield Found(limit, float(depth), "")

    def _of_spending(self) -> Iterator[Found]:
        """Yield what runs out on the way to the target, whatever else ends the hole."""
        end = np.full(1, float(self.frame.depth[self.frame.target]))
        took, names = spent(self.frame, self.made, end, self.drawn), asked_names(self.frame)
        for limit in RUNS_OUT:
            if np.isfinite(took.bites[limit][0]):
                yield Found(limit, float(took.bites[limit][0]), names[took.asked[limit][0]])

    def state_of(self, check: str) -> HoleState | None:
        """Return the state of the plan's walk in whose step a question is asked."""
        step = check.split("/")[0]
        return next((one for one in self.frame.states if one.step.name == step), None)

    def judged(self, one: Found) -> CheckRecord | None:
        """Return what the ledger answers to a question just below the depth at which it bit.

        None where no step of the plan asks it there.
        """
        name = one.check.partition("/")[2]
        try:
            answered = tuple(self._answers(one))
        except (OrderError, InputErrors):
            return None
        return next((record for record in answered if record.name == name), None)

    def _answers(self, one: Found) -> Iterator[CheckRecord]:
        state, table, hole = self.state_of(one.check), one.table, self.frame.hole
        if state is None:
            return
        if table is None:  # of spending: asked of the plan's steps, and at its end
            for last in (state, self.frame.states[-1]):
                yield from records_of(last)
            return
        if table.moment in (Moment.SET, Moment.ONCE):
            yield from asked_of(state, Which((one.limit,)))
            return
        index = table.section
        depth = min(one.depth + _DEEPER, float(self.frame.depth[-1]))
        if table.moment is Moment.MAKING:
            again = cut(hole, index, depth, self.muds[index])
            yield from asked_of(made_to(self.frame, again, index)[-1], Which((one.limit,)))
        elif table.moment is Moment.BELOW:
            below = asked_again(state, cut(hole, index, depth))
            yield from answers(casing_strength_checks, below)
        else:
            held = heaviest_on_riser(cut(hole, index, depth), self.muds[index])
            yield from answers(riser_checks, asked_again(state, held))


def _bite(
    asked: Asked, limit: Limit, found: tuple[Found, ...], units: UnitSystem, reliefs: bool
) -> Bite:
    frame = asked.frame
    target = float(frame.depth[frame.target])
    deepest = target if limit in RUNS_OUT else float(frame.depth[-1])
    first = found[0] if found else None
    depth = np.inf if first is None else first.depth
    judged = None if first is None else asked.judged(first)
    relief = None
    if first is not None and reliefs:
        relief = find_relief(asked, limit, units)
    return Bite(
        limit=limit,
        depth=None if first is None else _below(depth),
        asked_to=_below(deepest),
        short=depth < target - 1e-3,
        check="" if first is None else first.check,
        judged=judged,
        relief=relief,
        record=_record(frame, limit, first, judged, target, deepest),
    )


def _record(
    frame: Frame,
    limit: Limit,
    first: Found | None,
    judged: CheckRecord | None,
    target: float,
    deepest: float,
) -> CheckRecord:
    question = Question(
        slug(limit),
        Discipline.METHOD,
        f"If it were for the {limit} alone, would the hole come to its target?",
        "Look for reliefs: in the workspace beside this, or `bathybore reach`.",
        CAUTION,
    )
    name = "depth_below_sea_bed"
    needed = Value(name, target, "m", frame.hole.plan.origin("target"))
    if first is None:
        how = FromWalk("deepest depth asked about: the limit bites nowhere above it")
        end = frame.hole.depth(deepest + float(frame.hole.sea_bed))
        note = f"It bites nowhere down to {end}; deeper it is not asked."
        return judge(REACH, question, needed, Value(name, deepest, "m", how), 0.0, note=note)
    behind: tuple[Value, ...] = ()
    if judged is not None and judged.demand is not None and judged.capacity is not None:
        behind = (judged.demand, judged.capacity)
    what = "the least depth at which a question of this limit fails: asked of the plan cut there"
    have_there = Value(name, first.depth, "m", Solved(what, "definition", behind))
    note = f"First bites: {first.check}." if first.check else "No density of mud serves."
    if limit is Limit.DIAMETER and not first.check:
        note = "One more string would be needed than there is."
    place = frame.hole.depth(first.depth + float(frame.hole.sea_bed))
    band = frame.hole.basis.tight_band
    return judge(REACH, question, needed, have_there, band, place, note=note)


# ---- relief ------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class _Tried:
    """A change that was made, and where the limit bites then."""

    change: Change
    asked: Asked
    found: tuple[Found, ...]
    rung: int
    enough: bool

    @property
    def order(self) -> tuple[bool, int, int]:
        return not self.enough, int(self.change.effort), self.rung


def find_relief(asked: Asked, limit: Limit, units: UnitSystem = "metric") -> Relief | None:
    """Return the cheapest changes found that relieve a limit; None where none tried does.

    Of each kind the least amount that helps is taken; of the kinds that which is enough, with
    the least effort, and which brings no other quick question of the plan to fail where there
    is such a one. Where one change is not enough another is put on top of it.
    """
    start, here = asked, asked
    found, links = asked.bites_of(limit), list[_Tried]()
    target = float(asked.frame.depth[asked.frame.target])
    goal = target if found and found[0].depth < target - 1e-3 else np.inf
    while found and found[0].depth < goal - 1e-3 and len(links) < _MOST_LINKS:
        best = _best(start, here, limit, found, goal, units, later=_later(links))
        if best is None:
            break
        links.append(best)
        here, found = best.asked, best.found
    if not links:
        return None
    depth = found[0].depth if found else np.inf
    cost, days = _dearer(start, here)
    return Relief(
        changes=tuple(link.change.what for link in links),
        effort=max(link.change.effort for link in links),
        reaches=_below(depth) if np.isfinite(depth) else None,
        enough=bool(depth >= goal - 1e-3),
        cost=cost,
        days=days,
        then_fails=_new_failures(start, here),
    )


def _later(links: list[_Tried]) -> float:
    return sum(link.change.later for link in links)


def _best(
    start: Asked,
    here: Asked,
    limit: Limit,
    found: tuple[Found, ...],
    goal: float,
    units: UnitSystem,
    later: float,
) -> _Tried | None:
    first = found[0]
    name = first.check.partition("/")[2]
    bitten = Bitten(here.frame.hole, limit, name, here.state_of(first.check), units)
    tried: list[_Tried] = []
    for ladder in sorted(ladders(bitten), key=lambda one: one[0].effort):
        easier = [one for one in tried if one.enough and one.change.effort < ladder[0].effort]
        if any(not _new_failures(start, one.asked) for one in easier):
            break
        helped = _climbed(start, limit, found, ladder, goal, later)
        if helped is not None:
            tried.append(helped)
    tried.sort(key=lambda one: one.order)
    harmless = (one for one in tried[:_LOOKED_AT] if not _new_failures(start, one.asked))
    return next(harmless, tried[0] if tried else None)


def _climbed(
    start: Asked,
    limit: Limit,
    found: tuple[Found, ...],
    ladder: Ladder,
    goal: float,
    later: float,
) -> _Tried | None:
    """Return the least rung that relieves the question that bites first, else the last to help."""
    helped = None
    for rung, change in enumerate(ladder):
        start.trying()
        one = _try(start, limit, found, change, rung, goal, later)
        if one is not None:
            helped = one
            if one.enough or not _same_question(found, one.found):
                break
    return helped


def _same_question(before: tuple[Found, ...], after: tuple[Found, ...]) -> bool:
    return bool(after) and after[0].check == before[0].check


def _try(
    start: Asked,
    limit: Limit,
    found: tuple[Found, ...],
    change: Change,
    rung: int,
    goal: float,
    later: float,
) -> _Tried | None:
    """Make a change and ask again; None where it cannot be made or does not help."""
    try:
        asked = Asked.of(change.hole, start.uncertainty, later + change.later)
        if limit not in ELSEWHERE and _still_fails(asked, found[0]):
            return None
        now = asked.bites_of(limit)
    except (InputErrors, OrderError, NotConverged):
        return None
    depth = now[0].depth if now else np.inf
    deeper = depth > found[0].depth + _DEEPER
    fewer = depth >= found[0].depth - 1e-6 and len(now) < len(found)
    if not (deeper or fewer):
        return None
    return _Tried(change, asked, now, rung, bool(depth >= goal - 1e-3))


def _still_fails(after: Asked, first: Found) -> bool:
    """Whether the question that bit first fails still, just below where it bit.

    One question is soon asked; the tables need not be made for a change that does not move it.
    """
    now = after.judged(first)
    return now is not None and now.status is Status.FAILS


@kept(64)
def _failures(frame: Frame) -> frozenset[str]:
    return frozenset(
        record.id
        for state in frame.states
        for record in records_of(state)
        if record.status is Status.FAILS
    )


def _new_failures(start: Asked, asked: Asked) -> tuple[str, ...]:
    return tuple(sorted(_failures(asked.frame) - _failures(start.frame)))


def _dearer(before: Asked, after: Asked) -> tuple[Value | None, float]:
    """Return what changes cost by the hole's prices, and how much longer the hole takes."""
    end = np.full(1, float(before.frame.depth[before.frame.target]))
    one, two = (spent(x.frame, x.made, end, x.drawn) for x in (before, after))
    days = float(two.days[0] - one.days[0])
    money = float(two.cost[0] - one.cost[0])
    if not np.isfinite(money):
        return None, days
    how = FromWalk("spent with the change less spent as planned, by the hole's prices")
    return Value("cost", money, "money", how), days
