"""A cement job in time: nothing lost, no fall of equals, hydrostatics, a plain loop, textbooks."""

from __future__ import annotations

import numpy as np
import pytest

from bathybore.base.errors import NotConverged
from bathybore.kernels.cement_placement import (
    DOWN,
    UP,
    Fluids,
    Placed,
    Way,
    interfaces,
    march_placement,
    narrow_side_velocity_ratio,
    pressures,
)

G = 9.81
TRACK = 0.4  # m3 of the way left below the plug


def way(scale: float = 1.0) -> Way:
    """String and casing of 1,000 m in all, and round them an annulus of two widths."""
    return Way(
        start=np.array([0.0, 600.0, 1000.0, 500.0]),
        length=np.array([600.0, 400.0, 500.0, 500.0]),
        area=np.array([0.01, 0.04, 0.03, 0.05]) * scale,
        limb=np.array([DOWN, DOWN, UP, UP]),
    )


def fluids(
    one: Way, densities: list[float], volumes: list[float], resistance: float = 0.0
) -> Fluids:
    """Incompressible fluids whose friction gradient is ``resistance`` times the flow rate."""
    z = np.linspace(0.0, 1000.0, 41)
    row = np.array(densities)[:, None] * G * z
    begin = np.concatenate([[-np.inf, -float(one.inside)], np.cumsum([0.0, *volumes])])
    rates = np.concatenate([[1e-9], np.geomspace(1e-4, 1.0, 81)])
    friction = np.broadcast_to(resistance * rates, (len(one.length), len(densities), len(rates)))
    return Fluids(begin, 0.0, 25.0, np.stack([row, row]), rates, friction, 0.0)


def job(
    densities: list[float], volumes: list[float], resistance: float, rate: float = 0.02,
    steps: int = 400,
) -> Placed:  # fmt: skip
    one = way()
    end = float(sum(volumes) + one.inside - TRACK)
    pumped = np.linspace(0.0, end, steps)
    return march_placement(
        one, fluids(one, densities, volumes, resistance), pumped / rate, pumped, end
    )


HEAVY = [1200.0, 1200.0, 1500.0, 1900.0, 1200.0]  # mud, mud, lead, tail, mud
PUMPED = [12.0, 8.0]


def test_equal_densities_do_not_fall_and_ask_for_friction_only() -> None:
    placed = job([1200.0] * 5, PUMPED, 1e4)
    assert not placed.void.any()
    assert placed.rate == pytest.approx(0.02)
    # gradient 1e4 x 0.02 over 2,000 m
    assert placed.pump_pressure == pytest.approx(1e4 * 0.02 * 2000.0)


def test_heavy_slurry_falls_and_its_returns_outrun_the_pump() -> None:
    placed = job(HEAVY, PUMPED, 1e5)
    falling = placed.void > 0.0
    assert falling.any()
    assert placed.rate.max() > 0.02 * 1.1
    assert not placed.pump_pressure[falling].any()
    assert placed.void[-1] == 0.0
    # what fell ahead is waited for: returns run slower than the pump before the string is full
    assert placed.rate.min() < 0.02 * 0.99


def test_every_volume_is_somewhere() -> None:
    placed = job(HEAVY, PUMPED, 1e5)
    ends = interfaces(placed.way, placed.fluids, placed.out, placed.pumped)
    whole = float(np.sum(placed.way.volume))
    held = ends[..., :-1] - ends[..., 1:]
    np.testing.assert_allclose(held.sum(axis=-1) + placed.void, whole, rtol=1e-12)
    assert (held >= 0.0).all()
    in_it, gone = held[:, 2:].sum(axis=-1), np.maximum(placed.out - whole, 0.0)
    np.testing.assert_allclose(in_it + gone, placed.pumped, rtol=1e-9, atol=1e-9)


def test_with_little_friction_both_limbs_weigh_the_same_while_it_falls() -> None:
    placed = job(HEAVY, PUMPED, 2e3, steps=3000)
    falling = (placed.void > 1e-6) & (placed.out < placed.out[-1])
    # 2e3 Pa s/m4 over 2,000 m at a few times the pump's 0.02 m3/s
    apart = placed.inside[falling] - placed.outside[falling]
    np.testing.assert_allclose(apart, placed.friction[falling], atol=10.0)
    assert np.abs(apart).max() < 0.03 * placed.outside.max()


