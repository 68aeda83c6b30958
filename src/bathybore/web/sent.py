"""What one page was sent, and the messages that bring it up to date: picture, then verdicts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from bathybore.web.answers import encoded
from bathybore.web.pictured import Pictured, Snapshot
from bathybore.web.shapes import LedgerRow
from bathybore.web.view import View

_MOST_TOLD: Final = 4000  # rows remembered of a page; it remembers them all


class Sent:
    """Remembers what a connection has been sent, so that only what changed is sent again.

    Parts of the picture are compared as JSON: what reads the same is the same. Of a row only
    those fields are sent that differ: its words stay when its numbers move. Page and server
    remember a row that is gone: those of the longer questions go and come with every edit.
    """

    def __init__(self) -> None:
        self._picture: Mapping[str, bytes] = {}
        self._verdicts: Mapping[str, bytes] = {}
        self._rows: Mapping[str, LedgerRow] = {}  # that the page shows, by id
        self._told: Mapping[str, LedgerRow] = {}  # as it was last told of them, those gone too
        self._head = b""

    def again(self) -> None:
        """Send all anew: what was made last may not have come.

        Which rows the page shows stays known, so that it is told when they are gone.
        """
        self._picture, self._verdicts, self._told, self._head = {}, {}, {}, b""

    def state(self, now: Snapshot, view: View) -> bytes:
        """Return the message that brings the picture from what the page has to ``now``."""
        scene = b"null"
        if now.pictured is not None:
            scene = _object(self._picture_changes(now.pictured, view))
        return _object(
            {
                "type": b'"state"',
                "revision": encoded(now.revision.number),
                "author": encoded(now.revision.author),
                "scene": scene,
                "faults": encoded(now.faults),
                "can_undo": encoded(now.can_undo),
                "can_redo": encoded(now.can_redo),
            }
        )

    def ledger(self, now: Snapshot, view: View) -> bytes:
        """Return the message that brings all verdicts from what the page has to ``now``."""
        ledger, scene = b"{}", b"{}"
        if now.pictured is not None:
            scene = _object(self._verdict_changes(now.pictured, view))
            ledger = self._ledger_changes(now.pictured, view)  # last: nothing fails behind it
        return _object(
            {
                "type": b'"ledger"',
                "revision": encoded(now.revision.number),
                "ledger": ledger,
                "scene": scene,
            }
        )

    def _picture_changes(self, pictured: Pictured, view: View) -> dict[str, bytes]:
        parts = pictured.picture_parts(view)
        changed = _changed(parts, self._picture)
        self._picture = parts
        if not self._verdicts or pictured.walk.judged:
            # a page that has nothing is sent a whole scene; and what is there need not wait
            changed |= self._verdict_changes(pictured, view)
        return changed

    def _verdict_changes(self, pictured: Pictured, view: View) -> dict[str, bytes]:
        parts = pictured.verdict_parts(view)
        changed = _changed(parts, self._verdicts)
        self._verdicts = parts
        return changed

    def _ledger_changes(self, pictured: Pictured, view: View) -> bytes:
        page = pictured.judged(view.units)
        head, rows = encoded(page.head), page.by_id
        changes: dict[str, bytes] = {}
        if head != self._head:
            changes["head"] = head
        parts = (_parts(row, self._told.get(row.id), row.id in self._rows) for row in page.rows)
        if told := [one for one in parts if one]:
            changes["rows"] = encoded(told)
        if gone := [name for name in self._rows if name not in rows]:
            changes["gone"] = encoded(gone)
        self._head, self._rows = head, rows
        self._told = {**self._told, **rows} if len(self._told) < _MOST_TOLD else rows
        return _object(changes)


def _parts(now: LedgerRow, before: LedgerRow | None, shown: bool) -> dict[str, Any]:
    """Return the fields of a row that differ, with its id; nothing when all are there as before."""
    if before is None:
        return vars(now)
    if now is before and shown:  # the quick way: nearly all are such
        return {}
    had = vars(before)
    changed = {name: value for name, value in vars(now).items() if value != had[name]}
    return {"id": now.id, **changed} if changed or not shown else {}


def _changed(now: Mapping[str, bytes], before: Mapping[str, bytes]) -> dict[str, bytes]:
    return {name: part for name, part in now.items() if before.get(name) != part}


def _object(parts: Mapping[str, bytes]) -> bytes:
    return b"{" + b",".join(b'"%b":%b' % (k.encode(), part) for k, part in parts.items()) + b"}"
