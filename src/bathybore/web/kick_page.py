"""Kicks, kill sheets and the account of the mud for the page."""

from __future__ import annotations

from dataclasses import dataclass

from bathybore.base.units import UnitSystem
from bathybore.drawings import hydrates, kick, kick_tolerance, mud_account
from bathybore.model.hole import Hole
from bathybore.operations.mud_account import MudAccount
from bathybore.usecases.kicking import CAUTION, SectionKick
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
from bathybore.usecases.ledger import row_of
from bathybore.usecases.mud_account import CAUTION as MUD_CAUTION
from bathybore.usecases.mud_account import TITLES, facts, rows
from bathybore.web.circulation_page import Rows
from bathybore.web.ledger_page import ledger_row
from bathybore.web.shapes import LedgerRow
from bathybore.web.topic_page import Told


@dataclass(frozen=True)
class KickPictures:
    """What the pictures show, in words; nothing of hydrates where the kick is water."""

    kick: str
    tolerance: str
    hydrates: str


@dataclass(frozen=True)
class KickSheet:
    """The kill sheet of a section as texts."""

    gauges: tuple[Told, ...]
    schedule: Rows
    stages: Rows
    driller: tuple[str, ...]
    wait_and_weight: tuple[str, ...]
    afterwards: tuple[str, ...]


@dataclass(frozen=True)
class KickTold:
    """The design kick of one section in full."""

    section: str
    title: str
    passes: bool
    design: tuple[Told, ...]
    story: Rows
    late: tuple[Told, ...]
    sheet: KickSheet
    rows: tuple[LedgerRow, ...]
    pictures: KickPictures


@dataclass(frozen=True)
class KickAnswer:
    """The kick of one section, and which there are.

    Attributes
    ----------
    sections : drilled with a riser, in order
    kick : None where there are none: without a preventer no kick is shut in
    """

    revision: int
    sections: tuple[str, ...]
    kick: KickTold | None
    caution: str


@dataclass(frozen=True)
class MudAnswer:
    """The account of the mud.

    Attributes
    ----------
    moved : built, lost and dumped by step; stands : where it is after the step
    picture : what the picture shows, in words
    """

    revision: int
    facts: tuple[Told, ...]
    moved: Rows
    stands: Rows
    picture: str
    caution: str


def kick_answer(
    hole: Hole,
    found: tuple[SectionKick, ...],
    one: SectionKick | None,
    revision: int,
    units: UnitSystem,
) -> KickAnswer:
    """Return the kick of one of the sections found, texts in ``units``."""
    sections = tuple(kick.section for kick in found)
    told = None if one is None else _kick_told(hole, found, one, units)
    return KickAnswer(revision, sections, told, CAUTION)


def _kick_told(
    hole: Hole, found: tuple[SectionKick, ...], one: SectionKick, units: UnitSystem
) -> KickTold:
    return KickTold(
        section=one.section,
        title=one.title,
        passes=one.passes,
        design=_told(design(one, units)),
        story=Rows(STORY, story(one, units)),
        late=_told(late(one, units)),
        sheet=KickSheet(
            gauges=_told(gauges(one.sheet, units)),
            schedule=Rows(SCHEDULE, schedule(one.sheet, units)),
            stages=Rows(STAGES, stages(one.sheet, units)),
            driller=DRILLER,
            wait_and_weight=WAIT,
            afterwards=AFTER,
        ),
        rows=tuple(
            ledger_row(row_of(record, units), one.section, hole.frame) for record in one.records
        ),
        pictures=KickPictures(
            kick=kick.in_words(one, units),
            tolerance=kick_tolerance.in_words(found, units),
            hydrates=hydrates.in_words(one, units) if one.is_gas else "",
        ),
    )


def mud_answer(account: MudAccount, currency: str, revision: int, units: UnitSystem) -> MudAnswer:
    """Return the account of the mud, texts in ``units``."""
    told = rows(account, units)
    return MudAnswer(
        revision=revision,
        facts=_told(facts(account, units, currency)),
        moved=Rows(TITLES[:7], tuple(row[:7] for row in told)),
        stands=Rows((TITLES[0], *TITLES[7:]), tuple((row[0], *row[7:]) for row in told)),
        picture=mud_account.in_words(account, units),
        caution=MUD_CAUTION,
    )


def _told(pairs: list[tuple[str, str]]) -> tuple[Told, ...]:
    return tuple(Told(*pair) for pair in pairs)
