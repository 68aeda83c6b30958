"""Cement jobs, trips and cuttings through the server."""

from __future__ import annotations

import pytest
from served import Visit

KINDS = {"cement": "casing-1134", "trips": "top-hole", "cuttings": "top-hole"}


@pytest.mark.parametrize("kind", list(KINDS))
def test_all_are_told_and_every_row_opens(visit: Visit, kind: str) -> None:
    told = visit.get(f"/holes/riserless/placing/{kind}", units="oilfield").json()
    assert told["name"] in told["names"]
    assert KINDS[kind] in told["names"]
    assert told["facts"]
    for table in told["tables"]:
        assert table["rows"]
        assert all(len(row) == len(table["titles"]) for row in table["rows"])
        assert len(set(table["titles"])) == len(table["titles"])
    for row in told["rows"]:
        opened = visit.get(f"/holes/riserless/checks/{row['id']}").json()
        assert opened["margin"] == row["margin"]
    assert "licensed engineer" in told["caution"]


@pytest.mark.parametrize(("kind", "name"), list(KINDS.items()))
def test_pictures_are_drawn_by_the_server(visit: Visit, kind: str, name: str) -> None:
    answer = visit.get(f"/holes/riserless/placing/{kind}/picture.svg", name=name)
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.text.lstrip().startswith("<?xml")
    assert "script" not in answer.text


@pytest.mark.parametrize("kind", list(KINDS))
def test_a_name_that_is_not_there_is_told(visit: Visit, kind: str) -> None:
    answer = visit.get(f"/holes/riserless/placing/{kind}", name="nothing")
    assert answer.status_code == 422
    assert KINDS[kind] in str(answer.json()["faults"][0])


def test_the_time_of_a_job_is_told(visit: Visit) -> None:
    told = visit.get("/holes/riserless/placing/cement").json()
    names = {row["check"] for row in told["rows"]}
    assert {"placing-peak", "placing-least", "free-fall", "pump-out-in-time"} <= names
    assert any(table["title"] == "In time" for table in told["tables"])
