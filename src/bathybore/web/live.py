"""The live connection: edits in, the newest state out.

Nothing is worked out in the event loop. Edits of a page are made and acknowledged one after
another, in worker threads. One task a hole walks the newest revision, again and again while
there is a newer one; each page is then sent what changed for it. Once hands are calm the
longer questions are asked, and their answers sent after; a change in between ends that. A page
that reads slowly is sent the newest state when it is ready for one, never those in between.
"""

from __future__ import annotations

import asyncio
import gc
import logging
from collections import deque
from collections.abc import Callable
from concurrent.futures import Executor
from contextlib import suppress
from dataclasses import replace
from functools import partial
from typing import Any, Final, TypeVar

from fastapi import WebSocket
from pydantic import TypeAdapter, ValidationError
from starlette.websockets import WebSocketDisconnect

from bathybore.base.depth import Datum
from bathybore.base.errors import BathyboreError, Fault, InputErrors
from bathybore.storage.records import Conflict
from bathybore.web.answers import encoded, request_faults
from bathybore.web.live_shapes import (
    AcceptedMessage,
    ClientMessage,
    ConflictMessage,
    EditsMessage,
    HandleMessage,
    NoticeMessage,
    PeopleMessage,
    RedoMessage,
    RefusedMessage,
    UndoMessage,
    ViewMessage,
)
from bathybore.web.pictured import Snapshot
from bathybore.web.room import Room
from bathybore.web.sent import Sent
from bathybore.web.view import View
from bathybore.web.visitors import Visitor

LOGIN_AGAIN: Final = 4401  # codes with which the server closes a connection
NOT_ALLOWED: Final = 4403
NO_SUCH_HOLE: Final = 4404
TOO_MANY: Final = 1013
MOST_PAGES: Final = 64  # of one hole
_MOST_UNSENT: Final = 1000  # answers that a page has not read yet; then it is not listened to
_AT_ONCE: Final = 0.001  # [s]
_FAR_BEHIND: Final = 10  # messages
_CALM: Final = 0.7  # [s] without a change before the longer questions are asked
_LOOK_AT_FILES: Final = 2.0  # [s] between looks whether files were changed outside

_log = logging.getLogger(__name__)
_MESSAGE: Final[TypeAdapter[Any]] = TypeAdapter(ClientMessage)
_T = TypeVar("_T")
Change = EditsMessage | HandleMessage | UndoMessage | RedoMessage


