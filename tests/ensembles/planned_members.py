"""Members that drill the plan just as it stands, for tests of what comes after."""

from __future__ import annotations

import numpy as np

from bathybore.ensembles.shapes import Drawn, Frame, Made


def as_planned(frame: Frame, count: int = 1) -> tuple[Made, Drawn]:
    """Return members whose strings and muds are the plan's, the last going on below the target."""
    hole, nodes = frame.hole, len(frame.depth)
    made = [i for i, one in enumerate(frame.strings) if not one.spare]
    string = np.full(nodes, made[-1])
    density = np.full(nodes, np.nan)
    for number in reversed(made):
        one = frame.strings[number]
        fluid = hole.plan.conductor.fluid
        if one.section >= 0:
            fluid = hole.plan.sections[one.section].fluid
        here = slice(None) if number == made[-1] else frame.depth <= one.bottom + 1e-6
        string[here] = number
        density[here] = hole.plan.fluids[fluid].density
    shoes = np.full(len(frame.strings), np.nan)
    for number in made:
        shoes[number] = frame.strings[number].bottom
    every = np.ones((count, 1))
    none = np.full(count, np.inf)
    of_plan = Made(
        shoes=every * shoes,
        density=every * density,
        string=np.repeat(string[None, :], count, axis=0),
        ends=none,
        ends_by=np.full(count, -1),
        alone=np.full((count, 3), np.inf),
    )
    drawn = Drawn(
        first=0,
        count=count,
        curves={},
        numbers={},
        alternatives=np.full(count, -1),
        trouble=np.zeros((count, len(frame.states))),
        start=np.zeros(count),
        mended=np.zeros(count, dtype=np.intp),
    )
    return of_plan, drawn
