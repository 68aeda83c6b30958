"""Reach and odds of what is shown: long work, made once for everybody who asks.

It is done in the threads that answer requests, one thing of a hole at a time, and given up as
soon as there is a newer revision.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from typing import Any, Final, TypeVar, cast

from bathybore.base.errors import Fault
from bathybore.base.units import UnitSystem
from bathybore.ensembles.evaluating import Ensemble
from bathybore.ensembles.telling import Told
from bathybore.model.hole import Hole
from bathybore.model.uncertain import Uncertainty
from bathybore.usecases.odds import OddsFound, OddsOrder, ensemble_of, odds
from bathybore.usecases.reach import Reach, reach, with_odds
from bathybore.web.answers import Refused

MEMBERS: Final = 512  # of the page; more are for the command
_T = TypeVar("_T")


class Turn:
    """Long work of one hole: who comes second waits, and what is not wanted any more ends.

    Attributes
    ----------
    text : what is being worked out, in words; empty when nothing is
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self.text = ""

    def take(self, wanted: Callable[[], bool], work: Callable[[Callable[[str], None]], _T]) -> _T:
        """Do something that says how far it is, and asks on that occasion whether to go on.

        Raises
        ------
        Refused
            It is not wanted any more.
        """

        def say(text: str) -> None:
            if not wanted():
                found = "a newer one than that it was asked of"
                raise Refused(409, Fault("revision", found, "the newest", "Ask again."))
            self.text = text

        with self._lock:
            say("")
            try:
                return work(say)
            finally:
                self.text = ""


class Outlook:
    """Reach and odds of one hole with what is uncertain of it; for one who asks at a time."""

    def __init__(self, hole: Hole, uncertainty: Uncertainty) -> None:
        self.hole = hole
        self._uncertainty = uncertainty
        self._made: dict[Hashable, Any] = {}

    def known_reach(self, units: UnitSystem) -> Reach | None:
        """Return the reach if it was worked out; with reliefs if they were looked for."""
        return cast("Reach | None", self._made.get(("reliefs", units)) or self._made.get("reach"))

    def known(self, what: str, units: UnitSystem) -> Reach | OddsFound | None:
        key = ("reliefs", units) if what == "reliefs" else what
        return cast("Reach | OddsFound | None", self._made.get(key))

    def reach(self, say: Callable[[str], None]) -> Reach:
        """Return where each limit bites first, and its spread; reliefs are not looked for."""

        def look() -> Reach:
            drawn, ledger = self.odds(say), self._ensemble(say).ledger
            found = reach(self.hole, self._uncertainty, reliefs=False, ledger=ledger)
            return with_odds(found, drawn.odds)

        return self._once("reach", look)

    def reliefs(self, units: UnitSystem, say: Callable[[str], None]) -> Reach:
        """Return the same with the cheapest relief of each."""

        def look() -> Reach:
            drawn, ledger = self.odds(say), self._ensemble(say).ledger
            told = _telling(say, "looking for relief of")
            found = reach(self.hole, self._uncertainty, units, told, ledger=ledger)
            return with_odds(found, drawn.odds)

        return self._once(("reliefs", units), look)

    def odds(self, say: Callable[[str], None]) -> OddsFound:
        ensemble, told = self._ensemble(say), _telling(say, "drawing and judging")
        return self._once("odds", lambda: odds(ensemble, OddsOrder(members=MEMBERS), told))

    def _ensemble(self, say: Callable[[str], None]) -> Ensemble:
        told = _telling(say, "asking every question at every depth of")
        return self._once("ensemble", lambda: ensemble_of(self.hole, self._uncertainty, told=told))

    def _once(self, key: Hashable, make: Callable[[], _T]) -> _T:
        if key not in self._made:
            self._made[key] = make()
        return cast("_T", self._made[key])


def _telling(say: Callable[[str], None], stage: str) -> Told:
    """Return what tells a stage of the work in words: what, how much is done and of how much."""

    def told(what: str, done: int, of: int) -> None:
        say(f"{stage} {what}: {done} of {of} done" if what else "")

    return told
