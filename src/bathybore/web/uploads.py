"""Files that were dropped for importing, kept in memory until they are taken in or forgotten."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from dataclasses import dataclass
from typing import Final

_MOST: Final = 8  # files, of all visitors together: at most eight times the upload limit


@dataclass(frozen=True)
class Upload:
    """A file as it came; ``owner`` is the session that sent it."""

    name: str
    data: bytes
    owner: str


class Uploads:
    """The newest uploads; the oldest makes room."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: OrderedDict[str, Upload] = OrderedDict()

    def keep(self, upload: Upload) -> str:
        """Keep a file and return the id under which it is found again."""
        number = secrets.token_hex(16)
        with self._lock:
            self._kept[number] = upload
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
        return number

    def find(self, number: str, owner: str) -> Upload | None:
        """Return an upload to whoever sent it, and to nobody else."""
        with self._lock:
            upload = self._kept.get(number)
        return upload if upload is not None and upload.owner == owner else None
