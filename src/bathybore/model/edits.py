"""One change of one place of a hole's files, as whoever makes it says it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal


@dataclass(frozen=True)
class Edit:
    """One change of one place.

    Attributes
    ----------
    op : set a scalar, remove a key or item, put a block, insert an item into a list,
        give a file another text, set one cell of a table, insert or remove a row of it
    key : of the document, as origins spell it; of an insertion with the index of the new item
    text : of set, table and cell, as the user would write it
    content : of put and insert, as JSON
    file, row, column : of a table's cell; the row counted from 0 below the header. Of an edit of
        a document its file, hole.yaml where none is named
    """

    op: Literal["set", "remove", "put", "insert", "table", "cell", "insert-row", "remove-row"]
    key: str = ""
    text: str = ""
    content: Any = None
    file: str = ""
    row: int = -1
    column: str = ""
