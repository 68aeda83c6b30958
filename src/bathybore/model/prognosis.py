"""The document prognosis.yaml: what a neighbouring hole told, and how it becomes an earth table."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Final, Literal, Self

from pydantic import Field, ValidationError, model_validator

from bathybore.base.arrays import Array
from bathybore.base.errors import Fault, InputErrors
from bathybore.base.units import to_si
from bathybore.model.chart import written_at
from bathybore.model.fields import (
    Angle,
    Conductivity,
    Coordinate,
    DatumDepth,
    Density,
    DensityDifference,
    Duration,
    Expansion,
    Fraction,
    HeatFlow,
    Length,
    LengthOrZero,
    Node,
    PerLength,
    PositiveRatio,
    PositiveSpeed,
    Pressure,
    Ratio,
    Resistivity,
    Stress,
    StressGradient,
    Temperature,
    TemperatureSpread,
    TransitTime,
    place,
    sourced,
)
from bathybore.model.files import read_text, shown, shown_path
from bathybore.model.hole_files import stands_beside
from bathybore.model.schema_faults import schema_faults
from bathybore.model.yaml_tree import MOST_BYTES, parse_tree

PROGNOSIS_FILE: Final = "prognosis.yaml"

# what a file may tell: name -> (SI unit, least and greatest that rock, mud and bits can have;
# assumed, wide: outside it a reading is left out and told)
CURVES: Final[dict[str, tuple[str, float, float]]] = {
    "bulk_density": ("kg/m3", 1050.0, 3400.0),
    "transit_time": ("s/m", 1.3e-4, 7.0e-4),
    "resistivity": ("ohm m", 0.01, 1e5),
    "rate_of_penetration": ("m/s", 1e-6, 0.2),
    "weight_on_bit": ("N", 1e2, 2e6),
    "bit_speed": ("1/s", 0.05, 20.0),
    "hole_diameter": ("m", 0.05, 1.5),
    "mud_density": ("kg/m3", 900.0, 3000.0),
    "lithology": ("text", 0.0, 0.0),
    "formation_fluid": ("text", 0.0, 0.0),
    "hazard": ("text", 0.0, 0.0),
    "leak_off_pressure": ("Pa", 1e4, 4e8),
    "surface_pressure": ("Pa", 0.0, 2e8),
    "test_mud_density": ("kg/m3", 900.0, 3000.0),
    "unconfined_compressive_strength": ("Pa", 1e4, 1e9),
    "friction_angle": ("rad", 0.01, 1.4),
    "poisson_ratio": ("-", 0.0, 0.5),
    "temperature": ("K", 270.15, 973.15),
    "thermal_conductivity": ("W/m/K", 0.3, 10.0),
}
# the middle of all readings of a curve lies between these, or its unit is another one
MIDDLES: Final[dict[str, tuple[float, float]]] = {
    "bulk_density": (1300.0, 3100.0),
    "transit_time": (1.45e-4, 6.5e-4),  # 6.9 km/s to 1.54 km/s
}
CurveName = Literal[
    "bulk_density",
    "transit_time",
    "resistivity",
    "rate_of_penetration",
    "weight_on_bit",
    "bit_speed",
    "hole_diameter",
    "mud_density",
    "lithology",
    "formation_fluid",
    "hazard",
    "leak_off_pressure",
    "surface_pressure",
    "test_mud_density",
    "unconfined_compressive_strength",
    "friction_angle",
    "poisson_ratio",
    "temperature",
    "thermal_conductivity",
]
Datums = Literal["drill floor", "sea level", "sea bed"]


class Column(Node):
    """A column of a file by its name there; the unit where the file's own cannot be read."""

    column: str
    unit: str = ""


class DataFile(Node):
    """One file with depths below a datum of the neighbouring hole."""

    file: str
    depth: Column
    datum: Datums
    curves: Annotated[dict[CurveName, Column], Field(min_length=1)]
    sheet: str = ""
    null: str = ""

    @model_validator(mode="after")
    def _readable(self) -> Self:
        if not stands_beside(self.file):
            raise ValueError(f"found '{shown(self.file)}'; expected a file beside the document")
        for name, column in (("depth", self.depth), *self.curves.items()):
            si = "m" if name == "depth" else CURVES[name][0]
            if column.unit and si != "text":
                _judge_unit(name, column.unit, si)
        return self


def _judge_unit(name: str, unit: str, si: str) -> None:
    try:
        to_si(0.0, unit, si)
    except InputErrors as error:
        told = error.faults[0]
        raise ValueError(f"found {told.found} of {name}; expected {told.expected}") from error


