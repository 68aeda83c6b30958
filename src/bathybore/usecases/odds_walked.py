"""Members walked in full: do those that come to the target stand the longer questions too?

The tables hold the quick questions of the ledger. The longer ones (a kick followed in time, cement
minute by minute, the riser in waves) are asked here of some members at the target, each written
as a hole of its own and walked like any other. Few are walked: how well so few tell it is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from bathybore.base.errors import InputErrors, NotConverged, OrderError
from bathybore.base.units import UnitSystem
from bathybore.checks.ledger import records_of
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.studies import studies_of
from bathybore.ensembles.drawing import CHUNK
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.limits_of_checks import ANSWERED, ANSWERED_LONGER, is_known
from bathybore.ensembles.made_members import made_files
from bathybore.ensembles.odds import Share, share_of
from bathybore.ensembles.running import run
from bathybore.ensembles.shapes import Drawn
from bathybore.ensembles.telling import Told, silent
from bathybore.model.editing import Draft
from bathybore.operations.state import HoleState
from bathybore.operations.walk import walk_hole
from bathybore.usecases.odds import CAUTION, OddsOrder
from bathybore.usecases.odds_told import chance
from bathybore.usecases.placing_told import ToldTable, Topic

WALKED: Final = 16
MOST: Final = 512
# Questions of the window and, of the longer ones, those that ask it again with pumps, heat or kicks
_WINDOW: Final = ("window-low", "window-high", "window-collapse")
_UNJUDGED: Final = (Status.NOT_JUDGED, Status.OUTSIDE_VALIDITY)
_OF_WINDOW: Final = (
    "circulating-window",
    "flow-window-low",
    "flow-window-high",
    "warm-window-low",
    "warm-window-collapse",
)


@dataclass(frozen=True)
class Failing:
    """A question that fails in some of the members walked.

    Attributes
    ----------
    share : of all that were walked
    members : numbers of the first few
    about : what the crew or the plan has for it, where it ends no hole
    """

    id: str
    share: Share
    members: tuple[int, ...]
    about: str = ""


@dataclass(frozen=True)
class Walked:
    """Members at the target, walked in full.

    Attributes
    ----------
    reached : of the members drawn
    with_spares : of those, left out because the plan as written has no place for a spare string
    stand : of the members walked, those in which no longer question fails or stays open
    open : of those that do not stand, those in which none fails; see `_stays_open`
    longer : questions that end holes, and were not asked of members before
    quick : questions that fail in the walk, though the tables or the crew had an answer
    not_walked : members that could not be walked, and why
    """

    reached: Share
    with_spares: int
    walked: tuple[int, ...]
    stand: Share
    open: int
    longer: tuple[Failing, ...]
    quick: tuple[Failing, ...]
    not_walked: tuple[tuple[int, str], ...]


@dataclass(eq=False)
class _Counted:
    """What failed so far, by question the members in which it did."""

    not_judged: frozenset[str]  # longer questions that are not judged in the plan either
    longer: dict[str, list[int]] = field(default_factory=dict)
    quick: dict[str, list[int]] = field(default_factory=dict)
    stand: list[bool] = field(default_factory=list)
    open: int = 0
    walked: list[int] = field(default_factory=list)

    def add(self, member: int, states: tuple[HoleState, ...]) -> None:
        """Ask every question of one member; nothing is counted of one that cannot be walked."""
        longer, quick, stays_open = list[str](), list[str](), False
        for state in states:
            fails = [one for one in records_of(state) if one.status is Status.FAILS]
            quick += [one.id for one in fails]
            closed = any(one.name in _WINDOW for one in fails)
            for one in studies_of(state):
                if one.status in _UNJUDGED and one.id in self.not_judged:
                    continue  # as in the plan, where it is told
                if _stays_open(one, closed):
                    stays_open = True
                elif one.status is Status.FAILS:  # of a longer one the tables may know, too
                    (quick if is_known(one.name) else longer).append(one.id)
        self.walked.append(member)
        ended = any(_name(id) not in ANSWERED_LONGER for id in longer)
        self.stand.append(not ended and not stays_open)
        self.open += stays_open and not ended
        for ids, found in ((longer, self.longer), (quick, self.quick)):
            for id in dict.fromkeys(ids):
                found.setdefault(id, []).append(member)

    def failing(self, found: dict[str, list[int]], quick: bool) -> tuple[Failing, ...]:
        count = len(self.walked)
        each = [
            Failing(
                one,
                share_of(np.arange(count) < len(members)),
                tuple(members[:3]),
                _about(_name(one), quick),
            )
            for one, members in found.items()
        ]
        return tuple(sorted(each, key=lambda one: -one.share.count))


def _stays_open(record: CheckRecord, closed: bool) -> bool:
    """Return whether a longer question says nothing of the member.

    It is not judged; or the walk's one mud of the section lies outside the window, which the
    member's own, weighed anew as the bit goes down, does not.
    """
    fails = record.status is Status.FAILS
    return record.status in _UNJUDGED or (closed and fails and record.name in _OF_WINDOW)


def _name(id: str) -> str:
    return id.partition("/")[2]


def _about(check: str, quick: bool) -> str:
    if not quick:
        return ANSWERED_LONGER.get(check, "")
    if check in ANSWERED:
        return ANSWERED[check]
    if check in _WINDOW:
        return "the member weighs its mud as the bit goes down; the walk has one mud a section"
    return "the members' own account says otherwise: tables are read between depths and muds"


def walked(
    ensemble: Ensemble,
    draft: Draft,
    order: OddsOrder,
    count: int = WALKED,
    told: Told = silent,
) -> Walked:
    """Walk members that come to the target, the first of those drawn.

    Parameters
    ----------
    draft : of the very files that the ensemble's hole was read from
    count : members walked at most

    Raises
    ------
    InputErrors
        No member comes to the target, or as `ensembles.running.run`.
    """
    if not 2 <= count <= MOST:
        raise InputErrors.one("members", str(count), f"2 to {MOST}, each a walk of its own")
    outcome = run(ensemble, CHUNK, workers=order.workers, scheduler=order.scheduler)
    spares = [at for at, one in enumerate(ensemble.frame.strings) if one.spare]
    spared = outcome.reached & np.isfinite(outcome.shoes[:, spares]).any(axis=1)
    those = np.flatnonzero(outcome.reached & ~spared)[:count].tolist()
    if not those:
        raise InputErrors.one(
            "members", f"none of {CHUNK} at the target without a spare string", "some to be walked"
        )
    drawn, not_walked = ensemble.drawn(0, CHUNK), list[tuple[int, str]]()
    planned = (one for state in ensemble.frame.states for one in studies_of(state))
    counted = _Counted(frozenset(one.id for one in planned if one.status in _UNJUDGED))
    for done, member in enumerate(those):
        told("walked", done, len(those))
        try:
            counted.add(member, _states(ensemble, draft, drawn, member))
        except (InputErrors, OrderError, NotConverged) as error:
            not_walked.append((member, str(error)))
    told("walked", len(those), len(those))
    return Walked(
        reached=share_of(outcome.reached[outcome.judged]),
        with_spares=int(spared.sum()),
        walked=tuple(counted.walked),
        stand=share_of(np.array(counted.stand, dtype=bool)),
        open=counted.open,
        longer=counted.failing(counted.longer, False),
        quick=counted.failing(counted.quick, True),
        not_walked=tuple(not_walked),
    )


def _states(ensemble: Ensemble, draft: Draft, drawn: Drawn, member: int) -> tuple[HoleState, ...]:
    """Return the walk of a member as its crew made it."""
    one = ensemble
    after = Draft.of(made_files(draft, one.frame, one.ledger, one.policy, drawn, member))
    if after.hole is None:
        raise InputErrors(after.faults)
    return walk_hole(after.hole)


# ---- in words ------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class WalkedTold:
    """The members walked, as a topic."""

    found: Walked
    name = "walked"

    def topic(self, units: UnitSystem) -> Topic:
        found = self.found
        tables = [
            ToldTable(
                title,
                ("question", "fails in (95 %)", "such", "about it"),
                tuple(_row(one) for one in failing),
            )
            for title, failing in (
                ("Longer questions that fail", found.longer),
                ("Other questions that fail in the walk", found.quick),
            )
            if failing
        ]
        return Topic(
            name=self.name,
            title="Members walked in full",
            facts=tuple(self._facts()),
            tables=tuple(tables),
            records=(),
            caution="A member is written as a plan: factors on loads and strengths, trouble and "
            "the day of arrival have no number there, and each section has one mud. " + CAUTION,
            numbers={
                "reached": found.reached.share,
                "walked": list(found.walked),
                "stand": {"count": found.stand.count, "of": found.stand.of,
                          "low": found.stand.low, "high": found.stand.high},
                "longer": {one.id: one.share.count for one in found.longer},
                "quick": {one.id: one.share.count for one in found.quick},
                "not_walked": {str(member): why for member, why in found.not_walked},
            },
        )  # fmt: skip

    def _facts(self) -> Iterator[tuple[str, str]]:
        found = self.found
        yield "Target reached", f"{chance(found.reached)} of {found.reached.of} members"
        yield "Walked", f"{found.stand.of} of them, the first that set no spare string"
        yield "Longer ones stood", f"all, in {chance(found.stand)}, what the crew answers aside"
        if found.stand.of:
            both = found.reached.share * found.stand.share
            ends = (
                found.reached.low * found.stand.low,
                found.reached.high * found.stand.high,
            )
            yield "Chance with them", f"about {both:.0%} ({ends[0]:.0%} to {ends[1]:.0%})"
        if found.open:
            why = "their longer questions are not judged, or ask the one mud that a walk has"
            yield "Left open", f"{found.open} of those that do not stand: {why}"
        if found.with_spares:
            yield "Left out", f"{found.with_spares} members at the target that set a spare string"
        if found.not_walked:
            first, why = found.not_walked[0]
            yield "Not walked", f"{len(found.not_walked)} members, the first {first}: {why}"


def _row(one: Failing) -> tuple[str, ...]:
    return one.id, chance(one.share), ", ".join(map(str, one.members)), one.about
