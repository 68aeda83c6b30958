"""Every picture: texts apart and on the paper, the same bytes twice, words for who cannot see."""

from __future__ import annotations

import itertools
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from bathybore.base.units import UnitSystem
from bathybore.drawings import palette
from bathybore.drawings.diameters import diameter_picture, draw_diameters, passages
from bathybore.drawings.hole import draw_hole, hole_picture
from bathybore.drawings.picture import Picture, Sheet, settings
from bathybore.drawings.timing import draw_time, stretches, time_picture
from bathybore.drawings.window import draw_window, window_picture
from bathybore.usecases.outline import drilled
from bathybore.usecases.pressures import mud_lines
from bathybore.usecases.walking import Walk

EXAMPLE = Path(__file__).parents[2] / "examples" / "main"
DRAWINGS = (draw_window, draw_hole, draw_diameters, draw_time)
PICTURES = (window_picture, hole_picture, diameter_picture, time_picture)
SYSTEMS: tuple[UnitSystem, ...] = ("metric", "oilfield")


def boxes(figure: Figure) -> list[tuple[str, Bbox]]:
    """Return every text that is seen with the box round its letters."""
    figure.draw_without_rendering()
    undrawn = set()  # labels of ticks outside their axes
    for axes in figure.axes:
        low, high = axes.get_xlim()
        for tick in axes.xaxis.get_major_ticks():
            if not low <= tick.get_loc() <= high:
                undrawn |= {tick.label1, tick.label2}
    texts = [t for t in figure.findobj(Text) if t.get_visible() and t.get_text().strip()]
    return [(t.get_text(), t.get_window_extent()) for t in texts if t not in undrawn]


def overlap(one: Bbox, other: Bbox) -> float:
    """Return by how many tenths of a millimetre two boxes lie over one another."""
    wide = min(one.x1, other.x1) - max(one.x0, other.x0)
    high = min(one.y1, other.y1) - max(one.y0, other.y0)
    return min(wide, high)


@pytest.mark.parametrize("hole", ["example", "riserless"])
@pytest.mark.parametrize("units", SYSTEMS)
@pytest.mark.parametrize("draw", DRAWINGS)
def test_no_text_lies_over_another(
    draw: Callable[..., Sheet], units: UnitSystem, hole: str, request: pytest.FixtureRequest
) -> None:
    walk: Walk = request.getfixturevalue(hole)
    with settings():
        found = boxes(draw(walk, units).figure)
    assert len(found) > 10
    over = [
        (a, b)
        for (a, one), (b, other) in itertools.combinations(found, 2)
        if overlap(one, other) > 1.0
    ]
    assert not over


@pytest.mark.parametrize("hole", ["example", "riserless"])
@pytest.mark.parametrize("units", SYSTEMS)
@pytest.mark.parametrize("draw", DRAWINGS)
def test_every_text_lies_on_the_paper(
    draw: Callable[..., Sheet], units: UnitSystem, hole: str, request: pytest.FixtureRequest
) -> None:
    walk: Walk = request.getfixturevalue(hole)
    with settings():
        figure = draw(walk, units).figure
        found = boxes(figure)
    width, height = figure.bbox.width, figure.bbox.height
    off = [
        text
        for text, box in found
        if box.x0 < -1.0 or box.y0 < -1.0 or box.x1 > width + 1.0 or box.y1 > height + 1.0
    ]
    assert not off


@pytest.mark.parametrize("make", PICTURES)
def test_the_same_walk_gives_the_same_bytes(make: Callable[..., Picture], example: Walk) -> None:
    assert make(example) == make(example)


@pytest.mark.parametrize("make", PICTURES)
def test_a_picture_is_an_svg_without_dates_fonts_or_requests(
    make: Callable[..., Picture], example: Walk
) -> None:
    svg = make(example).svg
    ElementTree.fromstring(svg)
    for unwanted in ("<text", "dc:date", "font-family", "<image", "<script", "@import"):
        assert unwanted not in svg


@pytest.mark.parametrize("make", PICTURES)
def test_a_picture_says_in_words_what_it_shows(make: Callable[..., Picture], example: Walk) -> None:
    picture = make(example)
    assert picture.title
    assert picture.alt.endswith(".")
    assert "below the" in picture.alt  # a depth is never told without its datum
    assert "casing-1338" in picture.alt or "mud-1" in picture.alt


