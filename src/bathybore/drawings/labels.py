"""Labels in a column: each as near as can be to its place, none over another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from matplotlib.axes import Axes
from matplotlib.text import Text

from bathybore.drawings import palette
from bathybore.drawings.picture import SMALL, text_height

GAP: Final = 0.9  # mm between two labels


def spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float]:
    """Return centres for labels in a column, kept apart and inside it.

    Labels that touch are moved as one block, whose centre is where its labels wish to
    be on average: the sum of squared moves is least (pool adjacent violators, the
    algorithm of isotonic regression).

    Parameters
    ----------
    wanted : centre that each label would like; any order, ties keep theirs
    sizes : extent of each label along the column, gap included
    low, high : ends of the column

    Raises
    ------
    ValueError
        The labels together are longer than the column.
    """
    if sum(sizes) > (high - low) * (1.0 + 1e-9):
        raise ValueError(f"labels of {sum(sizes):g} do not fit into {high - low:g}")
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    blocks: list[_Block] = []
    for index in order:
        blocks.append(_Block([index], wanted[index] - 0.5 * sizes[index], sizes[index]))
        while len(blocks) > 1 and blocks[-2].end(low, high) > blocks[-1].start(low, high):
            last = blocks.pop()
            blocks[-1] = blocks[-1].joined(last)
    centres = [0.0] * len(wanted)
    for block in blocks:
        at = block.start(low, high)
        for index in block.members:
            centres[index] = at + 0.5 * sizes[index]
            at += sizes[index]
    return centres


@dataclass
class _Block:
    """Labels that touch.

    Attributes
    ----------
    wish : start of the block that its labels wish for on average
    """

    members: list[int]
    wish: float
    size: float

    def start(self, low: float, high: float) -> float:
        return min(max(self.wish, low), high - self.size)

    def end(self, low: float, high: float) -> float:
        return self.start(low, high) + self.size

    def joined(self, other: _Block) -> _Block:
        """Return both as one; a label further in wishes the start to lie so much higher."""
        n, m = len(self.members), len(other.members)
        wish = (n * self.wish + m * (other.wish - self.size)) / (n + m)
        return _Block([*self.members, *other.members], wish, self.size + other.size)


@dataclass(frozen=True)
class Label:
    """A text that belongs to a place on the drawing [mm]."""

    text: str
    x: float
    y: float
    bold: bool = False
    colour: str = palette.INK


def place_labels(
    axes: Axes, labels: Sequence[Label], at: float, low: float, high: float, *, size: float = SMALL
) -> list[Text]:
    """Write labels in a column to the right of their places, each with a thin leader.

    Parameters
    ----------
    axes : in millimetres
    at : left edge of the column
    low, high : its upper and lower end
    size : of the letters, in points
    """
    texts = [
        axes.text(
            at,
            label.y,
            label.text,
            fontsize=size,
            va="center",
            ha="left",
            color=label.colour,
            linespacing=1.1,
            weight="bold" if label.bold else "normal",
        )
        for label in labels
    ]
    sizes = [text_height(text) + GAP for text in texts]
    centres = spread([label.y for label in labels], sizes, low, high)
    for text, label, centre in zip(texts, labels, centres, strict=True):
        text.set_y(centre)
        bend = at - 2.5
        axes.plot(
            [label.x, bend, at - 0.6],
            [label.y, centre, centre],
            color=palette.QUIET,
            linewidth=0.4,
            solid_capstyle="butt",
        )
    return texts


def column_needed(labels: Sequence[str], size: float = SMALL) -> float:
    """Return about how long a column [mm] must be to hold these labels, with room to move."""
    lines = sum(text.count("\n") + 1 for text in labels)
    line = 1.25 * size * 25.4 / 72.0
    return 1.15 * (lines * line + len(labels) * GAP)
