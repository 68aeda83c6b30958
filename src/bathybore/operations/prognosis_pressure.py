"""Pore pressure of a prognosis, by the method its document chooses."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.errors import InputErrors
from bathybore.base.units import show
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.compaction_trend import (
    StraightLine,
    fitted_line,
    normal_drilling_exponent,
    normal_resistivity,
    normal_transit_time,
)
from bathybore.kernels.drilling_exponent import (
    corrected_drilling_exponent,
    drilling_exponent,
    eaton_drilling_exponent,
)
from bathybore.kernels.pore_pressure import (
    bowers_unloading_effective_stress,
    bowers_virgin_effective_stress,
    eaton_resistivity,
    eaton_sonic,
    equivalent_density_below_drill_floor,
    normal_pore_pressure,
    pore_pressure_from_effective_stress,
)
from bathybore.model.chart import written_at
from bathybore.model.prognosis import PorePressure
from bathybore.operations.prognosis_ground import Curve, Ground, Mask

_FEWEST_IN_TREND: Final = 5
_NOTABLE: Final = 0.1  # of the greatest excess: less below normal is the log's own scatter
_LONG: Final = 3.0  # spacings without clay that are told
_SAME: Final = 1e-6  # m
_LOGS: Final = {
    "eaton sonic": ("transit_time",),
    "bowers": ("transit_time",),
    "eaton resistivity": ("resistivity",),
    "eaton drilling exponent": (
        "rate_of_penetration",
        "weight_on_bit",
        "bit_speed",
        "hole_diameter",
    ),
}


def pore_curve(ground: Ground, vertical: Value, normal: Value) -> Curve:
    """Return the pore pressure: normal down to a stated depth, then by the method in clays.

    Between clays and below the last one the excess over the normal pressure runs straight,
    or is held: the methods hold in clay only. Less than normal counts as normal.
    """
    choice = ground.prognosis.pore_pressure
    if choice.method == "normal" or choice.normal_above is None:
        value = _summed(normal, Value("excess_pore_pressure", 0.0, "Pa", FromWalk("none")))
        return Curve("pore_pressure", value, "normal: a column of pore water")
    top = ground.below(choice.normal_above)
    used = clay_nodes(ground, top)
    by_method = _METHODS[choice.method](ground, vertical, normal, used)
    above = np.asarray(by_method.si) - np.asarray(normal.si)
    knots = np.concatenate([[top], ground.z[used]])
    excess = np.interp(ground.z, knots, np.concatenate([[0.0], above[used]]), left=0.0)
    problem = (
        "what the method gives over the normal pressure in clay, none of it below zero; straight "
        "between clays, held below the last: $Delta p = max(p_p - p_n, 0)$"
    )
    held = Value(
        "excess_pore_pressure",
        np.maximum(excess, 0.0),
        "Pa",
        Solved(problem, "common-practice", (by_method, normal)),
        -1,
    )
    whole = _summed(normal, held)
    plain = _summed(normal, Value("excess_pore_pressure", 0.0, "Pa", _open_to_the_sea(ground)))
    return Curve(
        "pore_pressure",
        whole,
        choice.method,
        ((0.0, plain), (top + _SAME, whole)),
        remarks=tuple(_remarks(ground, above, used, top)),
    )


def _remarks(ground: Ground, above: Array, used: Mask, top: float) -> Iterator[str]:
    """Yield what was done where the method gives less than normal pressure, or holds not."""
    z = ground.z
    less = used & (above < -_NOTABLE * float(np.max(np.abs(above[used]))))
    if np.any(less):
        rows = np.flatnonzero(less)
        yield (
            f"the method gives less than normal pressure in clay at {len(rows)} depths from "
            f"{z[rows[0]]:g} to {z[rows[-1]]:g} m below the sea bed; normal pressure is taken."
        )
    last = float(z[np.flatnonzero(used)[-1]])
    if last < float(z[-1]) - ground.prognosis.spacing:
        yield (
            f"no clay is read below {last:g} m below the sea bed: the excess over normal pressure "
            f"there, {show(max(float(above[used][-1]), 0.0), 'Pa')}, is held to the bottom."
        )
    places = np.concatenate([[top], z[used]])
    steps = np.diff(places)
    for row in np.flatnonzero(steps > _LONG * ground.prognosis.spacing):
        yield (
            f"no clay is read from {places[row]:g} to {places[row + 1]:g} m below the sea bed; the "
            "excess over normal pressure runs straight across."
        )


def _open_to_the_sea(ground: Ground) -> FromWalk:
    where = written_at(ground.prognosis.pore_pressure, "normal_above")
    return FromWalk(f"none: the pores are taken as open to the sea bed down to there ({where})")


def _summed(normal: Value, excess: Value) -> Value:
    total = np.asarray(normal.si) + np.asarray(excess.si)
    origin = Solved("normal pressure and excess: $p_p = p_n + Delta p$", "definition",
                    (normal, excess))  # fmt: skip
    return Value("pore_pressure", total, "Pa", origin, -1)


def clay_nodes(ground: Ground, top: float) -> Mask:
    """Return the nodes below ``top`` that have readings in clay of every log of the method.

    Raises
    ------
    InputErrors
        There are none.
    """
    choice = ground.prognosis.pore_pressure
    logs = _LOGS[choice.method]
    read = np.all([np.isfinite(ground.medians(name, clay_only=True)) for name in logs], axis=0)
    used = read & (ground.z > top)
    if not np.any(used):
        found = f"no clay with readings of {' and '.join(logs)} below {top:g} m below the sea bed"
        fix = f"Words that mean clay: {', '.join(choice.clays)}."
        where = written_at(choice, "method")
        raise InputErrors.one(where, found, f"readings in clay for '{choice.method}'", fix)
    return np.asarray(used)


# ---- the methods: each gives a pressure at every node, of which clay counts ----------------


def _sonic(ground: Ground, vertical: Value, normal: Value, used: Mask) -> Value:
    choice = ground.prognosis.pore_pressure
    time = ground.middle("transit_time", used, clay_only=True)
    matrix = choice.value("matrix_transit_time")
    if choice.trend_is_given:
        at_bed, rate = choice.value("sea_bed_transit_time"), choice.value("compaction_rate")
        scatter = ground.prognosis.spread.trend
    else:
        z, read = _trend_nodes(ground, ground.medians("transit_time", clay_only=True))
        slowest = float(matrix)
        if np.any(read <= slowest):
            found = f"a transit time of {show(float(np.min(read)), 's/m', unit='us/ft')}"
            least = f"more than matrix_transit_time, {show(slowest, 's/m', unit='us/ft')}"
            raise InputErrors.one(written_at(choice, "trend_top"), found, least)
        line = _rising(choice, "falls", fitted_line(z, np.log(read - slowest)), -1.0)
        how = _fit("$ln(Delta t - Delta t_m)$", z, line)
        at_bed = _fitted("sea_bed_transit_time", slowest + np.exp(line.at_zero), "s/m", how, matrix)
        rate = _fitted("compaction_rate", -line.slope, "1/m", how, matrix)
        scatter = line.scatter
    share, slow = 1.0 + scatter, float(matrix)
    trend = work(
        normal_transit_time,
        sea_bed_transit_time=ground.shifted("trend", at_bed, lambda t: slow + share * (t - slow)),
        matrix_transit_time=matrix,
        compaction_rate=rate,
        depth_below_sea_bed=ground.depth,
    )
    return work(
        eaton_sonic,
        vertical_stress=vertical,
        normal_pore_pressure=normal,
        normal_transit_time=trend,
        observed_transit_time=time.named("observed_transit_time"),
        **_power(ground, "eaton_exponent", 3.0),
    )


def _resistivity(ground: Ground, vertical: Value, normal: Value, used: Mask) -> Value:
    choice = ground.prognosis.pore_pressure
    read = ground.middle("resistivity", used, clay_only=True)
    if choice.trend_is_given:
        at_bed, rate = choice.value("sea_bed_resistivity"), choice.value("resistivity_growth")
        scatter = ground.prognosis.spread.trend
    else:
        z, numbers = _trend_nodes(ground, ground.medians("resistivity", clay_only=True))
        line = _rising(choice, "grows", fitted_line(z, np.log(numbers)), 1.0)
        how = _fit("$ln R$", z, line)
        at_bed = _fitted("sea_bed_resistivity", np.exp(line.at_zero), "ohm m", how)
        rate = _fitted("resistivity_growth", line.slope, "1/m", how)
        scatter = line.scatter
    share = 1.0 + scatter
    trend = work(
        normal_resistivity,
        sea_bed_resistivity=ground.shifted("trend", at_bed, lambda r: share * r),
        resistivity_growth=rate,
        depth_below_sea_bed=ground.depth,
    )
    return work(
        eaton_resistivity,
        vertical_stress=vertical,
        normal_pore_pressure=normal,
        resistivity_ratio=_ratio("resistivity_ratio", read, trend),
        **_power(ground, "eaton_resistivity_exponent", 1.2),
    )


def _exponent(ground: Ground, vertical: Value, normal: Value, used: Mask) -> Value:
    choice = ground.prognosis.pore_pressure
    inputs = {name: ground.middle(name, used, clay_only=True) for name in _LOGS[choice.method]}
    read = work(
        corrected_drilling_exponent,
        drilling_exponent=work(drilling_exponent, **inputs),
        normal_pressure_density=_normal_density(ground),
        mud_density=ground.along("mud_density"),
    )
    if choice.trend_is_given:
        at_bed = choice.value("sea_bed_drilling_exponent")
        rate = choice.value("drilling_exponent_growth")
        scatter = ground.prognosis.spread.trend * float(at_bed)
    else:
        clay = np.isfinite(ground.medians("rate_of_penetration", clay_only=True))
        whole = {name: ground.middle(name, clay, clay_only=True) for name in inputs}
        plain = work(
            corrected_drilling_exponent,
            drilling_exponent=work(drilling_exponent, **whole),
            normal_pressure_density=_normal_density(ground),
            mud_density=ground.along("mud_density"),
        )
        z, numbers = _trend_nodes(ground, np.where(clay, np.asarray(plain.si), np.nan))
        line = _rising(choice, "grows", fitted_line(z, numbers), 1.0)
        how = _fit('$d_"xc"$', z, line)
        at_bed = _fitted("sea_bed_drilling_exponent", line.at_zero, "-", how)
        rate = _fitted("drilling_exponent_growth", line.slope, "1/m", how)
        scatter = line.scatter
    trend = work(
        normal_drilling_exponent,
        sea_bed_drilling_exponent=ground.shifted("trend", at_bed, lambda d: d + scatter),
        drilling_exponent_growth=rate,
        depth_below_sea_bed=ground.depth,
    )
    return work(
        eaton_drilling_exponent,
        vertical_stress=vertical,
        normal_pore_pressure=normal,
        drilling_exponent_ratio=_ratio("drilling_exponent_ratio", read, trend),
        **_power(ground, "eaton_drilling_exponent_power", 1.2),
    )


def _normal_density(ground: Ground) -> Value:
    """Return the normal pore pressure as a density to the datum that the mud was told to."""
    prognosis = ground.prognosis
    fluid = prognosis.value("pore_fluid_density")
    if prognosis.pore_pressure.mud_density_datum == "sea bed":
        return fluid.named("normal_pressure_density")
    water = prognosis.neighbour.value("water_depth")
    pressure = work(
        normal_pore_pressure,
        sea_bed_pressure=ground.neighbour_sea_pressure,
        pore_fluid_density=fluid,
        depth_below_sea_bed=ground.depth,
        gravity=ground.gravity,
    )
    height = prognosis.neighbour.value("drill_floor_height")
    deep = ground.z + float(water) + float(height)
    below = Value(
        "depth_below_drill_floor",
        deep,
        "m",
        Solved("below the sea bed, its water and the neighbour's drill floor", "definition",
               (ground.depth, water, height)),
        -1,
    )  # fmt: skip
    return work(
        equivalent_density_below_drill_floor,
        pressure=pressure,
        depth_below_drill_floor=below,
        gravity=ground.gravity,
    ).named("normal_pressure_density")


def _bowers(ground: Ground, vertical: Value, normal: Value, used: Mask) -> Value:
    choice = ground.prognosis.pore_pressure
    time = ground.middle("transit_time", used, clay_only=True)
    velocity = Value(
        "sound_velocity",
        1.0 / np.asarray(time.si),
        "m/s",
        Solved("$V = 1 / Delta t$", "definition", (time,)),
        -1,
    )
    share = 1.0 + ground.prognosis.spread.exponent
    curve = {
        "bowers_coefficient": ground.shifted(
            "exponent", choice.value("bowers_coefficient"), lambda a: a * share
        ),
        "bowers_exponent": choice.value("bowers_exponent"),
        "sea_bed_sediment_velocity": choice.value("sea_bed_sediment_velocity"),
    }
    stress = work(bowers_virgin_effective_stress, sound_velocity=velocity, **curve)
    if choice.unloading_below is not None:
        greatest = work(
            bowers_virgin_effective_stress,
            sound_velocity=choice.value("greatest_velocity", "sound_velocity"),
            **curve,
        )
        unloaded = work(
            bowers_unloading_effective_stress,
            sound_velocity=velocity,
            greatest_past_effective_stress=greatest.named("greatest_past_effective_stress"),
            bowers_unloading_exponent=choice.value("bowers_unloading_exponent"),
            **curve,
        )
        top = ground.below(choice.unloading_below)
        both = np.where(ground.z > top, np.asarray(unloaded.si), np.asarray(stress.si))
        how = f"virgin curve down to {top:g} m below the sea bed, unloading curve from there"
        stress = Value(
            "vertical_effective_stress",
            both,
            "Pa",
            Solved(how, "bowers-1995", (stress, unloaded)),
            -1,
        )
    return work(
        pore_pressure_from_effective_stress,
        vertical_stress=vertical,
        vertical_effective_stress=stress,
    )


_METHODS: Final[dict[str, Callable[[Ground, Value, Value, Mask], Value]]] = {
    "eaton sonic": _sonic,
    "eaton resistivity": _resistivity,
    "eaton drilling exponent": _exponent,
    "bowers": _bowers,
}


# ---- normal trends -----------------------------------------------------------------------


def _trend_nodes(ground: Ground, numbers: Array) -> tuple[Array, Array]:
    """Return depths and numbers of the clay nodes that the trend is fitted to."""
    choice = ground.prognosis.pore_pressure
    assert choice.trend_top is not None  # the document sees to it
    assert choice.trend_bottom is not None
    top, bottom = ground.below(choice.trend_top), ground.below(choice.trend_bottom)
    inside = (ground.z >= top) & (ground.z <= bottom) & np.isfinite(numbers)
    if int(np.sum(inside)) < _FEWEST_IN_TREND:
        found = f"{int(np.sum(inside))} depths with readings in clay from {top:g} to {bottom:g} m"
        wanted = f"{_FEWEST_IN_TREND} or more to fit a trend to"
        raise InputErrors.one(written_at(choice, "trend_top"), found, wanted)
    return ground.z[inside], numbers[inside]


def _rising(choice: PorePressure, word: str, line: StraightLine, sign: float) -> StraightLine:
    if line.slope * sign <= 0.0:
        found = f"readings in clay whose trend does not show compaction, by {choice.method}"
        wanted = f"one that {word} with depth between trend_top and trend_bottom"
        raise InputErrors.one(written_at(choice, "trend_top"), found, wanted)
    return line


def _fit(what: str, z: Array, line: StraightLine) -> str:
    return (
        f"least squares of {what} over {len(z)} depths with clay from {z[0]:g} to {z[-1]:g} m "
        f"below the sea bed; they scatter by {line.scatter:.3g}"
    )


def _fitted(name: str, si: float, unit: str, how: str, *inputs: Value) -> Value:
    return Value(name, float(si), unit, Solved(how, "zhang-2011", inputs))


def _ratio(name: str, read: Value, trend: Value) -> Value:
    ratio = np.asarray(read.si) / np.asarray(trend.si)
    return Value(name, ratio, "-", Solved("read over trend", "definition", (read, trend)), -1)


def _power(ground: Ground, name: str, usual: float) -> dict[str, Value]:
    """Return the exponent where the user gave one or it is moved; else the method's default."""
    choice = ground.prognosis.pore_pressure
    share = 1.0 + ground.prognosis.spread.exponent
    if choice.exponent is not None:
        given = choice.value("exponent", name)
        return {name: ground.shifted("exponent", given, lambda n: n * share)}
    if ground.moved == "exponent":
        return {name: Value(name, usual * share, "-", FromWalk("a standard deviation greater"))}
    return {}
