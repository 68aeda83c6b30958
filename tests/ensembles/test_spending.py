"""What members spend: the plan's own time and stores where nothing is drawn, and what follows."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from bathybore.base.arrays import Array
from bathybore.ensembles.drawing import planned_curves
from bathybore.ensembles.frame import frame_of, planned_policy
from bathybore.ensembles.legs_of_members import jobs_of, legs_of, planned_legs
from bathybore.ensembles.making import made
from bathybore.ensembles.members import member_hole
from bathybore.ensembles.prices_of_members import cost, not_priced
from bathybore.ensembles.shapes import Drawn, Frame, Limit, Made
from bathybore.ensembles.spending import Spent, asked_names, marks, spent, step_names
from bathybore.model.editing import Edit, read_draft
from bathybore.model.hole import Hole
from bathybore.model.hole_numbers import number_at
from bathybore.model.loading import load_hole
from bathybore.model.prices import Prices
from bathybore.operations.operability import windows
from bathybore.operations.walk import walk_hole
from bathybore.operations.weather_limits import Operation, limits_of

DAY = 86400.0
EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("riserless", "main", "frontier")


def _frame(name: str, weather: bool = False) -> Frame:
    hole = load_hole(EXAMPLES / name)
    return frame_of(hole if weather else replace(hole, weather=None))


@pytest.fixture(scope="module", params=NAMES)
def frame(request: pytest.FixtureRequest) -> Frame:
    return _frame(request.param)


@pytest.fixture(scope="module")
def main() -> Frame:
    return _frame("main")


def _drawn(frame: Frame, count: int = 1, **numbers: Array) -> Drawn:
    trouble = frame.hole.basis.trouble_factor - 1.0
    return Drawn(
        first=0,
        count=count,
        curves=planned_curves(frame),
        numbers=dict(numbers),
        alternatives=np.full(count, -1),
        trouble=np.full((count, len(frame.states)), trouble),
        start=np.zeros(count),
        mended=np.zeros(count, dtype=np.intp),
    )


def _made(frame: Frame, shoes: Array | None = None, count: int = 1) -> Made:
    """Return the plan as made, with its own muds, or with other shoes."""
    if shoes is None:
        shoes = np.array([[one.bottom for one in frame.strings]] * count)
    plan = frame.hole.plan
    density, string = np.zeros(len(frame.depth)), np.zeros(len(frame.depth), dtype=np.intp)
    for node, depth in enumerate(frame.depth):
        there = (n for n, s in enumerate(frame.strings) if not s.spare and depth <= s.bottom + 1e-6)
        string[node] = next(there, len(frame.strings) - 1)
        section = max(frame.strings[string[node]].section, 0)
        density[node] = plan.fluids[plan.sections[section].fluid].density
    return Made(
        shoes=shoes,
        density=np.tile(density, (len(shoes), 1)),
        string=np.tile(string, (len(shoes), 1)),
        ends=np.full(len(shoes), np.inf),
        ends_by=np.full(len(shoes), -1),
        alone=np.full((len(shoes), 3), np.inf),
    )


def _target(frame: Frame, count: int = 1) -> Array:
    return np.full(count, frame.depth[frame.target])


def _planned(frame: Frame) -> Spent:
    return spent(frame, _made(frame), _target(frame), _drawn(frame))


def test_a_member_like_the_plan_takes_its_time_step_by_step(frame: Frame) -> None:
    ends = _planned(frame).step_end[0]
    by_step = {job.state: end for job, end in zip(jobs_of(frame), ends, strict=True)}
    for index, state in enumerate(frame.states):
        assert by_step[index] == pytest.approx(state.elapsed, rel=1e-9), state.step.name


def test_a_member_like_the_plan_uses_what_the_walk_uses(frame: Frame) -> None:
    one, consumed = _planned(frame), frame.states[-1].consumed
    assert one.mud[0] == pytest.approx(consumed.mud_built, rel=1e-9)
    assert one.barite[0] == pytest.approx(consumed.barite, rel=1e-9)
    assert one.cement[0] == pytest.approx(consumed.cement, rel=1e-9)


def test_the_hole_goes_down_as_in_the_walk(frame: Frame) -> None:
    legs = planned_legs(frame)
    bed = float(frame.hole.sea_bed)
    for job in jobs_of(frame):
        state = frame.states[job.state]
        if state.step.kind.name == "TEST_SHOE" and not frame.strings[job.string - 1].spare:
            assert legs.top[0, job.string] == pytest.approx(state.bottom - bed)
    assert legs.end[0] == pytest.approx(frame.states[-1].bottom - bed)


def test_the_plan_as_the_crew_would_make_it_is_the_plan(frame: Frame) -> None:
    drawn = _drawn(frame)
    took = spent(frame, made(frame, planned_policy(frame), drawn), _target(frame), drawn)
    last = frame.states[-1]
    assert took.days[0] == pytest.approx(last.elapsed, rel=1e-9)
    assert took.mud[0] == pytest.approx(last.consumed.mud_built, rel=1e-9)
    assert took.barite[0] == pytest.approx(last.consumed.barite, rel=1e-9)


STEP_EDITS = [
    {"step": "drill-section-812", "duration": "9 day", "why": "as the neighbour's"},
    {
        "insert_after": "run-riser",
        "insert": "wait",
        "name": "wait-for-boat",
        "duration": "2 day",
        "why": "mud",
    },
    {
        "insert_after": "plug",
        "insert": "wait",
        "name": "look-again",
        "duration": "1 day",
        "why": "the plugs hold",
    },
]


BY_HAND = [
    {"insert_after": "drill-top-hole", "insert": "circulate", "name": "pump", "duration": "1 h"},
    {"insert_after": "test-casing-958", "insert": "circulate", "name": "down", "bottoms_up": "2"},
    {"insert_after": "drill-section-1214", "insert": "wiper trip", "name": "wipe"},
    {"insert_after": "release-casing-958", "insert": "preventer test", "name": "bop"},
    {"insert_after": "bop", "insert": "casing test", "name": "press", "duration": "1 h"},
    {"insert_after": "core", "insert": "logging run", "name": "log", "duration": "20 h"},
]


@pytest.mark.parametrize(
    ("key", "content"),
    [
        ("plan.step_edits", STEP_EDITS),
        ("plan.step_edits", [{**one, "why": "by hand"} for one in BY_HAND]),
        ("inventory.core_barrel.wireline", False),
        ("plan.coring.contingency_runs", 3),
        ("vessel.handling.preventer_test_interval", "21 day"),
    ],
)
def test_plans_with_their_own_steps_take_their_time(key: str, content: object) -> None:
    draft = read_draft(EXAMPLES / "main")
    frame = frame_of(_whole(draft.edited([Edit("put", key=key, content=content)]).hole))
    ends = _planned(frame).step_end[0]
    by_step = {job.state: end for job, end in zip(jobs_of(frame), ends, strict=True)}
    for index, state in enumerate(frame.states):
        assert by_step[index] == pytest.approx(state.elapsed, rel=1e-9), state.step.name


def test_a_duration_that_the_plan_fixes_shrinks_with_the_hole_it_makes() -> None:
    draft = read_draft(EXAMPLES / "main")
    edit = Edit("put", key="plan.step_edits", content=STEP_EDITS[:1])
    frame = frame_of(_whole(draft.edited([edit]).hole))
    end = np.array([4010.0, 4610.0])
    took = spent(frame, _made(frame, count=2), end, _drawn(frame, 2))
    step = step_names(frame).index("drill-section-812")
    half, whole = took.step_end[:, step] - took.step_end[:, step - 1]
    assert whole == pytest.approx(9.0 * DAY)
    assert 0.2 * whole < half < 0.8 * whole


def test_a_wider_hole_takes_more_mud_in_proportion(main: Frame) -> None:
    """Rock, new hole and pad are all linear in the width; only mud dumped at a shoe is not."""
    wide = np.array([1.0, 1.1, 1.2, 1.4])
    drawn = _drawn(main, 4, hole_enlargement=wide)
    mud = spent(main, _made(main, count=4), _target(main, 4), drawn).mud
    slope = np.diff(mud) / np.diff(wide)
    assert np.all(slope > 0.0)
    assert slope == pytest.approx(slope[0], rel=0.05)


# --- members that are not the plan, against the full walk of the hole they are


def _correlated(rng: np.random.Generator, count: int, depth: Array) -> Array:
    scores = rng.normal(size=(count, len(depth)))
    for node in range(1, len(depth)):
        like = np.exp(-(depth[node] - depth[node - 1]) / 300.0)
        scores[:, node] *= np.sqrt(1.0 - like**2)
        scores[:, node] += like * scores[:, node - 1]
    return scores


def test_drawn_members_take_and_use_what_they_do_when_walked_in_full(frame: Frame) -> None:
    """Between nodes the walk reads the drawn rate at places of its own: hence a part in 300."""
    rng, count = np.random.default_rng(5), 3
    drawn = _drawn(
        frame,
        count,
        handling_time=rng.lognormal(0.0, 0.2, count),
        bit_life=rng.lognormal(0.0, 0.3, count),
        mud_loss=rng.lognormal(0.0, 0.5, count),
        cement_excess_used=rng.lognormal(0.0, 0.2, count),
    )
    faster = np.exp(0.3 * _correlated(rng, count, frame.depth))
    drawn.curves["rate_of_penetration"] = drawn.curves["rate_of_penetration"] * faster
    took = spent(frame, _made(frame, count=count), _target(frame, count), drawn)
    for member in range(count):
        last = walk_hole(member_hole(frame, drawn, member))[-1]
        assert took.days[member] == pytest.approx(last.elapsed, rel=3e-3)
        assert took.mud[member] == pytest.approx(last.consumed.mud_built, rel=4e-3)
        assert took.barite[member] == pytest.approx(last.consumed.barite, rel=4e-3)
        assert took.cement[member] == pytest.approx(last.consumed.cement, rel=2e-3)


NUMBERS = {
    "vessel.handling.time_per_stand": (0.7, 1.4),
    "vessel.handling.casing_joints_per_hour": (0.6, 1.5),
    "vessel.handling.preventer_test_time": (0.5, 2.0),
    "plan.conductor.jetting_rate": (0.5, 1.5),
    "plan.sections[0].rate_of_penetration_factor": (0.8, 1.3),
    "plan.sections[3].rate_of_penetration_factor": (0.8, 1.3),
    "plan.sections[0].flow_rate": (0.9, 1.1),
    "plan.sections[2].casing.cement.wait": (0.5, 2.0),
    "plan.coring.rate_of_penetration": (0.7, 1.5),
    "inventory.bits[3].life": (0.6, 1.5),
    "site.environment.share_of_time_exceeded": (0.5, 2.0),
    "design_basis.pit_reserve": (0.9, 1.1),
    "design_basis.kick_volume": (0.5, 2.0),
}


@pytest.mark.parametrize("key", NUMBERS)
def test_a_number_of_the_hole_counts_as_it_does_when_walked(main: Frame, key: str) -> None:
    """Times are products, so exact; volumes of mud are sums: near the plan only."""
    planned = number_at(main.hole.document, key, key).planned
    values = planned * np.array(NUMBERS[key])
    drawn = _drawn(main, 2, **{key: values})
    took = spent(main, _made(main, count=2), _target(main, 2), drawn)
    for member in range(2):
        last = walk_hole(member_hole(main, drawn, member))[-1]
        assert took.days[member] == pytest.approx(last.elapsed, rel=1e-6)
        assert took.mud[member] == pytest.approx(last.consumed.mud_built, rel=3e-3)
        assert took.barite[member] == pytest.approx(last.consumed.barite, rel=3e-3)


def test_what_is_on_board_may_be_drawn(main: Frame) -> None:
    key = "vessel.stores.mud_volume"
    drawn = _drawn(main, 3, **{key: np.array([1500.0, 1000.0, 700.0])})
    deep = spent(main, _made(main, count=3), _target(main, 3), drawn).bites[Limit.STOCK]
    for member in range(3):
        frame = frame_of(member_hole(main, drawn, member))
        same = spent(frame, _made(frame), _target(frame), _drawn(frame)).bites[Limit.STOCK]
        assert deep[member] == pytest.approx(float(same[0]))
    assert deep[0] >= deep[1] >= deep[2]


def _below(metres: float) -> str:
    return f"{metres:g} m below sea bed"


def _edited(*pairs: tuple[str, float]) -> Hole:
    draft = read_draft(EXAMPLES / "main")
    edits = [Edit("set", key=f"plan.{key}", text=_below(depth)) for key, depth in pairs]
    return _whole(draft.edited(edits).hole)


def _whole(hole: Hole | None) -> Hole:
    assert hole is not None
    return replace(hole, weather=None)


def _shoes(frame: Frame, **moved: float) -> Array:
    return np.array([[moved.get(one.name.replace("-", "_"), one.bottom) for one in frame.strings]])


def _same_as_walked(took: Spent, hole: Hole) -> None:
    """Lead and tail slurry, of different yields, are scaled as one: hence 2 % of the cement."""
    last = walk_hole(hole)[-1]
    assert took.days[0] == pytest.approx(last.elapsed, rel=1e-3)
    assert took.mud[0] == pytest.approx(last.consumed.mud_built, rel=1e-6)
    assert took.barite[0] == pytest.approx(last.consumed.barite, rel=3e-3)
    assert took.cement[0] == pytest.approx(last.consumed.cement, rel=2e-2)


def test_a_casing_set_early_is_the_walk_of_that_plan(main: Frame) -> None:
    hole = _edited(
        ("sections[2].bottom", 3110.0),
        ("sections[2].casing.shoe", 3100.0),
        ("sections[2].casing.cement.top", 2200.0),
        ("sections[2].casing.cement.tail_top", 2850.0),
        ("sections[3].casing.hung_at", 2950.0),
        ("sections[3].casing.cement.top", 3000.0),
    )
    shoes = _shoes(main, casing_958=3100.0)
    _same_as_walked(spent(main, _made(main, shoes), _target(main), _drawn(main)), hole)


def test_a_surface_casing_set_early_is_the_walk_of_that_plan(main: Frame) -> None:
    hole = _edited(
        ("sections[0].bottom", 610.0),
        ("sections[0].casing.shoe", 600.0),
        ("sections[0].casing.cement.tail_top", 460.0),
    )
    shoes = _shoes(main, casing_20=600.0)
    _same_as_walked(spent(main, _made(main, shoes), _target(main), _drawn(main)), hole)


def test_a_hole_that_ends_early_is_the_walk_to_there(main: Frame) -> None:
    hole = _edited(("sections[4].bottom", 4800.0), ("coring.bottom", 4800.0), ("target", 4800.0))
    took = spent(main, _made(main), np.array([4800.0]), _drawn(main))
    _same_as_walked(took, hole)
    assert np.isnan(took.day_at[0, marks(main) > 4800.0]).all()
    assert np.isfinite(took.day_at[0, marks(main) <= 4800.0]).all()


def test_a_spare_set_is_the_walk_of_a_plan_with_it(main: Frame) -> None:
    draft = read_draft(EXAMPLES / "main")
    after: dict[str, Any] = json.loads(json.dumps(draft.tree.content["plan"]["sections"][1]))
    after["pilot_bit"] = "12 1/4 in"  # below the spare the hole is opened to its planned width
    spare = json.loads(json.dumps(after)) | {"name": "spare-hole", "bottom": _below(1310.0)}
    spare["casing"] |= {"name": "spare-16", "pipe": "spare-16", "shoe": _below(1300.0)}
    spare["casing"]["cement"] |= {"top": _below(500.0), "tail_top": _below(1150.0)}
    key = "plan.sections[1]"
    edited = draft.edited([Edit("put", key=key, content=after)])
    hole = _whole(edited.edited([Edit("insert", key=key, content=spare)]).hole)
    took = spent(main, _made(main, _shoes(main, spare_16=1300.0)), _target(main), _drawn(main))
    _same_as_walked(took, hole)
    without = _planned(main)
    assert {"drill-spare-16", "run-spare-16", "test-spare-16"} <= set(step_names(main))
    assert took.run[0].tolist() == [True, True, True, True, True, True, False]
    assert took.steel[0] > without.steel[0] + 1300.0 * 100.0


def test_a_hole_that_ends_above_the_riser_never_runs_it(main: Frame) -> None:
    took = spent(main, _made(main), np.array([500.0]), _drawn(main))
    ends = dict(zip(step_names(main), took.step_end[0], strict=True))
    assert ends["run-riser"] == ends["release-casing-20"] == ends["drill-top-hole"]
    assert ends["retrieve-riser"] == ends["plug"] > ends["core"]
    assert ends["depart"] > ends["plug"]


def test_the_day_at_a_mark_lies_within_its_step(frame: Frame) -> None:
    one = _planned(frame)
    day = one.day_at[0]
    assert np.all(np.diff(day) > 0.0)
    bed, ends = float(frame.hole.sea_bed), [0.0, *(state.elapsed for state in frame.states)]
    for depth, when in zip(marks(frame), day, strict=True):
        step = next(n for n, s in enumerate(frame.states) if s.bottom - bed >= depth - 1e-6)
        assert ends[step] < when < ends[step + 1]


# --- trouble


def test_lumps_of_trouble_add_up_as_lognormals_do() -> None:
    """Independent steps, no tests that fall due: mean and variance of the days in closed form."""
    frame = _frame("riserless")
    rng, count = np.random.default_rng(11), 40_000
    mean, sigma = 0.15, 0.8
    share = rng.lognormal(np.log(mean) - 0.5 * sigma**2, sigma, (count, len(frame.states)))
    drawn = replace(_drawn(frame, count), trouble=share)
    days = spent(frame, _made(frame, count=count), _target(frame, count), drawn).days
    downtime = frame.hole.site.environment.share_of_time_exceeded
    clear = [sum(float(part) for part in state.times) / (1.0 - downtime) for state in frame.states]
    deviation = mean * np.sqrt(np.expm1(sigma**2)) * np.sqrt(sum(one**2 for one in clear))
    assert abs(days.mean() - (1.0 + mean) * sum(clear)) < 4.0 * deviation / np.sqrt(count)
    assert days.std() == pytest.approx(deviation, rel=0.03)


def test_more_trouble_never_ends_sooner(main: Frame) -> None:
    drawn = _drawn(main, 8)
    share = np.linspace(0.0, 2.0, 8)[:, None] * np.ones(len(main.states))
    took = spent(main, _made(main, count=8), _target(main, 8), replace(drawn, trouble=share))
    assert np.all(np.diff(took.days) > 0.0)


def test_a_slower_rate_never_gets_anywhere_earlier(frame: Frame) -> None:
    drawn, slower = _drawn(frame, 6), np.linspace(1.3, 0.5, 6)[:, None]
    drawn.curves["rate_of_penetration"] = drawn.curves["rate_of_penetration"] * slower
    took = spent(frame, _made(frame, count=6), _target(frame, 6), drawn)
    assert np.all(np.diff(took.days) >= 0.0)
    assert np.all(np.diff(took.day_at, axis=0) >= 0.0)


# --- weather


def _with_weather(hole: Hole, height: Array) -> Frame:
    """Return the main hole under a series of wave heights, a row every six hours, no wind."""
    table = load_hole(EXAMPLES / "main").weather
    assert table is not None
    time = np.arange(len(height)) * 6.0 * 3600.0
    calm = {name: np.zeros(len(height)) for name in table.numbers}
    numbers = calm | {"time": time, "significant_wave_height": height}
    return frame_of(replace(hole, weather=replace(table, numbers=numbers)))


def test_weather_that_always_allows_it_costs_no_time(main: Frame) -> None:
    calm = _with_weather(main.hole, np.ones(1460))
    took = spent(calm, _made(calm), _target(calm), _drawn(calm))
    assert took.waiting[0] == pytest.approx(0.0, abs=1e-3)
    downtime = main.hole.site.environment.share_of_time_exceeded
    clear = sum(float(p) for s in main.states for p in s.times)
    test = 3.0 * main.hole.vessel.handling.preventer_test_time * 1.15  # due by the clock
    assert took.days[0] == pytest.approx(1.15 * clear, abs=test)
    assert took.days[0] < _planned(main).days[0] * (1.0 - downtime) + test


def test_in_the_long_run_waiting_is_the_share_of_bad_weather(main: Frame) -> None:
    rng = np.random.default_rng(2)
    rough = _with_weather(main.hole, np.where(rng.random(4000) < 0.7, 1.0, 20.0))
    count = 400
    drawn = replace(_drawn(rough, count), start=rng.uniform(0.0, 4000 * 6 * 3600.0, count))
    took = spent(rough, _made(rough, count=count), _target(rough, count), drawn)
    limits = limits_of(rough.hole.setting, Operation.DRILLING).numbers
    assert rough.hole.weather is not None
    share = windows(rough.hole.weather, limits).share
    drilled = [n for n, s in enumerate(step_names(rough)) if s in ("drill-section-812", "core")]
    for step in drilled:
        clock = took.step_end[:, step] - took.step_end[:, step - 1]
        state = rough.states[jobs_of(rough)[step].state]
        tests = 2.0 * rough.hole.vessel.handling.preventer_test_time * 1.15
        clear = 1.15 * sum(float(part) for part in state.times)
        assert clock.mean() * share == pytest.approx(clear, abs=tests)


def test_no_window_for_the_riser_ends_the_hole_where_it_would_be_run(main: Frame) -> None:
    """A day of calm, a day of storm: two days at one go there never are."""
    rough = _with_weather(main.hole, np.array([1.0] * 4 + [20.0] * 4))
    took = spent(rough, _made(rough), _target(rough), _drawn(rough))
    assert took.bites[Limit.WEATHER][0] == pytest.approx(710.0)
    name = asked_names(rough)[took.asked[Limit.WEATHER][0]]
    assert name == "run-riser/weather-window"
    assert np.isfinite(took.days[0])


def test_weather_that_never_allows_anything_has_no_end(main: Frame) -> None:
    never = _with_weather(main.hole, np.full(8, 20.0))
    took = spent(never, _made(never), _target(never), _drawn(never))
    assert took.bites[Limit.WEATHER][0] == 0.0
    assert np.isinf(took.days[0])
    assert np.isinf(took.waiting[0])
    assert np.isnan(took.day_at[0]).all()


def test_the_day_of_arrival_decides_what_weather_is_met(main: Frame) -> None:
    half = np.concatenate([np.full(730, 1.0), np.full(730, 20.0)])
    year = _with_weather(main.hole, half)
    drawn = replace(_drawn(year, 2), start=np.array([0.0, 150.0 * DAY]))
    took = spent(year, _made(year, count=2), _target(year, 2), drawn)
    assert took.waiting[0] == pytest.approx(0.0, abs=1.0)
    assert took.waiting[1] > 180.0 * DAY


# --- what runs out


def _stocked(frame: Frame, resupplies: int = 0, **stores: float) -> Frame:
    hole = frame.hole
    plenty = dict.fromkeys(("mud_volume", "barite", "cement", "drill_water"), 1e9)
    kept = hole.vessel.stores.model_copy(update={**plenty, "resupplies": resupplies, **stores})
    vessel = hole.vessel.model_copy(update={"stores": kept})
    document = hole.document.model_copy(update={"vessel": vessel})
    return frame_of(replace(hole, document=document))


@pytest.mark.parametrize(
    ("store", "check", "field"),
    [("mud_volume", "mud-stock", "mud_built"), ("barite", "barite-stock", "barite")],
)
def test_a_store_runs_out_in_the_step_in_which_the_walk_passes_it(
    main: Frame, store: str, check: str, field: str
) -> None:
    bed = float(main.hole.sea_bed)
    for share in (0.2, 0.5, 0.8, 0.99):
        amount = share * float(getattr(main.states[-1].consumed, field))
        frame = _stocked(main, **{store: amount})
        took = spent(frame, _made(frame), _target(frame), _drawn(frame))
        totals = [getattr(state.consumed, field) for state in frame.states]
        step = next(n for n, total in enumerate(totals) if total > amount)
        name = f"{frame.states[step].step.name}/{check}"
        deep = took.bites[Limit.STOCK][0]
        assert asked_names(frame)[took.asked[Limit.STOCK][0]] == name
        assert frame.states[step - 1].bottom - bed - 1e-6 <= deep <= frame.states[step].bottom - bed


def test_more_resupplies_never_run_out_shallower(main: Frame) -> None:
    deep = []
    for resupplies in range(5):
        frame = _stocked(main, resupplies, mud_volume=900.0, barite=2.0e5, cement=4.0e4)
        deep.append(spent(frame, _made(frame), _target(frame), _drawn(frame)).bites[Limit.STOCK][0])
    assert deep == sorted(deep)
    assert deep[0] < deep[-1]


def test_the_last_bit_is_worn_where_its_hours_end(main: Frame) -> None:
    """Three bits of 17 1/2 in: the hours of half their life end inside the section."""
    drawn = _drawn(main, 1, bit_life=np.full(1, 0.5))
    took = spent(main, _made(main), _target(main), drawn)
    names = [asked_names(main)[took.asked[Limit.STOCK][0]]]
    assert names == ["drill-section-1712/bit-stock"]
    deep = float(took.bites[Limit.STOCK][0])
    depths = np.linspace(710.0, deep, 20_001)
    factor = main.hole.plan.sections[1].rate_of_penetration_factor
    slow = 1.0 / (factor * main.hole.earth.at("rate_of_penetration", depths))
    hours = float(np.sum(0.5 * (slow[1:] + slow[:-1]) * np.diff(depths))) / 3600.0
    assert hours == pytest.approx(3 * 30.0, rel=2e-3)


def test_how_many_bits_are_on_board_may_be_drawn(main: Frame) -> None:
    """One in place of three, and as many as planned: each as the hole with so many."""
    wanted = main.hole.plan.sections[1].hole_diameter
    at = next(i for i, b in enumerate(main.hole.inventory.bits) if b.diameter == wanted)
    key = f"inventory.bits[{at}].count"
    planned = float(main.hole.inventory.bits[at].count)
    drawn = _drawn(main, 2, **{key: np.array([1.0, planned])})
    took = spent(main, _made(main, count=2), _target(main, 2), drawn)
    few = frame_of(member_hole(main, drawn, 0))
    alone = spent(few, _made(few), _target(few), _drawn(few))
    assert took.bites[Limit.STOCK][0] == pytest.approx(float(alone.bites[Limit.STOCK][0]))
    assert took.bites[Limit.STOCK][0] < took.bites[Limit.STOCK][1]


def test_a_casing_bites_where_its_stock_ends(main: Frame) -> None:
    hole = main.hole
    short = hole.inventory.casing["casing-958"].model_copy(update={"length": 3300.0})
    casing = hole.inventory.casing | {"casing-958": short}
    inventory = hole.inventory.model_copy(update={"casing": casing})
    document = hole.document.model_copy(update={"inventory": inventory})
    frame = frame_of(replace(hole, document=document))
    took = spent(frame, _made(frame), _target(frame), _drawn(frame))
    assert took.bites[Limit.STOCK][0] == pytest.approx(3300.0)
    assert asked_names(frame)[took.asked[Limit.STOCK][0]] == "run-casing-958/casing-stock"


def test_a_liner_short_of_stock_is_lapped_less_before_it_lacks(main: Frame) -> None:
    """1,500 m on board, 150 m of lap planned: a hole 25 m longer takes them from the lap."""
    shoes = np.concatenate([_shoes(main, casing_958=depth) for depth in (3250.0, 3225.0, 3180.0)])
    legs = legs_of(main, shoes, _target(main, 3))
    assert (shoes[:, 4] - legs.hung[:, 5]).tolist() == [150.0, 125.0, 100.0]
    took = spent(main, _made(main, shoes), _target(main, 3), _drawn(main, 3))
    assert np.isinf(took.bites[Limit.STOCK][:2]).all()
    assert took.bites[Limit.STOCK][2] == pytest.approx(3180.0 - 100.0 + 1500.0)


def _within(frame: Frame, days: float) -> Frame:
    hole = frame.hole
    basis = hole.basis.model_copy(update={"days_available": days})
    return frame_of(
        replace(hole, document=hole.document.model_copy(update={"design_basis": basis}))
    )


@pytest.mark.parametrize("share", [0.3, 0.6, 0.9, 0.999])
def test_a_hole_that_ends_where_the_days_bite_is_left_in_time(frame: Frame, share: float) -> None:
    whole = _planned(frame).days[0]
    there = _within(frame, share * whole)
    took = spent(there, _made(there), _target(there), _drawn(there))
    deep = took.bites[Limit.DAYS]
    assert 0.0 <= deep[0] <= there.depth[there.target]
    ended = spent(there, _made(there), deep, _drawn(there))
    # one test of the preventer more or less may fall due on the way out
    test = there.hole.vessel.handling.preventer_test_time * 1.15 / 0.88
    assert ended.days[0] <= share * whole + test + 60.0
    assert ended.days[0] >= share * whole - 6.0 * DAY


def test_days_enough_bite_nothing(main: Frame) -> None:
    there = _within(main, _planned(main).days[0] * 1.0001)
    took = spent(there, _made(there), _target(there), _drawn(there))
    assert np.isinf(took.bites[Limit.DAYS][0])
    assert took.asked[Limit.DAYS][0] == -1


# --- money


def test_money_is_days_and_goods_at_their_prices(main: Frame) -> None:
    goods = {name: np.array([2.0]) for name in ("steel", "barite", "cement", "mud")}
    told = {"day_rate": "10 money/day", "steel_per_mass": "3 money/kg"}
    prices = Prices.model_validate({**told, "mud_per_volume": "5 money/m3"})
    days, drawn = np.array([4.0 * DAY]), _drawn(main)
    assert cost(prices, days, goods, drawn)[0] == pytest.approx(40.0 + 6.0 + 10.0)
    dearer = _drawn(main, 1, **{"prices.day_rate": np.array([20.0 / DAY])})
    assert cost(prices, days, goods, dearer)[0] == pytest.approx(80.0 + 6.0 + 10.0)
    assert not_priced(prices) == "The cost is without barite, cement: no price is told."


def test_without_the_price_of_a_day_there_is_no_cost_and_no_zero(main: Frame) -> None:
    goods = {"steel": np.array([2.0])}
    prices = Prices.model_validate({"steel_per_mass": "3 money/kg"})
    assert np.isnan(cost(prices, np.array([DAY]), goods, _drawn(main))[0])
    assert "day_rate" in not_priced(prices)
