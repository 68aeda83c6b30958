"""Can the vessel come on station and hold it?"""

from __future__ import annotations

from collections.abc import Iterator

from bathybore.base.keeping import FEW, kept
from bathybore.base.working import Solved, Value, work
from bathybore.checks.record import CheckRecord, Discipline, Question, judge, unjudged
from bathybore.kernels.allocation import Loss, allocate, capability_factor
from bathybore.kernels.position import position_error, position_error_radius
from bathybore.model.hole import HoleOrSetting, Setting
from bathybore.operations.capability import rose
from bathybore.operations.sea_conditions import current_note
from bathybore.operations.state import HoleState
from bathybore.operations.station import (
    Running,
    boards_of,
    running,
    station_load,
    thruster_thrust,
)
from bathybore.operations.wash import barred_by_neighbours

_HEADINGS = 24  # directions tried about the bow
_CAUTION = (
    "Mean loads only: gusts, slow drift and a run of waves come on top, hence the reserve. "
    "A model test or a trial of the vessel replaces these formulas."
)
INTACT = Question(
    "hold-intact",
    Discipline.STATION,
    "Can all thrusters together hold the planned environment, with the reserve?",
    "Turn the bow nearer the weather, wait for less of it, or add thrust.",
    _CAUTION,
)
AFTER_THRUSTER = Question(
    "hold-after-thruster-loss",
    Discipline.STATION,
    "Does the vessel still hold, with the reserve, once the worst thruster is lost?",
    "Plan for less weather in this step, or turn the bow into it.",
    _CAUTION,
)
AFTER_SWITCHBOARD = Question(
    "hold-after-switchboard-loss",
    Discipline.STATION,
    "Does the vessel still hold, with the reserve, once the worst switchboard is lost?",
    "Share the thrusters over more switchboards, or plan for less weather.",
    "The worst single failure is usually a switchboard, not a thruster. " + _CAUTION,
)
SECTOR = Question(
    "heading-sector",
    Discipline.STATION,
    "Does the planned heading lie where the weather is held, with the reserve, after any single "
    "failure?",
    "Keep the bow nearer the weather, or plan for less of it.",
    "Wind, waves and current from one side: where they cross, look at each. " + _CAUTION,
)
POWER = Question(
    "power",
    Discipline.STATION,
    "Is there power for holding, drilling and living, with the reserve kept?",
    "Plan for less weather, or fewer large consumers at once.",
)


def _loss(hole: Setting, lost: str, stopped: tuple[str, ...], left: Running) -> Loss:
    return Loss(lost, stopped, capability_factor(left[0], station_load(hole).force, left[1]))


def capability(hole: HoleOrSetting) -> tuple[float, Loss, Loss]:
    """Return the capability intact, after the worst thruster, after the worst switchboard."""
    return _capabilities(hole.setting)


@kept(FEW)
def _capabilities(hole: Setting) -> tuple[float, Loss, Loss]:
    vessel, boards = hole.vessel, boards_of(hole)
    thrusters = (
        _loss(hole, one.name, (one.name,), running(hole, boards, one.name))
        for one in vessel.thrusters
    )
    switchboards = (
        _loss(
            hole,
            board,
            tuple(one.name for one in vessel.thrusters if one.switchboard == board),
            running(hole, boards_of(hole, board)),
        )
        for board in vessel.switchboards
    )
    left, power = running(hole, boards)
    intact = capability_factor(left, station_load(hole).force, power)
    return (
        intact,
        min(thrusters, key=lambda loss: loss.capability_factor),
        min(switchboards, key=lambda loss: loss.capability_factor),
    )


def _capability(hole: Setting, factor: float, what: str, lost_board: str = "") -> Value:
    load = station_load(hole)
    thrusts = tuple(thruster_thrust(hole, i) for i in range(len(hole.vessel.thrusters)))
    vessel = hole.vessel
    power = Value(
        "available_power",
        sum(boards_of(hole, lost_board).values()),
        "W",
        Solved(
            "power of the switchboards that run, less hotel and drilling, which they share in "
            "proportion",
            "definition",
            (
                *(
                    Value(f"power of {name}", size, "W", vessel.origin("switchboards"))
                    for name, size in vessel.switchboards.items()
                    if name != lost_board
                ),
                vessel.value("hotel_and_drilling_power"),
            ),
        ),
    )
    origin = Solved(
        f"largest factor on the mean load that {what} can balance: "
        "$max lambda$ with $sum_i T_i = -lambda F$, $sum_i x_i T_(y,i) - y_i T_(x,i) = -lambda M$, "
        "$|T_i| <= T_(max,i)$, each switchboard within its power, barred sectors kept clear",
        "cone-programme",
        (load.surge, load.sway, load.yaw, *thrusts, power, *_barred(hole)),
        1e-6,
    )
    return Value("capability_factor", factor, "-", origin)


def _barred(hole: Setting) -> tuple[Value, ...]:
    """Half angles of the sectors that were worked out from neighbours."""
    return tuple(one.half_angle for one in barred_by_neighbours(hole))


