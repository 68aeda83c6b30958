"""The density interval of every section of a proposal as a record, to be opened like a check."""

from __future__ import annotations

from typing import Final

from bathybore.base.errors import InputErrors
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.model.hole import Hole
from bathybore.usecases.searching import Proposal

PROPOSAL: Final = "proposal"


def density_records(hole: Hole, proposal: Proposal) -> tuple[CheckRecord, ...]:
    """Return one record a section: the density it needs at least against what it bears at most."""
    step = f"{PROPOSAL}-{proposal.number}"
    return tuple(
        judge(
            step,
            Question(
                f"section-{number}",
                Discipline.WINDOW,
                f"Does one density serve from {section.top} to {section.bottom}?",
                "A shoe between, or what widens the window: a smaller kick, a stronger leak-off.",
            ),
            section.least_density,
            section.greatest_density,
            hole.basis.tight_band_window,
            section.borne_at,
            note=f"Needed for the {section.needed_by} at {section.needed_at}; borne: "
            f"{section.borne_by} at {section.borne_at}.",
        )
        for number, section in enumerate(proposal.sections, 1)
    )


def record_in(hole: Hole, proposals: tuple[Proposal, ...], record_id: str) -> CheckRecord:
    """Return the record of a section by its id, such as proposal-1/section-2.

    Raises
    ------
    InputErrors
        No proposal has such a section.
    """
    records = [record for one in proposals for record in density_records(hole, one)]
    for record in records:
        if record.id == record_id:
            return record
    expected = ", ".join(record.id for record in records) or "proposals, and there are none"
    raise InputErrors.one("explain", f"'{record_id[:80]}'", f"one of {expected}")