def test_the_end_is_the_hydrostatic_sum() -> None:
    placed = job(HEAVY, PUMPED, 1e5)
    # the tail less what stays below the plug fills 7.6 m3 of 0.03 m2; the lead what is above
    tail = 7.6 / 0.03
    lead = 500.0 - tail + (12.0 - (500.0 - tail) * 0.03) / 0.05
    mud = 1000.0 - tail - lead
    outside = G * (1900.0 * tail + 1500.0 * lead + 1200.0 * mud)
    inside = G * (1200.0 * (1000.0 - TRACK / 0.04) + 1900.0 * TRACK / 0.04)
    assert placed.outside[-1] == pytest.approx(outside, rel=1e-9)
    assert placed.inside[-1] == pytest.approx(inside, rel=1e-9)
    assert placed.pump_pressure[-1] == pytest.approx(
        outside - inside + placed.friction[-1], rel=1e-9
    )


def test_a_plain_loop_of_many_small_steps_falls_alike() -> None:
    placed = job(HEAVY, PUMPED, 1e5)
    out, times = _plain(1e5, 0.02)
    np.testing.assert_allclose(placed.out, np.interp(placed.pumped / 0.02, times, out), atol=0.06)
    finer = job(HEAVY, PUMPED, 1e5, steps=1600)
    closer = np.interp(finer.pumped / 0.02, times, out)
    # first order: a quarter of the step leaves about a quarter of the error
    coarse = np.abs(placed.out - np.interp(placed.pumped / 0.02, times, out)).max()
    assert np.abs(finer.out - closer).max() < 0.5 * coarse


def _plain(resistance: float, rate: float) -> tuple[np.ndarray, np.ndarray]:
    """March the same job with thousands of steps and sums written out by hand."""
    one = way()
    begin = [-np.inf, -float(one.inside), 0.0, 12.0, 20.0]
    end = 20.0 + float(one.inside) - TRACK
    steps = 20000
    span = end / rate / steps
    edges = np.concatenate([[0.0], np.cumsum(one.area * one.length)])

    def depth(x: float) -> float:
        x = min(max(x, 0.0), edges[-1])
        piece = min(int(np.searchsorted(edges, x, side="right")) - 1, 3)
        into = (x - edges[piece]) / one.area[piece]
        sign = 1.0 if one.limb[piece] == DOWN else -1.0
        return float(one.start[piece] + sign * into)

    out, found = 0.0, [0.0]
    for step in range(1, steps + 1):
        pumped = rate * span * step
        weight = 0.0
        void = max(out - pumped, 0.0)
        ends = [*(min(max(out - b, void), edges[-1]) for b in begin), void]
        for index, density in enumerate(HEAVY):
            # around the bend what goes down adds and what comes up takes: depth does it
            weight += density * G * (depth(ends[index]) - depth(ends[index + 1]))
        length = 2000.0 - depth(max(out - pumped, 0.0))
        flow = max(weight, 0.0) / (resistance * length)
        out = min(max(out + flow * span, pumped), end)
        found.append(out)
    return np.array(found), span * np.arange(steps + 1)


def test_pressures_down_the_limbs_meet_at_the_shoe_and_end_at_the_top() -> None:
    placed = job(HEAVY, PUMPED, 1e5)
    z = np.array([0.0, 200.0, 750.0, 1000.0])
    outside, inside = pressures(placed, UP, z), pressures(placed, DOWN, z)
    assert not outside[:, 0].any()
    moving = placed.out < placed.out[-1]  # once the plug has landed the float holds
    np.testing.assert_allclose(outside[moving, -1], inside[moving, -1], rtol=1e-2)
    full = (placed.void == 0.0) & (placed.pump_pressure > 0.0)
    np.testing.assert_allclose(outside[full, -1], inside[full, -1], rtol=1e-9)
    np.testing.assert_allclose(inside[:, 0], placed.pump_pressure, rtol=1e-9)
    rising = np.diff(outside, axis=-1)
    assert (rising > 0.0).all()