def reserve_needed(hole: Setting) -> Value:
    """Return the factor on the mean load that must be held."""
    reserve = hole.basis.value("station_reserve")
    origin = Solved(
        "one, for the mean load, and the reserve for gusts and slow drift", "assumed", (reserve,)
    )
    return Value("capability_factor", 1.0 + float(reserve), "-", origin)


def station_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the vessel finds the place and stays there."""
    step, setting = state.step.name, state.hole.setting
    yield _position(step, setting)
    yield from _holding(step, setting)
    yield _power(step, setting)


def holding_checks(state: HoleState) -> Iterator[CheckRecord]:
    """Ask whether the vessel holds the planned environment, intact and after a single failure.

    The reserve counts after a failure as well: the rules of dynamic positioning ask that
    position be kept after the worst single failure in the weather of the plan, and its
    gusts and slow drift do not stop when a thruster or a switchboard does.
    """
    return iter(_holding(state.step.name, state.hole.setting))


@kept(FEW)
def _holding(step: str, hole: Setting) -> tuple[CheckRecord, ...]:
    intact, thruster, board = capability(hole)
    cases = (
        (INTACT, _capability(hole, intact, "the intact vessel"), ""),
        (
            AFTER_THRUSTER,
            _capability(hole, thruster.capability_factor, f"all but {thruster.lost}"),
            f"Worst thruster to lose: {thruster.lost}.",
        ),
        (
            AFTER_SWITCHBOARD,
            _capability(
                hole, board.capability_factor, f"all but switchboard {board.lost}", board.lost
            ),
            f"Worst switchboard to lose: {board.lost}, with {', '.join(board.stopped)}. The others "
            "carry all of hotel and drilling.",
        ),
    )
    return tuple(
        judge(
            step,
            question,
            reserve_needed(hole),
            left,
            hole.basis.tight_band,
            note=" ".join(filter(None, (lost, current_note(hole)))),
        )
        for question, left, lost in cases
    )


def station_studies(state: HoleState) -> Iterator[CheckRecord]:
    """Ask how far the weather may turn round the bow before a single failure loses station."""
    yield _sector(state.step.name, state.hole.setting)


@kept(FEW)
def _sector(step: str, hole: Setting) -> CheckRecord:
    found, needed = rose(hole, _HEADINGS), reserve_needed(hole)
    angle = found.held_to(float(needed), found.worst)
    vessel, load = hole.vessel, station_load(hole)
    thrusts = tuple(thruster_thrust(hole, n) for n in range(len(vessel.thrusters)))
    origin = Solved(
        "greatest angle off the bow, both sides, up to which the weather is held with the reserve "
        f"after the loss of any one thruster or switchboard; {_HEADINGS} directions, the factor "
        "taken as straight between two",
        "cone-programme",
        (needed, load.surge, load.sway, load.yaw, *thrusts, *_barred(hole)),
        1e-6,
    )
    planned = hole.site.environment.value("heading_off_weather", "relative_wind_direction")
    capacity = Value("relative_wind_direction", angle, "rad", origin)
    note = current_note(hole)
    return judge(step, SECTOR, planned, capacity, hole.basis.tight_band, note=note)


@kept(FEW)
def _power(step: str, hole: Setting) -> CheckRecord:
    load, (thrusters, boards) = station_load(hole), running(hole, boards_of(hole))
    uses = allocate(thrusters, load.force.times(-1.0), boards)
    if not uses.feasible:
        reason = (
            "no use of the thrusters balances the mean load within the power of the switchboards; "
            f"{INTACT.name} tells how much of it they hold"
        )
        return unjudged(step, POWER, reason)
    drawn = sum(use.power for use in uses.uses) + hole.vessel.hotel_and_drilling_power
    shares = ", ".join(f"{use.thruster.name} {use.share:.0%}" for use in uses.uses)
    origin = Solved(
        "least weighted sum of squared thrusts that balances the load, with drilling and hotel "
        f"power: $min sum_i w_i T_i^2$ ({shares})",
        "cone-programme",
        (
            load.surge,
            load.sway,
            load.yaw,
            hole.vessel.value("hotel_and_drilling_power"),
            *_barred(hole),
        ),
        1e-6,
    )
    installed = Value(
        "power",
        (1.0 - hole.basis.power_reserve) * sum(hole.vessel.switchboards.values()),
        "W",
        Solved("installed power less the reserve", "assumed", (hole.basis.value("power_reserve"),)),
    )
    return judge(
        step,
        POWER,
        Value("power", drawn, "W", origin),
        installed,
        hole.basis.tight_band,
        note=current_note(hole),
    )


@kept(FEW)
def _position(step: str, hole: Setting) -> CheckRecord:
    site = hole.site
    sigma = work(
        position_error,
        satellite_error=site.value("fix_tolerance", "satellite_error"),
        acoustic_error=site.value("acoustic_tolerance", "acoustic_error"),
        lever_arm_error=site.value("lever_arm_error"),
    )
    error = work(
        position_error_radius,
        position_error=sigma,
        confidence=hole.basis.value("position_confidence", "confidence"),
    )
    return judge(
        step,
        Question(
            "position",
            Discipline.STATION,
            "Is the place known well enough to hit the target radius?",
            "Longer fix, more beacons, or a wider target.",
        ),
        error,
        site.value("target_radius"),
        hole.basis.tight_band,
    )
