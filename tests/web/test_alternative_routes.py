"""Alternatives through the server: strings from the stock, architectures, and their adoption."""

from __future__ import annotations

from served import Visit


def test_the_choice_of_steel_is_answered_and_every_row_opens(visit: Visit) -> None:
    told = visit.get("/holes/riserless/steel", units="oilfield").json()
    (string,) = told["strings"]
    assert string["passes"] is True
    assert string["parts"][0]["top"].endswith("ft below sea bed")
    assert "licensed engineer" in told["caution"]
    margins = [row["margin"] for row in string["rows"]]
    assert margins == sorted(margins)
    opened = visit.get(f"/holes/riserless/checks/{string['rows'][0]['id']}").json()
    assert opened["margin"] == string["rows"][0]["margin"]
    assert opened["steps"]


def test_the_picture_is_drawn_by_the_server(visit: Visit) -> None:
    (string,) = visit.get("/holes/riserless/steel").json()["strings"]
    answer = visit.get(f"/holes/riserless/steel/{string['casing']}/picture.svg")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.text.lstrip().startswith("<?xml")
    assert "script" not in answer.text


def test_a_casing_that_is_not_there_is_told(visit: Visit) -> None:
    answer = visit.get("/holes/riserless/steel/casing-1/picture.svg")
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["where"] == "casing"


def test_the_choice_follows_an_edit(visit: Visit) -> None:
    before = visit.get("/holes/riserless/steel").json()
    visit.set_density("1.21 sg", 1)
    after = visit.get("/holes/riserless/steel").json()
    assert after["revision"] > before["revision"]


def test_architectures_are_searched_and_one_becomes_the_plan(visit: Visit) -> None:
    before = visit.revision()
    found = visit.get("/holes/riserless/architectures", alternatives=1).json()
    assert found["revision"] == before
    first = found["proposals"][0]
    assert first["sections"][-1]["z_bottom"] == found["z_target"]
    assert first["passes"] is False or first["findings"] == []
    made = visit.change("/holes/riserless/edits", base=before, edits=first["edits"])
    assert made.status_code == 200
    ledger = visit.get("/holes/riserless/ledger").json()
    failing = {row["id"] for row in ledger["rows"] if row["status"] not in ("holds", "tight")}
    assert {one["id"] for one in first["findings"]} == failing


def test_a_system_that_does_not_exist_is_told(visit: Visit) -> None:
    answer = visit.get("/holes/riserless/architectures", circulation="steam")
    assert answer.status_code == 422
    assert "riser" in answer.json()["faults"][0]["expected"]


def test_the_string_that_reaches_deepest_is_told_and_drawn(visit: Visit) -> None:
    told = visit.get("/holes/riserless/string").json()
    assert {one["label"] for one in told["facts"]} >= {"Reach", "Target", "Ended by"}
    opened = visit.get(f"/holes/riserless/checks/{told['rows'][0]['id']}").json()
    assert opened["steps"]
    picture = visit.get("/holes/riserless/string/picture.svg")
    assert picture.headers["content-type"] == "image/svg+xml"
