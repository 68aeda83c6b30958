"""The programme of a revision, written once for everybody who asks for the same."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Hashable
from typing import Final, Literal

from bathybore.base.units import UnitSystem
from bathybore.reports.page import page
from bathybore.reports.programme import programme
from bathybore.reports.typeset import pdf
from bathybore.storage.desk import Desk

_KEPT: Final = 4

Medium = Literal["pdf", "html"]


class Papers:
    """Writes one paper at a time: it takes seconds, and every core."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._lock = threading.Lock()
        self._kept: OrderedDict[Hashable, bytes] = OrderedDict()

    def written(self, medium: Medium, units: UnitSystem, number: int | None) -> bytes:
        """Return the programme of a revision, the newest if None, with its signatures."""
        if number is None:
            number = self._desk.head.number
        signatures = tuple(one for one in self._desk.signatures() if one.revision == number)
        key = (medium, units, number, signatures)
        with self._lock:
            if key not in self._kept:
                document = programme(self._desk.walk_at(number), units, signatures, number)
                self._kept[key] = pdf(document) if medium == "pdf" else page(document).encode()
            self._kept.move_to_end(key)
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
            return self._kept[key]
