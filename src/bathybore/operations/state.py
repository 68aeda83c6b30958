"""The state of the hole after a step: what is in it, what fills it, what holds it, what hangs.

Immutable. All places are metres below mean sea level (`BelowSeaLevel`).
"""

from __future__ import annotations

from dataclasses import dataclass

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.working import Value
from bathybore.model.hole import Hole
from bathybore.model.plan import Casing, Conductor, Fluid, Section
from bathybore.operations.catalogue_pipes import CasingPipe, StringPipe
from bathybore.operations.steps import Step


@dataclass(frozen=True)
class OpenHole:
    """Drilled and not yet cased."""

    top: BelowSeaLevel
    bottom: BelowSeaLevel
    diameter: Value
    section: str


@dataclass(frozen=True)
class CasingInPlace:
    """A conductor, casing or liner that stands in the hole.

    Attributes
    ----------
    cement_top : None until cemented; a jetted conductor stays None
    outside_fluid : fluid left behind it above the cement
    hole_diameter : of the hole it stands in, at its shoe
    hole : the pieces of open hole it was run into
    drilled_out : there is open hole below its shoe again
    tested : its shoe has been tested after drilling out
    """

    plan: Casing | Conductor
    pipe: CasingPipe
    top: BelowSeaLevel
    shoe: BelowSeaLevel
    hole_diameter: Value
    outside_fluid: Fluid | None
    hole: tuple[OpenHole, ...] = ()
    cement_top: BelowSeaLevel | None = None
    drilled_out: bool = False
    tested: bool = False

    @property
    def name(self) -> str:
        return self.plan.name

    @property
    def is_conductor(self) -> bool:
        return isinstance(self.plan, Conductor)


@dataclass(frozen=True)
class FluidLayer:
    """A fluid standing in the hole, from the top down."""

    name: str
    fluid: Fluid
    top: BelowSeaLevel
    bottom: BelowSeaLevel


@dataclass(frozen=True)
class PartInHole:
    """One part of a string where it hangs."""

    pipe: StringPipe
    top: BelowSeaLevel
    bottom: BelowSeaLevel

    @property
    def length(self) -> float:
        return self.bottom - self.top


@dataclass(frozen=True)
class StringInHole:
    """A string from the drill floor down, lowest part first."""

    name: str
    parts: tuple[PartInHole, ...]

    @property
    def bottom(self) -> BelowSeaLevel:
        return self.parts[0].bottom


@dataclass(frozen=True)
class Riser:
    """The riser and preventer, landed on the wellhead."""

    top: BelowSeaLevel
    bottom: BelowSeaLevel
    inside_diameter: Value


@dataclass(frozen=True)
class PlugInPlace:
    """A cement plug that stands in the hole."""

    top: BelowSeaLevel
    bottom: BelowSeaLevel


@dataclass(frozen=True)
class Barrier:
    """Something that keeps formation fluid in: a column of fluid, or steel and cement."""

    name: str
    kind: str  # 'fluid' or 'mechanical'
    tested: bool


@dataclass(frozen=True)
class Activity:
    """What was going on in the step, at its deepest and heaviest moment.

    Attributes
    ----------
    layers : fluids in the hole while it went on; the state's own layers are those left after it
    start, end : of the interval worked on
    """

    section: Section | None = None
    casing: CasingInPlace | None = None
    string: StringInHole | None = None
    fluid: Fluid | None = None
    layers: tuple[FluidLayer, ...] = ()
    flow_rate: Value | None = None
    booster_flow_rate: Value | None = None
    rate_of_penetration: Value | None = None
    start: BelowSeaLevel | None = None
    end: BelowSeaLevel | None = None


@dataclass(frozen=True)
class Consumed:
    """Running totals since arrival, SI (m3, kg)."""

    mud_built: float = 0.0
    mud_to_sea_floor: float = 0.0
    sea_water_pumped: float = 0.0
    barite: float = 0.0
    cement: float = 0.0
    cement_water: float = 0.0
    core_bits: float = 0.0


@dataclass(frozen=True)
class HoleState:
    """The hole after ``step``."""

    hole: Hole
    step: Step
    bottom: BelowSeaLevel
    open_hole: tuple[OpenHole, ...] = ()
    casings: tuple[CasingInPlace, ...] = ()
    layers: tuple[FluidLayer, ...] = ()
    riser: Riser | None = None
    string: StringInHole | None = None
    hanging_casing: CasingInPlace | None = None
    plugs: tuple[PlugInPlace, ...] = ()
    cored: float = 0.0
    barriers: tuple[Barrier, ...] = ()
    barriers_needed: bool = False
    activity: Activity = Activity()
    consumed: Consumed = Consumed()
    mud_volume: float = 0.0
    duration: Value | None = None
    times: tuple[Value, ...] = ()
    elapsed: float = 0.0
    conductor_set_at: float = 0.0

    @property
    def last_casing(self) -> CasingInPlace | None:
        return self.casings[-1] if self.casings else None

    @property
    def deepest_shoe(self) -> BelowSeaLevel:
        """Top of the open hole: the deepest shoe, or the sea bed where nothing is set."""
        return max((c.shoe for c in self.casings), default=self.hole.sea_bed)
