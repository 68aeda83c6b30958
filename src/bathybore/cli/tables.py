"""Tables on a page for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from bathybore.cli.page import Page, whole


def put_table(page: Page, titles: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Add a frameless table: the first column to the left, the others to the right."""
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    for index, title in enumerate(titles):
        table.add_column(whole(title), justify="right" if index else "left", overflow="fold")
    for row in rows:
        table.add_row(*(Text(whole(cell)) for cell in row))
    page.add(Padding(table, (0, 0, 0, 2)))
