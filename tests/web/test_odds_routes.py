"""Reach and odds through the server."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from served import Visit

from bathybore.storage.workspace import Workspace
from bathybore.web.answers import Refused
from bathybore.web.outlook import MEMBERS, Turn
from bathybore.web.room import Room

HOLE = "/holes/riserless"


def fact(told: dict[str, Any], label: str) -> str:
    return next(str(one["text"]) for one in told["facts"] if one["label"] == label)


def table_on(told: dict[str, Any], what: str) -> dict[str, Any]:
    return next(one for one in told["tables"] if what in one["title"])


def test_reach_and_odds_are_told_drawn_and_opened(visit: Visit) -> None:
    assert visit.get(f"{HOLE}/odds/first").json()["text"] == ""  # not worked out yet
    reach = visit.get(f"{HOLE}/odds/reach", units="oilfield").json()
    assert not reach["missing"]
    assert [one["title"].startswith("Where each limit bites") for one in reach["tables"]] == [True]
    assert visit.get(f"{HOLE}/odds/first").json()["text"] in fact(
        visit.get(f"{HOLE}/odds/reach").json(), "Bites first"
    )
    assert {"P10", "P50", "P90"} <= set(reach["tables"][0]["titles"])
    assert not any(one["label"].startswith("Relief") for one in reach["facts"])  # none was sought
    odds = visit.get(f"{HOLE}/odds/odds").json()
    assert f"of {MEMBERS} members" in fact(odds, "Target reached")
    assert str(MEMBERS) in fact(odds, "Members")
    assert "no uncertainty.yaml" in fact(odds, "Drawn")
    assert {row["check"] for row in odds["rows"]} >= {"target"}
    for told in (reach, odds):
        for table in told["tables"]:
            assert all(len(row) == len(table["titles"]) for row in table["rows"])
            assert len(set(table["titles"])) == len(table["titles"])
        for row in told["rows"]:
            opened = visit.get(f"{HOLE}/checks/{row['id']}").json()
            assert opened["margin"] == row["margin"]
    rules = visit.get(f"{HOLE}/odds/rules").json()
    assert bool(rules["missing"]) != bool(rules["tables"])
    for part in ("reach", "odds"):
        answer = visit.get(f"{HOLE}/odds/{part}/picture.svg")
        assert answer.headers["content-type"] == "image/svg+xml"
        assert answer.text.lstrip().startswith("<?xml")
        assert "script" not in answer.text
    assert visit.get(f"{HOLE}/odds/rules/picture.svg").status_code == 422
    assert visit.get(f"{HOLE}/odds/progress").json() == {"text": ""}


def test_what_is_uncertain_is_a_file_of_the_hole(visit: Visit, folder: Path) -> None:
    """It is kept in revisions, written to the folder, counted, and gone again when undone."""
    file = folder / "riserless" / "uncertainty.yaml"

    def written(text: str) -> int:
        edit = {"op": "table", "file": file.name, "text": text}
        answer = visit.change(f"{HOLE}/edits", base=visit.revision(), edits=[edit])
        return answer.status_code

    certain = "".join(
        f"  {name}: {{distribution: fixed}}\n"
        for name in ("pore_pressure", "fracture_pressure", "rate_of_penetration")
    )
    assert written("") == 422
    assert not file.exists()
    assert written(f"curves:\n{certain}") == 200
    odds = visit.get(f"{HOLE}/odds/odds").json()
    assert file.read_text(encoding="utf-8") == f"curves:\n{certain}"
    assert "as uncertainty.yaml tells" in fact(odds, "Drawn")
    named = {row[0] for row in table_on(odds, "What is uncertain")["rows"]}
    assert "pore_pressure" not in named
    assert written("curves:\n  pore_presure: {distribution: fixed}\n") == 200
    refused = visit.get(f"{HOLE}/odds/odds")
    assert refused.status_code == 422
    assert "uncertainty.yaml, line 2" in refused.json()["faults"][0]["where"]
    assert visit.get(f"{HOLE}/ledger").json()["passes"] is True  # the hole is whole without it
    for _ in range(2):
        visit.change(f"{HOLE}/undo", base=visit.revision())
    odds = visit.get(f"{HOLE}/odds/odds").json()
    assert not file.exists()
    assert "no uncertainty.yaml" in fact(odds, "Drawn")


def test_an_edit_gives_up_what_was_being_worked_out(
    visit: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who asked before the edit is told so; who asks after it gets the newest revision's."""
    begun, changed = threading.Event(), threading.Event()
    take = Turn.take

    def slow(self: Turn, wanted: Callable[[], bool], work: Callable[..., Any]) -> Any:
        def waiting(say: Callable[[str], None]) -> Any:
            say("drawing")
            begun.set()
            assert changed.wait(30.0)
            say("drawing on")
            return work(say)

        return take(self, wanted, work if changed.is_set() else waiting)

    monkeypatch.setattr(Turn, "take", slow)
    answers = list[int]()
    asking = threading.Thread(
        target=lambda: answers.append(visit.get(f"{HOLE}/odds/reach").status_code)
    )
    asking.start()
    assert begun.wait(30.0)
    other = Visit(visit.address)
    assert other.get(f"{HOLE}/odds/progress").json() == {"text": "drawing"}
    base = other.revision()
    assert other.set_density("1.03 sg", base).status_code == 200
    changed.set()
    asking.join(30.0)
    assert answers == [409]
    assert other.get(f"{HOLE}/odds/progress").json() == {"text": ""}
    assert other.get(f"{HOLE}/odds/reach").json()["revision"] > base


def test_long_work_is_done_one_at_a_time_and_says_how_far_it_is() -> None:
    turn, seen, at_once = Turn(), list[str](), list[int]()
    inside = 0

    def work(say: Callable[[str], None]) -> None:
        nonlocal inside
        inside += 1
        at_once.append(inside)
        say("half")
        seen.append(turn.text)
        time.sleep(0.02)
        inside -= 1

    threads = [threading.Thread(target=lambda: turn.take(lambda: True, work)) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join(10.0)
    assert at_once == [1, 1, 1, 1]
    assert seen == ["half"] * 4
    assert turn.text == ""
    with pytest.raises(Refused):
        turn.take(lambda: False, work)


@pytest.mark.parametrize("part", ["nothing", "all"])
def test_a_part_that_is_not_there_is_refused(visit: Visit, part: str) -> None:
    assert visit.get(f"{HOLE}/odds/{part}").status_code == 422


def test_a_server_that_ends_waits_for_no_long_work(folder: Path) -> None:
    """Work under way ends at the next change that is tried."""
    workspace = Workspace(folder)
    try:
        room = Room(workspace.open("riserless"))
        said = list[str]()
        take = room._turn.take

        def leaving(wanted: Callable[[], bool], work: Callable[..., Any]) -> Any:
            def told(say: Callable[[str], None]) -> Any:
                def heard(text: str) -> None:
                    say(text)
                    said.append(text)
                    if text.startswith("drawing"):
                        room.leave()

                return work(heard)

            return take(wanted, told)

        room._turn.take = leaving  # type: ignore[method-assign]
        with pytest.raises(Refused):
            room.odds("odds", "metric")
        assert said[-1].startswith("drawing and judging members: 0 of")
    finally:
        workspace.close()
