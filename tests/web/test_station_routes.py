"""Station keeping through the server."""

from __future__ import annotations

import pytest
from served import Visit


def test_capability_is_told_and_every_row_opens(visit: Visit) -> None:
    told = visit.get("/holes/riserless/station/capability", units="oilfield").json()
    assert not told["missing"]
    for table in told["tables"]:
        assert all(len(row) == len(table["titles"]) for row in table["rows"])
        assert len(set(table["titles"])) == len(table["titles"])
    names = {row["check"] for row in told["rows"]}
    assert {"hold-intact", "heading-sector"} <= names
    for row in told["rows"]:
        opened = visit.get(f"/holes/riserless/checks/{row['id']}").json()
        assert opened["margin"] == row["margin"]


def test_a_picture_is_drawn_by_the_server(visit: Visit) -> None:
    answer = visit.get("/holes/riserless/station/capability/picture.svg")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.text.lstrip().startswith("<?xml")
    assert "script" not in answer.text


def test_without_a_riser_there_are_no_circles_and_it_is_said(visit: Visit) -> None:
    told = visit.get("/holes/riserless/station/circles").json()
    assert "no riser" in told["missing"]
    assert not told["facts"]
    assert visit.get("/holes/riserless/station/circles/picture.svg").status_code == 422


@pytest.mark.parametrize("part", ["nothing", "all"])
def test_a_part_that_is_not_there_is_refused(visit: Visit, part: str) -> None:
    assert visit.get(f"/holes/riserless/station/{part}").status_code == 422
