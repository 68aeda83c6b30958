"""The prognosis through the server: findings, curves, one node opened, taken in as an edit."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from served import Visit, copied, running


@pytest.fixture
def main(tmp_path: Path) -> Iterator[Visit]:
    with running(copied(tmp_path, "main")) as address:
        yield Visit(address)


def test_findings_curves_and_a_node_are_told(main: Visit) -> None:
    told = main.get("/holes/main/prognosis").json()
    assert {one["kind"] for one in told["findings"]} == {"doubt", "note"}
    assert "licensed engineer" in told["caution"]
    names = [one["name"] for one in told["curves"]]
    row = told["rows"][20]
    assert len(row["cells"]) == len(names)
    pore = row["cells"][names.index("pore_pressure")]
    node = main.get("/holes/main/prognosis/curves/pore_pressure", at=row["at"]).json()
    assert node["opened"]["value"]["text"].startswith(pore.split()[0])
    assert any(note.get("equation") == "eaton_sonic" for note in node["opened"]["steps"])


def test_it_becomes_the_earth_table_by_an_edit_and_the_walk_follows(main: Visit) -> None:
    told = main.get("/holes/main/prognosis").json()
    edit = {"op": "table", "file": told["table"], "text": told["text"]}
    made = main.change("/holes/main/edits", base=1, edits=[edit])
    assert made.status_code == 200
    rows = main.get("/holes/main/tables/earth").json()["rows"]
    assert len(rows) == told["nodes"]
    assert main.get("/holes/main/scene").json()["faults"] == []


def test_the_picture_is_drawn(main: Visit) -> None:
    answer = main.get("/holes/main/prognosis/picture.svg", units="oilfield")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert len(answer.text) > 10_000


def test_a_hole_without_a_prognosis_says_what_is_missing(visit: Visit) -> None:
    answer = visit.get("/holes/riserless/prognosis")
    assert answer.status_code == 422
    assert "prognosis.yaml" in answer.json()["faults"][0]["where"]


def test_a_curve_that_is_not_there_is_told(main: Visit) -> None:
    answer = main.get("/holes/main/prognosis/curves/pore", at="500 m below sea bed")
    assert answer.status_code == 422
    assert "pore_pressure" in str(answer.json()["faults"])
