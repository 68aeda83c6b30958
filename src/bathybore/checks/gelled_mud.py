"""Does the rock bear the pressure that starts mud which has gelled?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.checks.window import at_rest, bound_high, open_nodes, with_equivalents
from bathybore.kernels.pipe_flow import annulus_gel_breaking_gradient
from bathybore.kernels.rheology import viscometer_shear_stress
from bathybore.kernels.segments import pressure_over_segments
from bathybore.model.hole import Setting
from bathybore.model.plan import Fluid
from bathybore.operations.circulation import string_fits
from bathybore.operations.columns import depths_of
from bathybore.operations.geometry import Segments, annuli
from bathybore.operations.state import HoleState

BREAKING = Question(
    "breaking-circulation",
    Discipline.WINDOW,
    "With the bit at bottom, does the rock bear the pressure that breaks the gel of the mud, "
    "margin included, at every open depth?",
    "Turn the string before the pumps start, break circulation on the way down, or thin the mud.",
    "Gel after ten minutes, broken all along the annulus at once. Mud that stands longer, or "
    "colder than its readings, gels more; a string that turns breaks it first. Cuttings left in "
    "the hole are not in it.",
)


def gel_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the start of the pumps where the mud's readings tell its gel."""
    string, fluid = state.activity.string, state.activity.fluid
    if string is None or fluid is None or state.activity.section is None:
        return
    if all(one.gel_10_seconds is None and one.gel_10_minutes is None for one in fluid.readings):
        return
    if not string_fits(state):
        yield unjudged(state.step.name, BREAKING, "the string does not fit; see string-fits")
        return
    gel = gel_of(fluid)
    if gel is None:
        yield unjudged(state.step.name, BREAKING, "no gel_10_minutes among the mud's readings")
        return
    z, setting = open_nodes(state), state.hole.setting
    segments, rest = annuli(state, string), at_rest(state, z)
    yield _judged(state.step.name, setting, segments, gel, z, rest, bound_high(state, z))


@kept(SOME)
def gel_of(fluid: Fluid) -> Value | None:
    """Return the greatest gel strength after ten minutes among a mud's readings; None if untold."""
    told = [one for one in fluid.readings if one.gel_10_minutes is not None]
    if not told:
        return None
    stiffest = max(told, key=lambda one: float(one.value("gel_10_minutes")))
    dial = stiffest.value("gel_10_minutes", "dial_reading")
    return work(viscometer_shear_stress, dial_reading=dial).named("gel_strength")


@kept(SOME)
def _judged(
    step: str, setting: Setting, segments: Segments, gel: Value, z: Array, rest: Value, borne: Value
) -> CheckRecord:
    gradient = work(
        annulus_gel_breaking_gradient,
        gel_strength=gel,
        annulus_outer_diameter=segments.value("annulus_outer_diameter", segments.outer_diameter),
        annulus_inner_diameter=segments.value("annulus_inner_diameter", segments.inner_diameter),
    )
    starts = work(
        pressure_over_segments,
        pressure_gradient=gradient.named("pressure_gradient"),
        segment_length=segments.length_above(z),
    )
    how = Solved("mud at rest, and the gel of the annulus above", "definition", (rest, starts))
    pressed = Value("pressure", np.asarray(rest.si) + np.asarray(starts.si), "Pa", how, -1)
    band, places = setting.basis.tight_band_window, depths_of(setting, z)
    return with_equivalents(setting, judge(step, BREAKING, pressed, borne, band, places))
