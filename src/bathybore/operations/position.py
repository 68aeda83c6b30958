"""The point on the chart in geographic coordinates, whatever system it was written in."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians

from bathybore.base.keeping import FEW, kept
from bathybore.model.hole import HoleOrSetting
from bathybore.model.site import Position


@dataclass(frozen=True)
class ChartPoint:
    """WGS 84 geographic coordinates [rad]."""

    latitude: float
    longitude: float


def chart_point(hole: HoleOrSetting) -> ChartPoint:
    """Return where the hole is; a projected position goes through its own reference system."""
    return _geographic(hole.site.position)


@kept(FEW)
def _geographic(position: Position) -> ChartPoint:
    if position.latitude is not None and position.longitude is not None:
        return ChartPoint(position.latitude, position.longitude)
    from pyproj import Transformer  # costs a tenth of a second; only projected positions pay it

    transformer = Transformer.from_crs(position.crs, "EPSG:4326", always_xy=True)
    longitude, latitude = transformer.transform(position.easting, position.northing)
    return ChartPoint(radians(latitude), radians(longitude))
