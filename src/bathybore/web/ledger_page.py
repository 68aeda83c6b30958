"""The ledger of a walk as rows for the page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from typing import cast

from bathybore.base.depth import Datum, Depth, DepthFrame
from bathybore.base.keeping import SOME, kept
from bathybore.base.units import UnitSystem
from bathybore.checks.record import CheckRecord
from bathybore.usecases.ledger import MOST_ROWS, Asked, Row, asked_by_step, overall, row_of, verdict
from bathybore.usecases.walking import Walk
from bathybore.web.shapes import LedgerHead, LedgerPage, LedgerRow, StatusName


@dataclass(frozen=True)
class Judged:
    """What is said of the whole hole, and every row."""

    head: LedgerHead
    rows: tuple[LedgerRow, ...]

    @cached_property
    def by_id(self) -> Mapping[str, LedgerRow]:
        return {row.id: row for row in self.rows}

    def page(self, revision: int) -> LedgerPage:
        return LedgerPage(**vars(self.head), revision=revision, rows=self.rows)


def judged(walk: Walk, units: UnitSystem) -> Judged:
    """Return the ledger of a walk, texts in ``units``."""
    asked = asked_by_step(walk, units)
    whole = overall(asked.values())
    sections, frame = _sections(walk), walk.hole.frame
    head = LedgerHead(
        verdict=verdict(whole),
        passes=whole.passes and not walk.stopped,
        counts=whole.counts,
        cautions=whole.cautions,
        fails_first=whole.fails_first,
        fails_most=whole.fails_most,
        tightest=whole.tightest,
        studied=walk.studied,
    )
    steps = [_page(one, sections.get(name, ""), frame) for name, one in asked.items()]
    return Judged(head, tuple(chain.from_iterable(steps)))


@kept(SOME)
def _page(asked: Asked, section: str, frame: DepthFrame) -> tuple[LedgerRow, ...]:
    return tuple([ledger_row(row, section, frame) for row in asked.rows])


def _sections(walk: Walk) -> dict[str, str]:
    """Return the section that each step works on, where it works on one."""
    plan = walk.hole.plan
    return {
        state.step.name: state.step.section_of(plan).name
        for state in walk.states
        if state.step.section is not None
    }


@kept(MOST_ROWS)
def ledger_row(row: Row, section: str, frame: DepthFrame) -> LedgerRow:
    """Return a row for the page."""
    z = None
    if row.depth_value is not None and row.depth_datum is not None:
        z = frame.below_sea_level(Depth(row.depth_value, Datum(row.depth_datum)))
    return LedgerRow(
        id=row.id,
        step=row.record.step,
        check=row.check,
        discipline=row.discipline,
        status=cast("StatusName", row.status),
        margin=row.margin,
        margin_text=row.margin_text,
        demand=row.demand_text,
        capacity=row.capacity_text,
        z=z,
        depth=row.depth_text,
        section=section,
        question=row.question,
        remedy=row.remedy,
        reason=row.reason,
        caution=row.caution,
        note=row.note,
    )


def ledger_rows(
    records: Iterable[CheckRecord], frame: DepthFrame, units: UnitSystem
) -> tuple[LedgerRow, ...]:
    """Return records as rows for the page, of the steps that they were asked of."""
    return tuple(ledger_row(row_of(one, units), "", frame) for one in records)
