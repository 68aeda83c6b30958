"""Does the soft sea bed take the conductor, and then bear what is set on it?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.soil import (
    adhesion_factor,
    axial_capacity,
    layer_shaft_resistance,
    set_up_share,
    shaft_resistance,
    soil_effective_overburden,
    unit_skin_friction,
)
from bathybore.kernels.tubular_strength import required_capacity
from bathybore.model.hole import Setting
from bathybore.model.tables import ProfileTable
from bathybore.operations.loads import casing_weight, part_weights
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import CasingInPlace, HoleState, StringInHole

INCLINATION = Question(
    "inclination",
    Discipline.SOIL,
    "Will the conductor stand straight enough for the preventer?",
    "Jet slower, keep tension on the string, move to flatter sea bed; or pull and spud again.",
)
PENETRATION = Question(
    "penetration",
    Discipline.SOIL,
    "Is there weight enough to push the conductor to its depth while it is jetted?",
    "Heavier collars inside the conductor, more jetting, or a shorter conductor.",
    "Too much jetting loosens the soil that must hold the conductor afterwards.",
)
BEARS_ITSELF = Question(
    "bears-itself",
    Discipline.SOIL,
    "After the soak, does the soil hold conductor and wellhead when the string lets go?",
    "Soak longer, lengthen the conductor, or cement it in a drilled hole.",
    "The first hours after jetting decide; set-up takes days. The set-up shares are assumed "
    "until a pile test or a neighbouring conductor tells.",
)
BEARS_CASING = Question(
    "conductor-bears-casing",
    Discipline.SOIL,
    "Does the conductor bear the first casing landed in it, before the cement helps?",
    "Keep the casing on the landing string until the cement has set, or wait longer first.",
    "The landing string can carry part of the weight until the cement has set.",
)


def conductor_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask the questions of a conductor being set."""
    hole, step = state.hole, state.step.name
    band = hole.basis.tight_band
    yield judge(
        step,
        INCLINATION,
        hole.site.value("expected_inclination", "inclination"),
        hole.basis.value("greatest_inclination", "inclination"),
        band,
    )
    casing = state.last_casing
    if casing is None or not soil_known(state):
        reason = f"{hole.earth.file} gives no undrained_shear_strength and submerged_unit_weight"
        yield unjudged(step, PENETRATION, reason)
        yield unjudged(step, BEARS_ITSELF, reason)
        return
    yield _pushed_in(step, hole.setting, casing, state.activity.string)
    load = factored_load(state, set_weight(hole.setting, casing))
    capacity = conductor_capacity(state, casing, set_up_time(state))
    yield _borne(step, hole.setting, BEARS_ITSELF, load, capacity, casing.shoe)


@kept(SOME)
def _pushed_in(
    step: str, setting: Setting, casing: CasingInPlace, string: StringInHole | None
) -> CheckRecord:
    needed, weight = _resistance(setting, casing), _weight_available(setting, casing, string)
    band, place = setting.basis.tight_band, setting.depth(casing.shoe)
    return judge(step, PENETRATION, needed, weight, band, place)


@kept(SOME)
def _borne(
    step: str, setting: Setting, question: Question, load: Value, capacity: Value, shoe: float
) -> CheckRecord:
    band, place = setting.basis.tight_band, setting.depth(shoe)
    return judge(step, question, load, capacity, band, place)


