"""Which later sections a casing still faces."""

from __future__ import annotations

from dataclasses import dataclass

from bathybore.base.keeping import same
from bathybore.base.working import Value
from bathybore.model.hole import Hole
from bathybore.model.plan import Fluid
from bathybore.operations.influx import kick_intensity
from bathybore.operations.state import CasingInPlace


@dataclass(frozen=True, eq=False)
class Exposure:
    """A later section that this casing still faces: what is drilled, and the open shoe above it.

    Attributes
    ----------
    bottom : of the section [m below sea level]
    mud, fluid : name and fluid it is drilled with
    intensity : how much a kick's pressure exceeds the prognosis, as a density to the drill floor
    shoe : of the last string above it [m below sea level]
    """

    section: str
    bottom: float
    mud: str
    fluid: Fluid
    intensity: Value
    shoe: float


def exposures(hole: Hole, casing: CasingInPlace) -> tuple[Exposure, ...]:
    """Return all sections drilled until another string covers this one up to its top.

    A liner does not cover the casing it hangs in: that casing stays the wall up to the
    wellhead for everything drilled below the liner. A section with returns to the sea
    floor loads nothing: the hole stays open to the sea.
    """
    found, fluids = list[Exposure](), hole.plan.fluids
    shoe, below = float(casing.shoe), False
    for section in hole.plan.sections:
        if below and section.returns == "riser":
            bottom, mud = float(hole.z(section.bottom)), section.fluid
            intensity = kick_intensity(hole, section)
            found.append(same(Exposure(section.name, bottom, mud, fluids[mud], intensity, shoe)))
        if section.casing is None:
            continue
        if section.casing.name == casing.name:
            below = True
        elif below:
            hung = section.casing.hung_at
            top = float(hole.sea_bed if isinstance(hung, str) else hole.z(hung))
            if top <= casing.top + 1.0:
                break
            shoe = float(hole.z(section.casing.shoe))
    return tuple(found)
