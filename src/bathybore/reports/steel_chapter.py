"""The chapter on steel: the lightest strings from the stock beside those of the plan."""

from __future__ import annotations

from bathybore.drawings.steel import steel_picture
from bathybore.reports.blocks import Block, Chapter, Column, Drawing, Table, Text
from bathybore.reports.chapters import Writer
from bathybore.usecases.showing import percent
from bathybore.usecases.steel_choice import CAUTION, SteelChoice, steel_choices

_CLOSEST = 3


def steel(writer: Writer) -> Chapter:
    """Return the chapter: what each casing is best made of, and how it stands in every case."""
    choices = steel_choices(writer.walk)
    blocks: list[Block] = [
        Text(
            "The lightest string from the stock for every casing of the plan, of weights and "
            "grades of its size, each in one length, that bears every load case. The plan names "
            "one pipe for a string: what is mixed here is a proposal."
        ),
        _table(writer, choices),
        Text(CAUTION, "warning"),
    ]
    for choice in choices:
        if choice.lengths:
            blocks.append(Drawing(steel_picture(writer.walk.hole, choice, writer.units)))
    return Chapter("Steel", tuple(blocks))


def _table(writer: Writer, choices: tuple[SteelChoice, ...]) -> Table:
    rows: list[tuple[str, ...]] = []
    for choice in choices:
        closest = "; ".join(
            f"{one.name} {percent(one.margin)}"
            for one in sorted(choice.records, key=lambda one: one.margin or 0.0)[:_CLOSEST]
            if one.margin is not None
        )
        if not choice.lengths:
            rows.append((choice.casing, choice.planned[1], "none", choice.why_none, ""))
        for number, length in enumerate(choice.lengths):
            first = number == 0
            ends = f"{length.top.show(writer.units)} to {length.bottom.show(writer.units)}"
            rows.append(
                (
                    choice.casing if first else "",
                    choice.planned[1] if first else "",
                    length.designation,
                    f"{ends}, {writer.show(length.mass, 'kg', 3)}",
                    closest if first else "",
                )
            )
    return Table(
        "Strings from the stock",
        (
            Column("casing", 1.4),
            Column("planned", 2.0),
            Column("lightest, top down", 2.0),
            Column("from, to, mass", 3.0),
            Column("closest questions, share left", 3.0),
        ),
        tuple(rows),
    )
