"""Fields that pass the unit gate, defaults that name their source, nodes that know their place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, ClassVar, TypeAlias, get_args

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PrivateAttr

from bathybore.base.depth import Depth
from bathybore.base.errors import InputErrors
from bathybore.base.keeping import same
from bathybore.base.sources import ASSUMED
from bathybore.base.units import parse_quantity
from bathybore.base.working import Default, Given, Value


@dataclass(frozen=True)
class Unit:
    """The SI unit a field holds; read by `Node.value` and by the faces."""

    si: str


def _through(gate: Callable[[Any], Any]) -> BeforeValidator:
    """Wrap a gate so that its error keeps its three parts inside the validation error."""

    def validate(written: Any) -> Any:
        try:
            return gate(written)
        except InputErrors as error:
            fault = error.faults[0]
            raise GateError(fault.found, fault.expected, fault.fix) from error

    return BeforeValidator(validate)


class GateError(ValueError):
    """A value the gate refused; carries what was found, expected and the likely fix."""

    def __init__(self, found: str, expected: str, fix: str) -> None:
        self.found, self.expected, self.fix = found, expected, fix
        super().__init__(f"found {found}; expected {expected}. {fix}".strip())


def quantity(si: str) -> Any:
    """Return what annotates a float that is written with a unit of the kind of ``si``."""

    def gate(written: Any) -> Any:
        return parse_quantity(written, si)

    return (_through(gate), Unit(si))


def _depth(written: Any) -> Depth:
    return written if isinstance(written, Depth) else Depth.parse(written)


_positive = Field(gt=0)
_not_negative = Field(ge=0)

Length: TypeAlias = Annotated[float, *quantity("m"), _positive]
LengthOrZero: TypeAlias = Annotated[float, *quantity("m"), _not_negative]
Coordinate: TypeAlias = Annotated[float, *quantity("m")]
Area: TypeAlias = Annotated[float, *quantity("m2"), _positive]
Volume: TypeAlias = Annotated[float, *quantity("m3"), _not_negative]
Mass: TypeAlias = Annotated[float, *quantity("kg"), _not_negative]
LinearMass: TypeAlias = Annotated[float, *quantity("kg/m"), _positive]
Density: TypeAlias = Annotated[float, *quantity("kg/m3"), _positive]
DensityDifference: TypeAlias = Annotated[float, *quantity("kg/m3"), _not_negative]
Pressure: TypeAlias = Annotated[float, *quantity("Pa"), _not_negative]
Stress: TypeAlias = Annotated[float, *quantity("Pa"), _positive]
Force: TypeAlias = Annotated[float, *quantity("N"), _not_negative]
Moment: TypeAlias = Annotated[float, *quantity("N m"), _not_negative]
Power: TypeAlias = Annotated[float, *quantity("W"), _positive]
FlowRate: TypeAlias = Annotated[float, *quantity("m3/s"), _not_negative]
Speed: TypeAlias = Annotated[float, *quantity("m/s"), _not_negative]
Temperature: TypeAlias = Annotated[float, *quantity("K"), _positive]
Duration: TypeAlias = Annotated[float, *quantity("s"), _not_negative]
Angle: TypeAlias = Annotated[float, *quantity("rad")]
Curvature: TypeAlias = Annotated[float, *quantity("rad/m"), _positive]
CurvatureOrNone: TypeAlias = Annotated[float, *quantity("rad/m"), _not_negative]
TurningStiffness: TypeAlias = Annotated[float, *quantity("N m/rad"), _not_negative]
Rate: TypeAlias = Annotated[float, *quantity("1/s"), _not_negative]
Compressibility: TypeAlias = Annotated[float, *quantity("1/Pa"), _not_negative]
Expansion: TypeAlias = Annotated[float, *quantity("1/K"), _not_negative]
Consistency: TypeAlias = Annotated[float, *quantity("Pa s^n"), _not_negative]
SlurryYield: TypeAlias = Annotated[float, *quantity("m3/kg"), _positive]
Viscosity: TypeAlias = Annotated[float, *quantity("Pa s"), _positive]
PositiveFlowRate: TypeAlias = Annotated[float, *quantity("m3/s"), _positive]
PositiveSpeed: TypeAlias = Annotated[float, *quantity("m/s"), _positive]
PositiveDuration: TypeAlias = Annotated[float, *quantity("s"), _positive]
PositiveRate: TypeAlias = Annotated[float, *quantity("1/s"), _positive]
PositiveRatio: TypeAlias = Annotated[float, *quantity("-"), _positive]
DesignFactor: TypeAlias = Annotated[float, *quantity("-"), Field(ge=1)]
ShareBelowOne: TypeAlias = Annotated[float, *quantity("-"), Field(ge=0, lt=1)]
Confidence: TypeAlias = Annotated[float, *quantity("-"), Field(gt=0, lt=1)]
Ratio: TypeAlias = Annotated[float, *quantity("-"), _not_negative]
Fraction: TypeAlias = Annotated[float, *quantity("-"), Field(ge=0, le=1)]
TransitTime: TypeAlias = Annotated[float, *quantity("s/m"), _positive]
Resistivity: TypeAlias = Annotated[float, *quantity("ohm m"), _positive]
PerLength: TypeAlias = Annotated[float, *quantity("1/m"), _positive]
StressGradient: TypeAlias = Annotated[float, *quantity("Pa/m"), _not_negative]
HeatFlow: TypeAlias = Annotated[float, *quantity("W/m2"), _positive]
Conductivity: TypeAlias = Annotated[float, *quantity("W/m/K"), _positive]
Diffusivity: TypeAlias = Annotated[float, *quantity("m2/s"), _positive]
HeatCapacity: TypeAlias = Annotated[float, *quantity("J/kg/K"), _positive]
FilmCoefficient: TypeAlias = Annotated[float, *quantity("W/m2/K"), _positive]
TemperatureSpread: TypeAlias = Annotated[float, *quantity("K difference"), _not_negative]
DatumDepth: TypeAlias = Annotated[Depth, _through(_depth)]


def sourced(default: Any, source: str = ASSUMED, note: str = "") -> Any:
    """Declare a default together with the key of the source it comes from."""
    return Field(default=default, json_schema_extra={"source": source, "note": note})


@dataclass(frozen=True, eq=False)
class _Values:
    """The values that a node has given out, and the very fields and lines they came from."""

    fields: dict[str, Any]
    lines: dict[str, int]
    by_name: dict[tuple[str, str | None], Value]

    def __eq__(self, other: object) -> bool:
        """What a node was asked for is no part of what it says: nodes compare without it."""
        return True

    __hash__ = object.__hash__


class Node(BaseModel):
    """A part of the hole document: frozen, no unknown keys, knows file, key and lines."""

    # strict: 'no' is no False, true is no 1, 3.0 is no count
    model_config = ConfigDict(
        frozen=True, extra="forbid", arbitrary_types_allowed=True, strict=True
    )

    # key -> the key beside it without which it has no place
    needs: ClassVar[Mapping[str, str]] = {}

    _file: str = PrivateAttr(default="")
    _key: str = PrivateAttr(default="")
    _lines: dict[str, int] = PrivateAttr(default_factory=dict)
    _values: _Values | None = PrivateAttr(default=None)

    def stands_at(self, file: str, key: str) -> bool:
        """Return whether the node was written at a key of a file."""
        private = self.__pydantic_private__  # as below: asked of every node after every edit
        assert private is not None
        return bool(private["_file"] == file and private["_key"] == key)

    def value(self, field: str, name: str | None = None) -> Value:
        """Return a numeric field as a value that knows where it was written."""
        # past pydantic's search for private attributes: a walk asks thousands of times
        private = self.__pydantic_private__
        assert private is not None  # every node has private attributes
        kept: _Values | None = private["_values"]
        # a copy with changed fields, or a node that was placed anew, begins afresh
        if kept is None or kept.fields is not self.__dict__ or kept.lines is not private["_lines"]:
            kept = private["_values"] = _Values(self.__dict__, private["_lines"], {})
        found = kept.by_name.get((field, name))
        if found is None:
            unit = unit_of(type(self), field)
            number, origin = getattr(self, field), same(self.origin(field))
            # a node read anew round an edit gives the same values where they did not change
            found = same(Value(name or field, number, unit, origin))
            kept.by_name[field, name] = found
        return found

    def origin(self, field: str) -> Given | Default:
        """Return where a field's value comes from: the user's line, or a sourced default."""
        key = f"{self._key}.{field}" if self._key else field
        if field in self.model_fields_set:
            return Given(self._file, self._lines.get(field), key)
        extra = type(self).model_fields[field].json_schema_extra
        extra = extra if isinstance(extra, dict) else {}
        return Default(key, str(extra.get("source", ASSUMED)), str(extra.get("note", "")))


@cache
def unit_of(node: type[Node], field: str) -> str:
    """Return the SI unit a field holds, optional fields included.

    Raises
    ------
    LookupError
        The field holds no quantity.
    """
    info = node.model_fields[field]
    parts = [info.metadata, *(getattr(a, "__metadata__", ()) for a in get_args(info.annotation))]
    for metadata in parts:
        for entry in metadata:
            if isinstance(entry, Unit):
                return entry.si
    raise LookupError(f"{node.__name__}.{field} holds no quantity")


# line number by path of keys and list indices
_Lines: TypeAlias = dict[tuple[str | int, ...], int]


def place(node: Node, file: str, key: str, lines: _Lines) -> None:
    """Tell a node and all nodes below it where they were written.

    Parameters
    ----------
    lines : line number by path of keys and list indices, relative to ``node``
    """
    node._file, node._key = file, key
    node._lines = {str(path[0]): line for path, line in lines.items() if len(path) == 1}
    below = _by_first(lines)
    for field in type(node).model_fields:
        under = f"{key}.{field}" if key else field
        _place_child(getattr(node, field), file, under, below.get(field, {}))


def _by_first(lines: _Lines) -> dict[str | int, _Lines]:
    """Sort the paths below a node by the part they begin with."""
    below: dict[str | int, _Lines] = {}
    for path, line in lines.items():
        if path:
            below.setdefault(path[0], {})[path[1:]] = line
    return below


def _place_child(child: Any, file: str, key: str, lines: _Lines) -> None:
    if isinstance(child, Node):
        place(child, file, key, lines)
    elif isinstance(child, tuple | dict):
        items = child.items() if isinstance(child, dict) else enumerate(child)
        below = _by_first(lines)
        for index, item in items:
            _place_child(item, file, f"{key}[{index}]", below.get(index, {}))
