"""The chapters on kicks and mud say what the use cases say, and why when there is nothing."""

from __future__ import annotations

from dataclasses import replace

from bathybore.reports.blocks import Facts, Items, Table
from bathybore.reports.chapters import Writer
from bathybore.reports.kick_chapter import kick_chapters
from bathybore.reports.mud_chapter import mud
from bathybore.usecases.kicking import sections_with_kicks
from bathybore.usecases.ledger import ledger
from bathybore.usecases.walking import Walk
from varied import changed


def writer_of(walk: Walk) -> Writer:
    return Writer(walk, ledger(walk, "metric"), "metric")


def test_every_riser_section_has_its_kick_and_its_sheet(main_walk: Walk) -> None:
    kicked, sheets = kick_chapters(writer_of(main_walk))
    told = {block.caption for block in kicked.blocks if isinstance(block, Facts)}
    written = {block.caption for block in sheets.blocks if isinstance(block, Facts)}
    for section in sections_with_kicks(main_walk):
        assert any(caption.startswith(section) for caption in told)
        assert f"Kill sheet of {section}" in written
    for block in (*kicked.blocks, *sheets.blocks):
        if isinstance(block, Table):
            assert all(len(row) == len(block.columns) for row in block.rows)


def test_without_a_riser_there_is_no_chapter_on_kicks_but_one_on_mud(example_walk: Walk) -> None:
    assert bool(kick_chapters(writer_of(example_walk))) == bool(sections_with_kicks(example_walk))
    chapter = mud(writer_of(example_walk))
    tables = [block for block in chapter.blocks if isinstance(block, Table)]
    assert all(len(row) == len(one.columns) for one in tables for row in one.rows)


def test_a_kick_that_cannot_be_followed_is_written_down_as_that(main_walk: Walk) -> None:
    hole = changed(main_walk.hole, "design_basis/slow_circulating_rate", 0.0)
    states = tuple(replace(state, hole=hole) for state in main_walk.states)
    (chapter,) = kick_chapters(writer_of(replace(main_walk, hole=hole, states=states)))
    (items,) = (block for block in chapter.blocks if isinstance(block, Items))
    assert "slow_circulating_rate" in items.texts[0]
