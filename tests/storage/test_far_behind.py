"""Whoever is far behind is told of the same clashes, however they are looked up."""

from __future__ import annotations

from pathlib import Path

import pytest
from kept_hole import CEMENT_TOP, DENSITY, TARGET_RADIUS, copied, opened

from bathybore.model.editing import Edit
from bathybore.storage import log
from bathybore.storage.desk import Desk
from bathybore.storage.records import Conflict


def change(desk: Desk, key: str, text: str, client: str, base: int = 0) -> int:
    edit = Edit("set", key, text)
    return desk.apply([edit], "local", base or desk.head.number, client=client).number


def refused(desk: Desk, key: str, text: str, client: str, base: int) -> Conflict:
    with pytest.raises(Conflict) as clash:
        change(desk, key, text, client, base)
    return clash.value


def far_behind(desk: Desk, last: int) -> None:
    """Check what page b, which saw the first revision only, may and may not change."""
    theirs = refused(desk, DENSITY, "1.7 sg", "b", 1)
    assert theirs.theirs.number == last
    assert theirs.keys == (DENSITY,)
    assert refused(desk, CEMENT_TOP, "1 m below sea bed", "b", 1).theirs.number < last
    change(desk, TARGET_RADIUS, "51 m", "b", 1)  # nobody else's
    change(desk, DENSITY, "1.71 sg", "a", 1)  # its own: page a saw what it did
    change(desk, DENSITY, "1.72 sg", "b")  # seen by now


@pytest.mark.parametrize("most", [5000, 1])
def test_from_memory_and_from_the_store(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, most: int
) -> None:
    monkeypatch.setattr(log, "_MOST_PLACES", most)
    with opened(copied(tmp_path)) as desk:
        change(desk, CEMENT_TOP, "2 m below sea bed", "a")
        last = [change(desk, DENSITY, f"1.{i} sg", "a") for i in range(21, 40)][-1]
        far_behind(desk, last)


def test_after_the_server_began_anew(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    with opened(folder) as desk:
        change(desk, CEMENT_TOP, "2 m below sea bed", "a")
        change(desk, DENSITY, "1.21 sg", "a")
    with opened(folder) as desk:
        far_behind(desk, change(desk, DENSITY, "1.22 sg", "a"))
