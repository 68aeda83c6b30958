"""The plan and the search's proposals side by side, with what members say of each."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import pytest
from matplotlib.text import Text

from bathybore.base.units import UnitSystem
from bathybore.drawings.odds_architectures import architecture_odds_picture, draw_architecture_odds
from bathybore.drawings.picture import settings
from bathybore.ensembles.choosing import Goal
from bathybore.ensembles.odds import Share
from bathybore.model.editing import read_draft
from bathybore.usecases.odds_architectures import Architectures, ArchitecturesTold, Other
from bathybore.usecases.searching import SearchOrder, find_architectures
from varied import EXAMPLES


@pytest.fixture(scope="module")
def told() -> ArchitecturesTold:
    """The main hole with four proposals, of which the last could not be asked."""
    draft = read_draft(EXAMPLES / "main")
    proposals = find_architectures(draft, SearchOrder(walk=False, spacing=50.0)).proposals[:4]
    assert len(proposals) == 4
    assert draft.hole is not None
    share = Share(40, 64, 0.503, 0.734)
    tried = [
        Other(one, share, 0.1, -0.023, 0.2, "casing strength by cement-a/burst: 9%")
        for one in proposals[:3]
    ]
    tried.append(Other(proposals[3], Share(0, 0, 0.0, 1.0), 0.0, 0.0, 0.0, why_not="too short"))
    found = Architectures(draft.hole, Goal.odds, share, tuple(tried), 1, 0.08, -0.01, 0.17)
    return ArchitecturesTold(found, None)


def _texts(told: ArchitecturesTold, units: UnitSystem) -> Iterator[Text]:
    sheet = draw_architecture_odds(told, units)
    renderer = sheet.figure.canvas.get_renderer()  # type: ignore[attr-defined]
    sheet.figure.draw(renderer)
    width, height = sheet.figure.canvas.get_width_height()
    texts = [one for one in sheet.figure.findobj(Text) if one.get_text().strip()]
    boxes = [(one.get_text(), one.get_window_extent(renderer)) for one in texts]
    for text, box in boxes:
        assert 0 <= box.x0 < box.x1 <= width, text
        assert 0 <= box.y0 < box.y1 <= height, text
    for (text, box), (other, beside) in combinations(boxes, 2):
        across = min(box.x1, beside.x1) - max(box.x0, beside.x0)
        over = min(box.y1, beside.y1) - max(box.y0, beside.y0)
        assert across < 2.0 or over < 3.0, f"{text!r} over {other!r}"
    yield from texts


@pytest.mark.parametrize("units", ["metric", "oilfield"])
def test_five_ways_stand_side_by_side_no_text_over_another(
    told: ArchitecturesTold, units: UnitSystem
) -> None:
    with settings():
        words = [one.get_text() for one in _texts(told, units)]
    assert sum("at the target 62.5%" in one for one in words) == 4  # the plan and three
    assert any("could not be asked" in one for one in words)
    assert any("ppg" in one for one in words) == (units == "oilfield")


def test_the_picture_tells_in_words_what_it_shows(told: ArchitecturesTold) -> None:
    alt = architecture_odds_picture(told, "oilfield").alt
    assert alt.startswith("Architectures asked of members, to ")
    assert " ft below" in alt.split(".")[0]
    assert "as planned, at the target 62.5%" in alt
    assert "do not show that it is worth more than the plan" in alt
