"""The few values that were used last, for what is dear to work out again."""

from __future__ import annotations

import threading
from collections import OrderedDict
from typing import Generic, TypeVar

_T = TypeVar("_T")


class Kept(Generic[_T]):
    """Up to ``most`` values by number; the one used longest ago gives way."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._values: OrderedDict[int, _T] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: int) -> _T | None:
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
            return self._values.get(key)

    def put(self, key: int, value: _T) -> None:
        with self._lock:
            self._values[key] = value
            self._values.move_to_end(key)
            while len(self._values) > self._most:
                self._values.popitem(last=False)
