"""What keeps formation fluid in, and whether it must.

Two independent barriers are needed once anything in the open hole can flow on its
own: hydrocarbons, or a pore pressure above that of a column of sea water (common
practice).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from bathybore.operations.columns import (
    depth_nodes,
    earth_value,
    pressure_under,
    sea_bed_pressure,
    static_pressure,
)
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import Barrier, CasingInPlace, HoleState

# Pore pressure counts as above sea water when it exceeds it by this share: reading accuracy.
_PRESSURE_RESOLUTION = 2e-3


def with_barriers(state: HoleState) -> HoleState:
    """Return the state with its barriers and whether two are needed."""
    return replace(state, barriers=_barriers(state), barriers_needed=can_flow(state))


def can_flow(state: HoleState) -> bool:
    """Return whether anything in the open hole could flow to the sea bed by itself."""
    hole, top, bottom = state.hole, state.deepest_shoe, state.bottom
    if bottom - top < 1.0 or _shut_in(state) is not None:
        return False
    for upper, lower, word in hole.earth.intervals("formation_fluid"):
        within = upper + hole.sea_bed < bottom and lower + hole.sea_bed > top
        if within and word in ("gas", "oil"):
            return True
    z = depth_nodes(hole, top, bottom)
    pore = np.asarray(earth_value(hole, "pore_pressure", z).si)
    sea = pressure_under(hole, sea_water(hole), sea_bed_pressure(hole), hole.sea_bed, z)
    return bool(np.any(pore > np.asarray(sea.si) * (1.0 + _PRESSURE_RESOLUTION)))


def _shut_in(state: HoleState) -> CasingInPlace | None:
    """Return the deepest casing while its cement still closes the hole: not drilled out yet."""
    last = state.last_casing
    if last is None or last.cement_top is None or last.drilled_out:
        return None
    return last


def _barriers(state: HoleState) -> tuple[Barrier, ...]:
    found = [
        Barrier(f"cement plug at {state.hole.depth(plug.top)}", "mechanical", False)
        for plug in state.plugs
    ]
    shut = _shut_in(state)
    if shut is not None:
        found.append(Barrier(f"{shut.name} and its cement", "mechanical", False))
    elif state.bottom - state.deepest_shoe >= 1.0 and state.layers and not state.plugs:
        z = depth_nodes(state.hole, state.deepest_shoe, state.bottom)
        pore = np.asarray(earth_value(state.hole, "pore_pressure", z).si)
        if np.all(np.asarray(static_pressure(state, z).si) >= pore):
            found.append(Barrier(f"column of {state.layers[-1].name}", "fluid", True))
    cemented = [c for c in state.casings if c.cement_top is not None]
    if state.riser is not None and cemented:
        found.append(
            Barrier(
                f"preventer on {cemented[-1].name} and its cement",
                "mechanical",
                cemented[-1].tested,
            )
        )
    return tuple(found)
