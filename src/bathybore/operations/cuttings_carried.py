"""How cuttings are carried, by every law of slip side by side, and what cleans the hole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, summed, work
from bathybore.kernels.cuttings import (
    cuttings_volume_fraction,
    slip_velocity_chien,
    slip_velocity_haider_levenspiel,
    slip_velocity_moore,
    time_to_clean,
    transport_ratio,
)
from bathybore.kernels.flat_chips import slip_velocity_walker_mayes
from bathybore.kernels.pipe_flow import annulus_apparent_viscosity
from bathybore.model.plan import Fluid
from bathybore.operations.circulation import (
    Circulation,
    annulus_rheology,
    annulus_velocity,
    slip,
)
from bathybore.operations.circulation_pumps import best_liner
from bathybore.operations.geometry import Segments, annuli_between
from bathybore.operations.sea_fluid import sea_water

OWN_LAW: Final = "Chien, mud sheared by the flow"


@dataclass(frozen=True, eq=False)
class Carried:
    """Cuttings in every annulus by one law of slip; values over annuli from the top down.

    Attributes
    ----------
    law : whose, and what it takes for the mud
    fluid : that carries them
    ratio : velocity of the cuttings over that of the mud
    fraction : share of the annulus that they take while the bit drills
    time : to bring the last of them out once the bit stands still [s]
    """

    law: str
    fluid: str
    slip: Value
    ratio: Value
    fraction: Value
    time: Value

    @property
    def least_ratio(self) -> float:
        return float(np.min(self.ratio.si))

    @property
    def greatest_fraction(self) -> float:
        return float(np.max(self.fraction.si))


@dataclass(frozen=True, eq=False)
class Sweep:
    """A sweep and how often it is pumped.

    Attributes
    ----------
    volume : [m3] that fills the wanted height of the widest annulus in open hole
    spacing : [s] from one to the next
    drilled : [m] meanwhile
    strokes : of the pump, for one
    """

    fluid: str
    height: Value
    volume: Value
    spacing: Value
    drilled: Value
    strokes: float


def coarse_annuli(flow: Circulation) -> Segments:
    """Return the annuli as steel and rock cut them, however fine the circulation cuts them."""
    return annuli_between(flow.walls, flow.string)


def _widths(segments: Segments) -> dict[str, Value]:
    return {
        "annulus_outer_diameter": segments.value("annulus_outer_diameter", segments.outer_diameter),
        "annulus_inner_diameter": segments.value("annulus_inner_diameter", segments.inner_diameter),
    }


@kept(SOME)
def carried_by_every_law(flow: Circulation) -> tuple[Carried, ...]:
    """Return what every law says, that of the walk's own checks last."""
    segments = coarse_annuli(flow)
    mud = annulus_rheology(flow, segments)
    law = {name: mud[name] for name in ("yield_stress", "consistency_index", "flow_index")}
    viscosity = work(
        annulus_apparent_viscosity,
        flow_rate=flow.annulus_flow(segments),
        **_widths(segments),
        **law,
    )
    grain = {"cuttings_diameter": flow.cuttings_diameter, "cuttings_density": flow.cuttings_density}
    thin = {**grain, "fluid_density": mud["fluid_density"], "apparent_viscosity": viscosity}
    origin = Solved(
        "disc as wide as the chip and of its volume: two thirds of its diameter",
        "definition",
        (flow.cuttings_diameter,),
    )
    thickness = Value("cuttings_thickness", 2.0 / 3.0 * float(flow.cuttings_diameter), "m", origin)
    slips = {
        "Moore": work(slip_velocity_moore, **thin),
        "Walker and Mayes, flat chips": work(
            slip_velocity_walker_mayes, **grain, cuttings_thickness=thickness, **mud
        ),
        "Chien": work(slip_velocity_chien, **thin),
        "Haider and Levenspiel, drag law": work(slip_velocity_haider_levenspiel, **thin),
        OWN_LAW: slip(flow, segments, flow.fluid),
    }
    return tuple(_carried(flow, segments, law, "mud", one) for law, one in slips.items())


@kept(SOME)
def carried_by_water(flow: Circulation) -> Carried:
    """Return the same flow of sea water in place of the mud, by the law of the walk's checks."""
    segments = coarse_annuli(flow)
    return _carried(flow, segments, OWN_LAW, "sea water", slip(flow, segments, _water(flow)))


