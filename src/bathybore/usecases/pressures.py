"""The window of a walk: what the rock needs and bears, and the mud between, as it was judged.

Nothing is worked out here a second time: the lines are the profiles that the records of the
window and of the cement jobs were judged on.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.depth import Datum
from bathybore.base.keeping import FEW, MANY, kept
from bathybore.checks import cement, window
from bathybore.checks.ledger import Asker, answers
from bathybore.checks.record import Profile, Question
from bathybore.kernels.pore_pressure import (
    equivalent_density_below_drill_floor,
    equivalent_density_below_sea_bed,
    equivalent_density_below_sea_level,
)
from bathybore.model.hole import Setting
from bathybore.operations.columns import DepthNodes, gravity, sea_bed_pressure
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.usecases.scene import PressureCurve, Window
from bathybore.usecases.thinning import kept_nodes
from bathybore.usecases.walking import Walk

# Closer to its datum a density is a small pressure over no height, and means nothing.
NEAR_DATUM: Final = 5.0  # [m]
_OFF: Final = 0.001  # of the width of the picture: how far a curve may lie from its nodes

DEFINITIONS: Final = {
    Datum.DRILL_FLOOR: "gauge pressure / (gravity × depth below the drill floor)",
    Datum.SEA_LEVEL: "gauge pressure / (gravity × depth below sea level)",
    Datum.SEA_BED: (
        "(gauge pressure − pressure of the sea on its bed) / (gravity × depth below the sea bed)"
    ),
}

# kind of curve -> as a legend names it
LABELS: Final = {
    "pore": "pore pressure",
    "collapse": "collapse pressure",
    "fracture": "fracture pressure",
    "needed": "pore with trip margin",
    "borne": "fracture less margin",
    "at_rest": "mud at rest",
    "circulating": "mud circulating",
    "cementing": "while cement is placed",
}
_OF_ROCK: Final = ("pore", "collapse", "fracture")


@dataclass(frozen=True)
class MudLine:
    """The mud of one section over its open hole.

    Attributes
    ----------
    rest, circulating : [Pa]; no circulating pressure where it could not be judged: the
        cuttings do not rise, or the string does not fit
    needed, borne : [Pa] pore and fracture pressure with their margins; without a riser no
        trip margin can be kept
    """

    section: str
    fluid: str
    density: float
    z: Array
    rest: Array
    circulating: Array | None
    needed: Array | None
    borne: Array


@dataclass(frozen=True)
class PlacingLine:
    """The pressure [Pa] over the open hole when the last of a casing's cement is placed."""

    section: str
    casing: str
    z: Array
    pressure: Array


def mud_lines(walk: Walk) -> tuple[MudLine, ...]:
    """Return the mud of every section at its deepest state, top down.

    A section whose window could not be worked out has none.
    """
    deepest: dict[int, HoleState] = {}
    for state in walk.states:
        if state.step.kind in (StepKind.DRILL, StepKind.CORE) and state.step.section is not None:
            deepest[state.step.section] = state
    lines = map(_mud_line, deepest.values())
    return tuple(line for line in lines if line is not None)


def _profiles(ask: Asker, state: HoleState, last: Question) -> dict[str, Profile]:
    """Return what questions were judged on over depth, by name, those behind the last left out.

    Asked here and not looked up: a picture then waits for no other verdict. What answers is
    kept, so the ledger has the very same record.
    """
    found: dict[str, Profile] = {}
    for one in answers(ask, state):
        if one.profile is not None:
            found[one.name] = one.profile
        if one.name == last.name:
            break
    return found


def _mud_line(state: HoleState) -> MudLine | None:
    judged, activity = _profiles(window.window_checks, state, window.HIGH), state.activity
    low, still = judged.get(window.LOW.name), judged.get(window.HIGH_STATIC.name)
    if low is None or still is None or activity.section is None or activity.fluid is None:
        return None
    flowing = judged.get(window.HIGH.name)
    names = [n for n, f in state.hole.plan.fluids.items() if f is activity.fluid]
    return MudLine(
        section=activity.section.name,
        fluid=names[0] if names else activity.section.fluid,
        density=activity.fluid.density,
        z=places(state.hole.setting, low),
        rest=low.capacity,
        circulating=flowing.demand if flowing is not None else None,
        needed=low.demand if state.riser is not None else None,
        borne=still.capacity,
    )


