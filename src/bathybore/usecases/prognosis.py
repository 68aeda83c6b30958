"""From a neighbour's files to an earth table: read, find fault, work out, write."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from pydantic import ValidationError

from bathybore.base.arrays import Array
from bathybore.base.depth import Datum, Depth
from bathybore.base.errors import Fault, InputErrors, nearest
from bathybore.base.units import UnitSystem, from_si, show
from bathybore.base.working import FromTable, Value, origins_behind
from bathybore.kernels.fracture_pressure import matthews_kelly
from bathybore.kernels.pore_pressure import equivalent_density_below_drill_floor
from bathybore.model.building import build
from bathybore.model.chart import written_at
from bathybore.model.csv_tables import parse_table
from bathybore.model.files import read_text, shown, shown_path
from bathybore.model.hole import HoleDocument, Setting
from bathybore.model.hole_files import HoleFiles, name_to_keep, write_files
from bathybore.model.loading import document_file, read_table_text
from bathybore.model.prognosis import PROGNOSIS_FILE, Prognosis, Reading, read_prognosis
from bathybore.model.schema_faults import schema_faults
from bathybore.model.tables import SEA_COLUMNS, ProfileTable
from bathybore.model.yaml_tree import MOST_BYTES, parse_tree
from bathybore.operations.columns import gravity_value, sea_bed_pressure
from bathybore.operations.prognosis import work_out
from bathybore.operations.prognosis_fracture import Stresses, depths_of_tests, tested_ratios
from bathybore.operations.prognosis_ground import Curve, Ground, cleaned, neighbour_sea, nodes
from bathybore.operations.prognosis_pressure import clay_nodes
from bathybore.usecases.explaining import Opened, open_value
from bathybore.usecases.prognosis_findings import (
    Finding,
    coverage,
    curve_findings,
    data_findings,
    file_findings,
    judge_curves,
    judge_units,
)
from bathybore.usecases.prognosis_reading import read_data

CAUTION: Final = (
    "A prognosis is a guess with stated reasons. A neighbour's rock need not be this hole's; pore "
    "pressure by logs holds in under-compacted clay only. The licensed engineer and the coastal "
    "state's rules decide; leak-off tests and measured pressures replace it as they come."
)
SPREAD_FILE: Final = "prognosis_spread.csv"
_NEAR: Final = 0.51  # spacings: how far a node may lie from a depth that is asked for
# column of the earth table -> curve, unit it is written in, decimals
_COLUMNS: Final[dict[str, tuple[str, str, int]]] = {
    "pore_pressure": ("pore_pressure", "MPa", 3),
    "fracture_pressure": ("fracture_pressure", "MPa", 3),
    "collapse_pressure": ("hole_collapse_pressure", "MPa", 3),
    "temperature": ("temperature", "degC", 2),
    "undrained_shear_strength": ("undrained_shear_strength", "kPa", 2),
    "submerged_unit_weight": ("submerged_unit_weight", "kN/m3", 2),
}
_SPREAD: Final = ("vertical_stress", "pore_pressure", "fracture_pressure", "hole_collapse_pressure")


@dataclass(frozen=True, eq=False)
class WorkedPrognosis:
    """A prognosis worked out.

    Attributes
    ----------
    hole, earth_file, folder : what it is for, and where its earth table stands
    findings : on the data, then on the curves
    curves : by name, in the order of working
    """

    hole: str
    invented: bool
    earth_file: str
    folder: Path
    ground: Ground
    findings: tuple[Finding, ...]
    curves: Mapping[str, Curve]

    @property
    def z(self) -> Array:
        return self.ground.z

    @property
    def outside(self) -> tuple[str, ...]:
        """Every limit of validity that a curve breaks."""
        broken = (text for curve in self.curves.values() for text in curve.outside_validity())
        return tuple(dict.fromkeys(broken))


def prognosis(path: Path) -> WorkedPrognosis:
    """Read and work out the prognosis in a hole's folder.

    Raises
    ------
    InputErrors
        The document, a file or a curve cannot be used; all that was found is told.
    NotConverged
        A pressure that holds the wall was not found.
    """
    file = document_file(path)
    document, setting = _setting(file)
    chosen = read_prognosis(file.parent)
    readings, notes = read_data(file.parent, chosen)
    judge_units(readings)
    findings = list(file_findings(chosen, notes))
    findings += data_findings(chosen, readings)
    ground = _ground(setting, chosen, readings)
    covered = list(coverage(ground))
    faults = [one for one in covered if isinstance(one, Fault)]
    if faults:
        raise InputErrors(faults)
    findings += [one for one in covered if isinstance(one, Finding)]
    curves = {curve.name: curve for curve in work_out(ground)}
    judge_curves(curves, ground.z)
    with_tests = {"leak_off_pressure", "surface_pressure"} & set(ground.readings)
    tests = depths_of_tests(ground) if with_tests else np.zeros(0)
    findings += curve_findings(chosen, curves, ground.z, tests)
    findings += _target(document, ground)
    return WorkedPrognosis(
        document.name,
        chosen.invented,
        document.site.earth,
        file.parent,
        ground,
        tuple(dict.fromkeys(findings)),
        curves,
    )


def _target(document: HoleDocument, ground: Ground) -> list[Finding]:
    """Tell a prognosis that ends above the hole's target: the walk would refuse its table."""
    target, deepest = ground.below(document.plan.target), float(ground.z[-1])
    if deepest >= target - 1e-6:
        return []
    ends, wanted = (f"{show(depth, 'm', significant=6)}" for depth in (deepest, target))
    text = f"ends at {ends} below the sea bed, above the target of the plan at {wanted}."
    return [Finding("doubt", "deepest", text)]


