"""The appendix: checks opened up, each working once, and the sources all of it rests on."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from math import inf
from typing import Final

from bathybore.base.registry import equations
from bathybore.base.sources import bibliography
from bathybore.base.working import Default
from bathybore.checks.record import CheckRecord, Status
from bathybore.reports.blocks import Chapter, CheckWorkings, Column, Table, Term, Text, WorkingLine
from bathybore.reports.chapters import Writer
from bathybore.usecases.explaining import SolutionNote, WorkingNote, explain
from bathybore.usecases.showing import ShownValue, in_words, unique

_LONG: Final = 30  # letters; a shorter origin is said again
_FROM: Final = re.compile(r"^from working (\d+)$")


@dataclass
class Numbering:
    """Workings of all checks under one numbering: what several checks share is shown once."""

    writer: Writer
    sources: dict[str, int]
    _known: dict[object, int] = field(default_factory=dict)

    def check(self, record: CheckRecord) -> CheckWorkings:
        """Return a check opened up; workings shown under an earlier check are only named."""
        explained = explain(record, self.writer.units)
        here: dict[int, int] = {}
        new: list[WorkingLine] = []
        earlier: list[int] = []
        for note in explained.steps:
            key = self._key(note, here)
            number = self._known.get(key)
            if number is None:
                number = self._known[key] = len(self._known) + 1
                new.append(self._line(number, note, here))
            elif all(line.number != number for line in new):  # twice alike in one check: once
                earlier.append(number)
            here[note.number] = number
        rows = [
            ("asked", self._with_origin(explained.demand, here)),
            ("there is", self._with_origin(explained.capacity, here)),
            ("margin", explained.margin_text),
            ("closest at", explained.depth),
            ("which", explained.note),
            ("why", explained.reason),
            ("what helps", explained.remedy),
            ("mind", " ".join(explained.cautions)),
        ]
        return CheckWorkings(
            id=explained.id,
            question=explained.question,
            verdict=explained.verdict,
            rows=tuple((name, text) for name, text in rows if text),
            workings=tuple(new),
            earlier=tuple(sorted(set(earlier))),
        )

    def _key(self, note: WorkingNote | SolutionNote, here: dict[int, int]) -> object:
        what = note.equation if isinstance(note, WorkingNote) else note.problem
        inputs = tuple((v.name, v.text, _origin(v, here)) for v in note.inputs)
        return (what, inputs, note.result.text)

    def _line(
        self, number: int, note: WorkingNote | SolutionNote, here: dict[int, int]
    ) -> WorkingLine:
        terms = self._terms(note.inputs, here)
        if isinstance(note, WorkingNote):
            equation = equations()[note.equation]
            source = f"{self._cite(equation.source_key)} {note.where}".strip()
            return WorkingLine(
                number=number,
                equation=note.equation,
                title=note.summary,
                formula=equation.formula,
                plain=note.formula,
                numbers=note.with_numbers,
                result=note.result.text,
                terms=terms,
                source=source,
                outside=note.outside,
            )
        closed = "" if note.residual is None else f", closed to {note.residual:.1g}"
        return WorkingLine(
            number=number,
            equation="",
            title=f"{note.result.words.capitalize()}, {note.how}{closed}.",
            formula="",
            plain=note.problem,
            numbers="",
            result=note.result.text,
            terms=terms,
            source=self._short(f"[{note.source}]"),
            outside=(),
        )

    def _terms(self, inputs: tuple[ShownValue, ...], here: dict[int, int]) -> tuple[Term, ...]:
        """Return the numbers that went in; where one came from as the one before it says so."""
        terms: list[Term] = []
        before = ""
        for value in inputs:
            match = _FROM.match(value.origin)
            origin = "" if match else self._short(value.origin)
            symbol = value.symbol or in_words(value.name)
            working = here[int(match[1])] if match else None
            said = "likewise" if len(origin) > _LONG and origin == before else origin
            terms.append(Term(symbol, value.text, said, working))
            before = origin
        return tuple(terms)

    def _with_origin(self, value: ShownValue | None, here: dict[int, int]) -> str:
        if value is None:
            return ""
        return f"{value.text} ({value.words}; {self._short(_origin(value, here))})"

    def _short(self, text: str) -> str:
        """Return a text with the numbers of sources in place of their citations."""
        for key, number in self.sources.items():
            text = text.replace(f"[{bibliography()[key].citation}]", f"[{number}]")
        return text

    def _cite(self, key: str) -> str:
        number = self.sources.get(key)
        return f"[{number}]" if number else f"[{key}]"


def _origin(value: ShownValue, here: dict[int, int]) -> str:
    match = _FROM.match(value.origin)
    return f"W{here[int(match[1])]}" if match else value.origin


def source_numbers(writer: Writer) -> dict[str, int]:
    """Return a number for every published source behind the checks and the design basis."""
    cited = {key for row in writer.ledger.rows for key in row.sources}
    basis = writer.walk.hole.basis
    for name in type(basis).model_fields:
        origin = basis.origin(name)
        if isinstance(origin, Default):
            cited.add(origin.source_key)
    known = sorted(key for key in cited if key in bibliography())
    return {key: number for number, key in enumerate(known, start=1)}


def appendix(writer: Writer, every_working: bool) -> Chapter:
    """Return checks with their questions, numbers and workings.

    Parameters
    ----------
    every_working : of every check; else of those that do not plainly hold, and of every question
        where it is closest: a question that each step answers again has the same formulas there
    """
    records = writer.walk.records
    if not every_working:
        records = worth_opening(records)
    numbering = Numbering(writer, source_numbers(writer))
    opened = tuple(numbering.check(record) for record in records)
    which = (
        "Each check with the question it asks and every number behind its verdict."
        if every_working
        else "Every question where it is closest to its limit, and every check that does not "
        f"plainly hold, with every number behind its verdict: {len(records)} of the "
        f"{len(writer.walk.records)} checks. The others answer the same questions by the same "
        "formulas at other steps; explain opens each of them."
    )
    text = Text(
        f"{which} A working is shown once, where it is first needed; later checks name it by its "
        "number. Pressures are gauge. Numbers in square brackets are sources, listed at the end."
    )
    return Chapter("Appendix: workings", (text, *opened))


def worth_opening(records: tuple[CheckRecord, ...]) -> tuple[CheckRecord, ...]:
    """Return what does not plainly hold, and of every question the record of least margin."""
    closest: dict[str, CheckRecord] = {}
    for record in records:
        known = closest.get(record.name)
        if known is None or _margin(record) < _margin(known):
            closest[record.name] = record
    return tuple(
        record
        for record in records
        if record.status is not Status.HOLDS or closest[record.name] is record
    )


def _margin(record: CheckRecord) -> float:
    return inf if record.margin is None else record.margin


def sources(writer: Writer) -> Chapter:
    """Return the bibliography of everything cited."""
    rows = []
    for key, number in source_numbers(writer).items():
        entry = bibliography()[key]
        year = f" {entry.year}." if entry.year else ""
        rows.append((f"[{number}]", f"{entry.citation}{year}", entry.note or "–"))
    table = Table(
        "Sources cited",
        (Column("no.", 0.5), Column("source", 5.0), Column("note", 2.0)),
        tuple(rows),
    )
    files = unique((writer.walk.hole.earth.file, writer.walk.hole.sea.file))
    note = Text(f"Numbers marked [given] were read from {' and '.join(files)} beside the plan.")
    return Chapter("Sources", (table, note))
