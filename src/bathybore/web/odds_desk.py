"""Reach, odds and what follows from them, of one open hole: asked, waited for, paused, ended."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final, Literal

from bathybore.base.errors import BathyboreError, InputErrors
from bathybore.base.units import UnitSystem
from bathybore.checks.record import CheckRecord
from bathybore.drawings.picture import Picture
from bathybore.model.hole import Hole
from bathybore.model.hole_files import UNCERTAINTY_FILE
from bathybore.model.uncertainty import load_uncertainty
from bathybore.storage.desk import Desk
from bathybore.usecases.odds import ODDS, OddsFound
from bathybore.usecases.reach import Reach
from bathybore.web.answers import Refused
from bathybore.web.long_work import CANCELLED, Task, Turn
from bathybore.web.odds_page import (
    Failed,
    FirstBite,
    OddsPart,
    Progress,
    first_bite,
    is_slow,
    odds_answer,
    odds_page_picture,
    progress_of,
    slow_answer,
    slow_picture,
)
from bathybore.web.outlook import Outlook, Question, SlowFound, SlowPart, make_part, make_slow
from bathybore.web.pictured import Pictured, Snapshot
from bathybore.web.topic_page import TopicAnswer, no_topic

_NOT_ASKED: Final = "It was not asked for yet."
_DEFECT: Final = "A defect in Bathybore: please report what the server printed."
_log = logging.getLogger(__name__)


@dataclass(frozen=True, eq=False)
class Finished:
    """The answer to a question that takes many runs, and the revision it is of."""

    question: Question
    found: SlowFound
    hole: Hole
    revision: int


class OddsDesk:
    """Reach and odds of the newest revision, and what was asked of it or of one before.

    Parameters
    ----------
    newest : returns what is shown
    """

    def __init__(self, desk: Desk, newest: Callable[[], Snapshot]) -> None:
        self._desk = desk
        self._newest = newest
        self._turn = Turn()
        self._finished: dict[SlowPart, Finished] = {}
        self._failed: dict[str, str] = {}
        self._beginning = threading.Lock()
        self._left = False

    def leave(self) -> None:
        """Give up all of it, so that the server can end."""
        self._left = True

    # -- answers --------------------------------------------------------------------------

    def answer(self, part: OddsPart, units: UnitSystem) -> TopicAnswer:
        """Return a part: the quicker ones worked out for it, the slow ones as they were asked for.

        Raises
        ------
        Refused
            A newer revision came meanwhile, or somebody cancelled it.
        InputErrors
            The hole, or what is uncertain of it, cannot be used.
        """
        if is_slow(part):
            done = self._finished.get(part)
            if done is None:
                return no_topic(_NOT_ASKED, self._newest().revision.number)
            return slow_answer(done.question, done.found, done.hole, done.revision, units)
        found, revision = self._worked(part, units)
        return odds_answer(part, found, revision, units)

    def picture(self, part: OddsPart, units: UnitSystem) -> Picture:
        """Return the picture of a part; InputErrors where it has none, or was not asked for."""
        if is_slow(part):
            done = self._finished.get(part)
            if done is None:
                raise InputErrors.one(part, "nothing worked out", "one that was asked for")
            return slow_picture(done.found, units)
        if part == "rules":
            raise InputErrors.one(part, "a table", "another part, to draw")
        return odds_page_picture(self._worked(part, units)[0], units)

    def records(self, check: str, units: UnitSystem) -> tuple[CheckRecord, ...]:
        """Return the records among which a check is, worked out unless they are known."""
        return self._worked("odds" if check.startswith(ODDS) else "reach", units)[0].records

    def first_bite(self, units: UnitSystem) -> FirstBite:
        """Return what bites first, if it was worked out; nothing is worked out for it."""
        now = self._newest()
        known = None
        if now.pictured is not None and not now.faults and not now.pictured.walk.stopped:
            known = self._outlook(now.pictured).known_reach(units)
        return first_bite(known, now.revision.number, units)

    # -- work under way -------------------------------------------------------------------

    def progress(self) -> Progress:
        failed = tuple(Failed(part, why) for part, why in sorted(self._failed.items()))
        return progress_of(self._turn.line, failed)

    def tell(self, part: str, word: Literal["pause", "resume", "cancel"]) -> Progress:
        self._turn.tell(part, word)
        return self.progress()

    def begin(self, question: Question) -> Progress:
        """Begin to answer a question of what is shown now, in the background.

        Later edits do not end it: the answer says of which revision it is. A part that is being
        worked out already is not begun again.

        Raises
        ------
        InputErrors
            The hole, or what is uncertain of it, cannot be used.
        """
        part, pictured = question.part, self._pictured()
        if part in ("architectures", "walked"):  # both change the files of what is shown
            question = replace(question, draft=self._desk.draft_at(pictured.revision))
        outlook = self._outlook(pictured)
        with self._beginning:
            if all(job.part != part for job in self._turn.line):
                self._failed.pop(part, None)
                begun = threading.Event()
                threading.Thread(
                    target=self._answer,
                    args=(question, outlook, pictured, begun.set),
                    name=f"{part} of {self._desk.hole}",
                    daemon=True,
                ).start()
                begun.wait()
        return self.progress()

    def _answer(
        self, question: Question, outlook: Outlook, pictured: Pictured, begun: Callable[[], None]
    ) -> None:
        """Answer a question in this thread; what goes wrong is told with the progress."""

        def make(do: Callable[[Task], Any]) -> SlowFound:
            made, found = do(partial(make_slow, outlook, question))
            outlook.take_over(made)
            answer: SlowFound = found
            return answer

        part = question.part
        try:
            found = self._turn.take(part, lambda: not self._left, make, begun)
            self._finished[part] = Finished(question, found, pictured.walk.hole, pictured.revision)
        except Refused as error:
            cancelled = error.status == CANCELLED
            self._failed[part] = "Cancelled." if cancelled else str(error.fault)
        except BathyboreError as error:
            self._failed[part] = str(error)
        except Exception:
            _log.exception("%s of %s", part, self._desk.hole)
            self._failed[part] = _DEFECT

    def _worked(self, part: OddsPart, units: UnitSystem) -> tuple[Reach | OddsFound, int]:
        """Return a part with the revision that it is of, worked out unless it is known."""
        now, pictured = self._newest(), self._pictured()
        outlook, what = self._outlook(pictured), ODDS if part == "rules" else part

        def make(do: Callable[[Task], Any]) -> None:
            if outlook.known(what, units) is None:  # who had the turn before may have made it
                outlook.take_over(do(partial(make_part, outlook, what, units)))

        if outlook.known(what, units) is None:
            self._turn.take(what, lambda: not self._left and self._is_head(now), make)
        found = outlook.known(what, units)
        assert found is not None  # or it was refused
        return found, pictured.revision

    # -- what it is asked of --------------------------------------------------------------

    def _is_head(self, now: Snapshot) -> bool:
        return self._desk.head.number == now.revision.number

    def _pictured(self) -> Pictured:
        now = self._newest()
        if now.pictured is None:
            raise InputErrors(now.faults)
        return now.pictured

    def _outlook(self, pictured: Pictured) -> Outlook:
        """Return reach and odds by what uncertainty.yaml and the tables that it names say now."""
        if not self._desk.write():  # it reads the folder: the newest revision first
            told = self._desk.notices
            found = told[-1].text if told else "files that could not be written"
            raise InputErrors.one(str(self._desk.folder), found, "the newest revision")
        own, hole = self._desk.draft.files.texts, pictured.walk.hole
        beside = sorted(path for path in self._desk.folder.glob("*.csv") if path.name not in own)
        tables = tuple((path.name, path.stat().st_mtime_ns) for path in beside)
        return pictured.outlook(
            (own.get(UNCERTAINTY_FILE, ""), tables),
            lambda: Outlook(hole, load_uncertainty(self._desk.folder, hole)),
        )
