"""The answer of a search as a page: proposals, or what closes every way and what would open one."""

from __future__ import annotations

from math import isfinite
from typing import Final

from rich.table import Table
from rich.text import Text

from bathybore.base.depth import Depth
from bathybore.base.units import UnitSystem, show
from bathybore.base.working import Value
from bathybore.cli.page import VERDICT_STYLE, Page, verdict_text, whole
from bathybore.usecases.adopting import Finding, ProposedSection, Verdict
from bathybore.usecases.ledger import DAY
from bathybore.usecases.searching import (
    ClosedWay,
    Found,
    OpenedWay,
    Proposal,
    SystemRow,
    strings_in_words,
)
from bathybore.usecases.showing import in_money, percent

_FINDINGS: Final = 8
_WAYS: Final = 6
_HEADINGS: Final = ("hole", "from", "to", "density", "needed – borne", "string", "hung at")


def search(found: Found, units: UnitSystem) -> str:
    """Return the page of a search."""
    page = Page()
    page.line(found.hole, "bold")
    if found.invented:
        page.line("The data of this hole are invented.")
    page.line(f"Architectures to {found.target.show(units)}: {found.system}")
    if found.against_all:
        page.heading("What stands against every proposal shown, where it is mildest")
        for finding in found.against_all:
            _finding(page, finding, units, 2)
    shared = frozenset(finding.check for finding in found.against_all)
    for proposal in found.proposals:
        _proposal(page, proposal, units, shared, found.currency)
    if not found.proposals:
        _closed(page, found, units)
    if found.systems:
        _systems(page, found.systems, units)
    page.heading("Taken for granted")
    page.fields([("-", text) for text in found.assumptions], label=1)
    page.heading("Cautions")
    page.fields([("-", text) for text in found.cautions], label=1)
    return page.text()


def _proposal(
    page: Page, proposal: Proposal, units: UnitSystem, shared: frozenset[str], currency: str
) -> None:
    page.line()
    page.line(Text(f"Proposal {proposal.number}  ", "bold") + Text(whole(proposal.why)))
    table = Table.grid(padding=(0, 2, 0, 0))
    for _ in _HEADINGS:
        table.add_column(overflow="fold")
    table.add_row(*(Text(name, "dim") for name in _HEADINGS))
    for section in proposal.sections:
        table.add_row(*(whole(text) for text in _row(section, units)))
    page.add(table)
    page.fields(_sums(proposal, units, currency), label=12)
    if proposal.verdict is not None:
        _verdict(page, proposal.verdict, units, shared)
    else:
        page.note(proposal.not_walked, "dim", 2)


def _row(section: ProposedSection, units: UnitSystem) -> tuple[str, ...]:
    least, most = float(section.least_density), float(section.greatest_density)
    interval = f"{_density(least, units)} – {_density(most, units)}"
    casing = section.casing
    hung = ""
    if casing is not None:
        hung = "wellhead" if casing.hung_at is None else casing.hung_at.show(units)
    return (
        show(section.hole_diameter, "m", unit="in", significant=5),
        section.top.show(units),
        section.bottom.show(units),
        f"{_density(float(section.density), units)}, {section.circulation}",
        interval,
        f"{casing.pipe}, {casing.designation}" if casing is not None else "to the target",
        hung,
    )


def _density(density: float, units: UnitSystem) -> str:
    return show(density, "kg/m3", unit="sg" if units == "metric" else "ppg", significant=4)


def _sums(
    proposal: Proposal, units: UnitSystem, currency: str
) -> list[tuple[str | Text, str | Text]]:
    days = float(proposal.days) / DAY
    rows: list[tuple[str | Text, str | Text]] = [
        (
            "Costs",
            f"{strings_in_words(proposal.strings)}, about {days:.0f} days of drilling and casing, "
            f"{show(float(proposal.steel), 'kg', units, significant=3)} of steel"
            + (
                f", {in_money(proposal.money, currency)} at the prices given"
                if proposal.money is not None
                else ""
            ),
        ),
        ("In hand", ", ".join(proposal.in_hand) or "no further string fits between"),
    ]
    if proposal.core_diameter is not None:
        rows.append(("Core", show(proposal.core_diameter, "m", unit="in", significant=3)))
    if float(proposal.mud_dumped) > 0.0:
        dumped = show(float(proposal.mud_dumped), "m3", units, significant=3)
        rows.append(("Left", f"{dumped} of mud on the sea floor, estimated"))
    for section in proposal.sections:
        rows.append(("Window", f"to {section.bottom.show(units)}: {_ends(section, units)}"))
    return rows


