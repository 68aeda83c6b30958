"""The chapter on what becomes of the mud."""

from __future__ import annotations

from bathybore.drawings.mud_account import mud_picture
from bathybore.reports.blocks import Chapter, Column, Drawing, Facts, Table, Text
from bathybore.reports.chapters import Writer
from bathybore.usecases.mud_account import CAUTION, TITLES, account_of, facts, rows


def mud(writer: Writer) -> Chapter:
    """Return the chapter: sums, what was built and lost step by step, where the mud stands."""
    account, units = account_of(writer.walk), writer.units
    told = rows(account, units)
    currency = writer.walk.hole.prices.currency
    return Chapter(
        "Account of the mud",
        (
            Text("What was built is what stands in the hole and on board, was lost, or dumped."),
            Facts(tuple(facts(account, units, currency)), "Sums"),
            _table("Built and lost, step by step", TITLES[:7], tuple(row[:7] for row in told)),
            _table(
                "Where it stands after the step",
                (TITLES[0], *TITLES[7:]),
                tuple((row[0], *row[7:]) for row in told),
            ),
            Drawing(mud_picture(account, units)),
            Text(CAUTION, "warning"),
        ),
    )


def _table(caption: str, titles: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> Table:
    first, *others = titles
    columns = (Column(first, 2.0), *(Column(title, 1.0, "number") for title in others))
    return Table(caption, columns, rows)
