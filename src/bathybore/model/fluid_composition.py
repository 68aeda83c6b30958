"""A mud by what it is made of: shares of water, oil and solids, each with its own law."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, Literal, NamedTuple, Self, TypeAlias

import numpy as np
from pydantic import model_validator

from bathybore.base.arrays import Array, Real
from bathybore.base.keeping import FEW, kept
from bathybore.base.registry import equation_of
from bathybore.base.working import FromWalk, Origin, Solved, Value, work
from bathybore.kernels.base_oils import (
    diesel_density,
    internal_olefin_density,
    mineral_oil_density,
)
from bathybore.kernels.mud import density_at
from bathybore.kernels.mud_composition import (
    HIGH_GRAVITY,
    LOW_GRAVITY,
    composed_density,
    mean_compressibility,
    mean_thermal_expansion,
    warm_sea_water_density,
    water_share,
)
from bathybore.kernels.seawater import conservative_temperature, sea_water_density
from bathybore.kernels.water import pure_water_density
from bathybore.model.fields import (
    Compressibility,
    Density,
    Expansion,
    Fraction,
    Node,
    Ratio,
    sourced,
)

_WARMEST: Final = 313.15  # K; where the equation of sea water ends
_HOTTEST: Final = 453.15  # K; where that of hot sea water ends
MOST_PRESSED: Final = 1e8  # Pa; where those of sea and of pure water end
WATER: Final = (
    "sea water of its salinity after TEOS-10; warmer than 40 °C it swells as at the surface "
    "(Sharqawy and others) and is squeezed more or less than at 40 °C as pure water is "
    "(IAPWS-IF97); from 180 °C on it swells as pure water does under that pressure"
)
BaseOil: TypeAlias = Literal["mineral oil", "diesel", "internal olefin"]
OILS: Final[dict[BaseOil, Callable[[Real, Real], Real]]] = {
    "mineral oil": mineral_oil_density,
    "diesel": diesel_density,
    "internal olefin": internal_olefin_density,
}
_Numbers: TypeAlias = dict[str, Array]


class Composition(Node):
    """What a volume of mud is made of at the surface; the rest is water."""

    salinity: Ratio = sourced(35.0, note="grams of salt in a kilogram of its water")
    oil: Fraction = sourced(0.0)
    low_gravity_solids: Fraction = sourced(0.0)
    high_gravity_solids: Fraction = sourced(0.0)
    low_gravity_density: Density = sourced(2600.0, "common-practice", "clay and drilled rock")
    high_gravity_density: Density = sourced(4200.0, "common-practice", "barite")
    base_oil: BaseOil = sourced("mineral oil", note="its law of pressure and temperature")
    oil_density: Density | None = None  # at the surface, by the law of its base oil if not told
    oil_compressibility: Compressibility | None = None  # as measured, in place of that law
    oil_thermal_expansion: Expansion | None = None

    @model_validator(mode="after")
    def _no_more_than_whole(self) -> Self:
        parts = self.oil + self.low_gravity_solids + self.high_gravity_solids
        if not parts < 1.0:
            raise ValueError(
                f"found oil and solids that are {parts:.3g} of the volume; expected less than 1, "
                "the rest being water"
            )
        if (self.oil_compressibility is None) != (self.oil_thermal_expansion is None):
            raise ValueError(
                "found half of what was measured of the oil; expected oil_compressibility together "
                "with oil_thermal_expansion, or neither: then the law of its base_oil counts"
            )
        if self._measured and self.oil_density is None:
            raise ValueError(
                "found oil_compressibility without oil_density; expected the density of the oil "
                "that they were measured of"
            )
        if self.salinity > 42.0:
            raise ValueError(
                f"found a salinity of {self.salinity:g} g/kg; expected no more than 42, where the "
                "equation of sea water ends: give density, compressibility and thermal_expansion "
                "of a brine as measured"
            )
        return self

    @property
    def _measured(self) -> bool:
        """Whether the oil's own coefficients were told."""
        return self.oil_compressibility is not None

    # ---- the parts in place ---------------------------------------------------------------

    def _oil(self, pressure: Real, warmth: Real, reference: float) -> tuple[Array, Array]:
        """Return the density of the oil at the surface and in place."""
        law = OILS[self.base_oil]
        by_law = np.asarray(law(0.0, reference))
        surface = by_law if self.oil_density is None else np.asarray(self.oil_density)
        if self.oil_compressibility is None or self.oil_thermal_expansion is None:
            return surface, np.asarray(surface / by_law * law(pressure, warmth))
        constants = self.oil_compressibility, self.oil_thermal_expansion
        return surface, np.asarray(density_at(surface, pressure, warmth, *constants, reference))

    def parts(self, pressure: Real, warmth: Real, reference: float) -> _Numbers:
        """Return the density of every part at the surface and in place, by what equations say."""
        grains = {"low_gravity": LOW_GRAVITY, "high_gravity": HIGH_GRAVITY}
        at_rest, squeezed = self._oil(pressure, warmth, reference)
        found = {
            "water_density": _water_at_rest(self.salinity, reference),
            "water_density_in_place": water_in_place(self.salinity, pressure, warmth),
            "oil_density": at_rest,
            "oil_density_in_place": squeezed,
        }
        for name, law in grains.items():
            grain = float(getattr(self, f"{name}_density"))
            found[f"{name}_density"] = np.asarray(grain)
            found[f"{name}_density_in_place"] = np.asarray(
                density_at(grain, pressure, warmth, *law, reference)
            )
        return found

    def numbers(self, pressure: Real, warmth: Real, reference: float) -> Array:
        """Return the density of the mud under pressures and at temperatures [kg/m3]."""
        shares = {name: float(value) for name, value in self._shares().items()}
        rest = float(np.asarray(water_share(**shares)))
        parts = self.parts(pressure, warmth, reference)
        return np.asarray(composed_density(water_share=rest, **shares, **parts))

    def density(self, pressure: Value, temperature: Value, reference: Value) -> Value:
        """Return the density of the mud under a pressure and temperature, part by part."""
        shares = self._shares()
        numbers = self.parts(pressure.si, temperature.si, float(reference))
        parts = {
            name: Value(name, number, "kg/m3", self._origin(name, pressure, temperature, reference))
            for name, number in numbers.items()
        }
        made = work(composed_density, water_share=work(water_share, **shares), **shares, **parts)
        return Value(made.name, made.si, made.unit, made.origin, pressure.depth_axis)

    def _origin(self, name: str, pressure: Value, temperature: Value, reference: Value) -> Origin:
        """Return by which law a part is as dense as it is."""
        place = (pressure, temperature) if name.endswith("_in_place") else ()
        if name.startswith("water"):
            salinity = Value("absolute_salinity", self.salinity, "g/kg", self.origin("salinity"))
            outside = water_outside(*(one.si for one in place)) if place else ()
            return Solved(WATER, "teos-10", (salinity, *place), outside=outside)
        if name == "oil_density":
            return self._oil_at_rest(reference).origin
        if name == "oil_density_in_place":
            return self._oil_origin(pressure, temperature, reference)
        how = "grains squeezed and swollen as minerals are, from memory"
        return Solved(how, "common-practice", (self.value(name.removesuffix("_in_place")), *place))

    def _oil_at_rest(self, reference: Value) -> Value:
        if self.oil_density is not None:
            return self.value("oil_density")
        surface = _point("pressure", 0.0, "Pa")
        return work(
            OILS[self.base_oil], pressure=surface, temperature=reference.named("temperature")
        )

    def _oil_origin(self, pressure: Value, temperature: Value, reference: Value) -> Solved:
        behind = self._oil_at_rest(reference), pressure, temperature
        if self._measured:
            measured = self.value("oil_compressibility"), self.value("oil_thermal_expansion")
            return Solved("as measured of the oil", "definition", (*measured, *behind))
        law = equation_of(OILS[self.base_oil])
        outside = law.outside_validity({"pressure": pressure.si, "temperature": temperature.si})
        return Solved(
            f"{self.base_oil} by {law.name}, in proportion to its density at the surface",
            law.source_key,
            behind,
            outside=tuple(f"{law.name}: {text}" for text in outside),
        )

    def _shares(self) -> dict[str, Value]:
        return {
            "oil_share": self.value("oil", "oil_share"),
            "low_gravity_share": self.value("low_gravity_solids", "low_gravity_share"),
            "high_gravity_share": self.value("high_gravity_solids", "high_gravity_share"),
        }

    def constants(self, reference: Value) -> dict[str, Value]:
        """Return density, compressibility and expansion that columns of the mud are made with."""
        rest, deep = _point("first_pressure", 0.0, "Pa"), _point("second_pressure", 60e6, "Pa")
        cold, warm = (
            _point("colder_temperature", 278.15, "K"),
            _point("warmer_temperature", 353.15, "K"),
        )
        at_rest = self.density(rest, reference, reference)
        return {
            "density": at_rest.named("density"),
            "compressibility": work(
                mean_compressibility,
                first_density=at_rest.named("first_density"),
                second_density=self.density(deep, reference, reference).named("second_density"),
                first_pressure=rest,
                second_pressure=deep,
            ),
            "thermal_expansion": work(
                mean_thermal_expansion,
                first_density=self.density(rest, cold, reference).named("first_density"),
                second_density=self.density(rest, warm, reference).named("second_density"),
                colder_temperature=cold,
                warmer_temperature=warm,
            ).named("thermal_expansion"),
        }


