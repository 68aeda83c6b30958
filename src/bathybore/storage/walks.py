"""The walks of a hole's revisions: worked out once, the newest kept for as long as it is shown."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.model.editing import Draft
from bathybore.storage.kept import Kept
from bathybore.storage.records import Revision
from bathybore.usecases.walking import Walk, study, walk_as_far

_KEPT: Final = 4


@dataclass(frozen=True, eq=False)
class Walked:
    """A revision with its walk."""

    revision: Revision
    walk: Walk


class Walks:
    """Walks and remembers; every method may be called from any thread.

    Attributes
    ----------
    newest : the newest revision that was walked
    last_good : the newest whose walk came to the end of its plan
    """

    def __init__(self) -> None:
        self.newest: Walked | None = None
        self.last_good: Walked | None = None
        self._kept = Kept[Walk](_KEPT)
        self._studied = Kept[Walk](_KEPT)
        self._lock = threading.Lock()

    def walk(self, revision: Revision, draft: Draft) -> Walk:
        """Return the walk of a revision; InputErrors when its document has faults."""
        found = self._kept.get(revision.content)
        if found is None:
            if draft.hole is None:
                raise InputErrors(draft.faults)
            found = walk_as_far(draft.hole)
            self._kept.put(revision.content, found)
        return found

    def studied(self, revision: Revision, draft: Draft) -> Walk:
        """Return the walk of a revision with the longer questions asked too."""
        found = self._studied.get(revision.content)
        if found is None:
            found = study(self.walk(revision, draft))
            self._studied.put(revision.content, found)
        return found

    def walk_as_newest(self, revision: Revision, draft: Draft) -> None:
        """Walk what is the newest revision now; when a newer was done meanwhile, that stays."""
        walked = Walked(revision, self.walk(revision, draft))
        with self._lock:
            self.newest = _newer(self.newest, walked)
            if not walked.walk.stopped:
                self.last_good = _newer(self.last_good, walked)


def _newer(one: Walked | None, other: Walked) -> Walked:
    return one if one is not None and one.revision.number > other.revision.number else other
