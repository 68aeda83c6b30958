"""A page of text for a terminal: our few ways to set lines, and the one way out."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from typing import Final

from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

PIPED_WIDTH: Final = 120
NARROWEST: Final = 60

# Colours that the colour-blind can tell apart; the word beside them says the same.
VERDICT_STYLE: Final = {
    "fails": "bold red",
    "not judged": "bold magenta",
    "outside validity": "bold magenta",
    "tight": "yellow",
    "holds": "cyan",
}


# rich breaks lines at the narrow space that sets thousands apart: "2" on one line, "000 m" on
# the next. While it sets the page another character of the same width stands there.
THOUSANDS: Final = "\u202f"
_UNBREAKABLE: Final = "\ue000"


def put(text: str) -> None:
    """Write a finished page to standard output; a reader that went away is met here.

    In lines, because one large write to an unbuffered output that is closed half way
    ends without an error, as if all had been read.
    """
    for line in text.removesuffix("\n").split("\n"):
        sys.stdout.write(line + "\n")
    sys.stdout.flush()


# A name in a user's file may hold control characters; the terminal must not obey them.
_SAFE: Final = dict.fromkeys((*range(10), *range(11, 32), *range(127, 160)), "�")


def whole(text: str) -> str:
    """Return text fit for a `Page`: numbers that will not be broken, no control characters."""
    return text.translate(_SAFE).replace(THOUSANDS, _UNBREAKABLE)


def verdict_text(status: str) -> Text:
    """Return the word of a verdict; a failure in capitals, to be seen without colour."""
    return Text(status.upper() if status == "fails" else status, VERDICT_STYLE[status])


class Page:
    """Collects lines at the width of the terminal, in its colours if it has any."""

    def __init__(self) -> None:
        # written as one string by `put`, so that a closed pipe is met in one place
        self.console = Console(
            file=sys.stdout, width=_width(), highlight=False, markup=False, emoji=False
        )
        self.parts: list[RenderableType] = []

    @property
    def width(self) -> int:
        return self.console.width

    def line(self, text: str | Text = "", style: str = "", indent: int = 0) -> None:
        shown = text if isinstance(text, Text) else Text(whole(text), style)
        self.parts.append(Padding(shown, (0, 0, 0, indent)))

    def note(self, text: str, style: str, indent: int) -> None:
        """A line that is left out when there is nothing to say."""
        if text:
            self.line(text, style, indent)

    def heading(self, text: str) -> None:
        self.line()
        self.line(text, "bold")

    def fields(
        self, rows: Iterable[tuple[str | Text, str | Text]], indent: int = 2, label: int = 10
    ) -> None:
        """Lines of label and text; long texts continue under themselves."""
        grid = Table.grid(padding=(0, 2, 0, 0))
        grid.add_column(width=label, overflow="fold")
        grid.add_column(overflow="fold")
        for name, text in rows:
            grid.add_row(*(whole(x) if isinstance(x, str) else x for x in (name, text)))
        if grid.row_count:
            self.parts.append(Padding(grid, (0, 0, 0, indent)))

    def add(self, part: RenderableType) -> None:
        self.parts.append(part)

    def text(self) -> str:
        with self.console.capture() as captured:
            for part in self.parts:
                self.console.print(part)
        # padding to the right only makes lines that are too long for the next terminal
        lines = (line.rstrip() for line in captured.get().split("\n"))
        return "\n".join(lines).replace(_UNBREAKABLE, THOUSANDS)


def _width() -> int | None:
    """Width of the page; None lets the terminal say."""
    written = os.environ.get("COLUMNS", "")
    if written.isdigit() and int(written) > 0:
        return max(int(written), NARROWEST)
    return None if sys.stdout.isatty() else PIPED_WIDTH