class _HotWater(NamedTuple):
    """What of the density of salt water hangs on its warmth alone.

    Attributes
    ----------
    cool, hot : [K] no warmer than where the equations of sea water and of hot sea water end
    swollen : density at the surface over that of the cool
    cool_pure, hot_pure : [kg/m3] density of pure water without pressure
    """

    cool: Array
    hot: Array
    swollen: Array
    cool_pure: Array
    hot_pure: Array


@kept(FEW)
def _hot_water(salinity: float, warmth: Real) -> _HotWater | None:
    """Return it once for a column that is asked under many pressures; None where all is cool."""
    if not np.any(np.greater(warmth, _WARMEST)):
        return None
    cool, hot = np.minimum(warmth, _WARMEST), np.minimum(warmth, _HOTTEST)
    swollen = warm_sea_water_density(salinity, hot) / warm_sea_water_density(salinity, cool)
    pure = [np.asarray(pure_water_density(0.0, one)) for one in (cool, hot)]
    return _HotWater(cool, hot, np.asarray(swollen), *pure)


def water_in_place(salinity: float, pressure: Real, warmth: Real) -> Array:
    """Return the density of salt water: TEOS-10 up to 40 degC, from there on by its warmth."""
    warm = _hot_water(salinity, warmth)
    cool = warmth if warm is None else warm.cool
    heat = conservative_temperature(salinity, cool, pressure)
    density = np.asarray(sea_water_density(salinity, heat, pressure))
    if warm is None:
        return density
    hot_pure = pure_water_density(pressure, warm.hot)
    cool_squeezed = pure_water_density(pressure, warm.cool) / warm.cool_pure
    found = density * warm.swollen * (hot_pure / warm.hot_pure / cool_squeezed)
    if np.any(np.greater(warmth, _HOTTEST)):
        found = found * (pure_water_density(pressure, warmth) / hot_pure)
    return np.asarray(found)


@kept(FEW)
def _water_at_rest(salinity: float, warmth: float) -> Array:
    return water_in_place(salinity, 0.0, warmth)


def water_outside(pressure: Real, warmth: Real) -> tuple[str, ...]:
    """Return what of its laws water in place leaves: both of them end at 100 MPa."""
    law = equation_of(pure_water_density)
    found = law.outside_validity({"pressure": pressure, "in_situ_temperature": warmth})
    return tuple(f"{law.name}: {text}" for text in found)


def _point(name: str, number: float, unit: str) -> Value:
    return Value(name, number, unit, FromWalk("between which a constant coefficient is taken"))
