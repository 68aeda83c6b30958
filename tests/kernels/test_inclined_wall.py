"""The wall of an inclined hole: its vertical limit, symmetry, and the criterion by brute force."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from bathybore.kernels import inclined_wall as inclined
from bathybore.kernels import rock_strength as strength
from bathybore.kernels import rock_stress as stress
from bathybore.kernels import wall_failure as vertical

MPA = 1e6
DEG = np.pi / 180.0
SITE: dict[str, Any] = {
    "major_horizontal_stress": 45 * MPA,
    "minor_horizontal_stress": 38 * MPA,
    "vertical_stress": 50 * MPA,
    "pore_pressure": 22 * MPA,
    "poisson_ratio": 0.25,
}


def rock(cohesion: float, angle: float) -> dict[str, dict[str, Any]]:
    """Parameters of the three criteria for one rock."""
    q = strength.failure_stress_ratio(angle)
    return {
        "coulomb": {
            "unconfined_compressive_strength": strength.unconfined_compressive_strength(
                cohesion, q
            ),
            "failure_stress_ratio": q,
        },
        "mogi": {
            "mogi_intercept": strength.mogi_intercept(cohesion, angle),
            "mogi_slope": strength.mogi_slope(angle),
        },
        "lade": {
            "lade_cohesion_stress": inclined.lade_cohesion_stress(cohesion, angle),
            "lade_friction": inclined.lade_friction(angle),
        },
    }


SOLVERS: dict[str, Callable[..., Any]] = {
    "coulomb": inclined.inclined_collapse_mohr_coulomb,
    "mogi": inclined.inclined_collapse_mogi_coulomb,
    "lade": inclined.inclined_collapse_modified_lade,
}
ROCK = rock(10 * MPA, 30 * DEG)


def margin(kind: str, principal: np.ndarray, given: dict[str, Any]) -> np.ndarray:
    """Strength less load from effective principal stresses, the greatest first."""
    one, two, three = (principal[..., i] for i in range(3))
    if kind == "coulomb":
        bears = strength.mohr_coulomb_strength(*given.values(), three)
        return np.asarray(bears - one)
    if kind == "mogi":
        bears = strength.mogi_coulomb_strength(*given.values(), one, three)
        return np.asarray(bears - strength.octahedral_shear_stress(one, two, three))
    cohesion, eta = given.values()
    moved = principal + cohesion
    # pulled apart: it fails, the more the farther
    inside = np.where(moved[..., 2] > 0.0, np.prod(moved, axis=-1), 1e20 * moved[..., 2])
    return np.asarray((27.0 + eta) * inside - np.sum(moved, axis=-1) ** 3)


def around(site: dict[str, Any], pressure: float, heat: float = 0.0) -> np.ndarray:
    """Effective principal stresses at every half degree of the whole wall, by tensors."""
    direction = site.get("stress_azimuth", 0.0)
    turn = np.array(
        [
            [np.cos(direction), -np.sin(direction), 0.0],
            [np.sin(direction), np.cos(direction), 0.0],
            [0.0, 0.0, 1.0],
        ]
    )
    names = ("major_horizontal_stress", "minor_horizontal_stress", "vertical_stress")
    far = turn @ np.diag([site[name] for name in names]) @ turn.T
    s = stress.rotate_to_hole(far, site.get("hole_azimuth", 0.0), site.get("inclination", 0.0))
    angle = np.arange(0.0, 360.0, 0.5) * DEG
    wall = np.zeros((len(angle), 3, 3))
    plane = (s[0, 0], s[1, 1], s[0, 1])
    wall[:, 0, 0] = pressure
    wall[:, 1, 1] = stress.kirsch_hoop_stress(*plane, angle, pressure) + heat
    wall[:, 2, 2] = stress.kirsch_axial_stress(*plane, s[2, 2], angle, site["poisson_ratio"]) + heat
    shear = stress.kirsch_axial_shear_stress(s[0, 2], s[1, 2], angle)
    wall[:, 1, 2] = wall[:, 2, 1] = shear
    return stress.principal_stresses(wall) - site["pore_pressure"]


def random_site(random: np.random.Generator) -> dict[str, Any]:
    low, high = np.sort(random.uniform(30.0, 60.0, 2))
    return {
        "major_horizontal_stress": high * MPA,
        "minor_horizontal_stress": low * MPA,
        "vertical_stress": random.uniform(30.0, 70.0) * MPA,
        "pore_pressure": random.uniform(10.0, 28.0) * MPA,
        "poisson_ratio": random.uniform(0.1, 0.4),
        "stress_azimuth": random.uniform(0.0, np.pi),
        "inclination": random.uniform(0.0, np.pi / 2.0),
        "hole_azimuth": random.uniform(0.0, 2.0 * np.pi),
    }


@pytest.mark.parametrize("kind", SOLVERS)
def test_the_answer_is_where_the_worst_place_of_the_wall_just_holds(kind: str) -> None:
    random, never, tried = np.random.default_rng(4), 0, 0
    while tried < 40:
        site = random_site(random)
        given = rock(random.uniform(2.0, 20.0) * MPA, random.uniform(15.0, 45.0) * DEG)[kind]
        heat = random.uniform(-8.0, 4.0) * MPA
        answer = float(SOLVERS[kind](**site, **given, wall_thermal_stress=heat))
        tried += 1
        if np.isinf(answer):
            never += 1
            grid = np.linspace(-60.0, 140.0, 401) * MPA
            held = [np.all(margin(kind, around(site, p, heat), given) >= 0.0) for p in grid]
            assert not any(held)
            continue
        step = 0.02 * MPA  # the brute wall is looked at every half degree only
        low, here, high = (
            margin(kind, around(site, answer + d, heat), given) for d in (-step, step, 2.0 * step)
        )
        assert np.any(low < 0.0)
        # what fails above the answer fails because the pressure is too high already
        assert np.all((here >= 0.0) | (high < here))
    assert never < tried / 2


@pytest.mark.parametrize("direction", [0.0, 17.3, 90.0, 131.0])
@pytest.mark.parametrize("kind", ["coulomb", "mogi"])
def test_a_hole_set_upright_needs_what_the_vertical_equation_says(
    kind: str, direction: float
) -> None:
    closed = {
        "coulomb": vertical.collapse_pressure_mohr_coulomb,
        "mogi": vertical.collapse_pressure_mogi_coulomb,
    }[kind]
    upright = SOLVERS[kind](**SITE, **ROCK[kind], stress_azimuth=direction * DEG)
    assert float(upright) == pytest.approx(float(closed(**SITE, **ROCK[kind])), rel=1e-7)
    leaning = SOLVERS[kind](
        **SITE, **ROCK[kind], stress_azimuth=direction * DEG, inclination=1e-6, hole_azimuth=1.0
    )
    assert float(leaning) == pytest.approx(float(upright), rel=1e-5)


@pytest.mark.parametrize("kind", SOLVERS)
def test_even_stress_knows_no_direction(kind: str) -> None:
    even = {**SITE, "major_horizontal_stress": 50 * MPA, "minor_horizontal_stress": 50 * MPA}
    lean = np.linspace(0.0, 90.0, 7) * DEG
    needs = SOLVERS[kind](**even, **ROCK[kind], inclination=lean, hole_azimuth=2.0 * lean)
    np.testing.assert_allclose(needs, needs[0], rtol=1e-9)


@pytest.mark.parametrize("kind", SOLVERS)
def test_a_hole_drilled_the_other_way_or_mirrored_is_the_same(kind: str) -> None:
    inputs = {**SITE, **ROCK[kind], "inclination": 40 * DEG}
    azimuths = np.array([25.0, -25.0, 155.0, 205.0]) * DEG  # S_H to the north
    needs = SOLVERS[kind](**inputs, hole_azimuth=azimuths)
    np.testing.assert_allclose(needs, needs[0], rtol=1e-7)


def test_hand_worked_breakout_of_an_upright_hole() -> None:
    # Kirsch round a vertical hole: hoop = S_H + S_h - 2 (S_H - S_h) cos 2 theta - p. An arc w
    # is left to fail about the azimuth of S_h, so its edge stands at cos 2 theta = -cos w.
    width = 50 * DEG
    hoop = (45 + 38 + 2 * (45 - 38) * np.cos(width)) * MPA
    coulomb = ROCK["coulomb"]
    c0, q = coulomb.values()
    effective = (hoop - 2 * 22 * MPA - c0) / (1 + q)
    got = inclined.inclined_collapse_mohr_coulomb(**SITE, **coulomb, breakout_width=width)
    assert float(got) == pytest.approx(effective + 22 * MPA, rel=1e-5)


@pytest.mark.parametrize("kind", SOLVERS)
def test_allowing_a_breakout_never_asks_for_more(kind: str) -> None:
    widths = np.linspace(0.0, 90.0, 91) * DEG
    needs = SOLVERS[kind](**SITE, **ROCK[kind], inclination=0.6, breakout_width=widths)
    assert np.all(np.diff(needs) <= 1e-6)


def test_cooling_the_wall_eases_caving_and_hastens_opening() -> None:
    for kind, solve in SOLVERS.items():
        cold, warm = solve(
            **SITE, **ROCK[kind], inclination=0.5, wall_thermal_stress=np.array([-5.0, 0.0]) * MPA
        )
        assert cold < warm
    opened = inclined.inclined_breakdown_pressure(
        **SITE, rock_tensile_strength=2 * MPA, wall_thermal_stress=np.array([-5.0, 0.0]) * MPA
    )
    assert opened[1] - opened[0] == pytest.approx(5 * MPA, rel=1e-9)


def test_breakdown_of_an_upright_hole_is_that_of_the_vertical_equation() -> None:
    site = {k: v for k, v in SITE.items() if k not in ("vertical_stress", "poisson_ratio")}
    closed = vertical.breakdown_pressure(**site, rock_tensile_strength=3 * MPA)
    got = inclined.inclined_breakdown_pressure(
        **SITE, rock_tensile_strength=3 * MPA, stress_azimuth=0.3
    )
    assert float(got) == pytest.approx(closed, rel=1e-8)


def test_breakdown_opens_the_wall_of_an_inclined_hole_where_brute_force_does() -> None:
    random = np.random.default_rng(7)
    for _ in range(40):
        site = random_site(random)
        got = float(inclined.inclined_breakdown_pressure(**site, rock_tensile_strength=2 * MPA))
        if np.isinf(got):
            continue
        least = [float(np.min(around(site, got + d)[:, 2])) for d in (-0.02 * MPA, 0.02 * MPA)]
        assert least[1] < -2 * MPA
        # below it the pulled side holds; the radial stress may be the least of all there
        if got - site["pore_pressure"] > -2 * MPA:
            assert least[0] > -2 * MPA


def test_lade_is_coulomb_where_two_stresses_are_equal() -> None:
    # Ewy (1999): both criteria are one in triaxial compression.
    for angle in np.array([10.0, 30.0, 45.0]) * DEG:
        q = strength.failure_stress_ratio(angle)
        given = rock(8 * MPA, angle)
        for least in (0.0, 5 * MPA, 30 * MPA):
            most = strength.mohr_coulomb_strength(*given["coulomb"].values(), least)
            cohesion, eta = given["lade"].values()
            moved = np.array([most, least, least]) + cohesion
            assert np.sum(moved) ** 3 / np.prod(moved) == pytest.approx(27.0 + eta, rel=1e-12)
            assert (q + 2.0) ** 3 / q == pytest.approx(27.0 + eta, rel=1e-12)


def test_the_intermediate_stress_never_weakens_an_inclined_wall() -> None:
    random = np.random.default_rng(11)
    for _ in range(60):
        site = random_site(random)
        given = rock(random.uniform(4.0, 20.0) * MPA, random.uniform(20.0, 45.0) * DEG)
        needs = {kind: float(solve(**site, **given[kind])) for kind, solve in SOLVERS.items()}
        assert needs["mogi"] <= needs["coulomb"] + 1.0
        assert needs["lade"] <= needs["coulomb"] + 1.0


def test_no_pressure_holds_a_wall_without_strength_between_far_stresses() -> None:
    apart = {**SITE, "major_horizontal_stress": 120 * MPA}
    for kind, given in rock(0.01 * MPA, 15 * DEG).items():
        assert np.isinf(float(SOLVERS[kind](**apart, **given)))
