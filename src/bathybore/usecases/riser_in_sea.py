"""The riser in the sea: shape, modes, waves, vibration, hang-off; pipe that hangs without it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from bathybore.base.errors import InputErrors, NotConverged
from bathybore.checks.open_water import open_water_checks
from bathybore.checks.record import CheckRecord
from bathybore.checks.riser_fatigue import sea_fatigue_studies
from bathybore.checks.riser_in_sea import riser_of, riser_studies, vortex_studies
from bathybore.checks.riser_wear import wear_studies
from bathybore.operations.hung_riser import hung_on_tensioners, hung_riser
from bathybore.operations.open_water import InCurrent, in_current, reaching, working
from bathybore.operations.riser_in_waves import swaying, swinging
from bathybore.operations.riser_shape import SeaRiser, lying
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.usecases.placing_told import asked
from bathybore.usecases.riser_told import (
    NotFound,
    OpenWater,
    RiserHungOff,
    RiserModes,
    RiserPart,
    RiserShape,
    RiserVibration,
    RiserWaves,
    SeaPart,
)

if TYPE_CHECKING:
    from bathybore.usecases.walking import Walk

_LET_GO: Final = (StepKind.RETRIEVE_RISER, StepKind.DEPART)
_JUDGED: Final = (StepKind.RUN_CONDUCTOR, StepKind.RUN_CASING, StepKind.PLUG)
_HANGING: Final = (*_JUDGED, StepKind.DRILL, StepKind.CORE)


def _shape(walk: Walk, riser: SeaRiser, records: tuple[CheckRecord, ...]) -> SeaPart:
    try:
        lost = lying(riser, True)
    except NotConverged:
        lost = None  # told as lying over
    return RiserShape(walk.hole, lying(riser, False), lost, swaying(riser), records)


def _modes(walk: Walk, riser: SeaRiser, records: tuple[CheckRecord, ...]) -> SeaPart:
    return RiserModes(walk.hole, swinging(riser), hung_riser(riser), records)


def _waves(walk: Walk, riser: SeaRiser, records: tuple[CheckRecord, ...]) -> SeaPart:
    return RiserWaves(walk.hole, swaying(riser), records)


def _vibration(walk: Walk, riser: SeaRiser, records: tuple[CheckRecord, ...]) -> SeaPart:
    return RiserVibration(walk.hole, swinging(riser), records)


def _hung_off(walk: Walk, riser: SeaRiser, records: tuple[CheckRecord, ...]) -> SeaPart:
    return RiserHungOff(walk.hole, hung_riser(riser), hung_on_tensioners(riser), records)


_Made = Callable[["Walk", SeaRiser, tuple[CheckRecord, ...]], SeaPart]
_MADE: Final[dict[str, tuple[type[Any], _Made, tuple[str, ...]]]] = {
    RiserShape.name: (
        RiserShape,
        _shape,
        (
            "flex-joint",
            "flex-joint-after-loss",
            "upper-flex-joint",
            "stroke",
            "riser-stress",
            "riser-wear",
            "riser-wear-along",
        ),
    ),
    RiserModes.name: (RiserModes, _modes, ()),
    RiserWaves.name: (
        RiserWaves,
        _waves,
        (
            "lower-flex-joint-in-waves",
            "upper-flex-joint-in-waves",
            "riser-stress-in-waves",
            "riser-wave-fatigue",
            "riser-sea-fatigue",
        ),
    ),
    RiserVibration.name: (RiserVibration, _vibration, ("riser-vortex-fatigue",)),
    RiserHungOff.name: (
        RiserHungOff,
        _hung_off,
        (
            "hang-off-compression",
            "hang-off-peak",
            "soft-hang-off-compression",
            "soft-hang-off-peak",
            "soft-hang-off-stroke",
            "riser-recoil",
        ),
    ),
}
PARTS: Final = (*_MADE, OpenWater.name)


def part_of(walk: Walk, part: str) -> RiserPart | None:
    """Return a part by its name; None where the hole has none of it."""
    if part == OpenWater.name:
        try:
            return _open_water(walk)
        except NotConverged as error:
            return NotFound(walk.hole, part, OpenWater.title, str(error), ())
    riser, (kind, make, names) = _riser(walk), _MADE[part]
    if riser is None:
        return None
    records = _records(walk, names)
    try:
        return make(walk, riser, records)
    except NotConverged as error:
        return NotFound(walk.hole, part, kind.title, str(error), records)


def parts_of(walk: Walk, part: str = "") -> tuple[RiserPart, ...]:
    """Return all that is told of the riser in order, or one part.

    Raises
    ------
    InputErrors
        The part wants a riser and the hole has none.
    """
    found = [part_of(walk, name) for name in PARTS if part in ("", name)]
    told = tuple(one for one in found if one is not None)
    if part and not told:
        there = "no riser with preventer, tensioners and mud"
        if part == OpenWater.name:
            there = "no pipe that hangs in open water"
        hint = (
            "What hangs in open water is told by open-water."
            if part_of(walk, OpenWater.name)
            else ""
        )
        raise InputErrors.one(part, there, "a hole that has it", hint)
    return told


def _riser(walk: Walk) -> SeaRiser | None:
    """Return the riser where a step of the walk runs one."""
    landed = _first(walk, StepKind.RUN_RISER)
    return None if landed is None else riser_of(landed)


def _records(walk: Walk, names: tuple[str, ...]) -> tuple[CheckRecord, ...]:
    found: list[CheckRecord] = []
    landed, leaving = _first(walk, StepKind.RUN_RISER), _first(walk, *_LET_GO)
    leavers = (vortex_studies, sea_fatigue_studies, wear_studies)
    for state, askers in ((landed, (riser_studies,)), (leaving, leavers)):
        if state is not None:
            found += asked(walk, state, lambda one: one.name in names, *askers)
    return tuple(found)


def _first(walk: Walk, *kinds: StepKind) -> HoleState | None:
    return next((one for one in walk.states if one.step.kind in kinds), None)


def _open_water(walk: Walk) -> OpenWater | None:
    hanging: list[tuple[str, InCurrent]] = []
    records: list[CheckRecord] = []
    for state in walk.states:
        if state.step.kind not in _HANGING:
            continue
        found = [one for one in (reaching(state), working(state)) if one is not None]
        hanging += [(state.step.title, in_current(one)) for one in found]
        if found and state.step.kind in _JUDGED:
            records += asked(
                walk, state, lambda one: one.name.startswith("open-water"), open_water_checks
            )
    if not hanging:
        return None
    has_riser = _riser(walk) is not None
    return OpenWater(walk.hole, tuple(hanging), has_riser, tuple(records))