class Hub:
    """All pages that have one hole open. Used in the event loop alone."""

    def __init__(self, room: Room, workers: Executor) -> None:
        self.room = room
        self.snapshot: Snapshot | None = None
        self._newest: Snapshot | None = None  # as it was walked
        self._to_study: Snapshot | None = None  # its longer questions are still to be asked
        self._studying: asyncio.Task[None] | None = None
        self._workers = workers
        self._loop = asyncio.get_running_loop()
        self._stirred = asyncio.Event()
        self._pages: set[Page] = set()
        self._task: asyncio.Task[None] | None = None
        self._noticed = len(room.desk.notices)
        room.listen(self._stir)

    def _stir(self) -> None:
        """Have the newest revision walked; called from any thread."""
        self._loop.call_soon_threadsafe(self._stirred.set)

    async def run(self, work: Callable[[], _T]) -> _T:
        """Do something in a worker thread."""
        return await self._loop.run_in_executor(self._workers, work)

    @property
    def full(self) -> bool:
        return len(self._pages) >= MOST_PAGES

    def join(self, page: Page) -> None:
        self._pages.add(page)
        self._tell_people()
        self._stirred.set()
        page.stir()
        if self._task is None:
            self._task = asyncio.create_task(self._walk())

    def leave(self, page: Page) -> None:
        self._pages.discard(page)
        self._tell_people()
        if not self._pages and self._task is not None:
            self._task.cancel()
            self._task = None
            if self._studying is not None:
                self._studying.cancel()

    def _tell_people(self) -> None:
        for page in self._pages:
            others = {other.name for other in self._pages if other is not page}
            page.tell(PeopleMessage("people", tuple(sorted(others))))

    async def _walk(self) -> None:
        """Walk the newest revision whenever there is one; do what can wait in between."""
        while True:
            try:
                async with asyncio.timeout(_CALM if self._to_study else _LOOK_AT_FILES):
                    await self._stirred.wait()
            except TimeoutError:
                await self._when_calm()
                continue
            self._stirred.clear()
            begun = self._loop.time()
            newest = await self._guarded(self.room.newest)
            if newest is not None and newest is not self._newest:
                self._newest = self._to_study = newest
                self._show(newest)
            if any(page.behind >= _FAR_BEHIND for page in self._pages):
                # edits come faster than they are made: they have their turn before the next walk
                await asyncio.sleep(self._loop.time() - begun)

    def _show(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot
        for page in self._pages:
            page.stir()

    async def _when_calm(self) -> None:
        """Ask the longer questions of what is shown; when that is done look after the files."""
        _sweep()
        if self._to_study is None:
            await self._guarded(self.room.notice)
            self._tell_notices()
            return
        # beside the walk: who moves something meanwhile waits for no study
        now, self._to_study = self._to_study, None
        self._studying = asyncio.create_task(self._study(now))

    async def _study(self, now: Snapshot) -> None:
        studied = await self._guarded(partial(self.room.study, now))
        if studied is not None and studied.studied and now is self._newest:
            self._show(studied)

    async def _guarded(self, work: Callable[[], _T]) -> _T | None:
        """Do something; an error is told to every page, and the next thing is still done."""
        try:
            return await self.run(work)
        except Exception as error:
            for fault in _faults(error):
                self._tell_all(str(fault))
            return None

    def _tell_notices(self) -> None:
        notices = self.room.desk.notices
        for notice in notices[self._noticed :]:
            self._tell_all(notice.text)
        self._noticed = len(notices)

    def _tell_all(self, text: str) -> None:
        for page in self._pages:
            page.tell(NoticeMessage("notice", text))


class Page:
    """One connection: what it shows, and what it is still to be sent."""

    def __init__(
        self,
        socket: WebSocket,
        hub: Hub,
        who: Callable[[], Visitor | None],
        client: str,
        view: View,
    ) -> None:
        self._socket = socket
        self._hub = hub
        self._who = who
        self._client = client
        self._view = view
        self._sent = Sent()
        self._last: tuple[Snapshot, View] | None = None
        self._answers: deque[bytes] = deque()
        self._ready = asyncio.Event()
        self.name = ""
        self.behind = 0  # messages in a row that were there already when they were asked for

    def stir(self) -> None:
        self._ready.set()

    def tell(self, message: Any) -> None:
        self._answers.append(encoded(message))
        self._ready.set()

    async def serve(self, visitor: Visitor) -> None:
        """Talk with the page until it or the server ends the connection."""
        self.name = visitor.name
        self._hub.join(self)
        sending = asyncio.create_task(self._send())
        listening = asyncio.create_task(self._listen())
        try:
            done, _ = await asyncio.wait((sending, listening), return_when=asyncio.FIRST_COMPLETED)
            for task in done:
                with suppress(WebSocketDisconnect):
                    task.result()
        finally:
            self._hub.leave(self)
            for task in (sending, listening):
                task.cancel()
            await asyncio.gather(sending, listening, return_exceptions=True)

    # -- sending --------------------------------------------------------------------------

    async def _send(self) -> None:
        while True:
            await self._ready.wait()
            self._ready.clear()
            while self._answers:
                await self._put(self._answers.popleft())
            now, view = self._hub.snapshot, self._view
            if now is None or self._last == (now, view):
                continue
            self._last = (now, view)
            # the picture first: it does not wait for the words of the ledger
            for part in (self._sent.state, self._sent.ledger):
                try:
                    message = await self._hub.run(partial(self._part, part, now, view))
                except Exception as error:
                    # the page keeps what it has, and is told why
                    self._sent.again()
                    for fault in _faults(error):
                        self.tell(NoticeMessage("notice", str(fault)))
                    break
                if message is None:
                    await self._socket.close(LOGIN_AGAIN)
                    return
                await self._put(message)

    def _part(
        self, part: Callable[[Snapshot, View], bytes], now: Snapshot, view: View
    ) -> bytes | None:
        """Return what changed; None when whoever is there may no longer look."""
        visitor = self._who()
        if visitor is None or not visitor.may("read"):
            return None
        return part(now, view)

    async def _put(self, message: bytes) -> None:
        await self._socket.send_text(message.decode())

    # -- listening ------------------------------------------------------------------------

    async def _listen(self) -> None:
        loop = asyncio.get_running_loop()
        while True:
            before = loop.time()
            text = await self._socket.receive_text()
            self.behind = self.behind + 1 if loop.time() - before < _AT_ONCE else 0
            message = self._read(text)
            if isinstance(message, ViewMessage):
                self._look_at(message)
            elif message is not None:
                answer = await self._hub.run(partial(self._done, message))
                if answer is None:
                    await self._socket.close(LOGIN_AGAIN)
                    return
                self.tell(answer)
                self._hub.room.changed()  # after the answer: no state may overtake it
            while len(self._answers) > _MOST_UNSENT:
                await asyncio.sleep(0.05)

    def _read(self, text: str) -> ViewMessage | Change | None:
        try:
            message: ViewMessage | Change = _MESSAGE.validate_json(text)
        except ValidationError as error:
            self.tell(RefusedMessage("refused", _id_in(text), request_faults(error.errors())))
            return None
        return message

    def _look_at(self, asked: ViewMessage) -> None:
        changes: dict[str, Any] = {
            name: value
            for name in ("step", "string", "units")
            if (value := getattr(asked, name)) is not None
        }
        if asked.datum is not None:
            changes["datum"] = Datum(asked.datum)
        self._view = replace(self._view, **changes)
        self._ready.set()

    def _done(self, asked: Change) -> Any:
        """Make a change and return the answer; None when whoever is there must log in again."""
        visitor = self._who()
        if visitor is None:
            return None
        try:
            visitor.check_role("edit")
            return AcceptedMessage("accepted", asked.id, self._make(asked, visitor.name))
        except Conflict as error:
            return ConflictMessage(
                "conflict", asked.id, error.keys, error.theirs.author, error.theirs.number
            )
        except Exception as error:
            return RefusedMessage("refused", asked.id, _faults(error))

    def _make(self, asked: Change, author: str) -> int:
        room = self._hub.room
        if isinstance(asked, EditsMessage):
            return room.edit(asked, author, self._client)
        if isinstance(asked, HandleMessage):
            return room.move(asked, author, self._client)
        if isinstance(asked, UndoMessage):
            return room.undo(asked, author, self._client)
        return room.redo(asked, author, self._client)


def _sweep() -> None:
    """Let Python's collector look now, while nobody waits, at what it would look at in an edit.

    By its own rule: a generation has its turn when the younger one had enough of them.
    """
    counts, most = gc.get_count(), gc.get_threshold()
    gc.collect(2 if counts[2] > most[2] else 1 if counts[1] > most[1] else 0)


def _faults(error: Exception) -> tuple[Fault, ...]:
    """Return what to tell of an error; one that was not raised on purpose is logged as well."""
    if isinstance(error, InputErrors):
        return error.faults
    fault = getattr(error, "fault", None)
    if isinstance(fault, Fault):
        return (fault,)
    if isinstance(error, BathyboreError):
        return (Fault("edit", str(error), "a change that can be made"),)
    _log.exception("the live connection", exc_info=error)
    found = f"a defect in Bathybore ({type(error).__name__}: {error})"
    return (Fault("hole", found, "no defect", "Please report what the server printed."),)


def _id_in(text: str) -> int | None:
    """Return the id of a message that is not fit otherwise, if it has one."""
    try:
        found = TypeAdapter(dict[str, Any]).validate_json(text).get("id")
    except ValidationError:
        return None
    return found if isinstance(found, int) and not isinstance(found, bool) else None
