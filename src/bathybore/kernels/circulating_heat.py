"""Heat of a circulating hole, cell by cell: settled, and as time goes.

The mud goes down a pipe and up the annulus round it; pipe and annulus exchange heat
through the pipe, the annulus with the ground or the sea. Each cell takes the heat that
flows into it and passes it on (upwind), so that energy is conserved to rounding and no
temperature leaves the range of those that act on it. The settled hole with one straight
geotherm is the solution of Holmes and Swift (``heat.circulating_pipe_temperature``),
which these cells approach as they grow shorter.

Arrays are (..., cell), from the top down; cells below the sea bed carry rings of ground.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.errors import NotConverged
from bathybore.base.registry import Limit, published

LAMINAR_NUSSELT = 4.36  # developed laminar flow in a tube at constant heat flux; textbook value


@published(
    formula='"Pr" = (c_m mu_a) / k_m',
    source="definition",
    where="momentum over heat diffusivity",
    valid={"mud_conductivity": Limit(0.05, 5.0, "liquids")},
    example={
        "mud_heat_capacity": "3800 J/kg/K",
        "apparent_viscosity": "20 cP",
        "mud_conductivity": "0.7 W/m/K",
    },
)
def prandtl_number(
    mud_heat_capacity: Real, apparent_viscosity: Real, mud_conductivity: Real
) -> Real:
    """Prandtl number of a mud at the viscosity that its flow has.

    Parameters
    ----------
    mud_heat_capacity : [J/kg/K]
        Heat capacity of the mud per mass.
    apparent_viscosity : [Pa s]
        Viscosity at the shear rate of the flow.
    mud_conductivity : [W/m/K]
        Heat conductivity of the mud.

    Returns
    -------
    prandtl_number : [-]
        Prandtl number.
    """
    return mud_heat_capacity * apparent_viscosity / mud_conductivity


@published(
    formula=(
        '"Nu" = 4.36 quad "Re" <= 2300 , quad "Nu" = 0.023 "Re"^0.8 "Pr"^0.4 quad "Re" >= 4000 \\ '
        '"between, along the logarithm of Re"'
    ),
    source="dittus-boelter-1930",
    where="turbulent flow in tubes, coefficient of McAdams; from memory",
    valid={"reynolds_number": Limit(0.0, 1e6), "prandtl_number": Limit(0.5, 500.0)},
    validity_note="Developed flow; in thick muds at high Prandtl numbers a rough guide.",
    example={"reynolds_number": "20000", "prandtl_number": "8"},
)
def nusselt_number(reynolds_number: Real, prandtl_number: Real) -> Real:
    """Heat passed to the wall of a channel over what still fluid would conduct.

    Parameters
    ----------
    reynolds_number : [-]
        Generalised Reynolds number.
    prandtl_number : [-]
        Prandtl number.

    Returns
    -------
    nusselt_number : [-]
        Nusselt number on the hydraulic diameter.
    """
    fast = np.maximum(reynolds_number, 4000.0)
    turbulent = 0.023 * fast**0.8 * np.asarray(prandtl_number) ** 0.4
    turbulent = np.maximum(turbulent, LAMINAR_NUSSELT)
    slow = np.maximum(reynolds_number, 2300.0)
    share = np.minimum(np.log(slow / 2300.0) / np.log(4000.0 / 2300.0), 1.0)
    return np.asarray(LAMINAR_NUSSELT * (turbulent / LAMINAR_NUSSELT) ** share)


@published(
    formula='h_f = "Nu" k_m / d_H',
    source="definition",
    where="definition of the Nusselt number",
    example={
        "nusselt_number": "120",
        "mud_conductivity": "0.7 W/m/K",
        "hydraulic_diameter": "4.3 in",
    },
)
def film_coefficient(
    nusselt_number: Real, mud_conductivity: Real, hydraulic_diameter: Real
) -> Real:
    """Heat that flowing mud passes to a wall per area and difference of temperature.

    Parameters
    ----------
    nusselt_number : [-]
        Nusselt number.
    mud_conductivity : [W/m/K]
        Heat conductivity of the mud.
    hydraulic_diameter : [m]
        Bore, or the difference of the diameters of an annulus.

    Returns
    -------
    film_coefficient : [W/m2/K]
        Film coefficient.
    """
    return nusselt_number * mud_conductivity / hydraulic_diameter


@published(
    formula=("u = 2 pi (1/(r_i h_i) + ln(r_o \\/ r_i) / k_w + 1/(r_o h_o))^(-1)"),
    source="definition",
    where="films and the wall of a tube in series",
    valid={"wall_conductivity": Limit(0.02, 500.0)},
    example={
        "inner_radius": "2.1 in",
        "outer_radius": "2.5 in",
        "inner_film_coefficient": "800 W/m2/K",
        "outer_film_coefficient": "300 W/m2/K",
        "wall_conductivity": "45 W/m/K",
    },
)
def tube_heat_conductance(
    inner_radius: Real,
    outer_radius: Real,
    inner_film_coefficient: Real,
    outer_film_coefficient: Real,
    wall_conductivity: Real,
) -> Real:
    """Heat through the wall of a tube, films included, per length and difference of temperature.

    Parameters
    ----------
    inner_radius : [m]
        Inside radius.
    outer_radius : [m]
        Outside radius.
    inner_film_coefficient : [W/m2/K]
        Film coefficient inside.
    outer_film_coefficient : [W/m2/K]
        Film coefficient outside.
    wall_conductivity : [W/m/K]
        Heat conductivity of the wall.

    Returns
    -------
    heat_conductance : [W/m/K]
        Heat per length and difference of temperature.
    """
    inside = 1.0 / (inner_radius * inner_film_coefficient)
    wall = np.log(outer_radius / inner_radius) / wall_conductivity
    return 2.0 * np.pi / (inside + wall + 1.0 / (outer_radius * outer_film_coefficient))


@published(
    formula="u = 2 pi k_t / f",
    source="ramey-1962",
    where="transient function as the resistance of the ground, from memory",
    valid={"transient_heat_function": Limit(1e-3, 50.0, "some time after the start")},
    example={"thermal_conductivity": "2 W/m/K", "transient_heat_function": "2.17"},
)
def ground_heat_conductance(thermal_conductivity: Real, transient_heat_function: Real) -> Real:
    """Heat that the ground passes to the hole per length and difference of temperature.

    Parameters
    ----------
    thermal_conductivity : [W/m/K]
        Conductivity of the ground.
    transient_heat_function : [-]
        Transient function at the time since circulation began.

    Returns
    -------
    heat_conductance : [W/m/K]
        Heat per length and difference of temperature.
    """
    return 2.0 * np.pi * thermal_conductivity / transient_heat_function


@published(
    formula="c_m = (phi rho_b c_b + (1 - phi) rho_l c_l) / rho_f, quad "
    "phi = (rho_f - rho_l)/(rho_b - rho_l)",
    source="definition",
    where="heat capacities add by mass; barite 460 J/kg/K, from memory",
    valid={"fluid_density": Limit(700.0, 2600.0)},
    validity_note="A fluid of a base and one weighting solid.",
    example={
        "fluid_density": "1.40 sg",
        "base_density": "1.03 sg",
        "base_heat_capacity": "3990 J/kg/K",
    },
)
def mud_heat_capacity(
    fluid_density: Real,
    base_density: Real = 1030.0,
    base_heat_capacity: Real = 3990.0,
    barite_density: Real = 4200.0,
    barite_heat_capacity: Real = 460.0,
) -> Real:
    """Heat capacity of a mud from its density: base fluid and weighting solids by mass.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the mud; lighter than the base counts as the base.
    base_density : [kg/m3]
        Density of the base fluid: sea water if not told.
    base_heat_capacity : [J/kg/K]
        Heat capacity of the base: sea water if not told.
    barite_density : [kg/m3]
        Grain density of the weighting solids.
    barite_heat_capacity : [J/kg/K]
        Heat capacity of the weighting solids.

    Returns
    -------
    mud_heat_capacity : [J/kg/K]
        Heat capacity per mass of mud.
    """
    solids = np.maximum((fluid_density - base_density) / (barite_density - base_density), 0.0)
    heavy, light = solids * barite_density, (1.0 - solids) * base_density
    return (heavy * barite_heat_capacity + light * base_heat_capacity) / (heavy + light)


# ---- the hole, cell by cell ---------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class HeatPath:
    """A pipe and the annulus round it, cut into cells from the top down; arrays (..., cell).

    Attributes
    ----------
    length : of each cell [m]
    pipe_flow : heat that the flow down the pipe carries per degree, rho q c [W/K], (..., 1)
    annulus_flow : the same in the annulus; more than below where a booster joins, nothing
        where the annulus is the open sea [W/K]
    pipe_conductance : between pipe and annulus [W/m/K]
    wall_conductance : between annulus and surroundings [W/m/K]
    surroundings : undisturbed temperature of ground or sea [K]
    inlet, booster : temperatures of what is pumped down the pipe and the booster line [K], (..., 1)
    pipe_heat, annulus_heat : made by friction [W/m]
    bit_heat : made at the bit [W], (..., 1)
    """

    length: Array
    pipe_flow: Array
    annulus_flow: Array
    pipe_conductance: Array
    wall_conductance: Array
    surroundings: Array
    inlet: Array
    booster: Array
    pipe_heat: Array
    annulus_heat: Array
    bit_heat: Array

    def flow_from_below(self) -> Array:
        """Return what each cell of the annulus takes in from the next below [W/K]."""
        shape = np.broadcast_shapes(self.annulus_flow.shape, self.pipe_flow.shape)
        up = np.broadcast_to(self.annulus_flow, shape)
        below = np.concatenate([up[..., 1:], np.broadcast_to(self.pipe_flow, shape)[..., :1]], -1)
        return np.asarray(np.minimum(below, up))


@dataclass(frozen=True, eq=False)
class HoleHeat:
    """Temperatures of the mud in each cell of pipe and annulus [K]."""

    pipe: Array
    annulus: Array


def settled_heat(path: HeatPath) -> HoleHeat:
    """Return the temperatures of settled circulation.

    Parameters
    ----------
    path : of the flow

    Returns
    -------
    temperatures : (..., cell) in pipe and annulus
    """
    return _balanced(path)


def _balanced(
    path: HeatPath,
    stored: tuple[Array, Array] | None = None,
    before: HoleHeat | None = None,
) -> HoleHeat:
    """Solve the balance of every cell; ``stored`` is heat per degree over the time step [W/K].

    Unknowns alternate, pipe then annulus, down the cells: five bands. Realisations stand
    one after the other in one system, with nothing between them.
    """
    from scipy.linalg.lapack import dgbsv  # here: costly to import

    dz = path.length
    u_p, u_w = path.pipe_conductance * dz, path.wall_conductance * dz
    up_in = path.flow_from_below()
    shape = np.broadcast_shapes(u_p.shape, u_w.shape, up_in.shape, path.surroundings.shape)
    everywhere = np.zeros(shape)
    w_p, w_a = path.pipe_flow + everywhere, path.annulus_flow + everywhere
    # two rows more than bands, for what comes of exchanged rows
    room = np.zeros((7, *shape, 2))
    band = room[2:]
    right = np.zeros((*shape, 2))
    pipe_diagonal = w_p + u_p
    annulus_diagonal = w_a + u_p + u_w
    right[..., 0] = path.pipe_heat * dz
    right[..., 1] = path.annulus_heat * dz + u_w * path.surroundings + (w_a - up_in) * path.booster
    right[..., 0, 0] += (w_p * path.inlet)[..., 0]
    right[..., -1, 1] += path.bit_heat[..., 0]
    if stored is not None and before is not None:
        pipe_diagonal = pipe_diagonal + stored[0]
        annulus_diagonal = annulus_diagonal + stored[1]
        right[..., 0] += stored[0] * before.pipe
        right[..., 1] += stored[1] * before.annulus
    # band[2 + row - column] holds the coefficient at its column
    band[2, ..., 0], band[2, ..., 1] = pipe_diagonal, annulus_diagonal
    band[1, ..., 1] = -u_p  # pipe on annulus
    band[3, ..., 0] = -u_p  # annulus on pipe
    band[3, ..., -1, 0] -= up_in[..., -1]  # at the bottom the pipe's mud enters the annulus
    band[4, ..., :-1, 0] = -w_p[..., :-1]  # the next cell of the pipe on this one
    band[0, ..., 1:, 1] = -up_in[..., :-1]  # the next cell up the annulus on this one
    _, _, found, singular = dgbsv(2, 2, room.reshape(7, -1), right.reshape(-1), overwrite_ab=True)
    solution = found.reshape(*shape, 2)
    if singular or not np.isfinite(solution).all():
        raise NotConverged("heat of the hole: a balance has no finite solution")
    return HoleHeat(solution[..., 0], solution[..., 1])


# ---- as time goes -------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class GroundRings:
    """Rings of ground round every cell, from the wall out, and what stores heat beside them.

    Attributes
    ----------
    inward : conductance from each ring to the next one in, the first one to the wall
        [W/m/K], (..., cell, ring); nothing where the sea is outside
    outward : of the last ring to ground that keeps its temperature [W/m/K], (..., cell)
    capacity : heat per degree and length of each ring [J/m/K], (..., cell, ring)
    in_sea : whether the cell stands in the sea, which keeps its temperature (cell)
    pipe_capacity, annulus_capacity : of the mud in pipe and annulus [J/m/K], (..., cell)
    """

    inward: Array
    outward: Array
    capacity: Array
    in_sea: Array
    pipe_capacity: Array
    annulus_capacity: Array


def ground_rings(
    wall_radius: Array,
    wall_conductance: Array,
    in_sea: Array,
    thermal_conductivity: float,
    thermal_diffusivity: float,
    pipe_capacity: Array,
    annulus_capacity: Array,
    reach: float = 20.0,
    count: int = 16,
) -> GroundRings:
    """Return rings of ground that widen outwards by one ratio.

    Parameters
    ----------
    wall_radius : (cell) [m]
        Radius of the wall of the hole, where the ground begins.
    wall_conductance : (cell) [W/m/K]
        From the mud to the wall: the film; infinite for none.
    in_sea : (cell)
        Cells with the sea outside.
    thermal_conductivity, thermal_diffusivity : [W/m/K], [m2/s]
        Of the ground.
    pipe_capacity, annulus_capacity : (cell) [J/m/K]
        Heat per degree and length of the mud.
    reach : [m]
        Radius beyond which the ground keeps its temperature.
    count : rings

    Returns
    -------
    rings : for `heat_after`
    """
    ratio = (reach / wall_radius) ** (1.0 / count)
    edges = wall_radius[:, None] * ratio[:, None] ** np.arange(count + 1.0)
    capacity = thermal_conductivity / thermal_diffusivity * np.pi * np.diff(edges**2, axis=-1)
    # a ring keeps its heat at the middle of its logarithms: steady conduction is exact
    between = 2.0 * np.pi * thermal_conductivity / np.log(ratio)
    inward = np.repeat(between[:, None], count, axis=1)
    inward[:, 0] = 1.0 / (1.0 / wall_conductance + 0.5 / between)
    return GroundRings(inward, 2.0 * between, capacity, in_sea, pipe_capacity, annulus_capacity)


@dataclass(frozen=True, eq=False)
class HeatInTime:
    """Temperatures of mud and ground at one time.

    Attributes
    ----------
    mud : in pipe and annulus
    ground : of the rings (..., cell, ring) [K]
    """

    mud: HoleHeat
    ground: Array


def undisturbed(path: HeatPath, rings: GroundRings) -> HeatInTime:
    """Return the heat of a hole that has long been at rest."""
    shape = np.broadcast_shapes(path.surroundings.shape, path.annulus_flow.shape)
    still = np.broadcast_to(path.surroundings, shape)
    ground = np.repeat(still[..., None], rings.capacity.shape[-1], axis=-1)
    return HeatInTime(HoleHeat(still, still), ground)


def heat_after(
    path: HeatPath, rings: GroundRings, start: HeatInTime, duration: float, steps: int
) -> HeatInTime:
    """Return the heat after a time of one flow, by even implicit steps.

    The rings are done away with cell by cell, from outside in: what is left is a conductance
    to the wall and a temperature behind it, and the balance is that of settled flow with
    stored heat. Each step conserves energy to rounding, whatever its length; the first-order
    error in time is halved with the step.

    Parameters
    ----------
    path : the flow; nothing flows where the pumps are stopped
    rings : the ground
    start : heat at the beginning
    duration : [s]
        How long the flow goes on.
    steps : of time

    Returns
    -------
    heat : at the end

    Raises
    ------
    NotConverged
        A balance has no finite solution.
    """
    dt = duration / steps
    held = rings.capacity / dt
    passing, share = _through_the_rings(rings, held)
    u_wall = np.where(rings.in_sea, path.wall_conductance, rings.inward[..., 0] * (1.0 - share[0]))
    stored = (rings.pipe_capacity * path.length / dt, rings.annulus_capacity * path.length / dt)
    now = start
    for _ in range(steps):
        pushed = _pushed_in(path, rings, held, passing, now.ground)
        behind = np.where(rings.in_sea, path.surroundings, pushed[0] / (1.0 - share[0]))
        mud = _balanced(
            replace(path, wall_conductance=u_wall, surroundings=behind), stored, now.mud
        )
        now = HeatInTime(mud, _out_again(mud.annulus, pushed, share))
    return now


def _through_the_rings(rings: GroundRings, held: Array) -> tuple[list[Array], list[Array]]:
    """Return of every ring its whole conductance, and the share that follows the next one in."""
    count = held.shape[-1]
    whole: list[Array] = [np.empty(0)] * count
    share: list[Array] = [np.empty(0)] * count
    outward = rings.outward  # the last ring's neighbour keeps its temperature
    for ring in range(count - 1, -1, -1):
        whole[ring] = held[..., ring] + rings.inward[..., ring] + outward
        share[ring] = rings.inward[..., ring] / whole[ring]
        if ring:
            outward = rings.inward[..., ring] * (1.0 - share[ring])
    return whole, share


def _pushed_in(
    path: HeatPath, rings: GroundRings, held: Array, whole: list[Array], ground: Array
) -> list[Array]:
    """Return the part of each ring's new temperature that its old heat and the outside give."""
    count = held.shape[-1]
    pushed: list[Array] = [np.empty(0)] * count
    from_outside = rings.outward * path.surroundings
    for ring in range(count - 1, -1, -1):
        pushed[ring] = (held[..., ring] * ground[..., ring] + from_outside) / whole[ring]
        from_outside = rings.inward[..., ring] * pushed[ring]
    return pushed


def _out_again(annulus: Array, pushed: list[Array], share: list[Array]) -> Array:
    """Return the new temperatures of the rings, from the wall out."""
    inside, rings = annulus, []
    for part, follows in zip(pushed, share, strict=True):
        inside = part + follows * inside
        rings.append(inside)
    return np.stack(rings, axis=-1)
