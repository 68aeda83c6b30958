"""What would lift the chance most: the changes that relieve what ends the holes, asked of members.

Against every cause that ends enough of the members the changes are tried that an engineer would
try (`reliefs.py`): the hole is changed, its ledger asked anew, and the same members made of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import chain, islice
from typing import Final

from bathybore.base.errors import InputErrors, NotConverged, OrderError
from bathybore.base.units import UnitSystem
from bathybore.ensembles.choosing import Goal, gain_of, worth_of
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.odds import Cause, Share, odds_of, share_of
from bathybore.ensembles.running import run
from bathybore.ensembles.shapes import Outcome
from bathybore.ensembles.spending import marks
from bathybore.ensembles.telling import Told, silent
from bathybore.ensembles.uncertain_changed import of_changed
from bathybore.usecases.odds import CAUTION_OF_CHANCE, OddsOrder, ensemble_of
from bathybore.usecases.odds_told import chance, gained, told_of
from bathybore.usecases.placing_told import ToldTable, Topic, number
from bathybore.usecases.reliefs import Bitten, Change, Effort, ladders

MEMBERS: Final = 512
_CAUSES: Final = 3  # that are relieved
_LEAST: Final = 0.03  # share of the members that a cause must end to be worth it
_CHANGES: Final = 8  # tried against one cause
_RUNGS: Final = 2  # of one kind of change


@dataclass(frozen=True)
class Lift:
    """One change, and the chance with it.

    Attributes
    ----------
    gain, low, high : of the chance, over the same members, with its 95 % interval
    why_not : why it could not be asked; empty where it was
    """

    what: str
    effort: Effort
    chance: Share
    gain: float
    low: float
    high: float
    why_not: str = ""


@dataclass(frozen=True)
class Relieved:
    """A cause and what was tried against it, best first."""

    cause: Cause
    check: str
    tried: tuple[Lift, ...]


@dataclass(frozen=True)
class OddsReliefs:
    """What would lift the chance.

    Attributes
    ----------
    left : causes that nothing was tried against, in words
    """

    chance: Share
    members: int
    relieved: tuple[Relieved, ...]
    left: tuple[str, ...]


def odds_reliefs(
    ensemble: Ensemble,
    order: OddsOrder,
    members: int = MEMBERS,
    units: UnitSystem = "metric",
    told: Told = silent,
) -> OddsReliefs:
    """Return what would lift the chance of an ensemble."""

    def outcome_of(one: Ensemble) -> Outcome:
        return run(one, members, workers=order.workers, scheduler=order.scheduler)

    frame, before = ensemble.frame, outcome_of(ensemble)
    causes = odds_of(frame, before, marks(frame), ensemble.checks).causes
    relieved, left = list[Relieved](), list[str]()
    for cause in causes:
        bitten = _bitten(ensemble, cause, units)
        changes = list(islice(_changes(bitten), _CHANGES)) if bitten is not None else []
        if len(relieved) == _CAUSES or cause.share.share < _LEAST or not changes:
            left.append(str(cause.limit))
            continue
        tried = []
        for done, change in enumerate(changes):
            told(f"against {cause.limit}", done, len(changes))
            tried.append(_lift(ensemble, change, before, outcome_of))
        told(f"against {cause.limit}", len(changes), len(changes))
        best = sorted(tried, key=lambda one: (bool(one.why_not), -one.gain))
        check = cause.checks[0][0] if cause.checks else ""
        relieved.append(Relieved(cause, check, tuple(best)))
    chance_now = share_of(before.reached[before.judged])
    return OddsReliefs(chance_now, members, tuple(relieved), tuple(left))


def _bitten(ensemble: Ensemble, cause: Cause, units: UnitSystem) -> Bitten | None:
    """Return what most members of a cause are bitten by; None where the plan has no such step."""
    if not cause.checks:
        return Bitten(ensemble.frame.hole, cause.limit, "", None, units)
    step, _, check = cause.checks[0][0].partition("/")
    state = next((one for one in ensemble.frame.states if one.step.name == step), None)
    return None if state is None else Bitten(ensemble.frame.hole, cause.limit, check, state, units)


def _changes(bitten: Bitten) -> Iterator[Change]:
    """Yield the first rungs of every kind of change."""
    return chain.from_iterable(ladder[:_RUNGS] for ladder in ladders(bitten))


def _lift(
    ensemble: Ensemble,
    change: Change,
    before: Outcome,
    outcome_of: Callable[[Ensemble], Outcome],
) -> Lift:
    try:
        uncertainty = of_changed(ensemble.uncertainty, change.hole, change.later)
        after = outcome_of(ensemble_of(change.hole, uncertainty, ensemble.seed))
        then, now = (worth_of(one, Goal.odds, 0.0) for one in (after, before))
        gains = gain_of(then, now, Goal.odds, None)
    except (InputErrors, NotConverged, OrderError) as error:
        nothing = Share(0, 0, 0.0, 1.0)
        return Lift(change.what, change.effort, nothing, 0.0, 0.0, 0.0, str(error))
    return Lift(change.what, change.effort, share_of(after.reached[after.judged]), *gains)


@dataclass(frozen=True, eq=False)
class ReliefsTold:
    """What would lift the chance, as a topic."""

    found: OddsReliefs
    name = "relief"

    def topic(self, units: UnitSystem) -> Topic:
        found = self.found
        facts = [("Target reached", f"{chance(found.chance)} of {found.members} members")]
        if found.left:
            facts.append(("Nothing tried", f"against {', '.join(found.left)}"))
        return Topic(
            name=self.name,
            title="What would lift the chance",
            facts=tuple(facts),
            tables=tuple(_table(one) for one in found.relieved),
            records=(),
            caution="A change is asked of the same members by the quick questions of the ledger: "
            "walk the changed hole before you choose it, `bathybore check`. " + CAUTION_OF_CHANCE,
            numbers={
                str(one.cause.limit): [
                    {
                        "change": lift.what,
                        "effort": str(lift.effort),
                        "chance": lift.chance.share if lift.chance.of else None,
                        "gain": number(lift.gain, "-"),
                    }
                    for lift in one.tried
                ]
                for one in found.relieved
            },
        )


def _table(one: Relieved) -> ToldTable:
    by = f", by {one.check}" if one.check else ""
    title = f"Against {one.cause.limit}, which ends {one.cause.share.share:.1%}{by}"
    rows = tuple(_row(lift) for lift in one.tried)
    return ToldTable(title, ("change", "it takes", "chance gained (95 %)", "chance then"), rows)


def _row(lift: Lift) -> tuple[str, ...]:
    if lift.why_not:
        return lift.what, str(lift.effort), "not asked", lift.why_not
    gain = gained(lift, told_of(Goal.odds))
    return lift.what, str(lift.effort), gain, f"{lift.chance.share:.1%}"
