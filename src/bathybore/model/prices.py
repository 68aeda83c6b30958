"""What days and goods cost, where the user tells it: in whatever currency, for comparing."""

from __future__ import annotations

from typing import Annotated, TypeAlias

from pydantic import Field

from bathybore.model.fields import Node, quantity

PricePerTime: TypeAlias = Annotated[float, *quantity("money/s"), Field(ge=0)]
PricePerMass: TypeAlias = Annotated[float, *quantity("money/kg"), Field(ge=0)]
PricePerVolume: TypeAlias = Annotated[float, *quantity("money/m3"), Field(ge=0)]


class Prices(Node):
    """Unit prices; each may be left out. 'money' in their units is one of ``currency``."""

    currency: str = Field(default="money", min_length=1, max_length=20)
    day_rate: PricePerTime | None = None
    steel_per_mass: PricePerMass | None = None
    barite_per_mass: PricePerMass | None = None
    cement_per_mass: PricePerMass | None = None
    mud_per_volume: PricePerVolume | None = None