def _setting(file: Path) -> tuple[HoleDocument, Setting]:
    """Return the hole's document and its sea: its earth table is what is to be made."""
    tree = parse_tree(read_text(file, MOST_BYTES, "a hole document"), file.name)
    try:
        document = build(tree, None).document
    except ValidationError as error:
        raise InputErrors(list(schema_faults(error, tree))) from error
    text = read_table_text(file.parent, document.site.sea)
    sea = parse_table(text, document.site.sea, SEA_COLUMNS)
    if sea.deepest < document.site.water_depth - 1e-6:
        found = f"the last row at {show(sea.deepest, 'm', significant=6)} below sea level"
        wanted = f"rows down to the sea bed, {show(document.site.water_depth, 'm', significant=6)}"
        raise InputErrors.one(sea.file, found, wanted)
    unknown = ProfileTable(
        document.site.earth, "depth_below_sea_bed", {"depth_below_sea_bed": np.zeros(1)}, {}, {}, ()
    )
    parts = (document.site, document.vessel, document.inventory, document.design_basis)
    return document, Setting(*parts, unknown, sea)


def _ground(setting: Setting, chosen: Prognosis, readings: tuple[Reading, ...]) -> Ground:
    keep = chosen.spikes == "keep"
    by_name = {reading.name: cleaned(reading, keep) for reading in readings}
    empty = [name for name, reading in by_name.items() if not len(reading.depths)]
    if empty:
        found = "no reading left that rock can have"
        raise InputErrors([Fault(f"curve {name}", found, "readings") for name in empty])
    z = nodes(chosen, setting.frame, by_name)
    if len(z) < 3:
        where = f"{PROGNOSIS_FILE}, deepest"
        raise InputErrors.one(where, str(chosen.deepest), "a depth well below the sea bed")
    sea, bed = setting.sea, float(setting.sea_bed)
    bottom_water = Value(
        "sea_bed_temperature",
        float(sea.at("temperature", bed)),
        "K",
        FromTable(sea.file, "temperature of the bottom water", "given"),
    )
    return Ground(
        chosen,
        setting.frame,
        z,
        sea_bed_pressure(setting),
        bottom_water,
        gravity_value(setting),
        neighbour_sea(setting, chosen.neighbour),
        by_name,
    )


# ---- one node opened ---------------------------------------------------------------------


@dataclass(frozen=True)
class OpenedNode:
    """One curve at one depth with everything behind it."""

    curve: str
    method: str
    depth: Depth
    asked: Depth
    spread: float
    opened: Opened


def open_node(
    worked: WorkedPrognosis, curve: str, at: str, system: UnitSystem = "metric"
) -> OpenedNode:
    """Return the working of a curve at the node nearest to a depth.

    Raises
    ------
    InputErrors
        No such curve, or no node near that depth.
    """
    if curve not in worked.curves:
        known = ", ".join(worked.curves)
        fix = nearest(curve, worked.curves) or f"Curves: {known}."
        raise InputErrors.one("curve", f"'{shown(curve)}'", "a curve of the prognosis", fix)
    asked = Depth.parse(at, "--at")
    below = worked.ground.frame.below_sea_bed(asked)
    found = worked.curves[curve]
    z = worked.z[: len(found.si)]
    index = int(np.argmin(np.abs(z - below)))
    if abs(float(z[index]) - below) > _NEAR * worked.ground.prognosis.spacing:
        wanted = f"a depth from 0 to {show(float(z[-1]), 'm', significant=6)} below the sea bed"
        raise InputErrors.one("--at", str(asked), wanted)
    if not np.isfinite(found.si[index]):
        told = f"no {curve.replace('_', ' ')}, for the mud is soft there"
        where = written_at(worked.ground.prognosis.wall, "elastic_below")
        raise InputErrors.one("--at", told, f"a depth below that of {where}")
    return OpenedNode(
        curve,
        found.method,
        Depth(float(z[index]), Datum.SEA_BED),
        asked,
        float(found.spread[index]),
        open_value(found.at(index, worked.z), system),
    )


