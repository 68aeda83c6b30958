"""What the hole asks for when pipe leaves it: steel pulled, levels fallen, pressure lost."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Real
from bathybore.base.registry import Limit, published
from bathybore.kernels.mud import STANDARD_GRAVITY


@published(
    formula="V_D = (m L)/rho_s",
    source="definition",
    where="mass of the pipe over the density of its steel: tool joints are in its mass",
    example={"linear_mass": "33.6 kg/m", "length": "28 m"},
)
def pipe_displacement(linear_mass: Real, length: Real, steel_density: Real = 7850.0) -> Real:
    """Volume that the material of a length of pipe pushes aside, joints included.

    Parameters
    ----------
    linear_mass : [kg/m]
        Mass per length, joints included.
    length : [m]
        Length pulled or run.
    steel_density : [kg/m3]
        Density of its material.

    Returns
    -------
    steel_displacement : [m3]
        Volume.
    """
    return linear_mass * np.asarray(length) / steel_density


@published(
    formula="h = V / (A - A_s)",
    source="definition",
    where="level in the hole round the pipe that is still in it",
    valid={"volume": Limit(0.0, 1e3)},
    example={"volume": "3.45 bbl", "annulus_area": "0.0403 m2", "pipe_body_area": "0.00391 m2"},
    caution="Wet pipe brings its bore's mud up as well: count it in volume and area.",
)
def level_fall_when_not_filled(volume: Real, annulus_area: Real, pipe_body_area: Real) -> Real:
    """Fall of the level in the hole when pipe is pulled and nothing filled in.

    Parameters
    ----------
    volume : [m3]
        Volume that left the hole.
    annulus_area : [m2]
        Section of the bore that the level stands in, without pipe.
    pipe_body_area : [m2]
        Section of the pipe still in it: of its steel when dry, with its bore when wet.

    Returns
    -------
    height : [m]
        Fall of the level.
    """
    return np.asarray(volume) / (np.asarray(annulus_area) - pipe_body_area)


@published(
    formula="Delta p = rho_f g h",
    source="definition",
    where="hydrostatics of the level that is missing",
    example={"fluid_density": "11.5 ppg", "height": "49.4 ft"},
)
def pressure_lost_with_level(
    fluid_density: Real, height: Real, gravity: Real = STANDARD_GRAVITY
) -> Real:
    """Pressure that the hole loses when its level falls.

    Parameters
    ----------
    fluid_density : [kg/m3]
        Density of the mud.
    height : [m]
        Fall of the level.
    gravity : [m/s2]
        Acceleration of gravity at the site.

    Returns
    -------
    pressure_loss : [Pa]
        Pressure lost at every depth below.
    """
    return fluid_density * gravity * np.asarray(height)
