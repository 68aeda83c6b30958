"""Volumes of a cement job and of plugs, from the hole as it stands."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bathybore.base.once import once
from bathybore.base.working import FromWalk, Value, summed, work
from bathybore.kernels.cement import annular_volume, cement_mass, pipe_volume
from bathybore.model.plan import Casing, Slurry
from bathybore.operations.geometry import Length, Segments, annuli_round, bores
from bathybore.operations.state import (
    CasingInPlace,
    HoleState,
    PlugInPlace,
)


@dataclass(frozen=True)
class CementVolumes:
    """Slurry and displacement of one job [m3]."""

    lead: Value
    tail: Value
    shoe_track: Value
    slurry: Value
    displacement: Value


def _total(name: str, pieces: list[Value], how: str) -> Value:
    return summed(name, "m3", how, pieces)


def hole_before(state: HoleState, casing: CasingInPlace) -> HoleState:
    """Return the hole as it was while the casing hung in it: its own wall is not there yet."""
    others = tuple(c for c in state.casings if c.name != casing.name)
    return replace(state, casings=others, open_hole=casing.hole)


@once
def annulus_of(state: HoleState, casing: CasingInPlace) -> Segments:
    """Return the annulus round landing string and casing, from the top of the column down."""
    string = state.activity.string or state.string
    parts = string.parts if string is not None else ()
    pipe = float(casing.pipe.outside_diameter)
    lengths = [Length(casing.name, pipe, float(casing.top), float(casing.shoe))]
    lengths += [
        Length(
            part.pipe.name,
            float(part.pipe.outside_diameter),
            float(part.top),
            min(float(part.bottom), float(casing.top)),
        )
        for part in parts
        if part.top < casing.top
    ]
    return annuli_round(hole_before(state, casing), lengths)


def _annulus(
    state: HoleState, casing: CasingInPlace, top: float, bottom: float, excess: Value
) -> list[Value]:
    """Volumes of the annulus outside a casing, bore by bore; excess in open hole only."""
    segments = annulus_of(state, casing)
    none = Value("excess", 0.0, "-", FromWalk("cased hole: no excess"))
    pieces: list[Value] = []
    for index in range(len(segments)):
        upper = max(float(segments.top[index]), top)
        lower = min(float(segments.bottom[index]), bottom)
        if lower - upper < 1e-6:
            continue
        how = FromWalk(f"{segments.names[index]}, cemented part")
        pieces.append(
            work(
                annular_volume,
                hole_diameter=Value(
                    "hole_diameter", float(segments.outer_diameter[index]), "m", how
                ),
                casing_outside_diameter=casing.pipe.outside_diameter,
                length=Value("length", lower - upper, "m", how),
                excess=excess if segments.kinds[index] == "open hole" else none,
            )
        )
    return pieces


@once
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
    return CementVolumes(lead, tail, track, slurry, _displacement(state, casing))


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