def placing_lines(walk: Walk) -> tuple[PlacingLine, ...]:
    """Return the pressure while cement is placed, of every cemented casing, top down."""
    lines = []
    for state in walk.states:
        section, casing = state.activity.section, state.activity.casing
        if state.step.kind is not StepKind.CEMENT or section is None or casing is None:
            continue
        judged = _profiles(cement.cement_checks, state, cement.PLACING_HIGH)
        if profile := judged.get(cement.PLACING_HIGH.name):
            z = places(walk.hole.setting, profile)
            lines.append(PlacingLine(section.name, casing.name, z, profile.demand))
    return tuple(lines)


def places(setting: Setting, profile: Profile) -> Array:
    """Return the nodes of a profile on the shared axis, metres below mean sea level."""
    if isinstance(profile.depths, DepthNodes):
        return profile.depths.z
    zero = {datum: setting.frame.zero_below_sea_level(datum) for datum in Datum}
    return np.array([depth.metres + zero[depth.datum] for depth in profile.depths])


def equivalent_density(setting: Setting, datum: Datum, z: Array, pressure: Array) -> Array:
    """Return gauge pressures as densities [kg/m3] to a datum, as `DEFINITIONS` says.

    NaN at the datum, above it and within ``NEAR_DATUM`` of it.
    """
    below = z - setting.frame.zero_below_sea_level(datum)
    height = np.where(below >= NEAR_DATUM, below, np.nan)
    g = gravity(setting)
    if datum is Datum.SEA_BED:
        bed = float(sea_bed_pressure(setting))
        density = equivalent_density_below_sea_bed(pressure, bed, height, g)
    elif datum is Datum.SEA_LEVEL:
        density = equivalent_density_below_sea_level(pressure, height, g)
    else:
        density = equivalent_density_below_drill_floor(pressure, height, g)
    return np.asarray(density)


def the_window(walk: Walk, datum: Datum) -> Window:
    """Return all curves of the window, with as few nodes as show no difference.

    Equivalent densities of a gauge pressure p at a depth: to the drill floor
    p / (g (depth below the drill floor)), to sea level p / (g (depth below sea level)), to
    the sea bed (p - p_sea) / (g (depth below the sea bed)) with the pressure p_sea of the sea
    on its bed.
    """
    setting = walk.hole.setting
    lines = (*_rock_lines(setting), *_section_lines(walk))
    curves = tuple(_curve(*line, setting, datum) for line in lines)
    return Window(str(datum), curves, DEFINITIONS[datum])


@kept(MANY)
def _curve(
    kind: str, label: str, section: str, z: Array, pressure: Array, setting: Setting, datum: Datum
) -> PressureCurve:
    density = equivalent_density(setting, datum, z, pressure)
    wide, dense = _widths(setting, datum)
    nodes = kept_nodes(z, [(pressure, _OFF * wide), (density, _OFF * dense)])
    return PressureCurve(
        kind,
        label,
        section,
        tuple(np.round(z[nodes], 3).tolist()),
        rounded(pressure[nodes], 0),
        rounded(density[nodes], 2),
    )


@kept(FEW)
def _widths(setting: Setting, datum: Datum) -> tuple[float, float]:
    """Return how far apart the pressures and the densities of the rock lie."""
    pressures = [(z, pressure) for *_, z, pressure in _rock_lines(setting)]
    return (
        max(_width(pressure) for _, pressure in pressures),
        max(_width(equivalent_density(setting, datum, z, p)) for z, p in pressures),
    )


def rounded(values: Array, decimals: int) -> tuple[float | None, ...]:
    """Return numbers for a face: rounded, None where nothing is known."""
    return tuple(v if v == v else None for v in np.round(values, decimals).tolist())


def _width(values: Array) -> float:
    known = values[np.isfinite(values)]
    return float(np.ptp(known)) if known.size else 0.0


_Line = tuple[str, str, str, Array, Array]  # kind, label, section, z, pressure


@kept(FEW)
def _rock_lines(setting: Setting) -> tuple[_Line, ...]:
    earth = setting.earth
    z = earth.depths + setting.sea_bed
    return tuple(
        (kind, LABELS[kind], "", z, earth.at(f"{kind}_pressure", earth.depths))
        for kind in _OF_ROCK
        if earth.has(f"{kind}_pressure")
    )


def _section_lines(walk: Walk) -> Iterator[_Line]:
    for mud in mud_lines(walk):
        pressures = {
            "needed": mud.needed,
            "borne": mud.borne,
            "at_rest": mud.rest,
            "circulating": mud.circulating,
        }
        for kind, pressure in pressures.items():
            if pressure is not None:
                yield kind, LABELS[kind], mud.section, mud.z, pressure
    for line in placing_lines(walk):
        yield "cementing", LABELS["cementing"], line.section, line.z, line.pressure