class Neighbour(Node):
    """Where the neighbouring hole stood: depths go over by their distance below the sea bed."""

    name: str
    water_depth: Length
    drill_floor_height: LengthOrZero
    true_vertical: bool
    depth_shift: Coordinate = sourced(0.0, note="the same layer as deep below both sea beds")

    @model_validator(mode="after")
    def _vertical(self) -> Self:
        if not self.true_vertical:
            raise ValueError(
                "found measured depths; expected true_vertical: true. Convert the depths of the "
                "files to true vertical ones first"
            )
        return self


class Compaction(Node):
    """Density where none was logged: porosity that falls exponentially with depth (Athy)."""

    sea_bed_porosity: Fraction
    compaction_length: Length
    grain_density: Density


class Overburden(Node):
    """Vertical stress: logged bulk density under a compaction trend, or the trend alone."""

    method: Literal["bulk density", "compaction"]
    compaction: Compaction


class PorePressure(Node):
    """Pore pressure: the method, the clays it reads, and its normal trend, fitted or given."""

    method: Literal[
        "normal", "eaton sonic", "eaton resistivity", "eaton drilling exponent", "bowers"
    ]
    normal_above: DatumDepth | None = None
    clays: tuple[str, ...] = sourced(
        ("clay", "mudstone", "shale"), "common-practice", "words of a lithology that hold clay"
    )
    exponent: PositiveRatio | None = None
    trend_top: DatumDepth | None = None
    trend_bottom: DatumDepth | None = None
    matrix_transit_time: TransitTime = sourced(2.2e-4, note="about 67 us/ft, clay without pores")
    sea_bed_transit_time: TransitTime | None = None
    compaction_rate: PerLength | None = None
    sea_bed_resistivity: Resistivity | None = None
    resistivity_growth: PerLength | None = None
    sea_bed_drilling_exponent: PositiveRatio | None = None
    drilling_exponent_growth: PerLength | None = None
    mud_density_datum: Literal["drill floor", "sea bed"] = sourced(
        "drill floor", note="the column that mud_density of the file stands for"
    )
    bowers_coefficient: PositiveRatio | None = None
    bowers_exponent: PositiveRatio | None = None
    sea_bed_sediment_velocity: PositiveSpeed = sourced(1524.0, "bowers-1995", "5,000 ft/s")
    unloading_below: DatumDepth | None = None
    bowers_unloading_exponent: PositiveRatio | None = None
    greatest_velocity: PositiveSpeed | None = None

    @property
    def trend_keys(self) -> tuple[str, str] | None:
        """The two numbers of the method's normal trend."""
        return {
            "eaton sonic": ("sea_bed_transit_time", "compaction_rate"),
            "eaton resistivity": ("sea_bed_resistivity", "resistivity_growth"),
            "eaton drilling exponent": ("sea_bed_drilling_exponent", "drilling_exponent_growth"),
        }.get(self.method)

    @property
    def trend_is_given(self) -> bool:
        keys = self.trend_keys
        return keys is not None and all(getattr(self, key) is not None for key in keys)

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if self.method != "normal" and self.normal_above is None:
            raise ValueError("found no normal_above; expected the depth above which it is normal")
        if self.trend_keys and not self.trend_is_given:
            if self.trend_top is None or self.trend_bottom is None:
                both = " and ".join(self.trend_keys)
                raise ValueError(
                    f"found no normal trend; expected {both}, or trend_top and trend_bottom to "
                    "fit it between"
                )
            if any(getattr(self, key) is not None for key in self.trend_keys):
                raise ValueError(
                    f"found half of a given trend; expected both of {', '.join(self.trend_keys)}, "
                    "or neither"
                )
        if self.method == "bowers":
            self._bowers()
        return self

    def _bowers(self) -> None:
        if self.bowers_coefficient is None or self.bowers_exponent is None:
            raise ValueError("found no coefficients; expected bowers_coefficient, bowers_exponent")
        unloading = (self.unloading_below, self.bowers_unloading_exponent, self.greatest_velocity)
        if any(v is not None for v in unloading) and any(v is None for v in unloading):
            raise ValueError(
                "found unloading half told; expected unloading_below, bowers_unloading_exponent "
                "and greatest_velocity, or none of them"
            )


