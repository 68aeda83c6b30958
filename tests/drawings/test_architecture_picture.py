"""Proposals side by side: every text on the sheet and none over another, same bytes every time."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import pytest
from matplotlib.text import Text

from bathybore.drawings.architectures import architectures_picture, draw_architectures
from bathybore.drawings.picture import settings
from bathybore.model.editing import Draft, Edit, read_draft
from bathybore.usecases.searching import Found, SearchOrder, find_architectures
from varied import EXAMPLES

ORDER = SearchOrder(walk=False, spacing=50.0)


@cache
def drawn(name: str, *edits: Edit) -> tuple[Draft, Found]:
    draft = read_draft(EXAMPLES / name).edited(edits)
    return draft, find_architectures(draft, ORDER)


CLOSED = Edit("set", "design_basis.fracture_margin", "120 kg/m3")


@pytest.mark.parametrize(
    ("name", "edits"), [("main", ()), ("frontier", ()), ("riserless", ()), ("main", (CLOSED,))]
)
def test_texts_stay_on_the_sheet_and_apart(name: str, edits: tuple[Edit, ...]) -> None:
    draft, found = drawn(name, *edits)
    assert draft.hole is not None
    with settings():
        sheet = draw_architectures(draft.hole, found)
        renderer = sheet.figure.canvas.get_renderer()  # type: ignore[attr-defined]
        sheet.figure.draw(renderer)
        width, height = sheet.figure.canvas.get_width_height()
        boxes = [
            (text.get_text(), text.get_window_extent(renderer))
            for text in sheet.figure.findobj(Text)
            if text.get_visible() and text.get_text().strip()
        ]
    assert len(boxes) > 10
    for text, box in boxes:
        assert box.x0 >= 0, text
        assert box.y0 >= 0, text
        assert box.x1 <= width, text
        assert box.y1 <= height, text
    for (text, box), (other, beside) in combinations(boxes, 2):
        across = min(box.x1, beside.x1) - max(box.x0, beside.x0)
        over = min(box.y1, beside.y1) - max(box.y0, beside.y0)
        assert across < 2.0 or over < 3.0, f"{text!r} over {other!r}"


def test_the_picture_tells_in_words_what_it_shows() -> None:
    draft, found = drawn("main")
    assert draft.hole is not None
    picture = architectures_picture(draft.hole, found)
    assert picture.svg == architectures_picture(draft.hole, found).svg
    for casing in (s.casing for s in found.proposals[0].sections if s.casing is not None):
        assert f"{casing.shoe.metres:,.0f}".replace(",", "\u202f") in picture.alt
    assert "4\u202f950 m below sea bed" in picture.alt
    closed, none = drawn("main", CLOSED)
    assert closed.hole is not None
    told = architectures_picture(closed.hole, none)
    assert told.title == "What closes every way"
    assert "collapse pressure against" in told.alt
