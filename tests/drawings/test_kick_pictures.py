"""Pictures of kicks and of the mud: drawn without overlap of sheet, told in words."""

from __future__ import annotations

import pytest

from bathybore.drawings.hydrates import draw_hydrates
from bathybore.drawings.kick import draw_kick
from bathybore.drawings.kick_tolerance import draw_tolerance
from bathybore.drawings.mud_account import draw_mud
from bathybore.drawings.picture import Sheet, settings
from bathybore.usecases.kicking import SectionKick, kicks
from bathybore.usecases.mud_account import account_of
from bathybore.usecases.walking import Walk


@pytest.fixture(scope="module")
def deep(main_walk: Walk) -> SectionKick:
    (one,) = kicks(main_walk, "section-812")
    return one


def on_the_sheet(sheet: Sheet) -> None:
    """Every text lies on the paper."""
    figure = sheet.figure
    figure.canvas.draw()
    box = figure.bbox
    for axes in figure.axes:
        for text in [*axes.texts, axes.xaxis.label, axes.yaxis.label]:
            if text.get_text() and text.get_visible() and axes.axison:
                extent = text.get_window_extent()
                assert extent.x0 >= box.x0 - 1.0, text.get_text()
                assert extent.y0 >= box.y0 - 1.0, text.get_text()
                assert extent.x1 <= box.x1 + 1.0, text.get_text()


@pytest.mark.parametrize("units", ["metric", "oilfield"])
def test_a_kick_and_its_hydrates_are_drawn(deep: SectionKick, units: str) -> None:
    with settings():
        kick, cold = draw_kick(deep, units), draw_hydrates(deep, units)  # type: ignore[arg-type]
        for sheet in (kick, cold):
            on_the_sheet(sheet)
    assert "driller's method" in kick.alt
    assert "hydrate is stable below" in cold.alt


def test_the_tolerance_of_all_sections_is_drawn(main_walk: Walk) -> None:
    found = kicks(main_walk)
    with settings():
        sheet = draw_tolerance(found)
        on_the_sheet(sheet)
    for one in found:
        assert one.section in sheet.alt


def test_the_account_is_drawn_for_every_example(example_walk: Walk) -> None:
    with settings():
        sheet = draw_mud(account_of(example_walk))
        on_the_sheet(sheet)
    assert "go into the sea" in sheet.alt


def test_the_same_picture_gives_the_same_bytes(deep: SectionKick) -> None:
    with settings():
        assert draw_kick(deep).finished().svg == draw_kick(deep).finished().svg
