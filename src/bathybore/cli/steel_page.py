"""The choice of steel as a page: each string, its lengths, and where it comes closest."""

from __future__ import annotations

from rich.text import Text

from bathybore.base.units import UnitSystem, show
from bathybore.cli.page import VERDICT_STYLE, Page, verdict_text
from bathybore.usecases.showing import percent
from bathybore.usecases.steel_choice import CAUTION, SteelChoice


def steel(choices: tuple[SteelChoice, ...], units: UnitSystem) -> str:
    """Return the page of all choices."""
    page = Page()
    page.line("The lightest strings from the stock that bear every load case")
    for choice in choices:
        page.line()
        page.line(Text(choice.casing + "  ", "bold") + verdict_text(_verdict(choice)))
        page.fields(_said(choice, units), label=12)
        for length in choice.lengths:
            ends = f"{length.top.show(units)} to {length.bottom.show(units)}"
            mass = show(length.mass, "kg", units, significant=3)
            page.line(f"{length.designation}: {ends}, {mass}", indent=4)
        for record in sorted(choice.records, key=lambda one: one.margin or 0.0)[:4]:
            where = f" at {record.depth.show(units)}" if record.depth else ""
            room = percent(record.margin) if record.margin is not None else "not judged"
            style = VERDICT_STYLE[str(record.status)]
            page.line(f"{record.id}: {room} left{where}", style, indent=4)
    page.heading("Cautions")
    page.fields([("-", CAUTION)], label=1)
    return page.text()


def _verdict(choice: SteelChoice) -> str:
    if not choice.lengths:
        return "fails"
    return "tight" if any(str(one.status) == "tight" for one in choice.records) else "holds"


def _said(choice: SteelChoice, units: UnitSystem) -> list[tuple[str | Text, str | Text]]:
    rows: list[tuple[str | Text, str | Text]] = [("Planned", choice.planned[1])]
    if choice.lengths:
        planned = show(choice.planned_mass, "kg", units, significant=3)
        mass = show(choice.mass, "kg", units, significant=3)
        rows.append(("Mass", f"{mass}; the planned pipe alone {planned}"))
    else:
        rows.append(("Why none", choice.why_none))
    rows += [("Left out", f"{name}: {why}") for name, why in choice.left_out]
    return rows
