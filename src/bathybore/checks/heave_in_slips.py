"""Does the hole bear the heave of the vessel while the string hangs in the slips?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.checks.window import at_rest, open_nodes
from bathybore.kernels.heave_surge import MudLine, heave_pressure, heave_speed
from bathybore.kernels.string_mechanics import YOUNG_MODULUS
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.circulation import string_fits
from bathybore.operations.columns import earth_value
from bathybore.operations.flow_law import resting_rheology
from bathybore.operations.geometry import Segments, annuli
from bathybore.operations.state import HoleState, StringInHole
from bathybore.operations.vessel_motions import heave_period, heave_within

HEAVE = Question(
    "heave-in-slips",
    Discipline.WINDOW,
    "Does the open hole bear the heave of the planned sea while a connection is made, the string "
    "hanging in slips?",
    "Wait for a calmer sea to make connections, pull the bit up first, a smaller string.",
    "In slips nothing compensates the heave, and a long string stretches: its bit moves more than "
    "the floor. Walls are stiff, the end of the string is closed.",
)

_PIECE: Final = 500.0  # m, along which friction has one amplitude
_LEAST, _MOST, _COUNT = 0.05, 12.0, 16  # m, amplitudes of heave that are tried


@dataclass(frozen=True, eq=False)
class HeaveSwing:
    """What heave does to the open hole, over amplitudes.

    Attributes
    ----------
    amplitude : of the heave [m], rising; the planned one among them
    pressure : amplitude of the pressure (amplitude, node) [Pa]
    planned : index of the planned amplitude
    residual : largest relative change of the solver's last round
    """

    amplitude: Array
    pressure: Array
    planned: int
    residual: float


def heave_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge heave with the bit at the bottom, where the column of mud is longest."""
    string, fluid = state.activity.string, state.activity.fluid
    if string is None or fluid is None or state.riser is None or not string_fits(state):
        return
    z = open_nodes(state)
    segments, rest = annuli(state, string), at_rest(state, z)
    yield _judged(state.step.name, state.hole.setting, segments, string, fluid, rest, z)


@kept(SOME)
def heave_of_connection(setting: Setting) -> Value:
    """Return the most probable greatest heave amplitude while one connection is made."""
    return heave_within(setting, setting.vessel.handling.value("connection_time", "duration"))


@kept(SOME)
def heave_swing(
    setting: Setting, segments: Segments, string: StringInHole, fluid: Fluid, z: Array
) -> HeaveSwing:
    """Return the pressure that heave swings the open hole by, over a row of amplitudes."""
    planned = float(heave_of_connection(setting))
    row = np.unique(np.append(np.geomspace(_LEAST, _MOST, _COUNT), planned))
    cuts = np.arange(float(segments.top[0]), float(segments.bottom[-1]), _PIECE)
    pieces = segments.cut_at(tuple(cuts))
    law = resting_rheology(setting, True, fluid, pieces.middle)
    line = MudLine(
        pieces.length,
        pieces.outer_diameter,
        pieces.inner_diameter,
        fluid.density,
        1.0 / max(fluid.compressibility, 1e-12),
        (law["yield_stress"].si, law["consistency_index"].si, law["flow_index"].si),
        *_bar(string, pieces, fluid.density),
    )
    period = np.full(len(row), float(heave_period(setting)))
    pressure, residual = heave_pressure(line, row, period)
    at_nodes = np.array([np.interp(z, pieces.bottom, one) for one in pressure])
    return HeaveSwing(row, at_nodes, int(np.searchsorted(row, planned)), residual)


def _bar(string: StringInHole, pieces: Segments, density: float) -> tuple[Array, Array]:
    """Return mass with the mud in it, per length, and stiffness of the pipe in each piece."""
    parts, middle = string.parts[::-1], pieces.middle
    at = np.clip(np.searchsorted([float(p.top) for p in parts], middle, side="right") - 1, 0, None)
    outer, bore, mass = (
        np.array([float(getattr(p.pipe, name)) for p in parts])
        for name in ("outside_diameter", "inside_diameter", "linear_mass")
    )
    steel, inside = 0.25 * np.pi * (outer**2 - bore**2), 0.25 * np.pi * bore**2
    return (mass + density * inside)[at], (YOUNG_MODULUS * steel)[at]


def borne(swing: HeaveSwing, allowed: Array) -> tuple[float, int]:
    """Return the amplitude of heave that the first node gives in at, and which node that is."""
    over = swing.pressure - allowed
    worst = np.max(over, axis=-1)
    node = np.argmax(over, axis=-1)
    if worst[0] >= 0.0:
        return 0.0, int(node[0])
    if worst[-1] < 0.0:
        return float(swing.amplitude[-1]), int(node[-1])
    high = int(np.argmax(worst >= 0.0))
    share = -worst[high - 1] / (worst[high] - worst[high - 1])
    step = swing.amplitude[high] - swing.amplitude[high - 1]
    return float(swing.amplitude[high - 1] + share * step), int(node[high])


@kept(SOME)
def _judged(
    step: str,
    setting: Setting,
    segments: Segments,
    string: StringInHole,
    fluid: Fluid,
    rest: Value,
    z: Array,
) -> CheckRecord:
    swing, demand = heave_swing(setting, segments, string, fluid, z), heave_of_connection(setting)
    pore, fracture = (
        earth_value(setting, name, z) for name in ("pore_pressure", "fracture_pressure")
    )
    below = np.asarray(rest.si) - np.asarray(pore.si)
    above = np.asarray(fracture.si) - np.asarray(rest.si)
    height, node = borne(swing, np.minimum(below, above))
    period = heave_period(setting)
    how = FromWalk("at the open depth that gives in first")
    origin = Solved(
        "heave amplitude at which the mud's swing takes all room of the first open depth; the "
        "string as an elastic bar, the mud as a line of springs, masses and friction: "
        "$rho_f / A (dif q)/(dif t) = (dif p)/(dif z) - g_f, quad (dif q)/(dif z) = A c_f "
        "(dif p)/(dif t)$",
        "definition",
        (
            Value("static_pressure", float(np.asarray(rest.si)[node]), "Pa", how),
            Value("pore_pressure", float(np.asarray(pore.si)[node]), "Pa", how),
            Value("fracture_pressure", float(np.asarray(fracture.si)[node]), "Pa", how),
            period,
            fluid.value("compressibility"),
            *resting_rheology(setting, True, fluid, z[node : node + 1]).values(),
        ),
        swing.residual,
    )
    speed = work(
        heave_speed,
        heave_amplitude=demand.named("heave_amplitude"),
        heave_period=period,
    )
    felt, side = float(swing.pressure[swing.planned, node]), "pore pressure"
    if above[node] < below[node]:
        side = "fracture pressure"
    note = (
        f"Planned sea: {felt / 1e6:.2f} MPa either way here, floor at {float(speed):.2f} m/s; "
        f"{side} is nearer, {min(below[node], above[node]) / 1e6:.2f} MPa away."
    )
    capacity = Value("max_heave_amplitude", height, "m", origin)
    place = setting.depth(float(z[node]))
    return judge(step, HEAVE, demand, capacity, setting.basis.tight_band, place, note=note)
