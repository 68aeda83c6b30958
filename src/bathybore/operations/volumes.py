"""Volumes of a cement job and of plugs, from the hole as it stands."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.cement import annular_volume, cement_mass, pipe_volume
from bathybore.model.plan import Casing, Slurry
from bathybore.operations.geometry import bores
from bathybore.operations.state import CasingInPlace, HoleState, PlugInPlace


@dataclass(frozen=True)
class CementVolumes:
    """Slurry and displacement of one job [m3]."""

    lead: Value
    tail: Value
    slurry: Value
    displacement: Value


def _total(name: str, pieces: list[Value], how: str) -> Value:
    origin = Solved(how, "definition", tuple(pieces))
    return Value(name, sum(float(p) for p in pieces), "m3", origin)


def _annulus(
    state: HoleState, casing: CasingInPlace, top: float, bottom: float, excess: Value
) -> list[Value]:
    """Volumes of the annulus outside a casing, bore by bore; excess in open hole only."""
    before = tuple(c for c in state.casings if c.name != casing.name)
    pieces: list[Value] = []
    edges = sorted({top, bottom, *(c.shoe for c in before if top < c.shoe < bottom)})
    none = Value("excess", 0.0, "-", FromWalk("cased hole: no excess"))
    for upper, lower in pairwise(edges):
        outer, cased = _outside(before, casing, 0.5 * (upper + lower))
        pieces.append(
            work(
                annular_volume,
                hole_diameter=outer,
                casing_outside_diameter=casing.pipe.outside_diameter,
                length=Value("length", lower - upper, "m", FromWalk("cemented interval")),
                excess=none if cased else excess,
            )
        )
    return pieces


def _outside(
    before: tuple[CasingInPlace, ...], casing: CasingInPlace, z: float
) -> tuple[Value, bool]:
    """Return what stands outside a casing at a place: the innermost casing there, or the hole."""
    around = [c for c in before if c.top <= z <= c.shoe]
    if not around:
        return casing.hole_diameter, False
    return min((c.pipe.inside_diameter for c in around), key=float), True


def cement_volumes(state: HoleState, casing: CasingInPlace) -> CementVolumes:
    """Return the volumes of the job that cements ``casing``; the casing may be in place or not."""
    plan = casing.plan
    if not isinstance(plan, Casing):
        raise LookupError(f"{casing.name} is not cemented")
    hole, job = state.hole, plan.cement
    top = max(hole.z(job.top), casing.top)
    tail_top = hole.z(job.tail_top) if job.tail_top is not None else top
    excess = job.value("excess")
    lead = _total(
        "slurry_volume",
        _annulus(state, casing, top, tail_top, excess) if tail_top > top else [],
        "annulus filled by the lead slurry",
    )
    track = work(
        pipe_volume,
        inside_diameter=casing.pipe.inside_diameter,
        length=job.value("shoe_track", "length"),
    )
    tail = _total(
        "slurry_volume",
        [*_annulus(state, casing, tail_top, casing.shoe, excess), track],
        "annulus filled by the tail slurry, and the shoe track",
    )
    slurry = _total("slurry_volume", [lead, tail], "lead and tail")
    return CementVolumes(lead, tail, slurry, _displacement(state, casing))


def _displacement(state: HoleState, casing: CasingInPlace) -> Value:
    """Return what is pumped behind the slurry: the landing string and the casing, or a stinger."""
    plan = casing.plan
    assert isinstance(plan, Casing)
    string = state.activity.string or state.string
    pieces: list[Value] = []
    if string is not None:
        for part in string.parts:
            length = Value("length", part.length, "m", FromWalk(f"length of {part.pipe.name}"))
            pieces.append(
                work(pipe_volume, inside_diameter=part.pipe.inside_diameter, length=length)
            )
    inside = casing.pipe.inside_diameter
    if plan.cement.through_inner_string and string is not None:
        inside = string.parts[0].pipe.inside_diameter
    metres = casing.shoe - casing.top - plan.cement.shoe_track
    how = FromWalk("top of casing to the float collar")
    pieces.append(
        work(pipe_volume, inside_diameter=inside, length=Value("length", metres, "m", how))
    )
    return _total("displacement_volume", pieces, "string and casing down to the float collar")


def cement_masses(state: HoleState, casing: CasingInPlace) -> tuple[Value, ...]:
    """Return the cement of a job by slurry: lead (where there is one) and tail."""
    plan = casing.plan
    if not isinstance(plan, Casing):
        raise LookupError(f"{casing.name} is not cemented")
    volumes, slurries = cement_volumes(state, casing), state.hole.plan.slurries
    tail = plan.cement.tail_slurry or plan.cement.slurry
    jobs = ((plan.cement.slurry, volumes.lead), (tail, volumes.tail))
    return tuple(_mass(slurries[name], volume) for name, volume in jobs if float(volume) > 0.0)


def plug_masses(state: HoleState) -> tuple[Value, ...]:
    """Return the cement of each plug."""
    plans, slurries = state.hole.plan.leaving.plugs, state.hole.plan.slurries
    pairs = zip(plans, state.plugs, strict=True)
    return tuple(_mass(slurries[plan.slurry], plug_volume(state, plug)) for plan, plug in pairs)


def _mass(slurry: Slurry, volume: Value) -> Value:
    return work(
        cement_mass,
        slurry_volume=volume.named("slurry_volume"),
        slurry_yield=slurry.value("slurry_yield"),
    )


def plug_volume(state: HoleState, plug: PlugInPlace) -> Value:
    """Return the slurry a plug takes, over the bores it spans."""
    pieces = []
    for bore in bores(state):
        top, bottom = max(bore.top, plug.top), min(bore.bottom, plug.bottom)
        if bottom > top:
            pieces.append(
                work(
                    pipe_volume,
                    inside_diameter=Value(
                        "inside_diameter", bore.diameter, "m", FromWalk(f"bore of {bore.name}")
                    ),
                    length=Value("length", bottom - top, "m", FromWalk("length of the plug")),
                )
            )
    return _total("volume", pieces, "hole over the length of the plug")