def _ends(section: ProposedSection, units: UnitSystem) -> str:
    return (
        f"{section.needed_by} at {section.needed_at.show(units)} against "
        f"{section.borne_by} at {section.borne_at.show(units)}"
    )


def _verdict(page: Page, verdict: Verdict, units: UnitSystem, shared: frozenset[str]) -> None:
    word = "holds" if verdict.passes else "fails"
    days = verdict.duration / DAY
    counts = ", ".join(f"{n} {name}" for name, n in sorted(verdict.counts.items()))
    page.line(
        Text("  The walk   ") + verdict_text(word) + Text(f"  {counts}; {days:.0f} days in all")
    )
    page.note(f"It stops: {verdict.stopped}" if verdict.stopped else "", "bold red", 13)
    own = [finding for finding in verdict.findings if finding.check not in shared]
    for finding in own[:_FINDINGS]:
        _finding(page, finding, units, 13)
    more = len(own) - _FINDINGS
    page.note(f"and {more} more" if more > 0 else "", "dim", 13)
    others = len(verdict.findings) - len(own)
    page.note(f"and {others} of what stands against every proposal" * (others > 0), "dim", 13)


def _finding(page: Page, finding: Finding, units: UnitSystem, indent: int) -> None:
    room = percent(finding.margin) if finding.margin is not None else finding.reason
    where = f" at {finding.depth.show(units)}" if finding.depth is not None else ""
    text = f"{finding.id}: {finding.status}, {room}{where}. {finding.remedy}"
    page.line(text, VERDICT_STYLE[finding.status], indent)


def _closed(page: Page, found: Found, units: UnitSystem) -> None:
    page.line()
    page.line("Nothing reaches the target.", "bold red")
    page.heading("What closes each way, the deepest first")
    page.fields(((way.string, _way(way, units)) for way in found.closed[:_WAYS]), label=16)
    more = len(found.closed) - _WAYS
    page.note(f"and {more} more strings, none deeper" if more > 0 else "", "dim", 2)
    page.heading("The smallest change of each kind that opens a way")
    rows = [
        (_amount(one, units), f"{one.what} ({strings_in_words(one.strings)})")
        for one in found.opened
    ]
    page.fields(rows or [("none", "no single change that was tried opens one")], label=16)


def _way(way: ClosedWay, units: UnitSystem) -> str:
    hole = ""
    if way.hole_diameter is not None:
        size = show(way.hole_diameter, "m", unit="in", significant=5)
        hole = f", {size} hole, {way.circulation}"
    head = f"shoe at {way.shoe.show(units)}{hole}: drilled to {way.deepest.show(units)}"
    if way.least_density is None or way.greatest_density is None:
        why = way.reason
    else:
        why = (
            f"then {way.needed_by} at {_place(way.needed_at, units)} needs "
            f"{_density(float(way.least_density), units)} and {way.borne_by} at "
            f"{_place(way.borne_at, units)} bears {_bears(way.greatest_density, units)}"
        )
        if way.room_wanted > 0.0:
            why += f", where {_density(way.room_wanted, units)} of room between is wanted"
    follows = ", ".join(way.next_strings) or "no string on board fits below"
    return f"{head}; {why}. Below it: {follows}."


def _bears(density: Value, units: UnitSystem) -> str:
    return _density(float(density), units) if isfinite(float(density)) else "no mud"


def _place(depth: Depth | None, units: UnitSystem) -> str:
    return "" if depth is None else depth.show(units)


def _amount(one: OpenedWay, units: UnitSystem) -> str:
    return "have" if one.amount is None else _shown(one.amount, units)


def _shown(amount: Value, units: UnitSystem) -> str:
    return f"by {show(float(amount), amount.unit, units, significant=3)}"


def _systems(page: Page, rows: tuple[SystemRow, ...], units: UnitSystem) -> None:
    page.heading("The same earth with each circulation system")
    told = []
    for row in rows:
        if row.not_available:
            text = f"not to be had: {row.not_available}"
        elif row.strings is None or row.days is None or row.steel is None:
            reach = row.reach.show(units) if row.reach is not None else "nowhere"
            text = f"reaches {reach}; closed by {row.closed_by}"
        else:
            text = (
                f"reaches the target with {strings_in_words(row.strings)}, "
                f"about {row.days / DAY:.0f} days, "
                f"{show(row.steel, 'kg', units, significant=3)} of steel, "
                f"{show(row.mud_dumped or 0.0, 'm3', units, significant=3)} of mud left on the sea "
                "floor"
            )
        told.append((row.name, f"{row.title}: {text}"))
    page.fields(told, label=14)
