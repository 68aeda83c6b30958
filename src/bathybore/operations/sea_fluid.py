"""Sea water as a drilling fluid: what fills a hole when nothing else is pumped."""

from __future__ import annotations

import numpy as np

from bathybore.base.arrays import Array, Real
from bathybore.base.keeping import FEW, kept
from bathybore.kernels.seawater import (
    absolute_salinity,
    conservative_temperature,
    sea_water_density,
    sea_water_viscosity,
)
from bathybore.model.fields import place
from bathybore.model.fluid_composition import MOST_PRESSED, water_in_place
from bathybore.model.hole import HoleOrSetting, Setting
from bathybore.model.plan import Fluid
from bathybore.operations.position import chart_point


def sea_water(hole: HoleOrSetting) -> Fluid:
    """Return the bottom water of the sea table as a fluid (TEOS-10 density and viscosity).

    Density is that at no pressure; compressibility and expansion are the linear
    coefficients of the fluid model, as for water-based mud.
    """
    return _sea_water(hole.setting)


@kept(FEW)
def _sea_water(setting: Setting) -> Fluid:
    table, salinity = setting.sea, _salinity(setting)
    warmth = table.numbers["temperature"][-1]
    density = sea_water_density(salinity, conservative_temperature(salinity, warmth, 0.0), 0.0)
    fluid = Fluid.model_construct(
        _fields_set={
            "density",
            "reference_temperature",
            "compressibility",
            "thermal_expansion",
            "consistency",
        },
        density=float(density),
        reference_temperature=float(warmth),
        compressibility=4.4e-10,
        thermal_expansion=1.7e-4,
        yield_stress=0.0,
        consistency=float(np.asarray(sea_water_viscosity(salinity, warmth))),
        flow_index=1.0,
    )
    place(fluid, table.file, "sea water after TEOS-10", {})
    return fluid


def formation_water_density(hole: HoleOrSetting, pressure: Real, warmth: Real) -> Array:
    """Return the density of formation water that comes in, as salt as the sea [kg/m3].

    The least of its way up: that in place, which heat makes small, and that of the cold sea
    without pressure. Light water is the safe side: it presses more on what is above it. So it
    is squeezed no more than its laws know, up to 100 MPa.

    Parameters
    ----------
    pressure : [Pa]
        Where it comes in.
    warmth : [K]
        There.
    """
    setting = hole.setting
    in_place = water_in_place(_salinity(setting), np.minimum(pressure, MOST_PRESSED), warmth)
    return np.minimum(in_place, sea_water(setting).density)


@kept(FEW)
def _salinity(setting: Setting) -> float:
    """Return the absolute salinity of the bottom water [g/kg]."""
    practical, point = setting.sea.numbers["practical_salinity"][-1], chart_point(setting)
    return float(absolute_salinity(practical, 0.0, point.longitude, point.latitude))
