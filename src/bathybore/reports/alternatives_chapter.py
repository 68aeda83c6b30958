"""The chapter on alternatives: what an exact search makes of the same rock, vessel and stock."""

from __future__ import annotations

from bathybore.base.units import UnitSystem, show
from bathybore.drawings.words import inches
from bathybore.model.editing import Draft
from bathybore.reports.blocks import Block, Chapter, Column, Items, Table, Text
from bathybore.usecases.ledger import DAY
from bathybore.usecases.searching import Found, Proposal, SearchOrder, find_architectures
from bathybore.usecases.showing import in_money


def alternatives(draft: Draft | None, units: UnitSystem) -> tuple[Chapter, ...]:
    """Return the chapter of a hole whose files are at hand; nothing without them."""
    if draft is None or draft.hole is None:
        return ()
    found = find_architectures(draft, SearchOrder(walk=False))
    blocks: list[Block] = [
        Text(
            "Shoes, sizes and mud densities searched anew, exactly, for the same rock, vessel, "
            f"stock and design basis ({found.system}). They are not judged here: a search knows "
            "pressures, diameters and stock, the walk of a proposal knows the rest."
        )
    ]
    if found.proposals:
        blocks.append(_proposals(found, units))
    else:
        blocks.append(Text("Nothing that is on board reaches the target.", "warning"))
        blocks.append(Items(_closed(found, units)))
        if found.opened:
            blocks.append(Text("Smallest changes that would open a way", "note"))
            blocks.append(Items(tuple(one.what for one in found.opened)))
    blocks += [Text(one, "note") for one in found.cautions]
    return (Chapter("Alternatives", tuple(blocks)),)


def _proposals(found: Found, units: UnitSystem) -> Table:
    return Table(
        "Architectures",
        (
            Column("proposal", 2.0),
            Column("hole, to, mud, string", 5.0),
            Column("days, estimated" + (", and cost" if _priced(found) else ""), 1.1, "number"),
            Column("steel", 1.0, "number"),
            Column("in hand", 1.6),
        ),
        tuple(
            (
                f"{one.number}. {one.why}",
                _sections(one, units),
                f"{float(one.days) / DAY:.0f}{_costs(one, found.currency)}",
                show(float(one.steel), "kg", units, significant=3),
                ", ".join(one.in_hand) or "none",
            )
            for one in found.proposals
        ),
    )


def _priced(found: Found) -> bool:
    return any(one.money is not None for one in found.proposals)


def _costs(one: Proposal, currency: str) -> str:
    return "" if one.money is None else f"; {in_money(one.money, currency)}"


def _sections(one: Proposal, units: UnitSystem) -> str:
    texts = []
    for section in one.sections:
        mud = (
            "sea water"
            if section.only_sea_water
            else show(float(section.density), "kg/m3", units, significant=4)
        )
        string = section.casing.designation if section.casing is not None else "open hole"
        hole = inches(section.hole_diameter)
        texts.append(f"{hole} to {section.bottom.show(units)}, {mud}, {string}")
    return "; ".join(texts)


def _closed(found: Found, units: UnitSystem) -> tuple[str, ...]:
    return tuple(
        f"Below {one.string} at {one.shoe.show(units)}: down to {one.deepest.show(units)}. "
        + (one.reason or f"{one.needed_by} against {one.borne_by}.")
        for one in found.closed
    )
