"""The chapter on odds and reach."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from bathybore.base.errors import InputErrors
from bathybore.model.editing import read_draft
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.reports import odds_chapter
from bathybore.reports.blocks import Chapter, Drawing, Facts, Items, Table, Text
from bathybore.reports.odds_chapter import odds_and_reach
from bathybore.reports.programme import Source, programme
from bathybore.usecases import odds_architectures
from bathybore.usecases.odds import OddsOrder, ensemble_of, odds, usual_odds
from bathybore.usecases.odds_told import OddsTold
from bathybore.usecases.placing_told import ToldTable
from bathybore.usecases.walking import Walk
from varied import EXAMPLES

FOLDER = EXAMPLES / "riserless"


@pytest.fixture(scope="module")
def hole() -> Hole:
    return load_hole(FOLDER)


@pytest.fixture(scope="module")
def chapter(hole: Hole) -> Chapter:
    (made,) = odds_and_reach(FOLDER, hole, "metric")
    return made


def test_it_has_the_pictures_every_table_and_the_cautions(chapter: Chapter, hole: Hole) -> None:
    drawings = [one for one in chapter.blocks if isinstance(one, Drawing)]
    assert [one.picture.title.split(" of ")[0] for one in drawings] == [
        "Odds",
        "What matters",
        "Reach",
    ]
    tables = {one.caption: one for one in chapter.blocks if isinstance(one, Table)}
    told = OddsTold(usual_odds(hole, load_uncertainty(FOLDER, hole))).topic("metric")
    for table in told.tables:
        assert tables[table.title].rows == table.rows
    for one in tables.values():
        assert all(len(row) == len(one.columns) for row in one.rows)
    warnings = [one.text for one in chapter.blocks if isinstance(one, Text) if one.kind != "plain"]
    assert all("licensed engineer" in text for text in warnings[-2:])


def test_the_usual_odds_are_worked_out_once_for_what_is_told(hole: Hole) -> None:
    told = load_uncertainty(FOLDER, hole)
    first = usual_odds(hole, told)
    assert usual_odds(hole, load_uncertainty(FOLDER, hole)) is first
    calm = replace(told, trouble={"": replace(told.trouble[""], chance=0.01, mean_share=0.01)})
    assert usual_odds(hole, calm).odds.spent["days"].p50 < first.odds.spent["days"].p50


def test_words_are_set_as_words_and_figures_as_figures(chapter: Chapter) -> None:
    kinds = {
        one.caption: [column.kind for column in one.columns]
        for one in chapter.blocks
        if isinstance(one, Table)
    }
    assert set(kinds["What is uncertain"]) == {"words"}
    assert kinds["Spent by those that come to the target"] == ["words", *["number"] * 4]


def test_a_short_name_keeps_its_room_beside_long_sentences() -> None:
    """A name of few letters has nowhere to break: it would run into the column beside it."""
    told = ToldTable(
        "rules", ("test", "then", "else", "so"), (("casing-1338", *["word " * 40] * 3),)
    )
    shares = [one.share for one in odds_chapter._table(told).columns]
    assert shares[0] / sum(shares) >= len("casing-1338") / odds_chapter._LINE
    assert shares[1] == shares[2] == shares[3] > shares[0]


@pytest.mark.soak
def test_it_is_in_the_programme_where_the_files_are_at_hand(short: Walk) -> None:
    whole = programme(short, source=Source(read_draft(FOLDER), FOLDER))
    titles = [one.title for one in whole.chapters]
    assert titles.index("Odds and reach") == titles.index("Alternatives") + 1
    assert "Odds and reach" not in {one.title for one in programme(short).chapters}


def test_a_hole_without_odds_keeps_its_other_chapters(
    hole: Hole, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An earth table that ends above the target: nothing could be said of what lies below."""

    def ends_too_high(_: object, __: object) -> None:
        raise InputErrors.one("earth.csv", "a table that ends at 300 m", "one to the target")

    monkeypatch.setattr(odds_chapter, "usual_odds", ends_too_high)
    (made,) = odds_and_reach(FOLDER, replace(hole), "metric")
    (items,) = [one for one in made.blocks if isinstance(one, Items)]
    assert "ends at 300 m" in items.texts[0]
    assert not [one for one in made.blocks if isinstance(one, Drawing)]


def test_a_document_that_cannot_be_used_is_an_error(hole: Hole, tmp_path: Path) -> None:
    shutil.copytree(FOLDER, tmp_path, dirs_exist_ok=True)
    (tmp_path / "uncertainty.yaml").write_text("factors:\n  luck: {spread: 1}\n")
    with pytest.raises(InputErrors, match=r"uncertainty\.yaml"):
        odds_and_reach(tmp_path, hole, "metric")


def test_architectures_are_told_drawn_and_tabled_where_asked_for(
    hole: Hole, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every proposal is taken for the plan itself here: their ledgers take their time."""
    monkeypatch.setattr(odds_architectures, "_asked", lambda plan, *given: (plan, ()))
    monkeypatch.setattr(odds_chapter, "_SEARCHED", 16)
    found = odds(ensemble_of(hole, load_uncertainty(FOLDER, hole)), OddsOrder(members=16))
    blocks = list(odds_chapter._architectures(found, read_draft(FOLDER), "metric"))
    assert [type(one) for one in blocks] == [Facts, Drawing, Table, Text]
    assert "Walk one before you choose it" in blocks[-1].text
