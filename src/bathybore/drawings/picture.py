"""A picture: SVG text, a title, and a sentence for those who cannot see it."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Final

import matplotlib
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.legend import Legend
from matplotlib.lines import Line2D
from matplotlib.patches import Patch
from matplotlib.text import Text

MM_PER_INCH: Final = 25.4
SMALL: Final = 6.6  # points
NORMAL: Final = 7.6
LARGE: Final = 9.0

# Text as outlines looks the same everywhere; no mathematics is read into users' names; a fixed
# salt gives the same ids, and so the same bytes, every time.
_SETTINGS: Final[dict[str, Any]] = {
    "svg.fonttype": "path",
    "svg.hashsalt": "bathybore",
    "text.parse_math": False,
    "font.family": ["DejaVu Sans"],
    "font.size": NORMAL,
    "axes.linewidth": 0.7,
    "hatch.linewidth": 0.4,
    "path.simplify": False,
}


@dataclass(frozen=True)
class Picture:
    """A finished picture.

    Attributes
    ----------
    svg : a whole SVG document
    alt : what it shows, in words
    title : its caption
    """

    svg: str
    alt: str
    title: str


@dataclass(frozen=True)
class Sheet:
    """A picture before it is written out; tests measure the texts on it."""

    figure: Figure
    title: str
    alt: str

    def finished(self) -> Picture:
        target = io.StringIO()
        metadata = {"Date": None, "Creator": None, "Type": None, "Format": None}
        self.figure.savefig(target, format="svg", metadata=metadata)
        return Picture(target.getvalue(), self.alt, self.title)

    def png(self, dots_per_inch: float = 200.0) -> bytes:
        """Return the picture as an image; the same picture gives the same bytes."""
        target = io.BytesIO()
        metadata: Any = {"Software": None}
        self.figure.savefig(target, format="png", dpi=dots_per_inch, metadata=metadata)
        return target.getvalue()


@contextmanager
def settings() -> Iterator[None]:
    """Draw with the library's own defaults and ours, whatever the user's settings file says."""
    defaults: dict[Any, Any] = {
        key: value
        for key, value in matplotlib.rcParamsDefault.items()
        if not key.startswith(("backend", "savefig.directory", "datapath"))
    }
    ours: Any = {**defaults, **_SETTINGS}
    with matplotlib.rc_context(ours):
        yield


def sheet_of_paper(width: float, height: float) -> Figure:
    """Return an empty figure; sizes in millimetres."""
    figure = Figure(figsize=(width / MM_PER_INCH, height / MM_PER_INCH), dpi=254.0)
    FigureCanvasAgg(figure)
    return figure


def paper_axes(figure: Figure) -> Axes:
    """Return axes over the whole figure in millimetres from the upper left corner."""
    width, height = figure.get_size_inches() * MM_PER_INCH
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, width)
    axes.set_ylim(height, 0.0)
    axes.set_axis_off()
    axes.set_zorder(10.0)  # over the panels
    axes.patch.set_visible(False)
    return axes


def panel(figure: Figure, left: float, top: float, width: float, height: float) -> Axes:
    """Return axes in a rectangle given in millimetres from the upper left corner."""
    whole_width, whole_height = figure.get_size_inches() * MM_PER_INCH
    bottom = whole_height - top - height
    return figure.add_axes(
        (left / whole_width, bottom / whole_height, width / whole_width, height / whole_height)
    )


def text_height(text: Text) -> float:
    """Return the height [mm] that a text takes on its figure."""
    figure = text.get_figure(root=True)
    assert isinstance(figure, Figure)
    return float(text.get_window_extent().height / figure.dpi * MM_PER_INCH)


def foot_legend(
    paper: Axes, handles: Sequence[Line2D | Patch], y: float, columns: int, **spacing: float
) -> Legend:
    """Set a frameless legend centred under a picture, its top ``y`` mm down the sheet.

    The last one set is kept; who sets several adds those before to the sheet again.
    """
    return paper.legend(
        handles=list(handles),
        loc="upper center",
        bbox_to_anchor=(0.5 * sum(paper.get_xlim()), y),
        bbox_transform=paper.transData,
        ncols=columns,
        fontsize=SMALL,
        frameon=False,
        **spacing,
    )
