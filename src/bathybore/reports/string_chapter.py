"""The chapter on the drill string that reaches deepest."""

from __future__ import annotations

from bathybore.base.errors import InputErrors
from bathybore.drawings.string_loads import string_picture
from bathybore.reports.blocks import Block, Chapter, Column, Drawing, Facts, Items, Table, Text
from bathybore.reports.chapters import Writer
from bathybore.usecases.showing import percent
from bathybore.usecases.string_reach import CAUTION, string_reach
from bathybore.usecases.string_told import alone, down_the_string, facts


def drill_string(writer: Writer) -> Chapter:
    """Return the chapter: pipes, reach, the limits in the order in which they bite."""
    try:
        reach = string_reach(writer.walk)
    except InputErrors as error:
        reasons = tuple(str(fault) for fault in error.faults)
        return Chapter("Drill string", (Text("Not worked out.", "warning"), Items(reasons)))
    blocks: list[Block] = [
        Text("The string from the stock that reaches deepest with overpull, heave and torque."),
        Facts(tuple(facts(reach, writer.units)), "Reach"),
        Text("From the drill floor down", "note"),
        Items(down_the_string(reach, writer.units)),
        Table(
            "How deep each limit alone would let it go",
            (Column("depth", 1.0, "number"), Column("limit", 4.0)),
            alone(reach, writer.units),
        ),
        Table(
            "Margins",
            (Column("question", 3.0), Column("left", 1.0, "number"), Column("note", 4.0)),
            tuple(
                (one.id, "not judged" if one.margin is None else percent(one.margin), one.note)
                for one in reach.records
            ),
        ),
        Text(CAUTION, "warning"),
        Drawing(string_picture(reach, writer.units)),
    ]
    return Chapter("Drill string", tuple(blocks))
