"""Circulations and fluids through the server."""

from __future__ import annotations

import pytest
from served import Visit


def test_a_circulation_is_told_and_every_row_opens(visit: Visit) -> None:
    told = visit.get("/holes/riserless/circulation", units="oilfield").json()
    assert told["step"] in told["steps"]
    assert {one["label"] for one in told["heat"]} >= {"At the bottom", "Undisturbed"}
    for name in ("nozzles", "annulus", "pipe"):
        table = told[name]
        assert table["rows"]
        assert all(len(row) == len(table["titles"]) for row in table["rows"])
    names = {row["check"] for row in told["rows"]}
    assert {"flow-window-low", "circulating-window", "pump-pressure"} <= names
    for row in told["rows"]:
        opened = visit.get(f"/holes/riserless/checks/{row['id']}").json()
        assert opened["margin"] == row["margin"]
    assert "licensed engineer" in told["caution"]


@pytest.mark.parametrize("which", ["circulation", "flow-window", "heat"])
def test_pictures_are_drawn_by_the_server(visit: Visit, which: str) -> None:
    answer = visit.get(f"/holes/riserless/circulation/{which}.svg", step="core")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.text.lstrip().startswith("<?xml")
    assert "script" not in answer.text


def test_a_step_that_is_not_there_is_told(visit: Visit) -> None:
    answer = visit.get("/holes/riserless/circulation", step="core-hol")
    assert answer.status_code == 422
    assert "core-hole" in answer.json()["faults"][0]["fix"]


def test_the_circulation_follows_an_edit(visit: Visit) -> None:
    before = visit.get("/holes/riserless/circulation").json()
    visit.set_density("1.21 sg", 1)
    after = visit.get("/holes/riserless/circulation").json()
    assert after["revision"] > before["revision"]


def test_fluids_are_told(visit: Visit) -> None:
    told = visit.get("/holes/riserless/fluids").json()
    assert {one["name"] for one in told["fluids"]} >= {"sea-water"}
    for fluid in told["fluids"]:
        assert {one["label"] for one in fluid["constants"]} >= {"density", "flow index"}
        assert fluid["density"]["rows"]
