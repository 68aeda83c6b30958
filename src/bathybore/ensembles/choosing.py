"""Other things the crew could do, asked of the same members: what is best, and by how much.

A policy is where the strings are to be set and whether spares may be. Every policy is asked of
the same members, so that what differs is the policy and not the luck. The best of many looks
better than it is: it is weighed against the plan on members that took no part in the choice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.means import Between, chance_between, level_between, level_of, mean_between
from bathybore.ensembles.odds import Share, share_of
from bathybore.ensembles.running import run
from bathybore.ensembles.shapes import Frame, Outcome, Policy
from bathybore.search.problems import LEAST_LEG

MOVES: Final = (-200.0, -100.0, 100.0, 200.0)  # m that a shoe is moved by
OTHER_SEED: Final = 1_000_003  # added to the seed for members that take no part in a choice
ROUNDS: Final = 3  # of moving every shoe once
Run = Callable[[Ensemble, int], Outcome]


class Goal(StrEnum):
    """What is wanted."""

    odds = "odds"  # the greatest chance of the target
    days = "days"  # the fewest days, a hole that is lost being made again as planned
    cost = "cost"  # the same in money


@dataclass(frozen=True, eq=False)
class Chosen:
    """The best policy found.

    Attributes
    ----------
    level : share of the members that do at least as well, whose worst is wanted; None: the mean
    reached, reached_planned : of members that took no part in the choice
    gain, low, high : what it is better by over the same members, on the mean or at the level, with
        its 95 % interval: chance [-], time [s] or money saved
    tried : how many policies were asked
    """

    policy: Policy
    planned: Policy
    goal: Goal
    level: float | None
    reached: Share
    reached_planned: Share
    gain: float
    low: float
    high: float
    tried: int


def worth_of(outcome: Outcome, goal: Goal, again: float) -> Array:
    """Return what each member is worth (member); more is better, NaN where it was not judged.

    Parameters
    ----------
    again : what a lost hole costs beside what was spent on it [s or money]
    """
    reached = outcome.reached
    if goal is Goal.odds:
        return np.where(outcome.judged, reached.astype(float), np.nan)
    spent = outcome.days if goal is Goal.days else outcome.cost
    return np.where(reached, -spent, -spent - again)


def gain_of(after: Array, before: Array, goal: Goal, level: float | None) -> Between:
    """Return by how much one worth is more than another, with its 95 % interval.

    Of members that were judged both times; the others count neither way.

    Raises
    ------
    InputErrors
        None was.
    """
    after, before = _judged_twice(after, before)
    if not len(after):
        raise InputErrors.one("members", "none that was judged both times", "some to compare")
    if goal is Goal.odds:
        return chance_between(after - before)
    if level is None:
        return mean_between(after - before)
    return level_between(after, before, level)


def again_of(outcome: Outcome, goal: Goal) -> float:
    """Return what making a lost hole again costs: as planned, and again, until one reaches.

    With the chance p, the mean r of what those spend that reach and f of those that do not:
    r + f (1 - p) / p. Where none reached, p is taken as one in as many and one more.
    """
    if goal is Goal.odds:
        return 0.0
    spent = outcome.days if goal is Goal.days else outcome.cost
    known = np.isfinite(spent)
    reached, lost = spent[outcome.reached & known], spent[~outcome.reached & known]
    mine = float(reached.mean()) if len(reached) else 0.0
    theirs = float(lost.mean()) if len(lost) else 0.0
    chance = max(len(reached), 1) / (len(reached) + len(lost) + (not len(reached)))
    return mine + theirs * (1.0 - chance) / chance


def moved(frame: Frame, policy: Policy, string: int, by: float) -> Policy | None:
    """Return a policy with one bottom moved [m]; None where the strings no longer follow."""
    bottoms = np.array(policy.bottoms)
    bottoms[string] += by
    if (np.diff(bottoms) < LEAST_LEG).any() or bottoms[0] <= 0.0:
        return None
    return replace(policy, bottoms=tuple(bottoms.tolist()))


def neighbours(frame: Frame, policy: Policy, strings: tuple[int, ...]) -> Iterator[Policy]:
    """Yield the policies that differ from one by one moved shoe, or by leaving spares on board."""
    for string in strings:
        for by in MOVES:
            other = moved(frame, policy, string, by)
            if other is not None:
                yield other
    if any(one.spare for one in frame.strings):
        yield replace(policy, spares=not policy.spares)


def movable(frame: Frame) -> tuple[int, ...]:
    """Return the strings, spares not counted, between the conductor and the last hole."""
    return tuple(range(1, len(frame.planned) - 1))


def best_policy(
    ensemble: Ensemble,
    count: int,
    goal: Goal,
    level: float | None = None,
    *,
    run_of: Run = run,
    told: Callable[[str, int], None] = lambda what, tried: None,
) -> Chosen:
    """Return the best of the policies round the plan: shoes moved one by one while that helps.

    Parameters
    ----------
    count : members that every policy is asked of, and as many others that the best is weighed on

    Raises
    ------
    InputErrors
        Cost is wanted and no price of a day is told, or a level makes no sense.
    """
    refuse_level(goal, level)
    planned = ensemble.policy
    first = run_of(ensemble, count)
    again = again_of(first, goal)
    refuse_no_price(goal, first)
    before, best = worth_of(first, goal, again), planned
    tried = {planned: 0.0}  # what each is better by than the plan
    for _ in range(ROUNDS):
        last = best
        for string in movable(ensemble.frame):
            for other in neighbours(ensemble.frame, best, (string,)):
                if other not in tried:
                    outcome = run_of(replace(ensemble, policy=other), count)
                    tried[other] = _better(worth_of(outcome, goal, again), before, level)
                    told(ensemble.frame.strings[string].name, len(tried))
            best = max(tried, key=lambda one: tried[one])
        if best == last:
            break
    return _weighed(ensemble, best, count, goal, level, again, len(tried), run_of)


def refuse_level(goal: Goal, level: float | None) -> None:
    """Refuse a level that makes no sense of what is wanted."""
    if level is not None and not 0.0 < level < 1.0:
        raise InputErrors.one("--level", f"{level:g}", "a share between 0 and 1")
    if level is not None and goal is Goal.odds:
        raise InputErrors.one(
            "--level", "a level of the odds", "days or cost: a chance has one value, the mean"
        )


def refuse_no_price(goal: Goal, outcome: Outcome) -> None:
    """Refuse to weigh money where no price of a day is told."""
    if goal is Goal.cost and not np.isfinite(outcome.cost).any():
        raise InputErrors.one("prices", "no day_rate", "a price of a day, or another goal")


def _better(after: Array, before: Array, level: float | None) -> float:
    """Return by how much one worth is more than another, of members judged both times."""
    after, before = _judged_twice(after, before)
    if level is None:
        return float((after - before).mean())
    return level_of(after, level) - level_of(before, level)


def _judged_twice(after: Array, before: Array) -> tuple[Array, Array]:
    """Return the worth of the members that were judged both times."""
    both = np.isfinite(after) & np.isfinite(before)
    return after[both], before[both]


def _weighed(
    ensemble: Ensemble,
    best: Policy,
    count: int,
    goal: Goal,
    level: float | None,
    again: float,
    tried: int,
    run_of: Run,
) -> Chosen:
    """Weigh the best policy against the plan on members of another seed."""
    others = replace(ensemble, seed=ensemble.seed + OTHER_SEED)
    mine = run_of(replace(others, policy=best), count)
    plan = run_of(others, count)
    after, before = (worth_of(one, goal, again) for one in (mine, plan))
    gain, low, high = gain_of(after, before, goal, level)
    return Chosen(
        policy=best,
        planned=ensemble.policy,
        goal=goal,
        level=level,
        reached=share_of(mine.reached[mine.judged]),
        reached_planned=share_of(plan.reached[plan.judged]),
        gain=gain,
        low=low,
        high=high,
        tried=tried,
    )
