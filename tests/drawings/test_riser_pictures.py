"""The pictures of the riser in the sea: on their sheet, the same every time, true to scale."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.base.units import UnitSystem
from bathybore.drawings.picture import settings
from bathybore.drawings.riser import draw_riser, in_words, riser_picture
from bathybore.usecases.riser_in_sea import PARTS, part_of
from bathybore.usecases.walking import Walk


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("units", ["metric", "oilfield"])
def test_every_part_is_drawn_on_its_sheet(main_walk: Walk, part: str, units: UnitSystem) -> None:
    one = part_of(main_walk, part)
    assert one is not None
    with settings():
        sheet = draw_riser(one, units)
        sheet.figure.canvas.draw()
        paper = sheet.figure.bbox
        for axes in sheet.figure.axes:
            for text in (*axes.texts, axes.xaxis.label):
                box = text.get_window_extent()
                assert box.x0 >= paper.x0 - 1.0, text.get_text()
                assert box.x1 <= paper.x1 + 1.0, text.get_text()
    assert in_words(one, units).endswith(".")


def test_the_same_picture_gives_the_same_bytes(main_walk: Walk) -> None:
    one = part_of(main_walk, "shape")
    assert one is not None
    assert riser_picture(one).svg == riser_picture(one).svg


def test_the_shape_to_scale_is_to_scale(main_walk: Walk) -> None:
    one = part_of(main_walk, "shape")
    assert one is not None
    with settings():
        axes = draw_riser(one).figure.axes[0]
    box = axes.get_position()
    width, height = axes.figure.get_size_inches()
    across = np.ptp(axes.get_xlim()) / (box.width * width)
    down = np.ptp(axes.get_ylim()) / (box.height * height)
    assert across == pytest.approx(down, rel=1e-6)
