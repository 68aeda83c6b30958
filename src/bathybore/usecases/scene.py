"""What a picture of the hole needs, as plain numbers: rock, pressures, steel, fluids, handles.

Every face draws from these; nothing here draws. SI throughout. ``z`` is metres below mean sea
level, positive down, the axis that all tracks share; datums are places on it. A number that is
not known is None, never a guess.
"""

from __future__ import annotations

from dataclasses import dataclass

from bathybore.base.frozen import quickly_made


@dataclass(frozen=True)
class Place:
    """A level of the shared axis that depths are counted from or that ends the picture."""

    name: str
    z: float


@dataclass(frozen=True)
class Rock:
    """One layer of the prognosis.

    Attributes
    ----------
    pattern : key of the lithologic pattern, empty when there is none for the word
    patterns : of a rock of several kinds, the patterns of all of them, by turns row by row
    """

    top: float
    bottom: float
    lithology: str
    pattern: str
    fluid: str
    hazard: str
    patterns: tuple[str, ...] = ()


@dataclass(frozen=True)
class PressureCurve:
    """One line of the window.

    Attributes
    ----------
    kind : pore, collapse, fracture, needed, borne, at_rest, circulating or cementing
    label : as the legend names it
    section : name of the section it belongs to, empty for the rock's own
    z : [m]
    pressure : [Pa] gauge
    density : [kg/m3] equivalent to ``Window.datum``; None where that has no meaning
    """

    kind: str
    label: str
    section: str
    z: tuple[float, ...]
    pressure: tuple[float | None, ...]
    density: tuple[float | None, ...]


@dataclass(frozen=True)
class Window:
    """What the hole needs, what it bears, and what stands in it; densities are to ``datum``.

    Attributes
    ----------
    definition : of the equivalent densities, in words
    """

    datum: str
    curves: tuple[PressureCurve, ...]
    definition: str


@dataclass(frozen=True)
class Cut:
    """A length of hole as drilled; ``diameter`` in metres."""

    name: str
    top: float
    bottom: float
    diameter: float
    cased: bool


@dataclass(frozen=True)
class Steel:
    """A conductor, casing or liner where it stands or hangs.

    Attributes
    ----------
    standing : False while it hangs on the running string
    cement_top, cement_bottom : None until cemented
    """

    name: str
    pipe: str
    top: float
    shoe: float
    outside_diameter: float
    inside_diameter: float
    hole_diameter: float
    conductor: bool
    standing: bool
    cement_top: float | None
    cement_bottom: float | None


@dataclass(frozen=True)
class Layer:
    """A fluid standing in the hole."""

    name: str
    density: float
    top: float
    bottom: float


@dataclass(frozen=True)
class Part:
    """One part of the string where it hangs; ``kind`` is pipe, heavy or collar."""

    name: str
    kind: str
    top: float
    bottom: float
    outside_diameter: float
    inside_diameter: float


@dataclass(frozen=True)
class RiserTube:
    """Riser and preventer; the preventer stands from ``preventer_top`` to ``bottom``."""

    top: float
    preventer_top: float
    bottom: float
    outside_diameter: float
    inside_diameter: float


@dataclass(frozen=True)
class Span:
    """A named length of the hole: a plug, a cored interval."""

    name: str
    top: float
    bottom: float


@dataclass(frozen=True)
class HoleSection:
    """The hole to scale as it stands after a step."""

    bottom: float
    cuts: tuple[Cut, ...]
    steel: tuple[Steel, ...]
    layers: tuple[Layer, ...]
    string_name: str
    string: tuple[Part, ...]
    riser: RiserTube | None
    plugs: tuple[Span, ...]
    core: Span | None


@dataclass(frozen=True)
class ProfileCurve:
    """A quantity over depth: temperature [K], or share of strength used [-].

    A curve of one node is a place: what is asked there only, such as of the slips.

    Attributes
    ----------
    name : of strength used, the id of the check that judged it
    z : increasing; the same twice where the quantity jumps
    """

    name: str
    label: str
    z: tuple[float, ...]
    value: tuple[float | None, ...]


@dataclass(frozen=True)
class StrengthUsed:
    """Share of its strength that a string uses over depth, at the chosen step.

    Attributes
    ----------
    string : of which the curves are; empty when nothing can be chosen at this step
    strings : that can be chosen at this step
    curves : design factors and margins are inside: 1 is all that may be used
    why_empty : says why there are no curves
    """

    string: str
    strings: tuple[str, ...]
    curves: tuple[ProfileCurve, ...]
    why_empty: str


@dataclass(frozen=True)
class BudgetBar:
    """One string in the diameter budget [m]."""

    name: str
    pipe: str
    top: float
    shoe: float
    hole_diameter: float
    outside_diameter: float
    passes: float
    spent: float


@dataclass(frozen=True)
class Budget:
    start: float
    bars: tuple[BudgetBar, ...]
    spares: tuple[str, ...]
    last_hole: float
    core: float | None


@quickly_made
@dataclass(frozen=True)
class Handle:
    """A number of the plan that can be dragged, stepped or typed.

    Attributes
    ----------
    id : ``kind:name``, for instance ``shoe:casing-20``, ``density:mud-2``, ``flow:section-812``
    kind : shoe, section_bottom, cement_top, tail_top, density, flow, core_top or core_bottom
    track : hole or window, where its grip is drawn
    key : of the document, where the number is written
    written : as it stands in the document
    value, least, most, step : SI; of depths ``z``. least and most are the neighbours it may not
        pass while dragged: a typed value may
    z : where its grip is drawn; of densities the middle of its section
    says : value in words for screen readers, with unit and datum
    """

    id: str
    kind: str
    label: str
    track: str
    key: str
    written: str
    value: float
    unit: str
    least: float
    most: float
    step: float
    z: float
    section: str
    says: str


@quickly_made
@dataclass(frozen=True)
class StepMark:
    """One step on the ribbon.

    Attributes
    ----------
    duration : [s] with waits; None when it could not be worked out
    waiting : [s] of it spent waiting for weather
    start, end : [s] from arrival
    counts : verdicts by status
    worst : the most urgent status, empty when nothing is judged
    """

    index: int
    name: str
    title: str
    kind: str
    section: str
    duration: float | None
    waiting: float | None
    start: float
    end: float
    fixed: bool
    why: str
    uses: tuple[str, ...]
    barriers: tuple[str, ...]
    barriers_needed: bool
    counts: dict[str, int]
    worst: str


@dataclass(frozen=True)
class UnitLine:
    """How an SI unit is shown: shown = (si - offset) / factor, with ``label`` behind it."""

    label: str
    factor: float
    offset: float


@dataclass(frozen=True)
class Verdicts:
    """What the Column and the ribbon show of verdicts."""

    strength: StrengthUsed
    steps: tuple[StepMark, ...]


@dataclass(frozen=True)
class Picture:
    """What the Column shows after a step before every verdict is there.

    Attributes
    ----------
    stopped : why the walk ended before the plan did; empty when it did not
    units : by SI unit, and 'diameter' for metres across, which the trade tells in inches
    """

    hole: str
    invented: bool
    note: str
    system: str
    units: dict[str, UnitLine]
    datum: str
    datums: tuple[Place, ...]
    target: float
    top: float
    bottom: float
    step: str
    stopped: str
    rocks: tuple[Rock, ...]
    window: Window
    section: HoleSection
    temperature: tuple[ProfileCurve, ...]
    budget: Budget
    handles: tuple[Handle, ...]


@dataclass(frozen=True)
class Scene(Picture, Verdicts):
    """All that the Column and the ribbon show after a step."""
