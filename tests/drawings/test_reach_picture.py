"""The picture of a reach: bars end where limits bite, and nothing lies off the sheet."""

from __future__ import annotations

from dataclasses import replace

import pytest
from matplotlib.patches import Rectangle

from bathybore.base.depth import Datum, Depth
from bathybore.base.units import UnitSystem
from bathybore.drawings.picture import Sheet, settings
from bathybore.drawings.reach import draw_reach
from bathybore.ensembles.odds import Spread
from bathybore.ensembles.shapes import LIMITS, Limit
from bathybore.model.loading import load_hole
from bathybore.model.uncertainty import load_uncertainty
from bathybore.usecases.reach import Reach, reach, with_spreads
from varied import EXAMPLES

BITES_AT = 412.0


@pytest.fixture(scope="module")
def found() -> Reach:
    """The riserless hole, told to bite by heat, with a spread."""
    folder = EXAMPLES / "riserless"
    hole = load_hole(folder)
    plain = reach(hole, load_uncertainty(folder, hole), reliefs=False)
    bites = tuple(
        replace(one, depth=Depth(BITES_AT, Datum.SEA_BED), short=True)
        if one.limit is Limit.HEAT
        else one
        for one in plain.bites
    )
    spread = Spread(300.0, 410.0, float("inf"), 400.0, 64)
    return with_spreads(replace(plain, bites=bites), {Limit.HEAT: spread}, 64)


def drawn(found: Reach, units: UnitSystem = "metric") -> Sheet:
    with settings():
        return draw_reach(found, units)


def bars(sheet: Sheet) -> list[float]:
    return [
        patch.get_height()
        for axes in sheet.figure.axes
        for patch in axes.patches
        if isinstance(patch, Rectangle)
    ]


def test_bars_end_where_limits_bite_or_are_no_more_asked(found: Reach) -> None:
    heights = bars(drawn(found))
    assert len(heights) == len(LIMITS)
    by_limit = {one.limit: one for one in found.bites}
    for limit, height in zip(LIMITS, heights, strict=True):
        one = by_limit[limit]
        assert height == (one.depth or one.asked_to).metres
    assert heights[LIMITS.index(Limit.HEAT)] == BITES_AT


def test_feet_for_those_who_read_feet(found: Reach) -> None:
    metres, feet = bars(drawn(found)), bars(drawn(found, "oilfield"))
    assert feet == pytest.approx([one / 0.3048 for one in metres])


@pytest.mark.parametrize("units", ["metric", "oilfield"])
def test_no_text_lies_off_the_sheet(found: Reach, units: UnitSystem) -> None:
    sheet = drawn(found, units)
    width, height = sheet.figure.get_size_inches() * sheet.figure.dpi
    told = 0
    for axes in sheet.figure.axes:
        for text in axes.texts:
            box = text.get_window_extent()
            assert box.x0 >= 0.0
            assert box.y0 >= 0.0
            assert box.x1 <= width
            assert box.y1 <= height
            told += bool(text.get_text())
    assert told > 20


def test_words_say_what_the_bars_show(found: Reach) -> None:
    assert "heat at 412 m below sea bed" in drawn(found).alt
    assert "512" not in drawn(found).alt


def test_the_spread_is_marked_only_where_there_is_one(found: Reach) -> None:
    def lines(sheet: Sheet) -> int:
        return sum(len(axes.lines) for axes in sheet.figure.axes)

    bare = replace(found, bites=tuple(replace(one, spread=None) for one in found.bites), members=0)
    assert lines(drawn(found)) - lines(drawn(bare)) == 4  # a stem, two ends, the middle
