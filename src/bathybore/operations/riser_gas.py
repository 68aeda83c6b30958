"""The design kick found late: all of it above the preventer, in the riser."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.gas import gas_density, gas_z_factor
from bathybore.kernels.kick_march import ATMOSPHERE, gas_velocity_by_drift, slug_rise_velocity
from bathybore.kernels.riser_gas import (
    diverter_gas_rate,
    gas_mass_rate,
    riser_unloaded_volume,
    riser_unloading_depth,
    riser_unloading_pressure,
    standard_gas_rate,
)
from bathybore.kernels.well_control import annulus_area
from bathybore.operations.columns import gravity_value, temperature
from bathybore.operations.kick_in_time import KickInTime


@dataclass(frozen=True, eq=False)
class RiserGas:
    """What the gas of the design kick does when nobody sees it before it is in the riser."""

    timed: KickInTime

    @cached_property
    def area(self) -> Value:
        """Narrowest annulus between riser and string, where the bubble is longest."""
        whole = self.timed.flow.annuli
        which = [i for i, kind in enumerate(whole.kinds) if kind == "riser"]
        room = whole.outer_diameter[which] ** 2 - whole.inner_diameter[which] ** 2
        index = which[int(np.argmin(room))]
        how = FromWalk(whole.names[index])
        return work(
            annulus_area,
            annulus_outer_diameter=Value(
                "annulus_outer_diameter", float(whole.outer_diameter[index]), "m", how
            ),
            annulus_inner_diameter=Value(
                "annulus_inner_diameter", float(whole.inner_diameter[index]), "m", how
            ),
        )

    @property
    def mud_density(self) -> Value:
        return self.timed.kick.fluid.value("density", "mud_density")

    @cached_property
    def temperature(self) -> Value:
        """Of the upper sea, where the gas unloads."""
        setting = self.timed.kick.setting
        where = min(250.0, 0.5 * setting.sea_bed)
        origin = FromWalk(f"undisturbed sea {where:.0f} m below sea level")
        return Value("temperature", float(temperature(setting, where)), "K", origin)

    @cached_property
    def pressure(self) -> Value:
        setting = self.timed.kick.setting
        return work(
            riser_unloading_pressure,
            gas_mass=self.timed.influx_mass.named("gas_mass"),
            mud_density=self.mud_density,
            annulus_area=self.area,
            temperature=self.temperature,
            gas_gravity=setting.basis.value("gas_gravity"),
            gravity=gravity_value(setting),
        )

    @cached_property
    def depth(self) -> Value:
        """Depth of the bubble's foot below the flow line at which it unloads the riser."""
        return work(
            riser_unloading_depth,
            riser_unloading_pressure=self.pressure,
            mud_density=self.mud_density,
            gravity=gravity_value(self.timed.kick.setting),
        )

    @cached_property
    def unloaded(self) -> Value:
        return work(
            riser_unloaded_volume,
            riser_unloading_pressure=self.pressure,
            mud_density=self.mud_density,
            annulus_area=self.area,
            gravity=gravity_value(self.timed.kick.setting),
        )

    @cached_property
    def _gas(self) -> Value:
        pressure = self.pressure.named("pressure")
        return work(
            gas_density,
            pressure=pressure,
            temperature=self.temperature,
            z_factor=work(gas_z_factor, pressure=pressure, temperature=self.temperature),
            gas_gravity=self.timed.kick.setting.basis.value("gas_gravity"),
        )

    @cached_property
    def velocity(self) -> Value:
        """Speed at which the bubble comes up, the pumps running as while drilling."""
        flow, setting = self.timed.flow, self.timed.kick.setting
        boost = flow.booster_flow_rate
        rate, area = float(flow.flow_rate) + float(boost), float(self.area)
        origin = Solved("pumps and booster over the area", "definition", (flow.flow_rate, boost))
        whole = flow.annuli
        first = whole.kinds.index("riser")
        how = FromWalk(whole.names[first])
        return work(
            gas_velocity_by_drift,
            mixture_velocity=Value("mixture_velocity", rate / area, "m/s", origin),
            profile_coefficient=Value(
                "profile_coefficient", 1.2, "-", FromWalk("gas gathers in the middle")
            ),
            rise_velocity=work(
                slug_rise_velocity,
                annulus_outer_diameter=Value(
                    "annulus_outer_diameter", float(whole.outer_diameter[first]), "m", how
                ),
                annulus_inner_diameter=Value(
                    "annulus_inner_diameter", float(whole.inner_diameter[first]), "m", how
                ),
                mud_density=self.mud_density,
                gas_density=self._gas,
                gravity=gravity_value(setting),
            ).named("rise_velocity"),
        )

    @cached_property
    def rate(self) -> Value:
        """Gas that arrives at the surface, as volume at standard conditions."""
        mass = work(
            gas_mass_rate,
            gas_density=self._gas,
            annulus_area=self.area,
            gas_velocity=self.velocity,
        )
        return self._standard(mass)

    @cached_property
    def passed(self) -> Value:
        """Gas that the diverter line passes at the pressure that the slip joint bears."""
        basis = self.timed.kick.setting.basis
        gauge = basis.value("diverter_pressure")
        absolute = Value(
            "absolute_pressure",
            float(gauge) + ATMOSPHERE,
            "Pa",
            Solved("gauge pressure and the atmosphere", "definition", (gauge,)),
        )
        mass = work(
            diverter_gas_rate,
            absolute_pressure=absolute,
            line_inside_diameter=basis.value("diverter_line_diameter", "line_inside_diameter"),
            line_length=basis.value("diverter_line_length", "line_length"),
            temperature=self.temperature,
            gas_gravity=basis.value("gas_gravity"),
        )
        return self._standard(mass)

    def _standard(self, mass: Value) -> Value:
        gravity = self.timed.kick.setting.basis.value("gas_gravity")
        return work(standard_gas_rate, gas_mass_rate=mass, gas_gravity=gravity)


@kept(SOME)
def riser_gas(timed: KickInTime) -> RiserGas:
    """Return what the design kick does in the riser."""
    return RiserGas(timed)
