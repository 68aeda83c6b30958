"""The chapters on cuttings, trips and cement jobs: whole tables, a picture each, none lost."""

from __future__ import annotations

import pytest

from bathybore.base.errors import NotConverged
from bathybore.reports.blocks import Drawing, Facts, Table, Text
from bathybore.reports.chapters import Writer
from bathybore.reports.placing_chapter import placing
from bathybore.usecases.ledger import ledger
from bathybore.usecases.walking import Walk


@pytest.fixture(scope="module")
def writer(main_walk: Walk) -> Writer:
    return Writer(main_walk, ledger(main_walk, "metric"), "metric")


def test_every_section_and_casing_has_facts_and_tables_and_the_deepest_a_picture(
    writer: Writer,
) -> None:
    chapters = {one.title: one.blocks for one in placing(writer)}
    assert list(chapters) == ["Cuttings", "Trips", "Cement jobs"]
    for title, count, drawn in (("Cuttings", 6, 1), ("Trips", 6, 1), ("Cement jobs", 4, 4)):
        blocks = chapters[title]
        assert sum(isinstance(one, Facts) for one in blocks) == count
        assert sum(isinstance(one, Drawing) for one in blocks) == drawn
        for table in (one for one in blocks if isinstance(one, Table)):
            assert table.rows
            assert all(len(row) == len(table.columns) for row in table.rows)
        last = blocks[-1]
        assert isinstance(last, Text)
        assert "licensed engineer" in last.text


def test_the_trip_sheet_is_printed(writer: Writer) -> None:
    (_, trips, _) = placing(writer)
    captions = [one.caption for one in trips.blocks if isinstance(one, Table)]
    assert "section-812: trip sheet, cumulative" in captions


def test_a_solver_that_gives_up_costs_its_chapter_only(
    writer: Writer, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gives_up(_: Walk) -> None:
        raise NotConverged("free fall of cement")

    monkeypatch.setattr("bathybore.reports.placing_chapter.cement_jobs", gives_up)
    cuttings, _, cement = placing(writer)
    assert any(isinstance(one, Facts) for one in cuttings.blocks)
    told = cement.blocks[-1]
    assert isinstance(told, Text)
    assert told.kind == "warning"
    assert "did not converge" in told.text
