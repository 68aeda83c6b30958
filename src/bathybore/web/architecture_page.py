"""The proposals of a search for the page: texts to read, places to draw, edits to adopt."""

from __future__ import annotations

from dataclasses import dataclass

from bathybore.base.depth import Depth
from bathybore.base.units import UnitSystem, show
from bathybore.base.working import Value
from bathybore.drawings.words import inches
from bathybore.model.editing import Edit
from bathybore.model.hole import Hole
from bathybore.usecases.adopting import Finding, ProposedSection, Verdict
from bathybore.usecases.ledger import DAY
from bathybore.usecases.searching import ClosedWay, Found, OpenedWay, Proposal, SystemRow
from bathybore.usecases.showing import in_money, percent


@dataclass(frozen=True)
class ProposedSectionTold:
    """One open hole of a proposal and the string that ends it.

    Attributes
    ----------
    z_top, z_bottom, z_hung : metres below mean sea level; ``z_hung`` null without a string
    bit, pipe : diameters [m]; ``pipe`` null without a string
    needed, borne : the ends of the density interval with what decides them, and where
    """

    top: str
    bottom: str
    z_top: float
    z_bottom: float
    bit: float
    bit_text: str
    circulation: str
    density: str
    needed: str
    borne: str
    casing: str
    hung: str
    z_hung: float | None
    pipe: float | None


@dataclass(frozen=True)
class FindingTold:
    """What does not hold when the proposal is walked."""

    id: str
    status: str
    question: str
    margin: str
    depth: str
    remedy: str


@dataclass(frozen=True)
class ProposalTold:
    """One architecture.

    Attributes
    ----------
    passes : of the whole walk; null where it was not walked, and ``not_walked`` says why
    edits : that make it the plan; empty where a plan cannot say it
    """

    number: int
    why: str
    strings: int
    days: str
    steel: str
    money: str
    mud_dumped: str
    core: str
    in_hand: tuple[str, ...]
    sections: tuple[ProposedSectionTold, ...]
    passes: bool | None
    verdict: str
    not_walked: str
    findings: tuple[FindingTold, ...]
    edits: tuple[Edit, ...]


@dataclass(frozen=True)
class ClosedTold:
    """How deep the hole goes below one string, and what closes it."""

    string: str
    shoe: str
    deepest: str
    why: str
    next_strings: tuple[str, ...]


@dataclass(frozen=True)
class OpenedTold:
    """A smallest change that opens a way, and the strings of that way."""

    what: str
    strings: int


@dataclass(frozen=True)
class SystemTold:
    """One circulation system on the same earth; empty texts where nothing reaches."""

    name: str
    title: str
    strings: int | None
    days: str
    steel: str
    mud_dumped: str
    reach: str
    closed_by: str


@dataclass(frozen=True)
class ArchitectureAnswer:
    """What a search found for a revision.

    Attributes
    ----------
    z_sea_bed, z_target, z_conductor : metres below mean sea level, to draw by
    closed, opened : where nothing reaches the target
    systems : compared, where all were asked for
    """

    revision: int
    system: str
    target: str
    z_sea_bed: float
    z_target: float
    z_conductor: float
    proposals: tuple[ProposalTold, ...]
    closed: tuple[ClosedTold, ...]
    opened: tuple[OpenedTold, ...]
    systems: tuple[SystemTold, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]


def architecture_answer(
    hole: Hole, found: Found, revision: int, units: UnitSystem
) -> ArchitectureAnswer:
    """Return a search's answer, texts in ``units``."""
    teller = _Teller(hole, units)
    return ArchitectureAnswer(
        revision=revision,
        system=found.system,
        target=found.target.show(units),
        z_sea_bed=float(hole.sea_bed),
        z_target=float(hole.z(found.target)),
        z_conductor=float(hole.z(hole.plan.conductor.shoe)),
        proposals=tuple(teller.proposal(one) for one in found.proposals),
        closed=tuple(teller.closed(one) for one in found.closed),
        opened=tuple(teller.opened(one) for one in found.opened),
        systems=tuple(teller.system(one) for one in found.systems),
        assumptions=found.assumptions,
        cautions=found.cautions,
    )


