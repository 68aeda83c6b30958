"""The choice of steel for the page."""

from __future__ import annotations

from bathybore.base.units import UnitSystem, show
from bathybore.drawings.steel import in_words
from bathybore.model.hole import Hole
from bathybore.usecases.ledger import row_of
from bathybore.usecases.steel_choice import CAUTION, SteelChoice
from bathybore.web.ledger_page import ledger_row
from bathybore.web.shapes import SteelAnswer, SteelPart, SteelString


def steel_answer(
    hole: Hole, choices: tuple[SteelChoice, ...], revision: int, units: UnitSystem
) -> SteelAnswer:
    """Return all strings with their questions, texts in ``units``."""
    return SteelAnswer(revision, tuple(_string(hole, one, units) for one in choices), CAUTION)


def _string(hole: Hole, choice: SteelChoice, units: UnitSystem) -> SteelString:
    return SteelString(
        casing=choice.casing,
        section=choice.section,
        planned=choice.planned[1],
        passes=choice.passes,
        parts=tuple(
            SteelPart(
                one.pipe,
                one.designation,
                one.top.show(units),
                one.bottom.show(units),
                float(hole.z(one.top)),
                float(hole.z(one.bottom)),
                show(one.mass, "kg", units, significant=3),
            )
            for one in choice.lengths
        ),
        mass=show(choice.mass, "kg", units, significant=3),
        planned_mass=show(choice.planned_mass, "kg", units, significant=3),
        offered=choice.offered,
        left_out=tuple(f"{name}: {why}" for name, why in choice.left_out),
        why_none=choice.why_none,
        rows=tuple(
            ledger_row(row_of(one, units), choice.section, hole.frame)
            for one in sorted(choice.records, key=lambda one: one.margin or 0.0)
        ),
        picture=in_words(choice, units),
    )
