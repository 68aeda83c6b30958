"""Will we get there: the odds of a hole, what matters for them, what to find out, what to change.

Everything here is one ensemble of the same hole, looked at from several sides.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.base.keeping import kept
from bathybore.base.units import UnitSystem, show
from bathybore.base.working import FromWalk, Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.ensembles.choosing import (
    Chosen,
    Goal,
    again_of,
    best_policy,
    neighbours,
    worth_of,
)
from bathybore.ensembles.drawing import CHUNK, central, groups
from bathybore.ensembles.evaluating import Ensemble, Together, evaluated
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.knowing import CLASSES, FEWEST, Knowing, knowing
from bathybore.ensembles.ledger_depths import ledger_depths
from bathybore.ensembles.ledger_numbers import with_numbers
from bathybore.ensembles.made_members import made_files
from bathybore.ensembles.means import chance_between
from bathybore.ensembles.odds import Odds, Spread, odds_of, spread_of
from bathybore.ensembles.readings import Reading, before_spud, leak_offs
from bathybore.ensembles.rules import Rule, rules
from bathybore.ensembles.running import MOST, run, run_all
from bathybore.ensembles.sensitivity import Sensitivity, sensitivities
from bathybore.ensembles.shapes import Frame, Limit, Outcome, Policy
from bathybore.ensembles.spending import marks
from bathybore.ensembles.telling import Told, silent
from bathybore.ensembles.uncertain_alone import alone
from bathybore.model.editing import read_draft
from bathybore.model.hole import Hole
from bathybore.model.hole_files import HOLE_FILE, HoleFiles, write_files
from bathybore.model.loading import document_file, load_hole
from bathybore.model.uncertain import Uncertainty
from bathybore.model.uncertainty import load_uncertainty

ODDS: Final = "odds"  # begins the ids of these records
USUAL: Final = 2000  # members, where nobody says how many
FEW: Final = 1024  # members of a question that takes many runs
CAUTION: Final = (
    "Odds count what was drawn: what nobody thought of is not in them, and a spread that is "
    "assumed is a guess. A limit ends a hole where its check fails, design factors included. "
    "The crew is taken to weigh the mud as the rock asks. The licensed engineer decides."
)
LONGER: Final = (  # said once wherever a chance is told
    "Of the longer questions every member with a riser is asked one: is it on board before a "
    "storm? The others are asked of the plan, and of a few members that are walked in full "
    "(bathybore odds HOLE walked)."
)
CAUTION_OF_CHANCE: Final = f"{LONGER} {CAUTION}"

REACHES = Question(
    "target",
    Discipline.METHOD,
    "Is the chance of coming to the target, every margin kept, what the operation asks for?",
    "Relieve what ends most of the holes; find out more before; or ask for less.",
    CAUTION_OF_CHANCE,
)
IN_TIME = Question(
    "days",
    Discipline.TIME,
    "Of the holes that nothing else ends, do nine in ten come to the target and away in time?",
    "More days, a quieter season, fewer sections, faster trips.",
    CAUTION_OF_CHANCE,
)


@dataclass(frozen=True)
class OddsOrder:
    """What is asked for.

    Attributes
    ----------
    scheduler, workers, keep : as in `ensembles.running.run`
    """

    members: int = USUAL
    seed: int = 1
    workers: int = 1
    scheduler: str = ""
    keep: Path | None = None


@dataclass(frozen=True, eq=False)
class OddsFound:
    """The odds of a hole.

    Attributes
    ----------
    rules : what tests of the shoes tell of the holes below them
    """

    ensemble: Ensemble
    order: OddsOrder
    outcome: Outcome
    odds: Odds
    rules: tuple[Rule, ...]
    records: tuple[CheckRecord, ...]

    @property
    def hole(self) -> Hole:
        return self.ensemble.frame.hole

    @property
    def uncertainty(self) -> Uncertainty:
        return self.ensemble.uncertainty


def ensemble_at(path: Path, seed: int = 1, told: Told = silent) -> Ensemble:
    """Return the ensemble of the hole in a folder or file.

    Raises
    ------
    InputErrors
        The hole or what is uncertain of it cannot be used.
    OrderError
        The plan cannot be walked.
    """
    hole = load_hole(path)
    uncertainty = load_uncertainty(document_file(path).parent, hole)
    return ensemble_of(hole, uncertainty, seed, told)


def ensemble_of(
    hole: Hole, uncertainty: Uncertainty, seed: int = 1, told: Told = silent
) -> Ensemble:
    """Return the ensemble of a loaded hole."""
    frame = frame_of(hole)
    ledger = with_numbers(ledger_depths(frame, told), frame, uncertainty, told)
    return Ensemble(frame, ledger, uncertainty, planned_policy(frame), seed)


def odds(ensemble: Ensemble, order: OddsOrder, told: Told = silent) -> OddsFound:
    """Return the odds of an ensemble.

    Raises
    ------
    InputErrors
        As `ensembles.running.run`.
    """
    ensemble = replace(ensemble, seed=order.seed)
    outcome = run(
        ensemble,
        order.members,
        workers=order.workers,
        scheduler=order.scheduler,
        keep=order.keep,
        told=lambda done: told("members", done, order.members),
    )
    frame = ensemble.frame
    found = odds_of(frame, outcome, marks(frame), ensemble.checks)
    return OddsFound(
        ensemble=ensemble,
        order=order,
        outcome=outcome,
        odds=found,
        rules=rules(frame, ensemble.policy, outcome, leak_offs(ensemble, outcome)),
        records=tuple(_records(frame.hole, found, order)),
    )


def _run_of(order: OddsOrder) -> Callable[[Ensemble, int], Outcome]:
    """Return how members are run where many runs are made; none of them is kept in a folder."""

    def run_of(ensemble: Ensemble, members: int) -> Outcome:
        return run(ensemble, members, workers=order.workers, scheduler=order.scheduler)

    return run_of


def write_one(ensemble: Ensemble, path: Path, member: int, to: Path) -> Path:
    """Write a member out as a hole of its own, as its crew made it, to be walked like any other.

    Raises
    ------
    InputErrors
        There is no such member, its numbers do not fit together, or the folder is not new.
    """
    if not 0 <= member < MOST:
        raise InputErrors.one("--member", str(member), f"0 to {MOST - 1:,}")
    if to.exists():
        raise InputErrors.one(str(to), "a folder or file", "a name that is not taken yet")
    place = document_file(path)
    if place.name != HOLE_FILE:
        raise InputErrors.one(str(path), f"'{place.name}'", f"a folder with {HOLE_FILE}")
    first = member - member % CHUNK
    drawn = ensemble.drawn(first, member - first + 1)
    draft, frame = read_draft(place.parent), ensemble.frame
    files = made_files(draft, frame, ensemble.ledger, ensemble.policy, drawn, member - first)
    to.mkdir(parents=True)
    write_files(to, files, HoleFiles({}))
    return to


def _records(hole: Hole, found: Odds, order: OddsOrder) -> Iterator[CheckRecord]:
    basis = hole.basis

    def counted(name: str, number: int, how: str) -> Value:
        return Value(name, float(number), "-", FromWalk(how))

    of = counted("members", found.reached.of, f"members judged, seed {order.seed}")
    there = counted("members", found.reached.count, "members that came to the target")
    origin = Solved("members at the target over members judged", "definition", (there, of))
    share = Value("chance", found.reached.share, "-", origin)
    note = (
        f"{found.reached.share:.1%} of {found.reached.of}: between {found.reached.low:.1%} and "
        f"{found.reached.high:.1%} with 95 % confidence (Wilson)."
    )
    if found.unjudged:
        note += f" {len(found.unjudged)} members could not be judged and count neither way."
    wanted = basis.value("least_chance", "chance")
    yield judge(ODDS, REACHES, wanted, share, basis.tight_band, note=note)
    late = sum(one.share.count for one in found.causes if one.limit is Limit.DAYS)
    if basis.days_available is not None and found.reached.count + late:
        left = counted("members", found.reached.count + late, "members that only time could end")
        origin = Solved("members at the target in time over those", "definition", (there, left))
        in_time = Value("chance", found.reached.count / float(left), "-", origin)
        nine = Value("chance", 0.9, "-", FromWalk("nine in ten"))
        yield judge(ODDS, IN_TIME, nine, in_time, basis.tight_band)


def usual_odds(hole: Hole, uncertainty: Uncertainty) -> OddsFound:
    """Return the odds as `bathybore odds HOLE` finds them when nothing else is asked for.

    They are worked out once for a hole, however often its programme is written.
    """
    return _usual_odds(hole, pickle.dumps(uncertainty).hex())


@kept(4)
def _usual_odds(hole: Hole, uncertainty: str) -> OddsFound:
    """Return the usual odds; by what is told of the uncertainty, which is read anew each time."""
    told: Uncertainty = pickle.loads(bytes.fromhex(uncertainty))
    return odds(ensemble_of(hole, told), OddsOrder())


# ---- what matters ------------------------------------------------------------------------

ANSWERS: Final = ("reached", "depth", "days", "cost")


@dataclass(frozen=True)
class Swing:
    """What one group alone does to an answer, all else as planned."""

    group: str
    spread: Spread


@dataclass(frozen=True, eq=False)
class Matters:
    """What matters for every answer of ANSWERS that varies.

    Attributes
    ----------
    shares : Sobol indices by answer
    swings : by answer, the widest first
    planned : the answers of the hole as planned
    runs : how many runs of ``members`` it took
    """

    members: int
    runs: int
    shares: dict[str, tuple[Sensitivity, ...]]
    swings: dict[str, tuple[Swing, ...]]
    planned: dict[str, float]


def matters(
    ensemble: Ensemble, order: OddsOrder, members: int = FEW, told: Told = silent
) -> Matters:
    """Return which uncertainty matters, by shares of the variance and one by one.

    Raises
    ------
    InputErrors
        Too few members for an interval, or as `ensembles.running.run`.
    """
    _refuse_few(members)
    names, other = groups(ensemble.uncertainty), ensemble.seed + 2_000_003
    ensembles = [
        ensemble,
        replace(ensemble, seed=other),
        *(replace(ensemble, other=frozenset([name]), other_seed=other) for name in names),
        *(replace(ensemble, uncertainty=alone(ensemble.uncertainty, name)) for name in names),
    ]
    a, b, *answers = _answers_of_all(ensembles, order, members, told)
    swapped = dict(zip(names, answers[: len(names)], strict=True))
    single = dict(zip(names, answers[len(names) :], strict=True))
    shares, swings = {}, {}
    for answer in ANSWERS:
        if _varies(a[answer]) or _varies(b[answer]):
            mixed = {name: one[answer] for name, one in swapped.items()}
            shares[answer] = sensitivities(a[answer], b[answer], mixed)
            spreads = [Swing(name, spread_of(one[answer])) for name, one in single.items()]
            swings[answer] = tuple(sorted(spreads, key=lambda one: one.spread.p10 - one.spread.p90))
    return Matters(members, len(ensembles), shares, swings, answers_as_planned(ensemble))


def _answers_of_all(
    ensembles: Sequence[Ensemble], order: OddsOrder, members: int, told: Told
) -> Iterator[dict[str, Array]]:
    """Yield the ANSWERS of each ensemble of one hole and policy; small ones share their passes."""
    share = max(CHUNK // members, 1)
    parts = [ensembles[at : at + share] for at in range(0, len(ensembles), share)]
    chunks = len(parts) * -(-members // CHUNK)
    outcomes = run_all(
        [Together(tuple(part)) for part in parts],
        members,
        workers=order.workers,
        scheduler=order.scheduler,
        told=lambda done: told("chunks of members", done, chunks),
    )
    for part, outcome in zip(parts, outcomes, strict=True):
        found = {name: np.split(rows, len(part)) for name, rows in _answers(outcome).items()}
        for number in range(len(part)):
            yield {name: rows[number] for name, rows in found.items()}


def _refuse_few(members: int) -> None:
    if members < 2:  # one number has no scatter to tell an interval from
        raise InputErrors.one("members", str(members), "2 or more")


def _varies(numbers: Array) -> bool:
    """Return whether the answers differ; money that is not told does not."""
    return bool(np.isfinite(numbers).all()) and float(np.ptp(numbers)) > 0.0


def answers_as_planned(ensemble: Ensemble) -> dict[str, float]:
    """Return the answers of the one member with which everything is as planned."""
    drawn = central(ensemble.uncertainty, ensemble.frame)
    one = evaluated(ensemble.frame, ensemble.ledger, ensemble.policy, drawn)
    return {answer: float(numbers[0]) for answer, numbers in _answers(one).items()}


def _answers(outcome: Outcome) -> dict[str, Array]:
    """Return what became of members as ANSWERS, (member) each."""
    numbers = (outcome.reached.astype(float), outcome.depth, outcome.days, outcome.cost)
    return dict(zip(ANSWERS, numbers, strict=True))


# ---- what to find out --------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Worth:
    """What a measurement is worth.

    Attributes
    ----------
    odds, days : in chance [-], in time saved [s], a lost hole being made again, less the time
        that the measurement takes
    policies : what the indices of `Knowing.choices` stand for, the plan first
    """

    reading: Reading
    odds: Knowing
    days: Knowing
    policies: tuple[Policy, ...]
    frame: Frame

    def action(self, index: int, units: UnitSystem) -> str:
        """Return in words what a choice does."""
        return in_words(self.frame, self.policies[0], self.policies[index], units)


def worths(
    ensemble: Ensemble, order: OddsOrder, members: int = 2 * FEW, told: Told = silent
) -> tuple[Worth, ...]:
    """Return what measurements are worth before the strings below them are decided on.

    Raises
    ------
    InputErrors
        Too few members to part the readings into classes.
    """
    fewest = FEWEST * CLASSES
    if members < fewest:
        raise InputErrors.one("members", str(members), f"{fewest} or more")
    frame, plan = ensemble.frame, ensemble.policy
    kept_strings = [at for at, one in enumerate(frame.strings) if not one.spare]
    runs: dict[Policy, Outcome] = {}
    run_of = _run_of(order)

    def outcome_of(policy: Policy) -> Outcome:
        if policy not in runs:
            runs[policy] = run_of(replace(ensemble, policy=policy), members)
            told("policies", len(runs), 0)
        return runs[policy]

    planned = outcome_of(plan)
    again = again_of(planned, Goal.days)
    readings = [*before_spud(ensemble, members)]
    tests = leak_offs(ensemble, planned)
    for place, at in enumerate(kept_strings[:-2]):
        values = tests[:, at]
        if np.isfinite(values).sum() >= fewest:
            what = f"a leak-off test below {frame.strings[at].name}"
            test = ensemble.uncertainty.measurements.leak_off_test
            taken = test.time, test.cost
            readings.append(Reading(what, place + 1, values, "kg/m3", None, *taken))
    found = []
    for reading in readings:
        policies = [plan, *_still_open(frame, plan, reading.string)]
        outcomes = [outcome_of(policy) for policy in policies]
        judged = np.logical_and.reduce([one.judged for one in outcomes])
        there = np.isfinite(reading.values) & judged
        if there.sum() < fewest:
            raise InputErrors.one(
                "members", f"{there.sum()} judged whatever is decided", f"{fewest} or more"
            )
        chance = np.array([worth_of(one, Goal.odds, 0.0)[there] for one in outcomes])
        time = np.array([worth_of(one, Goal.days, again)[there] for one in outcomes])
        found.append(
            Worth(
                reading,
                knowing(reading.values[there], chance, between=chance_between),
                knowing(reading.values[there], time).less(reading.takes),
                tuple(policies),
                frame,
            )
        )
    return tuple(sorted(found, key=lambda one: -one.odds.gain))


def _still_open(frame: Frame, plan: Policy, string: int) -> Iterator[Policy]:
    """Yield what can still be decided other than planned when the strings above one are set."""
    above = frame.strings[: frame.strings.index(frame.planned[string - 1])]
    for other in neighbours(frame, plan, (string,)):
        # a spare that stands already stays, whatever a reading below it says
        if other.spares == plan.spares or not any(one.spare for one in above):
            yield other


def in_words(frame: Frame, plan: Policy, other: Policy, units: UnitSystem = "metric") -> str:
    """Return what another policy does other than the plan."""
    parts = []
    for string, before, after in zip(frame.planned, plan.bottoms, other.bottoms, strict=True):
        if abs(after - before) > 1e-6:
            way = "deeper" if after > before else "higher"
            by = show(abs(after - before), "m", units, significant=3)
            parts.append(f"{string.name} {by} {way}")
    if other.spares != plan.spares:
        parts.append("spares may be set" if other.spares else "spares stay on board")
    return ", ".join(parts) or "as planned"


# ---- what to change ----------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Robust:
    """The best policy found and the rules that go with it."""

    chosen: Chosen
    rules: tuple[Rule, ...]


def robust(
    ensemble: Ensemble,
    order: OddsOrder,
    goal: Goal,
    level: float | None = None,
    members: int = FEW,
    told: Told = silent,
) -> Robust:
    """Return where the strings are best set over all that may be, with the rules for the crew.

    Raises
    ------
    InputErrors
        As `matters` and `ensembles.choosing.best_policy`.
    """
    _refuse_few(members)

    def tell(what: str, tried: int) -> None:
        told(f"policies ({what})", tried, 0)

    run_of = _run_of(order)
    chosen = best_policy(ensemble, members, goal, level, run_of=run_of, told=tell)
    best = replace(ensemble, policy=chosen.policy)
    outcome = run_of(best, members)
    return Robust(
        chosen=chosen,
        rules=rules(ensemble.frame, chosen.policy, outcome, leak_offs(best, outcome)),
    )
