"""The revisions of one hole: edits on top, taken back and brought again, never overwritten."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, fields, replace
from datetime import UTC, datetime
from typing import Any, Final

from bathybore.base.errors import InputErrors
from bathybore.model.editing import Draft, Edit, HoleFiles
from bathybore.model.files import shown
from bathybore.storage.history import digest_of, files_at, made_by
from bathybore.storage.kept import Kept
from bathybore.storage.places import clashing, place_of, told
from bathybore.storage.records import Conflict, Kind, Made, Place, Revision
from bathybore.storage.store import Store
from bathybore.usecases.signing import Signature

OUTSIDE: Final = "somebody outside the workspace"
CHANGED_OUTSIDE: Final = "changed outside the workspace"
_OPENED: Final = "as it was found"
_MOST_PLACES: Final = 5000
_DRAFTS_KEPT: Final = 24
_LONGEST: Final = {"author": 100, "client": 100, "token": 100, "gesture": 100, "note": 2000}
_LONGEST_LABEL: Final = 200


@dataclass(frozen=True)
class Who:
    """An author at one browser, who wants one change: two browsers of one author are two.

    Attributes
    ----------
    token : unique text of the change, so that it is not made twice; empty for none
    """

    author: str
    client: str = ""
    token: str = ""

    def __post_init__(self) -> None:
        check_text("author", self.author)
        check_text("client", self.client)
        check_text("token", self.token)

    def made(self, revision: Revision) -> bool:
        return (self.author, self.client) == (revision.author, revision.client)


class Log:
    """The revisions of one hole, and the document of the newest.

    Every method may be called from any thread; whoever holds ``lock`` sees no change.
    A revision is durable before the method that makes it returns; when one raises, nothing
    has changed.

    Attributes
    ----------
    head : the newest revision
    draft : its document
    """

    head: Revision
    draft: Draft

    def __init__(self, store: Store, hole: str, grown: Callable[[], None]) -> None:
        """``grown`` is called, with the lock held, after every new revision."""
        self.lock = threading.RLock()
        self._store = store
        self._hole = hole
        self._grown = grown
        self._drafts = Kept[Draft](_DRAFTS_KEPT)
        # of all since ``_began_at``, the newest by place, author and client
        self._newest_at: dict[tuple[Place, str, str], Revision] = {}
        self._began_at = 0

    def begin(self, found: Draft) -> bool:
        """Take up the hole where the store left it; return whether the store knew it.

        Parameters
        ----------
        found : in the folder; the first revision of a hole that the store does not know
        """
        head = self._store.head(self._hole)
        if head is not None:
            files = files_at(self._store, self._hole, head.number)
            self.head, self.draft = head, found if found.files == files else Draft.of(files)
            self._began_at = head.number
            return True
        digest, faults = digest_of(found.files), len(found.faults)
        first = Revision(
            1,
            "opened",
            OUTSIDE,
            "",
            "",
            moment(),
            "",
            _OPENED,
            1,
            None,
            None,
            0,
            digest,
            faults,
            (),
        )
        made = Made(files=dict(found.files.texts))
        self._store.append(self._hole, first, made, read_in=True)
        self.head, self.draft = first, found
        self._began_at = first.number
        return False

    def draft_at(self, number: int) -> Draft:
        """Return the document of a revision; InputErrors when there is no such."""
        content = self._store.revision(self._hole, number).content
        with self.lock:
            newest = self.draft
            if self.head.content == content:
                return newest
        found = self._drafts.get(content)
        if found is None:
            found = Draft.of(files_at(self._store, self._hole, content), newest)
            self._drafts.put(content, found)
        return found

    def newest_whole(self) -> tuple[Revision, Draft] | None:
        """Return the newest revision whose document has no faults; None when there was none."""
        with self.lock:
            revision, draft = self.head, self.draft
        if draft.hole is None:
            whole = self._store.newest_whole(self._hole)
            if whole is None:
                return None
            revision, draft = whole, self.draft_at(whole.number)
        # what was without faults may have some by the rules of a later Bathybore
        return None if draft.hole is None else (revision, draft)

    # -- new revisions --------------------------------------------------------------------

    def apply(
        self, edits: Sequence[Edit], who: Who, base: int, gesture: str, label: str
    ) -> Revision:
        """Make edits; see ``Desk.apply``."""
        check_text("gesture", gesture)
        with self.lock:
            if (before := self._made_before(who)) is not None:
                return before
            self._refuse_unknown(base)
            for theirs in self._by_others(base, who):
                if keys := clashing(edits, theirs.places):
                    raise Conflict(keys, theirs)
            draft = self.draft.edited(edits)
            digest = digest_of(draft.files)
            if digest == self.head.digest:
                return self.head
            revision = self._next("edit", who, label or _label(edits), draft, digest)
            places = tuple(dict.fromkeys(map(place_of, edits)))
            revision = replace(revision, gesture=gesture, places=places)
            if self._goes_on(revision):
                revision = replace(revision, undo_to=self.head.undo_to)
            return self._keep(revision, draft, [_asked(edit) for edit in edits])

    def take_in(self, draft: Draft) -> Revision:
        """Put what was changed outside the workspace on top."""
        with self.lock:
            revision = self._exchanged("outside", Who(OUTSIDE), CHANGED_OUTSIDE, draft)
            return self._keep(revision, draft, None, read_in=True)

    def restore(self, number: int, who: Who, base: int | None) -> Revision:
        """Let the files of an earlier revision count again; see ``Desk.restore``."""
        with self.lock:
            if (before := self._made_before(who)) is not None:
                return before
            self._refuse_unseen(base, who, "restore")
            draft = self.draft_at(number)
            if draft.files == self.draft.files:
                return self.head
            label = f"as in revision {number}"
            return self._keep(self._exchanged("restored", who, label, draft), draft, None)

    def travel(self, kind: Kind, who: Who, base: int | None) -> Revision:
        """Undo or redo; see ``Desk.undo`` and ``Desk.redo``."""
        with self.lock:
            if (before := self._made_before(who)) is not None:
                return before
            head = self.head
            self._refuse_unseen(base, who, kind)
            to = head.undo_to if kind == "undo" else head.redo_to
            if to is None:
                raise InputErrors.one(shown(self._hole), f"nothing to {kind}", "a change before")
            target = self._store.revision(self._hole, to)
            # the two differ by the gesture that ends in the later one
            end = head if kind == "undo" else target
            label = f"{kind}: {self._store.revision(self._hole, end.content).label}"
            draft = self.draft_at(to)
            revision = replace(
                self._next(kind, who, label, draft, target.digest),
                content=target.content,
                undo_to=target.undo_to,
                redo_to=head.number if kind == "undo" else target.redo_to,
                replayed=target.replayed,
                places=self._places_of_gesture(end),
            )
            return self._keep(revision, draft, None)

    def sign(self, signature: Signature) -> None:
        """Put a name under the newest revision; see ``Desk.sign``."""
        check_text("author", signature.name)
        check_text("note", signature.note)
        with self.lock:
            self._refuse_unknown(signature.revision)
            if signature.revision != self.head.number:
                raise Conflict(("signature",), self.head)
            if self.draft.faults:
                raise InputErrors(self.draft.faults)
            self._store.sign(self._hole, signature)

    # -- what others did ------------------------------------------------------------------

    def _refuse_unseen(self, base: int | None, who: Who, what: str) -> None:
        """Refuse what concerns the whole hole when another changed something since ``base``."""
        if base is None:
            return
        self._refuse_unknown(base)
        for theirs in self._by_others(base, who):
            raise Conflict((what,), theirs)

    def _refuse_unknown(self, base: int) -> None:
        if not 1 <= base <= self.head.number:
            there = f"one from 1 to {self.head.number}"
            raise InputErrors.one(shown(self._hole), f"revision {base}", there)

    def _by_others(self, base: int, who: Who) -> list[Revision]:
        """Return what others did since a revision, newest first.

        Of many revisions at one place by one page the newest stands for all: a page that edits
        fast is far behind, every time.
        """
        if base == self.head.number:
            return []
        if base >= self._began_at:
            known = {one.number: one for one in self._newest_at.values() if one.number > base}
            since = [known[number] for number in sorted(known)]
        else:
            since = list(self._store.revisions_after(self._hole, base))
        return [revision for revision in reversed(since) if not who.made(revision)]

    def _made_before(self, who: Who) -> Revision | None:
        """Return what came of a change that is sent again because its answer was lost."""
        if not who.token:
            return None
        return self._store.revision_of(self._hole, who.author, who.token)

    # -- making one -----------------------------------------------------------------------

    def _next(self, kind: Kind, who: Who, label: str, draft: Draft, digest: str) -> Revision:
        """Return the revision that follows, of files that were not there before."""
        number = self.head.number + 1
        return Revision(
            number=number,
            kind=kind,
            author=who.author,
            client=who.client,
            token=who.token,
            at=moment(),
            gesture="",
            label=shown(_whole(label), _LONGEST_LABEL),
            content=number,
            undo_to=self.head.number,
            redo_to=None,
            replayed=0,
            digest=digest,
            faults=len(draft.faults),
            places=(),
        )

    def _exchanged(self, kind: Kind, who: Who, label: str, draft: Draft) -> Revision:
        """Return the revision that follows when whole files take the place of others."""
        revision = self._next(kind, who, label, draft, digest_of(draft.files))
        names = _differing(self.draft.files, draft.files)
        return replace(revision, places=tuple((name,) for name in names))

    def _goes_on(self, revision: Revision) -> bool:
        """Return whether an edit goes on with the gesture of the newest revision."""
        head = self.head
        mine = (revision.gesture, revision.author, revision.client)
        theirs = (head.gesture, head.author, head.client)
        return head.kind == "edit" and revision.gesture != "" and mine == theirs

    def _places_of_gesture(self, end: Revision) -> tuple[Place, ...]:
        """Return what the gesture changed that led to the content of a revision."""
        start = end.undo_to or 0
        steps = self._store.revisions(self._hole, end.content - start, end.content + 1)
        return tuple(dict.fromkeys(place for step in steps for place in step.places))

    def _keep(
        self,
        revision: Revision,
        draft: Draft,
        edits: list[dict[str, Any]] | None,
        *,
        read_in: bool = False,
    ) -> Revision:
        """Keep a revision in the store, then make it the newest."""
        made = Made()
        if revision.content == revision.number:
            made, replayed = made_by(self.draft.files, draft.files, self.head.replayed, edits)
            revision = replace(revision, replayed=replayed)
        self._store.append(self._hole, revision, made, read_in=read_in)
        if revision.undo_to == self.head.number or revision.kind in ("undo", "redo"):
            self._drafts.put(self.head.content, self.draft)  # where undo or redo will lead
        self.head, self.draft = revision, draft
        if len(self._newest_at) > _MOST_PLACES:  # then older bases are looked up in the store
            self._newest_at.clear()
            self._began_at = revision.number - 1
        for place in revision.places:
            self._newest_at[place, revision.author, revision.client] = revision
        self._grown()
        return revision


def check_text(what: str, text: str) -> None:
    """Refuse a text that is too long to be kept or has no place on a line.

    Raises
    ------
    InputErrors
        Says which.
    """
    most = _LONGEST[what]
    fits = len(text) <= most and text == _whole(text)
    if not fits or (what != "note" and not text.isprintable()):
        raise InputErrors.one(what, f"'{shown(text)}'", f"at most {most} printable characters")


def _whole(text: str) -> str:
    """Return a text with halves of characters, which no file can hold, replaced."""
    return text.encode(errors="replace").decode()


def _label(edits: Sequence[Edit]) -> str:
    return ", ".join(dict.fromkeys(map(told, edits)))


def _asked(edit: Edit) -> dict[str, Any]:
    """Return an edit as it is kept: what is left out is its default."""
    defaults = {field.name: field.default for field in fields(edit)}
    return {name: value for name, value in asdict(edit).items() if value != defaults[name]}


def _differing(one: HoleFiles, other: HoleFiles) -> list[str]:
    names = sorted({*one.texts, *other.texts})
    return [name for name in names if one.texts.get(name) != other.texts.get(name)]


def moment() -> str:
    """Return now in UTC, as ISO 8601 writes it."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")
