"""The hubs of all holes that pages have open, and the threads that work for them."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Final, TypeVar

from bathybore.web.house import House
from bathybore.web.live import Hub

_WORKERS: Final = 16  # a walk holds one a hole; edits and pictures are brief
_log = logging.getLogger(__name__)
_T = TypeVar("_T")


class Hubs:
    """Made and used in the event loop."""

    def __init__(self, house: House) -> None:
        self._house = house
        self._workers = ThreadPoolExecutor(_WORKERS, thread_name_prefix="live")
        self._hubs: dict[str, Hub] = {}

    async def run(self, work: Callable[[], _T]) -> _T:
        return await asyncio.get_running_loop().run_in_executor(self._workers, work)

    def begin(self, work: Callable[[], None]) -> None:
        """Do something in a worker thread that nobody waits for; what goes wrong is logged."""
        self._workers.submit(work).add_done_callback(_log_error)

    async def hub(self, hole: str) -> Hub:
        """Return the hub of a hole; UnknownHole when there is none, InputErrors as its desk."""
        if hole not in self._hubs:
            room = await self.run(lambda: self._house.room(hole))
            self._hubs.setdefault(hole, Hub(room, self._workers))
        return self._hubs[hole]

    def close(self) -> None:
        self._workers.shutdown(cancel_futures=True)


def _log_error(done: Future[None]) -> None:
    if not done.cancelled() and done.exception() is not None:
        _log.error("in the background", exc_info=done.exception())
