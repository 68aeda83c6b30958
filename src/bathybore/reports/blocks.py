"""What a document is made of: chapters of blocks, plain data that PDF and HTML both show.

Everything a user wrote stays plain text until a writer has made it harmless for its
own medium.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from bathybore.drawings.picture import Picture

# how a column is shown: words, numbers to the right, a verdict with its sign, or the id of
# a check, which leads to its workings
ColumnKind: TypeAlias = Literal["words", "number", "verdict", "check"]


@dataclass(frozen=True)
class Column:
    """One column of a table.

    Attributes
    ----------
    share : of the width, relative to the others
    """

    title: str
    share: float = 1.0
    kind: ColumnKind = "words"


@dataclass(frozen=True)
class Text:
    """A paragraph; 'note' is small print, 'warning' must be seen."""

    text: str
    kind: Literal["plain", "note", "warning"] = "plain"
    block: Literal["text"] = "text"


@dataclass(frozen=True)
class Facts:
    """Pairs of a term and what it is; on a new page where that begins what is printed alone."""

    rows: tuple[tuple[str, str], ...]
    caption: str
    new_page: bool = False
    block: Literal["facts"] = "facts"


@dataclass(frozen=True)
class Table:
    """A table; its first column heads the rows. A tall one has room for handwriting."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    tall: bool = False
    block: Literal["table"] = "table"


@dataclass(frozen=True)
class Items:
    """A list without order."""

    texts: tuple[str, ...]
    block: Literal["items"] = "items"


@dataclass(frozen=True)
class Drawing:
    """A picture with its caption and the words for those who cannot see it."""

    picture: Picture
    block: Literal["drawing"] = "drawing"


@dataclass(frozen=True)
class Verdict:
    """The verdict on the whole hole, in words."""

    passes: bool
    sentence: str
    more: tuple[str, ...]
    block: Literal["verdict"] = "verdict"


@dataclass(frozen=True)
class Term:
    """One number that went into a working."""

    symbol: str
    text: str
    origin: str
    working: int | None = None


@dataclass(frozen=True)
class WorkingLine:
    """One working: formula, numbers, result, source.

    Attributes
    ----------
    number : counted over the whole document
    equation : name in the registry; empty for the result of a solver
    formula : Typst mathematics from the registry; empty for the result of a solver
    plain : the same as text, or the problem a solver solved
    """

    number: int
    equation: str
    title: str
    formula: str
    plain: str
    numbers: str
    result: str
    terms: tuple[Term, ...]
    source: str
    outside: tuple[str, ...]


@dataclass(frozen=True)
class CheckWorkings:
    """A check opened up; workings shown before are named by number and not repeated."""

    id: str
    question: str
    verdict: str
    rows: tuple[tuple[str, str], ...]
    workings: tuple[WorkingLine, ...]
    earlier: tuple[int, ...]
    block: Literal["workings"] = "workings"


Block: TypeAlias = Text | Facts | Table | Items | Drawing | Verdict | CheckWorkings


@dataclass(frozen=True)
class Chapter:
    """A numbered chapter."""

    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Document:
    """A whole document.

    Attributes
    ----------
    mark : what every page must say, such as that the data are invented; empty if nothing
    front : blocks of the first page
    """

    title: str
    hole: str
    vessel: str
    mark: str
    front: tuple[Block, ...]
    chapters: tuple[Chapter, ...]
    footer: str
