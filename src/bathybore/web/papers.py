"""Programme and exports of a revision, written once for everybody who asks for the same."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Final, Literal

from bathybore.base.units import UnitSystem
from bathybore.drawings.picture import Picture
from bathybore.reports.blocks import Document
from bathybore.reports.exports import Exported, ShownTable, export, export_shown, named
from bathybore.reports.page import page
from bathybore.reports.programme import Source, programme
from bathybore.reports.typeset import pdf
from bathybore.storage.desk import Desk
from bathybore.usecases.signing import Signature

_KEPT: Final = 4
# One paper at a time in the whole process: it takes seconds and every core, and the settings
# that pictures are drawn with belong to all threads.
_ONE_AT_A_TIME: Final = threading.Lock()

Medium = Literal["pdf", "html"]


class Papers:
    """The papers of one hole; the last few are kept."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._kept: OrderedDict[Hashable, Exported] = OrderedDict()
        self._last: tuple[Hashable, Document] | None = None

    def programme(self, medium: Medium, units: UnitSystem, number: int | None) -> Exported:
        """Return the programme of a revision, the newest if None, with its signatures."""
        found = self._number(number)
        signatures = tuple(one for one in self._desk.signatures() if one.revision == found)

        def write() -> Exported:
            document = self._document(units, found, signatures)
            name = f"programme-{self._desk.hole}.{medium}"
            if medium == "pdf":
                return Exported(name, "application/pdf", pdf(document))
            return Exported(name, "text/html; charset=utf-8", page(document).encode())

        return self._once((medium, units, found, signatures), write)

    def _document(
        self, units: UnitSystem, number: int, signatures: tuple[Signature, ...]
    ) -> Document:
        """Return what both media show; whoever asks for the one often asks for the other."""
        key = (units, number, signatures)
        if self._last is None or self._last[0] != key:
            source = Source(self._desk.draft_at(number), self._desk.folder)
            walk = self._desk.walk_at(number)
            self._last = (key, programme(walk, units, signatures, number, source))
        return self._last[1]

    def export(self, file: str, units: UnitSystem, number: int | None) -> Exported:
        """Return a file of a revision, the newest if None; see ``reports.exports``."""
        found = self._number(number)
        return self._once(
            (file, units, found), lambda: export(self._desk.walk_at(found), file, units)
        )

    def table(self, shown: ShownTable, kind: Literal["csv", "xlsx"]) -> Exported:
        """Return a table as a page shows it as a file, which says of which hole it is."""
        head, draft = self._desk.now
        name = self._desk.hole if draft.hole is None else named(draft.hole)
        return export_shown(shown, kind, self._desk.hole, f"{name}, revision {head.number}")

    def drawn(self, draw: Callable[[], Picture]) -> Picture:
        """Return a picture, drawn while nothing else is."""
        with _ONE_AT_A_TIME:
            return draw()

    def _number(self, number: int | None) -> int:
        return self._desk.head.number if number is None else number

    def _once(self, key: Hashable, write: Callable[[], Exported]) -> Exported:
        with _ONE_AT_A_TIME:
            if key not in self._kept:
                self._kept[key] = write()
            self._kept.move_to_end(key)
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
            return self._kept[key]
