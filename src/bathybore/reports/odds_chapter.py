"""The chapter on odds and reach: will the hole come to its target, and what stops it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from bathybore.base.errors import InputErrors, NotConverged, OrderError
from bathybore.base.keeping import kept
from bathybore.base.units import UnitSystem
from bathybore.drawings.odds import odds_picture
from bathybore.drawings.odds_architectures import architecture_odds_picture
from bathybore.drawings.reach import reach_picture
from bathybore.drawings.tornado import matters_picture
from bathybore.ensembles.choosing import Goal
from bathybore.model.editing import Draft
from bathybore.model.hole import Hole
from bathybore.model.uncertain import Uncertainty
from bathybore.model.uncertainty import load_uncertainty
from bathybore.reports.blocks import Block, Chapter, Column, Drawing, Facts, Items, Table, Text
from bathybore.reports.placing_chapter import questions
from bathybore.usecases.odds import (
    CAUTION,
    CAUTION_OF_CHANCE,
    Matters,
    OddsFound,
    matters,
    usual_odds,
)
from bathybore.usecases.odds_architectures import ArchitecturesTold, architectures
from bathybore.usecases.odds_told import MattersTold, OddsTold
from bathybore.usecases.placing_told import ToldTable
from bathybore.usecases.reach import reach, with_odds
from bathybore.usecases.reach_told import ReachTold

TITLE: Final = "Odds and reach"
_NARROW, _WIDE = 12, 30  # letters that a column is at least and at most given room for
_NAME: Final = 14  # letters of a column that keeps its room
_LINE: Final = 92.0  # letters of a line
_SHORT: Final = 24  # letters in the longest cell of a column of numbers
_OPENING: Final = (
    "The hole made many times as it may turn out: rock, factors, trouble and weather are drawn, "
    "the crew weighs the mud and sets the strings as each hole asks, and the questions of the "
    "ledger end it. The table of rules is for the crew to carry. Each limit that bites is told "
    "with the cheapest relief that was found. Left to the command line, because they take many "
    "runs: what a measurement is worth, where the shoes stand best, and which changes lift the "
    "chance (bathybore odds, with knowing, robust, relief); and, unless it is asked for, how the "
    "architectures of the search stand in the same members (with architectures)."
)
_DRAWN_AGAIN: Final = 128  # members of each of the runs by which is told what matters
_SEARCHED: Final = 256  # members that architectures are asked of


def odds_and_reach(
    folder: Path | None, hole: Hole, units: UnitSystem, draft: Draft | None = None
) -> tuple[Chapter, ...]:
    """Return the chapter of a hole whose folder is at hand; nothing without it.

    Parameters
    ----------
    draft : its files, where the architectures of the search are to be asked of the members too

    Raises
    ------
    InputErrors
        What the folder says to be uncertain cannot be used.
    """
    if folder is None:
        return ()
    uncertainty = load_uncertainty(folder, hole)
    try:
        blocks = tuple(_blocks(hole, uncertainty, units, draft))
    except InputErrors as error:  # of the hole: such as an earth table that ends too high
        return (_not_worked_out(tuple(str(fault) for fault in error.faults)),)
    except OrderError as error:
        return (_not_worked_out((str(error),)),)
    except NotConverged as error:
        return (_not_worked_out((f"A solver did not converge: {error}",)),)
    return (Chapter(TITLE, (Text(_OPENING), *blocks)),)


def _not_worked_out(reasons: tuple[str, ...]) -> Chapter:
    """Return the chapter without odds; what stands in their way costs no other chapter."""
    told = Text("The odds could not be worked out.", "warning")
    return Chapter(TITLE, (Text(_OPENING), told, Items(reasons)))


def _blocks(
    hole: Hole, uncertainty: Uncertainty, units: UnitSystem, draft: Draft | None
) -> Iterator[Block]:
    found = usual_odds(hole, uncertainty)
    planned = reach(hole, uncertainty, units, ledger=found.ensemble.ledger)
    drawn = with_odds(planned, found.odds)
    odds, deep = OddsTold(found).topic(units), ReachTold(planned).topic(units)
    yield Facts(odds.facts, odds.title)
    yield questions(odds)
    tables = [_table(one) for one in odds.tables]
    yield from tables[:2]  # who comes how far, and what ends the others: what is drawn
    yield Drawing(odds_picture(found, units))
    yield from tables[2:]
    yield from _matters(found, units)
    if draft is not None:
        yield from _architectures(found, draft, units)
    # where limits bite the members stands in a table of the odds, and is drawn beside the plan's;
    # the questions of the reach say what its table says
    yield Facts(deep.facts, deep.title)
    yield Drawing(reach_picture(drawn, units))
    yield from (_table(one) for one in deep.tables)
    yield Text(odds.caution, "warning")
    yield Text(deep.caution, "warning")


def _matters(found: OddsFound, units: UnitSystem) -> Iterator[Block]:
    """Yield which uncertainty matters: the picture has every number that a reader asks for."""
    again = _drawn_again(found)
    told = MattersTold(again).topic(units)
    yield Facts(told.facts, told.title)
    yield Drawing(matters_picture(again, units))
    yield Text(told.caution.removesuffix(CAUTION).strip())  # the rest stands at the end


def _architectures(found: OddsFound, draft: Draft, units: UnitSystem) -> Iterator[Block]:
    """Yield how the architectures of the search stand in the members."""
    asked = architectures(found.ensemble, draft, found.order, Goal.odds, None, _SEARCHED)
    told = ArchitecturesTold(asked, None)
    topic = told.topic(units)
    yield Facts(topic.facts, topic.title)
    yield Drawing(architecture_odds_picture(told, units))
    yield from (_table(one) for one in topic.tables)
    yield Text(topic.caution.removesuffix(CAUTION_OF_CHANCE).strip())


@kept(4)
def _drawn_again(found: OddsFound) -> Matters:
    return matters(found.ensemble, found.order, _DRAWN_AGAIN)


def _table(table: ToldTable) -> Table:
    """Return a table whose columns are as wide as what they hold asks for."""
    longest = []
    for number, name in enumerate(table.columns):
        longest.append(max(len(text) for text in (name, *(row[number] for row in table.rows))))
    columns = []
    for number, (name, share) in enumerate(zip(table.columns, _shares(longest), strict=True)):
        cells = (row[number] for row in table.rows)
        figures = number > 0 and longest[number] <= _SHORT and all(map(_is_number, cells))
        columns.append(Column(name, share, "number" if figures else "words"))
    return Table(table.title, tuple(columns), table.rows)


def _shares(longest: list[int]) -> list[float]:
    """Return the letters that each column is given: where a line has too few, the wide give way.

    A name of few letters has nowhere to break: it would run into the column beside it.
    """
    shares = [float(min(max(letters, _NARROW), _WIDE)) for letters in longest]
    narrow = sum(share for share in shares if share <= _NAME)
    wide = sum(shares) - narrow
    less = min(1.0, max(_LINE - narrow, 0.0) / wide) if wide else 1.0
    return [share if share <= _NAME else max(share * less, _NARROW) for share in shares]


def _is_number(cell: str) -> bool:
    return not cell or cell[0].isdigit() or cell[0] in "+-<>"
