"""A bar on the terminal while something long goes on.

Only the standard library is imported here, as in the commands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any


@contextmanager
def progress() -> Iterator[Callable[[str, int, int], None]]:
    """Show a bar on the terminal while something long goes on; nothing where there is none."""
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeElapsedColumn(),
    )
    with Progress(
        *columns, console=console, transient=True, disable=not console.is_terminal
    ) as bar:
        tasks: dict[str, Any] = {}

        def told(what: str, done: int, of: int) -> None:
            if what not in tasks:
                tasks[what] = bar.add_task(what or "ledger at every depth", total=of or None)
            bar.update(tasks[what], completed=done)

        yield told