@dataclass(frozen=True)
class _Teller:
    """Says everything in one system of units."""

    hole: Hole
    units: UnitSystem

    def number(self, value: Value | float, unit: str, significant: int = 3) -> str:
        return show(float(value), unit, self.units, significant=significant)

    def place(self, depth: Depth | None) -> str:
        return "" if depth is None else depth.show(self.units)

    def days(self, seconds: float) -> str:
        return f"{seconds / DAY:.0f} days"

    def proposal(self, one: Proposal) -> ProposalTold:
        verdict = one.verdict
        return ProposalTold(
            number=one.number,
            why=one.why,
            strings=one.strings,
            days=self.days(float(one.days)),
            steel=self.number(one.steel, "kg"),
            money="" if one.money is None else in_money(one.money, self.hole.prices.currency),
            mud_dumped=self.number(one.mud_dumped, "m3"),
            core="" if one.core_diameter is None else inches(one.core_diameter),
            in_hand=one.in_hand,
            sections=tuple(self.section(section) for section in one.sections),
            passes=None if verdict is None else verdict.passes,
            verdict="" if verdict is None else _said(verdict),
            not_walked=one.not_walked,
            findings=tuple(self.finding(each) for each in verdict.findings) if verdict else (),
            edits=one.edits,
        )

    def section(self, one: ProposedSection) -> ProposedSectionTold:
        casing, density = one.casing, self.number(one.density, "kg/m3", 4)
        needed, borne = (
            f"{self.number(value, 'kg/m3', 4)}: {by}, at {self.place(at)}"
            for value, by, at in (
                (one.least_density, one.needed_by, one.needed_at),
                (one.greatest_density, one.borne_by, one.borne_at),
            )
        )
        if one.only_sea_water:
            needed = borne = ""
        hung = None if casing is None else (casing.hung_at or None)
        z_hung = None
        if casing is not None:
            z_hung = float(self.hole.sea_bed if hung is None else self.hole.z(hung))
        return ProposedSectionTold(
            top=self.place(one.top),
            bottom=self.place(one.bottom),
            z_top=float(self.hole.z(one.top)),
            z_bottom=float(self.hole.z(one.bottom)),
            bit=one.hole_diameter,
            bit_text=inches(one.hole_diameter),
            circulation=one.circulation,
            density="sea water" if one.only_sea_water else density,
            needed=needed,
            borne=borne,
            casing="" if casing is None else f"{casing.designation} ({casing.pipe})",
            hung="" if casing is None else (f"hung at {self.place(hung)}" if hung else "wellhead"),
            z_hung=z_hung,
            pipe=None if casing is None else casing.outside_diameter,
        )

    def finding(self, one: Finding) -> FindingTold:
        margin = "" if one.margin is None else percent(one.margin)
        return FindingTold(
            one.id, one.status, one.question, margin, self.place(one.depth), one.remedy
        )

    def closed(self, one: ClosedWay) -> ClosedTold:
        why = one.reason
        if not why and one.least_density is not None and one.greatest_density is not None:
            why = (
                f"{one.needed_by} at {self.place(one.needed_at)} asks for "
                f"{self.number(one.least_density, 'kg/m3', 4)}; {one.borne_by} at "
                f"{self.place(one.borne_at)} allows {self.number(one.greatest_density, 'kg/m3', 4)}"
            )
        return ClosedTold(
            one.string, self.place(one.shoe), self.place(one.deepest), why, one.next_strings
        )

    def opened(self, one: OpenedWay) -> OpenedTold:
        what = one.what
        if one.amount is not None:
            what = f"{what}: {self.number(one.amount, one.amount.unit)}"
        return OpenedTold(what, one.strings)

    def system(self, one: SystemRow) -> SystemTold:
        return SystemTold(
            one.name,
            one.title,
            one.strings,
            "" if one.days is None else self.days(one.days),
            "" if one.steel is None else self.number(one.steel, "kg"),
            "" if one.mud_dumped is None else self.number(one.mud_dumped, "m3"),
            self.place(one.reach),
            one.not_available or one.closed_by,
        )


def _said(verdict: Verdict) -> str:
    if verdict.stopped:
        return f"The walk stops: {verdict.stopped}"
    total = sum(verdict.counts.values())
    if verdict.passes:
        return f"All {total} checks hold."
    return f"{len(verdict.findings)} of {total} checks do not hold."
