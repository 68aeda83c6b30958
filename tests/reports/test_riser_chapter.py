"""The chapters on the riser in the sea and pipe in open water."""

from __future__ import annotations

import pytest

from bathybore.base.errors import NotConverged
from bathybore.reports.blocks import Drawing, Facts, Table, Text
from bathybore.reports.chapters import Writer
from bathybore.reports.riser_chapter import risers
from bathybore.usecases.ledger import ledger
from bathybore.usecases.walking import Walk


def _writer(walk: Walk) -> Writer:
    return Writer(walk, ledger(walk, "metric"), "metric")


def test_every_part_has_facts_and_a_picture(main_walk: Walk) -> None:
    riser, pipe = risers(_writer(main_walk))
    assert (riser.title, pipe.title) == ("Riser in the sea", "Pipe in open water")
    assert sum(isinstance(one, Facts) for one in riser.blocks) == 5
    assert sum(isinstance(one, Drawing) for one in riser.blocks) == 5
    for table in (one for one in riser.blocks if isinstance(one, Table)):
        assert table.rows
        assert all(len(row) == len(table.columns) for row in table.rows)
    last = riser.blocks[-1]
    assert isinstance(last, Text)
    assert "licensed engineer" in last.text


def test_a_walk_that_stops_before_the_riser_has_its_pipe_only(short: Walk) -> None:
    (pipe,) = risers(_writer(short))
    assert pipe.title == "Pipe in open water"


def test_a_solver_that_gives_up_is_told_in_its_place(
    main_walk: Walk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gives_up(_: object) -> None:
        raise NotConverged("pipe in open water: it is pressed and buckles")

    monkeypatch.setattr("bathybore.usecases.riser_in_sea.in_current", gives_up)
    _, pipe = risers(_writer(main_walk))
    facts = next(one for one in pipe.blocks if isinstance(one, Facts))
    assert "buckles" in dict(facts.rows)["Not worked out"]
