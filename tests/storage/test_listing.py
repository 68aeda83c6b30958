"""The list of holes is read once and read again when a file changed."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from kept_hole import copied

from bathybore.storage import workspace as module
from bathybore.storage.workspace import Workspace


def test_a_hole_is_read_again_only_when_its_files_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = copied(tmp_path)
    reads: list[Path] = []
    real = module.read_draft
    monkeypatch.setattr(module, "read_draft", lambda path: (reads.append(path), real(path))[1])
    place = Workspace(tmp_path)
    (first,) = place.holes()
    assert place.holes() == (first,)
    assert len(reads) == 1
    file = folder / "hole.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("invented: true", "invented: false"), encoding="utf-8")
    os.utime(file, ns=(1, 1))  # whatever the clock of the disk is worth
    (changed,) = place.holes()
    assert (first.invented, changed.invented) == (True, False)
    (folder / "sea.csv").unlink()
    (broken,) = place.holes()
    assert "sea.csv" in broken.fault
    place.close()
