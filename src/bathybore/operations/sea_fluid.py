"""Sea water as a drilling fluid: what fills a hole when nothing else is pumped."""

from __future__ import annotations

import numpy as np

from bathybore.base.keeping import FEW, kept
from bathybore.kernels.seawater import (
    absolute_salinity,
    conservative_temperature,
    sea_water_density,
    sea_water_viscosity,
)
from bathybore.model.fields import place
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
    table, point = setting.sea, chart_point(setting)
    practical, warmth = table.numbers["practical_salinity"][-1], table.numbers["temperature"][-1]
    salinity = absolute_salinity(practical, 0.0, point.longitude, point.latitude)
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
