"""Volumes of a cement job and of plugs, from the hole as it stands."""

from __future__ import annotations

from dataclasses import dataclass

from bathybore.base.depth import BelowSeaLevel
from bathybore.base.keeping import SOME, kept, same
from bathybore.base.working import FromWalk, Value, summed, work
from bathybore.kernels.cement import annular_volume, cement_mass, pipe_volume
from bathybore.model.hole import Setting
from bathybore.model.plan import Casing, Slurry
from bathybore.operations.geometry import (
    Bore,
    Length,
    Segments,
    annuli_round,
    bores,
    lengths_of,
    walls,
)
from bathybore.operations.state import (
    CasingInPlace,
    HoleState,
    PlugInPlace,
    Riser,
    StringInHole,
)


@dataclass(frozen=True, eq=False)
class CementVolumes:
    """Slurry and displacement of one job [m3]."""

    lead: Value
    tail: Value
    shoe_track: Value
    slurry: Value
    displacement: Value


def _total(name: str, pieces: list[Value], how: str) -> Value:
    return summed(name, "m3", how, pieces)


def annulus_of(state: HoleState, casing: CasingInPlace) -> Segments:
    """Return the annulus round landing string and casing, from the top of the column down.

    The hole is taken as it was while the casing hung in it: its own wall is not there yet.
    """
    bed, string = state.hole.sea_bed, landing_string(state)
    return _annulus_of(casing, string, bed, state.bottom, state.riser, state.casings)


@kept(SOME)
def _annulus_of(
    casing: CasingInPlace,
    string: StringInHole | None,
    sea_bed: BelowSeaLevel,
    bottom: BelowSeaLevel,
    riser: Riser | None,
    casings: tuple[CasingInPlace, ...],
) -> Segments:
    others = tuple(c for c in casings if c.name != casing.name)
    pipe = float(casing.pipe.outside_diameter)
    cased = same(Length(casing.name, pipe, float(casing.top), float(casing.shoe)))
    above = () if string is None else lengths_of(string, float(casing.top))
    return annuli_round(walls(sea_bed, bottom, riser, others, casing.hole), (cased, *above))


def landing_string(state: HoleState) -> StringInHole | None:
    """Return the string that a casing hangs on in the step."""
    return state.activity.string or state.string


def _annulus(
    segments: Segments, casing: CasingInPlace, top: float, bottom: float, excess: Value
) -> list[Value]:
    """Volumes of the annulus outside a casing, bore by bore; excess in open hole only."""
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


def cement_volumes(state: HoleState, casing: CasingInPlace) -> CementVolumes:
    """Return the volumes of the job that cements ``casing``; the casing may be in place or not."""
    return volumes_of_job(
        state.hole.setting, casing, annulus_of(state, casing), landing_string(state)
    )


@kept(SOME)
def volumes_of_job(
    setting: Setting, casing: CasingInPlace, annulus: Segments, string: StringInHole | None
) -> CementVolumes:
    """Return the volumes of a cement job from the annulus it fills and the string it goes down."""
    plan = casing.plan
    if not isinstance(plan, Casing):
        raise LookupError(f"{casing.name} is not cemented")
    job = plan.cement
    top = max(setting.z(job.top), casing.top)
    tail_top = setting.z(job.tail_top) if job.tail_top is not None else top
    excess = job.value("excess")
    lead = _total(
        "slurry_volume",
        _annulus(annulus, casing, top, tail_top, excess) if tail_top > top else [],
        "annulus filled by the lead slurry",
    )
    track = work(
        pipe_volume,
        inside_diameter=casing.pipe.inside_diameter,
        length=job.value("shoe_track", "length"),
    )
    tail = _total(
        "slurry_volume",
        [*_annulus(annulus, casing, tail_top, casing.shoe, excess), track],
        "annulus filled by the tail slurry, and the shoe track",
    )
    slurry = _total("slurry_volume", [lead, tail], "lead and tail")
    return CementVolumes(lead, tail, track, slurry, _displacement(casing, string))


def _displacement(casing: CasingInPlace, string: StringInHole | None) -> Value:
    """Return what is pumped behind the slurry: the landing string and the casing, or a stinger."""
    plan = casing.plan
    assert isinstance(plan, Casing)
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


def cement_masses(state: HoleState, casing: CasingInPlace) -> tuple[tuple[str, Value], ...]:
    """Return the slurries of a job and the cement in them: lead (where there is one) and tail."""
    plan = casing.plan
    if not isinstance(plan, Casing):
        raise LookupError(f"{casing.name} is not cemented")
    volumes, slurries = cement_volumes(state, casing), state.hole.plan.slurries
    tail = plan.cement.tail_slurry or plan.cement.slurry
    jobs = ((plan.cement.slurry, volumes.lead), (tail, volumes.tail))
    return tuple(
        (name, _mass(slurries[name], volume)) for name, volume in jobs if float(volume) > 0.0
    )


def plug_masses(state: HoleState) -> tuple[Value, ...]:
    """Return the cement of each plug."""
    plans, slurries = state.hole.plan.leaving.plugs, state.hole.plan.slurries
    pairs = zip(plans, state.plugs, strict=True)
    return tuple(_mass(slurries[plan.slurry], plug_volume(state, plug)) for plan, plug in pairs)


@kept(SOME)
def _mass(slurry: Slurry, volume: Value) -> Value:
    return work(
        cement_mass,
        slurry_volume=volume.named("slurry_volume"),
        slurry_yield=slurry.value("slurry_yield"),
    )


def plug_volume(state: HoleState, plug: PlugInPlace) -> Value:
    """Return the slurry a plug takes, over the bores it spans."""
    return _plug_volume(bores(state), plug)


@kept(SOME)
def _plug_volume(bores: tuple[Bore, ...], plug: PlugInPlace) -> Value:
    pieces = []
    for bore in bores:
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
