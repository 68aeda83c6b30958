"""Reach and odds through the server."""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from served import Visit

from bathybore.base.errors import InputErrors
from bathybore.ensembles.telling import Told, silent
from bathybore.model.editing import read_draft
from bathybore.model.uncertainty import load_uncertainty
from bathybore.storage.workspace import Workspace
from bathybore.usecases import odds_architectures
from bathybore.web.answers import Refused
from bathybore.web.long_work import CANCELLED, Task, Turn
from bathybore.web.odds_page import slow_answer, slow_picture
from bathybore.web.outlook import MEMBERS, Outlook, Question, make_slow
from bathybore.web.room import Room
from bathybore.web.topic_page import TopicAnswer
from varied import EXAMPLES

HOLE = "/holes/riserless"
NOTHING: dict[str, list[Any]] = {"parts": [], "failed": []}


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
    assert visit.get(f"{HOLE}/odds/progress").json() == NOTHING


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


def test_an_edit_gives_up_what_was_being_worked_out(visit: Visit) -> None:
    """Who asked before the edit is told so; who asks after it gets the newest revision's."""
    answers = list[int]()
    asking = threading.Thread(
        target=lambda: answers.append(visit.get(f"{HOLE}/odds/reach").status_code)
    )
    asking.start()
    other = Visit(visit.address)
    under_way(other, "reach")
    base = other.revision()
    assert other.set_density("1.03 sg", base).status_code == 200
    asking.join(60.0)
    assert answers == [409]
    assert other.get(f"{HOLE}/odds/progress").json() == NOTHING
    assert other.get(f"{HOLE}/odds/reach").json()["revision"] > base


def test_what_takes_many_runs_is_worked_out_when_asked_for(visit: Visit) -> None:
    """It says of how many members, goes on while the hole is changed, and tells what failed."""
    assert visit.get(f"{HOLE}/odds/robust").json()["missing"]
    assert visit.get(f"{HOLE}/odds/robust/picture.svg").status_code == 422
    before = visit.revision()
    begun = visit.post(f"{HOLE}/odds/robust/begin", members=2)
    assert begun.status_code == 200
    assert [one["part"] for one in begun.json()["parts"]] == ["robust"]
    visit.post(f"{HOLE}/odds/knowing/begin", members=2)  # too few to part them into classes
    again = visit.post(f"{HOLE}/odds/robust/begin", members=2).json()
    assert [one["part"] for one in again["parts"]] == ["robust", "knowing"]  # begun once
    assert visit.set_density("1.03 sg", before).status_code == 200
    done = settled(visit)
    assert [(one["part"], "or more" in one["why"]) for one in done["failed"]] == [("knowing", True)]
    told = visit.get(f"{HOLE}/odds/robust").json()
    assert told["revision"] == before
    assert fact(told, "Asked of").startswith("2 members")
    assert "Target reached" in told["picture"]
    answer = visit.get(f"{HOLE}/odds/robust/picture.svg")
    assert answer.headers["content-type"] == "image/svg+xml"


@pytest.mark.parametrize(
    "wrong",
    [{"members": 1}, {"members": 20_001}, {"members": "many"}, {"goal": "joy"}, {"level": 1.0}],
)
def test_a_question_without_sense_is_refused(visit: Visit, wrong: dict[str, Any]) -> None:
    assert visit.post(f"{HOLE}/odds/robust/begin", **wrong).status_code == 422
    assert visit.post(f"{HOLE}/odds/reach/begin").status_code == 422  # it is worked out when shown
    assert visit.get(f"{HOLE}/odds/progress").json() == NOTHING


