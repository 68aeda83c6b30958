"""Kicks, kill sheets and the account of the mud through the server."""

from __future__ import annotations

from pathlib import Path

import pytest
from served import Visit, copied, running


@pytest.fixture(scope="module")
def deep(tmp_path_factory: pytest.TempPathFactory) -> Visit:
    """A visit to the hole with a riser; nothing is changed in it."""
    folder: Path = copied(tmp_path_factory.mktemp("kicks"), "main")
    with running(folder) as address:
        yield Visit(address)  # type: ignore[misc]


def test_the_kick_of_the_deepest_section_is_told_and_its_rows_open(deep: Visit) -> None:
    told = deep.get("/holes/main/kick", units="oilfield").json()
    assert told["sections"] == ["section-1712", "section-1214", "section-812", "core-hole"]
    kick = told["kick"]
    assert kick["section"] == "core-hole"
    for table in (kick["story"], kick["sheet"]["schedule"], kick["sheet"]["stages"]):
        assert table["rows"]
        assert all(len(row) == len(table["titles"]) for row in table["rows"])
    assert "psi" in kick["sheet"]["gauges"][0]["text"]
    assert kick["rows"]
    opened = deep.get(f"/holes/main/checks/{kick['rows'][0]['id']}").json()
    assert opened["steps"]
    assert "licensed engineer" in told["caution"]


@pytest.mark.parametrize("which", ["story", "tolerance", "hydrates"])
def test_pictures_of_kicks_are_drawn_by_the_server(deep: Visit, which: str) -> None:
    answer = deep.get(f"/holes/main/kick/{which}.svg", section="section-812")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.text.lstrip().startswith("<?xml")
    assert "script" not in answer.text


def test_a_section_that_has_no_kick_is_told(deep: Visit) -> None:
    answer = deep.get("/holes/main/kick", section="section-811")
    assert answer.status_code == 422
    assert "section-812" in answer.json()["faults"][0]["fix"]


def test_the_mud_is_told_and_drawn(deep: Visit) -> None:
    told = deep.get("/holes/main/mud").json()
    assert {one["label"] for one in told["facts"]} >= {"Built", "Into the sea", "Cost"}
    for name in ("moved", "stands"):
        table = told[name]
        assert table["rows"]
        assert all(len(row) == len(table["titles"]) for row in table["rows"])
    picture = deep.get("/holes/main/mud/picture.svg")
    assert picture.headers["content-type"] == "image/svg+xml"


def test_without_a_riser_there_is_no_kick_to_shut_in_and_no_error(visit: Visit) -> None:
    told = visit.get("/holes/riserless/kick").json()
    assert told["sections"] == []
    assert told["kick"] is None
    assert visit.get("/holes/riserless/kick/story.svg").status_code == 422
    assert visit.get("/holes/riserless/mud").json()["moved"]["rows"]
