"""All that the server keeps: the folder of holes, those that are open, and who may come in."""

from __future__ import annotations

import threading

import bathybore
from bathybore.storage.workspace import HoleEntry, Workspace
from bathybore.web.room import Room
from bathybore.web.shapes import SessionTold
from bathybore.web.visitors import Visitor, Visitors


class House:
    """Keeps a folder of holes open for visitors.

    Parameters
    ----------
    port : on which the server answers
    wide : other computers can reach it
    """

    def __init__(self, workspace: Workspace, port: int, wide: bool) -> None:
        self.workspace = workspace
        self.visitors = Visitors(workspace.store, port, wide)
        self._lock = threading.Lock()
        self._rooms: dict[str, Room] = {}

    def told(self, visitor: Visitor) -> SessionTold:
        return SessionTold(
            user=visitor.name,
            role=visitor.role,
            login_needed=self.visitors.login_needed,
            csrf=visitor.csrf,
            version=bathybore.__version__,
            folder=self.workspace.folder.name,
        )

    def room(self, hole: str) -> Room:
        """Return the room of a hole, opened when it is first asked for."""
        with self._lock:
            if hole not in self._rooms:
                self._rooms[hole] = Room(self.workspace.open(hole))
            return self._rooms[hole]

    def create(self, name: str) -> HoleEntry:
        made = self.workspace.create(name)
        return next(one for one in self.workspace.holes() if one.id == made)

    def close(self) -> None:
        """Give up long work, write all files and end."""
        with self._lock:
            for room in self._rooms.values():
                room.leave()
        self.workspace.close()