def first_casing_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the conductor bears the first casing that lands in it."""
    hole, step = state.hole, state.step.name
    conductor = state.casings[0] if state.casings else None
    casing = state.hanging_casing
    if conductor is None or casing is None or len(state.casings) > 1:
        return
    if not soil_known(state):
        yield unjudged(step, BEARS_CASING, f"{hole.earth.file} gives no soil strength")
        return
    weight = casing_weight(casing, sea_water(hole), state.layers[-1].fluid)
    load = factored_load(state, _with_casing(set_weight(hole.setting, conductor), weight))
    capacity = conductor_capacity(state, conductor, set_up_time(state))
    yield _borne(step, hole.setting, BEARS_CASING, load, capacity, conductor.shoe)


def soil_known(state: HoleState) -> bool:
    earth = state.hole.earth
    return earth.has("undrained_shear_strength") and earth.has("submerged_unit_weight")


@kept(SOME)
def _with_casing(conductor: Value, casing: Value) -> Value:
    return _load("conductor, wellhead and casing", conductor, casing)


def _load(what: str, *parts: Value) -> Value:
    return summed("load", "N", f"sum of {what}", parts)


@kept(SOME)
def _strength_line(setting: Setting, depth: float) -> tuple[Value, Value]:
    """Return strength at the sea bed and its gradient: the least-squares line down to a depth."""
    earth = setting.earth
    h = np.linspace(0.0, depth, 50)
    gradient, at_bed = np.polyfit(h, earth.at("undrained_shear_strength", h), 1)
    how = FromWalk(f"least-squares line through {earth.file} down to {depth:.0f} m below sea bed")
    return (
        Value("strength_at_sea_bed", max(float(at_bed), 0.0), "Pa", how),
        Value("strength_gradient", float(gradient), "Pa/m", how),
    )


@kept(SOME)
def _resistance(setting: Setting, casing: CasingInPlace) -> Value:
    depth = casing.shoe - setting.sea_bed
    at_bed, gradient = _strength_line(setting, depth)
    # inside, the jet keeps the pipe clear: only the outer wall drags
    return work(
        shaft_resistance,
        outside_diameter=casing.pipe.outside_diameter,
        penetration=Value("penetration", depth, "m", FromWalk("sea bed to the shoe")),
        strength_at_sea_bed=at_bed,
        strength_gradient=gradient,
        adhesion_factor=setting.basis.value("jetting_adhesion", "adhesion_factor"),
    ).named("load")


@kept(SOME)
def set_weight(setting: Setting, casing: CasingInPlace) -> Value:
    """Return the weight of the conductor in the sea and of the wellhead on it."""
    water = sea_water(setting)
    return _load(
        "conductor, guide base and wellhead, in the sea",
        casing_weight(casing, water, water),
        setting.inventory.wellhead.value("guide_base_weight"),
        setting.inventory.wellhead.value("weight"),
    )


def _weight_available(
    setting: Setting, casing: CasingInPlace, string: StringInHole | None
) -> Value:
    """Return what pushes: conductor, wellhead, and the collars and heavy pipe inside it."""
    water = sea_water(setting)
    weights = [set_weight(setting, casing)]
    if string is not None:
        per_length = part_weights(string, water, water)
        heavy = [
            float(np.atleast_1d(per_length.si)[i]) * part.length
            for i, part in enumerate(string.parts)
            if part.pipe.stock.kind != "pipe"
        ]
        how = FromWalk("collars and heavy-wall pipe of the string, in the sea")
        weights.append(Value("buoyed_weight", sum(heavy), "N", how))
    share = setting.basis.value("jetting_weight_share")
    total = _load("what can push", *weights)
    origin = Solved("share of it that may be let down", "assumed", (share, total))
    return Value("load", float(share) * float(total), "N", origin)


def set_up_time(state: HoleState) -> Value:
    """Return the time from the end of jetting to the end of the step."""
    return _between(state.conductor_set_at, state.elapsed)


@kept(SOME)
def _between(jetted: float, ended: float) -> Value:
    now = Value("elapsed_time", ended, "s", FromWalk("arrival to the end of the step"))
    begun = Value("elapsed_time", jetted, "s", FromWalk("arrival to the end of jetting"))
    origin = Solved("end of the step less the end of jetting", "definition", (now, begun))
    return Value("elapsed_time", float(now) - float(begun), "s", origin)


def factored_load(state: HoleState, load: Value) -> Value:
    return _factored(state.hole.basis.value("conductor_capacity_factor", "design_factor"), load)


@kept(SOME)
def _factored(factor: Value, load: Value) -> Value:
    return work(required_capacity, load=load, design_factor=factor)


def conductor_capacity(state: HoleState, casing: CasingInPlace, since: Value) -> Value:
    """Return the axial capacity at a time after jetting; the tip of a jetted pipe bears nothing."""
    jetted = state.hole.plan.conductor.method == "jetted"
    return _capacity(state.hole.setting, casing, jetted, since)


@kept(SOME)
def _capacity(setting: Setting, casing: CasingInPlace, jetted: bool, since: Value) -> Value:
    basis = setting.basis
    if jetted:
        share = work(
            set_up_share,
            elapsed_time=since,
            immediate_share=basis.value("immediate_share"),
            recovery_per_decade=basis.value("recovery_per_decade"),
            set_up_reference_time=basis.value("set_up_reference_time"),
        )
    else:
        share = Value("set_up_share", 1.0, "-", FromWalk("cemented in a drilled hole"))
    return work(
        axial_capacity,
        shaft_resistance=side_resistance(
            setting, casing.pipe.outside_diameter, 0.0, casing.shoe - setting.sea_bed
        ),
        set_up_share=share,
        end_bearing=Value("end_bearing", 0.0, "N", FromWalk("open end, jetted out below")),
    ).named("required_capacity")


@kept(SOME)
def side_resistance(setting: Setting, diameter: Value, top: float, bottom: float) -> Value:
    """Return the side resistance, set-up complete, summed over layers of the earth table.

    Parameters
    ----------
    top, bottom : [m] below the sea bed
    """
    height = bottom - top
    edges = np.linspace(top, bottom, max(int(height / 5.0), 4) + 1)
    middle = 0.5 * (edges[1:] + edges[:-1])
    earth = setting.earth
    overburden = work(
        soil_effective_overburden,
        submerged_unit_weight=mean_unit_weight(earth, middle),
        depth_below_sea_bed=Value(
            "depth_below_sea_bed", middle, "m", FromWalk("middle of each layer"), -1
        ),
    )
    strength = earth.value("undrained_shear_strength", middle)
    layers = work(
        layer_shaft_resistance,
        outside_diameter=diameter,
        unit_skin_friction=work(
            unit_skin_friction,
            adhesion_factor=work(
                adhesion_factor,
                undrained_shear_strength=strength,
                vertical_effective_stress=overburden,
            ),
            undrained_shear_strength=strength,
        ),
        layer_thickness=Value(
            "layer_thickness", np.diff(edges), "m", FromWalk("layers of the side"), -1
        ),
    )
    total = float(np.sum(np.asarray(layers.si)))
    origin = Solved("sum over the layers of the side", "definition", (layers,))
    return Value("shaft_resistance", total, "N", origin)


def mean_unit_weight(earth: ProfileTable, depth: Array) -> Value:
    """Return the mean submerged unit weight from the sea bed down to each depth.

    The soil above weighs what it weighs there, not what it weighs at the depth; the
    table is linear between its rows, so trapezoids over them are exact.
    """
    rows = earth.depths[earth.depths <= float(np.max(depth))]
    nodes = np.unique(np.concatenate([[0.0], rows, depth]))
    weight = earth.at("submerged_unit_weight", nodes)
    steps = 0.5 * (weight[1:] + weight[:-1]) * np.diff(nodes)
    above = np.interp(depth, nodes, np.concatenate([[0.0], np.cumsum(steps)]))
    table = earth.value("submerged_unit_weight", depth)
    how = "mean from the sea bed down: $1/z integral_0^z gamma' dif z$"
    return Value(table.name, above / depth, table.unit, Solved(how, "definition", (table,)), -1)
