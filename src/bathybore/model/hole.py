"""The hole document as a whole, with the sentences that must hold across its parts."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeAlias

from pydantic import field_validator

from bathybore.base.depth import BelowSeaLevel, Datum, Depth, DepthFrame
from bathybore.base.keeping import same
from bathybore.model.basis import DesignBasis
from bathybore.model.fields import Node
from bathybore.model.inventory import Inventory
from bathybore.model.plan import Plan
from bathybore.model.prices import Prices
from bathybore.model.site import Site
from bathybore.model.tables import ProfileTable
from bathybore.model.vessel import Vessel
from bathybore.model.yaml_tree import Tree


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
    prices: Prices = Prices()

    @field_validator("design_basis", "prices", mode="before")
    @classmethod
    def _empty_block(cls, written: Any) -> Any:
        """Take a block whose every key is commented out for what it looks like: all defaults."""
        return {} if written is None else written


@dataclass(frozen=True, eq=False)  # identity is what caches key on
class Setting:
    """All of a hole but its plan: what stays as it is while a plan is changed.

    What is asked of a setting cannot depend on the plan, so its answer outlives an edit.
    """

    site: Site
    vessel: Vessel
    inventory: Inventory
    basis: DesignBasis
    earth: ProfileTable
    sea: ProfileTable
    survey: ProfileTable | None = None
    motions: ProfileTable | None = None
    wind_coefficients: ProfileTable | None = None
    current_coefficients: ProfileTable | None = None

    @property
    def setting(self) -> Setting:
        return self

    @cached_property
    def frame(self) -> DepthFrame:
        return DepthFrame(self.vessel.drill_floor_height, self.site.water_depth)

    def z(self, depth: Depth) -> BelowSeaLevel:
        """Return a depth in metres below mean sea level, the axis that all columns share."""
        return self.frame.below_sea_level(depth)

    @cached_property
    def sea_bed(self) -> BelowSeaLevel:
        return BelowSeaLevel(self.site.water_depth)

    @cached_property
    def flow_line(self) -> BelowSeaLevel:
        """Where mud leaves the riser; a negative depth, above the sea."""
        return BelowSeaLevel(-self.vessel.flow_line_height)

    @cached_property
    def drill_floor(self) -> BelowSeaLevel:
        return BelowSeaLevel(-self.vessel.drill_floor_height)

    def depth(self, z: float, datum: Datum = Datum.SEA_BED) -> Depth:
        """Return a place on the shared axis as a depth with a datum, for people."""
        return self.frame.to(Depth(z, Datum.SEA_LEVEL), datum)


@dataclass(frozen=True, eq=False)  # one loaded document
class Hole:
    """A hole document together with its tables: all that a walk needs.

    Attributes
    ----------
    tree : the document as its user wrote it, for those who change it
    survey : stations along the hole; None for a hole taken as vertical
    weather : time series of sea states and wind; None where none is given
    scatter : how often each class of sea states is met; None where it is not given
    motions : how the vessel answers regular waves; None for the closed form of a box
    wind_coefficients, current_coefficients : what they push the vessel with; None for formulas
    """

    document: HoleDocument
    earth: ProfileTable
    sea: ProfileTable
    tree: Tree = field(default_factory=lambda: Tree("hole.yaml"), repr=False)
    survey: ProfileTable | None = None
    weather: ProfileTable | None = None
    scatter: ProfileTable | None = None
    motions: ProfileTable | None = None
    wind_coefficients: ProfileTable | None = None
    current_coefficients: ProfileTable | None = None

    @cached_property
    def setting(self) -> Setting:
        """All but the plan: the same object for holes that differ in nothing else."""
        parts = (self.site, self.vessel, self.inventory, self.basis, self.earth, self.sea)
        loads = (self.wind_coefficients, self.current_coefficients)
        return same(Setting(*parts, self.survey, self.motions, *loads))

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

    @property
    def prices(self) -> Prices:
        return self.document.prices

    @property
    def frame(self) -> DepthFrame:
        return self.setting.frame

    def z(self, depth: Depth) -> BelowSeaLevel:
        """Return a depth in metres below mean sea level, the axis that all columns share."""
        return self.setting.z(depth)

    @property
    def sea_bed(self) -> BelowSeaLevel:
        return self.setting.sea_bed

    @property
    def flow_line(self) -> BelowSeaLevel:
        """Where mud leaves the riser; a negative depth, above the sea."""
        return self.setting.flow_line

    @property
    def drill_floor(self) -> BelowSeaLevel:
        return self.setting.drill_floor

    def depth(self, z: float, datum: Datum = Datum.SEA_BED) -> Depth:
        """Return a place on the shared axis as a depth with a datum, for people."""
        return self.setting.depth(z, datum)


# For functions that the plan does not concern: they go by what both have.
HoleOrSetting: TypeAlias = Hole | Setting
