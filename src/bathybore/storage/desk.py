"""One hole being worked on: its newest revision, its walk, and its files kept up to date."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.model.editing import Draft, Edit, HoleFiles
from bathybore.model.files import shown
from bathybore.storage.history import files_at
from bathybore.storage.log import Log, Who, moment
from bathybore.storage.mirror import Mirror
from bathybore.storage.records import Revision
from bathybore.storage.store import Store
from bathybore.storage.walks import Walked, Walks
from bathybore.usecases.signing import Signature
from bathybore.usecases.walking import Walk

_QUIET: Final = 1.0  # [s] without an edit before files are written
_PATIENCE: Final = 10.0  # [s] before files that could not be written are tried again


@dataclass(frozen=True)
class Notice:
    """Something that happened to the files and that whoever works on the hole should know."""

    at: str
    revision: int
    text: str


class Desk:
    """The live state of one hole; every method may be called from any thread.

    Parameters
    ----------
    folder : of the hole; its name is the hole's in the store
    quiet : [s] without an edit before files are written

    Raises
    ------
    InputErrors
        The folder cannot be read, or the store does not give back what was put into it.
    """

    def __init__(self, store: Store, folder: Path, *, quiet: float = _QUIET) -> None:
        self.folder = folder
        self.hole = folder.name
        self._store = store
        self._quiet = quiet
        self._log = Log(store, self.hole, self._wake_writer)
        self._grown = threading.Condition(self._log.lock)
        self._files = threading.Lock()  # reading and writing the folder; taken before the log's
        self._mirror = Mirror(store, self.hole, folder)
        self._walks = Walks()
        self._notices: list[Notice] = []
        self._writer: threading.Thread | None = None
        self._restless = False  # whether there may be something to write
        self._closed = False
        self._open()

    # -- what there is --------------------------------------------------------------------

    @property
    def head(self) -> Revision:
        """The newest revision."""
        return self.now[0]

    @property
    def draft(self) -> Draft:
        """The document of the newest revision, with its faults."""
        return self.now[1]

    @property
    def now(self) -> tuple[Revision, Draft]:
        """The newest revision and its document, which belong together."""
        with self._log.lock:
            return self._log.head, self._log.draft

    @property
    def can_undo(self) -> bool:
        return self.head.undo_to is not None

    @property
    def can_redo(self) -> bool:
        return self.head.redo_to is not None

    @property
    def notices(self) -> tuple[Notice, ...]:
        """What happened to the files since the hole was opened, oldest first."""
        with self._log.lock:
            return tuple(self._notices)

    def revisions(self, limit: int = 100, before: int | None = None) -> tuple[Revision, ...]:
        """Return revisions, newest first; only those below ``before``."""
        return self._store.revisions(self.hole, limit, before)

    def revision(self, number: int) -> Revision:
        """Return one revision; InputErrors when there is no such."""
        return self._store.revision(self.hole, number)

    def files_at(self, number: int) -> HoleFiles:
        """Return the files of a revision; InputErrors when there is no such."""
        return files_at(self._store, self.hole, number)

    def draft_at(self, number: int) -> Draft:
        """Return the document of a revision; InputErrors when there is no such."""
        return self._log.draft_at(number)

    # -- changing -------------------------------------------------------------------------

    def apply(
        self,
        edits: Sequence[Edit],
        author: str,
        base: int,
        gesture: str = "",
        label: str = "",
        client: str = "",
        token: str = "",
    ) -> Revision:
        """Make edits; they are durable when this returns.

        Parameters
        ----------
        base : number of the revision that the author saw. What another changed since is not
            overwritten; what another changed elsewhere in the document is merged silently.
        gesture : edits of one gesture (a drag) are undone together
        label : in the history; what is changed when left out
        client : tells two browsers of one author apart, who are then two to each other
        token : unique text of this change: when it is sent again because the answer was lost,
            what was made of it is returned and nothing is made anew

        Returns
        -------
        The new revision; the newest one as it is when the edits change nothing.

        Raises
        ------
        Conflict
            Another changed the same since ``base``.
        InputErrors
            An edit cannot be made. A document that then has faults is no error.
        """
        with self._log.lock:
            self._must_be_open()
            return self._log.apply(edits, Who(author, client, token), base, gesture, label)

    def undo(
        self, author: str, base: int | None = None, client: str = "", token: str = ""
    ) -> Revision:
        """Take back the newest gesture of the hole, whoever made it, as a new revision.

        There is one order of changes, not one for each author: to take an older one back from
        below another's newer one could leave a document that neither of them ever saw. So
        nothing that another did since is wiped, only what is newest is taken back, and redo
        brings it again.

        Parameters
        ----------
        base : when given, the revision that the author saw: what another did since, unseen, is
            not taken back
        client, token : as of ``apply``

        Raises
        ------
        Conflict
            Another changed something since ``base``.
        InputErrors
            There is nothing to undo.
        """
        with self._log.lock:
            self._must_be_open()
            return self._log.travel("undo", Who(author, client, token), base)

    def redo(
        self, author: str, base: int | None = None, client: str = "", token: str = ""
    ) -> Revision:
        """Bring back what was undone last, as a new revision; any edit in between clears it.

        Parameters and errors are those of ``undo``.
        """
        with self._log.lock:
            self._must_be_open()
            return self._log.travel("redo", Who(author, client, token), base)

    def restore(
        self, number: int, author: str, base: int | None = None, client: str = "", token: str = ""
    ) -> Revision:
        """Let the files of an earlier revision count again, as a new one that can be undone.

        Parameters and errors are those of ``undo``; InputErrors when there is no such revision.
        """
        with self._log.lock:
            self._must_be_open()
            return self._log.restore(number, Who(author, client, token), base)

    def sign(
        self, name: str, note: str, base: int, *, role: str, passes: bool, verdict: str
    ) -> Signature:
        """Put a name under the newest revision; edits after it are not signed.

        Parameters
        ----------
        base : the revision that the signer saw
        role, passes, verdict : in which capacity, and how the hole was judged; see ``Signature``

        Raises
        ------
        Conflict
            ``base`` is not the newest revision any more.
        InputErrors
            The document has faults, or this name is under this revision already.
        """
        signature = Signature(name, role, moment(), base, note, passes, verdict)
        with self._log.lock:
            self._must_be_open()
            self._log.sign(signature)
        return signature

    def signatures(self) -> tuple[Signature, ...]:
        """Return every signature under the hole, oldest first."""
        return self._store.signatures(self.hole)

    def _must_be_open(self) -> None:
        if self._closed:
            raise InputErrors.one(shown(self.hole), "a hole that was closed", "one that is open")

    # -- walking --------------------------------------------------------------------------

    @property
    def walk(self) -> Walk | None:
        """The walk of the newest revision that was walked; None before the first."""
        walked = self._walks.newest
        return None if walked is None else walked.walk

    @property
    def walked(self) -> Walked | None:
        """The newest revision that was walked, and its walk."""
        return self._walks.newest

    @property
    def last_good(self) -> Walked | None:
        """The newest revision whose walk came to the end of its plan."""
        return self._walks.last_good

    def walk_newest(self) -> Walked | None:
        """Walk the newest revision without faults; takes its time and holds nobody up.

        Returns
        -------
        The newest walk there is then: of a later revision when that was done meanwhile. None
        when no revision of the hole was ever without faults.
        """
        found = self._log.newest_whole()
        if found is not None:
            self._walks.walk_as_newest(*found)
        return self._walks.newest

    def walk_at(self, number: int) -> Walk:
        """Return the walk of a revision, longer questions and all.

        Raises
        ------
        InputErrors
            Its document has faults.
        """
        return self._walks.studied(self.revision(number), self.draft_at(number))

    # -- the files of the folder ----------------------------------------------------------

    def notice(self) -> Revision | None:
        """Look whether files were changed outside; cheap when they were not.

        Returns
        -------
        The revision that the change became; None when there was none.
        """
        with self._files:
            if self._closed or not self._mirror.stirred():
                return None
            return self._take_in()

    def write(self) -> bool:
        """Write the files of the newest revision to the folder, unless they are there.

        What was changed outside meanwhile becomes a revision first. Nothing is raised: the
        store has every edit, and ``notices`` tell why files could not be written.

        Returns
        -------
        Whether the folder holds the newest revision.
        """
        with self._files:
            return self._write()

    def close(self) -> None:
        """Write the files and end; the desk refuses edits from then on."""
        with self._log.lock:
            self._closed = True
            self._grown.notify_all()
        if self._writer is not None:
            self._writer.join()
        self.write()

    def _open(self) -> None:
        with self._files:
            found = self._mirror.read()
            if self._log.begin(found):
                self._mirror.load()
                self._take_in(found)
                self._write()
            else:
                self._mirror.holds(1, found.files, told=True)

    def _take_in(self, found: Draft | None = None) -> Revision | None:
        """Make a revision of what was changed outside, if anything was; tell when that fails.

        Raises
        ------
        InputErrors
            It fails for files ``found`` on opening: nobody would read what is told.
        """
        try:
            return self._taken_in(found or self._mirror.read())
        except InputErrors as error:
            if found is not None:
                raise
            self._mirror.look_again()
            self._tell(f"The files cannot be read, so none are written: {error}")
            return None

    def _taken_in(self, draft: Draft) -> Revision | None:
        if self._mirror.is_own(draft.files):
            return None
        with self._log.lock:
            before, unwritten = self._log.head, self._log.draft.files != self._mirror.files
            if draft.files == self._log.draft.files:  # both came to the same
                self._mirror.holds(before.number, draft.files)
                return None
            revision = self._log.take_in(draft)
            self._mirror.holds(revision.number, draft.files, told=True)
        names = ", ".join(name for (name,) in revision.places)
        text = f"{names}: changed outside the workspace, taken in as revision {revision.number}."
        if unwritten:
            text += (
                f" Edits made here up to revision {before.number} were not yet written and are not"
                " in it: undo goes back to them, and the history keeps both."
            )
        self._tell(text)
        return revision

    def _write(self) -> bool:
        for _ in range(2):  # a second time when a change outside was taken in meanwhile
            head, draft = self.now
            try:
                self._mirror.write(head.number, draft.files)
                return True
            except InputErrors as error:
                if self._take_in() is None and self._mirror.files != draft.files:
                    self._tell(f"The files could not be written; the store has the edits: {error}")
                    return False
        return False

    def _tell(self, text: str) -> None:
        with self._log.lock:
            if not self._notices or self._notices[-1].text != text:
                self._notices.append(Notice(moment(), self._log.head.number, text))

    def _wake_writer(self) -> None:
        self._restless = True
        if self._writer is None:
            self._writer = threading.Thread(
                target=self._write_when_quiet, name=f"files of {self.hole}", daemon=True
            )
            self._writer.start()
        self._grown.notify_all()

    def _write_when_quiet(self) -> None:
        """Write the files whenever no edit came for a while; runs in a thread of its own."""
        while True:
            with self._log.lock:
                self._grown.wait_for(lambda: self._closed or self._restless)
                while not self._closed and self._grown.wait(self._quiet):
                    pass  # another edit: the quiet begins anew
                if self._closed:
                    return
                self._restless = False
            if not self.write():
                with self._log.lock:
                    self._restless = True
                    self._grown.wait_for(lambda: self._closed, _PATIENCE)
