"""Does pipe bear hanging in open water, where the current bends it and its weight pulls it?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.kernels.soft_string import bending_stress_from_dogleg
from bathybore.kernels.tubular_stress import axial_stress_of_force
from bathybore.operations.catalogue_pipes import CasingPipe
from bathybore.operations.columns import depths_of
from bathybore.operations.open_water import (
    Hanging,
    InCurrent,
    Piece,
    in_current,
    reaching,
    working,
)
from bathybore.operations.sea_conditions import current_note
from bathybore.operations.state import HoleState

_CAUTION = (
    "Static, the current from one side at all depths: waves, the vessel's motion, its heading and "
    "offset, and vibration by vortices come on top. Held upright at the drill floor."
)
OFFSET = Question(
    "open-water-offset",
    Discipline.STEEL,
    "Does the conductor come down inside the target radius though the current carries it off?",
    "Stand as far up-current as it is carried off; a heavier string; wait for less current.",
    "Counted for a vessel that stands over the chart point.",
)


def open_water_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge what hangs in open water in a step without a riser."""
    step = state.step.name
    for name, hanging in (("reaching", reaching(state)), ("working", working(state))):
        if hanging is not None:
            yield _bent(step, name, hanging)
    conductor, hanging = state.hanging_casing, reaching(state)
    if conductor is not None and conductor.is_conductor and hanging is not None:
        yield _offset(step, hanging)


@kept(SOME)
def _bent(step: str, name: str, hanging: Hanging) -> CheckRecord:
    setting, bent = hanging.setting, in_current(hanging)
    question = Question(
        f"open-water-{name}",
        Discipline.STEEL,
        f"Does every pipe bear its pull and the bending by the current: {hanging.moment}?",
        "Thicker or stronger pipe at the top, a guide or bending restrictor, less current.",
        _CAUTION,
    )
    note = ""
    if hanging.below is None:
        note = f"The current carries the foot {float(bent.foot_offset):.1f} m off."
    return judge(
        step,
        question,
        _stress(bent),
        _strength(hanging),
        setting.basis.tight_band,
        depths_of(setting, hanging.ends),
        current_note(setting),
        note,
    )


def _stress(bent: InCurrent) -> Value:
    """Return the greatest stress along the pipe: pull, raised by heave, and bending.

    With sea water inside and outside the pressures add no shear: effective tension over the
    steel is what von Mises sees of the axial stress.
    """
    hanging = bent.hanging
    pull = work(
        axial_stress_of_force,
        axial_force=hanging.tension,
        outside_diameter=hanging.of_pieces("outside_diameter", "m", _outside_that_bears),
        wall=hanging.of_pieces("wall", "m", _wall_that_bears),
    )
    bending = work(
        bending_stress_from_dogleg,
        outside_diameter=hanging.of_pieces(
            "outside_diameter", "m", lambda piece: piece.pipe.outside_diameter
        ),
        dogleg_severity=bent.curvature,
        young_modulus=hanging.of_pieces("young_modulus", "Pa", lambda piece: piece.young_modulus),
    )
    heave = hanging.setting.vessel.hoist.value("heave_residual_load")
    origin = Solved(
        "axial stress, raised by the heave that compensation leaves, and bending stress",
        "definition",
        (pull, heave, bending),
    )
    stress = np.asarray(pull.si) * (1.0 + float(heave)) + np.asarray(bending.si)
    return Value("axial_stress", stress, "Pa", origin, -1)


def _outside_that_bears(piece: Piece) -> Value:
    pipe = piece.pipe
    return pipe.outside_diameter if isinstance(pipe, CasingPipe) else pipe.worn_outside_diameter


def _wall_that_bears(piece: Piece) -> Value:
    pipe = piece.pipe
    if isinstance(pipe, CasingPipe):
        return pipe.wall
    share = pipe.stock.value("remaining_wall")
    origin = Solved("share of the wall that is left", "definition", (pipe.wall, share))
    return Value("wall", float(pipe.wall) * float(share), "m", origin)


def _strength(hanging: Hanging) -> Value:
    """Return the stress that each pipe may bear: the shares of pure tension, casing and string."""
    basis = hanging.setting.basis
    share, factor = basis.value("string_tension_share"), basis.value("tension_factor")

    def may(piece: Piece) -> Value:
        strength = piece.pipe.yield_strength
        if isinstance(piece.pipe, CasingPipe):
            told, number, by = "over the tension factor", float(strength) / float(factor), factor
        else:
            told, number, by = "times the share in use", float(strength) * float(share), share
        origin = Solved(f"yield strength of {piece.pipe.name} {told}", "definition", (strength, by))
        return Value("yield_strength", number, "Pa", origin)

    return hanging.of_pieces("yield_strength", "Pa", may)


@kept(SOME)
def _offset(step: str, hanging: Hanging) -> CheckRecord:
    setting = hanging.setting
    radius = setting.site.value("target_radius", "foot_offset")
    place = setting.depth(float(setting.sea_bed))
    return judge(
        step, OFFSET, in_current(hanging).foot_offset, radius, setting.basis.tight_band, place,
        current_note(setting),
    )  # fmt: skip
