"""Does a casing that is run empty sink by itself?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.kernels.cement import steel_displacement
from bathybore.model.hole import Setting
from bathybore.model.plan import Casing, Fluid
from bathybore.operations.columns import gravity_value
from bathybore.operations.sea_fluid import sea_water
from bathybore.operations.state import CasingInPlace, HoleState

FLOATS = Question(
    "floats",
    Discipline.CEMENT,
    "Is the casing heavier than the mud it pushes aside while it is run on its float, unfilled?",
    "Fill it on the way down, or a heavier pipe.",
    "Taken as quite empty: what is filled in helps it down, and asks less of its collapse.",
)


def floating_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Judge a casing at its depth that the plan runs without filling."""
    casing = state.hanging_casing
    if casing is None or not isinstance(casing.plan, Casing):
        return
    if not casing.plan.filled_while_running:
        fluid = casing.outside_fluid or sea_water(state.hole)
        yield _floats(state.step.name, state.hole.setting, casing, fluid)


@kept(SOME)
def _floats(step: str, setting: Setting, casing: CasingInPlace, fluid: Fluid) -> CheckRecord:
    length = Value("length", casing.shoe - casing.top, "m", FromWalk(f"length of {casing.name}"))
    closed = Value("inside_diameter", 0.0, "m", FromWalk("closed by its float, and empty"))
    aside = work(
        steel_displacement,
        outside_diameter=casing.pipe.outside_diameter,
        inside_diameter=closed,
        length=length,
    )
    gravity, density = gravity_value(setting), fluid.value("density")
    lifted = Value(
        "load",
        float(aside) * float(density) * float(gravity),
        "N",
        Solved("weight of the mud pushed aside", "definition", (aside, density, gravity)),
    )
    mass = casing.pipe.linear_mass
    weight = Value(
        "load",
        float(mass) * float(length) * float(gravity),
        "N",
        Solved("weight of the casing in air", "definition", (mass, length, gravity)),
    )
    return judge(step, FLOATS, lifted, weight, setting.basis.tight_band)