# ---- the earth table ---------------------------------------------------------------------


def earth_text(worked: WorkedPrognosis) -> str:
    """Return the earth table: CSV that the walk of a hole reads."""
    chosen, curves, z = worked.ground.prognosis, worked.curves, worked.z
    head = [f"{name} [{unit}]" for name, (_, unit, _) in _COLUMNS.items()]
    header = ["depth_below_sea_bed [m]", "lithology", *head, "rate_of_penetration [m/h]"]
    rates = _rates(worked.ground)
    texts = {name: _cells(curves, *_COLUMNS[name], len(z)) for name in _COLUMNS}
    words = {
        name: worked.ground.words(name, z)
        for name in ("lithology", "formation_fluid", "hazard")
        if name in worked.ground.readings
    }
    more = [name for name in ("formation_fluid", "hazard") if name in words]
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow([*header, *more])
    for row in range(len(z)):
        cells = [f"{z[row]:g}", words["lithology"][row], *(texts[name][row] for name in _COLUMNS)]
        writer.writerow([*cells, f"{rates[row]:.2f}", *(words[name][row] for name in more)])
    return "".join(f"# {line}\n" for line in _heading(worked, chosen)) + target.getvalue()


def _cells(
    curves: Mapping[str, Curve], name: str, unit: str, decimals: int, rows: int
) -> list[str]:
    if name not in curves:
        return [""] * rows
    curve = curves[name]
    # a wall that needs no pressure is written with none: the table holds no negative ones
    numbers = np.maximum(curve.si, 0.0)
    texts = [f"{from_si(float(v), curve.value.unit, unit):.{decimals}f}" for v in numbers]
    return texts + [""] * (rows - len(texts))


def _rates(ground: Ground) -> Array:
    """Return the rate of penetration at the nodes [m/h]."""
    if "rate_of_penetration" not in ground.readings:
        rate = ground.prognosis.rate_of_penetration
        assert rate is not None  # the document sees to it
        return np.full(len(ground.z), rate * 3600.0)
    near = ground.medians("rate_of_penetration")
    straight = np.asarray(ground.along("rate_of_penetration").si)
    return np.where(np.isfinite(near), near, straight) * 3600.0


def _heading(worked: WorkedPrognosis, chosen: Prognosis) -> list[str]:
    lines = [
        f"Worked out by `bathybore prognosis` from {PROGNOSIS_FILE} and "
        f"{', '.join(data.file for data in chosen.data)}."
        + (" Every number is invented." if chosen.invented else ""),
        f"Neighbouring hole: {shown(chosen.neighbour.name)}. Pressures are gauge: the atmosphere "
        "at sea level is zero.",
    ]
    for name in ("vertical_stress", "pore_pressure", "fracture_pressure", "temperature",
                 "hole_collapse_pressure"):  # fmt: skip
        curve = worked.curves[name]
        lines.append(f"{name.replace('_', ' ')}: {curve.method}.")
    lines.append(f"Standard deviations stand in {SPREAD_FILE}.")
    lines += [f"{one.kind}: {one}" for one in worked.findings if one.kind == "doubt"]
    return [shown(line, 400) for line in lines]


def spread_text(worked: WorkedPrognosis) -> str:
    """Return one standard deviation of the pressures and the temperature over depth, as CSV."""
    names = [*_SPREAD, "temperature"]
    target = io.StringIO()
    target.write("# One standard deviation of each curve, worked out from the spread of\n")
    target.write(f"# {PROGNOSIS_FILE}: one input moved at a time, squares added.\n")
    writer = csv.writer(target, lineterminator="\n")
    units = ["MPa"] * len(_SPREAD) + ["K"]
    writer.writerow(
        ["depth_below_sea_bed [m]", *(f"{n} [{u}]" for n, u in zip(names, units, strict=True))]
    )
    scales = [1e-6] * len(_SPREAD) + [1.0]
    for row, depth in enumerate(worked.z):
        cells = [
            f"{worked.curves[name].spread[row] * scale:.3f}"
            for name, scale in zip(names, scales, strict=True)
        ]
        writer.writerow([f"{depth:g}", *cells])
    return target.getvalue()