def _water(flow: Circulation) -> Fluid:
    return sea_water(flow.setting)


@kept(SOME)
def carried_by_sweep(flow: Circulation) -> Carried | None:
    """Return what a sweep that fills the annulus carries; None where there are none."""
    if flow.sweep is None:
        return None
    segments = coarse_annuli(flow)
    return _carried(flow, segments, OWN_LAW, "sweep", slip(flow, segments, flow.sweep[0]))


def _carried(flow: Circulation, segments: Segments, law: str, fluid: str, falls: Value) -> Carried:
    velocity = annulus_velocity(flow, segments).named("annulus_velocity")
    ratio = work(transport_ratio, annulus_velocity=velocity, slip_velocity=falls)
    fraction = work(
        cuttings_volume_fraction,
        rate_of_penetration=flow.rate_of_penetration,
        hole_diameter=flow.hole_diameter,
        flow_rate=flow.annulus_flow(segments),
        transport_ratio=ratio,
    )
    each = work(
        time_to_clean,
        annulus_length=segments.value("annulus_length", segments.length),
        annulus_velocity=velocity,
        slip_velocity=falls,
    )
    whole = Value(
        "time_to_clean",
        float(np.sum(each.si)),
        "s",
        Solved("sum over the annuli, bit to returns", "definition", (each,)),
    )
    return Carried(law, fluid, falls, ratio, fraction, whole)


def cleaned_by(flow: Circulation) -> Carried:
    """Return what cleans the hole: a sweep where there are sweeps, else mud by the slowest law."""
    sweep = carried_by_sweep(flow)
    if sweep is not None and not flow.on_riser:
        return sweep
    return max(carried_by_every_law(flow), key=lambda one: float(one.time))


@kept(SOME)
def bottoms_up(flow: Circulation) -> Value:
    """Return the time that mud takes from the bit to the returns."""
    segments = coarse_annuli(flow)
    velocity = annulus_velocity(flow, segments)
    each = segments.length / np.asarray(velocity.si)
    origin = Solved("length over velocity, annulus by annulus", "definition", (velocity,))
    return Value("time_to_clean", float(np.sum(each)), "s", origin)


def strokes(flow: Circulation, volume: float) -> float:
    """Return the strokes that pump a volume, with the liners of the flow."""
    pumps = flow.setting.vessel.pumps
    liner = pumps.liners[best_liner(flow)[0]]
    return volume / (liner.volume_per_stroke * pumps.volumetric_efficiency)


@kept(SOME)
def sweep_of(flow: Circulation, name: str) -> Sweep | None:
    """Return volume and spacing of the plan's sweeps; None where it has none."""
    if flow.sweep is None or float(flow.sweep[1]) <= 0.0:
        return None
    segments, share = coarse_annuli(flow), flow.sweep[1]
    height = flow.setting.basis.value("sweep_height", "height")
    area = 0.25 * np.pi * (segments.outer_diameter**2 - segments.inner_diameter**2)
    open_hole = np.array([kind == "open hole" for kind in segments.kinds])
    widest = float(np.max(np.where(open_hole, area, 0.0))) or float(np.max(area))
    how = FromWalk("widest annulus in open hole")
    volume = Value(
        "volume",
        float(height) * widest,
        "m3",
        Solved(
            "height of the sweep times the annulus",
            "definition",
            (height, Value("annulus_area", widest, "m2", how)),
        ),
    )
    each = float(volume) / float(flow.flow_rate)
    spacing = Value(
        "duration",
        each / float(share),
        "s",
        Solved(
            "time to pump one, over the share of time that sweeps are pumped",
            "definition",
            (volume, flow.flow_rate, share),
        ),
    )
    drilled = Value(
        "length",
        float(spacing) * float(flow.rate_of_penetration),
        "m",
        Solved("drilled meanwhile", "definition", (spacing, flow.rate_of_penetration)),
    )
    return Sweep(name, height, volume, spacing, drilled, strokes(flow, float(volume)))


def pumped_while(flow: Circulation, time: Value) -> Value:
    """Return the volume that the pumps move in a time, booster included."""
    rate = summed("flow_rate", "m3/s", "flow down the string and booster flow",
                  (flow.flow_rate, flow.booster_flow_rate))  # fmt: skip
    origin = Solved("flow times time", "definition", (rate, time))
    return Value("volume", float(rate) * float(time), "m3", origin)
