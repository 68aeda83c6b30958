"""Patterns for rock."""

from __future__ import annotations

import pytest

from bathybore.drawings.lithology import ROW, strokes_of
from bathybore.usecases.lithology import kinds


@pytest.mark.parametrize(
    ("word", "patterns"),
    [
        ("clay", ("clay",)),
        ("mudstone", ("clay",)),
        ("silty clay", ("clay",)),
        ("clay with silt", ("clay", "silt")),
        ("sandstone and mudstone", ("sand", "clay")),
        ("metamorphosed sandstone", ("sand", "foliated")),
        ("Basalt", ("basalt",)),
        ("limestone/dolomite", ("limestone", "dolomite")),
        ("unheard-of rock", ()),
        ("", ()),
    ],
)
def test_words_find_their_patterns(word: str, patterns: tuple[str, ...]) -> None:
    assert kinds(word) == patterns


def test_different_rocks_have_different_strokes() -> None:
    words = "clay silt sand gravel limestone dolomite marl salt ooze granite basalt gabbro tuff"
    drawn = {repr(strokes_of(word, 0.0, 16.0, 0.0, 20.0)) for word in [*words.split(), "schist"]}
    assert len(drawn) == 14


def test_strokes_fill_the_box_and_no_more_than_a_row_beyond_it() -> None:
    strokes = strokes_of("sand", 0.0, 16.0, 100.0, 130.0)
    heights = [y for _, y in strokes.dots]
    assert min(heights) <= 100.0 + ROW
    assert 130.0 - ROW <= max(heights) <= 130.0 + 2.0 * ROW


def test_an_unknown_rock_is_left_blank() -> None:
    strokes = strokes_of("unheard-of", 0.0, 16.0, 0.0, 20.0)
    assert not strokes.lines
    assert not strokes.dots
