"""A small walk made by hand, with every kind of verdict, and a way to run the command on it.

As a script it runs the command line with this walk in place of the real one:
``python made_walk.py check anywhere``.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path
from types import ModuleType, SimpleNamespace

import numpy as np

from bathybore.base.depth import BelowSeaLevel, Datum, Depth
from bathybore.base.errors import InputErrors
from bathybore.base.working import Default, FromTable, FromWalk, Given, Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.mud import hydrostatic_pressure
from bathybore.kernels.segments import weight_over_segments
from bathybore.kernels.tubular_strength import internal_yield_pressure, required_capacity
from bathybore.model import editing
from bathybore.model.editing import Draft, HoleFiles
from bathybore.model.hole import Hole
from bathybore.model.loading import load_hole
from bathybore.operations.state import Barrier, Consumed
from bathybore.usecases.walking import by_step

DAY = 86400.0


@dataclass(frozen=True)
class MadeWalk:
    hole: Hole
    states: tuple[SimpleNamespace, ...]
    records: tuple[CheckRecord, ...]

    @property
    def by_step(self) -> dict[str, tuple[CheckRecord, ...]]:
        return by_step((state.step.name for state in self.states), self.records)


def state(name: str, title: str, hours: float, elapsed_days: float) -> SimpleNamespace:
    return SimpleNamespace(
        step=SimpleNamespace(name=name, title=title),
        duration=Value("duration", hours * 3600.0, "s", FromWalk("rates of the vessel")),
        elapsed=elapsed_days * DAY,
        consumed=Consumed(mud_built=100.0 * elapsed_days, barite=2000.0),
        barriers=(Barrier("column of mud", "fluid", True, BelowSeaLevel(2480.0)),),
        barriers_needed=elapsed_days > 2.0,
    )


def given(name: str, si: float, unit: str, line: int) -> Value:
    return Value(name, si, unit, Given("hole.yaml", line, f"plan.{name}"))


def burst(wall_tolerance: float | None = None, wall: float = 0.0122) -> Value:
    inputs = {
        "outside_diameter": Value(
            "outside_diameter", 0.339725, "m", FromTable("casing.csv", "13 3/8", "api-5ct")
        ),
        "wall": given("wall", wall, "m", 31),
        "yield_strength": given("yield_strength", 379.2e6, "Pa", 32),
    }
    if wall_tolerance is not None:
        inputs["wall_tolerance"] = given("wall_tolerance", wall_tolerance, "-", 33)
    return work(internal_yield_pressure, **inputs)


def column(height: object, line: int = 40) -> Value:
    """Pressure of a mud column over its depth nodes."""
    return work(
        hydrostatic_pressure,
        fluid_density=given("fluid_density", 1200.0, "kg/m3", line),
        height=Value(
            "height",
            np.asarray(height, dtype=float),
            "m",
            FromWalk("from the flow line down"),
            depth_axis=-1 if np.ndim(height) else None,
        ),
    )


def pressure(si: float, line: int = 50) -> Value:
    return given("internal_pressure", si, "Pa", line)


def question(name: str, discipline: Discipline = Discipline.STEEL, caution: str = "") -> Question:
    text = f"Does the {name.replace('-', ' ')} bear it?"
    return Question(name, discipline, text, "Take a heavier wall.", caution)


def hook_load() -> tuple[Value, Value]:
    """A weight over segments against a load that a solver found."""
    lengths = Value("segment_length", np.array([2000.0, 900.0, 100.0]), "m", FromWalk("as hung"))
    weights = Value(
        "effective_weight_per_length", np.array([250.0, 400.0, 1200.0]), "N/m", FromWalk("in mud")
    )
    weight = work(weight_over_segments, effective_weight_per_length=weights, segment_length=lengths)
    factor = Value("design_factor", 1.1, "-", Default("basis.hook_factor", "assumed"))
    demand = work(required_capacity, load=weight.named("load"), design_factor=factor)
    solved = Solved(
        "the least tension $T_t$ that keeps the string straight", "definition", (weight,), 2e-9
    )
    return demand, Value("top_tension", 1.2e6, "N", solved)


def records() -> tuple[CheckRecord, ...]:
    heights = np.array([500.0, 1000.0, 1500.0, 2000.0])
    depths = tuple(Depth(float(h) - 400.0, Datum.SEA_BED) for h in heights)
    warned = question("burst-of-casing", caution="The connection has a rating of its own.")
    demand, capacity = hook_load()
    return (
        judge("run-conductor", question("hook-load"), demand, capacity, 0.05),
        judge("run-conductor", question("burst"), pressure(22.9e6), burst(), 0.05),
        judge("run-conductor", question("slips"), pressure(5.0e6), burst(), 0.05),
        unjudged(
            "drill-surface", question("losses", Discipline.WINDOW), "no fracture pressure given"
        ),
        judge("drill-surface", question("cuttings", Discipline.FLOW), pressure(1e6), burst(), 0.05),
        judge(
            "drill-surface",
            question("fracture", Discipline.WINDOW),
            column(heights),
            burst(wall=0.0100),
            0.05,
            depths,
        ),
        judge("run-surface", warned, pressure(5e6), burst(wall_tolerance=0.3), 0.05),
        judge("run-surface", question("collapse"), pressure(30e6), burst(), 0.05),
        judge("the-hole", question("stores", Discipline.STORES), pressure(4e6), burst(), 0.05),
    )


@cache
def made_hole() -> Hole:
    """The hole of the template under another name: strings and bits are real, the walk is not."""
    with as_file(files("bathybore.data").joinpath("template")) as folder:
        hole = load_hole(folder)
    return replace(hole, document=hole.document.model_copy(update={"name": "Made 1"}))


def made_walk() -> MadeWalk:
    return MadeWalk(
        made_hole(),
        (
            state("hold-station", "Come on station and hold it", 6.0, 0.25),
            state("run-conductor", "Run the conductor to the sea bed", 24.0, 1.25),
            state("drill-surface", "Drill the surface section", 48.0, 3.25),
            state("run-surface", "Run the surface casing", 24.0, 4.25),
        ),
        records(),
    )


def only(walk: MadeWalk, *statuses: str) -> MadeWalk:
    """The same walk with the records of some verdicts alone."""
    kept = tuple(record for record in walk.records if str(record.status) in statuses)
    return replace(walk, records=kept)


def stand_in(path: Path) -> MadeWalk:
    """Answer as the real walk does; the name of the folder chooses what is in it."""
    name = Path(path).name
    if name == "broken":
        raise InputErrors.one("hole.yaml, line 3", "'12'", "a depth", "Write the unit beside it.")
    if name == "defect":
        raise RuntimeError("a thing that cannot be")
    if name == "large":
        walk = made_walk()
        many = [replace(r, step=f"step-{n}") for n in range(200) for r in walk.records]
        return replace(walk, records=tuple(many))
    if name == "holding":
        return only(made_walk(), "holds", "tight")
    if name == "open":
        return only(made_walk(), "holds", "not judged")
    return only(made_walk()) if name == "empty" else made_walk()


def walking() -> ModuleType:
    """Return a module in place of the real one: nothing is loaded, nothing walked."""
    module = ModuleType("bathybore.usecases.walking")
    for name in ("walk", "walk_as_far", "walk_loaded", "study"):
        setattr(module, name, stand_in)
    return module


def no_files(folder: Path) -> Draft:
    """Return the draft of a folder without any file: the walks here have none."""
    return Draft.of(HoleFiles({}))


def install() -> None:
    sys.modules["bathybore.usecases.walking"] = walking()
    editing.read_draft = no_files


if __name__ == "__main__":
    install()
    from bathybore.cli.main import run

    run()
