"""The chapters on kicks: what each section bears, how a kick comes out, and sheets to kill it."""

from __future__ import annotations

from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.drawings.hydrates import hydrate_picture
from bathybore.drawings.kick import kick_picture
from bathybore.drawings.kick_tolerance import tolerance_picture
from bathybore.reports.blocks import Block, Chapter, Column, Drawing, Facts, Items, Table, Text
from bathybore.reports.chapters import Writer
from bathybore.usecases.kicking import CAUTION, SectionKick, kicks, sections_with_kicks
from bathybore.usecases.kill_sheet import (
    AFTER,
    DRILLER,
    SCHEDULE,
    STAGES,
    STORY,
    WAIT,
    design,
    gauges,
    late,
    schedule,
    stages,
    story,
)

_WORDS: Final = ("way", "where", "method", "front of the kill mud")


def kick_chapters(writer: Writer) -> tuple[Chapter, ...]:
    """Return the chapters on kicks and kill sheets; none where no section has a riser."""
    if not sections_with_kicks(writer.walk):
        return ()
    try:
        found = kicks(writer.walk)
    except InputErrors as errors:  # the programme says what cannot be worked out, and why
        faults = tuple(str(fault) for fault in errors.faults)
        return (Chapter("Kicks", (Text("No kick can be followed.", "warning"), Items(faults))),)
    return _kicks(found, writer), _sheets(found, writer)


def _kicks(found: tuple[SectionKick, ...], writer: Writer) -> Chapter:
    units = writer.units
    blocks: list[Block] = [
        Text("The design kick of every section drilled with a riser, at its deepest."),
        Text(CAUTION, "warning"),
        Drawing(tolerance_picture(found, units)),
    ]
    for one in found:
        blocks += [
            Facts(tuple(design(one, units)), f"{one.section} ({one.step})"),
            _table(f"Followed in time in {one.section}", STORY, story(one, units)),
            Facts(tuple(late(one, units)), f"Found late in {one.section}; and the cold"),
            Drawing(kick_picture(one, units)),
        ]
    of_gas = [one for one in found if one.is_gas]
    if of_gas:
        blocks.append(Drawing(hydrate_picture(of_gas[-1], units)))
    return Chapter("Kicks", tuple(blocks))


def _sheets(found: tuple[SectionKick, ...], writer: Writer) -> Chapter:
    units = writer.units
    blocks: list[Block] = [
        Text(
            "For the design kick and a sea-bed preventer, one sheet a section; with a real kick "
            "the gauges replace what stands here."
        ),
        Text(CAUTION, "warning"),
    ]
    for one in found:
        sheet = one.sheet
        blocks += [
            Facts(tuple(gauges(sheet, units)), f"Kill sheet of {one.section}", new_page=True),
            _table(
                f"Drill-pipe pressure while kill mud goes down, {one.section}",
                SCHEDULE,
                schedule(sheet, units),
            ),
            _table(f"Volumes and strokes, {one.section}", STAGES, stages(sheet, units)),
        ]
    for title, lines in (
        ("Driller's method", DRILLER),
        ("Wait and weight", WAIT),
        ("Afterwards: stack and riser", AFTER),
    ):
        blocks += [Text(title, "note"), Items(lines)]
    return Chapter("Kill sheets", tuple(blocks))


def _table(caption: str, titles: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> Table:
    columns = tuple(
        Column(title, 2.0) if title in _WORDS else Column(title, 1.4, "number") for title in titles
    )
    return Table(caption, columns, rows)
