"""Would gas and the water of the mud form hydrate at the sea-bed stack and in the choke line?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from bathybore.base.arrays import Array
from bathybore.base.keeping import SOME, kept
from bathybore.base.working import FromWalk, Solved, Value, work
from bathybore.kernels.gas import (
    hydrate_equilibrium_temperature,
    hydrate_stability_temperature,
    inhibitor_mass_fraction,
)
from bathybore.kernels.kick_march import ATMOSPHERE
from bathybore.model.hole import Setting
from bathybore.operations.circulation import Circulation
from bathybore.operations.columns import (
    OPEN_TO_AIR,
    column_pressure,
    nodes_at,
    temperature,
)
from bathybore.operations.heat_profile import circulating_temperature
from bathybore.operations.state import FluidLayer

# m; of the choke line between the nodes at which it is looked at
SPACING: Final = 50.0
_FIRST: Final = 300.0  # m; of mud, some 3 MPa: hydrate would need water at its freezing point


@dataclass(frozen=True, eq=False)
class Hydrates:
    """Temperatures at the stack and down the choke line against that of hydrate.

    Attributes
    ----------
    flow : of drilling, whose mud warms the stack
    over : shut-in pressure on the gauge, on top of the mud's
    """

    setting: Setting
    layers: tuple[FluidLayer, ...]
    flow: Circulation
    over: Value

    @cached_property
    def places(self) -> Array:
        """Down the choke line to the stack; above, at lower pressure, no sea is cold enough."""
        bed = float(self.setting.sea_bed)
        return np.append(np.arange(min(_FIRST, 0.5 * bed), bed - 1.0, SPACING), bed)

    @cached_property
    def pressure(self) -> Value:
        """Absolute pressure along the line, mud at rest and the well shut in."""
        mud = column_pressure(self.setting, self.layers, OPEN_TO_AIR, self.places)
        origin = Solved(
            "mud at rest, the shut-in pressure and the atmosphere", "definition", (mud, self.over)
        )
        return Value(
            "pressure", np.asarray(mud.si) + float(self.over) + ATMOSPHERE, "Pa", origin, -1
        )

    @cached_property
    def salinity(self) -> Value:
        """Of sea water at the sea bed, of which mud is built; an inhibitor told counts its own."""
        setting = self.setting
        if setting.basis.hydrate_suppression is not None:
            fresh = FromWalk("fresh water: what the design basis tells counts the salt")
            return Value("practical_salinity", 0.0, "-", fresh)
        table = setting.sea.at("practical_salinity", nodes_at(setting.sea_bed))
        origin = FromWalk(f"{setting.sea.file}: sea water at the sea bed")
        return Value("practical_salinity", float(table[0]), "-", origin)

    @cached_property
    def forms_below(self) -> Value:
        """Highest temperature at which hydrate is stable, along the line."""
        return work(
            hydrate_stability_temperature, pressure=self.pressure, practical_salinity=self.salinity
        )

    @property
    def by_the_other_fit(self) -> tuple[Array, Array]:
        """Temperature and pressure where another fit, of measured points, is believed."""
        pressure = np.linspace(2.5e6, 12e6, 20)
        return np.asarray(hydrate_equilibrium_temperature(pressure)), pressure

    @cached_property
    def stopped(self) -> Value:
        """Temperature along the line once circulation has stopped for long: the sea's."""
        origin = FromWalk("undisturbed sea, as after a long stop")
        return Value("temperature", temperature(self.setting, self.places), "K", origin, -1)

    @cached_property
    def circulating(self) -> Value:
        """Temperature of the mud in the stack while it circulates."""
        at_stack = circulating_temperature(self.flow, nodes_at(self.setting.sea_bed))
        return at_stack.at_node(0).named("temperature")

    def short_of(self, warm: Value, forms: Value) -> Value:
        """Return by how much it is colder than hydrate allows; nothing where it is warm enough."""
        gap = np.maximum(np.asarray(forms.si) - np.asarray(warm.si), 0.0)
        origin = Solved(
            "highest temperature of hydrate less that of the mud, none below nothing",
            "definition",
            (forms, warm),
        )
        number = float(gap) if gap.ndim == 0 else gap
        axis = None if gap.ndim == 0 else -1
        return Value("hydrate_subcooling", number, "K difference", origin, axis)

    @cached_property
    def forms_with_inhibitor(self) -> Value:
        """The same, lowered by the inhibitor that the design basis tells, if it tells one."""
        basis = self.setting.basis
        if basis.hydrate_suppression is None:
            return self.forms_below
        lowered = basis.value("hydrate_suppression", "hydrate_subcooling")
        origin = Solved("lowered by salt and glycol", "definition", (self.forms_below, lowered))
        number = np.asarray(self.forms_below.si) - float(lowered)
        return Value(self.forms_below.name, number, "K", origin, -1)

    @cached_property
    def suppression(self) -> Value:
        """By how much the inhibitor lowers the temperature; nothing where none is told."""
        basis = self.setting.basis
        if basis.hydrate_suppression is None:
            none = FromWalk("the design basis tells of no inhibitor")
            return Value("hydrate_subcooling", 0.0, "K difference", none)
        return basis.value("hydrate_suppression", "hydrate_subcooling")

    def suppression_needed(self, warm: Value, forms: Value) -> Value:
        """Return by how much hydrate has to be suppressed at a temperature, margin kept."""
        margin = self.setting.basis.value("hydrate_margin", "hydrate_subcooling")
        gap = np.asarray(forms.si) + float(margin) - np.asarray(warm.si)
        origin = Solved(
            "highest temperature of hydrate, with the margin, less that of the mud; none below "
            "nothing",
            "definition",
            (forms, margin, warm),
        )
        needed = np.maximum(gap, 0.0)
        number = float(needed) if needed.ndim == 0 else needed
        axis = None if needed.ndim == 0 else -1
        return Value("hydrate_subcooling", number, "K difference", origin, axis)

    def glycol_for(self, subcooling: Value) -> Value:
        return work(inhibitor_mass_fraction, hydrate_subcooling=subcooling)


@kept(SOME)
def hydrates(
    setting: Setting, layers: tuple[FluidLayer, ...], flow: Circulation, over: Value
) -> Hydrates:
    """Return the temperatures at the stack and down the choke line against that of hydrate."""
    return Hydrates(setting, layers, flow, over)
