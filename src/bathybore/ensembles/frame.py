"""What all members of an ensemble share: depths, planned strings and the plan's own walk."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.errors import InputErrors
from bathybore.base.keeping import kept
from bathybore.ensembles.shapes import Frame, PlannedString, Policy
from bathybore.model.hole import Hole
from bathybore.operations.diameter_budget import diameter_budget
from bathybore.operations.walk import walk_hole

SPACING = 25.0  # m between nodes; rows of the earth table, shoes and the target are nodes too


@kept(4)
def frame_of(hole: Hole) -> Frame:
    """Return the frame of a hole.

    Raises
    ------
    InputErrors
        The earth table ends above the target: nothing could be said of what lies below.
    OrderError
        The plan cannot be walked.
    """
    strings = tuple(_strings(hole))
    target, deepest = hole.frame.below_sea_bed(hole.plan.target), hole.earth.deepest
    if deepest < target:
        raise InputErrors.one(
            hole.earth.file,
            f"a table that ends at {deepest:.0f} m below the sea bed",
            f"one that goes down to the target at {target:.0f} m",
        )
    bottoms = [one.bottom for one in strings if not one.spare]
    even = np.arange(0.0, deepest, SPACING)
    nodes = np.concatenate([even, hole.earth.depths, bottoms, [target, deepest]])
    nodes = np.unique(np.round(nodes[nodes <= deepest], 3))
    nodes.setflags(write=False)
    return Frame(hole, walk_hole(hole), nodes, strings)


def frame_like(frame: Frame, hole: Hole) -> Frame:
    """Return the frame of another hole in the same rock, at the same nodes.

    Raises
    ------
    OrderError
        The plan cannot be walked.
    """
    return Frame(hole, walk_hole(hole), frame.depth, tuple(_strings(hole)))


def planned_policy(frame: Frame) -> Policy:
    """Return the plan as it stands, spare strings set where the hole asks for them."""
    return Policy(tuple(one.bottom for one in frame.planned))


def _strings(hole: Hole) -> Iterator[PlannedString]:
    """Yield what is made from the top down; a spare comes before the string it may precede."""
    plan, below = hole.plan, hole.frame.below_sea_bed
    spares = diameter_budget(hole).spares
    above = plan.conductor.name
    yield PlannedString(above, -1, below(plan.conductor.shoe))
    for index, section in enumerate(plan.sections):
        for spare in spares:
            if spare.below == above:
                yield PlannedString(spare.name, index, np.nan, spare=True)
        if section.casing is None:
            yield PlannedString(section.name, index, below(section.bottom))
            continue
        above = section.casing.name
        yield PlannedString(above, index, below(section.casing.shoe))