def test_long_work_is_paused_goes_on_and_is_cancelled() -> None:
    """In a process of its own: what it says stops with the pause, and it is gone when cancelled."""
    turn, made = Turn(), list[Any]()

    def waited(task: Task, part: str) -> threading.Thread:
        def take() -> None:
            try:
                made.append(turn.take(part, lambda: True, lambda do: do(task)))
            except Exception as error:
                made.append(error)

        thread = threading.Thread(target=take)
        thread.start()
        return thread

    first = waited(partial(counted, 10_000_000), "first")
    until(lambda: turn.line[0].said[1] > 3)
    second = waited(partial(counted, 5), "second")
    until(lambda: len(turn.line) == 2)
    assert [one.state for one in turn.line] == ["working", "waiting"]
    turn.tell("first", "pause")
    assert turn.line[0].state in ("pausing", "paused")
    until(lambda: turn.line[0].state == "paused")
    stood = turn.line[0].said
    time.sleep(0.1)
    assert turn.line[0].said == stood  # nothing is done
    turn.tell("first", "resume")
    until(lambda: turn.line[0].said > stood)
    process = turn.line[0].work
    assert process is not None
    assert process._process.is_alive()
    turn.tell("first", "cancel")
    first.join(60.0)
    second.join(60.0)
    assert isinstance(made[0], Refused)
    assert made[0].status == CANCELLED
    assert made[1] == (5, True)  # at low priority, where the system has such a thing
    assert turn.line == ()
    assert isinstance(_taken(turn, killed), Refused)
    assert "fit together" in str(_taken(turn, refusing))
    assert "ZeroDivisionError" in str(_taken(turn, broken))


def _taken(turn: Turn, task: Task) -> Any:
    try:
        return turn.take("one", lambda: True, lambda do: do(task))
    except Exception as error:
        return error


def until(holds: Callable[[], bool]) -> None:
    deadline = time.monotonic() + 60.0
    while not holds():
        assert time.monotonic() < deadline
        time.sleep(0.01)


def counted(most: int, say: Told) -> tuple[int, bool]:
    for number in range(most):
        say("counting", number, most)
        time.sleep(0.002)
    return most, not hasattr(os, "nice") or os.nice(0) >= 5


def killed(say: Told) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def refusing(say: Told) -> None:
    raise InputErrors.one("numbers", "some", "numbers that fit together")


def broken(say: Told) -> None:
    raise ZeroDivisionError


def under_way(visit: Visit, part: str) -> None:
    """Wait until a part is being worked out."""

    def begun() -> bool:
        parts = visit.get(f"{HOLE}/odds/progress").json()["parts"]
        return [one["part"] for one in parts if one["state"] == "working"] == [part]

    until(begun)


def settled(visit: Visit) -> dict[str, Any]:
    """Wait until nothing is being worked out and return what is told then."""
    told: dict[str, Any] = {}

    def calm() -> bool:
        told.update(visit.get(f"{HOLE}/odds/progress").json())
        return not told["parts"]

    until(calm)
    return told


@pytest.mark.parametrize("part", ["nothing", "all"])
def test_a_part_that_is_not_there_is_refused(visit: Visit, part: str) -> None:
    assert visit.get(f"{HOLE}/odds/{part}").status_code == 422


def test_a_server_that_ends_waits_for_no_long_work(folder: Path) -> None:
    """Work under way is given up, also what somebody asked for in the background."""
    workspace = Workspace(folder)
    try:
        room = Room(workspace.open("riserless"))
        room.odds.begin(Question("matters", 2))
        answers = list[Any]()

        def asking() -> None:
            try:
                answers.append(room.odds.answer("odds", "metric"))
            except Refused as error:
                answers.append(error)

        thread = threading.Thread(target=asking)
        thread.start()
        until(lambda: len(room.odds.progress().parts) == 2)
        room.leave()
        thread.join(60.0)
        assert isinstance(answers[0], Refused)
        until(lambda: not room.odds.progress().parts)
    finally:
        workspace.close()


def test_the_proposals_of_the_search_are_asked_of_the_files_shown(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Every proposal is taken for the plan itself here: their ledgers take their time."""
    monkeypatch.setattr(odds_architectures, "_asked", lambda plan, *given: (plan, ()))
    folder = EXAMPLES / "riserless"
    draft = read_draft(folder)
    assert draft.hole is not None
    outlook = Outlook(draft.hole, load_uncertainty(folder, draft.hole))
    question = Question("architectures", 16, draft=draft)
    _, found = make_slow(outlook, question, silent)
    told = slow_answer(question, found, draft.hole, 1, "oilfield")
    assert fact_of(told, "Asked of").startswith("16 members")
    assert fact_of(told, "Best").startswith("the plan")
    assert " ft below" in told.picture
    assert "Architectures" in slow_picture(found, "metric").title


def fact_of(told: TopicAnswer, label: str) -> str:
    return next(one.text for one in told.facts if one.label == label)
