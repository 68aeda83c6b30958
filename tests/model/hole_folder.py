"""A hole folder on disk that a test can spoil in one place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from bathybore.base.errors import Fault, InputErrors
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole


@dataclass(frozen=True)
class Folder:
    """A hole folder on disk."""

    path: Path

    def text(self, file: str = "hole.yaml") -> str:
        return (self.path / file).read_text(encoding="utf-8")

    def write(self, text: str | bytes, file: str = "hole.yaml") -> Folder:
        data = text.encode() if isinstance(text, str) else text
        (self.path / file).write_bytes(data)
        return self

    def replace(self, old: str, new: str, file: str = "hole.yaml", count: int = 1) -> Folder:
        """Replace a text that stands in the file exactly ``count`` times."""
        text = self.text(file)
        assert text.count(old) == count, f"'{old}' stands {text.count(old)} times in {file}"
        return self.write(text.replace(old, new), file)

    def line_of(self, piece: str, file: str = "hole.yaml") -> int:
        """Return the number of the first line that holds a piece of text."""
        lines = self.text(file).split("\n")
        return next(n for n, line in enumerate(lines, start=1) if piece in line)

    def load(self) -> Hole:
        return load_hole(self.path)

    def faults(self) -> tuple[Fault, ...]:
        with pytest.raises(InputErrors) as caught:
            self.load()
        return caught.value.faults
