"""One thing in the hole is changed, and the verdicts move the way physics moves them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from bathybore.base.depth import Depth
from bathybore.checks.record import CheckRecord, Status
from bathybore.checks.station import capability
from bathybore.checks.trips import trip_checks
from bathybore.checks.window import window_checks
from bathybore.model.hole import Hole
from bathybore.usecases.walking import Walk, walk_loaded
from varied import by_step, changed, scaled, without

PASSES = (Status.HOLDS, Status.TIGHT)


def records(hole: Hole) -> dict[str, CheckRecord]:
    return {record.id: record for record in walk_loaded(hole).records}


@pytest.fixture(scope="module")
def plain(main_walk: Walk) -> dict[str, CheckRecord]:
    """Return what is judged at once; longer questions have tests of their own."""
    return records(main_walk.hole)


def judged(
    one: dict[str, CheckRecord], other: dict[str, CheckRecord], wanted: Callable[[str], bool]
) -> list[tuple[CheckRecord, CheckRecord]]:
    """Return the pairs of records judged in both; there must be some."""
    pairs = [
        (one[id_], other[id_])
        for id_ in one
        if wanted(id_)
        and id_ in other
        and one[id_].margin is not None
        and other[id_].margin is not None
    ]
    assert pairs
    return pairs


def margin(record: CheckRecord) -> float:
    assert record.margin is not None
    return record.margin


def deepened(by: float) -> Callable[[Depth], Depth]:
    return lambda depth: replace(depth, metres=depth.metres + by)


# -- steel ----------------------------------------------------------------------------

# designations of one size and grade, lighter and lighter (API Specification 5CT)
WEIGHTS = {
    "casing-1338": ("13 3/8 in 72 lb/ft", "13 3/8 in 68 lb/ft", "13 3/8 in 61 lb/ft"),
    "casing-958": ("9 5/8 in 53.5 lb/ft", "9 5/8 in 47 lb/ft", "9 5/8 in 43.5 lb/ft"),
    "liner-7": ("7 in 32 lb/ft", "7 in 29 lb/ft", "7 in 26 lb/ft"),
}


@pytest.mark.parametrize("casing", WEIGHTS)
def test_a_thinner_wall_never_bears_more(
    main_hole: Hole, plain: dict[str, CheckRecord], casing: str
) -> None:
    heavy, lighter, lightest = WEIGHTS[casing]
    assert main_hole.inventory.casing[casing].size == heavy
    ladder = [plain]
    ladder += [
        records(changed(main_hole, f"inventory/casing/{casing}/size", size))
        for size in (lighter, lightest)
    ]
    strength = (f"cement-{casing}/burst-", f"cement-{casing}/collapse-")
    for thick, thin in pairwise(ladder):
        for before, after in judged(thick, thin, lambda id_: id_.startswith(strength)):
            assert margin(after) < margin(before), before.id
            if before.depth == after.depth:
                assert float(after.capacity) < float(before.capacity), before.id  # type: ignore[arg-type]


def test_a_softer_steel_never_bears_more(main_hole: Hole, plain: dict[str, CheckRecord]) -> None:
    assert main_hole.inventory.casing["casing-958"].grade != "N-80"
    softer = records(changed(main_hole, "inventory/casing/casing-958/grade", "N-80"))
    strength = ("cement-casing-958/burst-", "cement-casing-958/triaxial-")
    for before, after in judged(plain, softer, lambda id_: id_.startswith(strength)):
        assert margin(after) < margin(before), before.id


def test_a_design_factor_asks_for_more(main_hole: Hole, plain: dict[str, CheckRecord]) -> None:
    stricter = records(changed(main_hole, "design_basis/burst_factor", 1.3))
    for before, after in judged(plain, stricter, lambda id_: "/burst-" in id_):
        assert margin(after) <= margin(before), before.id


@pytest.mark.parametrize("string", ["drilling-1712", "drilling-1214", "drilling-812"])
def test_more_collars_load_the_hook(
    main_hole: Hole, plain: dict[str, CheckRecord], string: str
) -> None:
    more = records(changed(main_hole, f"plan/strings/{string}/0/length", lambda m: m + 60.0))
    step = f"drill-{string.replace('drilling', 'section')}"
    for name in ("hook-load", "slips"):
        before, after = plain[f"{step}/{name}"], more[f"{step}/{name}"]
        assert float(after.demand) > float(before.demand)  # type: ignore[arg-type]
        assert margin(after) < margin(before)


def test_a_deeper_hole_never_lightens_the_hook(
    main_hole: Hole, plain: dict[str, CheckRecord]
) -> None:
    """A longer string weighs more: section, casing and shoe 100 m deeper."""
    deeper = records(_moved(main_hole, 1, 100.0))
    for step in ("drill-section-1712", "run-casing-1338"):
        before, after = plain[f"{step}/hook-load"], deeper[f"{step}/hook-load"]
        assert float(after.demand) > float(before.demand)  # type: ignore[arg-type]


def test_overpull_is_asked_of_string_and_hook(
    main_hole: Hole, plain: dict[str, CheckRecord]
) -> None:
    more = records(changed(main_hole, "design_basis/string_overpull", lambda n: n + 200e3))
    for before, after in judged(
        plain, more, lambda id_: id_.startswith("drill-") and id_.endswith("/string-tension")
    ):
        assert margin(after) < margin(before), before.id


# -- window ---------------------------------------------------------------------------

MUDS = {
    "mud-1": "drill-section-1712",
    "mud-2": "drill-section-1214",
    "mud-3": "drill-section-812",
    "mud-4": "core",
}


@pytest.mark.parametrize("mud", MUDS)
@pytest.mark.parametrize("more", [10.0, 60.0])
def test_a_denser_mud_holds_more_and_breaks_sooner(
    main_hole: Hole, plain: dict[str, CheckRecord], mud: str, more: float
) -> None:
    denser = records(changed(main_hole, f"plan/fluids/{mud}/density", lambda d: d + more))
    step = MUDS[mud]
    for name in ("window-low", "window-collapse", "swab", "riser-margin"):
        assert margin(denser[f"{step}/{name}"]) > margin(plain[f"{step}/{name}"]), name
    for name in ("window-high", "window-high-static", "surge"):
        assert margin(denser[f"{step}/{name}"]) < margin(plain[f"{step}/{name}"]), name


@pytest.mark.parametrize(
    ("column", "factor", "names"),
    [
        ("pore_pressure", 1.01, ("window-low", "swab", "riser-margin", "shallow-flow")),
        ("fracture_pressure", 0.99, ("window-high", "window-high-static", "surge", "placing-high")),
        ("collapse_pressure", 1.01, ("window-collapse",)),
    ],
)
def test_a_narrower_window_leaves_less(
    main_hole: Hole,
    plain: dict[str, CheckRecord],
    column: str,
    factor: float,
    names: Iterable[str],
) -> None:
    narrower = records(scaled(main_hole, column, factor))
    for before, after in judged(plain, narrower, lambda id_: id_.split("/")[1] in names):
        assert margin(after) < margin(before), before.id


def test_more_flow_costs_pressure_and_lifts_better(
    main_hole: Hole, plain: dict[str, CheckRecord]
) -> None:
    faster = records(changed(main_hole, "plan/sections/2/flow_rate", lambda q: 1.15 * q))
    step = "drill-section-1214"
    for name in ("pump-pressure", "pump-rate"):  # larger liners may give more than is asked more
        id_ = f"{step}/{name}"
        assert float(faster[id_].demand) > float(plain[id_].demand), name  # type: ignore[arg-type]
    assert margin(faster[f"{step}/pump-pressure"]) < margin(plain[f"{step}/pump-pressure"])
    assert margin(faster[f"{step}/cuttings"]) >= margin(plain[f"{step}/cuttings"])


def test_a_margin_of_the_basis_is_kept_from_the_mud(
    main_hole: Hole, plain: dict[str, CheckRecord]
) -> None:
    stricter = changed(main_hole, "design_basis/trip_margin", lambda d: d + 20.0)
    stricter = changed(stricter, "design_basis/fracture_margin", lambda d: d + 20.0)
    after = records(stricter)
    for before, now in judged(plain, after, lambda id_: id_.endswith("/window-low")):
        riserless = before.step == "drill-top-hole"
        assert margin(now) == margin(before) if riserless else margin(now) < margin(before)
    for before, now in judged(plain, after, lambda id_: id_.endswith("/window-high")):
        assert margin(now) < margin(before)


# -- station --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("field", "factors"),
    [
        ("surface_current", (0.25, 0.5, 1.25, 1.5, 2.0)),
        ("wind_speed", (0.5, 1.2, 1.6)),
        ("significant_wave_height", (0.5, 1.2)),
    ],
)
def test_rougher_never_holds_better(
    main_hole: Hole, field: str, factors: tuple[float, ...]
) -> None:
    path = f"site/environment/{field}"
    old = getattr(main_hole.site.environment, field)
    ladder = [
        capability(changed(main_hole, path, factor * old)) for factor in sorted((*factors, 1.0))
    ]
    for calm, rough in pairwise(ladder):
        assert rough[0] <= calm[0] * (1 + 1e-6)
        assert rough[1].capability_factor <= calm[1].capability_factor * (1 + 1e-6)
        assert rough[2].capability_factor <= calm[2].capability_factor * (1 + 1e-6)
    assert ladder[-1][0] < ladder[0][0]


def test_a_loss_never_helps(main_hole: Hole) -> None:
    intact, thruster, board = capability(main_hole)
    assert thruster.capability_factor <= intact * (1 + 1e-6)
    assert board.capability_factor <= intact * (1 + 1e-6)


def test_less_power_never_holds_better(main_hole: Hole) -> None:
    weak = changed(
        main_hole, "vessel/switchboards", lambda boards: {n: 0.6 * p for n, p in boards.items()}
    )
    assert capability(weak)[0] <= capability(main_hole)[0] * (1 + 1e-6)


# -- what is missing ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("columns", "names"),
    [
        (("collapse_pressure",), ("window-collapse",)),
        (
            ("undrained_shear_strength",),
            ("penetration", "bears-itself", "conductor-bears-casing"),
        ),
        (("submerged_unit_weight",), ("penetration", "bears-itself", "conductor-bears-casing")),
    ],
)
def test_a_missing_column_is_not_judged(
    main_hole: Hole,
    plain: dict[str, CheckRecord],
    columns: tuple[str, ...],
    names: tuple[str, ...],
) -> None:
    after = records(without(main_hole, *columns))
    asked = [id_ for id_ in plain if id_.split("/")[1] in names]
    assert asked
    for id_ in asked:
        assert after[id_].status is Status.NOT_JUDGED, id_
        assert after[id_].reason, id_
    # and every other question is still asked
    assert set(after) == set(plain)


def _ends_at(hole: Hole, column: str, depth: float) -> Hole:
    """Return a hole whose table gives no number of a column below a depth."""
    earth = hole.earth
    numbers = np.where(earth.depths > depth, np.nan, earth.numbers[column])
    return replace(hole, earth=replace(earth, numbers={**earth.numbers, column: numbers}))


@pytest.mark.parametrize(
    ("column", "names"),
    [
        ("pore_pressure", ("window-low", "swab")),
        ("fracture_pressure", ("window-high-static", "window-high", "surge")),
        ("collapse_pressure", ("window-collapse",)),
    ],
)
@pytest.mark.parametrize("step", ["drill-section-812", "core"])
def test_numbers_that_end_too_soon_never_pass(
    main_walk: Walk, column: str, names: tuple[str, ...], step: str
) -> None:
    """A gap in the numbers is found at the node where it is, not passed over."""
    state = by_step(main_walk.states)[step]
    state = replace(state, hole=_ends_at(main_walk.hole, column, 4300.0))
    asked = [*window_checks(state), *trip_checks(state)]
    found = {record.name: record.status for record in asked if record.name in names}
    assert set(found) == set(names)
    assert not any(status in PASSES for status in found.values())


# -- shoes ----------------------------------------------------------------------------


def _moved(hole: Hole, index: int, by: float) -> Hole:
    """Return a hole with the shoe of one section, and the foot of its hole, deeper."""
    section = f"plan/sections/{index}"
    lower = changed(hole, f"{section}/bottom", deepened(by))
    return changed(lower, f"{section}/casing/shoe", deepened(by))


@pytest.fixture(scope="module")
def with_shoe(main_hole: Hole) -> Callable[[float], dict[str, CheckRecord]]:
    """Return the verdicts with the shoe of the first casing moved."""
    return cache(lambda by: records(_moved(main_hole, 0, by)))


MOVES = (-100.0, 80.0)


@pytest.mark.parametrize("by", MOVES)
def test_a_deeper_shoe_costs_what_is_long(
    with_shoe: Callable[[float], dict[str, CheckRecord]], plain: dict[str, CheckRecord], by: float
) -> None:
    after = with_shoe(by)
    for id_ in (
        "run-casing-20/casing-stock",
        "run-casing-20/hook-load",
        "run-casing-20/casing-tension",
        "run-casing-20/conductor-bears-casing",
        "cement-casing-20/cement-stock",
        "drill-top-hole/mud-stock",
        "drill-top-hole/temperature",
    ):
        demand, before = float(after[id_].demand), float(plain[id_].demand)  # type: ignore[arg-type]
        assert (demand > before) is (by > 0.0), id_
        assert demand != before, id_


@pytest.mark.parametrize("by", MOVES)
def test_a_deeper_shoe_opens_stronger_rock_to_the_next_section(
    with_shoe: Callable[[float], dict[str, CheckRecord]], plain: dict[str, CheckRecord], by: float
) -> None:
    after = with_shoe(by)
    for name in ("window-high", "window-high-static", "surge"):
        id_ = f"drill-section-1712/{name}"
        assert (margin(after[id_]) > margin(plain[id_])) is (by > 0.0), id_


@pytest.mark.parametrize("by", MOVES)
def test_a_length_moved_is_the_length_asked(
    with_shoe: Callable[[float], dict[str, CheckRecord]], plain: dict[str, CheckRecord], by: float
) -> None:
    id_ = "run-casing-20/casing-stock"
    change = float(with_shoe(by)[id_].demand) - float(plain[id_].demand)  # type: ignore[arg-type]
    assert change == pytest.approx(by, abs=1e-9)


@pytest.mark.parametrize("by", MOVES)
def test_a_shoe_leaves_alone_what_it_does_not_touch(
    with_shoe: Callable[[float], dict[str, CheckRecord]], plain: dict[str, CheckRecord], by: float
) -> None:
    after = with_shoe(by)
    untouched = ("hold-station/", "run-conductor/", "set-conductor/", "run-riser/")
    same = [id_ for id_ in plain if id_.startswith(untouched)]
    same += [f"{step}/window-low" for step in ("drill-section-1214", "drill-section-812", "core")]
    for id_ in same:
        assert after[id_].margin == pytest.approx(plain[id_].margin, rel=1e-9), id_


def test_a_shoe_below_its_hole_is_refused(main_hole: Hole) -> None:
    from bathybore.base.errors import OrderError

    low = changed(main_hole, "plan/sections/1/casing/shoe", deepened(200.0))
    with pytest.raises(OrderError, match="the shoe is below the hole"):
        walk_loaded(low)


# -- stores and time ------------------------------------------------------------------


def test_more_excess_takes_more_cement(main_hole: Hole, plain: dict[str, CheckRecord]) -> None:
    more = records(changed(main_hole, "plan/sections/0/casing/cement/excess", 1.0))
    for before, after in judged(plain, more, lambda id_: id_.endswith("/cement-stock")):
        assert float(after.demand) > float(before.demand), before.id  # type: ignore[arg-type]


def test_a_rougher_season_takes_longer(main_hole: Hole, plain: dict[str, CheckRecord]) -> None:
    """By the shares of time one can work in; a preventer test may fall due more often."""
    rough = records(changed(main_hole, "site/environment/share_of_time_exceeded", 0.4))
    ratio = float(rough["depart/days"].demand) / float(plain["depart/days"].demand)  # type: ignore[arg-type]
    shares = (1.0 - main_hole.site.environment.share_of_time_exceeded) / (1.0 - 0.4)
    assert shares * (1.0 - 1e-9) <= ratio < 1.05 * shares


@pytest.mark.parametrize("gravity", [0.55, 0.8])
def test_heavier_gas_presses_less_at_the_wellhead(
    main_hole: Hole, plain: dict[str, CheckRecord], gravity: float
) -> None:
    after = records(changed(main_hole, "design_basis/gas_gravity", gravity))
    id_ = "run-riser/preventer-rating"
    assert (float(after[id_].demand) > float(plain[id_].demand)) is (gravity < 0.6)  # type: ignore[arg-type]
