"""The live connection: what is sent, in which order, and to whom."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any
from uuid import uuid4

import pytest
from served import DENSITY, PATIENCE, Visit
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import ClientConnection, connect

from bathybore.usecases.scene import Scene
from bathybore.web.pictured import Pictured
from bathybore.web.view import View


class Talk:
    """Merges what the server sends, as the page does."""

    def __init__(self, socket: ClientConnection) -> None:
        self.socket = socket
        self.scene: dict[str, Any] = {}
        self.rows: dict[str, Any] = {}
        self.told: dict[str, Any] = {}
        self.head: dict[str, Any] = {}
        self.state: dict[str, Any] = {}
        self.heard: list[dict[str, Any]] = []
        self.next = 0

    def hear(self) -> dict[str, Any]:
        message: dict[str, Any] = json.loads(self.socket.recv(PATIENCE))
        self.heard.append(message)
        if message["type"] == "state":
            self.state = message
            self.scene.update(message["scene"] or {})
        elif message["type"] == "ledger":
            ledger = message["ledger"]
            self.scene.update(message["scene"])
            self.head = ledger.get("head", self.head)
            for row in ledger.get("rows", ()):
                self.told[row["id"]] = self.rows[row["id"]] = self.told.get(row["id"], {}) | row
            for name in ledger.get("gone", ()):
                del self.rows[name]
        return message

    def until(self, fits: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
        while True:
            message = self.hear()
            if fits(message):
                return message

    def until_revision(self, number: int) -> dict[str, Any]:
        """Hear until a revision was pictured and judged; return what was said of its picture."""
        self.until(lambda m: m["type"] == "ledger" and m["revision"] >= number)
        return self.state

    def until_studied(self, number: int) -> dict[str, Any]:
        """Hear until the longer questions of a revision, or of a later one, were asked too."""
        return self.until(
            lambda m: m["type"] == "ledger" and m["revision"] >= number and self.head["studied"]
        )

    def say(self, type_: str, **rest: Any) -> int:
        self.next += 1
        message = {"type": type_, "id": self.next, "token": uuid4().hex, **rest}
        self.socket.send(json.dumps(message))
        return self.next

    def set_density(self, text: str, base: int, **rest: Any) -> int:
        edit = {"op": "set", "key": DENSITY, "text": text}
        return self.say("edits", base=base, edits=[edit], **rest)

    def answer_to(self, number: int) -> dict[str, Any]:
        return self.until(lambda m: m.get("id") == number)


def test_the_first_state_is_whole_and_the_next_only_what_changed(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        first = talk.until_revision(1)
        assert set(first["scene"]) == set(Scene.__dataclass_fields__)
        assert len(talk.heard[-1]["ledger"]["rows"]) == len(talk.rows) > 50
        accepted = talk.answer_to(talk.set_density("1.21 sg", 1))
        assert accepted["type"] == "accepted"
        second = talk.until_revision(accepted["revision"])
        assert "rocks" not in second["scene"]
        assert "window" in second["scene"]
        # no picture waits for verdicts: what shows them comes with the ledger
        assert "steps" not in second["scene"]
        assert "steps" in talk.heard[-1]["scene"]
        assert 0 < len(talk.heard[-1]["ledger"]["rows"]) < len(talk.rows)


def test_of_a_row_that_comes_back_only_what_differs_is_told(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_studied(1)
        edited = talk.answer_to(talk.set_density("1.21 sg", 1))["revision"]
        talk.until_revision(edited)
        gone = set(talk.heard[-1]["ledger"]["gone"])
        back = talk.until_studied(edited)["ledger"]["rows"]
        assert gone
        assert gone <= {row["id"] for row in back}
        assert all("question" not in row for row in back if row["id"] in gone)
        page = visit.get("/holes/riserless/ledger").json()
        assert {row["id"]: row for row in page["rows"]} == talk.rows


def test_what_was_merged_is_what_a_new_page_is_sent(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        for text in ("1.21 sg", "1.15 sg", "1.3 sg"):
            talk.until_revision(talk.answer_to(talk.set_density(text, 1))["revision"])
        talk.until_studied(talk.state["revision"])
        with visit.live(client=uuid4().hex) as other:
            fresh = Talk(other)
            fresh.until_studied(talk.state["revision"])
            assert fresh.scene == talk.scene
            assert fresh.rows == talk.rows
            assert fresh.head == talk.head


def test_the_merged_state_is_what_the_routes_answer(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        talk.until_studied(talk.answer_to(talk.set_density("1.21 sg", 1))["revision"])
        page = visit.get("/holes/riserless/ledger").json()
        assert {row["id"]: row for row in page["rows"]} == talk.rows
        assert visit.get("/holes/riserless/scene").json()["scene"] == talk.scene


def test_rows_that_went_while_an_answer_failed_go_with_the_next(
    visit: Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    make, broken = Pictured.verdict_parts, [True]

    def once_broken(self: Pictured, view: View) -> Mapping[str, bytes]:
        if self.revision > 1 and broken:
            broken.pop()
            raise RuntimeError("made to fail")
        return make(self, view)

    without = [{"step": "depart", "remove": True, "why": "to see its rows go"}]
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        assert any(row["step"] == "depart" for row in talk.rows.values())
        monkeypatch.setattr(Pictured, "verdict_parts", once_broken)
        put = {"op": "put", "key": "plan.step_edits", "content": without}
        removed = talk.answer_to(talk.say("edits", base=1, edits=[put]))["revision"]
        talk.until(lambda m: m["type"] == "notice")
        talk.until_studied(talk.answer_to(talk.set_density("1.21 sg", removed))["revision"])
        page = visit.get("/holes/riserless/ledger").json()
        assert {row["id"]: row for row in page["rows"]} == talk.rows
        assert visit.get("/holes/riserless/scene").json()["scene"] == talk.scene


def test_the_longer_questions_are_asked_once_nothing_moves(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_studied(1)
        edited = talk.answer_to(talk.set_density("1.21 sg", 1))["revision"]
        talk.until_revision(edited)
        assert not talk.head["studied"]  # the picture did not wait for them
        quick = set(talk.rows)
        later = talk.until_studied(edited)
        assert later["revision"] == edited
        assert quick <= set(talk.rows)
        assert visit.get("/holes/riserless/ledger").json()["studied"]


def test_edits_are_acknowledged_in_order_and_the_last_one_is_shown(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        asked = [talk.set_density(f"1.{i} sg", 1, gesture="drag") for i in range(20, 45)]
        last = talk.answer_to(asked[-1])
        answers = [m for m in talk.heard if m["type"] == "accepted"]
        assert [m["id"] for m in answers] == asked
        assert [m["revision"] for m in answers] == sorted({m["revision"] for m in answers})
        talk.until_revision(last["revision"])
        states = [m["revision"] for m in talk.heard if m["type"] == "state"]
        assert states == sorted(states)
        (handle,) = [h for h in talk.scene["handles"] if h["key"] == DENSITY]
        assert handle["written"] == "1.44 sg"


def test_a_handle_moves_and_one_undo_takes_the_whole_drag_back(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        (handle,) = [h for h in talk.scene["handles"] if h["key"] == DENSITY]
        for value in (1210.0, 1220.0, 1230.0):
            number = talk.say("handle", base=1, gesture="d", handle=handle["id"], value=value)
            assert talk.answer_to(number)["type"] == "accepted"
        undone = talk.answer_to(talk.say("undo", base=1))
        talk.until_revision(undone["revision"])
        (back,) = [h for h in talk.scene["handles"] if h["key"] == DENSITY]
        assert back["written"] == handle["written"]
        assert talk.state["can_redo"] is True
        redone = talk.answer_to(talk.say("redo", base=1))
        talk.until_revision(redone["revision"])
        (again,) = [h for h in talk.scene["handles"] if h["key"] == DENSITY]
        assert again["value"] == pytest.approx(1230.0)


def test_a_message_sent_twice_is_done_once(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        talk.answer_to(talk.set_density("1.21 sg", 1))
        talk.answer_to(talk.set_density("1.22 sg", 1))
        first = talk.answer_to(talk.say("undo", base=1, token="once"))
    with visit.live() as socket:  # the connection was lost before the answer came
        talk = Talk(socket)
        again = talk.answer_to(talk.say("undo", base=1, token="once"))
        assert again == {**first, "id": again["id"]}
        assert visit.revision() == first["revision"]


def test_a_broken_plan_is_kept_and_shown_with_its_faults(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        before = dict(talk.scene)
        edit = {"op": "remove", "key": "site.water_depth"}
        broken = talk.answer_to(talk.say("edits", base=1, edits=[edit]))
        assert broken["type"] == "accepted"
        state = talk.until_revision(broken["revision"])
        assert "water_depth" in json.dumps(state["faults"])
        assert talk.scene == before
        undone = talk.answer_to(talk.say("undo", base=1))
        assert talk.until_revision(undone["revision"])["faults"] == []


def test_what_cannot_be_done_is_refused_with_the_words_of_the_command_line(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        refused = talk.answer_to(talk.set_density("1.2 furlongs", 1))
        assert refused["type"] == "refused"
        assert DENSITY in refused["faults"][0]["where"]
        assert "furlongs" in refused["faults"][0]["found"]
        number = talk.say("handle", base=1, handle="shoe:none", value=1.0)
        assert talk.answer_to(number)["type"] == "refused"
        assert visit.revision() == 1


UNREADABLE = (
    "", "[]", "null", "{", '{"type":"view","units":"furlongs"}', '{"type":"edits","id":7}',
    '{"type":"sing"}', '{"type":"undo","base":1,"id":1e400,"token":"a"}', '"\\ud800"',
)  # fmt: skip


def test_a_message_that_cannot_be_read_is_refused_and_the_talk_goes_on(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        for text in UNREADABLE:
            socket.send(text)
            assert talk.until(lambda m: m["type"] == "refused")["faults"], text
        assert talk.answer_to(talk.set_density("1.21 sg", 1))["type"] != "refused"


def test_bytes_end_the_connection_and_nothing_else(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        socket.send(b"\x00\xff")
        with pytest.raises(ConnectionClosed):
            talk.until(lambda m: False)
    with visit.live() as socket:
        Talk(socket).until_revision(1)


def test_a_view_changes_what_is_sent(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        step = talk.scene["steps"][2]["name"]
        talk.say("view", step=step, units="oilfield", datum="sea bed")
        talk.until(lambda m: m["type"] == "ledger" and talk.scene["system"] == "oilfield")
        assert (talk.scene["step"], talk.scene["system"]) == (step, "oilfield")
        assert talk.scene["datum"] == "sea bed"
        assert any("ft" in row["depth"] for row in talk.rows.values())


def test_a_page_that_asks_faster_than_it_reads_is_sent_the_newest_view_only(visit: Visit) -> None:
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        before = len(talk.heard)
        for number in range(400):
            talk.say("view", units=("metric", "oilfield")[number % 2], step="hold-station")
        talk.say("view", units="oilfield", datum="sea bed", step="")
        # refused, and a mark in the order of answers
        last = talk.answer_to(talk.say("undo", base=1))
        assert last["type"] == "refused"
        while talk.scene["datum"] != "sea bed":
            talk.hear()
        assert talk.scene["system"] == "oilfield"
        states = [m for m in talk.heard[before:] if m["type"] == "state"]
        assert len(states) < 100


def test_two_pages_see_one_another_and_each_others_edits(visit: Visit, address: str) -> None:
    other = Visit(address)
    with visit.live() as one, other.live(units="oilfield") as two:
        here, there = Talk(one), Talk(two)
        here.until_revision(1)
        there.until_revision(1)
        made = here.answer_to(here.set_density("1.21 sg", 1))
        there.until_revision(made["revision"])
        clash = there.answer_to(there.set_density("1.3 sg", 1))
        assert clash["type"] == "conflict"
        assert clash["keys"] == [DENSITY]
        assert clash["revision"] == made["revision"]
        assert ["local"] in [m.get("names") for m in here.heard]
        seen = there.answer_to(there.set_density("1.3 sg", made["revision"]))
        assert seen["type"] == "accepted"


def test_who_may_only_read_sees_and_does_not_change(guarded: str) -> None:
    visit = Visit(guarded)
    visit.login("Rhea")
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        refused = talk.answer_to(talk.set_density("1.21 sg", 1))
        assert refused["type"] == "refused"
        assert refused["faults"][0]["where"] == "role"


def test_who_logs_out_is_sent_nothing_more(guarded: str) -> None:
    visit, other = Visit(guarded), Visit(guarded)
    visit.login("Edda")
    other.login("Sigrid")
    with visit.live() as socket:
        talk = Talk(socket)
        talk.until_revision(1)
        visit.post("/logout")
        assert other.set_density("1.21 sg", 1).status_code == 200
        with pytest.raises(ConnectionClosed) as closed:
            talk.until_revision(2)
        assert closed.value.rcvd is not None
        assert closed.value.rcvd.code == 4401


def test_without_a_session_the_connection_is_closed_at_once(guarded: str) -> None:
    with Visit(guarded).live() as socket, pytest.raises(ConnectionClosed) as closed:
        socket.recv(PATIENCE)
    assert closed.value.rcvd is not None
    assert closed.value.rcvd.code == 4401


@pytest.mark.parametrize("hole", ["nowhere", ".bathybore", "riserless%00", "riserless%20"])
def test_a_hole_that_is_not_there_is_not_opened(visit: Visit, hole: str) -> None:
    with visit.live(hole) as socket, pytest.raises(ConnectionClosed) as closed:
        socket.recv(PATIENCE)
    assert closed.value.rcvd is not None
    assert closed.value.rcvd.code == 4404


@pytest.mark.parametrize("origin", ["https://elsewhere.example", "null", None])
def test_a_foreign_page_gets_no_connection(visit: Visit, origin: Any) -> None:
    cookies = "; ".join(f"{name}={value}" for name, value in visit.http.cookies.items())
    where = f"{visit.address.replace('http', 'ws')}/api/holes/riserless/live"
    headers = {"Cookie": cookies}
    with pytest.raises(InvalidStatus) as refused:
        connect(where, origin=origin, additional_headers=headers, proxy=None)
    assert refused.value.response.status_code == 403