class Fracture(Node):
    """Fracture pressure: by a ratio of effective stresses, given or from leak-off tests."""

    method: Literal["leak-off ratio", "matthews-kelly", "eaton"]
    stress_ratio: PositiveRatio | None = None
    poisson_ratio: Annotated[PositiveRatio, Field(lt=0.5)] | None = None


class Horizontal(Node):
    """Horizontal stresses: the lesser is the fracture pressure, the greater a share above it."""

    major_stress_share: Fraction = sourced(0.3, note="from the lesser towards the vertical stress")
    stress_azimuth: Angle = sourced(0.0, note="of no matter in a vertical hole")


class Wall(Node):
    """The wall of the hole: criterion, strength where no curve tells it, direction, cooling."""

    criterion: Literal["mohr-coulomb", "mogi-coulomb", "modified lade"]
    elastic_below: DatumDepth
    unconfined_compressive_strength: Stress | None = None
    friction_angle: Angle | None = None
    poisson_ratio: Annotated[PositiveRatio, Field(lt=0.5)] | None = None
    rock_tensile_strength: Pressure = sourced(0.0, note="taken as cracked already")
    breakout_width: Annotated[Angle, Field(ge=0, le=1.5707963267948966)] = sourced(
        0.0, note="no breakout allowed"
    )
    inclination: Annotated[Angle, Field(ge=0, le=1.5707963267948966)] = sourced(
        0.0, note="vertical"
    )
    hole_azimuth: Angle = sourced(0.0, note="of no matter in a vertical hole")
    circulated_temperature: Temperature | None = None
    young_modulus: Stress | None = None
    thermal_expansion_coefficient: Expansion = sourced(1e-5, note="about that of quartz-rich rock")

    @model_validator(mode="after")
    def _stiff(self) -> Self:
        if self.circulated_temperature is not None and self.young_modulus is None:
            raise ValueError(
                "found circulated_temperature without young_modulus; expected both, for thermal "
                "stress needs them"
            )
        return self


class Heat(Node):
    """Temperature below the sea bed: measured, or conducted through layers."""

    method: Literal["table", "heat flow", "crust age"]
    heat_flow: HeatFlow | None = None
    crust_age: Duration | None = None
    thermal_conductivity: Conductivity | None = None

    @model_validator(mode="after")
    def _complete(self) -> Self:
        needed = {"heat flow": "heat_flow", "crust age": "crust_age"}.get(self.method)
        if needed and getattr(self, needed) is None:
            raise ValueError(f"found no {needed}; expected it with method {self.method}")
        return self


class Mud(Node):
    """Soft mud near the sea bed, for the conductor: strength that grows evenly with depth."""

    bottom: DatumDepth
    strength_at_sea_bed: Pressure
    strength_gradient: StressGradient


class Spread(Node):
    """One standard deviation of what is uncertain; what they do to each curve is worked out."""

    bulk_density: DensityDifference = sourced(30.0)
    pore_fluid_density: DensityDifference = sourced(10.0)
    trend: Ratio = sourced(0.03, note="of a given trend; a fitted one brings its own scatter")
    exponent: Ratio = sourced(0.15, note="share of Eaton's exponent, or of Bowers's coefficient")
    stress_ratio: Ratio = sourced(0.05)
    major_stress_share: Ratio = sourced(0.15)
    rock_strength: Ratio = sourced(0.25, note="share of the unconfined strength")
    heat: Ratio = sourced(0.1, note="share of the heat flow")
    temperature: TemperatureSpread = sourced(3.0, note="of a table of temperatures")


class Prognosis(Node):
    """The content of a prognosis.yaml."""

    note: str = ""
    invented: bool = False
    neighbour: Neighbour
    data: Annotated[tuple[DataFile, ...], Field(min_length=1)]
    deepest: DatumDepth
    spacing: Length = sourced(50.0, note="between the depths worked out")
    pore_fluid_density: Density = sourced(1030.0, note="a little saltier than the sea")
    overburden: Overburden
    pore_pressure: PorePressure
    fracture: Fracture
    horizontal: Horizontal = Horizontal()
    wall: Wall
    heat: Heat
    soft_mud: Mud | None = None
    rate_of_penetration: PositiveSpeed | None = None
    beyond_data: Literal["stop", "hold"] = sourced(
        "stop", note="hold: the last reading is carried on, and it is said"
    )
    spikes: Literal["leave out", "keep"] = "leave out"
    spread: Spread = Spread()

    @model_validator(mode="after")
    def _each_curve_once(self) -> Self:
        seen: dict[str, str] = {}
        for data in self.data:
            for name in data.curves:
                if name in seen:
                    raise ValueError(
                        f"found {name} in {shown(seen[name])} and in {shown(data.file)}; "
                        "expected each curve once"
                    )
                seen[name] = data.file
        return self


