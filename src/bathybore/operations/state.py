"""The state of the hole after a step: what is in it, what fills it, what holds it, what hangs.

Immutable. All places are metres below mean sea level (`BelowSeaLevel`).
"""

from __future__ import annotations

from dataclasses import dataclass

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.frozen import quickly_made
from bathybore.base.working import Value
from bathybore.model.hole import Hole
from bathybore.model.plan import Casing, Conductor, DownholeTool, Fluid, Section
from bathybore.operations.catalogue_pipes import CasingPipe, StringPipe
from bathybore.operations.steps import Step, StepKind


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


@quickly_made
@dataclass(frozen=True)
class FluidLayer:
    """A fluid standing in the hole, from the top down."""

    name: str
    fluid: Fluid
    top: BelowSeaLevel
    bottom: BelowSeaLevel


@dataclass(frozen=True)
class PartInHole:
    """One part of a string where it hangs, and the tool in it."""

    pipe: StringPipe
    top: BelowSeaLevel
    bottom: BelowSeaLevel
    tool: DownholeTool | None = None

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
    """A cement plug that stands in the hole.

    Attributes
    ----------
    tested : tagged and pressure-tested once its cement had set
    """

    top: BelowSeaLevel
    bottom: BelowSeaLevel
    tested: bool


@dataclass(frozen=True)
class FlowSource:
    """An open interval whose fluid could flow to the sea bed by itself, and why it could."""

    what: str
    top: BelowSeaLevel
    bottom: BelowSeaLevel


@quickly_made
@dataclass(frozen=True)
class Element:
    """One part that a barrier is made of; of a string or its cement, the length relied on."""

    part: str
    top: BelowSeaLevel
    bottom: BelowSeaLevel

    def shared_with(self, other: Element) -> bool:
        """Whether both rely on the same piece of the same part."""
        if self.part != other.part:
            return False
        lowest_top, highest_bottom = max(self.top, other.top), min(self.bottom, other.bottom)
        return lowest_top < highest_bottom or self == other


@quickly_made
@dataclass(frozen=True)
class Barrier:
    """Something that keeps formation fluid in: a column of fluid, or steel and cement.

    Attributes
    ----------
    kind : 'fluid' or 'mechanical'
    place : where it stops the flow
    elements : what it is made of; two barriers that share one count as one
    """

    name: str
    kind: str
    tested: bool
    place: BelowSeaLevel
    elements: tuple[Element, ...] = ()

    def shares(self, other: Barrier) -> Element | None:
        """Return the element that another barrier relies on too."""
        pairs = ((a, b) for a in self.elements for b in other.elements)
        return next((a for a, b in pairs if a.shared_with(b)), None)


@quickly_made
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
    """Running totals since arrival, SI (m3, kg).

    Mud is conserved: what was built stands in hole and pits, went to the sea floor, or
    was discarded on board.

    Attributes
    ----------
    mud_to_sea_floor : pumped without returns: weighted mud, sweeps and pad mud
    mud_discarded : dumped when less is needed than there is, or gone with the cuttings
    """

    mud_built: float = 0.0
    mud_to_sea_floor: float = 0.0
    mud_discarded: float = 0.0
    sea_water_pumped: float = 0.0
    barite: float = 0.0
    cement: float = 0.0
    cement_water: float = 0.0


@quickly_made
@dataclass(frozen=True)
class Use:
    """An amount of one store that a step uses; ``store`` is a field of `Consumed`."""

    store: str
    amount: Value


@quickly_made
@dataclass(frozen=True)
class HoleState:
    """The hole after ``step``.

    Attributes
    ----------
    flows : what could flow from the open hole
    barriers : those in force, no two sharing an element
    barrier_faults : what stands in the hole and does not count as a barrier, and why
    consumed, uses : running totals of stores, and what this step adds to them
    times : parts of the step's duration in the clear, known also where the plan fixes it
    elapsed : [s] from arrival to the end of the step
    durations : of every step so far, named by it
    conductor_set_at : [s] when jetting ended and set-up began
    last_preventer_test : [s] when the preventer was tested last; None without a riser
    riser_was_on : a riser has been run, whether or not it is still there
    string_left_by : the step that left the drilling string at the bottom: a test of the shoe
        leaves it there for the section, of drilling its way out is counted already
    """

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
    flows: tuple[FlowSource, ...] = ()
    barriers: tuple[Barrier, ...] = ()
    barrier_faults: tuple[str, ...] = ()
    activity: Activity = Activity()
    consumed: Consumed = Consumed()
    uses: tuple[Use, ...] = ()
    mud_volume: float = 0.0
    duration: Value | None = None
    times: tuple[Value, ...] = ()
    elapsed: float = 0.0
    durations: tuple[Value, ...] = ()
    conductor_set_at: float = 0.0
    last_preventer_test: float | None = None
    on_station: bool = False
    riser_was_on: bool = False
    string_left_by: StepKind | None = None

    @property
    def barriers_needed(self) -> bool:
        return bool(self.flows)

    @property
    def last_casing(self) -> CasingInPlace | None:
        return self.casings[-1] if self.casings else None

    @property
    def deepest_shoe(self) -> BelowSeaLevel:
        """Top of the open hole: the deepest shoe, or the sea bed where nothing is set."""
        return max((c.shoe for c in self.casings), default=self.hole.sea_bed)