def write_prognosis(worked: WorkedPrognosis, to: Path | None, force: bool) -> tuple[Path, ...]:
    """Write the earth table and its spread; what stood there is kept as NAME.before.

    Raises
    ------
    InputErrors
        A file stands there and ``force`` was not given, or the folder cannot be written.
        Nothing is written then.
    """
    place = worked.folder / worked.earth_file if to is None else to
    folder = place.parent
    texts = {place.name: earth_text(worked), SPREAD_FILE: spread_text(worked)}
    if place.name == SPREAD_FILE:
        raise InputErrors.one(shown_path(place), "the name of the spread's file", "another name")
    there = {name: _held(folder / name) for name in texts}
    old = {name: text for name, text in there.items() if text is not None}
    changed = [name for name, text in old.items() if text != texts[name]]
    if changed and not force:
        raise InputErrors(
            [
                Fault(shown_path(folder / name), "a file of that name", "no such file yet",
                      "Write --force to replace it (it is kept as NAME.before), or --to FILE.")
                for name in changed
            ]
        )  # fmt: skip
    kept = {name_to_keep(folder, name): old[name] for name in changed}
    write_files(folder, HoleFiles({**kept, **texts}), HoleFiles(old))
    return tuple(folder / name for name in (*texts, *kept))


def _held(path: Path) -> str | None:
    return read_text(path, MOST_BYTES, "a CSV table") if path.exists() else None


# ---- what pages and pictures show --------------------------------------------------------


def equivalent_density(worked: WorkedPrognosis, depths: Array, pressure: Array) -> Array:
    """Return gauge pressures at depths below the sea bed as densities to the drill floor."""
    frame = worked.ground.frame
    below_floor = depths + frame.water_depth + frame.drill_floor_height
    gravity = float(worked.ground.gravity)
    return np.asarray(equivalent_density_below_drill_floor(pressure, below_floor, gravity))


def leak_offs_shown(worked: WorkedPrognosis) -> tuple[Array, Array]:
    """Return depths of the leak-off tests below the sea bed, and the pressures in this hole."""
    if not {"leak_off_pressure", "surface_pressure"} & set(worked.ground.readings):
        return np.zeros(0), np.zeros(0)
    ground = worked.ground
    names = ("vertical_stress", "normal_pore_pressure", "pore_pressure")
    vertical, normal, pore = (worked.curves[name] for name in names)
    stresses = Stresses(vertical.value, normal.value, pore.value)
    ratios = [float(one) for one in tested_ratios(ground, stresses)]
    depths = depths_of_tests(ground)
    least, most = (np.interp(depths, worked.z, curve.si) for curve in (pore, vertical))
    return depths, np.asarray(matthews_kelly(most, least, np.asarray(ratios)))


@dataclass(frozen=True)
class TrendShown:
    """What the pore-pressure method reads at the clay nodes it is used at, and its normal trend."""

    name: str
    unit: str
    readings: tuple[Array, Array]
    read: tuple[Array, Array]
    normal: Array | None


_READS: Final = {
    "eaton sonic": ("observed_transit_time", "transit_time", "normal_transit_time"),
    "bowers": ("transit_time", "transit_time", ""),
    "eaton resistivity": ("resistivity", "resistivity", "normal_resistivity"),
    "eaton drilling exponent": ("corrected_drilling_exponent", "", "normal_drilling_exponent"),
}


def trend_shown(worked: WorkedPrognosis) -> TrendShown | None:
    """Return what the method reads against what it takes as normal; None if it reads nothing."""
    names = _READS.get(worked.ground.prognosis.pore_pressure.method)
    if names is None:
        return None
    read, raw, normal = names
    found = _behind(worked.curves["pore_pressure"].value, (read, normal))
    log = worked.ground.readings.get(raw)
    points = (np.zeros(0), np.zeros(0)) if log is None else (log.depths, log.numbers)
    value, choice = found[read], worked.ground.prognosis.pore_pressure
    assert choice.normal_above is not None  # every method that reads has it
    used = clay_nodes(worked.ground, worked.ground.below(choice.normal_above))
    line = np.asarray(found[normal].si) if normal in found else None
    at_nodes = (worked.z[used], np.asarray(value.si)[used])
    return TrendShown(value.name, value.unit, points, at_nodes, line)


def _behind(value: Value, names: tuple[str, ...]) -> dict[str, Value]:
    """Return the nearest values of some names behind a value."""
    found: dict[str, Value] = {}
    for origin in origins_behind(value):
        for one in origin.inputs:
            if one.name in names and one.depth_axis is not None:
                found.setdefault(one.name, one)
    return found
