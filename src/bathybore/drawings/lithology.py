"""Patterns for rock, in our own strokes after the public geologic-map symbol standard.

FGDC-STD-013-2006, section 37 (lithologic patterns): dashes for clay, dots for sand,
bricks for limestone and so on, from memory. A word we know no pattern for is left blank: its name
stands beside the column in any case.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import count
from math import cos, pi, sin
from typing import Final, TypeAlias

from matplotlib.axes import Axes
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path

from bathybore.drawings import palette
from bathybore.usecases.lithology import kinds

ROW: Final = 1.7  # mm between the rows of every pattern

Point: TypeAlias = tuple[float, float]


@dataclass
class Strokes:
    """What a pattern is made of [mm]."""

    lines: list[list[Point]] = field(default_factory=list)
    dots: list[Point] = field(default_factory=list)

    def line(self, *points: Point) -> None:
        self.lines.append(list(points))


# draws row number n of a pattern: its middle line y, from left to right
Row: TypeAlias = Callable[[Strokes, int, float, float, float], None]


def _along(n: int, left: float, right: float, pitch: float) -> Iterator[float]:
    """Yield places along a row, every second row moved by half a pitch."""
    for i in count():
        x = left + (i + 0.5 * (n % 2)) * pitch
        if x > right + pitch:
            return
        yield x


def _clay(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    for x in _along(n, left, right, 3.0):
        strokes.line((x, y), (x + 1.9, y))


def _silt(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    for x in _along(n, left, right, 3.6):
        strokes.line((x, y), (x + 1.3, y))
        strokes.dots += [(x + 2.0, y), (x + 2.8, y)]


def _sand(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    strokes.dots += [(x + 0.4, y) for x in _along(n, left, right, 1.5)]


def _gravel(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    for x in _along(n, left, right, 3.4):
        ring = (2.0 * pi * i / 12.0 for i in range(13))
        strokes.line(*((x + 0.9 + 0.85 * cos(a), y + 0.45 * sin(a)) for a in ring))
        strokes.dots.append((x + 2.5, y))


def _bricks(strokes: Strokes, n: int, y: float, left: float, right: float, lean: float) -> None:
    top, bottom = y - 0.5 * ROW, y + 0.5 * ROW
    strokes.line((left, top), (right, top))
    for x in _along(n, left, right, 3.6):
        strokes.line((x + lean, top), (x - lean, bottom))


def _limestone(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    _bricks(strokes, n, y, left, right, 0.0)


def _dolomite(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    _bricks(strokes, n, y, left, right, 0.4)


def _marl(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    _bricks(strokes, n, y, left, right, 0.0)
    for x in _along(n, left, right, 3.6):
        strokes.line((x + 1.1, y), (x + 2.5, y))


def _salt(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    top, bottom = y - 0.5 * ROW, y + 0.5 * ROW
    strokes.line((left, top), (right, top))
    for x in _along(0, left, right, ROW):
        strokes.line((x, top), (x, bottom))


def _ooze(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    for x in _along(n, left, right, 3.2):
        strokes.line(*((x + 0.2 * i, y + 0.45 * sin(pi * i / 6.0)) for i in range(7)))


def _crosses(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    for x in _along(n, left, right, 3.0):
        strokes.line((x, y), (x + 1.2, y))
        strokes.line((x + 0.6, y - 0.6), (x + 0.6, y + 0.6))


def _basalt(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    for x in _along(n, left, right, 3.2):
        strokes.line((x, y - 0.6), (x, y + 0.6), (x + 1.2, y + 0.6))


def _gabbro(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    for x in _along(n, left, right, 2.6):
        strokes.line((x, y - 0.5), (x + 1.0, y + 0.5))
        strokes.line((x, y + 0.5), (x + 1.0, y - 0.5))


def _serpentine(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    for x in _along(n, left, right, 3.0):
        strokes.line(*((x + 0.2 * i, y + 0.45 * sin(2.0 * pi * i / 10.0)) for i in range(11)))


def _foliated(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    steps = int((right - left) / 0.25) + 2
    strokes.line(
        *((left + 0.25 * i, y + 0.35 * sin(2.0 * pi * i / 12.0 + n)) for i in range(steps))
    )


def _tuff(strokes: Strokes, n: int, y: float, left: float, right: float) -> None:
    for x in _along(n, left, right, 2.8):
        strokes.line((x, y - 0.5), (x + 0.5, y + 0.5), (x + 1.0, y - 0.5))


_ROWS: Final[dict[str, Row]] = {
    "clay": _clay,
    "silt": _silt,
    "sand": _sand,
    "gravel": _gravel,
    "limestone": _limestone,
    "dolomite": _dolomite,
    "marl": _marl,
    "salt": _salt,
    "ooze": _ooze,
    "crosses": _crosses,
    "basalt": _basalt,
    "gabbro": _gabbro,
    "serpentine": _serpentine,
    "foliated": _foliated,
    "tuff": _tuff,
}


def strokes_of(lithology: str, left: float, right: float, top: float, bottom: float) -> Strokes:
    """Return the strokes that fill a box; they may stick out and are clipped when drawn."""
    strokes, chosen = Strokes(), kinds(lithology)
    if chosen:
        for n in range(int((bottom - top) / ROW) + 2):
            draw = _ROWS[chosen[n % len(chosen)]]
            draw(strokes, n, top + (n + 0.5) * ROW, left, right)
    return strokes


def draw_rock(
    axes: Axes, lithology: str, left: float, right: float, top: float, bottom: float
) -> None:
    """Draw a box of rock on axes in millimetres."""
    box = Rectangle(
        (left, top), right - left, bottom - top, facecolor="none", edgecolor=palette.INK, lw=0.5
    )
    axes.add_patch(box)
    strokes = strokes_of(lithology, left, right, top, bottom)
    if strokes.lines:  # one path for all: a third of the bytes
        outline = Path.make_compound_path(*(Path(line) for line in strokes.lines))
        lines = PathPatch(outline, facecolor="none", edgecolor=palette.INK, lw=0.4)
        axes.add_patch(lines)
        lines.set_clip_path(box)
    if strokes.dots:
        x, y = zip(*strokes.dots, strict=True)
        (dots,) = axes.plot(x, y, ls="none", marker="o", ms=1.15, mew=0.0, color=palette.INK)
        dots.set_clip_path(box)
