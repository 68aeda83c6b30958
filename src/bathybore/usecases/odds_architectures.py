"""Which architecture stands most over all that may be: those that the search proposes, as holes.

The search asks the rock as it is prognosed. Here each of its proposals is made the plan, its ledger
asked, and the same members drawn of it: other sizes, other strings, other stock than planned. The
best of several looks better than it is, so it is weighed once more on members of another seed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import isclose
from typing import Final

from bathybore.base.errors import InputErrors, NotConverged, OrderError
from bathybore.base.units import UnitSystem
from bathybore.ensembles.choosing import (
    OTHER_SEED,
    Goal,
    again_of,
    gain_of,
    refuse_level,
    refuse_no_price,
    worth_of,
)
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.odds import Share, odds_of, share_of
from bathybore.ensembles.running import run
from bathybore.ensembles.shapes import Outcome
from bathybore.ensembles.spending import marks
from bathybore.ensembles.telling import Told, silent
from bathybore.model.editing import Draft
from bathybore.model.hole import Hole
from bathybore.model.hole_numbers import number_at
from bathybore.model.uncertain import Alternative, Uncertain, Uncertainty
from bathybore.operations.steps import derive_steps
from bathybore.usecases.adopting import adopted
from bathybore.usecases.odds import CAUTION_OF_CHANCE, OddsOrder, ensemble_of
from bathybore.usecases.odds_told import chance, gained, told_of
from bathybore.usecases.placing_told import ToldTable, Topic, number
from bathybore.usecases.searching import Proposal, SearchOrder, find_architectures

MEMBERS: Final = 512
MOST: Final = 4


@dataclass(frozen=True)
class Other:
    """One proposal of the search, asked of the members.

    Attributes
    ----------
    proposal : numbered as `bathybore search` does
    reached : members at the target
    gain, low, high : what it is better by than the plan over the same members, on the mean or at
        the level asked for, with its 95 % interval: chance [-], time [s] or money saved
    ended_by : what ends most of its members; empty where none is ended
    left_out : numbers and steps that are uncertain in the plan and that it has no place for
    why_not : why it could not be asked; empty where it was
    """

    proposal: Proposal
    reached: Share
    gain: float
    low: float
    high: float
    ended_by: str = ""
    left_out: tuple[str, ...] = ()
    why_not: str = ""

    @property
    def number(self) -> int:
        return self.proposal.number


@dataclass(frozen=True)
class Architectures:
    """The proposals of the search against the plan.

    Attributes
    ----------
    planned : members of the plan at the target
    hole : as planned
    tried : in the order of the search
    best : number of the proposal worth most; 0 where none is worth more than the plan
    gain, low, high : of the best over the plan, on members that took no part in the choice
    """

    hole: Hole
    goal: Goal
    planned: Share
    tried: tuple[Other, ...]
    best: int
    gain: float
    low: float
    high: float


def architectures(
    ensemble: Ensemble,
    draft: Draft,
    order: OddsOrder,
    goal: Goal,
    level: float | None,
    members: int,
    most: int = MOST,
    told: Told = silent,
) -> Architectures:
    """Return how the proposals of the search stand against the plan.

    Parameters
    ----------
    draft : of the very files that the ensemble's hole was read from
    level : share of the members that do at least as well as what is compared; None: the mean
    most : proposals that are asked at most

    Raises
    ------
    InputErrors
        The search refuses the hole, or as `ensembles.running.run`.
    """

    def outcome_of(one: Ensemble) -> Outcome:
        return run(one, members, workers=order.workers, scheduler=order.scheduler)

    refuse_level(goal, level)
    if members < 2:  # one number has no scatter to tell an interval from
        raise InputErrors.one("members", str(members), "2 or more")
    plan = outcome_of(ensemble)
    refuse_no_price(goal, plan)
    again = again_of(plan, goal)
    before = worth_of(plan, goal, again)
    proposals = find_architectures(draft, SearchOrder(walk=False)).proposals[:most]
    tried, asked = list[Other](), dict[int, Ensemble]()
    for done, proposal in enumerate(proposals):
        told("architectures", done, len(proposals))
        try:
            other, left_out = _asked(ensemble, draft, proposal)
            after = outcome_of(other)
            gains = gain_of(worth_of(after, goal, again), before, goal, level)
        except (InputErrors, NotConverged, OrderError) as error:
            nothing = Share(0, 0, 0.0, 1.0)
            tried.append(Other(proposal, nothing, 0.0, 0.0, 0.0, why_not=str(error)))
            continue
        share = share_of(after.reached[after.judged])
        tried.append(Other(proposal, share, *gains, _ended_by(other, after), left_out))
        asked[proposal.number] = other
    told("architectures", len(proposals), len(proposals))
    hole, planned = ensemble.frame.hole, share_of(plan.reached[plan.judged])
    best = max(tried, key=lambda one: one.gain, default=None)
    if best is None or best.gain <= 0.0:
        return Architectures(hole, goal, planned, tuple(tried), 0, 0.0, 0.0, 0.0)
    weighed = [replace(one, seed=one.seed + OTHER_SEED) for one in (asked[best.number], ensemble)]
    mine, its = (worth_of(outcome_of(one), goal, again) for one in weighed)
    gains = gain_of(mine, its, goal, level)
    return Architectures(hole, goal, planned, tuple(tried), best.number, *gains)


def _ended_by(ensemble: Ensemble, outcome: Outcome) -> str:
    """Return the limit that ends most members and the question by which, with their share."""
    frame = ensemble.frame
    causes = odds_of(frame, outcome, marks(frame), ensemble.checks).causes
    if not causes:
        return ""
    first = causes[0]
    by = f" by {first.checks[0][0]}" if first.checks else ""
    return f"{first.limit}{by}: {first.share.share:.0%}"


def _asked(
    ensemble: Ensemble, draft: Draft, proposal: Proposal
) -> tuple[Ensemble, tuple[str, ...]]:
    """Return the ensemble of a proposal as the plan, and what it leaves out."""
    hole = adopted(draft, proposal.sections).hole
    assert hole is not None
    uncertainty, left_out = carried(ensemble.uncertainty, hole)
    return ensemble_of(hole, uncertainty, ensemble.seed), left_out


def carried(uncertainty: Uncertainty, hole: Hole) -> tuple[Uncertainty, tuple[str, ...]]:
    """Return what is uncertain of a hole with another plan, and what that has no place for.

    A number is carried over where the other hole has it, and as it was planned; the trouble of a
    step where there is such a step.
    """
    gone = [one.key for one in uncertainty.quantities if not _is_there(one, hole)]
    steps = {step.name for step in derive_steps(hole.plan)} | {""}
    trouble = {step: one for step, one in uncertainty.trouble.items() if step in steps}
    lost = [f"trouble in {step}" for step in uncertainty.trouble if step not in steps]
    correlations = uncertainty.correlations
    left = replace(
        uncertainty,
        quantities=tuple(one for one in uncertainty.quantities if one.key not in gone),
        correlations=tuple(
            one for one in correlations if one.first not in gone and one.second not in gone
        ),
        alternatives=tuple(_without(one, gone) for one in uncertainty.alternatives),
        trouble=trouble,
    )
    return left, (*gone, *lost)


def _is_there(one: Uncertain, hole: Hole) -> bool:
    if one.kind != "number":
        return True
    try:
        number = number_at(hole.document, one.key, one.key)
    except InputErrors:
        return False
    return isclose(number.planned, one.planned, rel_tol=1e-12)


def _without(one: Alternative, gone: list[str]) -> Alternative:
    return replace(one, changes=tuple(change for change in one.changes if change.of not in gone))


# ---- in words ------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class ArchitecturesTold:
    """The architectures, as a topic."""

    found: Architectures
    level: float | None
    name = "architectures"

    def topic(self, units: UnitSystem) -> Topic:
        found = self.found
        wanted = {
            Goal.odds: "the greatest chance of the target",
            Goal.days: "the fewest days, a lost hole being made again",
            Goal.cost: "the least money, a lost hole being made again",
        }[found.goal]
        if self.level is not None:
            wanted += f", in the worst of {self.level:.0%} of the members"
        columns = (
            "architecture",
            "strings",
            "target reached",
            "gained (95 %)",
            "ended most by",
            "not carried over",
        )
        rows = tuple(_row(one, told_of(found.goal)) for one in found.tried)
        return Topic(
            name=self.name,
            title="The architecture that stands most",
            facts=(
                ("Wanted", wanted),
                ("As planned", f"{chance(found.planned)} of {found.planned.of} members"),
                ("Best", self.best()),
            ),
            tables=(
                ToldTable("Proposals of the search, asked of the same members", columns, rows),
            ),
            records=(),
            caution="The search asks the rock as prognosed; its proposals are asked with sizes, "
            "strings and stock of its own. Walk one before you choose it. " + CAUTION_OF_CHANCE,
            numbers={
                "best": found.best,
                "chance_as_planned": found.planned.share,
                "tried": [
                    {
                        "number": one.number,
                        "chance": one.reached.share if one.reached.of else None,
                        "gain": number(one.gain, _UNITS[found.goal]),
                        "ended_most_by": one.ended_by,
                    }
                    for one in found.tried
                ],
            },
        )

    def best(self) -> str:
        """Return in words which is best, and by how much."""
        found = self.found
        if not found.tried:
            return "the plan: the search proposes none, for nothing reaches the target as prognosed"
        if not found.best:
            return "the plan: nothing that the search proposes is worth more"
        best = next(one for one in found.tried if one.number == found.best)
        gain = gained(found, told_of(found.goal))
        told = (
            f"{best.number}, {best.proposal.why}: {gain} on members that took no part in the choice"
        )
        if found.low <= 0.0:
            return f"{told}, which do not show that it is worth more than the plan"
        return f"{told}; `bathybore search HOLE --write {best.number}` makes it the plan"


_UNITS: Final = {Goal.odds: "-", Goal.days: "s", Goal.cost: "money"}


def _row(one: Other, told: Callable[[float], str]) -> tuple[str, ...]:
    what, strings = f"{one.number}: {one.proposal.why}", str(one.proposal.strings)
    if one.why_not:
        return what, strings, "not asked", "", "", one.why_not
    left_out = ", ".join(one.left_out) or "nothing"
    return what, strings, chance(one.reached), gained(one, told), one.ended_by, left_out
