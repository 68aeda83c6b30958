"""A riser in waves: the vessel moves its top, the waves push it, the water slows it.

The sea is Gaussian and so, with a drag made linear, is the riser. Waves, current and offset
come from one side. What the vessel does across it moves the riser across it, by itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import Limit, published
from bathybore.kernels.lateral_pile import beam_elements
from bathybore.kernels.riser_modes import nodal_curvature
from bathybore.kernels.tensioned_beam import (
    BAND,
    Ends,
    Numbers,
    bands_of,
    consistent_load,
    gathered,
    mass_elements,
    times_bands,
    turned_by_springs,
    with_held,
)
from bathybore.kernels.waves import STANDARD_GRAVITY

Complex = npt.NDArray[np.complex128]

_SETTLED: Final = 1e-3  # of the water's speed past the riser, from one round to the next
_MOST_ROUNDS: Final = 60
_STEP: Final = 0.8  # of the way to what a round finds
STRUCTURAL_DAMPING: Final = 0.003  # of critical, steel riser; common practice

_DRAG_EXAMPLE: Final = {"current_speed": "0.5 m/s", "relative_velocity_deviation": "0.8 m/s"}


def _errors(current: Real, deviation: Real) -> tuple[Array, Array]:
    """Return the error function and the bell of the current over the spread of velocity."""
    from scipy.special import erf  # here: costly to import, rarely needed

    spread = np.maximum(deviation, 1e-12)
    ratio = np.asarray(current / spread)
    return erf(ratio / np.sqrt(2.0)), np.exp(-0.5 * ratio**2)


@published(
    formula='beta = 2 (U op("erf")(U / (sqrt(2) sigma_u)) + sqrt(2 / pi) sigma_u '
    "e^(-U^2 / (2 sigma_u^2)))",
    source="borgman-1969",
    where="linear drag of least mean square error, with a current; from memory",
    validity_note="Gaussian velocity; sqrt(8/pi) sigma without a current",
    example=_DRAG_EXAMPLE,
)
def linear_drag_velocity(current_speed: Real, relative_velocity_deviation: Real) -> Real:
    """Velocity by which a quadratic drag becomes linear in the waves' part.

    It is the mean slope of u|u|, 2 E|u|, over a Gaussian velocity about the current.

    Parameters
    ----------
    current_speed : [m/s]
        Mean speed of the water past the riser.
    relative_velocity_deviation : [m/s]
        Standard deviation of the water's velocity relative to the riser.

    Returns
    -------
    linear_drag_velocity : [m/s]
        What the wave velocity is multiplied with in place of its own size.
    """
    error, bell = _errors(current_speed, relative_velocity_deviation)
    spread = np.sqrt(2.0 / np.pi) * relative_velocity_deviation * bell
    velocity: Array = 2.0 * (current_speed * error + spread)
    return velocity


@published(
    formula='overline(u abs(u)) = (U^2 + sigma_u^2) op("erf")(U / (sqrt(2) sigma_u)) + '
    "sqrt(2 / pi) U sigma_u e^(-U^2 / (2 sigma_u^2))",
    source="borgman-1969",
    where="mean of the quadratic drag, with a current; from memory",
    validity_note="Gaussian velocity",
    example=_DRAG_EXAMPLE,
)
def mean_squared_flow(current_speed: Real, relative_velocity_deviation: Real) -> Real:
    """Mean of velocity times its size: what a current pushes with while waves go to and fro.

    Parameters
    ----------
    current_speed : [m/s]
        Mean speed of the water past the riser.
    relative_velocity_deviation : [m/s]
        Standard deviation of the water's velocity relative to the riser.

    Returns
    -------
    mean_squared_flow : [m2/s2]
        In place of the square of the current.
    """
    error, bell = _errors(current_speed, relative_velocity_deviation)
    spread = np.sqrt(2.0 / np.pi) * current_speed * relative_velocity_deviation * bell
    flow: Array = (current_speed**2 + relative_velocity_deviation**2) * error + spread
    return flow


@published(
    formula="x = (1 - e^(-k d_h)) / (k d_h) (sin(k L_h / 2 cos theta)) / (k L_h / 2 cos theta) "
    "(sin(k B / 2 sin theta)) / (k B / 2 sin theta), quad k = omega^2 / g",
    source="definition",
    where="pressure of the undisturbed wave over a box that floats free, its own waves left out",
    valid={"wave_frequency": Limit(0.05, 3.0)},
    validity_note="box-shaped hull, deep water, moorings or thrusters that yield; the water's own "
    "way in long waves",
    example={
        "wave_frequency": "0.55 rad/s",
        "relative_wave_direction": "20 deg",
        "hull_length": "210 m",
        "breadth": "36 m",
        "draught": "12 m",
    },
    caution="An estimate for planning: the vessel's own response tables go first.",
)
def horizontal_response(
    wave_frequency: Real,
    relative_wave_direction: Real,
    hull_length: Real,
    breadth: Real,
    draught: Real,
    gravity: Real = STANDARD_GRAVITY,
) -> Real:
    """Horizontal amplitude amidships in the waves' direction per wave amplitude, hull as a box.

    Parameters
    ----------
    wave_frequency : [rad/s]
        Angular frequency of the wave.
    relative_wave_direction : [rad]
        Where the waves come from, clockwise from the bow.
    hull_length : [m]
        Length of the hull at the waterline.
    breadth : [m]
        Greatest breadth at the waterline.
    draught : [m]
        Draught of the hull.
    gravity : [m/s2]
        Acceleration of gravity.

    Returns
    -------
    horizontal_response : [-]
        Horizontal amplitude over wave amplitude.
    """
    number = wave_frequency**2 / gravity
    depth = number * draught
    thinned = -np.expm1(-depth) / depth
    along = np.sinc(number * hull_length * np.cos(relative_wave_direction) / (2.0 * np.pi))
    across = np.sinc(number * breadth * np.sin(relative_wave_direction) / (2.0 * np.pi))
    return thinned * np.abs(along * across)


@published(
    formula="theta_x = theta_m + theta_s",
    source="definition",
    where="mean and swing in one plane",
    valid={"mean_joint_angle": Limit(0.0, float(np.radians(10.0)), "a slope stands for its angle")},
    example={"mean_joint_angle": "1.5 deg", "joint_angle_swing": "0.6 deg"},
)
def greatest_joint_angle(mean_joint_angle: Real, joint_angle_swing: Real) -> Real:
    """Greatest angle of a flex joint in waves.

    Parameters
    ----------
    mean_joint_angle : [rad]
        Mean over the waves.
    joint_angle_swing : [rad]
        Greatest swing to either side.

    Returns
    -------
    greatest_joint_angle : [rad]
        Mean and swing together.
    """
    return mean_joint_angle + joint_angle_swing


@dataclass(frozen=True)
class InWater:
    """The riser and the water round it, of its elements; depth below the sea surface [m].

    Attributes
    ----------
    depth : [m] of the nodes, the upper ones above the sea
    bending_stiffness, tension, linear_mass : [N m2], [N], [kg/m] without the water around
    added_mass, pushed_mass : [kg/m] of water that moves along, and that which waves push with
    drag : [kg/m2] half density times coefficient times diameter
    current : [m/s] at the nodes
    """

    depth: Array
    bending_stiffness: Array
    tension: Array
    linear_mass: Array
    added_mass: Array
    pushed_mass: Array
    drag: Array
    current: Array


@dataclass(frozen=True)
class Seaway:
    """A spectrum in steps, and how the riser's top answers each of them.

    Attributes
    ----------
    frequency : [rad/s] *(frequency)*
    power : [m2 s/rad] of the surface
    shift : complex displacement of the riser's top per wave amplitude, along the way of the waves
        and across it *(2, frequency)*
    lean : [rad/m] complex angle of the vessel, top towards there *(2, frequency)*
    """

    frequency: Array
    power: Array
    shift: Complex
    lean: Complex


@dataclass(frozen=True)
class Swayed:
    """The riser in a seaway: standard deviations, and what the waves add to the mean flow.

    What goes across is added by squares, as if it all fell on one side.

    Attributes
    ----------
    displacement, curvature, velocity : [m], [1/m], [m/s] of the nodes; the last of the water past
        the riser
    foot_angle, top_angle : [rad] against the upright at the foot, against the vessel at the top
    mean_flow : [m2/s2] mean of flow times its size at the nodes
    crossing_period : [s] mean period of the foot's angle
    curvature_period : [s] mean period of the curvature of the nodes, by crossings
    curvature_mean_period, curvature_peak_period : [s] by the first moment, between peaks
    bent : curvature of the nodes per wave amplitude *(frequency, node)*
    residual : of the drag's last round, relative
    """

    displacement: Array
    curvature: Array
    velocity: Array
    foot_angle: float
    top_angle: float
    mean_flow: Array
    crossing_period: float
    curvature_period: Array
    curvature_mean_period: Array
    curvature_peak_period: Array
    bent: Array
    residual: float


def sway_in_waves(
    riser: InWater, ends: Ends, seaway: Seaway, gravity: float = STANDARD_GRAVITY
) -> Swayed:
    """Return how a riser sways in a Gaussian sea, frequency by frequency.

    The drag is made linear about the mean flow, round by round, until the water's speed past
    the riser no longer changes. Across the flow it brakes by the mean of its speed, half of the
    slope along it; that speed is taken without what goes across, which brakes less.

    Raises
    ------
    NotConverged
        The rounds do not settle.
    """  # fmt: skip
    frequency = seaway.frequency
    number = frequency**2 / gravity
    below = np.maximum(riser.depth, 0.0)
    wet = riser.depth >= 0.0
    # crest over the riser at time zero: the water there moves with the waves, u = a w e^(-kz)
    water = np.where(wet, frequency[:, None] * np.exp(-number[:, None] * below), 0.0)
    steps = np.gradient(frequency) * seaway.power
    spread = np.sqrt(steps @ water**2)
    change = np.inf
    for _ in range(_MOST_ROUNDS):
        slope = np.where(wet, linear_drag_velocity(riser.current, spread), 0.0)
        moved = _answer(riser, ends, seaway, 0, water, slope)
        past = np.where(wet, water - 1j * frequency[:, None] * moved[:, 0::2], 0.0)
        found = np.sqrt(steps @ np.abs(past) ** 2)
        change = float(np.abs(found - spread).max() / max(found.max(), 1e-9))
        spread = spread + _STEP * (found - spread)
        if change < _SETTLED:
            across = _answer(riser, ends, seaway, 1, np.zeros_like(water), 0.5 * slope)
            return _swayed(riser, seaway, (moved, across), spread, steps, change)
    raise NotConverged("riser in waves: the drag did not settle")


def _answer(
    riser: InWater, ends: Ends, seaway: Seaway, side: int, water: Array, slope: Array
) -> Complex:
    """Return complex displacement and rotation per wave amplitude *(frequency, unknown)*.

    Side 0 is along the waves, 1 across them.
    """
    shift, lean = seaway.shift[side], seaway.lean[side]
    length, omega = np.diff(riser.depth), seaway.frequency[:, None]
    element = beam_elements(length, riser.bending_stiffness, -riser.tension)
    stiff = turned_by_springs(bands_of(element), ends)
    damping = riser.drag * 0.5 * (slope[1:] + slope[:-1])
    damped = bands_of(mass_elements(length, damping))
    heavy = bands_of(mass_elements(length, riser.linear_mass + riser.added_mass))
    bands = (
        stiff * (1.0 + 2.0j * STRUCTURAL_DAMPING)
        - omega[..., None] ** 2 * heavy
        + 1j * omega[..., None] * damped
    )
    flow = 0.5 * (water[:, 1:] + water[:, :-1])
    push = (1j * omega * riser.pushed_mass + damping) * flow
    force = gathered(consistent_load(push, length))
    force[:, 1] = force[:, 1] - ends.top_turning * lean  # what leans forward turns back going down
    moved = np.zeros_like(force)
    moved[:, 0] = shift
    right = force - times_bands(bands, moved)
    held = ends.held()
    right[:, held] = 0.0
    cut = with_held(bands, held, 1.0)
    return moved + _side_by_side(cut, right)


def _side_by_side(bands: Complex, right: Complex) -> Complex:
    """Solve every frequency's system in one call: they stand along one diagonal, uncoupled."""
    from scipy.linalg import solve_banded  # here: costly to import, rarely needed

    count, size = right.shape
    whole = np.zeros((2 * BAND + 1, count * size), dtype=complex)
    upper = np.moveaxis(bands, 0, 1).copy()
    for off in range(BAND + 1):
        row = upper[BAND - off]
        row[:, :off] = 0.0
        whole[BAND - off] = row.ravel()
        if off:
            lower = np.zeros_like(row)
            lower[:, :-off] = row[:, off:]
            whole[BAND + off] = lower.ravel()
    found: Complex = solve_banded(
        (BAND, BAND), whole, right.ravel(), overwrite_ab=True, check_finite=False
    )
    return found.reshape(count, size)


