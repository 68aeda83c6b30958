"""Files that are there whole or not at all."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from bathybore.base.errors import InputErrors


def write_whole(path: Path, content: bytes) -> None:
    """Write a file beside its place and move it there in one go.

    Raises
    ------
    InputErrors
        The folder cannot be made or written. What stood there before stands there still.
    """
    draft = path.with_name(f".{path.name}-{secrets.token_hex(6)}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            with draft.open("wb") as target:
                target.write(content)
                target.flush()
                os.fsync(target.fileno())
            draft.replace(path)
        except BaseException:
            draft.unlink(missing_ok=True)
            raise
    except OSError as error:
        found = error.strerror or type(error).__name__
        raise InputErrors.one(str(path), found, "a file that can be written") from error