def test_a_stack_of_jobs_is_each_job() -> None:
    singles, ways = [], [way(scale) for scale in (1.0, 1.1)]
    pumped = np.linspace(0.0, 40.0, 60)
    made = [fluids(one, [1200.0, 1200.0, 1500.0, d, 1200.0], PUMPED, r)
            for one, d, r in zip(ways, (1900.0, 1800.0), (1e5, 2e5), strict=True)]  # fmt: skip
    ends = np.array([20.0 + float(one.inside) - TRACK for one in ways])
    for one, fluid, end in zip(ways, made, ends, strict=True):
        singles.append(march_placement(one, fluid, pumped / 0.02, pumped, end))
    both = march_placement(
        Way(ways[0].start, ways[0].length, np.stack([w.area for w in ways]), ways[0].limb),
        Fluids(
            np.stack([f.begin for f in made]), 0.0, 25.0, np.stack([f.column for f in made]),
            made[0].rates, np.stack([f.friction for f in made]), 0.0,
        ),
        pumped / 0.02, pumped, ends,
    )  # fmt: skip
    z = np.array([300.0, 990.0])
    deep = pressures(both, UP, z)
    for index, one in enumerate(singles):
        for name in ("out", "void", "pump_pressure", "friction", "inside", "outside"):
            # a fall is followed until the slowest of a stack has settled
            got, expected = getattr(both, name)[index], getattr(one, name)
            np.testing.assert_allclose(got, expected, rtol=1e-6, atol=1e-6)
        np.testing.assert_allclose(deep[index], pressures(one, UP, z), rtol=1e-6)


def test_a_fall_beyond_every_known_flow_is_no_answer() -> None:
    one = way()
    made = fluids(one, HEAVY, PUMPED, 1e5)
    slow = Fluids(made.begin, 0.0, 25.0, made.column, made.rates[:10], made.friction[..., :10], 0.0)
    pumped = np.linspace(0.0, 40.0, 60)
    with pytest.raises(NotConverged, match="free fall"):
        march_placement(one, slow, pumped / 0.02, pumped, 47.6)


def test_the_handbook_job_ends_as_printed() -> None:
    """9 5/8 in casing to 8,000 ft: 2,000 ft of 13.8 ppg, 1,000 ft of 15.8 ppg, mud 10 ppg."""
    foot, inch, ppg, psi = 0.3048, 0.0254, 119.826427, 6894.757
    annulus = np.pi / 4 * ((12.25 * inch) ** 2 - (9.625 * inch) ** 2)
    bore = np.pi / 4 * (8.681 * inch) ** 2
    one = Way(
        np.array([0.0, 8000.0]) * foot,
        np.array([8000.0, 8000.0]) * foot,
        np.array([bore, annulus]),
        np.array([DOWN, UP]),
    )
    track = 44.0 * foot * bore
    volumes = [2000.0 * foot * annulus, 1000.0 * foot * annulus + track]
    z = np.linspace(0.0, 8000.0 * foot, 101)
    row = np.array([10.0, 10.0, 13.8, 15.8, 10.0])[:, None] * ppg * 9.80665 * z
    rates = np.concatenate([[1e-9], np.geomspace(1e-4, 1.0, 41)])
    friction = np.broadcast_to(1e5 * rates, (2, 5, len(rates)))
    begin = np.concatenate([[-np.inf, -float(one.inside)], np.cumsum([0.0, *volumes])])
    made = Fluids(begin, 0.0, float(z[1]), np.stack([row, row]), rates, friction, 0.0)
    end = sum(volumes) + float(one.inside) - track
    pumped = np.linspace(0.0, end, 300)
    placed = march_placement(one, made, pumped / 0.02, pumped, end)
    # Lapeyrouse (2002), section 2.12, prints 4,857 psi, with 0.052 for 0.05195
    assert placed.outside[-1] / psi * 0.052 / 0.0519481 == pytest.approx(4857.0, abs=1.0)
    inside = (7956.0 * 10.0 + 44.0 * 15.8) * 0.0519481
    assert placed.inside[-1] / psi == pytest.approx(inside, rel=1e-6)


def test_narrow_side() -> None:
    assert narrow_side_velocity_ratio(1.0, 0.6) == 1.0
    assert narrow_side_velocity_ratio(0.0, 0.6) == 0.0
    # Newtonian: the square of the ratio of the gaps
    assert float(narrow_side_velocity_ratio(0.5, 1.0)) == pytest.approx((0.5 / 1.5) ** 2)
