"""The hole document as a whole, with the sentences that must hold across its parts."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bathybore.base.depth import Depth, DepthFrame
from bathybore.model.basis import DesignBasis
from bathybore.model.fields import Node
from bathybore.model.inventory import Inventory
from bathybore.model.plan import Plan
from bathybore.model.site import Site
from bathybore.model.tables import ProfileTable
from bathybore.model.vessel import Vessel


class HoleDocument(Node):
    """The content of a hole.yaml."""

    name: str
    note: str = ""
    invented: bool = False
    site: Site
    vessel: Vessel
    inventory: Inventory
    plan: Plan
    design_basis: DesignBasis = DesignBasis()


@dataclass(frozen=True)
class Hole:
    """A hole document together with its tables: all that a walk needs."""

    document: HoleDocument
    earth: ProfileTable
    sea: ProfileTable

    @property
    def name(self) -> str:
        return self.document.name

    @property
    def site(self) -> Site:
        return self.document.site

    @property
    def vessel(self) -> Vessel:
        return self.document.vessel

    @property
    def inventory(self) -> Inventory:
        return self.document.inventory

    @property
    def plan(self) -> Plan:
        return self.document.plan

    @property
    def basis(self) -> DesignBasis:
        return self.document.design_basis

    @cached_property
    def frame(self) -> DepthFrame:
        return DepthFrame(self.vessel.drill_floor_height, self.site.water_depth)

    def z(self, depth: Depth) -> float:
        """Return a depth in metres below mean sea level, the axis that all columns share."""
        return self.frame.below_sea_level(depth)
