"""Long work of one hole: in a process of its own, at low priority, one thing at a time.

Whoever moves something meanwhile waits for none of it: the system gives such a process only what
nobody else wants. At every word it says it can be paused; it can be ended at any time.
"""

from __future__ import annotations

import os
import signal
import threading
import traceback
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from multiprocessing import get_all_start_methods, get_context
from multiprocessing.connection import Connection
from typing import Any, Final, Literal, TypeAlias, TypeVar, cast

from bathybore.base.errors import BathyboreError, Fault
from bathybore.ensembles.telling import Told
from bathybore.web.answers import Refused

State: TypeAlias = Literal["waiting", "working", "pausing", "paused"]
Task: TypeAlias = Callable[[Told], Any]  # sent to the process: a function of a module, or a partial
CANCELLED: Final = 410  # answered to whoever waited for it
_LESS_URGENT: Final = 5  # added to the niceness of the server, where there is such a thing
_LOOK: Final = 0.1  # [s] between looks whether it is wanted still
_T = TypeVar("_T")


@cache
def _ways() -> Any:
    """Return how processes are begun: from one that has all modules read, where that can be."""
    if "forkserver" not in get_all_start_methods():
        return get_context("spawn")
    context = get_context("forkserver")
    context.set_forkserver_preload(["__main__", "bathybore.web.outlook"])
    return context


class Work:
    """One task under way in a process of its own."""

    def __init__(self, task: Task) -> None:
        self._sending = threading.Lock()
        self._pipe, there = _ways().Pipe()
        self._process = _ways().Process(target=_do, args=(task, there), daemon=True)
        self._process.start()
        there.close()

    def tell(self, word: Literal["pause", "resume"]) -> None:
        """Have it pause at the next thing it says, or go on."""
        with self._sending, suppress(OSError):  # it may have ended meanwhile
            self._pipe.send(word)

    def hear(self) -> tuple[str, Any] | None:
        """Return what it said or made; None where it said nothing for a moment."""
        try:
            told: tuple[str, Any] | None = self._pipe.recv() if self._pipe.poll(_LOOK) else None
        except (EOFError, OSError):
            self._process.join(_LOOK)
            found = f"a process that ended without an answer (code {self._process.exitcode})"
            fix = "Ask again; if there is too little memory, with fewer members."
            raise Refused(503, Fault("work", found, "its answer", fix)) from None
        return told

    def end(self) -> None:
        """End the process, whatever it does."""
        self._process.kill()
        self._process.join()
        with self._sending:
            self._pipe.close()


def _do(task: Task, pipe: Connection) -> None:
    """Do a task in this process and send what comes out."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server ends it, when it is ended itself
    if hasattr(os, "nice"):
        os.nice(_LESS_URGENT)

    def say(what: str, done: int, of: int) -> None:
        pipe.send(("said", (what, done, of)))
        while pipe.poll():
            if pipe.recv() == "pause":
                pipe.send(("paused", None))
                while pipe.recv() != "resume":
                    pass
                pipe.send(("resumed", None))

    with suppress(EOFError, OSError):  # nobody is there any more to hear of it
        try:
            answer: tuple[str, Any] = ("made", task(say))
        except BathyboreError as error:
            answer = ("refused", error)
        except (EOFError, OSError):
            raise
        except Exception:
            answer = ("defect", traceback.format_exc())
        pipe.send(answer)


class Defect(Exception):
    """What a process met that nobody foresaw, with its trace."""


@dataclass(eq=False)
class Job:
    """Something of a hole that is being worked out, or waits for its turn.

    Attributes
    ----------
    said : what is done now, how much of it is done, of how much
    """

    part: str
    state: State = "waiting"
    said: tuple[str, int, int] = ("", 0, 0)
    cancelled: bool = False
    work: Work | None = None

    def tell(self, word: Literal["pause", "resume"]) -> None:
        if self.work is not None:
            if word == "pause" and self.state == "working":
                self.state = "pausing"
            self.work.tell(word)

    def done(self, task: Task, ask: Callable[[], None]) -> Any:
        """Return what a task makes; ``ask`` raises what ends it before that."""
        self.state, self.work = "working", Work(task)
        try:
            while True:
                ask()
                kind, what = self.work.hear() or ("", None)
                if kind == "made":
                    return what
                if kind == "refused":
                    raise cast("BathyboreError", what)
                if kind == "defect":
                    raise Defect(what)
                if kind:
                    self._hear(kind, what)
        finally:
            self.work.end()

    def _hear(self, kind: str, what: Any) -> None:
        if kind == "said":
            self.said = what
        else:
            self.state = "paused" if kind == "paused" else "working"


class Turn:
    """Long work of one hole: who comes second waits, and what is not wanted any more ends."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._line: list[Job] = []

    @property
    def line(self) -> tuple[Job, ...]:
        """What is being worked out, and what waits for its turn, in the order of asking."""
        return tuple(sorted(self._line, key=lambda one: one.state == "waiting"))

    def tell(self, part: str, word: Literal["pause", "resume", "cancel"]) -> None:
        """Pause a part, let it go on, or end it; nothing where it is not being worked out."""
        for job in tuple(self._line):
            if job.part == part:
                if word == "cancel":
                    job.cancelled = True
                else:
                    job.tell(word)

    def take(
        self,
        part: str,
        wanted: Callable[[], bool],
        make: Callable[[Callable[[Task], Any]], _T],
        in_line: Callable[[], None] = lambda: None,
    ) -> _T:
        """Make something when its turn has come.

        Parameters
        ----------
        make : is handed what does a task in a process of its own
        in_line : called once it waits for its turn, and is told as such

        Raises
        ------
        Refused
            It is not wanted any more, was cancelled, or its process was lost.
        Defect
            The task met what nobody foresaw.
        """
        job = Job(part)

        def ask() -> None:
            if job.cancelled:
                raise Refused(
                    CANCELLED, Fault(part, "work that was cancelled", "its answer", "Ask again.")
                )
            if not wanted():
                found = "a newer one than that it was asked of"
                raise Refused(409, Fault("revision", found, "the newest", "Ask again."))

        self._line.append(job)
        in_line()
        try:
            ask()
            while not self._lock.acquire(timeout=_LOOK):
                ask()
            try:
                return make(lambda task: job.done(task, ask))
            finally:
                self._lock.release()
        finally:
            self._line.remove(job)
