"""Members written out as they are made, and walked step by step, for tests of their tables."""

from __future__ import annotations

import numpy as np

from bathybore.checks.ledger import records_of
from bathybore.checks.record import CheckRecord
from bathybore.ensembles.cut_holes import cut, with_plan
from bathybore.ensembles.limits_of_checks import is_tabled
from bathybore.ensembles.members import member_hole
from bathybore.ensembles.shapes import Drawn, Frame, Made
from bathybore.model.hole import Hole
from bathybore.operations.walk import walk_hole


def as_made(frame: Frame, made: Made, drawn: Drawn, member: int) -> Hole:
    """Return the hole of a member with its own curves, shoes and muds, without spare strings.

    A section is given the mud that its last node is drilled with: it serves all that is open.
    """
    hole = member_hole(frame, drawn, member)
    coring = hole.plan.coring
    for index in reversed(range(len(frame.strings))):
        one = frame.strings[index]
        casing = hole.plan.sections[one.section].casing
        shoe = float(made.shoes[member, index])
        if one.spare or one.section < 0 or casing is None or abs(shoe - one.bottom) < 1e-3:
            continue
        below = hole.frame.below_sea_bed
        rat_hole = below(hole.plan.sections[one.section].bottom) - below(casing.shoe)
        hole = cut(hole, one.section, shoe + rat_hole, deeper=True)
    fluids = dict(hole.plan.fluids)
    within = frame.depth <= frame.depth[frame.target] + 1e-3
    for index, one in enumerate(frame.strings):
        nodes = np.flatnonzero((made.string[member] == index) & within)
        if one.section < 0 or not nodes.size:
            continue
        section = hole.plan.sections[one.section]
        names = {section.fluid}
        if coring is not None and one.section == len(hole.plan.sections) - 1:
            names.add(coring.fluid)
        mud = {"density": float(made.density[member, nodes[-1]])}
        fluids |= {name: fluids[name].model_copy(update=mud) for name in names}
    return with_plan(hole, hole.plan.model_copy(update={"fluids": fluids, "coring": coring}))


def records(hole: Hole) -> dict[str, CheckRecord]:
    """Return the answers to the questions of the tables when a hole is walked in full."""
    return {
        record.id: record
        for state in walk_hole(hole)
        for record in records_of(state)
        if is_tabled(record.name)
    }
