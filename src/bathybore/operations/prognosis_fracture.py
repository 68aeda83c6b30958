"""Fracture pressure of a prognosis: a ratio of effective stresses, given or from leak-off tests."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.working import FromTable, FromWalk, Solved, Value, work
from bathybore.kernels.fracture_pressure import (
    eaton_1969,
    leak_off_pressure,
    leak_off_stress_ratio,
    matthews_kelly,
)
from bathybore.operations.prognosis_ground import Curve, Ground


@dataclass(frozen=True)
class Stresses:
    """What leak-off tests are set against."""

    vertical: Value
    normal: Value
    pore: Value


def fracture_curve(ground: Ground, stresses: Stresses) -> Curve:
    """Return the fracture pressure by the method chosen, calibrated by the leak-off tests."""
    vertical, pore = stresses.vertical, stresses.pore
    choice = ground.prognosis.fracture
    sd = ground.prognosis.spread.stress_ratio
    if choice.method == "eaton":
        ratio = _poisson(ground, stresses)
        moved = ground.shifted("stress_ratio", ratio, lambda nu: _more_poisson(nu, sd))
        value = work(eaton_1969, vertical_stress=vertical, pore_pressure=pore, poisson_ratio=moved)
        return Curve("fracture_pressure", value, "eaton: sediment that cannot spread sideways")
    if choice.method == "matthews-kelly":
        given = choice.stress_ratio is not None
        ratio = choice.value("stress_ratio") if given else _mean_ratio(ground, stresses)
        said = "matthews-kelly: one ratio of effective stresses"
    else:
        ratio = _ratio_over_depth(ground, stresses)
        said = "ratio of effective stresses of the leak-off tests, straight between them"
    value = work(
        matthews_kelly,
        vertical_stress=vertical,
        pore_pressure=pore,
        stress_ratio=ground.shifted("stress_ratio", ratio, lambda k: k + sd),
    )
    return Curve("fracture_pressure", value, said)


def _more_poisson(nu: object, sd: float) -> float:
    """Return Poisson's ratio of a stress ratio that is greater by ``sd``."""
    ratio = float(np.asarray(nu)) / (1.0 - float(np.asarray(nu))) + sd
    return ratio / (1.0 + ratio)


def depths_of_tests(ground: Ground) -> Array:
    """Return the depths of the leak-off tests below the sea bed."""
    readings = ground.readings
    name = "leak_off_pressure" if "leak_off_pressure" in readings else "surface_pressure"
    return readings[name].depths


def tested_ratios(ground: Ground, stresses: Stresses) -> list[Value]:
    """Return the ratio of effective stresses that each leak-off test shows."""
    depths = depths_of_tests(ground)
    pressures = [_test_pressure(ground, row) for row in range(len(depths))]
    return [
        work(
            leak_off_stress_ratio,
            leak_off_pressure=pressure,
            pore_pressure=_pore_there(ground, stresses, float(z)),
            vertical_stress=_there(ground, stresses.vertical, _own(ground, float(z))),
        )
        for z, pressure in zip(depths, pressures, strict=True)
    ]


def _there(ground: Ground, curve: Value, z: float) -> Value:
    """Return a pressure of this hole at the neighbour: as deep below its bed, under its sea."""
    number = float(np.interp(z, ground.z, np.asarray(curve.si)))
    said = f"{curve.name.replace('_', ' ')} of this prognosis at {z:g} m below the sea bed"
    here = Value(curve.name, number, curve.unit, FromWalk(said))
    sea = ground.neighbour_sea_pressure
    there = number - float(ground.sea_bed_pressure) + float(sea)
    how = "under the neighbour's sea: that of this hole less its sea and plus the neighbour's"
    origin = Solved(how, "definition", (here, ground.sea_bed_pressure, sea))
    return Value(curve.name, there, curve.unit, origin)


def _own(ground: Ground, z: float) -> float:
    """Return a depth of this hole as the neighbour's own below its sea bed."""
    return z - ground.prognosis.neighbour.depth_shift


def _pore_there(ground: Ground, stresses: Stresses, z: float) -> Value:
    """Return the pore pressure at the neighbour: its own column of water, the layer's excess."""
    if ground.prognosis.neighbour.depth_shift == 0.0:
        return _there(ground, stresses.pore, z)
    normal = _there(ground, stresses.normal, _own(ground, z))
    gap = np.asarray(stresses.pore.si) - np.asarray(stresses.normal.si)
    said = f"of the same layer, at {z:g} m below the sea bed in this hole"
    held = float(np.interp(z, ground.z, gap))
    excess = Value("excess_pore_pressure", held, "Pa", FromWalk(said))
    origin = Solved("normal pressure and excess: $p_p = p_n + Delta p$", "definition",
                    (normal, excess))  # fmt: skip
    return Value("pore_pressure", float(normal) + held, "Pa", origin)


def _test_pressure(ground: Ground, row: int) -> Value:
    readings, neighbour = ground.readings, ground.prognosis.neighbour
    direct = readings.get("leak_off_pressure")
    if direct is not None:
        origin = FromTable(direct.file, f"{direct.column}, line {direct.lines[row]}", "given")
        return Value("leak_off_pressure", float(direct.numbers[row]), "Pa", origin)
    pump, mud = readings["surface_pressure"], readings["test_mud_density"]
    own = pump.depths[row] - neighbour.depth_shift
    floor = own + neighbour.water_depth + neighbour.drill_floor_height
    said = "of the test's shoe below the neighbour's drill floor"
    where = f"line {pump.lines[row]}"
    return work(
        leak_off_pressure,
        surface_pressure=Value(
            "surface_pressure", float(pump.numbers[row]), "Pa",
            FromTable(pump.file, f"{pump.column}, {where}", "given"),
        ),
        mud_density=Value(
            "mud_density", float(np.interp(pump.depths[row], mud.depths, mud.numbers)), "kg/m3",
            FromTable(mud.file, f"{mud.column}, {where}", "given"),
        ),
        depth_below_drill_floor=Value(
            "depth_below_drill_floor", float(floor), "m", FromWalk(said)
        ),
        gravity=ground.gravity,
    )  # fmt: skip


def _ratio_over_depth(ground: Ground, stresses: Stresses) -> Value:
    tests = tested_ratios(ground, stresses)
    depths = depths_of_tests(ground)
    numbers = np.interp(ground.z, depths, [float(test) for test in tests])
    how = (
        "ratio that each leak-off test shows, straight between their depths "
        f"({', '.join(f'{z:g}' for z in depths)} m below the sea bed), held above the first and "
        "below the last"
    )
    return Value("stress_ratio", numbers, "-", Solved(how, "common-practice", tuple(tests)), -1)


def _mean_ratio(ground: Ground, stresses: Stresses) -> Value:
    tests = tested_ratios(ground, stresses)
    mean = float(np.mean([float(test) for test in tests]))
    how = f"mean of {len(tests)} leak-off tests"
    return Value("stress_ratio", mean, "-", Solved(how, "common-practice", tuple(tests)))


def _poisson(ground: Ground, stresses: Stresses) -> Value:
    choice = ground.prognosis.fracture
    if choice.poisson_ratio is not None:
        return choice.value("poisson_ratio")
    ratio = _mean_ratio(ground, stresses)
    number = float(ratio) / (1.0 + float(ratio))
    how = "that gives the tested ratio of effective stresses: $nu = K_i / (1 + K_i)$"
    return Value("poisson_ratio", number, "-", Solved(how, "eaton-1969", (ratio,)))