def test_lines_of_the_window_differ_without_their_colours() -> None:
    strokes = (
        palette.PORE,
        palette.NEEDED,
        palette.COLLAPSE,
        palette.AT_REST,
        palette.FRACTURE,
        palette.BORNE,
        palette.CIRCULATING,
    )
    assert len({(stroke.width, stroke.dashes) for stroke in strokes}) == len(strokes)


def test_drawing_leaves_no_trace_in_the_library() -> None:
    code = (
        "import sys, matplotlib;"
        "ours = ('svg.hashsalt', 'svg.fonttype', 'text.parse_math', 'font.size');"
        "before = [matplotlib.rcParams[key] for key in ours];"
        "from pathlib import Path;"
        "from bathybore.usecases.walking import walk;"
        "from bathybore.drawings.timing import time_picture;"
        f"time_picture(walk(Path({str(EXAMPLE)!r})));"
        "assert [matplotlib.rcParams[key] for key in ours] == before;"
        "assert 'matplotlib.pyplot' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


# -- what is drawn ---------------------------------------------------------------------------


def test_the_pore_line_is_the_table_as_density_to_the_drill_floor(example: Walk) -> None:
    hole = example.hole
    with settings():
        figure = draw_window(example).figure
    density = figure.axes[1]
    line = next(
        one
        for one in density.lines
        if one.get_color() == palette.PORE.colour and one.get_linewidth() == palette.PORE.width
    )
    x, z = (np.asarray(values, dtype=float) for values in line.get_data())
    gravity = 9.795433  # GRS 80 at 32.7 degrees north, to six digits
    below_floor = z + hole.vessel.drill_floor_height
    rows = np.isin(np.round(z - 2480.0, 6), hole.earth.depths)
    table = hole.earth.numbers["pore_pressure"][: int(rows.sum())]
    assert x[rows] * gravity * below_floor[rows] == pytest.approx(table, rel=1e-5)


def test_the_mud_at_rest_lies_above_pore_pressure_only_where_it_does(example: Walk) -> None:
    """A curve is drawn over its own open hole: shoe above to bottom of the section."""
    muds = mud_lines(example)
    assert [mud.section for mud in muds] == [s.name for s in example.hole.plan.sections]
    for mud, section in zip(muds, example.hole.plan.sections, strict=True):
        assert mud.z[-1] == pytest.approx(example.hole.z(section.bottom))
        assert mud.density == example.hole.plan.fluids[mud.fluid].density


def test_a_hole_without_riser_shows_none(riserless: Walk) -> None:
    assert "no riser" in hole_picture(riserless).alt
    assert "collapse" not in window_picture(riserless).alt


def test_the_drilled_holes_reach_from_the_sea_bed_to_the_bottom_without_gaps(
    example: Walk,
) -> None:
    cuts = drilled(example.states[-1])
    assert cuts[0].top == example.hole.sea_bed
    assert cuts[-1].bottom == example.states[-1].bottom
    for upper, lower in itertools.pairwise(cuts):
        assert lower.top == upper.bottom
        assert lower.diameter <= upper.diameter


def test_what_passes_never_widens_on_the_way_down(example: Walk) -> None:
    left = passages(example.states[-1])
    widths = [piece.diameter for piece in left]
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] <= 6.0 * 0.0254 + 1e-9  # nothing wider than the hole that is cored
    assert left[0].top == example.hole.sea_bed


def test_times_add_up_and_only_time_on_bottom_deepens(example: Walk) -> None:
    parts = stretches(example)
    legs = [leg for part in parts for leg in part.legs]
    assert legs[0].start == 0.0
    assert legs[-1].end == pytest.approx(example.states[-1].elapsed / 86400.0)
    for one, two in itertools.pairwise(legs):
        assert two.start == pytest.approx(one.end)
        assert two.top == pytest.approx(one.bottom)
    on_bottom = sum(leg.length for leg in legs if leg.deepens)
    flat = sum(part.flat for part in parts)
    assert on_bottom + flat == pytest.approx(legs[-1].end)
    deepened = sum(part.deepened for part in parts)
    assert deepened == pytest.approx(example.states[-1].bottom - example.hole.sea_bed)