@dataclass(frozen=True, eq=False)
class Reading:
    """One curve of a file, its depths counted below the sea bed of the hole that is planned.

    Attributes
    ----------
    unit : SI
    column, written, declared : its name, its unit as taken, and its unit as the file says
    depths, numbers, words, lines : of the rows that hold a value; words of a text curve only
    missing, above : rows without a value, and rows above the sea bed
    """

    name: str
    unit: str
    file: str
    column: str
    written: str
    depths: Array
    numbers: Array
    words: tuple[str, ...]
    lines: tuple[int, ...]
    missing: int = 0
    above: int = 0
    declared: str = ""


def read_prognosis(folder: Path) -> Prognosis:
    """Return the document prognosis.yaml of a hole's folder.

    Raises
    ------
    InputErrors
        Everything that is wrong with it, with file, line and key.
    """
    file = folder / PROGNOSIS_FILE
    if not os.path.lexists(file):
        fix = "Begin with a copy of that of the demonstration hole 'main'; docs/prognosis.md tells."
        raise InputErrors.one(shown_path(file), "no such file", "a prognosis document", fix)
    tree = parse_tree(read_text(file, MOST_BYTES, "a prognosis document"), file.name)
    try:
        document = Prognosis.model_validate(tree.content)
    except ValidationError as error:
        raise InputErrors(list(schema_faults(error, tree, Prognosis))) from error
    place(document, tree.file, "", tree.lines)
    faults = list(_needed_curves(document))
    if faults:
        raise InputErrors(faults)
    return document


def _needed_curves(document: Prognosis) -> Iterator[Fault]:
    """Yield a fault for every curve that a method needs and no file brings."""
    present: set[str] = {name for data in document.data for name in data.curves}
    needs: dict[str, tuple[str, ...]] = {
        "eaton sonic": ("transit_time",),
        "bowers": ("transit_time",),
        "eaton resistivity": ("resistivity",),
        "eaton drilling exponent": (
            "rate_of_penetration",
            "weight_on_bit",
            "bit_speed",
            "hole_diameter",
            "mud_density",
        ),
        "bulk density": ("bulk_density",),
        "table": ("temperature",),
    }
    for node, key in ((document.pore_pressure, "method"), (document.overburden, "method"),
                      (document.heat, "method")):  # fmt: skip
        method = getattr(node, key)
        for curve in needs.get(method, ()):
            if curve not in present:
                yield _missing(node, key, f"'{method}', but no curve {curve}")
    if "lithology" not in present:
        yield _missing(document, "data", "no curve lithology")
    yield from _either(document, present)
    yield from _tests(document, present)


def _either(document: Prognosis, present: set[str]) -> Iterator[Fault]:
    """Yield where neither a curve nor a constant tells a number, or both do."""
    choices: list[tuple[Node, str]] = [
        (document.wall, "unconfined_compressive_strength"),
        (document.wall, "friction_angle"),
        (document.wall, "poisson_ratio"),
        (document, "rate_of_penetration"),
    ]
    if document.heat.method != "table":
        choices.append((document.heat, "thermal_conductivity"))
    for node, name in choices:
        given = getattr(node, name) is not None
        if given == (name in present):
            found = f"{name} here and as a curve" if given else f"no {name}"
            yield _missing(node, name, found, "a curve in data or one number here, not both")


def _tests(document: Prognosis, present: set[str]) -> Iterator[Fault]:
    at_shoe, at_surface = "leak_off_pressure" in present, "surface_pressure" in present
    if at_surface and "test_mud_density" not in present:
        yield _missing(document, "data", "surface_pressure without test_mud_density")
    if at_shoe and at_surface:
        yield _missing(document, "data", "leak_off_pressure and surface_pressure", "one of them")
    fracture = document.fracture
    given = {
        "matthews-kelly": fracture.stress_ratio is not None,
        "eaton": fracture.poisson_ratio is not None,
        "leak-off ratio": False,
    }[fracture.method]
    if not given and not (at_shoe or at_surface):
        found = f"'{fracture.method}', but no leak-off tests"
        wanted = "a curve leak_off_pressure, or surface_pressure with test_mud_density"
        yield _missing(fracture, "method", found, wanted)


def _missing(node: Node, key: str, found: str, wanted: str = "that curve in data") -> Fault:
    return Fault(written_at(node, key), found, wanted)
