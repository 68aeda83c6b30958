"""Do the welds of the riser bear the sea states of the place while it is connected?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import SOME, kept
from bathybore.base.units import show
from bathybore.base.working import FromTable, FromWalk, Solved, Value
from bathybore.checks.record import CheckRecord, Discipline, Question, judge
from bathybore.checks.riser_in_sea import connected_since_landing
from bathybore.model.tables import ProfileTable
from bathybore.operations.riser_fatigue import SeaFatigue, place_scatter, sea_fatigue
from bathybore.operations.riser_loads import RiserGear
from bathybore.operations.riser_shape import sea_riser
from bathybore.operations.state import HoleState
from bathybore.operations.steps import StepKind
from bathybore.operations.vessel_motions import hull_inputs

SEA_FATIGUE = Question(
    "riser-sea-fatigue",
    Discipline.RISER,
    "Over the sea states of the place, do the girth welds of the riser bear the bending by waves "
    "while it is connected?",
    "More top tension, a calmer season, stiffer joints beside the flex joints.",
    "Sea states of the whole year, higher ones counted as the planned one, in which it is let go; "
    "waves and current from one side; ranges by Dirlik's fit, the main pipe alone. Fatigue by "
    "vortices adds to it: riser-vortex-fatigue.",
)


def sea_fatigue_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Judge fatigue over the place's sea states when the riser is let go, or stays behind."""
    if state.step.kind is StepKind.DEPART and state.riser is None:
        return
    gear, hole = RiserGear.of(state.hole), state.hole
    table = hole.weather if hole.scatter is None else hole.scatter
    if gear is None or gear.heaviest is None or table is None:
        return
    found = sea_fatigue(sea_riser(gear), place_scatter(table))
    yield _judged(state.step.name, found, table, connected_since_landing(state))


@kept(SOME)
def _judged(step: str, found: SeaFatigue, table: ProfileTable, connected: float) -> CheckRecord:
    riser, setting = found.riser, found.riser.gear.setting
    basis, node = setting.basis, found.node
    told = FromTable(table.file, "classes of sea states that are met", "given")
    classes = Value("number_of_cycles", float(found.classes), "-", told)
    inputs = (
        classes,
        setting.site.environment.value("significant_wave_height"),
        basis.value("riser_stress_concentration"),
        riser.bending_stiffness,
        riser.gear.vertical_pull(),
        *hull_inputs(setting),
    )
    problem = (
        "time in which the sum of Miner's rule over all sea states is one, ranges of each by "
        "Dirlik's law, drag made linear at the height of each: $1 / (sum p_i d_i)$"
    )
    life = Value("duration", 1.0 / max(float(found.wide[node]), 1e-300), "s",
                 Solved(problem, "dirlik-1985", inputs))  # fmt: skip
    factor = basis.value("riser_fatigue_factor")
    time = Value("duration", connected, "s", FromWalk("from landing to letting go"))
    asked = Solved("time connected times the factor on it", "definition", (time, factor))
    demand = Value("duration", float(factor) * connected, "s", asked)
    height, period, share, damage = found.worst
    wave = show(height, "m", significant=2)
    note = (
        f"{100.0 * connected / float(life):.2g} % of the life used; by Rayleigh's law "
        f"{100.0 * connected * float(found.narrow[node]):.2g} %. Waves of {wave} and {period:.0f} "
        f"s do {damage:.0%} of it in {share:.0%} of the time."
    )
    place = setting.depth(float(riser.nodes[node]))
    return judge(step, SEA_FATIGUE, demand, life, basis.tight_band, place, note=note)
