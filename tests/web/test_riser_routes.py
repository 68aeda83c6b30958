"""The riser in the sea through the server."""

from __future__ import annotations

import pytest
from served import Visit

PARTS = ("shape", "modes", "waves", "vibration", "hang-off")


def test_pipe_in_open_water_is_told_where_there_is_no_riser(visit: Visit) -> None:
    told = visit.get("/holes/riserless/riser/open-water", units="oilfield").json()
    assert not told["missing"]
    for table in told["tables"]:
        assert table["rows"]
        assert all(len(row) == len(table["titles"]) for row in table["rows"])
    assert told["rows"]
    for row in told["rows"]:
        opened = visit.get(f"/holes/riserless/checks/{row['id']}").json()
        assert opened["margin"] == row["margin"]


def test_a_picture_is_drawn_by_the_server(visit: Visit) -> None:
    answer = visit.get("/holes/riserless/riser/open-water/picture.svg")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.text.lstrip().startswith("<?xml")
    assert "script" not in answer.text


@pytest.mark.parametrize("part", PARTS)
def test_without_a_riser_it_is_said(visit: Visit, part: str) -> None:
    told = visit.get(f"/holes/riserless/riser/{part}").json()
    assert "without a riser" in told["missing"]
    assert visit.get(f"/holes/riserless/riser/{part}/picture.svg").status_code == 422


def test_a_part_that_is_not_there_is_refused(visit: Visit) -> None:
    assert visit.get("/holes/riserless/riser/nothing").status_code == 422
