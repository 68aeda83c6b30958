"""Does the hole go where it is meant to, and bend no more than pipe and casing bear?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from bathybore.base.depth import Depth
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromTable, FromWalk, Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.model.hole import Setting
from bathybore.operations.state import HoleState
from bathybore.operations.survey_path import SurveyPath, survey_path

INCLINATION = Question(
    "hole-inclination",
    Discipline.FIT,
    "Does the hole stay near enough to the vertical here?",
    "A stiffer assembly, less weight on bit, a motor to bring it back.",
)
DOGLEG = Question(
    "dogleg",
    Discipline.FIT,
    "Does the hole bend gently enough for pipe and casing?",
    "A stiffer assembly, reaming of the bend, changes spread over more length.",
    "Between stations the hole may bend more than the survey can show.",
)
DISPLACEMENT = Question(
    "target-displacement",
    Discipline.FIT,
    "Does the hole meet its target seen from above?",
    "Start the hole on the other side of the target, or bring it back.",
    "Errors of the survey itself are not counted.",
)
SHORTFALL = Question(
    "depth-shortfall",
    Discipline.FIT,
    "Is the length along the hole near enough to its true depth at the target?",
    "Count depth by the survey and not by the pipe; take more pipe.",
    "All other checks of this walk take the hole as vertical.",
)

_ROUNDING = 1e-6  # m
_TOUCH = 0.1  # m; a station set at the end of a section is not in the next


def survey_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge the stretch of a surveyed hole that a step drills, and the target that it reaches."""
    setting, activity = state.hole.setting, state.activity
    path = survey_path(setting)
    if path is None or activity.start is None or activity.end is None:
        return
    step, sea_bed = state.step.name, setting.sea_bed
    top, bottom = float(activity.start - sea_bed), float(activity.end - sea_bed)
    yield _inclination(step, setting, path, top, bottom)
    if float(path.along(top)) < float(path.measured[-1]):
        yield _dogleg(step, setting, path, top, bottom)
    target = float(state.hole.z(state.hole.plan.target) - sea_bed)
    if top < target <= bottom + _ROUNDING:
        yield _displacement(step, setting, path, target)
        yield _shortfall(step, setting, path, target)


def _note(path: SurveyPath, bottom: float) -> str:
    if bottom <= path.deepest + 1e-6:
        return ""
    last = f"{path.deepest:.0f} m below sea bed"
    return f"Below the last station, {last}, the hole is taken as straight."


def _places(setting: Setting, path: SurveyPath, measured: np.ndarray) -> Sequence[Depth]:
    depths = path.position(measured)[..., 2] + setting.sea_bed
    return tuple(setting.depth(float(z)) for z in depths)


@kept(SOME)
def _inclination(
    step: str, setting: Setting, path: SurveyPath, top: float, bottom: float
) -> CheckRecord:
    """Judge at both ends of the stretch and at the stations in it: on an arc no more is met.

    The greatest inclination of an arc lies at one of its ends but where the hole swings
    round the vertical, which passes through less of it.
    """
    start, end = float(path.along(top)), float(path.along(bottom))
    inside = path.measured[(path.measured > start) & (path.measured < end)]
    nodes = np.concatenate([[start], inside, [end]])
    origin = FromTable(path.table.file, "inclination at the stations, on arcs between", "given")
    demand = Value("inclination", path.inclination(nodes), "rad", origin, -1)
    limit = setting.basis.value("greatest_hole_inclination", "inclination")
    places, note = _places(setting, path, nodes), _note(path, bottom)
    return judge(step, INCLINATION, demand, limit, setting.basis.tight_band, places, note=note)


@kept(SOME)
def _dogleg(
    step: str, setting: Setting, path: SurveyPath, top: float, bottom: float
) -> CheckRecord:
    """Judge every arc that the stretch touches."""
    start, end = float(path.along(top)), float(path.along(bottom))
    heads, feet = np.maximum(path.measured[:-1], start), np.minimum(path.measured[1:], end)
    touched = np.flatnonzero(feet - heads > _TOUCH)
    if not touched.size:  # a stretch shorter than a touch: the arc it lies in
        touched = np.array([int(np.argmax(feet - heads))])
    demand = path.dogleg_of(touched)
    middle = 0.5 * (heads + feet)[touched]
    limit = setting.basis.value("greatest_dogleg", "dogleg_severity")
    places, note = _places(setting, path, middle), _note(path, bottom)
    return judge(step, DOGLEG, demand, limit, setting.basis.tight_band, places, note=note)


@kept(SOME)
def _displacement(step: str, setting: Setting, path: SurveyPath, target: float) -> CheckRecord:
    at = path.position(path.along(target))
    how = FromTable(path.table.file, "arcs from the sea bed to the target", "taylor-mason-1972")
    ways = (
        Value("northing_increment", float(at[..., 0]), "m", how),
        Value("easting_increment", float(at[..., 1]), "m", how),
    )
    demand = Value(
        "horizontal_displacement",
        float(np.hypot(at[..., 0], at[..., 1])),
        "m",
        Solved(
            "northing and easting together: $r_h = sqrt(Delta N^2 + Delta E^2)$",
            "definition",
            ways,
        ),
    )
    site = setting.site
    field = "target_radius" if site.deep_target_radius is None else "deep_target_radius"
    limit = site.value(field, "horizontal_displacement")
    place, note = setting.depth(target + setting.sea_bed), _note(path, target)
    return judge(step, DISPLACEMENT, demand, limit, setting.basis.tight_band, place, note=note)


@kept(SOME)
def _shortfall(step: str, setting: Setting, path: SurveyPath, target: float) -> CheckRecord:
    length = float(path.along(target))
    origin = FromTable(path.table.file, "length along the arcs to the target", "given")
    along = Value("measured_depth_below_sea_bed", length, "m", origin)
    depth = Value("depth_below_sea_bed", target, "m", FromWalk("depth of the target"))
    demand = Value(
        "depth_shortfall",
        length - target,
        "m",
        Solved("length along the hole less true vertical depth", "definition", (along, depth)),
    )
    limit = setting.basis.value("greatest_depth_shortfall", "depth_shortfall")
    place, note = setting.depth(target + setting.sea_bed), _note(path, target)
    return judge(step, SHORTFALL, demand, limit, setting.basis.tight_band, place, note=note)