def stress_periods(frequency: Array, steps: Array, response: Array) -> tuple[Array, Array, Array]:
    """Return mean periods of responses: by crossings, by the first moment, between peaks.

    Parameters
    ----------
    frequency : [rad/s]
    steps : power of the surface times the step of the frequency
    response : size per wave amplitude *(frequency, node)*; infinite periods where it is nought
    """
    square = np.abs(response) ** 2
    zeroth, first, second, fourth = (steps * frequency**k @ square for k in (0, 1, 2, 4))
    still = zeroth <= 0.0
    safe = [np.where(still, 1.0, one) for one in (zeroth, first, second, fourth)]
    turn = 2.0 * np.pi
    periods = (
        turn * np.sqrt(safe[0] / safe[2]),
        turn * safe[0] / safe[1],
        turn * np.sqrt(safe[2] / safe[3]),
    )
    crossings, mean, peaks = (np.where(still, np.inf, one) for one in periods)
    return crossings, mean, peaks


def _swayed(
    riser: InWater,
    seaway: Seaway,
    sides: tuple[Complex, Complex],
    spread: Array,
    steps: Array,
    change: float,
) -> Swayed:
    def whole(parts: list[Numbers]) -> Array:
        """Size of a response, what goes across counted in."""
        return np.hypot(*(np.abs(part) for part in parts))

    def deviation(part: Array) -> Array:
        root: Array = np.sqrt(steps @ part**2)
        return root

    foot = whole([moved[:, -1] for moved in sides])
    top = whole([moved[:, 1] + lean for moved, lean in zip(sides, seaway.lean, strict=True)])
    bent = whole([nodal_curvature(moved, np.diff(riser.depth)) for moved in sides])
    speed, angle = float(deviation(seaway.frequency * foot)), float(deviation(foot))
    periods = stress_periods(seaway.frequency, steps, bent)
    wet = riser.depth >= 0.0
    return Swayed(
        displacement=deviation(whole([moved[:, 0::2] for moved in sides])),
        curvature=deviation(bent),
        velocity=np.where(wet, spread, 0.0),
        foot_angle=angle,
        top_angle=float(deviation(top)),
        mean_flow=np.where(wet, mean_squared_flow(riser.current, spread), 0.0),
        crossing_period=2.0 * np.pi * angle / speed if speed > 0.0 else np.inf,
        curvature_period=periods[0],
        curvature_mean_period=periods[1],
        curvature_peak_period=periods[2],
        bent=bent,
        residual=change,
    )
