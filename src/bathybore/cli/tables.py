"""Tables on a page for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rich.cells import cell_len
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from bathybore.cli.page import Page, whole

_INDENT: Final = 2
_GAP: Final = 2  # between columns


def put_table(page: Page, titles: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Add a frameless table: the first column to the left, the others to the right.

    Lines break between words alone. Where the words of all columns do not stand side by side,
    each row is told line by line.
    """
    titles = [whole(title) for title in titles]
    cells = [[whole(cell) for cell in row] for row in rows]
    widths = _widths(titles, cells, page.width - _INDENT - _GAP * len(titles))
    if widths is None:
        _put_rows(page, titles, cells)
        return
    table = Table(box=None, padding=(0, _GAP, 0, 0), header_style="dim")
    for index, (title, width) in enumerate(zip(titles, widths, strict=True)):
        table.add_column(title, justify="right" if index else "left", width=width)
    for row in cells:
        table.add_row(*(Text(cell) for cell in row))
    page.add(Padding(table, (0, 0, 0, _INDENT)))


def _put_rows(page: Page, titles: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Tell each row under its name: a line for every other column that says something."""
    label = min(max(map(cell_len, titles[1:]), default=0), page.width // 3)
    for row in rows:
        page.line(row[0], "bold", _INDENT)
        said = [(title, cell) for title, cell in zip(titles[1:], row[1:], strict=True) if cell]
        page.fields(said, 2 * _INDENT, label)


def _widths(
    titles: Sequence[str], rows: Sequence[Sequence[str]], room: int
) -> tuple[int, ...] | None:
    """Return the width of every column; None where its longest words have no room.

    A column has what its longest text takes while there is room; else the widest give way,
    none below its longest word.
    """
    columns = [[title, *(row[number] for row in rows)] for number, title in enumerate(titles)]
    least = [max((cell_len(word) for text in one for word in text.split()), default=0)
             for one in columns]  # fmt: skip
    if sum(least) > room:
        return None
    widths = [max(map(cell_len, one)) for one in columns]
    while sum(widths) > room:
        over = [width if width > low else 0 for width, low in zip(widths, least, strict=True)]
        widths[over.index(max(over))] -= 1
    return tuple(max(width, 1) for width in widths)
