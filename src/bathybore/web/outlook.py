"""Reach and odds of what is shown: long work, made once for everybody who asks.

Each part is worked out in a process of its own (`long_work`), which is handed what was made before
and hands back what it made.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Any, Final, Literal, TypeAlias, TypeVar, cast

from bathybore.base.units import UnitSystem
from bathybore.ensembles.choosing import Goal
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.telling import Told
from bathybore.model.editing import Draft
from bathybore.model.hole import Hole
from bathybore.model.uncertain import Uncertainty
from bathybore.usecases import odds as asked
from bathybore.usecases.odds_architectures import MOST, ArchitecturesTold, architectures
from bathybore.usecases.odds_relief import ReliefsTold, odds_reliefs
from bathybore.usecases.odds_told import MattersTold, RobustTold, WorthsTold
from bathybore.usecases.odds_walked import WalkedTold, walked
from bathybore.usecases.reach import Reach, reach, with_odds

SlowPart: TypeAlias = Literal["matters", "knowing", "robust", "architectures", "relief", "walked"]
SlowFound: TypeAlias = (
    MattersTold | WorthsTold | RobustTold | ArchitecturesTold | ReliefsTold | WalkedTold
)
MEMBERS: Final = 512  # of the page; more are for the command
_T = TypeVar("_T")


@dataclass(frozen=True)
class Question:
    """What is worked out when somebody asks for it, and of how many members.

    Attributes
    ----------
    goal, level : of the robust plan, and of architectures
    draft : files of the hole, which architectures change and members are written into; else None
    units : that changes of the hole are told in
    """

    part: SlowPart
    members: int
    goal: Goal = Goal.odds
    level: float | None = None
    units: UnitSystem = "metric"
    draft: Draft | None = None


class Outlook:
    """Reach and odds of one hole with what is uncertain of it; for one who asks at a time."""

    def __init__(self, hole: Hole, uncertainty: Uncertainty) -> None:
        self.hole = hole
        self._uncertainty = uncertainty
        self._made: dict[Hashable, Any] = {}

    def known_reach(self, units: UnitSystem) -> Reach | None:
        """Return the reach if it was worked out; with reliefs if they were looked for."""
        return cast("Reach | None", self._made.get(("reliefs", units)) or self._made.get("reach"))

    def known(self, what: str, units: UnitSystem) -> Reach | asked.OddsFound | None:
        key = ("reliefs", units) if what == "reliefs" else what
        return cast("Reach | asked.OddsFound | None", self._made.get(key))

    def take_over(self, made: dict[Hashable, Any]) -> None:
        """Keep what another process made."""
        self._made |= made

    def made_since(self, before: frozenset[Hashable]) -> dict[Hashable, Any]:
        return {key: value for key, value in self._made.items() if key not in before}

    @property
    def keys(self) -> frozenset[Hashable]:
        """What was made so far."""
        return frozenset(self._made)

    def make(self, what: str, units: UnitSystem, say: Told) -> None:
        """Work out reach, reliefs or odds, unless it is known."""
        if what == "reach":
            self._reach(say)
        elif what == "reliefs":
            self._reliefs(units, say)
        else:
            self._odds(say)

    def _reach(self, say: Told) -> Reach:
        """Return where each limit bites first, and its spread; reliefs are not looked for."""

        def look() -> Reach:
            drawn, ledger = self._odds(say), self._ensemble(say).ledger
            found = reach(self.hole, self._uncertainty, reliefs=False, ledger=ledger)
            return with_odds(found, drawn.odds)

        return self._once("reach", look)

    def _reliefs(self, units: UnitSystem, say: Told) -> Reach:
        """Return the same with the cheapest relief of each."""

        def look() -> Reach:
            drawn, ledger = self._odds(say), self._ensemble(say).ledger
            told = _telling(say, "looking for relief of")
            found = reach(self.hole, self._uncertainty, units, told, ledger=ledger)
            return with_odds(found, drawn.odds)

        return self._once(("reliefs", units), look)

    def _odds(self, say: Told) -> asked.OddsFound:
        ensemble, told = self._ensemble(say), _telling(say, "drawing and judging")
        order = asked.OddsOrder(members=MEMBERS)
        return self._once("odds", lambda: asked.odds(ensemble, order, told))

    def slow(self, question: Question, say: Told) -> SlowFound:
        """Return what matters, what is worth knowing, what stands most, or what lifts the chance.

        Raises
        ------
        InputErrors
            As the use case of each.
        """
        ensemble, order, members = self._ensemble(say), asked.OddsOrder(), question.members
        if question.part == "matters":
            told = _telling(say, "drawing and judging")
            return MattersTold(asked.matters(ensemble, order, members, told))
        if question.part == "knowing":
            told = _telling(say, "weighing")
            return WorthsTold(asked.worths(ensemble, order, members, told))
        if question.part == "robust":
            goal, level, told = question.goal, question.level, _telling(say, "trying")
            best = asked.robust(ensemble, order, goal, level, members, told)
            return RobustTold(best, ensemble.frame)
        if question.part == "walked" and question.draft is not None:
            told, draft = _telling(say, "walking members:"), question.draft
            return WalkedTold(walked(ensemble, draft, order, members, told))
        if question.draft is not None:
            goal, level, told = question.goal, question.level, _telling(say, "asking")
            draft, most = question.draft, MOST
            found = architectures(ensemble, draft, order, goal, level, members, most, told)
            return ArchitecturesTold(found, level)
        told = _telling(say, "trying changes")
        return ReliefsTold(odds_reliefs(ensemble, order, members, question.units, told))

    def _ensemble(self, say: Told) -> Ensemble:
        told = _telling(say, "asking every question at every depth of")
        return self._once(
            "ensemble", lambda: asked.ensemble_of(self.hole, self._uncertainty, told=told)
        )

    def _once(self, key: Hashable, make: Callable[[], _T]) -> _T:
        if key not in self._made:
            self._made[key] = make()
        return cast("_T", self._made[key])


def make_part(outlook: Outlook, what: str, units: UnitSystem, say: Told) -> dict[Hashable, Any]:
    """Work out a part of an outlook in this process; return all that was made for it."""
    before = outlook.keys
    outlook.make(what, units, say)
    return outlook.made_since(before)


def make_slow(
    outlook: Outlook, question: Question, say: Told
) -> tuple[dict[Hashable, Any], SlowFound]:
    """Answer a question that takes many runs; return what was made on the way, and the answer."""
    before = outlook.keys
    found = outlook.slow(question, say)
    return outlook.made_since(before), found


def _telling(say: Told, stage: str) -> Told:
    """Return what tells a stage of the work: what, how much is done and of how much."""

    def told(what: str, done: int, of: int) -> None:
        say(f"{stage} {what}".strip(), done, of)

    return told
