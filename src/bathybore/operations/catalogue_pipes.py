"""Pipes of the inventory with their catalogue sizes, as values that can be opened."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from bathybore.base.keeping import MANY, kept
from bathybore.base.working import FromTable, FromWalk, Solved, Value, work
from bathybore.data import catalogues
from bathybore.data.catalogues import CasingRow, CollarRow, DrillPipeRow, GradeRow
from bathybore.kernels.drill_pipe_strength import worn_outside_diameter
from bathybore.kernels.tubular_strength import (
    inside_diameter_of,
    pipe_body_area,
    pipe_body_yield_force,
)
from bathybore.model.hole import HoleOrSetting
from bathybore.model.inventory import CasingStock, PipeStock


@dataclass(frozen=True, eq=False)
class CasingPipe:
    """Casing, liner or conductor pipe."""

    name: str
    designation: str
    stock: CasingStock
    outside_diameter: Value
    inside_diameter: Value
    wall: Value
    linear_mass: Value
    drift_diameter: Value
    coupling_outside_diameter: Value
    yield_strength: Value
    ultimate_strength: Value

    @cached_property
    def body_area(self) -> Value:
        return work(pipe_body_area, outside_diameter=self.outside_diameter, wall=self.wall)

    @cached_property
    def joint_strength(self) -> Value:
        """Return the tensile strength of the connection: as given, or a share of the body."""
        if self.stock.joint_strength is not None:
            return self.stock.value("joint_strength")
        return self._share_of_body("connection_efficiency", "tensile_capacity")

    @cached_property
    def joint_compression(self) -> Value:
        """Return the compression that the connection bears, as a share of the body."""
        return self._share_of_body("compression_efficiency", "tensile_capacity")

    def _share_of_body(self, field: str, name: str) -> Value:
        body = work(
            pipe_body_yield_force,
            outside_diameter=self.outside_diameter,
            wall=self.wall,
            yield_strength=self.yield_strength,
        )
        share = self.stock.value(field)
        origin = Solved("share of the body that the connection bears", "definition", (share, body))
        return Value(name, float(share) * float(body), "N", origin)

    @property
    def tool_joint_outside_diameter(self) -> Value:
        """Return the widest diameter, as for drill pipe."""
        return self.coupling_outside_diameter


@dataclass(frozen=True, eq=False)
class StringPipe:
    """Drill pipe, heavy-wall pipe or collars."""

    name: str
    designation: str
    stock: PipeStock
    outside_diameter: Value
    inside_diameter: Value
    wall: Value
    linear_mass: Value
    tool_joint_outside_diameter: Value
    least_bore: Value
    yield_strength: Value

    @cached_property
    def worn_outside_diameter(self) -> Value:
        """Return the outside diameter once worn from outside, the bore kept (API RP 7G)."""
        return work(
            worn_outside_diameter,
            outside_diameter=self.outside_diameter,
            wall=self.wall,
            remaining_wall=self.stock.value("remaining_wall"),
        )

    @cached_property
    def tensile_capacity(self) -> Value:
        """Return the force at which the worn pipe body yields."""
        worn = self.worn_outside_diameter
        remaining = Value(
            "wall",
            float(self.wall) * self.stock.remaining_wall,
            "m",
            FromWalk("nominal wall times the remaining share of the pipe's class"),
        )
        return work(
            pipe_body_yield_force,
            outside_diameter=worn,
            wall=remaining,
            yield_strength=self.yield_strength,
        )


_UNITS = {"linear_mass": "kg/m", "yield_strength": "Pa", "ultimate_strength": "Pa"}


def _from_row(
    row: CasingRow | DrillPipeRow | CollarRow | GradeRow, field: str, name: str | None = None
) -> Value:
    """Return a number of a catalogue row as a value that names the table and its source."""
    origin = FromTable(row.table, row.designation, row.source_key)
    return Value(name or field, getattr(row, field), _UNITS.get(field, "m"), origin)


def casing_pipe(hole: HoleOrSetting, name: str) -> CasingPipe:
    """Return a casing of the inventory with its catalogue sizes."""
    return _casing_pipe(name, hole.inventory.casing[name])


@kept(MANY)
def _casing_pipe(name: str, stock: CasingStock) -> CasingPipe:
    row, steel = catalogues.casing(stock.size), catalogues.grade(stock.grade)
    special = stock.drift == "special" and row.special_drift_diameter is not None
    drift = "special_drift_diameter" if special else "drift_diameter"
    return CasingPipe(
        name=name,
        designation=f"{row.designation} {steel.designation}",
        stock=stock,
        outside_diameter=_from_row(row, "outside_diameter"),
        inside_diameter=_from_row(row, "inside_diameter"),
        wall=_from_row(row, "wall"),
        linear_mass=_from_row(row, "linear_mass"),
        drift_diameter=_from_row(row, drift, "drift_diameter"),
        coupling_outside_diameter=_from_row(row, "coupling_outside_diameter"),
        yield_strength=_from_row(steel, "yield_strength"),
        ultimate_strength=_from_row(steel, "ultimate_strength"),
    )


def string_pipe(hole: HoleOrSetting, name: str) -> StringPipe:
    """Return a pipe or collar of the inventory with its catalogue sizes."""
    return _string_pipe(name, hole.inventory.pipe[name])


@kept(MANY)
def _string_pipe(name: str, stock: PipeStock) -> StringPipe:
    if stock.yield_strength is not None:
        return _described_pipe(name, stock, stock.value("yield_strength"))
    steel = catalogues.grade(stock.steel)
    if stock.described:
        return _described_pipe(name, stock, _from_row(steel, "yield_strength"))
    row: DrillPipeRow | CollarRow
    if stock.kind == "pipe":
        row = catalogues.drill_pipe(stock.size, stock.steel)
        wall = _from_row(row, "wall")
    else:
        find = catalogues.drill_collar if stock.kind == "collar" else catalogues.heavy_wall_pipe
        row = find(stock.size)
        thickness = 0.5 * (row.outside_diameter - row.inside_diameter)
        wall = Value("wall", thickness, "m", FromWalk("half of the difference of the diameters"))
    joint = row.tool_joint_outside_diameter
    narrow = "tool_joint_inside_diameter" if stock.kind == "pipe" else "inside_diameter"
    return StringPipe(
        name=name,
        designation=row.designation,
        stock=stock,
        outside_diameter=_from_row(row, "outside_diameter"),
        inside_diameter=_from_row(row, "inside_diameter"),
        wall=wall,
        linear_mass=_from_row(row, "linear_mass"),
        tool_joint_outside_diameter=_from_row(
            row, "outside_diameter" if joint is None else "tool_joint_outside_diameter"
        ),
        least_bore=_from_row(row, narrow),
        yield_strength=_from_row(steel, "yield_strength"),
    )


def _described_pipe(name: str, stock: PipeStock, yield_strength: Value) -> StringPipe:
    """Return a pipe whose dimensions the user gave."""
    outside, wall = stock.value("outside_diameter"), stock.value("wall")
    return StringPipe(
        name=name,
        designation=f"{stock.size} {stock.steel if stock.material == 'steel' else stock.material}",
        stock=stock,
        outside_diameter=outside,
        inside_diameter=work(inside_diameter_of, outside_diameter=outside, wall=wall),
        wall=wall,
        linear_mass=stock.value("linear_mass"),
        tool_joint_outside_diameter=stock.value("tool_joint_diameter"),
        least_bore=work(inside_diameter_of, outside_diameter=outside, wall=wall),
        yield_strength=yield_strength,
    )
