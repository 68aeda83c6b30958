"""Slows down whoever guesses passwords."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final

FREE: Final = 5  # attempts before the first wait
LONGEST: Final = 60.0  # [s]; longer would let anybody lock out anybody
FORGOTTEN: Final = 900.0  # [s] after the last attempt
_MOST_KEYS: Final = 10_000


@dataclass
class _Tries:
    count: int = 0
    last: float = 0.0

    def wait(self, now: float) -> float:
        """Return how long this one must still wait [s]."""
        over = self.count - FREE
        if over < 0:
            return 0.0
        return max(0.0, self.last + min(2.0**over, LONGEST) - now)


class Throttle:
    """Counts attempts by key, such as a name or an address.

    An attempt counts before its outcome is known: many at once cannot slip through.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._lock = threading.Lock()
        self._tries: dict[str, _Tries] = {}

    def attempt(self, keys: Iterable[str]) -> float:
        """Count an attempt and return 0; or how long to wait [s], and it is not counted."""
        keys = tuple(keys)
        now = self._clock()
        with self._lock:
            self._forget(now)
            wait = max(self._tries.get(key, _Tries()).wait(now) for key in keys)
            if wait > 0.0:
                return wait
            for key in keys:
                tries = self._tries.setdefault(key, _Tries())
                tries.count += 1
                tries.last = now
        return 0.0

    def clear(self, keys: Iterable[str]) -> None:
        """Forget the attempts of those who knew the password."""
        with self._lock:
            for key in keys:
                self._tries.pop(key, None)

    def _forget(self, now: float) -> None:
        old = [key for key, tries in self._tries.items() if now - tries.last > FORGOTTEN]
        for key in old:
            del self._tries[key]
        while len(self._tries) > _MOST_KEYS:
            del self._tries[min(self._tries, key=lambda key: self._tries[key].last)]
